#include "app/plots/panel_scale.h"

#include "app/style/figures.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

namespace halfcell::app {

namespace {

constexpr double kEfficiencyLow = 60.0;
constexpr double kEfficiencyHigh = 103.0;
constexpr double kLogFrom = 100.0;  // seconds

struct Extent {
    double low = 0, high = 0;
    bool any = false;
    void take(double v)
    {
        if (!std::isfinite(v))
            return;
        low = any ? std::min(low, v) : v;
        high = any ? std::max(high, v) : v;
        any = true;
    }
};

Extent dataExtent(const LifeLinePanel& panel)
{
    Extent extent;
    for (const PhasePoint& p : panel.points)
        if (!p.leftOut)
            extent.take(p.value);
    for (const FanPoint& p : panel.fan) {
        extent.take(p.p10);
        extent.take(p.p90);
    }
    return extent;
}

double roundedUp(double value, double step)
{
    return std::ceil(value / step - 1e-9) * step;
}

double roundedDown(double value, double step)
{
    return std::floor(value / step + 1e-9) * step;
}

/// 1, 2 or 5 times a power of ten, so that about `most` steps fit.
double niceStep(double span, int most)
{
    const double raw = span / std::max(1, most);
    const double power = std::pow(10.0, std::floor(std::log10(raw)));
    for (const double factor : {1.0, 2.0, 5.0})
        if (factor * power >= raw - 1e-12)
            return factor * power;
    return 10.0 * power;
}

}  // namespace

double toAxis(PanelScale scale, double value)
{
    if (scale != PanelScale::LogAbove100 || value <= kLogFrom)
        return value;
    return kLogFrom * (1.0 + std::log(value / kLogFrom));
}

PanelRange rangeOf(const LifeLinePanel& panel, bool fixed)
{
    const Extent data = fixed ? Extent{} : dataExtent(panel);
    Extent limits;
    for (const PlotLimit& limit : panel.limits)
        limits.take(limit.value);
    PanelRange range;
    switch (panel.scale) {
    case PanelScale::Efficiency:
        range.lowValue = kEfficiencyLow;
        range.highValue = kEfficiencyHigh;
        if (data.any && data.low < kEfficiencyLow)
            range.lowValue = roundedDown(data.low - 2.0, 10.0);
        if (data.any && data.high > kEfficiencyHigh)
            range.highValue = roundedUp(data.high + 1.0, 5.0);
        range.grown = range.lowValue < kEfficiencyLow || range.highValue > kEfficiencyHigh;
        break;
    case PanelScale::Symmetric: {
        double half = limits.any ? std::max(std::abs(limits.low), std::abs(limits.high)) * 1.3 : 10.0;
        if (data.any)
            half = std::max(half, std::max(std::abs(data.low), std::abs(data.high)) * 1.1);
        range.highValue = half;
        range.lowValue = -half;
        break;
    }
    case PanelScale::LogAbove100:
        range.lowValue = 0.0;
        range.highValue = std::max(limits.any ? limits.high * 1.35 : kLogFrom, data.any ? data.high * 1.15 : 0.0);
        break;
    case PanelScale::Free: {
        Extent all = data;
        if (limits.any) {
            all.take(limits.low);
            all.take(limits.high);
        }
        if (!all.any)
            all.take(0.0);
        const double pad = std::max((all.high - all.low) * 0.1, 1.0);
        range.lowValue = all.low - pad;
        range.highValue = all.high + pad;
        break;
    }
    }
    range.low = toAxis(panel.scale, range.lowValue);
    range.high = toAxis(panel.scale, range.highValue);
    return range;
}

std::vector<PanelTick> plainTicks(double low, double high, int most, bool sign)
{
    std::vector<PanelTick> ticks;
    if (!(high > low))
        return ticks;
    const double step = niceStep(high - low, most);
    const int decimals = step < 0.999 ? static_cast<int>(std::ceil(-std::log10(step) - 1e-9)) : 0;
    for (double count = std::ceil(low / step - 1e-9); count * step <= high + step * 1e-9; ++count)
        ticks.push_back({count * step, figureText(count * step, decimals, sign ? Sign::Always : Sign::WhenNegative)});
    return ticks;
}

std::vector<PanelTick> ticksOf(const LifeLinePanel& panel, const PanelRange& range, int most)
{
    if (panel.scale != PanelScale::LogAbove100 || range.highValue <= kLogFrom * 1.6)
        return plainTicks(range.lowValue, range.highValue, most, panel.sign);
    std::vector<PanelTick> ticks;
    for (const double value : {0.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0})
        if (value <= range.highValue)
            ticks.push_back({toAxis(panel.scale, value), figureText(value, 0, Sign::WhenNegative)});
    return ticks;
}

std::vector<PanelTick> ticksThatFit(const LifeLinePanel& panel, const PanelRange& range, double room, double label)
{
    const double span = range.high - range.low;
    if (!(span > 0.0))
        return {};
    const auto apart = [&](const PanelTick& a, const PanelTick& b) { return std::abs(b.at - a.at) / span * room >= label; };
    constexpr int kMost = 4;
    for (int most = kMost; most > 0; --most) {
        const auto ticks = ticksOf(panel, range, most);
        if (ticks.size() >= 2 && std::ranges::adjacent_find(ticks, std::not_fn(apart)) == ticks.end())
            return ticks;
    }
    // The outer two of the full set, and of those between what stands clear of both neighbours.
    const auto all = ticksOf(panel, range, kMost);
    if (all.size() < 2)
        return all;
    std::vector<PanelTick> kept{all.front()};
    if (!apart(all.front(), all.back()))
        return kept;
    for (std::size_t i = 1; i + 1 < all.size(); ++i)
        if (apart(kept.back(), all[i]) && apart(all[i], all.back()))
            kept.push_back(all[i]);
    kept.push_back(all.back());
    return kept;
}

}  // namespace halfcell::app
