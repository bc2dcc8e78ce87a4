#pragma once

#include "core/quantity/result.h"
#include "core/quantity/units.h"

namespace halfcell::core {

/// Molar gas constant and Faraday constant, exact by the SI (CODATA 2018): J/(mol K), C/mol.
inline constexpr double kGasConstant = 8.31446261815324;
inline constexpr double kFaraday = 96485.33212331001;

/// Theoretical electrode slope at a temperature (Nernst): k = ln(10) * R * T / F.
///
/// @param t  solution temperature, -20 to 150 degC, finite
/// @return   mV per pH unit, positive (59.159349685 at 25 degC); Errc::OutOfRange when t is not in range
/// Source:   R and F from the SI (CODATA 2018). Accuracy: closed form, rounding only.
/// Checked against: tests/data/reference/golden.csv GC01-GC03, nernst_slope.csv
[[nodiscard]] Result<MillivoltPerPh> nernstSlope(Celsius t);

/// The same without a range check, for inner loops whose temperatures were checked before.
[[nodiscard]] constexpr double nernstSlopeUnchecked(double kelvin)
{
    constexpr double kLn10 = 2.302585092994045684;
    return 1000.0 * kLn10 * kGasConstant / kFaraday * kelvin;
}

/// Glass resistance referred to 25 degC: R25 = R * exp(-B * (1/T - 1/298.15)).
///
/// @param r  resistance measured, > 0; @param t glass temperature 0 to 130 degC; @param bKelvin 7000 to 9500 K
/// Source:   log R is linear in 1/T; B = 7700 K is a typical value (known from memory). Checked against GC41.
[[nodiscard]] Result<Megaohm> glassResistanceAt25(Megaohm r, Celsius t, double bKelvin = 7700.0);

}  // namespace halfcell::core
