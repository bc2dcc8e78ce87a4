#pragma once

#include "core/quantity/result.h"
#include "core/quantity/units.h"

namespace halfcell::core {

/// pH of a standard by temperature as published: pH = A/T + B + C T + D T^2, T in kelvin.
struct PhEquation {
    double a_kelvin = 0.0, b = 0.0, c_per_kelvin = 0.0, d_per_kelvin2 = 0.0;
    double low_c = 0.0, high_c = 0.0;  ///< range it was fitted in, degC
    /// Errc::OutOfRange outside the range.
    [[nodiscard]] Result<Ph> at(Celsius t) const;
};

/// Potassium hydrogen phthalate, 0.05 mol/kg, 0 to 60 degC: another route to the table `ph4.01`,
/// within 0.005 of it from 10 to 40 degC and within the spread of the published series (0.011) beyond.
/// Source: H. B. Hetzer, R. A. Durst, R. A. Robinson, R. G. Bates, J. Res. NBS 81A (1977) 21 (read in an abstract).
/// Checked against: tests/data/reference/golden.csv GC12
inline constexpr PhEquation kPhthalate1977{2073.44, -13.327, 0.045199, -3.4846e-5, 0.0, 60.0};

}  // namespace halfcell::core
