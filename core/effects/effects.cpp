#include "core/effects/effects.h"

#include "core/lifetimes/kaplan_meier.h"
#include "core/outlook/normal_law.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace halfcell::core {
namespace {

constexpr double kZ90 = 1.6448536269514722;
constexpr double kLeastOwn = 0.4;  // % of a reading's own, unshared uncertainty where the fit gives less
/// Standard uncertainty, %, of what all services of a group share: dirty and clean sensors are not read alike (waits, noise), and no
/// number of visits averages it away. Chosen on simulated plants 5001 to 5004, not from field data.
constexpr double kPhases = 0.40;
constexpr double kShared = 0.45;  // % of a fit's uncertainty that both readings of a visit share (same bottles), our choice

struct Before {
    double forecast = 0.0, var = 0.0;
};

bool serves(ActionKey a)
{
    return a != ActionKey::Adjust && a != ActionKey::Standardise && a != ActionKey::Replace && a != ActionKey::Scrap;
}

/// The actions between two phases of a visit, joined in the order of their names; those after `from` and not after `to`.
std::string actionsBetween(const Visit& visit, const Instant& from, const Instant& to)
{
    std::set<std::string> names;
    for (const Action& a : visit.actions)
        if (serves(a.action) && a.when >= from && a.when <= to)
            names.insert(std::string(keyOf(a.action)));
    std::string joined;
    for (const std::string& n : names)
        joined += (joined.empty() ? "" : "+") + n;
    return joined;
}

std::optional<Instant> firstOf(const Visit& visit, Phase phase)
{
    std::optional<Instant> first;
    for (const Reading& r : visit.readings)
        if (r.phase == phase && (!first || r.when < *first))
            first = r.when;
    return first;
}

struct ValueU {
    double value = 0.0, u = 0.0;
};

/// What the sensor would have read had it been waited for, from what is recorded of wait and response, with what both readings of a
/// visit do not share: the scatter of one reading here, and what is not known of the missing part.
ValueU settled(const outlook::FleetNumbers& fleet, const Visit& visit, const PhaseFigures& f, const outlook::MeanVar& lnResponse25)
{
    const outlook::ReadHow how = outlook::readHow(visit, f.phase);
    const outlook::TooSoon missed = outlook::tooSoonOf(fleet, how.wait_s, how.t90_s, how.temp_c, lnResponse25);
    const double u = f.u_efficiency_pct.value_or(0.8);
    const double own = std::max({kLeastOwn * kLeastOwn, u * u - kShared * kShared, fleet.readingVar});
    const double share = 1.0 - missed.mean, value = *f.efficiency_pct / share;
    return {value, std::sqrt(own + value * value * missed.var) / share};
}

/// A candidate before the group's usual loss is known.
struct Candidate {
    Service service;
    std::size_t series = 0;
    double clean = 0.0, cleanVar = 0.0;  ///< forecast of the clean efficiency before the visit
    double found = 0.0, uFound = 0.0, after = 0.0, uAfter = 0.0;
};

}  // namespace

ServiceGain serviceGain(double forecast, double u_forecast, double found, double u_found, double after, double u_after)
{
    const double m2 = u_forecast * u_forecast, y2 = u_found * u_found, w = m2 / (m2 + y2);
    ServiceGain g;
    g.before = forecast + w * (found - forecast);
    g.gain = after - g.before;
    g.u = std::sqrt(u_after * u_after + m2 * y2 / (m2 + y2));
    g.plain = after - found;
    return g;
}

ServiceList servicesOf(const Plant& plant, std::span<const std::vector<VisitFigures>> figures, const outlook::BookOutlook& book)
{
    ServiceList list;
    std::vector<Candidate> candidates;
    const auto histories = plant.histories();
    for (std::size_t i = 0; i < histories.size() && i < figures.size(); ++i) {
        const outlook::Series& series = book.shop.series[i];
        if (series.kind != SensorKind::Ph)
            continue;
        outlook::Replay state = outlook::startOf(series, book.walk.model);
        std::size_t next = 0;
        for (std::size_t v = 0; v < figures[i].size(); ++v) {
            const VisitFigures& visit = figures[i][v];
            // The filters as they stood before this visit (series visits run parallel to the figures).
            while (next < v)
                outlook::replayOn(state, series, book.walk.model, next, series.visits[next].when);
            if (!visit.visit)
                continue;
            const PhaseFigures* found = visit.phase(Phase::AsFound);
            const PhaseFigures* after = visit.phase(Phase::AfterClean);
            const PhaseFigures* left = visit.phase(Phase::AsLeft);
            const PhaseFigures* then = after && after->efficiency_pct ? after : left;
            if (!found || !found->efficiency_pct || !then || !then->efficiency_pct || *found->efficiency_pct < 25.0 ||
                *then->efficiency_pct < 25.0)
                continue;
            const auto from = firstOf(*visit.visit, Phase::AsFound), to = firstOf(*visit.visit, then->phase);
            if (!from || !to)
                continue;
            const std::string actions = actionsBetween(*visit.visit, *from, *to);
            if (actions.empty())
                continue;
            if (state.taken.size() < 2) {
                ++list.withoutForecast;
                continue;
            }
            Candidate c;
            c.series = i;
            c.service.serial = series.serial;
            c.service.visit = visit.visit->visit;
            c.service.actions = actions;
            c.service.when = visit.when;
            const Model* model = histories[i].model;
            c.service.design = model && model->reference ? std::string(keyOf(*model->reference)) : std::string();
            const Point* point = visit.visit->tag ? plant.point(*visit.visit->tag) : nullptr;
            c.service.application = point && point->application ? *point->application : std::string();
            const double ahead = std::max(0.0, series.visits[v].weeks - state.level.time());
            double mean = 0.0, second = 0.0;
            for (const outlook::ForecastPart& p : state.level.ahead(ahead)) {
                mean += p.weight * p.mean;
                second += p.weight * (p.var + p.mean * p.mean);
            }
            c.clean = mean;
            c.cleanVar = std::max(0.01, second - mean * mean);
            const outlook::MeanVar response = state.level.lnResponse();
            const ValueU before = settled(book.walk.model.fleet, *visit.visit, *found, response);
            const ValueU later = settled(book.walk.model.fleet, *visit.visit, *then, response);
            c.found = before.value;
            c.uFound = before.u;
            c.after = later.value;
            c.uAfter = later.u;
            candidates.push_back(std::move(c));
        }
    }
    // How much lower than clean sensors of an application are usually found, and how that varies: what "as found" is forecast by.
    std::map<std::string, std::vector<double>> losses;
    std::vector<double> all;
    for (const Candidate& c : candidates) {
        losses[c.service.application].push_back(c.found - c.clean);
        all.push_back(c.found - c.clean);
    }
    std::map<std::string, Before> usual;
    const auto spreadOf = [](std::vector<double> v) {
        std::ranges::sort(v);
        const double middle = v[v.size() / 2];
        for (double& x : v)
            x = std::abs(x - middle);
        std::ranges::sort(v);
        const double sd = 1.4826 * v[v.size() / 2];
        return Before{middle, sd * sd};
    };
    constexpr std::size_t kLeastLosses = 10;
    const Before whole = all.empty() ? Before{} : spreadOf(all);
    for (const auto& [application, values] : losses)
        usual[application] = values.size() >= kLeastLosses ? spreadOf(values) : whole;
    for (Candidate& c : candidates) {
        const Before& b = usual[c.service.application];
        const double forecastVar = std::max(b.var - c.uFound * c.uFound, 0.25);
        c.service.gain = serviceGain(c.clean + b.forecast, std::sqrt(forecastVar), c.found, c.uFound, c.after, c.uAfter);
    }
    // How long: the next as-found readings of the same sensor against what it would have been without the service, until the next
    // service of the same kind of state.
    for (std::size_t k = 0; k < candidates.size(); ++k) {
        Candidate& c = candidates[k];
        const outlook::Series& series = book.shop.series[c.series];
        const double atWeeks = series.weeksAt(c.service.when);
        const outlook::Replay then = outlook::replay(series, book.walk.model, c.service.when);
        double lasted = 0.0;
        bool lost = false;
        for (const VisitFigures& later : figures[c.series]) {
            if (!later.visit || !(later.when > c.service.when))
                continue;
            const PhaseFigures* found = later.phase(Phase::AsFound);
            if (found && found->efficiency_pct && c.service.gain.gain > 0.0) {
                const double weeks = series.weeksAt(later.when) - atWeeks;
                double mean = 0.0;
                for (const outlook::ForecastPart& p : then.level.ahead(weeks))
                    mean += p.weight * p.mean;
                const double aged = mean - then.level.capability().mean;
                const double remaining = *found->efficiency_pct - (c.service.gain.before + aged);
                const double days = daysBetween(c.service.when, later.when);
                if (remaining < 0.5 * c.service.gain.gain) {
                    lasted = days;
                    lost = true;
                    break;
                }
                lasted = days;
            }
            // The next service ends the watch.
            if (std::ranges::any_of(later.visit->actions, [](const Action& a) { return serves(a.action); }))
                break;
        }
        c.service.lasted_days = lasted;
        c.service.lostSeen = lost;
        list.services.push_back(std::move(c.service));
    }
    return list;
}

std::vector<Effect> effectsOf(std::span<const Service> services, EffectBy by)
{
    const bool design = by == EffectBy::ActionDesignApplication || by == EffectBy::ActionDesign;
    const bool application = by == EffectBy::ActionDesignApplication || by == EffectBy::ActionApplication;
    std::map<std::tuple<std::string, std::string, std::string>, std::vector<const Service*>> groups;
    for (const Service& s : services)
        groups[{s.actions, design ? s.design : std::string(), application ? s.application : std::string()}].push_back(&s);
    std::vector<Effect> effects;
    std::map<std::string, std::vector<std::size_t>> byAction;
    std::vector<RobustMean> means;
    for (const auto& [key, members] : groups) {
        Effect e;
        std::tie(e.action, e.design, e.application) = key;
        e.n = members.size();
        std::set<std::string> serials;
        std::vector<double> gains, u;
        std::vector<LifeRecord> lives;
        for (const Service* s : members) {
            serials.insert(s->serial);
            gains.push_back(s->gain.gain);
            u.push_back(s->gain.u);
            e.plain_pct += s->gain.plain / static_cast<double>(members.size());
            if (s->lasted_days > 0.0) {
                lives.push_back({.entry = 0.0, .exit = s->lasted_days, .failed = s->lostSeen, .weight = 1.0, .cause = 0});
                if (!s->lostSeen)
                    e.heldAtLeast_days = std::max(e.heldAtLeast_days, s->lasted_days);
            }
        }
        e.sensors = serials.size();
        e.borrowed = e.n < kEffectLeastVisits || e.sensors < kEffectLeastSensors;
        RobustMean mean;
        if (const auto robust = huberMean(gains, u)) {
            mean = *robust;
        } else {
            mean.mean = gains.front();
            mean.u = u.front();
        }
        mean.u = std::max(mean.u, 0.05);
        if (lives.size() >= 3)
            if (const auto curve = kaplanMeier(lives, 0.90)) {
                e.lasted_days = curve->median;
                e.lastedLower = curve->medianLower;
                e.lastedUpper = curve->medianUpper;
            }
        byAction[e.action].push_back(effects.size());
        effects.push_back(std::move(e));
        means.push_back(std::move(mean));
    }
    for (const auto& [action, members] : byAction) {
        std::vector<double> y, s;
        for (const std::size_t i : members)
            if (!effects[i].borrowed) {
                y.push_back(means[i].mean);
                s.push_back(means[i].u);
            }
        const auto pooled = poolGroups(y, s);
        std::size_t k = 0;
        for (const std::size_t i : members) {
            Effect& e = effects[i];
            double mean = 0.0, sd = 0.0;
            if (!e.borrowed && pooled) {
                mean = pooled->groups[k].estimate;
                sd = pooled->groups[k].sd;
                ++k;
            } else if (pooled) {
                mean = pooled->mean;
                sd = pooled->newGroupSd();
            } else {
                continue;  // too little anywhere: no figure
            }
            sd = std::sqrt(sd * sd + kPhases * kPhases);
            e.gain_pct = mean;
            e.lower = mean - kZ90 * sd;
            e.upper = mean + kZ90 * sd;
            e.chancePositive = outlook::normalBelow(mean / sd);
            e.chanceWorthwhile = outlook::normalBelow((mean - kWorthwhileGain_pct) / sd);
        }
    }
    return effects;
}

}  // namespace halfcell::core
