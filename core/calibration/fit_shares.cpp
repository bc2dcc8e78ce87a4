#include "core/calibration/fit_shares.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/units.h"

#include <algorithm>

namespace halfcell::core {
namespace {

/// Points that share an input, in order of their first use; a negative group is a point's own.
template <class GroupOf>
std::vector<std::vector<std::size_t>> groupsOf(std::span<const FitPoint> points, GroupOf groupOf)
{
    std::vector<std::vector<std::size_t>> groups;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const int group = groupOf(points[i]);
        const auto known = std::ranges::find_if(
            groups, [&](const std::vector<std::size_t>& members) { return group >= 0 && groupOf(points[members.front()]) == group; });
        if (known == groups.end())
            groups.push_back({i});
        else
            known->push_back(i);
    }
    return groups;
}

}  // namespace

std::vector<FitShare> fitShares(std::span<const FitPoint> points, const FitBudget& budget, const LineFit& fit)
{
    const std::size_t n = points.size();
    std::vector<double> k(n), x(n), w(n);
    double sumW = 0.0, sumWx = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        k[i] = nernstSlopeUnchecked(Celsius(points[i].temp_c).kelvin());
        x[i] = k[i] * (points[i].ph - 7.0);
        w[i] = 1.0 / (points[i].u_e_mv * points[i].u_e_mv);
        sumW += w[i];
        sumWx += w[i] * x[i];
    }
    const double meanX = sumWx / sumW;
    double sxx = 0.0;
    for (std::size_t i = 0; i < n; ++i)
        sxx += w[i] * (x[i] - meanX) * (x[i] - meanX);

    std::vector<FitShare> shares;
    for (std::size_t i = 0; i < n; ++i) {
        const double dS = -w[i] * (x[i] - meanX) / sxx;
        shares.push_back({FitShare::Of::Reading, {i}, points[i].u_e_mv, w[i] / sumW + meanX * dS, dS});
    }
    // A wrong distance x of one point: the residual at that point and its lever, over the spread of all.
    const auto ofDistance = [&](std::size_t i) {
        const double residual = points[i].e_mv - (fit.e0_mv - fit.s * x[i]);
        const double dS = -w[i] * (residual + fit.s * (x[i] - meanX)) / sxx;
        return std::pair{fit.s * w[i] / sumW + meanX * dS, dS};
    };
    const auto add = [&](FitShare::Of of, const std::vector<std::size_t>& members, auto uOf, auto leverOf) {
        FitShare share{.of = of, .points = members};
        for (const std::size_t i : members) {
            const auto [dE0, dS] = ofDistance(i);
            share.dE0 += dE0 * leverOf(i);
            share.dS += dS * leverOf(i);
            share.u = std::max(share.u, uOf(points[i]));
        }
        shares.push_back(std::move(share));
    };
    for (const auto& members : groupsOf(points, [](const FitPoint& p) { return p.lotGroup; }))
        add(
            FitShare::Of::Standard, members, [](const FitPoint& p) { return p.u_ph; }, [&](std::size_t i) { return k[i]; });
    for (const auto& members : groupsOf(points, [](const FitPoint& p) { return p.thermometerGroup; }))
        add(
            FitShare::Of::Thermometer, members, [](const FitPoint& p) { return p.u_t_k; },
            [&](std::size_t i) { return x[i] / Celsius(points[i].temp_c).kelvin() + k[i] * points[i].dph_dt; });
    shares.push_back({FitShare::Of::Zero, {}, budget.u_zero_mv, 1.0, 0.0});
    return shares;
}

}  // namespace halfcell::core
