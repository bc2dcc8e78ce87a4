#pragma once

#include "core/calibration/conformity.h"
#include "core/calibration/figures.h"
#include "core/rules/assess.h"
#include "core/rules/rule_set.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

/// "Is it good enough here?": not the efficiency, but what the loop shows at its own pH against what the point may be off, now and
/// at the next visit, decided with the chance of being right that the loop's class asks for (JCGM 106).
namespace halfcell::core {

/// How offset and efficiency will have moved at a later moment: mean and standard uncertainty of the change.
struct ExpectedDrift {
    Instant at;
    double offset_mv = 0.0, u_offset_mv = 0.0;
    double efficiency_pct = 0.0, u_efficiency_pct = 0.0;
    std::string source;  ///< "outlook, 14 readings"
};

struct GoodEnoughInputs {
    std::optional<double> tolerance;       ///< pH; mV for ORP; +-
    std::optional<LoopClass> loop_class;   ///< absent: taken as an indication
    std::optional<double> process_ph;      ///< pH only
    std::optional<double> process_temp_c;  ///< absent: the mean of the standards
    const PhaseFigures* setBy = nullptr;   ///< the calibration the analyser works with; null: the figures judged
    std::optional<ExpectedDrift> drift;    ///< absent: the next visit is not judged
};

struct GoodEnough {
    std::string unit;  ///< pH, mV
    double tolerance = 0.0, accepted = 0.5;
    std::optional<double> at_ph;  ///< the pH it is asked for
    double error = 0.0, u = 0.0;  ///< of what the loop shows, now
    bool setByEarlier = false;    ///< the analyser works with an earlier calibration
    std::optional<Conformity> now;
    double errorNext = 0.0, uNext = 0.0;
    std::optional<Instant> nextAt;
    std::optional<Conformity> next;
    std::string whyNot;      ///< why nothing is decided now; empty otherwise
    std::string whyNotNext;  ///< why nothing is said of the next visit
    std::string sentence;    ///< the answer in one sentence
    std::vector<WorkingStep> working;
};

/// Answers for the state that the figures describe. Never fails: what cannot be answered has its reason. The error of a sensor whose
/// analyser was set by these very figures is 0 with the uncertainty of the figures; else it is what the loop shows by the earlier
/// setting minus what is true by these figures. The junction's part in the process is not counted.
[[nodiscard]] GoodEnough goodEnough(const PhaseFigures& figures, const GoodEnoughInputs& inputs, const RuleSet& rules);

/// What is asked of the point the sensor stood at on its last visit with readings up to `visitIndex`, and the calibration its analyser
/// works with: this visit's where it was adjusted, keyed in or left calibrated, else that of the last visit before that did so.
[[nodiscard]] GoodEnoughInputs goodEnoughInputs(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures,
                                                std::size_t visitIndex);

/// The answer for the sensor's state on that visit; `drift` as found by an outlook, if one was made.
[[nodiscard]] GoodEnough goodEnoughAt(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures,
                                      std::size_t visitIndex, const RuleSet& rules, const std::optional<ExpectedDrift>& drift = {});

}  // namespace halfcell::core
