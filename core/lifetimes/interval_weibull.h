#pragma once

#include "core/lifetimes/weibull.h"
#include "core/quantity/result.h"

#include <optional>
#include <span>

namespace halfcell::core {

/// One life whose end is known only to lie between two ages: watched from `entry`, alive at `lower`, dead by `upper`. `upper` equal
/// to `lower`: ended at that age; absent: still going on (or left alive) at `lower`. Ages in one unit; 0 <= entry <= lower <= upper.
struct IntervalLife {
    double entry = 0.0;
    double lower = 0.0;
    std::optional<double> upper;
    double weight = 1.0;
};

/// Weibull law by maximum likelihood from exact, right-censored, interval-censored and late-entered lives:
/// lnL = sum w [ln f(t) | -(l/scale)^shape | ln(S(l) - S(u))] + w (entry/scale)^shape. Newton with step halving on
/// (ln shape, ln scale), derivatives by central differences. `shape` fixed when given (1: exponential).
/// Errc::TooFewReadings without an end, Errc::BadInput for bad ages or weights, Errc::NoConvergence after 200 steps.
/// Checked against: 42 out-of-tolerance intervals worked out with R's survreg, type interval2 (seven digits).
[[nodiscard]] Result<WeibullFit> fitWeibullIntervals(std::span<const IntervalLife> lives, double confidence = 0.95,
                                                     std::optional<ShapePrior> prior = {}, std::optional<double> shape = {});
/// Profile-likelihood limits of shape and scale.
[[nodiscard]] Result<WeibullProfile> profileLimits(std::span<const IntervalLife> lives, const WeibullFit& fit,
                                                   std::optional<ShapePrior> prior = {});

[[nodiscard]] double weibullLogLikelihood(std::span<const IntervalLife> lives, double shape, double scale);

}  // namespace halfcell::core
