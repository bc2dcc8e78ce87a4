#include "core/outlook/trend.h"

#include "core/quantity/median.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>

namespace halfcell::core {
namespace {

bool contains(const Visit& visit, std::initializer_list<ActionKey> keys)
{
    return std::ranges::any_of(visit.actions, [&](const Action& a) { return std::ranges::find(keys, a.action) != keys.end(); });
}

/// The clean phase of a visit, if it has one.
const PhaseFigures* cleanPhase(const VisitFigures& visit)
{
    if (const PhaseFigures* left = visit.phase(Phase::AsLeft))
        return left;
    return visit.phase(Phase::AfterClean);
}

template <class Take>
std::vector<TrendPoint> cleanPoints(std::span<const VisitFigures> figures, std::initializer_list<ActionKey> restarts, Take take)
{
    std::vector<TrendPoint> points;
    for (const VisitFigures& visit : figures) {
        if (visit.visit && contains(*visit.visit, restarts))
            points.clear();
        const PhaseFigures* clean = cleanPhase(visit);
        if (!clean)
            continue;
        if (const auto point = take(*clean))
            points.push_back({static_cast<double>(visit.when.utcSeconds) / 86400.0, point->first, point->second});
    }
    return points;
}

}  // namespace

double normalCdf(double z)
{
    return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

TrendForecast Trend::at(double day) const
{
    const double ahead = day - levelDay;
    const double n = static_cast<double>(points);
    const double line = scatter * scatter / n + u_slopePerDay * u_slopePerDay * ahead * ahead;
    return {level + slopePerDay * ahead, std::sqrt(line + scatter * scatter)};
}

double Trend::probabilityBelow(double limit, double day) const
{
    const double ahead = day - levelDay;
    const double n = static_cast<double>(points);
    const double sd = std::sqrt(scatter * scatter / n + u_slopePerDay * u_slopePerDay * ahead * ahead);
    const double mean = level + slopePerDay * ahead;
    if (sd <= 0.0)
        return mean < limit ? 1.0 : 0.0;
    return normalCdf((limit - mean) / sd);
}

Result<Trend> robustTrend(std::span<const TrendPoint> points)
{
    std::vector<TrendPoint> used(points.begin(), points.end());
    for (const TrendPoint& p : used)
        if (!std::isfinite(p.day) || !std::isfinite(p.value) || !std::isfinite(p.u))
            return failure(Errc::BadInput, "a point of the trend is not a finite number");
    std::ranges::stable_sort(used,
                             [](const TrendPoint& a, const TrendPoint& b) { return a.day != b.day ? a.day < b.day : a.value < b.value; });
    if (used.size() > kTrendMostPoints)
        used.erase(used.begin(), used.end() - static_cast<std::ptrdiff_t>(kTrendMostPoints));
    if (used.size() < kTrendLeastPoints)
        return failure(Errc::TooFewReadings, fmt::format("{} clean readings: a trend needs {}", used.size(), kTrendLeastPoints),
                       "record the readings as left at each visit");
    if (used.back().day - used.front().day < kTrendLeastDays)
        return failure(
            Errc::TooFewReadings,
            fmt::format("the clean readings span {:.0f} days: a trend needs {:.0f}", used.back().day - used.front().day, kTrendLeastDays),
            "wait for later visits");

    const std::size_t n = used.size();
    std::vector<double> slopes;
    slopes.reserve(n * (n - 1) / 2);
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t j = i + 1; j < n; ++j)
            if (used[j].day > used[i].day)
                slopes.push_back((used[j].value - used[i].value) / (used[j].day - used[i].day));

    Trend trend;
    trend.points = n;
    trend.firstDay = used.front().day;
    trend.lastDay = used.back().day;
    trend.slopePerDay = medianOf(slopes);
    for (const TrendPoint& p : used)
        trend.levelDay += p.day / static_cast<double>(n);
    double sumSquares = 0.0;
    std::vector<double> residuals, uncertainties;
    for (const TrendPoint& p : used) {
        sumSquares += (p.day - trend.levelDay) * (p.day - trend.levelDay);
        residuals.push_back(p.value - trend.slopePerDay * (p.day - trend.levelDay));
        uncertainties.push_back(p.u);
    }
    trend.level = medianOf(residuals);
    for (double& r : residuals)
        r = std::abs(r - trend.level);
    trend.scatter = std::max(1.4826 * medianOf(residuals), medianOf(uncertainties));
    trend.u_slopePerDay = trend.scatter / std::sqrt(sumSquares);
    return trend;
}

std::vector<TrendPoint> cleanEfficiencies(std::span<const VisitFigures> figures)
{
    return cleanPoints(figures, {ActionKey::ReplaceBridge, ActionKey::RegenerateGlass},
                       [](const PhaseFigures& f) -> std::optional<std::pair<double, double>> {
                           if (!f.efficiency_pct)
                               return std::nullopt;
                           return std::pair{*f.efficiency_pct, f.u_efficiency_pct.value_or(0.0)};
                       });
}

std::vector<TrendPoint> cleanOffsets(std::span<const VisitFigures> figures)
{
    return cleanPoints(figures, {ActionKey::ReplaceBridge, ActionKey::RefillReference},
                       [](const PhaseFigures& f) -> std::optional<std::pair<double, double>> {
                           if (!f.offset_mv)
                               return std::nullopt;
                           return std::pair{*f.offset_mv, f.u_offset_mv.value_or(0.0)};
                       });
}

}  // namespace halfcell::core
