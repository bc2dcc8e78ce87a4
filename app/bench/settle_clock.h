#pragma once

#include "core/fleet/records.h"

#include <optional>
#include <utility>
#include <vector>

namespace halfcell::app::bench {

/// The clock beside the beaker: how long the sensor has stood in this standard, what it read meanwhile, and whether it has
/// settled. Times are seconds of any clock that runs forward. Plain value.
///
/// Settled: less than 0.5 mV in 30 s (common practice; about 0.01 pH).
/// t90 from noted values and the value taken: what is still to come is taken to fall by a fixed share in a fixed time
/// (first order, our choice: enough to tell 20 s from 90 s), with the end of it solved for, because a value taken early
/// is itself not the end.
class SettleClock {
public:
    static constexpr double kRinseSeconds = 15.0;      ///< from one standard to the next (our choice: rinse, blot, dip)
    static constexpr double kSettledMv = 0.5;          ///< least change that counts, mV in 30 s
    static constexpr double kSettledSeconds = 30.0;

    void startAt(double t);
    void stop();
    [[nodiscard]] bool set() const { return m_start.has_value(); }          ///< running, or about to
    [[nodiscard]] bool running(double now) const { return m_start && now >= *m_start; }
    /// Seconds since the dip; absent when it does not run.
    [[nodiscard]] std::optional<double> elapsed(double now) const;
    /// Seconds until it starts by itself; absent when it runs or is not set.
    [[nodiscard]] std::optional<double> startsIn(double now) const;

    /// Notes a value without taking it; starts the clock if it does not run.
    void note(double now, double mv);
    [[nodiscard]] const std::vector<std::pair<double, double>>& notes() const { return m_notes; }   ///< (seconds since the dip, mV)

    /// The notes and (if given) a value taken, as the book keeps them: seconds to a tenth, strictly ascending (of two values
    /// within a tenth the later counts). Empty without a note: one value is no series.
    [[nodiscard]] std::vector<core::SettlePoint> series(std::optional<std::pair<double, double>> taken = std::nullopt) const;

    /// Change over the last 30 s, mV, from the notes and (if given) a value read now. Absent from fewer than two values or
    /// when they span no time; values closer together are scaled to 30 s.
    [[nodiscard]] std::optional<double> changeIn30s(std::optional<std::pair<double, double>> last = std::nullopt) const;
    /// t90 in seconds from the notes and the value taken at `seconds` since the dip. Absent from fewer than two notes, or
    /// when they do not run towards an end.
    [[nodiscard]] std::optional<double> t90(double seconds, double mv) const;

private:
    std::optional<double> m_start;
    std::vector<std::pair<double, double>> m_notes;
};

/// The least wait for a reading: the larger of the rule's seconds and so many times the sensor's last t90.
[[nodiscard]] double leastWait(double leastSeconds, double timesT90, std::optional<double> lastT90);

}  // namespace halfcell::app::bench
