#include "core/upkeep/due_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::upkeep {
namespace {

/// A condition does not call for what was just done: not before a quarter of the interval has gone since.
std::int64_t notAtOnce(const SensorContext& c, const Draft& draft, std::int64_t day)
{
    const auto last = c.last.of(draft.task);
    if (!last)
        return std::max(day, c.resume);
    const double interval = draft.interval_days > 0.0 ? draft.interval_days : 28.0;
    return std::max({day, c.resume, *last + std::max<std::int64_t>(1, std::llround(0.25 * interval))});
}

std::string percent(double p)
{
    return fmt::format("{:.0f} %", 100.0 * p);
}

const char* unitOf(const SensorContext& c)
{
    return c.kind == SensorKind::Ph ? "pH" : "mV";
}

void addEfficiencyTrend(const SensorContext& c, std::vector<Draft>& drafts)
{
    if (!c.efficiency)
        return;
    const double from = std::floor(c.efficiency->lastDay);
    const auto t = OutRisk::ofTrend(*c.efficiency, c.efficiencyLimit, from, c.hazardPerDay).firstDay(c.outProbability);
    if (!t)
        return;
    Draft& draft = draftOf(drafts, TaskKind::Service);
    const auto reached = static_cast<std::int64_t>(from) + *t;
    addTrigger(draft,
               {.kind = Trigger::Kind::Condition,
                .day = notAtOnce(c, draft, reached),
                .why = fmt::format("chance of being below {:.0f} % reaches {} on {}: clean efficiency {:+.1f} % a month over {} visits",
                                   c.efficiencyLimit, percent(c.outProbability), dayWords(reached), c.efficiency->slopePerDay * kDaysPerMonth,
                                   c.efficiency->points),
                .source = "robust straight trend of the efficiencies as left"},
               SourceClass::Computed);
}

void addLifeTable(const SensorContext& c, std::vector<Draft>& drafts)
{
    // No trend yet: the life table of the application says how long a sensor that passed its last check can be trusted.
    const auto last = c.last.of(TaskKind::Check);
    if (c.efficiency || !last || c.kind != SensorKind::Ph)
        return;
    const LifeMonths months = c.rules.lifeMonths(c.application);
    if (months.usual <= 0.0)
        return;
    std::optional<std::int64_t> start;
    if (c.history.sensor->first_wet)
        start = dayNumber(*c.history.sensor->first_wet);
    else if (c.standing.placement)
        start = c.standing.since - std::lround(c.standing.placement->entry_age_days.value_or(0.0));
    if (!start || *start > *last)
        return;
    const double age = static_cast<double>(*last - *start);
    const auto t = OutRisk::ofLife(LogNormalLife::of(months), age, c.hazardPerDay).firstDay(c.outProbability);
    if (!t)
        return;
    Draft& draft = draftOf(drafts, TaskKind::Check);
    addTrigger(draft,
               {.kind = Trigger::Kind::Condition,
                .day = notAtOnce(c, draft, *last + *t),
                .why = fmt::format("no trend yet; by the life table ({:.0f} months here) the chance of being worn out since the check of {} reaches {}",
                                   months.usual, dayWords(*last), percent(c.outProbability)),
                .source = months.source},
               months.sourceClass);
}

void addDrift(const SensorContext& c, std::vector<Draft>& drafts)
{
    if (!c.tolerance)
        return;
    const TaskKind adjust = c.kind == SensorKind::Ph || c.rules.permits("orp_adjustment") ? TaskKind::Calibrate : TaskKind::Check;
    const auto add = [&](TaskKind task, double permitted, const char* what) {
        const auto days = daysUntilShift(c.shifts, permitted, c.outProbability);
        const auto last = c.last.of(task);
        if (!days || !last || *days > 1460.0)
            return;
        Draft& draft = draftOf(drafts, task);
        const auto reached = *last + static_cast<std::int64_t>(std::floor(*days));
        addTrigger(draft,
                   {.kind = Trigger::Kind::Condition,
                    .day = notAtOnce(c, draft, reached),
                    .why = fmt::format("{} {:.2g} {} by a chance of {} {:.0f} days after {}, as found at {} visits", what, permitted, unitOf(c),
                                       percent(c.outProbability), *days, dayWords(*last), c.shifts.size()),
                    .source = "shifts as found since the visit before"},
                   SourceClass::Record);
    };
    add(adjust, *c.tolerance, "drifts beyond");
    // Fouling: half the tolerance may be used up before it is cleaned off (common practice).
    add(TaskKind::Clean, 0.5 * *c.tolerance, "fouling moves it beyond");
}

/// A cause the diagnosis names is work from this probability on (our choice: below it, no cure is named either).
constexpr double kSuspectedFrom = 0.3;

bool suspected(const SensorContext& c, FindingCode code)
{
    return c.assessment && std::ranges::any_of(c.assessment->findings, [&](const Finding& f) { return f.code == code && f.probability.value_or(1.0) >= kSuspectedFrom; });
}

/// The latest reference resistance on record, with its day.
std::optional<std::pair<double, std::int64_t>> referenceResistance(const SensorContext& c)
{
    for (auto visit = c.history.visits.rbegin(); visit != c.history.visits.rend(); ++visit)
        for (const Check& check : (*visit)->checks)
            if (check.reference_kohm.has_value())
                return std::pair{*check.reference_kohm, dayNumber((*visit)->when)};
    return std::nullopt;
}

void addReference(const SensorContext& c, std::vector<Draft>& drafts)
{
    const auto resistance = referenceResistance(c);
    const auto measured = c.assessment && c.assessment->measured ? std::optional(dayNumber(*c.assessment->measured)) : std::nullopt;
    const auto newer = [&](TaskKind task, std::int64_t day) { return !c.last.of(task) || *c.last.of(task) < day; };
    const double falling = c.rules.number("diagnosis.trend_falling_mv_month").value;
    const double notable = c.rules.number("diagnosis.reference_notable_kohm").value;
    if (allowed(c, ActionKey::RefillReference)) {
        Draft& draft = draftOf(drafts, TaskKind::RefillReference);
        if (resistance && notable > 0.0 && resistance->first > notable && newer(TaskKind::RefillReference, resistance->second))
            addTrigger(draft,
                       {.kind = Trigger::Kind::Condition, .day = std::max(resistance->second, c.resume),
                        .why = fmt::format("reference resistance {:.0f} kohm on {}, above {:.0f}", resistance->first, dayWords(resistance->second), notable),
                        .source = c.rules.number("diagnosis.reference_notable_kohm").source},
                       SourceClass::CommonPractice);
        const auto offsets = robustTrend(cleanOffsets(c.figures));
        if (offsets && falling < 0.0 && offsets->slopePerDay * kDaysPerMonth <= falling && suspected(c, FindingCode::ElectrolyteDiluted) && measured &&
            newer(TaskKind::RefillReference, *measured))
            addTrigger(draft,
                       {.kind = Trigger::Kind::Condition, .day = std::max(*measured, c.resume),
                        .why = fmt::format("offset falls {:+.1f} mV a month, diluted electrolyte suspected", offsets->slopePerDay * kDaysPerMonth),
                        .source = c.rules.number("diagnosis.trend_falling_mv_month").source},
                       SourceClass::Assumed);
    }
    if (allowed(c, ActionKey::ReplaceBridge)) {
        constexpr double kBridgeKohm = 50.0;  // usual alarm of analysers with a reference test; known from memory
        Draft& draft = draftOf(drafts, TaskKind::ReplaceBridge);
        if (resistance && resistance->first > kBridgeKohm && newer(TaskKind::ReplaceBridge, resistance->second))
            addTrigger(draft,
                       {.kind = Trigger::Kind::Condition, .day = std::max(resistance->second, c.resume),
                        .why = fmt::format("reference resistance {:.0f} kohm on {}, above {:.0f}", resistance->first, dayWords(resistance->second), kBridgeKohm),
                        .source = "usual alarm of a reference test"},
                       SourceClass::Memory);
        for (const auto& [code, words] : {std::pair{FindingCode::CellContaminated, "contaminated cell solution suspected"},
                                          std::pair{FindingCode::BridgeExhausted, "used-up bridge suspected"}})
            if (suspected(c, code) && measured && newer(TaskKind::ReplaceBridge, *measured))
                addTrigger(draft,
                           {.kind = Trigger::Kind::Condition, .day = std::max(*measured, c.resume),
                            .why = fmt::format("{} since {}", words, dayWords(*measured)), .source = "findings of the last visit"},
                           SourceClass::Record);
    }
}

/// The task that a verdict calls for.
std::optional<TaskKind> taskOf(const Assessment& a)
{
    switch (a.verdict) {
    case Verdict::Replace: return TaskKind::Replace;
    case Verdict::CheckWiring: return TaskKind::Fault;
    case Verdict::Clean: return TaskKind::Clean;
    case Verdict::Condition:
    case Verdict::Rehydrate:
    case Verdict::RegenerateGlass: return TaskKind::Service;
    case Verdict::RefillReference: return TaskKind::RefillReference;
    case Verdict::ReplaceBridge: return TaskKind::ReplaceBridge;
    case Verdict::Recheck:
    case Verdict::CheckStandards: return TaskKind::Check;
    case Verdict::NotEnoughData:
    case Verdict::Leave: break;
    }
    return a.signal == Signal::Failure ? std::optional(TaskKind::Fault) : std::nullopt;
}

bool forbidden(const SensorContext& c, TaskKind task)
{
    return (task == TaskKind::RefillReference && !allowed(c, ActionKey::RefillReference)) ||
           (task == TaskKind::ReplaceBridge && !allowed(c, ActionKey::ReplaceBridge));
}

}  // namespace

void addConditions(const SensorContext& c, std::vector<Draft>& drafts)
{
    addEfficiencyTrend(c, drafts);
    addLifeTable(c, drafts);
    addDrift(c, drafts);
    addReference(c, drafts);
}

void addFindings(const SensorContext& c, std::vector<Draft>& drafts)
{
    if (!c.assessment || !c.assessment->measured)
        return;
    const auto task = taskOf(*c.assessment);
    if (!task || forbidden(c, *task))
        return;
    const std::int64_t found = dayNumber(*c.assessment->measured);
    // Done since: the verdict spoke of the state before.
    if (const auto last = c.last.of(*task); last && *last > found)
        return;
    std::string why = c.assessment->findings.empty() ? std::string(wordsOf(c.assessment->verdict)) : c.assessment->findings.front().title;
    if (!c.assessment->findings.empty() && !c.assessment->findings.front().because.empty())
        why += ": " + c.assessment->findings.front().because.front().text;
    Draft& draft = draftOf(drafts, *task);
    // Without an interval of its own a week is the time to the next round.
    if (draft.interval_days <= 0.0)
        draft.interval_days = c.assessment->signal == Signal::Failure ? 1.0 : 35.0;
    addTrigger(draft,
               {.kind = Trigger::Kind::Finding,
                .day = std::max(found, c.resume),
                .why = fmt::format("{}; visit of {}", why, dayWords(found)),
                .source = "verdict of the last visit, rules " + c.rules.id()},
               SourceClass::Record);
}

}  // namespace halfcell::core::upkeep
