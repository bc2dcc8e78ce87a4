#pragma once

#include "core/outlook/trend.h"
#include "core/rules/rule_set.h"

#include <functional>
#include <optional>

/// The chance that a sensor is out of its limits some days from now, and what that costs.
namespace halfcell::core {

/// Lives with a log-normal spread.
struct LogNormalLife {
    double median_days = 1.0;
    double sigma = 0.5;
    [[nodiscard]] double cdf(double days) const;
    /// The life table's short and long lives are taken as its 10 and 90 per cent points (our reading of "short - usual - long").
    [[nodiscard]] static LogNormalLife of(const LifeMonths& months);
};

/// Days of a month, mean of the Gregorian calendar.
inline constexpr double kDaysPerMonth = 30.436875;

/// Gradual and sudden failure together: P(t) = 1 - (1 - F(t)) exp(-h t), t in days from a moment of reference. F is made
/// non-decreasing in t by its makers below.
class OutRisk {
public:
    OutRisk() = default;
    OutRisk(std::function<double(double)> gradual, double hazardPerDay) : m_gradual(std::move(gradual)), m_hazard(hazardPerDay) {}
    /// Certainly out already.
    [[nodiscard]] static OutRisk certain();
    /// F of a life table, given that the sensor of this age works at the moment of reference.
    [[nodiscard]] static OutRisk ofLife(const LogNormalLife& life, double age_days, double hazardPerDay);
    /// F of a trend: the chance that the clean value lies below `limit`; `referenceDay` is the day number of t = 0.
    [[nodiscard]] static OutRisk ofTrend(const Trend& trend, double limit, double referenceDay, double hazardPerDay);

    [[nodiscard]] double gradual(double t) const;
    [[nodiscard]] double at(double t) const;
    /// First whole day t >= 0 with P(t) >= p, not beyond `horizon`.
    [[nodiscard]] std::optional<std::int64_t> firstDay(double p, std::int64_t horizon = 1460) const;

private:
    std::function<double(double)> m_gradual;
    double m_hazard = 0.0;
};

/// Money lost on average if a sensor is left from this chance to the next: consequence / 7 * integral of P from t1 to t2 (days).
[[nodiscard]] double expectedLoss(double consequencePerWeek, const OutRisk& risk, double t1, double t2);

}  // namespace halfcell::core
