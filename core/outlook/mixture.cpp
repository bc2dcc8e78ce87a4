#include "core/outlook/mixture.h"

#include "core/outlook/fixed_exp.h"
#include "core/outlook/normal_law.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace halfcell::core::outlook {

Mixture::Mixture(std::vector<Part> parts) : m_parts(std::move(parts))
{
    double sum = 0.0;
    for (const Part& p : m_parts)
        sum += p.weight;
    if (sum > 0.0)
        for (Part& p : m_parts)
            p.weight /= sum;
}

double Mixture::mean() const
{
    double m = 0.0;
    for (const Part& p : m_parts)
        m += p.weight * p.mean;
    return m;
}

double Mixture::variance() const
{
    const double m = mean();
    double v = 0.0;
    for (const Part& p : m_parts)
        v += p.weight * (p.sd * p.sd + (p.mean - m) * (p.mean - m));
    return v;
}

double Mixture::below(double x) const
{
    double sum = 0.0;
    for (const Part& p : m_parts)
        sum += p.weight * normalBelow((x - p.mean) / p.sd);
    return std::clamp(sum, 0.0, 1.0);
}

double Mixture::quantile(double p) const
{
    if (m_parts.empty())
        return 0.0;
    double low = m_parts.front().mean, high = low;
    for (const Part& part : m_parts) {
        low = std::min(low, part.mean - 8.0 * part.sd);
        high = std::max(high, part.mean + 8.0 * part.sd);
    }
    const double exact = 1e-9 * (high - low);
    // False position with halving: the law is smooth and rising, so a few steps are enough.
    double fLow = -p, fHigh = 1.0 - p;
    for (int i = 0; i < 80 && high - low > exact; ++i) {
        const double share = std::clamp(fLow / (fLow - fHigh), 0.05, 0.95);
        const double x = i % 3 == 2 ? 0.5 * (low + high) : low + share * (high - low);
        const double f = below(x) - p;
        if (std::abs(f) < 1e-11)
            return x;
        if (f < 0.0) {
            low = x;
            fLow = f;
        } else {
            high = x;
            fHigh = f;
        }
    }
    return 0.5 * (low + high);
}

Mixture Mixture::merged() const
{
    struct Keyed {
        std::int64_t spread, place;
        Part part;
    };
    std::vector<Keyed> keyed;
    keyed.reserve(m_parts.size());
    for (const Part& p : m_parts) {
        const auto spread = static_cast<std::int64_t>(std::floor(fixedLog(p.sd) / 0.3));
        const double cell = 0.2 * fixedExp(0.3 * static_cast<double>(spread));
        keyed.push_back({spread, static_cast<std::int64_t>(std::floor(p.mean / cell)), p});
    }
    std::ranges::stable_sort(keyed,
                             [](const Keyed& a, const Keyed& b) { return a.spread != b.spread ? a.spread < b.spread : a.place < b.place; });
    std::vector<Part> out;
    for (std::size_t i = 0; i < keyed.size();) {
        double w = 0.0, m = 0.0, second = 0.0;
        std::size_t j = i;
        for (; j < keyed.size() && keyed[j].spread == keyed[i].spread && keyed[j].place == keyed[i].place; ++j) {
            const Part& p = keyed[j].part;
            w += p.weight;
            m += p.weight * p.mean;
        }
        m /= w;
        for (std::size_t k = i; k < j; ++k) {
            const Part& p = keyed[k].part;
            second += p.weight * (p.sd * p.sd + (p.mean - m) * (p.mean - m));
        }
        if (w > 0.0)
            out.push_back({w, m, std::sqrt(second / w)});
        i = j;
    }
    return Mixture(std::move(out));
}

}  // namespace halfcell::core::outlook
