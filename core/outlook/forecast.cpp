#include "core/outlook/forecast.h"

#include "core/outlook/fixed_exp.h"
#include "core/outlook/normal_law.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::outlook {
namespace {

constexpr double kSuspected = 0.3;
constexpr double kStaleShare = 0.25;  // of the group's life without a reading
constexpr std::size_t kSmallGroup = 10;

/// A forecast part with its response, for merging.
std::vector<ForecastPart> fewer(const std::vector<ForecastPart>& parts)
{
    struct Keyed {
        std::int64_t spread, place;
        const ForecastPart* part;
    };
    std::vector<Keyed> keyed;
    keyed.reserve(parts.size());
    for (const ForecastPart& p : parts) {
        const double lnSd = 0.5 * fixedLog(p.var);
        const auto spread = static_cast<std::int64_t>(std::floor(lnSd / 0.3));
        const double cell = 0.25 * fixedExp(0.3 * static_cast<double>(spread));
        keyed.push_back({spread, static_cast<std::int64_t>(std::floor(p.mean / cell)), &p});
    }
    std::ranges::stable_sort(keyed,
                             [](const Keyed& a, const Keyed& b) { return a.spread != b.spread ? a.spread < b.spread : a.place < b.place; });
    std::vector<ForecastPart> out;
    for (std::size_t i = 0; i < keyed.size();) {
        ForecastPart sum;
        std::size_t j = i;
        for (; j < keyed.size() && keyed[j].spread == keyed[i].spread && keyed[j].place == keyed[i].place; ++j) {
            const ForecastPart& p = *keyed[j].part;
            sum.weight += p.weight;
            sum.mean += p.weight * p.mean;
            sum.lnResponse += p.weight * p.lnResponse;
        }
        if (sum.weight > 0.0) {
            sum.mean /= sum.weight;
            sum.lnResponse /= sum.weight;
            for (std::size_t k = i; k < j; ++k) {
                const ForecastPart& p = *keyed[k].part;
                sum.var += p.weight * (p.var + (p.mean - sum.mean) * (p.mean - sum.mean));
                sum.lnResponseVar += p.weight * (p.lnResponseVar + (p.lnResponse - sum.lnResponse) * (p.lnResponse - sum.lnResponse));
            }
            sum.var /= sum.weight;
            sum.lnResponseVar /= sum.weight;
            out.push_back(sum);
        }
        i = j;
    }
    return out;
}

}  // namespace

Mixture capabilityLaw(const AgeingFilter& filter, double weeks)
{
    std::vector<Mixture::Part> parts;
    for (const ForecastPart& p : fewer(filter.ahead(weeks)))
        parts.push_back({p.weight, p.mean, std::sqrt(p.var)});
    return Mixture(std::move(parts));
}

Mixture tableLaw(const AgeingFilter& filter, double weeks)
{
    std::vector<Mixture::Part> parts;
    for (const ForecastPart& p : fewer(filter.ahead(weeks)))
        parts.push_back({p.weight, p.mean, std::sqrt(p.var + filter.fleet().readingVar)});
    return Mixture(std::move(parts));
}

Mixture readingLaw(const AgeingFilter& filter, double weeks)
{
    const FleetNumbers& fleet = filter.fleet();
    const double noise = fleet.readingVar + fleet.sharedSd * fleet.sharedSd + fleet.roundSd * fleet.roundSd;
    const double badNoise = noise + (fleet.badFactor - 1.0) * fleet.readingVar;
    std::vector<Mixture::Part> parts;
    for (const ForecastPart& p : fewer(filter.ahead(weeks))) {
        if (!fleet.readTooSoon) {
            parts.push_back({p.weight * (1.0 - fleet.badShare), p.mean, std::sqrt(p.var + noise)});
            parts.push_back({p.weight * fleet.badShare, p.mean, std::sqrt(p.var + badNoise)});
            continue;
        }
        for (const RatioNode& node : ratiosAhead(fleet, {p.lnResponse, p.lnResponseVar + fleet.responseRead})) {
            const double f = 1.0 - missedShare(node.lnRatio), w = p.weight * node.weight;
            if (!(w > 0.0))
                continue;
            parts.push_back({w * (1.0 - fleet.badShare), p.mean * f, std::sqrt(p.var * f * f + noise)});
            parts.push_back({w * fleet.badShare, p.mean * f, std::sqrt(p.var * f * f + badNoise)});
        }
    }
    return Mixture(std::move(parts)).merged();
}

Mixture lnResponseLaw(const AgeingFilter& filter, double weeks)
{
    const FleetNumbers& fleet = filter.fleet();
    std::vector<Mixture::Part> parts;
    for (const ForecastPart& p : filter.ahead(weeks))
        parts.push_back(
            {p.weight, p.lnResponse + lnColdResponse(20.0), std::sqrt(p.lnResponseVar + fleet.responseVar + fleet.responseRead)});
    return Mixture(std::move(parts)).merged();
}

double CrossingCurve::at(double weeks) const
{
    if (probability.empty())
        return 0.0;
    const double place = std::max(weeks, 0.0) / step;
    const auto i = static_cast<std::size_t>(place);
    if (i + 1 >= probability.size())
        return probability.back();
    return probability[i] + (place - static_cast<double>(i)) * (probability[i + 1] - probability[i]);
}

std::optional<double> CrossingCurve::when(double p) const
{
    for (std::size_t i = 0; i < probability.size(); ++i) {
        if (probability[i] < p)
            continue;
        if (i == 0)
            return 0.0;
        const double share = (p - probability[i - 1]) / (probability[i] - probability[i - 1]);
        return step * (static_cast<double>(i - 1) + share);
    }
    return std::nullopt;
}

CrossingCurve crossingCurve(const AgeingFilter& filter, double limit, double until, double step, double lag)
{
    CrossingCurve curve;
    curve.step = step;
    double largest = 0.0;
    const auto steps = static_cast<std::size_t>(std::ceil(until / step - 1e-9));
    for (std::size_t i = 0; i <= steps; ++i) {
        double below = 0.0;
        for (const ForecastPart& p : filter.ahead(lag + step * static_cast<double>(i)))
            below += p.weight * normalBelow((limit - p.mean) / std::sqrt(p.var));
        largest = std::clamp(std::max(largest, below), 0.0, 1.0);
        curve.probability.push_back(largest);
    }
    return curve;
}

SpreadShares spreadShares(const AgeingFilter& filter, double weeks)
{
    SpreadShares shares;
    const auto now = filter.ahead(0.0);
    const auto then = filter.ahead(weeks);
    double mean = 0.0, weight = 0.0;
    // The parts come in node order, those with a sudden loss after all the plain ones.
    const std::size_t plain = then.size() / (then.size() > now.size() || weeks > 0.0 ? 2 : 1);
    for (std::size_t i = 0; i < plain; ++i) {
        mean += then[i].weight * then[i].mean;
        weight += then[i].weight;
    }
    mean /= weight;
    double total = 0.0;
    for (std::size_t i = 0; i < plain; ++i) {
        const double w = then[i].weight / weight;
        shares.between += w * (then[i].mean - mean) * (then[i].mean - mean);
        total += w * then[i].var;
    }
    for (const ForecastPart& p : now)
        shares.level += p.weight * p.var;
    shares.level = std::min(shares.level, total);
    shares.wander = total - shares.level;
    double whole = 0.0, wholeMean = 0.0;
    for (const ForecastPart& p : then)
        wholeMean += p.weight * p.mean;
    for (const ForecastPart& p : then)
        whole += p.weight * (p.var + (p.mean - wholeMean) * (p.mean - wholeMean));
    shares.sudden = std::max(0.0, whole - shares.between - total);
    return shares;
}

std::string abstainsAsDead(const Replay& state, const Series& series)
{
    if (!state.dead)
        return {};
    const SeriesVisit& v = series.visits[*state.dead];
    return fmt::format("the last reading, {:.1f} % on {}, is that of a dead sensor or a wiring fault: find the cause first", *v.state_pct,
                       formatDate(v.when));
}

Abstention abstains(const Replay& state, const Series& series, const GroupModel& group, double nowWeeks, double weeks)
{
    const std::size_t n = state.taken.size();
    const auto soFar = [&] { return fmt::format("{} usable clean reading{}", n, n == 1 ? "" : "s"); };
    if (std::string dead = abstainsAsDead(state, series); !dead.empty())
        return {std::move(dead), false};
    if (n < kLeastClean)
        return {
            fmt::format("not enough yet: {} of {} needed; the range shown is that of its group ({})", soFar(), kLeastClean, group.words),
            true};
    if (2 * state.withoutTemperature >= state.withoutTemperature + n)
        return {"not enough yet: half of the visits are without the standard's temperature", false};
    if (state.level.badProbability() > kSuspected)
        return {"the last reading does not fit the ones before: one more calibration first", false};
    if (state.unexplainedRise)
        return {"the last reading rose by more than 3 % although nothing was done that explains it: one more calibration first", false};
    const double life = state.level.group().life();
    const double last = series.visits[*state.lastClean].weeks, age = nowWeeks - last;
    if (age > kStaleShare * life)
        return {
            fmt::format("the last usable reading is {:.0f} weeks old, more than a quarter of the usual life here: calibrate first", age),
            false};
    if (weeks > state.level.horizonLimit() + 1e-9)
        return {fmt::format("{:.0f} weeks is beyond {:.0f}, the longest that is forecast here (a usual life of the group, a year at most)",
                            weeks, state.level.horizonLimit()),
                false};
    const double span = last - series.visits[state.taken.front().visit].weeks;
    if (weeks > 2.0 * span && group.sensors < kSmallGroup)
        return {fmt::format("{:.0f} weeks is more than twice what has been seen of it, and its group has only {} sensors to learn from",
                            weeks, group.sensors),
                false};
    return {};
}

}  // namespace halfcell::core::outlook
