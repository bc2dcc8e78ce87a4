#include "core/upkeep/due_parts.h"

#include "core/upkeep/dips.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::upkeep {
namespace {

/// A task of the shop itself: no sensor, no loss in the process.
DueTask shopTask(TaskKind task, const std::string& subject, Trigger trigger, double interval, const RuleSet& rules, std::int64_t today)
{
    const Window window = windowOf(std::span(&trigger, 1), interval, windowSettings(rules));
    DueTask due;
    due.subject = subject;
    due.task = task;
    due.due = window.due;
    due.earliest = window.earliest;
    // A bottle or an instrument past its date is not used meanwhile: no grace.
    due.latest = window.due;
    due.why = trigger.why;
    due.minutes = rules.numberOr(task == TaskKind::Lot ? "task_minutes.lot" : "task_minutes.equipment", task == TaskKind::Lot ? 3.0 : 20.0);
    due.elapsed_minutes = due.minutes;
    due.cannotSlip = floorCannotSlip(due.floor, today);
    WorkingStep step;
    step.step = fmt::format("{}: {}", wordsOf(task), trigger.why);
    step.text = dayWords(trigger.day);
    step.source = trigger.source;
    step.sourceClass = SourceClass::CommonPractice;
    due.working.push_back(std::move(step));
    due.triggers.push_back(std::move(trigger));
    return due;
}

}  // namespace

void addShelf(const SensorContext& c, std::vector<Draft>& drafts)
{
    const Sensor& sensor = *c.history.sensor;
    const std::int64_t since = c.standing.since;
    if (const auto rule = c.rules.taskRule(TaskKind::StorageSolution, "*", c.history.model); rule && rule->interval_days > 0.0) {
        const auto last = c.last.of(TaskKind::StorageSolution);
        const std::int64_t base = std::max(since, last.value_or(since));
        Draft& draft = draftOf(drafts, TaskKind::StorageSolution);
        draft.interval_days = rule->interval_days;
        addTrigger(draft,
                   {.kind = Trigger::Kind::Calendar, .day = base + std::lround(rule->interval_days),
                    .why = fmt::format("solution in the cap {}; on the shelf since {}", ruleWords(*rule), dayWords(base)), .source = rule->source},
                   rule->sourceClass);
    }
    const auto rule = c.rules.taskRule(TaskKind::ShelfCheck, "*", c.history.model);
    if (!rule || rule->interval_days <= 0.0)
        return;
    Draft& draft = draftOf(drafts, TaskKind::ShelfCheck);
    draft.interval_days = rule->interval_days;
    const auto last = c.last.of(TaskKind::ShelfCheck);
    const std::int64_t base = last.value_or(since);
    addTrigger(draft,
               {.kind = Trigger::Kind::Calendar, .day = base + std::lround(rule->interval_days),
                .why = fmt::format("spare {}; {}", ruleWords(*rule),
                                   last ? "last " + dayWords(*last) : "not checked since it came to the shelf on " + dayWords(since)),
                .source = rule->source},
               rule->sourceClass);
    const double oldMonths = c.rules.numberOr("spare.shelf_months", 24.0);
    if (sensor.bought) {
        const std::int64_t old = dayNumber(*sensor.bought) + static_cast<std::int64_t>(std::lround(oldMonths * kDaysPerMonth));
        if (!last || *last < old)
            addTrigger(draft,
                       {.kind = Trigger::Kind::Calendar, .day = old,
                        .why = fmt::format("{:.0f} months old on {}: test before use", oldMonths, dayWords(old)),
                        .source = "common practice: older than 24 months, test before use"},
                       SourceClass::Memory);
    }
    if (sensor.shelf_expires) {
        const std::int64_t expires = dayNumber(*sensor.shelf_expires);
        if (!last || *last < expires)
            addTrigger(draft,
                       {.kind = Trigger::Kind::Calendar, .day = expires,
                        .why = fmt::format("shelf date {}: test before use", dayWords(expires)), .source = "sensor record"},
                       SourceClass::Record);
    }
}

void addLots(const Plant& plant, const RuleSet& rules, std::vector<DueTask>& tasks)
{
    const std::int64_t today = dayNumber(plant.asOf());
    for (const Lot& lot : plant.records().lots) {
        if (lot.discarded || (!lot.opened && !lot.expires))
            continue;
        std::vector<Trigger> triggers;
        double life = 90.0;
        if (lot.opened) {
            life = rules.openLifeDays(lot.standard);
            triggers.push_back({.kind = Trigger::Kind::Calendar,
                                .day = dayNumber(addDays(*lot.opened, life)),
                                .why = fmt::format("{} opened {}: good for {:.3g} days", standardWords(lot.standard), dayWords(dayNumber(*lot.opened)), life),
                                .source = "open life of standards, rules " + rules.id()});
        }
        if (lot.expires)
            triggers.push_back({.kind = Trigger::Kind::Calendar,
                                .day = dayNumber(*lot.expires),
                                .why = fmt::format("{} expires {} by its label", standardWords(lot.standard), dayWords(dayNumber(*lot.expires))),
                                .source = "lot record"});
        sortTriggers(triggers);
        DueTask task = shopTask(TaskKind::Lot, lot.lot, triggers.front(), life, rules, today);
        task.triggers = triggers;
        task.materials.push_back("new bottle of " + standardWords(lot.standard));
        tasks.push_back(std::move(task));
    }
}

void addEquipment(const Plant& plant, const RuleSet& rules, std::vector<DueTask>& tasks)
{
    const std::int64_t today = dayNumber(plant.asOf());
    for (const Equipment& e : plant.records().equipment) {
        const auto rule = rules.taskRule(TaskKind::Equipment, "*", nullptr);
        const double interval = rule && rule->interval_days > 0.0 ? rule->interval_days : 365.0;
        const std::string words = std::string(wordsOf(e.kind));
        Trigger trigger{.kind = Trigger::Kind::Calendar, .day = today, .why = {}, .source = rule ? rule->source : std::string("common practice: yearly")};
        if (e.due) {
            trigger.day = dayNumber(*e.due);
            trigger.why = fmt::format("{} due by its own record", words);
            trigger.source = "equipment record";
        } else if (e.checked) {
            trigger.day = dayNumber(*e.checked) + std::lround(interval);
            trigger.why = fmt::format("{} every {:.0f} days; last {}", words, interval, dayWords(dayNumber(*e.checked)));
        } else {
            trigger.why = fmt::format("{} without a check on record", words);
        }
        tasks.push_back(shopTask(TaskKind::Equipment, e.equipment, std::move(trigger), interval, rules, today));
    }
}

}  // namespace halfcell::core::upkeep
