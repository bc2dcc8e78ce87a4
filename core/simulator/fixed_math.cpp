#include "core/simulator/fixed_math.h"

#include <cmath>

namespace halfcell::core::simulation {
namespace {

constexpr double kLn2 = 0.693147180559945309417;
constexpr double kLn10 = 2.30258509299404568402;
// ln 2 in two parts, the first with trailing zero bits, so that k * kLn2High is exact for |k| < 2^20 (Cody and Waite).
constexpr double kLn2High = 0.693147180369123816490;
constexpr double kLn2Low = 1.90821492927058770002e-10;

}  // namespace

double fixedExp(double x)
{
    if (x < -700.0)
        return 0.0;
    if (x > 700.0)
        x = 700.0;
    const double k = std::floor(x / kLn2 + 0.5);
    const double r = (x - k * kLn2High) - k * kLn2Low;  // |r| <= 0.35
    double sum = 1.0;
    for (int n = 17; n >= 1; --n)
        sum = 1.0 + sum * r / static_cast<double>(n);  // Taylor series, Horner form
    return std::ldexp(sum, static_cast<int>(k));       // exact
}

double fixedLog(double x)
{
    if (x < 1e-300)
        x = 1e-300;
    int exponent = 0;
    double m = std::frexp(x, &exponent);  // exact, 0.5 <= m < 1
    if (m < 0.70710678118654752) {
        m *= 2.0;
        --exponent;
    }
    const double s = (m - 1.0) / (m + 1.0);  // |s| <= 0.172
    const double s2 = s * s;
    double sum = 0.0;
    for (int n = 21; n >= 1; n -= 2)
        sum = sum * s2 + 1.0 / static_cast<double>(n);
    return 2.0 * s * sum + static_cast<double>(exponent) * kLn2;
}

double fixedPow2(double x)
{
    return fixedExp(x * kLn2);
}

double fixedLog10(double x)
{
    return fixedLog(x) / kLn10;
}

double yearWave(double phase)
{
    const double p = phase - std::floor(phase);
    const double u = p <= 0.5 ? p : 1.0 - p;  // 0 to 0.5: the angle over 2 pi
    const double d = u <= 0.25 ? u : 0.5 - u;
    // Bhaskara I: cos(a) = (pi^2 - 4 a^2) / (pi^2 + a^2), a = 2 pi d
    const double q = 4.0 * d * d;
    const double c = (1.0 - 4.0 * q) / (1.0 + q);
    return u <= 0.25 ? c : -c;
}

double roundTo(double value, double step)
{
    const double n = value / step;
    const double whole = n < 0.0 ? -std::floor(-n + 0.5) : std::floor(n + 0.5);
    // Steps below one are powers of ten: dividing by their inverse gives the shortest decimal.
    if (step < 1.0)
        return whole / std::floor(1.0 / step + 0.5) + 0.0;
    return whole * step + 0.0;
}

}  // namespace halfcell::core::simulation
