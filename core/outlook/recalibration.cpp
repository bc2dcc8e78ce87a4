#include "core/outlook/recalibration.h"

#include "core/outlook/fixed_exp.h"
#include "core/outlook/normal_law.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace halfcell::core::outlook {
namespace {

constexpr double kMostZ = 4.0;
/// The logarithm of a spread taken from these quantiles is uncertain by about 1.2 / sqrt n, and "never narrower" would turn that
/// chance into width: half of it must be exceeded first (chosen on simulated fleets 101 and 102).
constexpr double kCaution = 0.6;
constexpr double kNarrowest = 0.85;                    // a band of the whole shop is narrowed no further
constexpr double kBandHalf = 30.0, kGroupHalf = 15.0;  // sensors at which half of what is seen is believed

double quantileOf(const std::vector<double>& sorted, double p)
{
    const double at = p * static_cast<double>(sorted.size() - 1);
    const auto i = static_cast<std::size_t>(at);
    if (i + 1 >= sorted.size())
        return sorted.back();
    return sorted[i] + (at - static_cast<double>(i)) * (sorted[i + 1] - sorted[i]);
}

}  // namespace

std::size_t bandOf(double weeks)
{
    std::size_t best = 0;
    for (std::size_t b = 1; b < kBands; ++b)
        if (weeks * weeks > kBandWeeks[b - 1] * kBandWeeks[b])
            best = b;
    return best;
}

bool countsFor(std::size_t band, double weeks)
{
    return std::abs(weeks - kBandWeeks[band]) <= std::max(1.0, 0.2 * kBandWeeks[band]);
}

Recalibration::Map Recalibration::mapOf(std::vector<double> z, std::size_t sensors, double half, bool mayNarrow)
{
    Map map;
    map.n = z.size();
    if (z.size() < 5)
        return map;
    std::ranges::sort(z);
    const double q10 = quantileOf(z, 0.10), q25 = quantileOf(z, 0.25), q50 = quantileOf(z, 0.50), q75 = quantileOf(z, 0.75),
                 q90 = quantileOf(z, 0.90);
    const double n = static_cast<double>(sensors), w = n / (n + half);
    const double sure = fixedExp(-kCaution / std::sqrt(std::max(n, 1.0)));
    const auto factor = [&](double outer, double inner) {
        const double spread = 0.5 * (outer + inner) * sure;
        if (spread > 1.0)
            return fixedPow(spread, w);
        const double wider = std::max(outer, inner) / sure;
        return mayNarrow && wider < 1.0 ? std::max(kNarrowest, fixedPow(std::max(wider, 0.05), w)) : 1.0;
    };
    map.loc = w * q50;
    map.down = factor((q50 - q10) / 1.2816, (q50 - q25) / 0.6745);
    map.up = factor((q90 - q50) / 1.2816, (q75 - q50) / 0.6745);
    return map;
}

Recalibration Recalibration::learnt(std::span<const PastPit> past)
{
    Recalibration r;
    std::map<std::pair<std::size_t, std::size_t>, std::vector<double>> byGroup;
    std::map<std::pair<std::size_t, std::size_t>, std::set<std::size_t>> sensorsOfGroup;
    for (std::size_t b = 0; b < kBands; ++b) {
        std::vector<double> z;
        std::set<std::size_t> sensors;
        for (const PastPit& p : past)
            if (p.band == b) {
                z.push_back(normalPoint(std::clamp(p.pit, 0.001, 0.999)));
                sensors.insert(p.sensor);
            }
        if (z.size() < kLeastOutcomes)
            continue;
        r.m_bands[b] = mapOf(std::move(z), sensors.size(), kBandHalf, true);
        for (const PastPit& p : past)
            if (p.band == b) {
                byGroup[{b, p.group}].push_back(r.m_bands[b].in(normalPoint(std::clamp(p.pit, 0.001, 0.999))));
                sensorsOfGroup[{b, p.group}].insert(p.sensor);
            }
    }
    for (auto& [key, z] : byGroup)
        r.m_groups[key] = mapOf(std::move(z), sensorsOfGroup[key].size(), kGroupHalf, false);
    return r;
}

double Recalibration::level(std::size_t band, std::size_t group, double alpha) const
{
    double z = normalPoint(alpha);
    if (const auto it = m_groups.find({band, group}); it != m_groups.end())
        z = it->second.out(z);
    return normalBelow(std::clamp(m_bands[band].out(z), -kMostZ, kMostZ));
}

double Recalibration::probability(std::size_t band, std::size_t group, double raw) const
{
    if (raw <= 0.0 || raw >= 1.0)
        return raw;
    double z = m_bands[band].in(normalPoint(raw));
    if (const auto it = m_groups.find({band, group}); it != m_groups.end())
        z = it->second.in(z);
    return normalBelow(std::clamp(z, -kMostZ, kMostZ));
}

double Recalibration::widening(std::size_t band, std::size_t group) const
{
    Map whole = m_bands[band];
    double down = whole.down, up = whole.up;
    if (const auto it = m_groups.find({band, group}); it != m_groups.end()) {
        down *= it->second.down;
        up *= it->second.up;
    }
    return 0.5 * (down + up);
}

}  // namespace halfcell::core::outlook
