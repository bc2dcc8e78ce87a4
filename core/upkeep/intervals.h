#pragma once

#include "core/quantity/result.h"

#include <span>
#include <utility>

/// Published interval methods as plain functions (golden checks GC52-GC60); their screens come with the outlook.
namespace halfcell::core {

struct BinomialLimits {
    double lower = 0.0, upper = 1.0;
};
/// Exact (Clopper-Pearson) two-sided limits of a share; x of n, 0 <= x <= n, n >= 1, confidence in (0, 1).
[[nodiscard]] Result<BinomialLimits> clopperPearson(long x, long n, double confidence = 0.95);

/// I = (M - U - |b|) / |d|, days.
[[nodiscard]] Result<double> controlChartInterval(double tolerance, double expandedU, double bias, double driftPerDay);

/// I = -ln(R) / lambda.
[[nodiscard]] Result<double> exponentialInterval(double ratePerDay, double reliabilityTarget);

/// Results known only to lie inside their interval: `length` days, counts in and out of tolerance at the end.
struct IntervalResult {
    double length = 0.0;
    long in = 0, out = 0;
};
/// Exact likelihood for an exponential rate from such data, then the interval for the target.
[[nodiscard]] Result<double> exponentialIntervalFromResults(std::span<const IntervalResult> results, double reliabilityTarget);

/// Simple response A1: the shortening share that keeps the mean step zero at the target reliability.
[[nodiscard]] Result<double> simpleResponseShortening(double lengthening, double reliabilityTarget);
/// Incremental response A2: the next interval and step after one result.
[[nodiscard]] std::pair<double, double> incrementalResponse(double interval, double step, double reliabilityTarget, bool inTolerance, bool sameAsBefore);
/// Interval test A3: I * ln(R) / ln(observed).
[[nodiscard]] Result<double> intervalTestLength(double interval, double observedReliability, double reliabilityTarget);

}  // namespace halfcell::core
