#include "core/outlook/normal_law.h"

#include "core/outlook/fixed_exp.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace halfcell::core::outlook {
namespace {

constexpr double kRootTwoPi = 2.50662827463100050242;
constexpr double kEnd = 8.5;
constexpr std::size_t kPerUnit = 64, kEntries = 8 * kPerUnit + kPerUnit / 2 + 1;

/// Integral of the density from z to z + h by its Taylor series (derivatives by Hermite polynomials), |h| <= 1/64: the rest is
/// below 1e-17.
double stepFrom(double z, double density, double h)
{
    const double z2 = z * z;
    const double h1 = -z, h2 = z2 - 1.0, h3 = -z * (z2 - 3.0), h4 = z2 * (z2 - 6.0) + 3.0, h5 = -z * (z2 * (z2 - 10.0) + 15.0);
    const double h6 = z2 * (z2 * (z2 - 15.0) + 45.0) - 15.0;
    return density * h * (1.0 + h * (h1 / 2.0 + h * (h2 / 6.0 + h * (h3 / 24.0 + h * (h4 / 120.0 + h * (h5 / 720.0 + h * h6 / 5040.0))))));
}

struct Entry {
    double above, density;
};

std::array<Entry, kEntries> makeTable()
{
    std::array<Entry, kEntries> table{};
    double below = 0.5;
    for (std::size_t i = 0; i < kEntries; ++i) {
        const double z = static_cast<double>(i) / static_cast<double>(kPerUnit);
        const double density = normalDensity(z);
        table[i] = {1.0 - below, density};
        below += stepFrom(z, density, 0.5 / static_cast<double>(kPerUnit));
        const double middle = z + 0.5 / static_cast<double>(kPerUnit);
        below += stepFrom(middle, normalDensity(middle), 0.5 / static_cast<double>(kPerUnit));
    }
    return table;
}

}  // namespace

double normalDensity(double z)
{
    return fixedExp(-0.5 * z * z) / kRootTwoPi;
}

double normalBelow(double z)
{
    static const std::array<Entry, kEntries> table = makeTable();
    const double a = std::abs(z);
    if (!(a < kEnd))
        return z < 0.0 ? 0.0 : 1.0;
    const auto i = static_cast<std::size_t>(a * static_cast<double>(kPerUnit) + 0.5);
    const double at = static_cast<double>(i) / static_cast<double>(kPerUnit);
    const double above = table[i].above - stepFrom(at, table[i].density, a - at);
    return z < 0.0 ? above : 1.0 - above;
}

double normalPoint(double p)
{
    p = std::clamp(p, 1e-12, 1.0 - 1e-12);
    double low = -8.0, high = 8.0;
    for (int i = 0; i < 20; ++i) {
        const double middle = 0.5 * (low + high);
        (normalBelow(middle) < p ? low : high) = middle;
    }
    double z = 0.5 * (low + high);
    for (int i = 0; i < 3; ++i)
        z -= (normalBelow(z) - p) / std::max(normalDensity(z), 1e-14);
    return std::clamp(z, low - 1e-5, high + 1e-5);
}

}  // namespace halfcell::core::outlook
