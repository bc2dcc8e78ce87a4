#pragma once

#include "core/calibration/figures.h"
#include "core/fleet/plant.h"
#include "core/rules/finding.h"
#include "core/rules/rule_set.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace halfcell::core {

/// Figures of one visit, one entry per phase that has readings (or of one legacy record).
struct VisitFigures {
    const Visit* visit = nullptr;  ///< absent for a legacy record
    const Legacy* legacy = nullptr;
    Instant when;
    std::vector<PhaseFigures> phases;  ///< as found, after cleaning, as left
    [[nodiscard]] const PhaseFigures* phase(Phase p) const;
    /// The state in which the sensor was left: as left, else after cleaning, else as found.
    [[nodiscard]] const PhaseFigures* lastState() const;
};

/// Which limit a figure broke: the "guilty number".
enum class GuiltyFigure { None, Efficiency, Offset, Response, Span, Other };

/// A cause with its probability.
struct LikelyCause {
    std::string key, words;
    double probability = 0.0;
    bool operator==(const LikelyCause&) const = default;
};

/// A cure that the design allows, with what it is expected to cost and to bring.
struct CureAdvice {
    std::string key, words;
    std::optional<ActionKey> action;  ///< the cheapest of its actions; absent where nothing is done to the sensor
    double minutes = 0.0;
    double cost = 0.0;    ///< expected, with what stays uncured
    double gain = 0.0;    ///< expected cost of leaving it, minus this one's
    double solves = 0.0;  ///< chance that it cures, given that something is wrong
    bool operator==(const CureAdvice&) const = default;
};

/// A reading as the diagnosis sees it.
struct SeenReading {
    std::string key;       ///< of the observable: eff, off, t90, ...
    std::size_t band = 0;  ///< from the first of its bands
    std::string words;     ///< "t90 95 s, 4.1 times its first"
    bool operator==(const SeenReading&) const = default;
};

/// One sensor of a round against what was expected of it.
struct RoundShare {
    std::string serial;
    double efficiency_pct = 0.0, offset_mv = 0.0;  ///< read less expected
    bool operator==(const RoundShare&) const = default;
};

/// What the probabilistic diagnosis has to say about one state of a sensor. The findings carry the same probabilities.
struct DiagnosisReport {
    std::vector<LikelyCause> causes;  ///< the likeliest first, those worth naming
    double other = 0.0;               ///< all the others together
    std::vector<CureAdvice> cures;    ///< cheapest by expected cost first, allowed ones only
    std::optional<NextTest> test;     ///< the test worth its minutes
    bool testPays = false;            ///< false: no test is worth its time; `test` would tell the top two apart
    std::string round;                ///< what the round says of bottle, thermometer and meter; empty: nothing
    double roundShared = 0.0;         ///< probability that the round shares a cause
    std::vector<RoundShare> members;  ///< its sensors with a history, the one judged first
    std::string abstained;            ///< why no cure is named; empty: one is
    std::string order;                ///< the order of the cure and when to stop
    std::string nextTime;             ///< what to order next time; empty: nothing to say
    std::vector<SeenReading> seen;
    std::vector<std::string> missing;  ///< what was not seen, in words
    std::vector<WorkingStep> working;
    bool operator==(const DiagnosisReport&) const = default;
};

/// The judgement of one sensor or one set of readings.
struct Assessment {
    std::string serial, tag, site;
    SensorKind kind = SensorKind::Ph;
    std::optional<Instant> measured;      ///< of the readings judged
    std::optional<Phase> phase;           ///< the phase whose figures are the latest state
    std::optional<PhaseFigures> figures;  ///< of that phase
    std::optional<Signal> signal;         ///< absent beside NotEnoughData
    Verdict verdict = Verdict::NotEnoughData;
    GuiltyFigure guilty = GuiltyFigure::None;
    std::vector<Finding> findings;            ///< most important first; `healthy` alone when nothing is wrong
    std::vector<ActionKey> actionOrder;       ///< cheapest that can work first, allowed by the design
    std::string sentence;                     ///< what it is and what to do, one or two sentences
    std::string profile;                      ///< limit profile used
    std::vector<WorkingStep> verdictWorking;  ///< each limit compared, with its source
    bool wiringChecked = false;
    bool neverMeasured = false;
    std::optional<DiagnosisReport> diagnosis;  ///< absent where it abstains altogether
};

/// Computes the figures of every visit and legacy record of a sensor, oldest first. `withWorking` false is faster.
[[nodiscard]] std::vector<VisitFigures> figuresOfHistory(const Plant& plant, const SensorHistory& history, const StandardsBook& standards,
                                                         const RuleSet& rules, bool withWorking = false);

/// Judges a sensor as it stands: its last visit with a reading (findings weigh the whole visit and the history before).
[[nodiscard]] Assessment assess(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures,
                                const StandardsBook& standards, const RuleSet& rules);

/// The same for a given visit of the history instead of the last one (later ones are left out).
[[nodiscard]] Assessment assessVisit(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures,
                                     std::size_t visitIndex, const StandardsBook& standards, const RuleSet& rules);

/// Judges a set of readings without a book (verb `calc`): the default profile, no history; never says `replace` for a
/// dead or reversed set.
[[nodiscard]] Assessment assessSet(const Visit& set, Phase phase, SensorKind kind, std::string_view referenceFill,
                                   const PhaseFigures& figures, const StandardsBook& standards, const RuleSet& rules);

/// A question about what was typed: named, never silently corrected (Bench, log, import).
struct Question {
    enum class Kind {
        WrongSign,
        Swapped,
        Repeated,
        MistakenStandard,
        Impossible,
        MissingTemperature,
        TooSoon,
        Alike,
        DigitLost,
        TooGood,
        Copied
    };
    Kind kind = Kind::WrongSign;
    std::string text;                    ///< what is odd, with the readings, and what to do
    std::optional<std::size_t> reading;  ///< index into the visit's readings
    std::optional<std::size_t> other;    ///< the second one, if two are concerned
    std::optional<double> suggestion;    ///< a value that would fit (sign turned), never applied by itself
    std::optional<std::string> suggestedStandard;
};

/// The note of a reading that was asked about and kept as it stands: "kept: digit_lost (read twice, the same)".
[[nodiscard]] std::string keptNote(std::string_view question, std::string_view why);
/// The state that odd readings are compared with: the last one none of whose readings was kept against a question, the very last
/// where all were; nullptr without any. `past`: oldest first.
[[nodiscard]] const PhaseFigures* stateToCompareWith(std::span<const VisitFigures> past);

/// Plausibility of a visit's readings, also while it is being typed (incomplete). `last`: see stateToCompareWith.
[[nodiscard]] std::vector<Question> questionsAbout(const Visit& visit, SensorKind kind, std::string_view referenceFill,
                                                   const PhaseFigures* last, const StandardsBook& standards, const RuleSet& rules,
                                                   const LimitProfile& profile);

}  // namespace halfcell::core
