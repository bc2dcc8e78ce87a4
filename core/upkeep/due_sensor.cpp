#include "core/upkeep/due_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::upkeep {
namespace {

/// Latest age of a salt bridge: a year, half of it where dirty, 90 days in slurry (common practice; trade rule of this
/// program: a longer interval is never used).
struct BridgeLimit {
    double days = 365.0;
    const char* words = "a year at the latest";
};

BridgeLimit bridgeLimit(const SensorContext& c)
{
    if (c.application == "flotation" || c.application == "scrubber")
        return {90.0, "90 days at the latest in slurry"};
    const bool dirtyWater = c.application == "wastewater" || c.application == "bleach" || c.application == "food" || c.application == "plating" ||
                            c.application == "caustic";
    if (dirtyWater || (c.standing.point && c.standing.point->grab_quality == GrabQuality::Dirty))
        return {180.0, "180 days at the latest where dirty"};
    return {};
}

bool taskFits(const SensorContext& c, TaskKind task)
{
    switch (task) {
    case TaskKind::RefillReference: return allowed(c, ActionKey::RefillReference);
    case TaskKind::ReplaceBridge: return allowed(c, ActionKey::ReplaceBridge);
    case TaskKind::Calibrate: return c.kind == SensorKind::Ph || c.rules.permits("orp_adjustment");
    default: return true;
    }
}

/// Share of the days at this place in which the sensor was wet, where it was counted and less than all.
std::optional<double> wetShare(const SensorContext& c)
{
    if (!c.standing.placement || !c.standing.placement->wet_days)
        return std::nullopt;
    const double days = static_cast<double>(c.today - c.standing.since);
    if (days < 14.0)
        return std::nullopt;
    const double share = *c.standing.placement->wet_days / days;
    if (share >= 0.95 || share <= 0.0)
        return std::nullopt;
    return share;
}

bool countsWetDays(TaskKind task)
{
    return task == TaskKind::Verify || task == TaskKind::Clean || task == TaskKind::Check || task == TaskKind::Calibrate || task == TaskKind::Service;
}

std::string lastWords(const SensorContext& c, std::optional<std::int64_t> last)
{
    if (last)
        return "last " + dayWords(*last);
    return "none on record; here since " + dayWords(c.standing.since);
}

/// The day an interval ends: counted from the last time, else from the day the sensor came; time out of service does not count
/// as overdue.
std::int64_t endOfInterval(const SensorContext& c, std::optional<std::int64_t> last, double days)
{
    const std::int64_t base = last.value_or(c.standing.since);
    const std::int64_t day = base + std::max<std::int64_t>(1, std::lround(days));
    return base < c.resume ? std::max(day, c.resume) : day;
}

void addInterval(const SensorContext& c, std::vector<Draft>& drafts, TaskKind task)
{
    if (!taskFits(c, task))
        return;
    auto rule = c.rules.taskRule(task, c.application, c.history.model);
    const bool bridge = task == TaskKind::ReplaceBridge;
    if (bridge && !rule)
        rule = TaskRule{c.application, "*", task, 365.0, "common practice: at least yearly", SourceClass::CommonPractice};
    if (!rule || rule->interval_days <= 0.0)
        return;
    double days = rule->interval_days;
    const auto last = c.last.of(task);
    std::string why = ruleWords(*rule);
    const BridgeLimit limit = bridgeLimit(c);
    if (bridge && days > limit.days) {
        days = limit.days;
        why = limit.words;
    }
    Draft& draft = draftOf(drafts, task);
    draft.interval_days = days;
    Trigger trigger{.kind = Trigger::Kind::Calendar, .day = 0, .why = {}, .source = rule->source};
    const auto share = countsWetDays(task) ? wetShare(c) : std::nullopt;
    if (share) {
        trigger.kind = Trigger::Kind::InUse;
        trigger.day = endOfInterval(c, last, days / *share);
        why += fmt::format(", wet {:.0f} % of the time", 100.0 * *share);
    } else {
        trigger.day = endOfInterval(c, last, days);
    }
    trigger.why = why + "; " + lastWords(c, last);
    addTrigger(draft, std::move(trigger), rule->sourceClass);
    if (bridge)
        draft.notAfter = last.value_or(c.standing.since) + static_cast<std::int64_t>(limit.days);
}

void addReturnCheck(const SensorContext& c, std::vector<Draft>& drafts)
{
    // Back from the shelf or a closed season, or new here: checked before it is trusted, unless it was checked just before.
    constexpr std::int64_t kFresh = 14;  // our choice: a bench check of the last fortnight counts
    const auto last = c.last.of(TaskKind::Check);
    if (last && *last >= c.resume - kFresh)
        return;
    const bool season = c.resume > c.standing.since;
    Draft& draft = draftOf(drafts, TaskKind::Check);
    addTrigger(draft,
               {.kind = Trigger::Kind::Calendar,
                .day = c.resume,
                .why = fmt::format("{} {}: check first; {}", season ? "season begins" : "in service since", dayWords(c.resume),
                                   last ? "last " + dayWords(*last) : std::string("never checked")),
                .source = "common practice: check first on return to service"},
               SourceClass::CommonPractice);
}

void addFloor(const SensorContext& c, std::vector<Draft>& drafts)
{
    const Point* point = c.standing.point;
    if (!point || !point->legal_floor_days || *point->legal_floor_days <= 0.0)
        return;
    const auto last = c.last.of(TaskKind::Check);
    const auto days = static_cast<std::int64_t>(std::floor(*point->legal_floor_days));
    Draft& draft = draftOf(drafts, TaskKind::Check);
    addTrigger(draft,
               {.kind = Trigger::Kind::Floor,
                .day = endOfInterval(c, last, static_cast<double>(days)),
                .why = fmt::format("floor: {} days, {}; {}", days, point->legal_clause.value_or("legal or permit minimum"), lastWords(c, last)),
                .source = point->legal_clause.value_or("legal or permit minimum of the point")},
               SourceClass::Law);
}

void addGrabCheck(const SensorContext& c, std::vector<Draft>& drafts)
{
    // An hour and a day after a swap or a new bridge. After a week the ordinary look has taken its place.
    constexpr std::int64_t kForget = 7;
    const auto bridge = c.last.of(TaskKind::ReplaceBridge);
    const bool byBridge = bridge && *bridge > c.standing.since;
    const std::int64_t event = byBridge ? *bridge : c.standing.since;
    if (c.today - event > kForget || !c.standing.placement)
        return;
    for (const Visit* visit : c.history.visits)
        if (dayNumber(visit->when) > event && visitDid(*visit, TaskKind::GrabCheck, c.kind))
            return;
    const auto rule = c.rules.taskRule(TaskKind::GrabCheck, c.application, c.history.model);
    if (!rule || rule->interval_days <= 0.0)
        return;
    Draft& draft = draftOf(drafts, TaskKind::GrabCheck);
    draft.interval_days = rule->interval_days;
    addTrigger(draft,
               {.kind = Trigger::Kind::Calendar,
                .day = event + std::max<std::int64_t>(1, std::lround(rule->interval_days)),
                .why = fmt::format("a day after {} on {}", byBridge ? "the new bridge" : "the sensor was put in", dayWords(event)),
                .source = rule->source},
               rule->sourceClass);
}

}  // namespace

void addCalendar(const SensorContext& c, std::vector<Draft>& drafts)
{
    for (const TaskKind task : {TaskKind::Verify, TaskKind::Clean, TaskKind::Check, TaskKind::Calibrate, TaskKind::Service,
                                TaskKind::RefillReference, TaskKind::ReplaceBridge})
        addInterval(c, drafts, task);
    addReturnCheck(c, drafts);
    addFloor(c, drafts);
    if (!c.suspended)
        addGrabCheck(c, drafts);
}

}  // namespace halfcell::core::upkeep
