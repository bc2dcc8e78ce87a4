#include "core/upkeep/last_done.h"

#include "core/quantity/instant.h"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <set>

namespace halfcell::core {
namespace {

std::size_t standardsIn(const Visit& visit, std::optional<Phase> phase)
{
    std::set<std::string_view> standards;
    for (const Reading& r : visit.readings)
        if (r.mv && (!phase || r.phase == *phase))
            standards.insert(r.standard);
    return standards.size();
}

bool checkedIn(const Visit& visit, Phase phase, SensorKind kind)
{
    return standardsIn(visit, phase) >= (kind == SensorKind::Ph ? 2U : 1U);
}

bool checked(const Visit& visit, SensorKind kind)
{
    return checkedIn(visit, Phase::AsFound, kind) || checkedIn(visit, Phase::AfterClean, kind) || checkedIn(visit, Phase::AsLeft, kind);
}

bool did(const Visit& visit, std::initializer_list<ActionKey> keys)
{
    return std::ranges::any_of(visit.actions, [&](const Action& a) { return std::ranges::find(keys, a.action) != keys.end(); });
}

bool cleaned(const Visit& visit)
{
    using enum ActionKey;
    return did(visit, {CleanDetergent, CleanAlcohol, CleanAcid, CleanEnzyme, CleanThiourea, CleanHypochlorite, ClearJunction, ScrapeJunction,
                       PolishMetal, RegenerateGlass});
}

bool grabbed(const Visit& visit)
{
    return std::ranges::any_of(visit.grabs, [](const Grab& g) {
        return (g.loop_ph.has_value() && g.grab_ph.has_value()) || (g.loop_mv.has_value() && g.grab_mv.has_value());
    });
}

constexpr TaskKind kTasks[] = {TaskKind::Verify, TaskKind::Clean, TaskKind::Check, TaskKind::Calibrate, TaskKind::Service,
                               TaskKind::RefillReference, TaskKind::ReplaceBridge, TaskKind::StorageSolution, TaskKind::ShelfCheck,
                               TaskKind::GrabCheck};

std::optional<std::chrono::month_day> monthDay(std::string_view text)
{
    // MM-DD
    if (text.size() != 5 || text[2] != '-')
        return std::nullopt;
    unsigned month = 0, day = 0;
    const auto m = std::from_chars(text.data(), text.data() + 2, month);
    const auto d = std::from_chars(text.data() + 3, text.data() + 5, day);
    const std::chrono::month_day result{std::chrono::month{month}, std::chrono::day{day}};
    if (m.ptr != text.data() + 2 || d.ptr != text.data() + 5 || !result.ok())
        return std::nullopt;
    return result;
}

std::int64_t dayOf(int year, std::chrono::month_day md)
{
    std::chrono::year_month_day date{std::chrono::year{year}, md.month(), md.day()};
    if (!date.ok())  // 29 February of a common year
        date = std::chrono::year_month_day{std::chrono::year{year} / md.month() / std::chrono::last};
    return std::chrono::sys_days{date}.time_since_epoch().count();
}

}  // namespace

bool visitDid(const Visit& visit, TaskKind task, SensorKind kind)
{
    using enum ActionKey;
    switch (task) {
    case TaskKind::Verify: return grabbed(visit) || standardsIn(visit, std::nullopt) > 0;
    case TaskKind::Clean: return cleaned(visit);
    case TaskKind::Check:
    case TaskKind::ShelfCheck: return checked(visit, kind);
    case TaskKind::Calibrate: {
        const bool keyed = std::ranges::any_of(visit.readings, [](const Reading& r) { return r.keyed.value_or(false); });
        return checkedIn(visit, Phase::AsLeft, kind) || (checked(visit, kind) && (keyed || did(visit, {Adjust})));
    }
    case TaskKind::Service:
        return cleaned(visit) && did(visit, {RefillReference, ReplaceBridge, RegenerateGlass, Rehydrate, Condition, ClearJunction, PolishMetal}) &&
               checked(visit, kind);
    case TaskKind::RefillReference: return did(visit, {RefillReference, ReplaceBridge});
    case TaskKind::ReplaceBridge: return did(visit, {ReplaceBridge});
    case TaskKind::StorageSolution: return did(visit, {Condition, Rehydrate});
    case TaskKind::GrabCheck: return grabbed(visit);
    case TaskKind::Replace: return did(visit, {Replace, Scrap});
    case TaskKind::Fault: return did(visit, {Rewire, DryConnector});
    case TaskKind::Lot:
    case TaskKind::Equipment: break;
    }
    return false;
}

std::optional<std::int64_t> LastDone::of(TaskKind task) const
{
    const auto it = day.find(task);
    return it == day.end() ? std::nullopt : std::optional(it->second);
}

LastDone lastDone(const SensorHistory& history)
{
    LastDone last;
    const auto note = [&last](TaskKind task, std::int64_t day) {
        const auto [it, added] = last.day.emplace(task, day);
        if (!added)
            it->second = std::max(it->second, day);
    };
    const SensorKind kind = history.model ? history.model->kind : SensorKind::Ph;
    for (const Visit* visit : history.visits)
        for (const TaskKind task : kTasks)
            if (visitDid(*visit, task, kind))
                note(task, dayNumber(visit->when));
    for (const Legacy* legacy : history.legacy) {
        if (!legacy->efficiency_pct && !legacy->offset_mv)
            continue;
        note(TaskKind::Verify, dayNumber(legacy->when));
        if (legacy->efficiency_pct || kind == SensorKind::Orp) {
            note(TaskKind::Check, dayNumber(legacy->when));
            note(TaskKind::ShelfCheck, dayNumber(legacy->when));
            if (legacy->phase == Phase::AsLeft)
                note(TaskKind::Calibrate, dayNumber(legacy->when));
        }
    }
    for (const PartRecord* part : history.parts) {
        if (part->part == Part::Bridge)
            note(TaskKind::ReplaceBridge, dayNumber(part->from));
        if (part->part == Part::Electrolyte || part->part == Part::CellSolution)
            note(TaskKind::RefillReference, dayNumber(part->from));
    }
    return last;
}

Standing standingOf(const Plant& plant, const SensorHistory& history)
{
    Standing standing;
    if (history.placements.empty()) {
        for (const Visit* visit : history.visits) {
            if (!visit->tag)
                continue;
            if (standing.kind != Standing::Kind::AtPoint || standing.tag != *visit->tag)
                standing = {Standing::Kind::AtPoint, *visit->tag, plant.point(*visit->tag), dayNumber(visit->when), nullptr};
        }
        return standing;
    }
    const Placement* placement = history.placementAt(plant.asOf());
    if (!placement || (placement->to && *placement->to <= plant.asOf()))
        return standing;
    standing.placement = placement;
    standing.since = dayNumber(placement->from);
    if (placement->place == kShelf)
        standing.kind = Standing::Kind::Shelf;
    else if (placement->place == kScrap)
        standing.kind = Standing::Kind::Scrapped;
    else if (placement->place == kSoak || placement->place == kBench || placement->place == kQuarantine)
        standing.kind = Standing::Kind::OutOfService;
    else {
        standing.kind = Standing::Kind::AtPoint;
        standing.tag = placement->place;
        standing.point = plant.point(placement->place);
    }
    return standing;
}

double serviceAgeDays(const Plant& plant, const SensorHistory& history)
{
    std::optional<Instant> start = history.sensor->first_wet;
    double before = 0.0;
    if (!start)
        for (const Placement* p : history.placements)
            if (p->place != kShelf && p->place != kBench && p->place != kSoak && p->place != kQuarantine && p->place != kScrap) {
                start = p->from;
                before = p->entry_age_days.value_or(0.0);
                break;
            }
    if (!start && !history.visits.empty())
        start = history.visits.front()->when;
    return start ? before + std::max(0.0, daysBetween(*start, plant.asOf())) : before;
}

SeasonState seasonAt(const Point& point, std::int64_t day)
{
    if (!point.season_from || !point.season_to)
        return {};
    const auto from = monthDay(*point.season_from), to = monthDay(*point.season_to);
    if (!from || !to) {
        // Once, between two dates.
        const auto first = parseInstant(*point.season_from), last = parseInstant(*point.season_to);
        if (!first || !last)
            return {};
        const std::int64_t start = dayNumber(*first), end = dayNumber(*last);
        return {day >= start && day <= end, day <= end ? std::optional(start) : std::nullopt};
    }
    const std::chrono::year_month_day today{std::chrono::sys_days{std::chrono::days{day}}};
    const int year = static_cast<int>(today.year());
    for (int y = year - 1; y <= year + 1; ++y) {
        const std::int64_t start = dayOf(y, *from);
        std::int64_t end = dayOf(y, *to);
        if (end < start)  // over the turn of the year
            end = dayOf(y + 1, *to);
        if (day >= start && day <= end)
            return {true, start};
        if (day < start)
            return {false, start};
    }
    return {};
}

}  // namespace halfcell::core
