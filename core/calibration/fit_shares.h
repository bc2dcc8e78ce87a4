#pragma once

#include "core/calibration/line_fit.h"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

/// The covariance of a line fit, input by input: what the working of an uncertainty shows.
namespace halfcell::core {

/// One input of the budget that varies by itself.
struct FitShare {
    enum class Of { Reading, Standard, Thermometer, Zero };
    Of of = Of::Reading;
    std::vector<std::size_t> points;  ///< the readings it acts on; empty for the zero (all of them)
    double u = 0.0;                   ///< standard uncertainty: mV, pH, K, mV
    double dE0 = 0.0;                 ///< change of the offset per unit of the input
    double dS = 0.0;                  ///< change of the efficiency (fraction) per unit of the input
    [[nodiscard]] double partE0() const { return dE0 * u; }
    [[nodiscard]] double partS() const { return dS * u; }
};

/// The independent inputs of a fit with their sensitivities, in the order readings, standards, thermometers, zero. The
/// sum of the squared parts is the covariance of `fitLine` (another route to the same numbers; the tests compare them).
/// `points` and `budget` must be those the fit was made of.
[[nodiscard]] std::vector<FitShare> fitShares(std::span<const FitPoint> points, const FitBudget& budget, const LineFit& fit);

}  // namespace halfcell::core
