#include "app/service/week.h"

namespace halfcell::app {

using namespace core;

PlanSettings planSettingsOf(const RuleSet& rules, const Plant& plant)
{
    PlanSettings settings;
    const auto take = [&rules](double& field, std::string_view key) {
        const Limit limit = rules.number(key);
        if (limit.value > 0.0)
            field = limit.value;
    };
    take(settings.lambdaPerMinute, "plan.lambda_per_minute");
    take(settings.wrenchTime, "plan.wrench_time");
    take(settings.defaultSetup, "plan.area_setup_minutes");
    // A permit area costs its own set-up where the rule set names one.
    for (const Point& point : plant.records().points) {
        const std::string area = point.permit_area.value_or(point.area.value_or(point.site));
        if (settings.areaSetup.contains(area))
            continue;
        const Limit own = rules.number("plan.area_setup_minutes." + area);
        if (own.value > 0.0)
            settings.areaSetup.emplace(area, own.value);
    }
    return settings;
}

PlannedWeek plannedWeek(const Overview& overview, const IsoWeek& week, int people)
{
    const Plant& plant = *overview.plant;
    const PlanSettings settings = planSettingsOf(overview.rules, plant);
    constexpr std::int64_t kDaysAfterMonday = 6;
    auto tasks = overview.due(mondayOf(week) + kDaysAfterMonday);
    const auto capacities = capacitiesOfWeek(plant, week, settings, people);
    PlannedWeek planned;
    planned.plan = planWeek(jobsOfWeek(plant, tasks, week, overview.rules), capacities, settings, week);
    planned.plan.kit = kitFor(planned.plan, plant, overview.rules);
    std::erase_if(tasks, [](const DueTask& t) { return t.task != TaskKind::Lot && t.task != TaskKind::Equipment; });
    planned.shelf = std::move(tasks);
    return planned;
}

WeekPlan planOfWeek(const Overview& overview, const IsoWeek& week, int people)
{
    return plannedWeek(overview, week, people).plan;
}

}  // namespace halfcell::app
