#include "core/outlook/rolling.h"

#include "core/outlook/fixed_exp.h"
#include "core/outlook/in_ranges.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core::outlook {
namespace {

constexpr std::size_t kLineReadings = 6;
constexpr std::size_t kLeastErrors = 40;

/// What one sensor contributes at one origin.
struct Forecasted {
    std::vector<PastForecast> level;
    std::vector<PastOffset> offset;
    std::array<std::size_t, kBands> chances{}, abstained{};
};

/// The visit after `origin` nearest to a horizon, of those with a value.
template <class Has>
std::optional<std::size_t> outcomeFor(const Series& series, const Instant& origin, std::size_t band, const Has& has)
{
    std::optional<std::size_t> best;
    double bestOff = 0.0;
    for (std::size_t j = 0; j < series.visits.size(); ++j) {
        const SeriesVisit& v = series.visits[j];
        const double weeks = daysBetween(origin, v.when) / 7.0;
        if (weeks <= 0.0 || !countsFor(band, weeks) || !has(v))
            continue;
        const double off = std::abs(weeks - kBandWeeks[band]);
        if (!best || off < bestOff) {
            best = j;
            bestOff = off;
        }
    }
    return best;
}

void lineThroughLast(const Series& series, const Replay& state, const Instant& at, PastForecast& out)
{
    std::vector<std::pair<double, double>> points;
    for (auto it = state.taken.rbegin(); it != state.taken.rend() && points.size() < kLineReadings; ++it)
        points.emplace_back(series.visits[it->visit].weeks, *series.visits[it->visit].efficiency_pct);
    if (points.size() < 3)
        return;
    const double n = static_cast<double>(points.size());
    double mx = 0.0, my = 0.0;
    for (const auto& [x, y] : points) {
        mx += x / n;
        my += y / n;
    }
    double xx = 0.0, xy = 0.0;
    for (const auto& [x, y] : points) {
        xx += (x - mx) * (x - mx);
        xy += (x - mx) * (y - my);
    }
    if (xx <= 0.0)
        return;
    const double slope = xy / xx;
    double rest = 0.0;
    for (const auto& [x, y] : points)
        rest += (y - my - slope * (x - mx)) * (y - my - slope * (x - mx));
    const double s2 = std::max(rest / (n - 2.0), 0.01);
    const double ahead = series.weeksAt(at) - mx;
    out.line = my + slope * ahead;
    out.lineSd = std::sqrt(s2 * (1.0 + 1.0 / n + ahead * ahead / xx));
    out.lineT = n - 2.0;
}

Forecasted forecastOne(const Series& series, std::size_t index, const Model& model, const Recalibration& recalibration,
                       const Instant& origin)
{
    Forecasted out;
    const bool ph = series.kind == SensorKind::Ph;
    std::array<std::optional<std::size_t>, kBands> level, offset;
    bool any = false;
    for (std::size_t b = 0; b < kBands; ++b) {
        if (ph)
            level[b] = outcomeFor(series, origin, b, [](const SeriesVisit& v) { return v.efficiency_pct.has_value(); });
        offset[b] = outcomeFor(series, origin, b, [](const SeriesVisit& v) { return v.offset_mv.has_value(); });
        any = any || level[b] || offset[b];
    }
    if (!any || series.visits.front().when > origin)
        return out;
    const Replay state = replay(series, model, origin);
    const double now = series.weeksAt(origin);
    std::size_t group = series.groupNow;
    for (const SeriesVisit& v : series.visits)
        if (v.when <= origin)
            group = v.group;
    for (std::size_t b = 0; b < kBands; ++b) {
        if (level[b]) {
            const SeriesVisit& v = series.visits[*level[b]];
            ++out.chances[b];
            const double ahead = v.weeks - now;
            if (!abstains(state, series, model.of(group), now, ahead).words.empty()) {
                ++out.abstained[b];
            } else {
                PastForecast f;
                f.sensor = index;
                f.group = group;
                f.band = b;
                f.origin = origin;
                f.outcomeAt = v.when;
                f.weeks = ahead;
                f.outcome = *v.efficiency_pct;
                const Mixture law = readingLaw(state.level, v.weeks - state.level.time());
                f.pit = law.below(f.outcome);
                for (std::size_t i = 0; i < kScoreLevels; ++i) {
                    const double alpha = 0.05 * static_cast<double>(i + 1);
                    f.q[i] = std::max(kLeastEfficiency, law.quantile(recalibration.level(b, model.groupOf[group], alpha)));
                }
                f.lastValue = *series.visits[*state.lastClean].efficiency_pct;
                lineThroughLast(series, state, v.when, f);
                out.level.push_back(f);
            }
        }
        if (offset[b] && state.lastOffset && state.offset.readings() >= kLeastClean) {
            const SeriesVisit& v = series.visits[*offset[b]];
            PastOffset f;
            f.group = group;
            f.band = b;
            f.origin = origin;
            f.outcomeAt = v.when;
            f.centre = state.offset.centre(v.weeks - state.offset.time());
            f.outcome = *v.offset_mv;
            f.last = *series.visits[*state.lastOffset].offset_mv;
            out.offset.push_back(f);
        }
    }
    return out;
}

}  // namespace

Result<Walk> walk(const Shop& shop, const Instant& now, const WalkSettings& settings)
{
    Walk out;
    std::vector<Instant> origins;
    if (settings.forecasts && !shop.series.empty()) {
        const double days = daysBetween(shop.first, now);
        const double first = std::max(26.0 * 7.0, settings.firstShare * days);
        for (double back = settings.everyWeeks * 7.0; days - back >= first && origins.size() < settings.mostOrigins;
             back += settings.everyWeeks * 7.0)
            origins.push_back(addDays(now, -back));
        std::ranges::reverse(origins);
    }
    const double parts = static_cast<double>(origins.size()) + 1.0;
    double done = 0.0;
    std::optional<Model> last;
    const auto learnAt = [&](const Instant& at, bool full) -> Result<Model> {
        LearnSettings learning = settings.learning;
        learning.ladders = settings.learning.ladders && full;
        learning.sharesPasses = last && !full ? 1 : settings.learning.sharesPasses;
        if (settings.learning.progress)
            learning.progress = [&](double f) { return settings.learning.progress((done + f) / parts); };
        auto model = learn(shop, at, learning, last ? &*last : nullptr);
        done += 1.0;
        return model;
    };
    std::vector<PastPit> known;
    for (std::size_t o = 0; o < origins.size(); ++o) {
        auto model = learnAt(origins[o], o % 4 == 0);
        if (!model)
            return std::unexpected(model.error());
        known.clear();
        for (const PastForecast& f : out.past)
            if (f.outcomeAt <= origins[o])
                known.push_back({f.band, model->groupOf[f.group], f.sensor, f.pit});
        const Recalibration recalibration = Recalibration::learnt(known);
        std::vector<Forecasted> found(shop.series.size());
        inRanges(shop.series.size(), settings.learning.threads, [&](std::size_t first, std::size_t end) {
            for (std::size_t s = first; s < end; ++s)
                found[s] = forecastOne(shop.series[s], s, *model, recalibration, origins[o]);
        });
        Origin origin{.at = origins[o]};
        for (Forecasted& f : found) {
            out.past.insert(out.past.end(), f.level.begin(), f.level.end());
            out.pastOffsets.insert(out.pastOffsets.end(), f.offset.begin(), f.offset.end());
            for (std::size_t b = 0; b < kBands; ++b) {
                origin.chances += f.chances[b];
                origin.chancesOf[b] += f.chances[b];
                origin.abstainedOf[b] += f.abstained[b];
            }
        }
        out.origins.push_back(origin);
        last = std::move(*model);
    }
    auto model = learnAt(now, origins.size() % 4 == 0);
    if (!model)
        return std::unexpected(model.error());
    out.model = std::move(*model);
    known.clear();
    for (const PastForecast& f : out.past)
        known.push_back({f.band, out.model.groupOf[f.group], f.sensor, f.pit});
    out.recalibration = Recalibration::learnt(known);
    return out;
}

std::vector<double> offsetErrors(const Walk& walk, std::size_t group, std::size_t band)
{
    std::vector<double> own, all;
    for (const PastOffset& f : walk.pastOffsets)
        if (f.band == band) {
            const double e = f.outcome - f.centre;
            all.push_back(e);
            if (walk.model.groupOf[f.group] == group)
                own.push_back(e);
        }
    std::vector<double>& used = own.size() >= kLeastErrors ? own : all;
    if (used.size() < kLeastErrors)
        return {};
    std::ranges::sort(used);
    std::vector<double> points;
    for (int p = 1; p <= 99; ++p) {
        const double at = 0.01 * p * static_cast<double>(used.size() - 1);
        const auto i = static_cast<std::size_t>(at);
        const double next = i + 1 < used.size() ? used[i + 1] : used[i];
        points.push_back(used[i] + (at - static_cast<double>(i)) * (next - used[i]));
    }
    return points;
}

}  // namespace halfcell::core::outlook
