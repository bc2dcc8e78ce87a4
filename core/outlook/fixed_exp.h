#pragma once

#include <bit>
#include <cstdint>

/// Exponential and logarithm from additions, multiplications and divisions alone, so that every machine with IEEE 754
/// doubles gives the same last digit (a library's own may choose another path on another processor). Branch-free, so that a
/// loop over nodes can be done two at a time. Needs -ffp-contract=off, which the build sets. Accuracy: 4e-16 relative for
/// the exponential, 3e-16 absolute for the logarithm near 1 (relative elsewhere).
namespace halfcell::core::outlook {

/// e^x; x below -700 counts as -700, above 700 as 700.
[[nodiscard]] inline double fixedExp(double x)
{
    x = x < -700.0 ? -700.0 : x;
    x = x > 700.0 ? 700.0 : x;
    // Adding and taking off 1.5 * 2^52 rounds to a whole number, which then stands in the low bits.
    constexpr double kRounder = 6755399441055744.0;
    const double shifted = x * 1.4426950408889634 + kRounder;
    const double k = shifted - kRounder;
    // ln 2 in two parts, the first with trailing zero bits (Cody and Waite 1980).
    const double r = (x - k * 0.693147180369123816490) - k * 1.90821492927058770002e-10;
    // Taylor series to r^13 / 13!: |r| <= 0.347, remainder below 5e-18.
    double p = 1.6059043836821613e-10;
    p = p * r + 2.08767569878681e-09;
    p = p * r + 2.505210838544172e-08;
    p = p * r + 2.755731922398589e-07;
    p = p * r + 2.7557319223985893e-06;
    p = p * r + 2.48015873015873e-05;
    p = p * r + 1.984126984126984e-04;
    p = p * r + 1.388888888888889e-03;
    p = p * r + 8.333333333333333e-03;
    p = p * r + 4.1666666666666664e-02;
    p = p * r + 1.6666666666666666e-01;
    p = p * r + 0.5;
    p = p * r + 1.0;
    p = p * r + 1.0;
    const auto power = std::bit_cast<std::uint64_t>(shifted) << 52U;  // k in the exponent's place; the rounder's bits fall off
    return std::bit_cast<double>(std::bit_cast<std::uint64_t>(p) + power);
}

/// ln x; x must be positive, finite and not denormal (1e-300 is the floor used here).
[[nodiscard]] inline double fixedLog(double x)
{
    x = x < 1e-300 ? 1e-300 : x;
    constexpr std::uint64_t kHalfRoot = 0x3fe6a09e667f3bcdULL;  // sqrt(1/2)
    const auto bits = std::bit_cast<std::uint64_t>(x);
    // The exponent with 1024 added, so that it is never negative; 1.5 * 2^52 in front makes a double of it.
    const std::uint64_t biased = (bits - kHalfRoot + (std::uint64_t{1024} << 52U)) >> 52U;
    const double m = std::bit_cast<double>(bits - (biased << 52U) + (std::uint64_t{1024} << 52U));   // sqrt(1/2) <= m < sqrt(2)
    const double exponent = std::bit_cast<double>(biased + 0x4338000000000000ULL) - (6755399441055744.0 + 1024.0);
    const double s = (m - 1.0) / (m + 1.0);
    const double s2 = s * s;
    double p = 1.0 / 21.0;
    p = p * s2 + 1.0 / 19.0;
    p = p * s2 + 1.0 / 17.0;
    p = p * s2 + 1.0 / 15.0;
    p = p * s2 + 1.0 / 13.0;
    p = p * s2 + 1.0 / 11.0;
    p = p * s2 + 1.0 / 9.0;
    p = p * s2 + 1.0 / 7.0;
    p = p * s2 + 1.0 / 5.0;
    p = p * s2 + 1.0 / 3.0;
    p = p * s2 + 1.0;
    return 2.0 * s * p + exponent * 0.693147180559945309417;
}

/// x^g for x >= 0 (0 for x = 0).
[[nodiscard]] inline double fixedPow(double x, double g)
{
    return x > 0.0 ? fixedExp(g * fixedLog(x)) : 0.0;
}

}  // namespace halfcell::core::outlook
