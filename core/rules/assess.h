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

/// Plausibility of a visit's readings, also while it is being typed (incomplete). `last` are the figures of the last
/// visit's as-left state, `history` may be null.
[[nodiscard]] std::vector<Question> questionsAbout(const Visit& visit, SensorKind kind, std::string_view referenceFill,
                                                   const PhaseFigures* last, const StandardsBook& standards, const RuleSet& rules,
                                                   const LimitProfile& profile);

}  // namespace halfcell::core
