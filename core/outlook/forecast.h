#pragma once

#include "core/outlook/mixture.h"
#include "core/outlook/recalibration.h"
#include "core/outlook/replay.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace halfcell::core::outlook {

/// The levels every forecast gives: 5, 10, 25, 50, 75, 90, 95 %.
inline constexpr std::array<double, 7> kLevels{0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95};

/// Laws of one sensor some weeks ahead.
/// Capability: what the clean sensor can do. Reading: what the next calibration will show.
[[nodiscard]] Mixture capabilityLaw(const AgeingFilter& filter, double weeks);
[[nodiscard]] Mixture readingLaw(const AgeingFilter& filter, double weeks);
/// ln t90 at 20 degC as it will be read.
[[nodiscard]] Mixture lnResponseLaw(const AgeingFilter& filter, double weeks);
/// A table's value: capability with the scatter of a reading.
[[nodiscard]] Mixture tableLaw(const AgeingFilter& filter, double weeks);

/// Chance, by a number of weeks from now, that the capability has passed below a limit: the running largest of the chance to be
/// below, in even steps, linear in between.
struct CrossingCurve {
    double step = 1.0;
    std::vector<double> probability;  ///< at 0, step, 2 step ...
    [[nodiscard]] double at(double weeks) const;
    /// First time with this probability; absent if it is not reached.
    [[nodiscard]] std::optional<double> when(double p) const;
    [[nodiscard]] double end() const { return step * static_cast<double>(probability.empty() ? 0 : probability.size() - 1); }
};
[[nodiscard]] CrossingCurve crossingCurve(const AgeingFilter& filter, double limit, double until, double step, double lag = 0.0);

/// Where the spread of a forecast comes from, as variances (for the working).
struct SpreadShares {
    double between = 0.0;  ///< lives and curves
    double level = 0.0;    ///< of the present level
    double wander = 0.0;
    double sudden = 0.0;
};
[[nodiscard]] SpreadShares spreadShares(const AgeingFilter& filter, double weeks);

/// Rules under which nothing, or only the group's range, is said; words for the reader.
struct Abstention {
    std::string words;       ///< empty: none
    bool groupOnly = false;  ///< the range shown is the group's
};
inline constexpr std::size_t kLeastClean = 4;
/// Why nothing at all is said of a sensor that last read dead; empty when it did not.
[[nodiscard]] std::string abstainsAsDead(const Replay& state, const Series& series);
/// For the efficiency, `weeks` ahead of `now` (weeks on the sensor's clock).
[[nodiscard]] Abstention abstains(const Replay& state, const Series& series, const GroupModel& group, double nowWeeks, double weeks);

}  // namespace halfcell::core::outlook
