#include "core/review/spares.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core {
namespace {

/// Chance of each number of good ones.
std::vector<double> goodOnes(std::span<const double> deadOnArrival)
{
    std::vector<double> good{1.0};
    for (const double dead : deadOnArrival) {
        good.push_back(0.0);
        for (std::size_t k = good.size() - 1; k > 0; --k)
            good[k] = good[k] * dead + good[k - 1] * (1.0 - dead);
        good[0] *= dead;
    }
    return good;
}

}  // namespace

Result<std::vector<double>> poissonBinomial(std::span<const double> p)
{
    for (const double x : p)
        if (!(x >= 0.0 && x <= 1.0))
            return failure(Errc::BadInput, fmt::format("{} is not a chance", x), "give a number from 0 to 1");
    std::vector<double> pmf{1.0};
    pmf.reserve(p.size() + 1);
    for (const double x : p) {
        pmf.push_back(0.0);
        for (std::size_t k = pmf.size() - 1; k > 0; --k)
            pmf[k] = pmf[k] * (1.0 - x) + pmf[k - 1] * x;
        pmf[0] *= 1.0 - x;
    }
    return pmf;
}

double serviceLevel(std::span<const double> demand, std::span<const double> deadOnArrival)
{
    const auto good = goodOnes(deadOnArrival);
    double level = 0.0;
    for (std::size_t g = 0; g < good.size(); ++g) {
        double covered = 0.0;
        for (std::size_t d = 0; d <= g && d < demand.size(); ++d)
            covered += demand[d];
        level += good[g] * covered;
    }
    return std::min(level, 1.0);
}

double expectedShort(std::span<const double> demand, std::span<const double> deadOnArrival)
{
    const auto good = goodOnes(deadOnArrival);
    double missing = 0.0;
    for (std::size_t g = 0; g < good.size(); ++g)
        for (std::size_t d = g + 1; d < demand.size(); ++d)
            missing += good[g] * demand[d] * static_cast<double>(d - g);
    return missing;
}

Result<int> sparesToHold(std::span<const double> demand, double level, std::span<const double> onShelf, double deadOnArrival)
{
    if (!(level > 0.0 && level < 1.0) || !(deadOnArrival >= 0.0 && deadOnArrival < 1.0))
        return failure(Errc::BadInput, "the service level and the chance of a dead spare must lie between 0 and 1", "correct them in the rule set");
    std::vector<double> spares;
    const std::size_t most = 4 * demand.size() + 8;
    for (std::size_t s = 1; s <= most; ++s) {
        spares.push_back(s <= onShelf.size() ? onShelf[s - 1] : deadOnArrival);
        if (serviceLevel(demand, spares) >= level)
            return static_cast<int>(s);
    }
    return failure(Errc::NoConvergence, fmt::format("no number of spares reaches a level of {}", level), "shorten the lead time");
}

}  // namespace halfcell::core
