#include "core/upkeep/due_parts.h"

#include "core/upkeep/dips.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace halfcell::core {
namespace upkeep {
namespace {

double positiveNumber(const RuleSet& rules, const std::string& key, double otherwise)
{
    const double value = rules.number(key).value;
    return value > 0.0 ? value : otherwise;
}

/// The chance of being out, counted from today.
OutRisk riskOf(const SensorContext& c)
{
    if (c.assessment && c.assessment->signal &&
        (*c.assessment->signal == Signal::Failure || *c.assessment->signal == Signal::OutOfSpecification))
        return OutRisk::certain();
    OutRisk wear = c.efficiency ? OutRisk::ofTrend(*c.efficiency, c.efficiencyLimit, static_cast<double>(c.today), c.hazardPerDay)
                                : OutRisk::ofLife(LogNormalLife::of(c.rules.lifeMonths(c.application)), serviceAgeDays(c.plant, c.history), c.hazardPerDay);
    // A sensor that needs maintenance is out or soon will be: even odds (our choice).
    const bool byFigure = c.assessment && c.assessment->guilty != GuiltyFigure::None && c.assessment->guilty != GuiltyFigure::Other;
    const double already = byFigure && c.assessment->signal == Signal::MaintenanceRequired ? 0.5 : 0.0;
    const auto left = c.last.of(TaskKind::Calibrate) ? c.last.of(TaskKind::Calibrate) : c.last.of(TaskKind::Check);
    const double since = left ? static_cast<double>(std::max<std::int64_t>(0, c.today - *left)) : 0.0;
    const double allowed = c.tolerance.value_or(0.0);
    return {[wear, already, since, allowed, shifts = c.shifts](double t) {
                const double drifted = allowed > 0.0 ? chanceOfShift(shifts, allowed, since + t) : 0.0;
                return 1.0 - (1.0 - wear.gradual(t)) * (1.0 - already) * (1.0 - drifted);
            },
            c.hazardPerDay};
}

}  // namespace

SensorContext contextOf(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures, const Assessment* assessment,
                        const RuleSet& rules)
{
    SensorContext c{.plant = plant, .history = history, .figures = figures, .rules = rules, .assessment = assessment};
    c.standing = standingOf(plant, history);
    c.last = lastDone(history);
    c.kind = history.model ? history.model->kind : SensorKind::Ph;
    c.today = dayNumber(plant.asOf());
    c.window = windowSettings(rules);
    const Point* point = c.standing.point;
    c.application = point && point->application ? *point->application : std::string("*");
    c.loopClass = point && point->loop_class ? std::string(keyOf(*point->loop_class)) : std::string("unknown");
    c.consequencePerWeek = point && point->consequence_per_week ? *point->consequence_per_week
                                                                : rules.number("consequence." + c.loopClass).value;
    c.outProbability = positiveNumber(rules, "condition_probability." + c.loopClass, 0.4);
    c.hazardPerDay = positiveNumber(rules, "review.hazard", 0.01) / kDaysPerMonth;
    c.efficiencyLimit = rules.profileFor(history.model, point).efficiency_maintenance_pct.value;
    if (auto trend = robustTrend(cleanEfficiencies(figures)))
        c.efficiency = *trend;
    if (point) {
        const double processPh = point->ph_low && point->ph_high && c.kind == SensorKind::Ph ? 0.5 * (*point->ph_low + *point->ph_high) : 7.0;
        c.shifts = asFoundShifts(figures, processPh);
        c.tolerance = c.kind == SensorKind::Ph ? point->tolerance_ph : point->tolerance_mv;
        const SeasonState season = seasonAt(*point, c.today);
        c.resume = c.standing.since;
        if (season.start)
            c.resume = std::max(c.resume, *season.start);
        c.suspended = !season.inSeason;
    } else {
        c.resume = c.standing.since;
    }
    c.risk = riskOf(c);
    return c;
}

Draft& draftOf(std::vector<Draft>& drafts, TaskKind task)
{
    const auto it = std::ranges::find(drafts, task, &Draft::task);
    if (it != drafts.end())
        return *it;
    Draft draft;
    draft.task = task;
    drafts.push_back(std::move(draft));
    return drafts.back();
}

void addTrigger(Draft& draft, Trigger trigger, SourceClass sourceClass)
{
    WorkingStep step;
    step.step = fmt::format("{}: {}", wordsOf(draft.task), trigger.why);
    step.text = dayWords(trigger.day);
    step.source = trigger.source;
    step.sourceClass = sourceClass;
    draft.working.push_back(std::move(step));
    draft.triggers.push_back(std::move(trigger));
}

std::string ruleWords(const TaskRule& rule)
{
    const auto days = static_cast<long>(std::lround(rule.interval_days));
    const std::string every = days == 1 ? std::string("after a day") : fmt::format("every {} days", days);
    if (rule.application == "*" || rule.application.empty())
        return every + ", general rule";
    std::string application = rule.application;
    std::ranges::replace(application, '_', ' ');
    return fmt::format("{}, {}", every, application);
}

std::vector<std::string> materialsOf(const SensorContext& c, TaskKind task)
{
    std::vector<std::string> materials;
    const auto amount = [&](const char* key, double otherwise) { return std::lround(positiveNumber(c.rules, std::string("kit.") + key, otherwise)); };
    std::vector<std::string> seen;
    for (const std::string& standard : dipsFor(c.plant, task, c.kind, c.standing.point))
        if (std::ranges::find(seen, standard) == seen.end()) {
            seen.push_back(standard);
            materials.push_back(standardWords(standard));
        }
    const bool differential = c.history.model && c.history.model->reference && isDifferential(*c.history.model->reference);
    const bool refillable = c.history.model && c.rules.allows(*c.history.model, ActionKey::RefillReference).offer != DesignAllows::Offer::No;
    const auto cellSolution = [&] { return fmt::format("cell solution {} mL", amount("cell_solution_ml", 30)); };
    const auto electrolyte = [&] {
        const std::string fill = c.history.model && c.history.model->reference_fill ? " " + *c.history.model->reference_fill : std::string();
        return fmt::format("electrolyte{} {} mL", fill, amount("electrolyte_ml", 10));
    };
    switch (task) {
    case TaskKind::Clean:
    case TaskKind::Service:
        materials.push_back(fmt::format("cleaner {} mL", amount("cleaner_ml", 50)));
        if (task == TaskKind::Service && refillable)
            materials.push_back(differential ? cellSolution() : electrolyte());
        break;
    case TaskKind::RefillReference: materials.push_back(differential ? cellSolution() : electrolyte()); break;
    case TaskKind::ReplaceBridge:
        materials.insert(materials.end(), {std::string("salt bridge"), cellSolution(), std::string("O-ring")});
        break;
    case TaskKind::Replace:
        materials.push_back(fmt::format("spare {}", c.history.model ? c.history.model->interchange.value_or(c.history.model->model) : std::string("sensor")));
        materials.emplace_back("O-ring");
        break;
    case TaskKind::Fault: materials.insert(materials.end(), {std::string("spare cable or test plug"), std::string("drying packet")}); break;
    case TaskKind::StorageSolution: materials.emplace_back("storage solution 10 mL"); break;
    case TaskKind::GrabCheck: materials.emplace_back("sample bottle"); break;
    case TaskKind::Verify: materials.emplace_back("sample bottle or one standard"); break;
    default: break;
    }
    return materials;
}

DueTask finish(const SensorContext& c, Draft draft)
{
    sortTriggers(draft.triggers);
    const Window window = windowOf(draft.triggers, draft.interval_days, c.window);
    DueTask task;
    task.serial = c.history.sensor->serial;
    task.tag = c.standing.tag;
    task.site = c.standing.point ? c.standing.point->site : std::string();
    task.task = draft.task;
    task.due = window.due;
    task.earliest = window.earliest;
    task.latest = window.latest;
    if (draft.notAfter)
        task.latest = std::max(task.due, std::min(task.latest, *draft.notAfter));
    task.floor = window.floor;
    task.cannotSlip = floorCannotSlip(task.floor, c.today);
    task.why = draft.triggers.front().why;
    task.triggers = std::move(draft.triggers);
    task.working = std::move(draft.working);
    task.materials = materialsOf(c, task.task);
    const std::string key = std::string(keyOf(task.task));
    const std::string own = c.kind == SensorKind::Orp && task.task == TaskKind::Check ? key + "_orp" : key;
    task.minutes = positiveNumber(c.rules, "task_minutes." + own, 15.0);
    task.elapsed_minutes = std::max(task.minutes, c.rules.number("task_elapsed_minutes." + own).value);
    if (c.standing.kind == Standing::Kind::AtPoint) {
        // This chance is the round in which the task falls due, the next a week later.
        const double t1 = static_cast<double>(std::max<std::int64_t>(0, task.due - c.today));
        task.priority = expectedLoss(c.consequencePerWeek, c.risk, t1, t1 + 7.0);
        WorkingStep loss;
        loss.step = "expected loss if it misses this chance";
        loss.formula = "consequence / 7 * integral of P from t1 to t2";
        loss.inputs = {{"consequence", c.consequencePerWeek, "per week", c.loopClass, {}},
                       {"t1", t1, "days", {}, {}},
                       {"t2", t1 + 7.0, "days", {}, {}},
                       {"P(t1)", c.risk.at(t1), {}, {}, {}},
                       {"P(t2)", c.risk.at(t1 + 7.0), {}, {}, {}}};
        loss.result = task.priority;
        loss.unit = "currency units";
        loss.source = c.standing.point && c.standing.point->consequence_per_week ? "point record" : c.rules.number("consequence." + c.loopClass).source;
        loss.sourceClass = c.standing.point && c.standing.point->consequence_per_week ? SourceClass::Record : SourceClass::Assumed;
        task.working.push_back(std::move(loss));
    }
    return task;
}

}  // namespace upkeep

std::vector<DueTask> dueTasks(const Plant& plant, std::span<const Assessment> assessments, std::span<const std::vector<VisitFigures>> figures,
                              const RuleSet& rules, std::int64_t until)
{
    using namespace upkeep;
    std::vector<DueTask> all;
    const auto histories = plant.histories();
    for (std::size_t i = 0; i < histories.size(); ++i) {
        const std::span<const VisitFigures> own = i < figures.size() ? std::span<const VisitFigures>(figures[i]) : std::span<const VisitFigures>();
        const SensorContext context = contextOf(plant, histories[i], own, i < assessments.size() ? &assessments[i] : nullptr, rules);
        std::vector<Draft> drafts;
        switch (context.standing.kind) {
        case Standing::Kind::AtPoint:
            addCalendar(context, drafts);
            addConditions(context, drafts);
            addFindings(context, drafts);
            break;
        case Standing::Kind::Shelf: addShelf(context, drafts); break;
        case Standing::Kind::OutOfService:
        case Standing::Kind::Scrapped:
        case Standing::Kind::Nowhere: break;
        }
        std::vector<DueTask> tasks;
        for (Draft& draft : drafts) {
            if (draft.triggers.empty())
                continue;
            DueTask task = finish(context, std::move(draft));
            if (task.due <= until)
                tasks.push_back(std::move(task));
        }
        for (DueTask& task : mergeTasks(std::move(tasks), context.today))
            all.push_back(std::move(task));
    }
    std::vector<DueTask> shop;
    addLots(plant, rules, shop);
    addEquipment(plant, rules, shop);
    for (DueTask& task : shop)
        if (task.due <= until)
            all.push_back(std::move(task));
    std::ranges::stable_sort(all, [](const DueTask& a, const DueTask& b) {
        const auto key = [](const DueTask& t) {
            return std::tuple(!t.cannotSlip, -t.priority, t.due, std::string_view(t.serial), static_cast<int>(t.task), std::string_view(t.subject));
        };
        return key(a) < key(b);
    });
    return all;
}

std::optional<std::int64_t> nextDue(std::span<const DueTask> tasks, std::string_view serial)
{
    std::optional<std::int64_t> next;
    for (const DueTask& task : tasks)
        if (task.serial == serial)
            next = std::min(next.value_or(task.due), task.due);
    return next;
}

}  // namespace halfcell::core
