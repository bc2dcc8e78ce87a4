#pragma once

#include "core/diagnosis/tables.h"
#include "core/rules/judging.h"

/// The probabilistic diagnosis of one case: from the records to bands, from the round to a message, from probabilities to
/// findings. Internal to core/rules.
namespace halfcell::core::judging {

/// Findings of this weight and more override the order of probability: no response, reversed, wrong or expired standard, slips
/// that explain a set, a wet cable or a dry spell that was seen.
inline constexpr int kOverrideWeight = 255;
/// A cause leads by its probability from here on, whatever common practice puts first.
inline constexpr double kLeadsFrom = 0.5;

/// What was seen of the state judged: a band per observable of the network and the reading in words.
struct Symptoms {
    diagnosis::Bands bands;
    std::vector<std::string> words;
};

/// Tests made before a step of the same visit say nothing about the state after it and are left out, as is what the design
/// or a condition voids.
[[nodiscard]] Symptoms symptomsOf(const Case& c, const diagnosis::Network& network, const diagnosis::RoundMember* own);

/// The circumstances that make the prior; the round's message is not filled in.
[[nodiscard]] diagnosis::Setting settingOf(const Case& c);

/// The sensors of the same round against what was expected of them.
struct RoundEvidence {
    std::vector<diagnosis::RoundMember> members;  ///< the sensor judged is the first
    diagnosis::RoundFinding found;
    bool touched = false;  ///< the likeliest shared cause could have reached the sensor judged
    bool fits = false;     ///< and its own residual is nearer to that shift than to none
    /// Its standards were this much warmer by its own thermometer than those of the others; absent if that thermometer was not
    /// read or fewer than three others tell.
    std::optional<double> warmer_k = {};
    std::string text;  ///< "5 of 6 sensors of this round ...": empty without a prompt
};

/// The sensor judged against what was expected of it; nothing without history.
[[nodiscard]] std::optional<diagnosis::RoundMember> ownMember(const Case& c);
/// Nothing for a sensor without history or alone in its round.
[[nodiscard]] std::optional<RoundEvidence> roundOf(const Case& c, const diagnosis::RoundMember& own);

/// Everything the diagnosis worked out for a case.
struct Diagnosed {
    const diagnosis::KindTables* tables = nullptr;
    Symptoms symptoms;
    std::vector<diagnosis::PriorFactor> factors;
    diagnosis::Weighing weighing;
    std::vector<diagnosis::CureCost> costs;
    std::vector<diagnosis::TestWorth> tests;
    std::optional<RoundEvidence> round;
    std::vector<std::string> missing;  ///< observables not seen, in words
    std::string nearerBottle;          ///< a mistaken bottle that explains the departure better than nothing does

    [[nodiscard]] double probability(std::string_view cause) const;
};

/// Weighs the causes of the state judged; nothing where a diagnosis abstains (no figures, antimony, a design of which
/// nothing is recorded).
[[nodiscard]] std::optional<Diagnosed> diagnose(const Case& c);

/// Gives the findings their probabilities and adds the likely causes no rule raised. With `limits` broken and nothing that
/// drives, the likeliest cause drives; a shared cause of the round goes before any sensor is blamed.
void applyDiagnosis(const Case& c, const Diagnosed& d, Findings& f);

/// The next test of the leading finding, by what it is worth.
[[nodiscard]] std::optional<NextTest> bestTest(const Diagnosed& d);

/// The report that goes with the assessment.
[[nodiscard]] DiagnosisReport reportOf(const Case& c, const Diagnosed& d);

// Words and shares that the rules and the diagnosis have in common.
/// Film kinds by share, the likeliest first; adds up to 1.
struct FilmShare {
    FindingCode code;
    const char* name;
    double share;
};
[[nodiscard]] std::vector<FilmShare> filmShares(const Case& c);
[[nodiscard]] std::vector<ActionKey> cleansFor(FindingCode film);

}  // namespace halfcell::core::judging
