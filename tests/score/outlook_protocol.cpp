#include "tests/score/outlook_protocol.h"

#include "core/outlook/forecast.h"
#include "core/outlook/learning.h"
#include "core/outlook/score.h"
#include "core/quantity/median.h"

#include <gtest/gtest.h>

#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

namespace halfcell::score {
namespace {

using core::outlook::Model;
using core::outlook::Replay;
using core::outlook::Series;
using core::outlook::SeriesVisit;
using core::outlook::Shop;

constexpr double kLimit = 85.0, kFirstOrigin = 78.0, kEpoch = 26.0, kStanding = 0.4;
constexpr std::size_t kLeastErrors = 20, kLine = 6;

std::optional<std::size_t> outcomeFor(const Fleet& fleet, const Series& series, double origin, std::size_t band)
{
    std::optional<std::size_t> best;
    double off = 0.0;
    for (std::size_t j = 0; j < series.visits.size(); ++j) {
        const SeriesVisit& v = series.visits[j];
        const double ahead = fleet.weekOf(v.when) - origin;
        if (ahead <= 0.0 || !v.efficiency_pct || !core::outlook::countsFor(band, ahead))
            continue;
        if (const double d = std::abs(ahead - core::outlook::kBandWeeks[band]); !best || d < off) {
            best = j;
            off = d;
        }
    }
    return best;
}

/// CRPS of a straight line through the last six clean readings with its own band; absent with fewer than three.
std::optional<double> lineCrps(const Series& series, const Replay& state, double at, double outcome)
{
    std::vector<std::pair<double, double>> points;
    for (auto it = state.taken.rbegin(); it != state.taken.rend() && points.size() < kLine; ++it)
        points.emplace_back(series.visits[it->visit].weeks, *series.visits[it->visit].efficiency_pct);
    if (points.size() < 3)
        return std::nullopt;
    const double n = static_cast<double>(points.size());
    double mx = 0.0, my = 0.0, xx = 0.0, xy = 0.0, rest = 0.0;
    for (const auto& [x, y] : points) {
        mx += x / n;
        my += y / n;
    }
    for (const auto& [x, y] : points) {
        xx += (x - mx) * (x - mx);
        xy += (x - mx) * (y - my);
    }
    if (xx <= 0.0)
        return std::nullopt;
    for (const auto& [x, y] : points)
        rest += std::pow(y - my - xy / xx * (x - mx), 2.0);
    const double sd = std::sqrt(std::max(rest / (n - 2.0), 0.01) * (1.0 + 1.0 / n + (at - mx) * (at - mx) / xx));
    const boost::math::students_t t(n - 2.0);
    std::array<double, kScoreLevels> q{};
    for (std::size_t k = 0; k < kScoreLevels; ++k)
        q[k] = std::clamp(my + xy / xx * (at - mx) + sd * quantile(t, 0.05 * static_cast<double>(k + 1)), core::outlook::kLeastEfficiency,
                          core::outlook::kMostEfficiency);
    return core::outlook::crpsOfQuantiles(q, outcome);
}

/// Whether a series is one whose forecasts count.
bool heldOut(const Fleet& fleet, std::size_t series, std::size_t group, const ProtocolSettings& settings)
{
    if (settings.leftOutSite)
        return fleet.shop.groups[group].site == "site " + std::to_string(*settings.leftOutSite);
    return !fleet.teaches[series];
}

}  // namespace

Model learntModel(const Fleet& fleet, double week, const ProtocolSettings& settings, const Model* start)
{
    Shop teaching = fleet.shop;
    for (std::size_t s = 0; s < teaching.series.size(); ++s) {
        const bool here = settings.leftOutSite && teaching.series[s].site == "site " + std::to_string(*settings.leftOutSite);
        if (here || (!settings.leftOutSite && !fleet.teaches[s]))
            teaching.series[s].visits.clear();
    }
    auto model = core::outlook::learn(teaching, fleet.at(week), {}, start);
    EXPECT_TRUE(model);
    // What a round shares is worked out from readings before and in it only, so one settling serves every origin.
    model->cut = fleet.at(fleet.weeks + 1.0);
    core::outlook::settleRounds(fleet.shop, *model, 1);
    return *std::move(model);
}

Scoring runProtocol(const Fleet& fleet, const ProtocolSettings& settings)
{
    Scoring out;
    const Shop& shop = fleet.shop;
    struct Known {
        core::outlook::PastPit pit;
        std::size_t shopGroup;
        double at, error;
    };
    std::vector<Known> past;
    std::optional<Model> model;
    for (double epoch = kFirstOrigin; epoch < fleet.weeks; epoch += kEpoch) {
        const bool learns = epoch <= settings.learnUntil + 1e-9;
        if (learns)
            model = learntModel(fleet, epoch, settings, model ? &*model : nullptr);
        const double end = epoch + kEpoch < settings.learnUntil + 1e-9 ? epoch + kEpoch : fleet.weeks;
        std::vector<Replay> states;
        std::vector<std::size_t> next(shop.series.size(), 0);
        for (const Series& series : shop.series)
            states.push_back(core::outlook::startOf(series, *model));
        for (double origin = epoch; origin < end - 1e-9; origin += settings.originEvery) {
            const core::Instant now = fleet.at(origin);
            std::vector<core::outlook::PastPit> pits;
            std::map<std::pair<std::string, std::size_t>, std::vector<double>> errors;
            std::array<std::vector<double>, kBands> anyErrors;
            for (const Known& k : past)
                if (k.at <= origin) {
                    pits.push_back(k.pit);
                    pits.back().group = model->groupOf[k.shopGroup];
                    errors[{shop.groups[k.shopGroup].application, k.pit.band}].push_back(k.error);
                    anyErrors[k.pit.band].push_back(k.error);
                }
            const auto recalibration = core::outlook::Recalibration::learnt(pits);
            std::vector<Known> fresh;
            for (std::size_t s = 0; s < shop.series.size(); ++s) {
                const Series& series = shop.series[s];
                if (series.visits.empty() || series.visits.front().when > now || (series.scrapped && *series.scrapped <= now))
                    continue;
                Replay& state = states[s];
                core::outlook::replayOn(state, series, *model, next[s], now);
                const std::size_t group = series.visits[next[s] - 1].group;
                const auto& groupModel = model->of(group);
                const double clock = series.weeksAt(now), lag = clock - state.level.time();
                const bool counts = origin >= settings.learnUntil - 1e-9 && heldOut(fleet, s, group, settings);
                for (std::size_t b = 0; b < kBands; ++b) {
                    const auto j = outcomeFor(fleet, series, origin, b);
                    if (!j)
                        continue;
                    const SeriesVisit& v = series.visits[*j];
                    if (counts)
                        ++out.chances;
                    if (!core::outlook::abstains(state, series, groupModel, clock, v.weeks - clock).words.empty()) {
                        out.abstained += counts ? 1 : 0;
                        continue;
                    }
                    const auto law = core::outlook::readingLaw(state.level, v.weeks - state.level.time());
                    const double last = *series.visits[*state.lastClean].efficiency_pct;
                    fresh.push_back({.pit = {.band = b, .group = 0, .sensor = s, .pit = law.below(*v.efficiency_pct)},
                                     .shopGroup = group,
                                     .at = fleet.weekOf(v.when),
                                     .error = *v.efficiency_pct - last});
                    if (!counts)
                        continue;
                    Scored f;
                    f.series = s;
                    f.band = b;
                    f.origin = origin;
                    f.weeks = v.weeks - clock;
                    f.outcome = *v.efficiency_pct;
                    f.truth = fleet.truth(s, fleet.weekOf(v.when));
                    f.known = series.knownStart;
                    f.sameGroup = v.group == group;
                    f.last = last;
                    f.pit = fresh.back().pit.pit;
                    const auto able = core::outlook::capabilityLaw(state.level, v.weeks - state.level.time()).merged();
                    const double sd = std::sqrt(able.variance()), wider = std::sqrt(1.0 + kStanding * kStanding / (sd * sd));
                    const double middle = able.quantile(recalibration.level(b, model->groupOf[group], 0.5));
                    for (std::size_t i = 0; i < kScoreLevels; ++i) {
                        const double level = recalibration.level(b, model->groupOf[group], 0.05 * static_cast<double>(i + 1));
                        f.q[i] = std::max(core::outlook::kLeastEfficiency, law.quantile(level));
                        f.qTrue[i] = std::max(70.0, middle + wider * (able.quantile(level) - middle));
                    }
                    f.crps = core::outlook::crpsOfQuantiles(f.q, f.outcome);
                    const auto& own = errors[{shop.groups[group].application, b}];
                    const auto& used = own.size() >= kLeastErrors ? own : anyErrors[b];
                    f.lastCrps = used.size() >= kLeastErrors
                                     ? core::outlook::crpsOfQuantiles(core::outlook::quantilesOf(used, last), f.outcome)
                                     : f.crps;
                    f.lineCrps = lineCrps(series, state, v.weeks, f.outcome);
                    out.forecasts.push_back(f);
                }
                if (counts && series.knownStart && core::outlook::abstains(state, series, groupModel, clock, 13.0).words.empty()) {
                    Warning w;
                    w.series = s;
                    w.origin = origin;
                    w.said = core::outlook::crossingCurve(state.level, kLimit, 13.0, 1.0, lag).at(13.0);
                    w.stays = true;
                    for (double ahead = 0.0; ahead <= 26.0; ahead += 1.0)
                        if (fleet.truth(s, origin + ahead) < kLimit) {
                            w.came = w.came || ahead <= 13.0;
                            w.stays = false;
                        }
                    out.warnings.push_back(w);
                }
            }
            past.insert(past.end(), fresh.begin(), fresh.end());
        }
        if (end >= fleet.weeks)
            break;
    }
    return out;
}

Figures figuresOf(const std::vector<Scored>& all, const std::function<bool(const Scored&)>& which)
{
    Figures f;
    double crps = 0.0, last = 0.0, lineOwn = 0.0, line = 0.0;
    std::vector<double> errors, lastErrors;
    for (const Scored& s : all) {
        if (!which(s))
            continue;
        ++f.n;
        const auto in = [](const std::array<double, kScoreLevels>& q, std::size_t low, double x) {
            return x >= q[low] && x <= q[kScoreLevels - 1 - low] ? 1.0 : 0.0;
        };
        f.covers50 += in(s.q, 4, s.outcome);
        f.covers80 += in(s.q, 1, s.outcome);
        f.covers90 += in(s.q, 0, s.outcome);
        f.raw80 += s.pit >= 0.1 && s.pit <= 0.9 ? 1.0 : 0.0;
        f.true50 += in(s.qTrue, 4, s.truth);
        f.true80 += in(s.qTrue, 1, s.truth);
        f.true90 += in(s.qTrue, 0, s.truth);
        crps += s.crps;
        last += s.lastCrps;
        if (s.lineCrps) {
            lineOwn += s.crps;
            line += *s.lineCrps;
        }
        errors.push_back(std::abs(s.outcome - s.q[9]));
        lastErrors.push_back(std::abs(s.outcome - s.last));
    }
    if (f.n == 0)
        return f;
    for (double* x : {&f.covers50, &f.covers80, &f.covers90, &f.raw80, &f.true50, &f.true80, &f.true90})
        *x *= 100.0 / static_cast<double>(f.n);
    f.skillLast = last > 0.0 ? 100.0 * (1.0 - crps / last) : 0.0;
    f.skillLine = line > 0.0 ? 100.0 * (1.0 - lineOwn / line) : 0.0;
    f.error = core::medianOf(std::move(errors));
    f.lastError = core::medianOf(std::move(lastErrors));
    return f;
}

double brierSkill(const std::vector<Warning>& warnings)
{
    double base = 0.0, score = 0.0;
    for (const Warning& w : warnings) {
        base += w.came ? 1.0 : 0.0;
        score += (w.said - (w.came ? 1.0 : 0.0)) * (w.said - (w.came ? 1.0 : 0.0));
    }
    const double n = static_cast<double>(warnings.size());
    if (base <= 0.0 || base >= n)
        return 0.0;
    return 1.0 - score / (base * (1.0 - base / n));
}

double alarmLevel(const std::vector<Warning>& warnings, double falseShare)
{
    std::vector<double> said;
    for (const Warning& w : warnings)
        if (w.stays)
            said.push_back(w.said);
    if (said.empty())
        return 1.0;
    std::ranges::sort(said);
    return said[std::min(said.size() - 1, static_cast<std::size_t>((1.0 - falseShare) * static_cast<double>(said.size())))];
}

std::vector<double> leadsOf(const Fleet& fleet, const std::vector<Warning>& warnings, double level)
{
    std::map<std::size_t, std::vector<const Warning*>> bySeries;
    for (const Warning& w : warnings)
        bySeries[w.series].push_back(&w);
    std::vector<double> leads;
    for (const auto& [series, own] : bySeries) {
        // The first week below the limit, while the sensor hangs in the process or shortly after.
        std::optional<double> crossing;
        for (double week = own.front()->origin; week <= fleet.weeks && !crossing; week += 1.0)
            if (fleet.truth(series, week) < kLimit)
                crossing = week;
        // Early enough after the first origin that a warning of half a year was possible; gone before it: nothing to warn of.
        if (!crossing || *crossing < 182.0 || *crossing > own.back()->origin + 13.0 || own.front()->origin >= *crossing)
            continue;
        double lead = 0.0;
        for (const Warning* w : own)
            if (w->said > level && w->origin < *crossing) {
                lead = *crossing - w->origin;
                break;
            }
        leads.push_back(lead);
    }
    return leads;
}

}  // namespace halfcell::score
