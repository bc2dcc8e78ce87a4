#pragma once

#include "core/quantity/result.h"

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace halfcell::core {

/// One reading as the fit sees it. Errors that readings share (lot, thermometer, zero) are named by group numbers: equal
/// numbers share one error, -1 means the error is this point's own.
struct FitPoint {
    double e_mv = 0.0;     ///< reading
    double temp_c = 25.0;  ///< its own temperature
    double ph = 7.0;       ///< value of the standard at that temperature
    double dph_dt = 0.0;   ///< change of the standard's pH per K
    double u_e_mv = 0.5;   ///< reading, rounding, settling and settling remainder: this reading's own; sets the weight
    double u_ph = 0.012;   ///< of the standard
    int lotGroup = -1;
    double u_t_k = 0.5;  ///< of the temperature
    int thermometerGroup = -1;
};

/// Budget terms that act on the whole fit.
struct FitBudget {
    double u_zero_mv = 0.0;  ///< zero wander, shared by all points
};

/// E = E0 - s * k(T) * (pH(T) - 7), weighted by 1/u_e^2.
struct LineFit {
    double e0_mv = 0.0;                      ///< offset: mV at pH 7
    double s = 0.0;                          ///< efficiency as a fraction; negative when reversed
    double v00 = 0.0, v01 = 0.0, v11 = 0.0;  ///< covariance of (e0, s): mV^2, mV, 1
    [[nodiscard]] double u_e0() const;
    [[nodiscard]] double u_s() const;
};

/// The fit and its covariance. Inputs: n >= 2 points, at least two different values of k*(pH-7), all finite, u_e > 0.
/// Errc::TooFewReadings with fewer, Errc::StandardsTooClose when the distances from pH 7 coincide, Errc::BadInput for a
/// value that is not finite. Cost: fixed-size arithmetic, no allocation for n <= 8.
/// Source: weighted least squares; covariance by the law of propagation (JCGM 100), closed form of J diag(u^2) J^T.
/// Checked against GC13-GC30 and by Monte Carlo.
[[nodiscard]] Result<LineFit> fitLine(std::span<const FitPoint> points, const FitBudget& budget);

/// Reading minus line, mV.
[[nodiscard]] double residual(const FitPoint& point, const LineFit& fit);
/// The same, one per point.
[[nodiscard]] std::vector<double> residuals(std::span<const FitPoint> points, const LineFit& fit);

/// Efficiency between two readings alone, %.
[[nodiscard]] std::optional<double> legPct(const FitPoint& a, const FitPoint& b);

/// Value and uncertainty of a process reading.
struct ProcessReading {
    double ph = 7.0;
    double u_calibration = 0.0;  ///< from the fit's covariance
    double u_drift = 0.0;
    double u_reading = 0.0;
    double u_temperature = 0.0;
    double u_junction = 0.0;  ///< kept as its own line; not part of a calibration record
    [[nodiscard]] double uWithoutJunction() const;
    [[nodiscard]] double u() const;
};

/// Inputs of a reading in the process beside the fit.
struct ProcessInputs {
    double temp_c = 25.0;
    double u_e_mv = 0.5;
    double u_t_k = 0.5;
    double u_junction_ph = 0.05;
    double drift_e0_mv = 0.0, u_drift_e0_mv = 0.0;
    double drift_s = 0.0, u_drift_s = 0.0;
};

/// pH that a reading of e_mv means, with its uncertainty split by source (decision method 2). Errc::OutOfRange if the
/// slope after drift is 0.05 or less.
[[nodiscard]] Result<ProcessReading> readingToPh(const LineFit& fit, double e_mv, const ProcessInputs& inputs);
/// The same for a known process pH: what the sensor would read there and how sure that would be.
[[nodiscard]] Result<ProcessReading> uncertaintyAtPh(const LineFit& fit, double ph, const ProcessInputs& inputs);

}  // namespace halfcell::core
