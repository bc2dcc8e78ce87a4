#include "core/effects/pooling.h"

#include "core/quantity/median.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core {
namespace {

constexpr double kHuber = 1.345;

}  // namespace

Result<RobustMean> huberMean(std::span<const double> values, std::span<const double> u)
{
    if (values.size() < 2 || u.size() != values.size())
        return failure(Errc::TooFewReadings, "a robust mean needs two values with their uncertainties");
    std::vector<double> v(values.begin(), values.end());
    const double middle = medianOf(v);
    std::vector<double> off;
    for (const double x : values)
        off.push_back(std::abs(x - middle));
    RobustMean r;
    r.scale = std::max(1.4826 * medianOf(off), medianOf(std::vector<double>(u.begin(), u.end())));
    r.mean = middle;
    r.weights.assign(values.size(), 1.0);
    if (r.scale <= 0.0)
        return r;
    for (int step = 0; step < 200; ++step) {
        double sum = 0.0, weight = 0.0;
        for (std::size_t i = 0; i < values.size(); ++i) {
            const double z = std::abs(values[i] - r.mean) / r.scale;
            r.weights[i] = z <= kHuber ? 1.0 : kHuber / z;
            sum += r.weights[i] * values[i];
            weight += r.weights[i];
        }
        const double next = sum / weight;
        const bool settled = std::abs(next - r.mean) < 1e-12 * (1.0 + std::abs(next));
        r.mean = next;
        if (settled)
            break;
    }
    const double n = static_cast<double>(values.size());
    double psi2 = 0.0, kept = 0.0;
    for (const double x : values) {
        const double z = std::clamp((x - r.mean) / r.scale, -kHuber, kHuber);
        psi2 += z * z;
        kept += std::abs(x - r.mean) / r.scale <= kHuber ? 1.0 : 0.0;
    }
    r.u = r.scale * std::sqrt(psi2 / (n - 1.0)) / (std::max(kept, 1.0) / n * std::sqrt(n));
    // A handful of values that happen to agree are not better known than what was stated of them.
    double stated = 0.0;
    for (const double x : u)
        stated += x * x / (n * n);
    r.u = std::max(r.u, 0.5 * std::sqrt(stated));
    return r;
}

double Pooled::newGroupSd() const
{
    return std::sqrt(betweenVar + u * u);
}

Result<Pooled> poolGroups(std::span<const double> means, std::span<const double> s)
{
    if (means.empty() || means.size() != s.size())
        return failure(Errc::TooFewReadings, "no groups to pool");
    for (const double x : s)
        if (!(x > 0.0) || !std::isfinite(x))
            return failure(Errc::BadInput, "the uncertainty of a group's mean must be positive");
    const double k = static_cast<double>(means.size());
    double mu = 0.0, weight = 0.0;
    const auto q = [&](double tau2) {
        double sum = 0.0;
        weight = 0.0;
        for (std::size_t i = 0; i < means.size(); ++i) {
            const double w = 1.0 / (s[i] * s[i] + tau2);
            sum += w * means[i];
            weight += w;
        }
        mu = sum / weight;
        double total = 0.0;
        for (std::size_t i = 0; i < means.size(); ++i)
            total += (means[i] - mu) * (means[i] - mu) / (s[i] * s[i] + tau2);
        return total;
    };
    double tau2 = 0.0;
    if (q(0.0) > k - 1.0) {
        double low = 0.0, high = 1.0;
        while (q(high) > k - 1.0)
            high *= 2.0;
        for (int i = 0; i < 200 && high - low > 1e-14 * high; ++i) {
            const double middle = 0.5 * (low + high);
            (q(middle) > k - 1.0 ? low : high) = middle;
        }
        tau2 = 0.5 * (low + high);
    }
    q(tau2);
    Pooled out;
    out.betweenVar = tau2;
    out.mean = mu;
    out.u = std::sqrt(1.0 / weight);
    for (std::size_t i = 0; i < means.size(); ++i) {
        const double b = s[i] * s[i] / (s[i] * s[i] + tau2);
        out.groups.push_back({means[i], s[i], (1.0 - b) * means[i] + b * mu, std::sqrt((1.0 - b) * s[i] * s[i] + b * b * out.u * out.u)});
    }
    return out;
}

}  // namespace halfcell::core
