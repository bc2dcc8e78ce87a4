#include "app/register/upkeep_outline.h"

#include "app/service/week.h"

#include <algorithm>
#include <map>

namespace halfcell::app {

namespace {

constexpr std::int64_t kWaitingDays = 14;  // a fortnight ahead: what a round not held this week would leave undone

void addNextRound(UpkeepOutline& outline, const core::Overview& overview, std::int64_t today)
{
    // The rest of this week's plan, else next week's.
    for (const std::int64_t ahead : {std::int64_t{0}, std::int64_t{7}}) {
        const core::WeekPlan plan = planOfWeek(overview, core::isoWeekOf(today + ahead));
        std::map<std::int64_t, int> jobs;
        for (const core::PlannedJob& job : plan.planned)
            if (job.day >= today)
                ++jobs[job.day];
        if (!jobs.empty()) {
            outline.nextRoundDay = jobs.begin()->first;
            outline.nextRoundJobs = jobs.begin()->second;
            return;
        }
    }
}

}  // namespace

UpkeepOutline outlineOf(const core::Overview& overview, const core::Instant& now)
{
    UpkeepOutline outline;
    const std::int64_t today = core::dayNumber(now);
    for (const core::DueTask& task : overview.due(today + kWaitingDays)) {
        if (task.serial.empty())
            continue;
        double& loss = outline.loss[task.serial];
        loss = std::max(loss, task.priority);
        if (task.task == core::TaskKind::ShelfCheck && task.due <= today && outline.testBeforeUse.insert(task.serial).second)
            outline.shelfWhy.emplace(task.serial, task.why);
    }
    for (const core::SensorHistory& history : overview.plant->histories())
        for (auto it = history.visits.rbegin(); it != history.visits.rend(); ++it)
            if ((*it)->person && !(*it)->person->empty()) {
                outline.by.emplace(history.sensor->serial, *(*it)->person);
                break;
            }
    addNextRound(outline, overview, today);
    return outline;
}

}  // namespace halfcell::app
