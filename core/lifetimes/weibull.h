#pragma once

#include "core/lifetimes/life_record.h"
#include "core/quantity/result.h"

#include <optional>
#include <span>

namespace halfcell::core {

/// A log-normal belief about the shape, for few ends (our choice where it is used: median 2, sigma 0.4).
struct ShapePrior {
    double median = 2.0, sigma = 0.4;
};

struct Limits {
    double lower = 0.0, upper = 0.0;
};

/// Weibull law S(t) = exp(-(t / scale)^shape) fitted by maximum likelihood to ended, censored and late-entered lives:
/// lnL = sum w [d (ln(shape / scale) + (shape - 1) ln(t / scale)) - (t / scale)^shape + (entry / scale)^shape].
struct WeibullFit {
    double shape = 1.0, scale = 1.0;
    double logLikelihood = 0.0;         ///< without the prior
    double ended = 0.0, lives = 0.0;
    double seLogShape = 0.0, seLogScale = 0.0, correlation = 0.0;   ///< observed information on (ln shape, ln scale)
    Limits shapeWald, scaleWald;        ///< normal on the log scale
    double confidence = 0.95;
    int iterations = 0;
    bool priorUsed = false;

    [[nodiscard]] double survival(double t) const;
    /// Age by which a share p has ended, 0 <= p < 1.
    [[nodiscard]] double quantile(double p) const;
};

/// Newton on (ln shape, ln scale) with step halving. Errc::TooFewReadings without two different ages at an end (unless a prior
/// is given and one is there); Errc::BadInput for bad ages or counts; Errc::NoConvergence after 100 steps.
/// Accuracy: shape and scale to 1e-9 relative. Checked against: golden.csv GC42-GC46, GC48-GC50; Meeker and Escobar 1998.
[[nodiscard]] Result<WeibullFit> fitWeibull(std::span<const LifeRecord> lives, double confidence = 0.95, std::optional<ShapePrior> prior = {});

/// Where the profile likelihood falls by half the chi-square point; the honest limits with few ends. The fit must come from
/// the same records (and prior).
struct WeibullProfile {
    Limits shape, scale;
};
[[nodiscard]] Result<WeibullProfile> profileLimits(std::span<const LifeRecord> lives, const WeibullFit& fit, std::optional<ShapePrior> prior = {});

/// Log-likelihood at any shape and scale (both positive).
[[nodiscard]] double weibullLogLikelihood(std::span<const LifeRecord> lives, double shape, double scale);

}  // namespace halfcell::core
