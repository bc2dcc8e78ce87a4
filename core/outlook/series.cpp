#include "core/outlook/series.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace halfcell::core::outlook {
namespace {

constexpr double kSecondsPerWeek = 7.0 * 86400.0;

bool isPoint(std::string_view place)
{
    return place != kShelf && place != kSoak && place != kBench && place != kQuarantine && place != kScrap;
}

/// When the book began to watch: the first day anything stood anywhere.
std::int64_t bookStart(const Plant& plant)
{
    std::int64_t start = plant.asOf().utcSeconds;
    for (const Placement& p : plant.records().placements)
        start = std::min(start, p.from.utcSeconds);
    for (const Visit& v : plant.records().visits)
        start = std::min(start, v.when.utcSeconds);
    return start;
}

void setClock(const Plant& plant, const SensorHistory& history, std::int64_t begin, Series& series)
{
    constexpr std::int64_t kDay = 86400;
    std::int64_t start = 0;
    double weeks = 0.0;
    bool any = false;
    const Placement* firstPoint = nullptr;
    for (const Placement* p : history.placements)
        if (isPoint(p->place)) {
            firstPoint = p;
            break;
        }
    series.knownStart = false;
    if (history.sensor->first_wet && (!firstPoint || *history.sensor->first_wet <= firstPoint->from)) {
        start = history.sensor->first_wet->utcSeconds;
        // Wet, and in service since unless it lay on the shelf in between.
        series.knownStart = true;
        any = true;
    } else if (firstPoint) {
        start = firstPoint->from.utcSeconds;
        weeks = firstPoint->entry_age_days.value_or(0.0) / 7.0;
        series.knownStart = firstPoint->entry_age_days.has_value() || start > begin + 7 * kDay;
        any = true;
    } else if (!history.placements.empty()) {
        start = history.placements.front()->from.utcSeconds;
        any = true;
    } else if (!history.visits.empty()) {
        start = history.visits.front()->when.utcSeconds;
        any = true;
    }
    if (!any)
        start = plant.asOf().utcSeconds;
    // Legacy records may be older than what the placements say.
    if (!series.knownStart && !history.legacy.empty())
        start = std::min(start, history.legacy.front()->when.utcSeconds);
    double rate = 1.0;
    series.clock.push_back({start, weeks, rate});
    for (const Placement* p : history.placements) {
        const std::int64_t from = std::max(p->from.utcSeconds, start);
        const double wanted = isPoint(p->place) ? 1.0 : kShelfRate;
        Series::Mark& last = series.clock.back();
        if (wanted == last.rate)
            continue;
        const double at = last.weeks + last.rate * static_cast<double>(from - last.utcSeconds) / kSecondsPerWeek;
        series.clock.push_back({from, at, wanted});
    }
}

std::optional<LevelEvent> levelEventOf(ActionKey action)
{
    switch (action) {
    case ActionKey::Rehydrate: return LevelEvent::Rehydrated;
    case ActionKey::RegenerateGlass: return LevelEvent::Regenerated;
    case ActionKey::Rewire:
    case ActionKey::DryConnector: return LevelEvent::Rewired;
    default: return std::nullopt;
    }
}

double offsetEventVar(ActionKey action)
{
    switch (action) {
    case ActionKey::RefillReference:
    case ActionKey::ReplaceBridge: return 15.0 * 15.0;
    case ActionKey::RegenerateGlass: return 10.0 * 10.0;
    case ActionKey::Rehydrate:
    case ActionKey::Rewire:
    case ActionKey::DryConnector: return 5.0 * 5.0;
    default: return 0.0;
    }
}

/// Bottles of a phase: the lots in order of their names; where one is not written, its standard.
std::string bottlesOf(const Visit& visit, Phase phase)
{
    std::vector<std::string> names;
    for (const Reading& r : visit.readings)
        if (r.phase == phase && r.mv)
            names.push_back(r.lot && !r.lot->empty() ? *r.lot : "?" + r.standard);
    std::ranges::sort(names);
    names.erase(std::ranges::unique(names).begin(), names.end());
    std::string joined;
    for (const std::string& n : names)
        joined += (joined.empty() ? "" : "+") + n;
    return joined;
}

struct Context {
    const Plant& plant;
    const RuleSet& rules;
    std::map<GroupKey, std::size_t> groups;
    std::map<std::tuple<std::int64_t, std::string, std::string>, std::size_t> rounds;
};

std::size_t groupAt(Context& c, const SensorHistory& history, const Text& tag, const Placement* placement)
{
    const Point* point = nullptr;
    if (placement && isPoint(placement->place))
        point = c.plant.point(placement->place);
    if (!point && tag)
        point = c.plant.point(*tag);
    GroupKey key;
    key.model = history.sensor->model;
    key.application = point && point->application ? *point->application : std::string();
    key.site = point ? point->site : std::string();
    key.usualLifeMonths = c.rules.lifeMonths(key.application).usual;
    return c.groups.try_emplace(key, c.groups.size()).first->second;
}

/// Whether something was done between the readings after cleaning and those as left that may change them.
bool sameState(const Visit& visit)
{
    Instant lastClean;
    bool any = false;
    for (const Reading& r : visit.readings)
        if (r.phase == Phase::AfterClean) {
            lastClean = any ? std::max(lastClean, r.when) : r.when;
            any = true;
        }
    if (!any)
        return false;
    for (const Action& a : visit.actions)
        if (a.when > lastClean && a.action != ActionKey::Adjust && a.action != ActionKey::Standardise)
            return false;
    return true;
}

void takeFigures(Context& c, const Series& series, const VisitFigures& figures, SeriesVisit& out)
{
    const PhaseFigures* left = figures.phase(Phase::AsLeft);
    const PhaseFigures* after = figures.phase(Phase::AfterClean);
    const PhaseFigures* found = figures.phase(Phase::AsFound);
    const PhaseFigures* clean = left && left->efficiency_pct ? left : after;
    if (!clean || (!clean->efficiency_pct && !clean->offset_mv)) {
        clean = left ? left : after;
        if (found && !clean && figures.visit && figures.visit->cleaned_before.value_or(false)) {
            clean = found;
            out.varFactor = 4.0;
        }
    }
    if (const PhaseFigures* state = figures.lastState(); state && state->offset_mv)
        out.offset_mv = state->offset_mv;
    if (const PhaseFigures* state = figures.lastState(); state && series.kind == SensorKind::Ph)
        out.state_pct = state->efficiency_pct;
    if (!clean) {
        if (found)
            out.leftOut = "as found only: a film may lie on the glass";
        return;
    }
    if (clean->offset_mv)
        out.offset_mv = clean->offset_mv;
    const Visit* visit = figures.visit;
    if (visit) {
        const ReadHow how = readHow(*visit, clean->phase);
        out.wait_s = how.wait_s;
        out.t90_s = how.t90_s;
        out.temp_c = how.temp_c;
    } else if (clean->t90_s) {
        out.t90_s = clean->t90_s;
    }
    if (series.kind != SensorKind::Ph)
        return;
    if (!clean->efficiency_pct) {
        for (const auto& [figure, reason] : clean->missing)
            if (figure == "efficiency_pct")
                out.leftOut = reason;
        for (const FigureIssue& issue : clean->issues)
            if (issue.code == FindingCode::TemperatureMissing)
                out.withoutTemperature = true;
        return;
    }
    if (*clean->efficiency_pct > kMostEfficiency) {
        out.leftOut = "above what any sensor gives: a wrong standard or a slip";
        return;
    }
    out.efficiency_pct = std::max(*clean->efficiency_pct, kLeastEfficiency);
    out.u_efficiency_pct = clean->u_efficiency_pct.value_or(0.0);
    if (visit && left && after && clean == left && after->efficiency_pct && sameState(*visit) &&
        std::abs(*after->efficiency_pct - *left->efficiency_pct) < 6.0) {
        out.efficiency_pct = std::max(0.5 * (*after->efficiency_pct + *left->efficiency_pct), kLeastEfficiency);
        out.twice = true;
    }
    if (visit) {
        const std::string bottles = bottlesOf(*visit, clean->phase);
        const Point* point = visit->tag ? c.plant.point(*visit->tag) : nullptr;
        const std::string where = point ? point->site : std::string("bench");
        out.round = c.rounds.try_emplace({dayNumber(figures.when), where, bottles}, c.rounds.size()).first->second;
    }
}

Series seriesOf(Context& c, const SensorHistory& history, std::span<const VisitFigures> figures, std::int64_t begin)
{
    Series series;
    series.serial = history.sensor->serial;
    series.model = history.sensor->model;
    series.kind = history.model ? history.model->kind : SensorKind::Ph;
    setClock(c.plant, history, begin, series);
    const Placement* now = history.placementAt(c.plant.asOf());
    series.inService = now && isPoint(now->place);
    if (now && now->place == kScrap)
        series.scrapped = now->from;
    std::vector<LevelEvent> waiting;
    double waitingVar = 0.0;
    bool waitingReference = false;
    for (const VisitFigures& v : figures) {
        SeriesVisit out;
        out.when = v.when;
        out.weeks = series.weeksAt(v.when);
        if (v.visit)
            out.visit = v.visit->visit;
        out.group = groupAt(c, history, v.visit ? v.visit->tag : Text{}, history.placementAt(v.when));
        takeFigures(c, series, v, out);
        if (v.visit) {
            for (const Action& a : v.visit->actions) {
                if (const auto event = levelEventOf(a.action))
                    waiting.push_back(*event);
                waitingVar += offsetEventVar(a.action);
                waitingReference = waitingReference || a.action == ActionKey::RefillReference || a.action == ActionKey::ReplaceBridge;
            }
        }
        out.events = waiting;
        out.offsetEventVar = waitingVar;
        out.referenceChanged = waitingReference;
        waiting.clear();
        waitingVar = 0.0;
        waitingReference = false;
        series.visits.push_back(std::move(out));
    }
    series.groupNow = groupAt(c, history, Text{}, now);
    if (!series.inService && !series.visits.empty())
        series.groupNow = series.visits.back().group;
    if (now && isPoint(now->place)) {
        series.tag = now->place;
        if (const Point* point = c.plant.point(now->place)) {
            series.site = point->site;
            series.application = point->application.value_or("");
        }
    }
    return series;
}

}  // namespace

ReadHow readHow(const Visit& visit, Phase phase)
{
    ReadHow how;
    const Reading* last = nullptr;
    for (const Reading& r : visit.readings) {
        if (r.phase != phase || !r.mv)
            continue;
        if (r.t90_s.has_value() && *r.t90_s > 0.0)
            how.t90_s = std::max(how.t90_s.value_or(0.0), *r.t90_s);
        if (r.temp_degc.has_value() && r.temp_source != TemperatureSource::Guessed)
            how.temp_c = *r.temp_degc;
        last = &r;
    }
    if (last && last->wait_s.has_value() && *last->wait_s > 0.0)
        how.wait_s = *last->wait_s;
    return how;
}

double Series::weeksAt(const Instant& t) const
{
    const Mark* mark = &clock.front();
    for (const Mark& m : clock)
        if (m.utcSeconds <= t.utcSeconds)
            mark = &m;
    return std::max(0.0, mark->weeks + mark->rate * static_cast<double>(t.utcSeconds - mark->utcSeconds) / kSecondsPerWeek);
}

std::size_t Series::cleanReadings(const Instant& until) const
{
    std::size_t n = 0;
    for (const SeriesVisit& v : visits)
        if (v.when <= until && v.efficiency_pct)
            ++n;
    return n;
}

Shop shopOf(const Plant& plant, std::span<const std::vector<VisitFigures>> figures, const RuleSet& rules)
{
    Shop shop;
    Context c{.plant = plant, .rules = rules, .groups = {}, .rounds = {}};
    const auto histories = plant.histories();
    const std::int64_t begin = bookStart(plant);
    for (std::size_t i = 0; i < histories.size() && i < figures.size(); ++i)
        shop.series.push_back(seriesOf(c, histories[i], figures[i], begin));
    // Rounds by day, so that a bottle's error can be carried forward; indices follow.
    std::vector<std::size_t> place(c.rounds.size());
    std::map<std::string, std::size_t> lastOfBottles;
    for (const auto& [key, old] : c.rounds) {
        const auto& [day, where, bottles] = key;
        place[old] = shop.rounds.size();
        RoundKey round{.site = where, .day = day, .bottles = bottles, .before = {}};
        // Only written lots name a bottle that lasts from round to round.
        if (bottles.find('?') == std::string::npos) {
            if (const auto it = lastOfBottles.find(bottles); it != lastOfBottles.end())
                round.before = it->second;
            lastOfBottles[bottles] = shop.rounds.size();
        }
        shop.rounds.push_back(std::move(round));
    }
    shop.groups.resize(c.groups.size());
    for (const auto& [key, index] : c.groups)
        shop.groups[index] = key;
    bool any = false;
    for (Series& s : shop.series)
        for (SeriesVisit& v : s.visits) {
            if (v.round)
                v.round = place[*v.round];
            shop.first = any ? std::min(shop.first, v.when) : v.when;
            shop.last = any ? std::max(shop.last, v.when) : v.when;
            any = true;
        }
    return shop;
}

}  // namespace halfcell::core::outlook
