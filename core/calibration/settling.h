#pragma once

#include "core/fleet/records.h"
#include "core/quantity/result.h"

#include <span>

/// How fast a sensor settles, from a series of readings in one standard; and what a reading taken too soon would have become.
/// A predicted value is shown, never recorded.
namespace halfcell::core {

/// E(t) = settled - rest * exp(-t / tau).
struct SettleFit {
    double settled_mv = 0.0, u_settled_mv = 0.0;  ///< where it goes, and how sure
    double t90_s = 0.0, u_t90_s = 0.0;            ///< ln 10 * tau
    double toCome_mv = 0.0;                       ///< settled minus the last reading
    double scatter_mv = 0.0;                      ///< of one reading about the curve
};

/// Fits a settle series. n >= 5 points, finite, times from 0 s, strictly ascending. Errc::TooFewReadings with fewer;
/// Errc::BadInput for a value that is not finite or times that do not ascend; Errc::NoConvergence where the series does not
/// bend (already settled, or still far from it): its t90 cannot be told. The scatter counts at least 0.05 mV.
/// Source: least squares; for a given tau the curve is linear, tau by a grid and golden section; covariance J^T J.
[[nodiscard]] Result<SettleFit> fitSettling(std::span<const SettlePoint> series);

/// What a reading would have become.
struct SettledPrediction {
    double settled_mv = 0.0, u_settled_mv = 0.0;
    double short_mv = 0.0;     ///< settled minus read
    double missing_pct = 0.0;  ///< of the whole step
};

/// A reading of `read_mv`, `wait_s` after one of `before_mv`, by a sensor of this t90: the share 10^(-wait/t90) of the step is
/// still to come. Errc::BadInput for values that are not finite or not positive; Errc::OutOfRange when less than a third of the
/// step was made (wait below 0.18 t90): nothing can be said.
[[nodiscard]] Result<SettledPrediction> predictSettled(double before_mv, double read_mv, double wait_s, double t90_s, double u_t90_s,
                                                       double u_read_mv = 0.4);

}  // namespace halfcell::core
