#pragma once

#include "app/bench/visit_draft.h"
#include "core/calibration/figures.h"
#include "core/fleet/plant.h"
#include "core/rules/assess.h"
#include "core/rules/rule_set.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace halfcell::app {
struct Dossier;
}

namespace halfcell::app::bench {

/// What a round says of the bottle, the thermometer and the meter that its sensors share.
struct CommonCause {
    std::string text;                       ///< "4 of 5 sensors of this round shifted together, ...; that fits ..."
    double probability = 0.0;               ///< that something is shared
    std::vector<core::RoundShare> members;  ///< each against what was expected of it
    bool holdsBack = false;                 ///< the sensors' own findings wait until it is cleared
};
/// Of a judgement; absent where its round says nothing.
[[nodiscard]] std::optional<CommonCause> commonCauseOf(const core::Assessment& assessment);

/// What the Bench knows of the sensor in hand before it is read: design, place, limits, and how it was left. Pointers reach
/// into what `keep` holds alive. Immutable after construction; shared.
struct SensorInHand {
    std::shared_ptr<const void> keep;
    const core::Plant* plant = nullptr;
    const core::SensorHistory* history = nullptr;
    const core::Point* point = nullptr;  ///< nullptr on the shelf or the bench
    const core::StandardsBook* standards = nullptr;
    const core::RuleSet* rules = nullptr;
    std::vector<core::VisitFigures> past;  ///< oldest first, without working
    core::LimitProfile limits;
    /// What the sensors read before it in this round say; absent while they say nothing.
    std::optional<CommonCause> roundSoFar;
    /// Of a differential ORP sensor: its first reading, which it is judged by; into `history`.
    const core::Reading* baseline = nullptr;

    [[nodiscard]] const core::Sensor& sensor() const { return *history->sensor; }
    [[nodiscard]] const core::Model* model() const { return history->model; }
    [[nodiscard]] core::SensorKind kind() const;
    [[nodiscard]] std::string fill() const;
    /// "double-junction gel, bulb glass".
    [[nodiscard]] std::string designWords() const;
    [[nodiscard]] core::DesignAllows allows(core::ActionKey action) const;

    /// The state in which it was left at the last visit; nullptr if never measured.
    [[nodiscard]] const core::PhaseFigures* lastState() const;
    [[nodiscard]] const core::VisitFigures* lastVisit() const;
    /// What it read in this standard when it was last left; absent if it was not dipped in it.
    [[nodiscard]] std::optional<double> lastMv(std::string_view standard) const;
    [[nodiscard]] std::optional<double> lastT90() const;
    /// Least wait in a standard here, s.
    [[nodiscard]] double leastWaitSeconds() const;

    /// The standards of the next dips, in order: those of the last visit, else those usual for the process: pH 7.00 first
    /// and then the one on the process's side of it (common practice: 4.01 below 7, 10.01 above); ORP: quinhydrone in pH 7
    /// and pH 4, in food duty Light's solution alone.
    [[nodiscard]] std::vector<std::string> usualStandards() const;
    /// Middle of the process range at the point.
    [[nodiscard]] std::optional<double> processPh() const;
    /// What a standard should read at a temperature with an ideal sensor (pH) or with this reference filling (ORP), mV.
    [[nodiscard]] core::Result<double> idealMv(std::string_view standard, std::string_view lot, double tempC) const;

    /// What the calculation needs, for the visit as it stands.
    [[nodiscard]] core::FigureContext contextFor(const core::Visit& visit, core::Phase phase) const;
};

/// From the dossier as the shop loads it.
[[nodiscard]] std::shared_ptr<const SensorInHand> sensorInHand(std::shared_ptr<const Dossier> dossier);
/// From a plant (tests, tools): figures are worked out here. The plant must outlive the result unless `keep` holds it.
[[nodiscard]] std::shared_ptr<const SensorInHand> sensorInHand(const core::Plant& plant, std::string_view serial,
                                                               const core::StandardsBook& standards, const core::RuleSet& rules,
                                                               std::shared_ptr<const void> keep = {});

}  // namespace halfcell::app::bench
