#include "core/upkeep/risk.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core {

double LogNormalLife::cdf(double days) const
{
    return days <= 0.0 ? 0.0 : normalCdf(std::log(days / median_days) / sigma);
}

LogNormalLife LogNormalLife::of(const LifeMonths& months)
{
    // z of 90 per cent; short and long are 2 * z apart.
    constexpr double kZ90 = 1.2815515655446004;
    LogNormalLife life;
    life.median_days = std::max(months.usual, 0.5) * kDaysPerMonth;
    if (months.shortest > 0.0 && months.longest > months.shortest)
        life.sigma = std::log(months.longest / months.shortest) / (2.0 * kZ90);
    return life;
}

OutRisk OutRisk::certain()
{
    return {[](double) { return 1.0; }, 0.0};
}

OutRisk OutRisk::ofLife(const LogNormalLife& life, double age_days, double hazardPerDay)
{
    const double age = std::max(age_days, 0.0);
    const double before = life.cdf(age);
    return {[life, age, before](double t) {
                const double left = 1.0 - before;
                return left > 1e-12 ? (life.cdf(age + t) - before) / left : 1.0;
            },
            hazardPerDay};
}

OutRisk OutRisk::ofTrend(const Trend& trend, double limit, double referenceDay, double hazardPerDay)
{
    // A rising trend, or a growing spread about a high level, must not lower the chance again: the running largest of a few
    // points up to t.
    return {[trend, limit, referenceDay](double t) {
                constexpr int kSteps = 4;
                double largest = 0.0;
                for (int i = 0; i <= kSteps; ++i)
                    largest = std::max(largest, trend.probabilityBelow(limit, referenceDay + t * i / kSteps));
                return largest;
            },
            hazardPerDay};
}

double OutRisk::gradual(double t) const
{
    return m_gradual ? std::clamp(m_gradual(std::max(t, 0.0)), 0.0, 1.0) : 0.0;
}

double OutRisk::at(double t) const
{
    const double after = std::max(t, 0.0);
    return 1.0 - (1.0 - gradual(after)) * std::exp(-m_hazard * after);
}

std::optional<std::int64_t> OutRisk::firstDay(double p, std::int64_t horizon) const
{
    if (at(static_cast<double>(horizon)) < p)
        return std::nullopt;
    std::int64_t low = -1, high = horizon;
    while (high - low > 1) {
        const std::int64_t middle = low + (high - low) / 2;
        (at(static_cast<double>(middle)) >= p ? high : low) = middle;
    }
    return high;
}

double expectedLoss(double consequencePerWeek, const OutRisk& risk, double t1, double t2)
{
    if (!(t2 > t1))
        return 0.0;
    // Simpson's rule; sixteen panels hold the smooth curves of this room to better than a hundredth of a unit.
    constexpr int kPanels = 16;
    const double h = (t2 - t1) / kPanels;
    double sum = risk.at(t1) + risk.at(t2);
    for (int i = 1; i < kPanels; ++i)
        sum += (i % 2 == 1 ? 4.0 : 2.0) * risk.at(t1 + i * h);
    return consequencePerWeek / 7.0 * sum * h / 3.0;
}

}  // namespace halfcell::core
