#pragma once

/// Exponential, logarithm and a yearly wave built from additions, multiplications and divisions alone, so that every machine
/// with IEEE 754 doubles gives the same last digit (the library's own may differ by one unit). Accuracy about 1e-15
/// relative for the first two. Needs -ffp-contract=off, which the build sets.
namespace halfcell::core::simulation {

/// e^x; 0 below -700, e^700 above 700.
[[nodiscard]] double fixedExp(double x);
/// Natural logarithm; x > 0 (values below 1e-300 count as 1e-300).
[[nodiscard]] double fixedLog(double x);
/// 2^x.
[[nodiscard]] double fixedPow2(double x);
/// log10(x).
[[nodiscard]] double fixedLog10(double x);
/// A smooth wave of period 1: 1 at 0, -1 at 0.5 (parabola arcs; Bhaskara's rational approximation of the cosine, within
/// 0.002).
[[nodiscard]] double yearWave(double phase);
/// Rounds to a multiple of `step` (> 0), halves away from zero.
[[nodiscard]] double roundTo(double value, double step);
/// Keeps a value between two bounds.
[[nodiscard]] constexpr double clamp(double value, double low, double high)
{
    return value < low ? low : (value > high ? high : value);
}

}  // namespace halfcell::core::simulation
