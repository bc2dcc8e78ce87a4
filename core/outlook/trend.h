#pragma once

#include "core/quantity/result.h"
#include "core/rules/assess.h"

#include <cstdint>
#include <span>
#include <vector>

/// A robust straight trend: where a figure stands and where it goes if nothing changes, with an honest spread. It serves
/// the task list and the review until a forecast with a shape of its own is there. A straight line is optimistic for a
/// sensor that wears ever faster (its slope is taken from the last points for that reason), so nothing here is shown as a
/// date of failure.
namespace halfcell::core {

/// One observation: a day number (fractional is fine), a value, its standard uncertainty (0 = not known).
struct TrendPoint {
    double day = 0.0;
    double value = 0.0;
    double u = 0.0;
};

/// Value and standard deviation of the next reading.
struct TrendForecast {
    double mean = 0.0;
    double sd = 0.0;
};

/// A line through the points: the median of the pairwise slopes (Theil 1950, Sen 1968: known from memory), the level by the
/// median residual, the scatter by 1.4826 times the median absolute residual, never below the median stated uncertainty.
struct Trend {
    double slopePerDay = 0.0;
    double u_slopePerDay = 0.0;
    double levelDay = 0.0;  ///< the mean day of the points
    double level = 0.0;     ///< value of the line at levelDay
    double scatter = 0.0;   ///< sd of one reading about the line
    std::size_t points = 0;
    double firstDay = 0.0, lastDay = 0.0;

    [[nodiscard]] TrendForecast at(double day) const;
    /// Chance that the true value lies below `limit` at a day (the scatter of a single reading is left out).
    [[nodiscard]] double probabilityBelow(double limit, double day) const;
};

/// Least points a trend needs, and least days between the first and the last (common practice: shorter spans are scatter).
inline constexpr std::size_t kTrendLeastPoints = 4;
inline constexpr double kTrendLeastDays = 28.0;
/// Only this many of the last points count, so that the slope is that of now (our choice).
inline constexpr std::size_t kTrendMostPoints = 24;

/// Errc::TooFewReadings with fewer than four points or less than 28 days between them; Errc::BadInput for a value that is
/// not finite. The points may come in any order.
[[nodiscard]] Result<Trend> robustTrend(std::span<const TrendPoint> points);

/// The clean efficiencies of a sensor: as left, else after cleaning, since its bridge was last replaced, its glass
/// regenerated or, for a sensor never so treated, since its first record. As-found readings do not count.
[[nodiscard]] std::vector<TrendPoint> cleanEfficiencies(std::span<const VisitFigures> figures);
/// The same for the offset in millivolts, since the last refill or bridge.
[[nodiscard]] std::vector<TrendPoint> cleanOffsets(std::span<const VisitFigures> figures);

/// Normal distribution function.
[[nodiscard]] double normalCdf(double z);

}  // namespace halfcell::core
