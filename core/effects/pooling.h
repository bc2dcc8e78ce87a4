#pragma once

#include "core/quantity/result.h"

#include <span>
#include <vector>

/// Robust means and partial pooling of group means.
namespace halfcell::core {

struct RobustMean {
    double mean = 0.0;
    double u = 0.0;      ///< standard uncertainty
    double scale = 0.0;  ///< of one value: the larger of 1.4826 MAD and the median stated uncertainty
    std::vector<double> weights;
};
/// Huber's mean (1981), k = 1.345: u = scale sqrt(sum psi^2 / (n - 1)) / (share not clipped * sqrt n). `u`: stated uncertainties,
/// as many as values. Errc::TooFewReadings with fewer than two values.
[[nodiscard]] Result<RobustMean> huberMean(std::span<const double> values, std::span<const double> u);

/// A group's mean with its uncertainty, before and after it borrowed from the others.
struct PooledGroup {
    double own = 0.0, s = 0.0;
    double estimate = 0.0, sd = 0.0;
};
struct Pooled {
    double mean = 0.0, u = 0.0;  ///< of all groups
    double betweenVar = 0.0;     ///< tau^2, Paule and Mandel 1982
    std::vector<PooledGroup> groups;
    /// sd of a group nobody has seen: sqrt(tau^2 + u^2).
    [[nodiscard]] double newGroupSd() const;
};
/// Normal-normal pooling: tau^2 solves sum (y - mu)^2 / (s^2 + tau^2) = k - 1 (0 if already below); a group keeps 1 - B of its own,
/// B = s^2 / (s^2 + tau^2); variance (1 - B) s^2 + B^2 u^2. Errc::TooFewReadings without groups, Errc::BadInput for s <= 0.
[[nodiscard]] Result<Pooled> poolGroups(std::span<const double> means, std::span<const double> s);

}  // namespace halfcell::core
