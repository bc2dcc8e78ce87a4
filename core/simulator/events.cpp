#include "core/simulator/events.h"

#include "core/simulator/calendar.h"

#include <algorithm>
#include <array>
#include <string_view>

namespace halfcell::core::simulation {
namespace {

using Kind = Ending::Kind;

struct EndingRow {
    Kind kind;
    std::string_view tag;          ///< of the plant as drawn
};

// One of every kind; those that need it on glass, metal or a cell are drawn at such points.
constexpr std::array<EndingRow, 13> kEndings{{
    {Kind::ReversedLeads, "AE-3201"}, {Kind::Broken, "AE-2106"},    {Kind::WetConnector, "AE-2501"}, {Kind::WornLow, "AE-3109"},
    {Kind::WornOut, "AE-3111"},       {Kind::Depleted, "AE-1202"},  {Kind::Filmed, "AE-2304"},       {Kind::Cell, "AE-2205"},
    {Kind::Clogged, "AE-3303"},       {Kind::RedoxFar, "AE-2204"},  {Kind::RedoxFilmed, "AE-4202"},  {Kind::Ground, "AE-3110"},
    {Kind::RedoxNear, "AE-1303"},
}};

std::size_t areaNamed(const Workshop& shop, std::string_view name)
{
    for (std::size_t i = 0; i < shop.layout.areas.size(); ++i)
        if (shop.layout.areas[i].name == name)
            return i;
    return 0;
}

/// The first round of an area on or after a day.
std::int64_t roundOnOrAfter(const Workshop& shop, std::size_t area, std::int64_t day)
{
    while (isoWeekday(day) != shop.layout.areas[area].weekday)
        ++day;
    return day;
}

bool fits(const PointPlan& point, Kind kind)
{
    const ModelSpec& model = modelSpecs()[point.model];
    const bool orp = model.kind == SensorKind::Orp;
    const bool cell = isDifferential(model.reference);
    if (point.record.season_from)
        return false;
    switch (kind) {
    case Kind::RedoxFar:
    case Kind::RedoxNear:
    case Kind::RedoxFilmed: return orp && !cell;
    case Kind::Cell:
    case Kind::Clogged: return !orp && cell;
    case Kind::Depleted: return !orp && !cell && !isRefillable(model.reference) && isGlass(model.sensing);
    case Kind::Ground: return !orp;
    default: return !orp && !cell && isGlass(model.sensing);
    }
}

std::int64_t share(const Workshop& shop, double part)
{
    return shop.startDay + static_cast<std::int64_t>(part * static_cast<double>(shop.untilDay - shop.startDay));
}

/// Picks a point that is not taken yet and passes the test; the first free one if none does.
template <class Test>
std::size_t pickPoint(Workshop& shop, std::set<std::size_t>& taken, Test test)
{
    std::vector<std::size_t> choices;
    for (std::size_t i = 0; i < shop.layout.points.size(); ++i)
        if (!taken.contains(i) && test(shop.layout.points[i]))
            choices.push_back(i);
    if (choices.empty())
        for (std::size_t i = 0; i < shop.layout.points.size(); ++i)
            if (test(shop.layout.points[i]))
                choices.push_back(i);
    if (choices.empty())
        return 0;
    const std::size_t point = choices[static_cast<std::size_t>(shop.plan.below(static_cast<int>(choices.size())))];
    taken.insert(point);
    return point;
}

bool glassPoint(const PointPlan& p)
{
    const ModelSpec& model = modelSpecs()[p.model];
    return isGlass(model.sensing) && !p.record.season_from;
}

}  // namespace

std::int64_t lastRoundDay(const Workshop& shop, std::size_t area)
{
    std::int64_t day = shop.untilDay - 1;
    while (isoWeekday(day) != shop.layout.areas[area].weekday || holidays(day))
        --day;
    return day;
}

bool holidays(std::int64_t day)
{
    const MonthDay d = monthDayOf(day);
    return (d.month == 12 && d.day >= 25) || (d.month == 1 && d.day == 1);
}

Events planEvents(Workshop& shop)
{
    Events events;
    std::set<std::size_t> taken;
    const int times = std::max(1, shop.settings.sensors / 120);

    // Sick sensors at the end, and what else stands open there.
    const auto pointNamed = [&](std::string_view tag, auto test) {
        for (std::size_t i = 0; i < shop.layout.points.size(); ++i)
            if (shop.layout.points[i].record.tag == tag && test(shop.layout.points[i])) {
                taken.insert(i);
                return i;
            }
        return pickPoint(shop, taken, test);
    };
    for (int n = 0; n < times; ++n)
        for (const EndingRow& row : kEndings) {
            const auto test = [&](const PointPlan& p) { return fits(p, row.kind); };
            const std::size_t point = n == 0 ? pointNamed(row.tag, test) : pickPoint(shop, taken, test);
            if (row.kind == Kind::RedoxNear) {
                if (n == 0) {
                    events.otherFillPoint = point;
                    events.otherFillDay = shop.untilDay - std::min<std::int64_t>(100, (shop.untilDay - shop.startDay) / 3);
                } else {
                    continue;
                }
            }
            events.endings.push_back({row.kind, point, lastRoundDay(shop, static_cast<std::size_t>(shop.layout.points[point].area))});
        }
    const auto any = [](const PointPlan& p) { return p.hold && !p.record.season_from; };
    events.heldPoint = pointNamed("AE-3107", any);
    events.doublePoint = pointNamed("AE-1201", [](const PointPlan& p) { return glassPoint(p); });
    events.emptyPoint = pointNamed("AE-3106", [](const PointPlan& p) { return glassPoint(p); });

    // Two silent swaps of like sensors in one area: one is noticed weeks later, one never.
    int swaps = 0;
    for (const double part : {0.45, 0.93}) {
        SilentMove move;
        move.day = swaps == 0 ? share(shop, part) : shop.untilDay - std::min<std::int64_t>(45, (shop.untilDay - shop.startDay) / 4);
        for (const AreaPlan& area : shop.layout.areas) {
            if (swaps == 0 ? area.name != "Raw water" : area.name != "Aeration lanes")
                continue;
            for (const std::size_t a : area.points)
                for (const std::size_t b : area.points)
                    if (move.a == move.b && a < b && shop.layout.points[a].model == shop.layout.points[b].model && !taken.contains(a) && !taken.contains(b)) {
                        move.a = a;
                        move.b = b;
                    }
        }
        if (move.a != move.b) {
            taken.insert(move.a);
            taken.insert(move.b);
            move.found = swaps == 0 ? move.day + 49 : 0;
            events.moves.push_back(move);
        }
        ++swaps;
    }

    const auto incidents = [&](Incident::Kind kind, int count, auto test) {
        std::set<std::size_t> used = taken;
        for (int i = 0; i < count; ++i) {
            const double part = 0.06 + 0.80 * (static_cast<double>(i) + shop.plan.uniform()) / static_cast<double>(count);
            events.incidents.push_back({kind, share(shop, part), pickPoint(shop, used, test)});
        }
    };
    incidents(Incident::Kind::Sulfide, 3 * times, [](const PointPlan& p) {
        return p.sulfide && !isDifferential(modelSpecs()[p.model].reference);
    });
    incidents(Incident::Kind::Breakage, 4 * times, glassPoint);
    incidents(Incident::Kind::WetConnector, 3 * times, glassPoint);
    incidents(Incident::Kind::Input, times, glassPoint);
    incidents(Incident::Kind::Rotation, std::max(1, shop.settings.sensors * 12 / 100 - 4), [](const PointPlan& p) { return !p.record.season_from; });

    // Shutdowns: the chrome line over the winter holidays, the filters for a week of repairs.
    const auto christmasBefore = [](std::int64_t day) {
        while (monthDayOf(day).month != 12 || monthDayOf(day).day != 19)
            --day;
        return day;
    };
    std::int64_t first = christmasBefore(share(shop, 0.6));
    if (first <= shop.startDay + 14)
        first = share(shop, 0.3);
    events.shutdowns.push_back({areaNamed(shop, "Chrome line"), first, first + 14});
    events.shutdowns.push_back({areaNamed(shop, "Filters"), share(shop, 0.78), share(shop, 0.78) + 6});

    // Rounds gone wrong. The neutralisation round reads many sensors in 7 and 10.
    const std::size_t many = areaNamed(shop, "Neutralisation");
    for (int n = 0; n < times; ++n)
        events.mixUps.insert({roundOnOrAfter(shop, many, share(shop, 0.70) + 91 * n), many});
    if (shop.lots.deadBottleDay() > shop.startDay)
        events.deadBottle.insert({roundOnOrAfter(shop, many, shop.lots.deadBottleDay() - 5), many});
    std::int64_t hottest = share(shop, 0.5);
    for (std::int64_t day = shop.startDay + 30; day < shop.untilDay - 30; ++day)
        if (seasonOf(day) >= seasonOf(hottest))
            hottest = day;
    events.noTemperature.insert({roundOnOrAfter(shop, areaNamed(shop, "Aeration lanes"), hottest), areaNamed(shop, "Aeration lanes")});
    return events;
}

void applyEvents(Workshop& shop, Events& events, std::int64_t day)
{
    for (Incident& incident : events.incidents) {
        const int index = shop.physicallyAt[incident.point];
        if (incident.done || incident.day > day || index < 0 || index != shop.recordedAt[incident.point])
            continue;
        Probe& probe = shop.probes[static_cast<std::size_t>(index)];
        if (probe.kept || probe.state.fault != Fault::None || probe.state.leakMohm > 0.0 || probe.evolvedTo >= day)
            continue;
        // On the morning of the area's round, so that it is seen the same day.
        if (isoWeekday(day) != shop.layout.areas[static_cast<std::size_t>(shop.layout.points[incident.point].area)].weekday || holidays(day))
            continue;
        shop.evolveTo(static_cast<std::size_t>(index), day - 1);
        const ModelSpec& model = shop.modelOf(probe);
        switch (incident.kind) {
        case Incident::Kind::Sulfide:
            if (isDifferential(model.reference))
                continue;
            probe.state.poison = 1.0 + shop.technical.uniform(0.02, 0.2);
            break;
        case Incident::Kind::Breakage:
            if (!isGlass(model.sensing))
                continue;
            probe.state.fault = Fault::Broken;
            break;
        case Incident::Kind::WetConnector:
            if (!isGlass(model.sensing))
                continue;
            probe.state.leakMohm = 90.0 * shop.technical.lognormal(0.4);
            break;
        case Incident::Kind::Input: probe.state.fault = Fault::Short; break;
        case Incident::Kind::Rotation:
            if (shop.readySpare(incident.point) < 0)
                continue;
            shop.take(incident.point, kBench, localTime(day, 7, 35), RemovalReason::Rotation);
            probe.benchDay = day + 1 + shop.plan.below(3);
            break;
        }
        incident.done = true;
    }
    for (SilentMove& move : events.moves) {
        const int a = shop.recordedAt[move.a], b = shop.recordedAt[move.b];
        if (!move.done && day >= move.day && a >= 0 && b >= 0) {
            for (const int i : {a, b})
                shop.evolveTo(static_cast<std::size_t>(i), day);
            std::swap(shop.physicallyAt[move.a], shop.physicallyAt[move.b]);
            for (const std::size_t point : {move.a, move.b}) {
                Probe& probe = shop.probes[static_cast<std::size_t>(shop.physicallyAt[point])];
                probe.physicalPoint = static_cast<int>(point);
                probe.kept = true;
                shop.surround(probe, point);
            }
            move.done = true;
        }
        if (move.done && !move.noticed && move.found > 0 && day >= move.found && isoWeekday(day) <= 5) {
            const Instant noticed = localTime(day, 11, 20), since = localTime(move.day - 5, 12, 0);
            for (const std::size_t point : {move.a, move.b}) {
                const auto index = static_cast<std::size_t>(shop.physicallyAt[point]);
                shop.place(index, shop.layout.points[point].record.tag, since, RemovalReason::Unknown);
                Placement& row = shop.out.records.placements[*shop.probes[index].placement];
                row.from_latest = noticed;
                row.recorded = noticed;
                shop.recordedAt[point] = static_cast<int>(index);
                shop.probes[index].kept = false;
                shop.probes[index].storedOffset.reset();
            }
            move.noticed = true;
        }
    }
    if (!events.otherFillDone && day >= events.otherFillDay) {
        const int spare = shop.readySpare(events.otherFillPoint);
        if (shop.recordedAt[events.otherFillPoint] >= 0 && spare >= 0) {
            // It is new, so nobody doubts it.
            Probe& probe = shop.probes[static_cast<std::size_t>(spare)];
            probe.otherFill = true;
            probe.traits.offset0 = clamp(probe.traits.offset0, -3.0, 3.0);
            probe.kept = true;
            shop.take(events.otherFillPoint, kScrap, localTime(day, 13, 5), RemovalReason::PreEmptive);
            Round round = openRound(shop, day, 0, false);
            std::int64_t seconds = 13 * 3600 + 600;
            fillPoint(shop, round, events.otherFillPoint, seconds);
            events.otherFillDone = true;
        }
    }
}

}  // namespace halfcell::core::simulation
