#pragma once

#include "app/bench/sensor_in_hand.h"
#include "app/bench/visit_draft.h"

#include <QString>
#include <QStringList>

#include <optional>
#include <vector>

namespace halfcell::app::bench {

/// What stands beside one dip.
struct LiveDip {
    std::optional<double> last_mv;   ///< read here when it was last left
    std::optional<double> ideal_mv;  ///< ideal (pH) or expected (ORP) at the temperature of the dip; absent while that is unknown
    std::optional<double> temp_c;    ///< own or carried
    bool carried = false;
    QStringList notes;  ///< said under the row, none of them stops the form
};

/// One phase as it stands, also half typed.
struct LivePhase {
    core::PhaseFigures figures;
    std::vector<LiveDip> dips;
    QString change;             ///< "5.0 % lower; noise 1.8 %", "gained 4.5 %", "no change you can trust"
    bool changeCounts = false;  ///< outside the noise
    [[nodiscard]] bool any() const { return !figures.used.empty(); }
};

/// What a technician keys into the analyser after an adjustment.
struct LiveKeyIn {
    core::KeyIn figures;
    QString text;  ///< "slope 56.9 mV/pH (96.2 %), zero point pH 6.85, offset −8.9 mV"
};

/// Everything the figures say about a visit while it is being typed. Plain value.
struct LiveReadings {
    core::Visit visit;  ///< with what is being typed
    std::vector<ReadingPlace> places;
    LivePhase found, clean, left;
    std::vector<core::Finding> findings;  ///< most important first
    std::optional<core::Signal> signal;
    core::Verdict verdict = core::Verdict::NotEnoughData;
    QString sentence;                   ///< of the verdict
    QString fitness;                    ///< "In the beaker, at pH 9.4: ±0.14; tolerance ±0.20. ..."
    QString advice;                     ///< "Inside ±0.20 as found. Leave it: Ctrl+Enter logs a check, nothing adjusted."
    std::optional<CommonCause> common;  ///< of the round, before any sensor is blamed
    std::optional<LiveKeyIn> keyIn;     ///< when something was adjusted

    [[nodiscard]] const LivePhase& phase(core::Phase p) const;
    /// The last phase that has a reading; as found when none has.
    [[nodiscard]] core::Phase latest() const;
};

/// Scatter of the efficiency of one two-point calibration and of an offset, standard deviations: ±0.02 pH standards and
/// 0.4 mV readings give 0.65 %, settling and people 2.5 mV (common practice).
inline constexpr double kEfficiencyScatterPct = 0.65;
inline constexpr double kOffsetScatterMv = 2.5;
/// The 95 % band of a difference of two such figures: 1.8 % and 7 mV.
[[nodiscard]] double efficiencyNoisePct();
[[nodiscard]] double offsetNoiseMv();

/// The figures alone: within a few milliseconds, for every digit.
[[nodiscard]] LiveReadings liveFigures(const VisitDraft& draft, const SensorInHand& hand);
/// Adds findings and verdict, which look at the whole history.
void addFindings(LiveReadings& live, const SensorInHand& hand);

/// "78.2 % goes back to AE-3107 (control loop), outside its limit of 80 %."; empty where it does not: inside the limits of
/// maintenance, at a point for indication only, not measured, or out of the pipe for good.
[[nodiscard]] QString returnsOutside(const VisitDraft& draft, const LiveReadings& live, const SensorInHand& hand);

/// Where a series goes, while it is being noted: "goes to −178.4 ±0.6 mV, t90 42 ±3 s". Empty while it can't be told.
[[nodiscard]] QString seriesWords(const std::vector<core::SettlePoint>& series);

/// "B10-0850 was opened 34 days ago; 30 is the limit for pH 10.01. ..."; empty while the lot may be used.
[[nodiscard]] QString lotTrouble(const SensorInHand& hand, const std::string& standard, const std::string& lot, const core::Instant& when);

}  // namespace halfcell::app::bench
