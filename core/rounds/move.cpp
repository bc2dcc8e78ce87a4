#include "core/rounds/board.h"

#include "core/upkeep/window.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::core {
namespace {

std::string missingSkills(const Job& job, const Capacity& capacity)
{
    std::string missing;
    for (const std::string& skill : job.skills)
        if (std::ranges::find(capacity.skills, skill) == capacity.skills.end())
            missing += (missing.empty() ? "" : ", ") + skill;
    return missing;
}

}  // namespace

Result<WeekPlan> moveJob(const WeekPlan& plan, std::string_view key, std::int64_t day, std::string_view person, std::span<const Capacity> capacities,
                         const PlanSettings& settings)
{
    const auto job = std::ranges::find(plan.jobs, key, &Job::key);
    if (job == plan.jobs.end())
        return failure(Errc::NotFound, fmt::format("there is no job {} in this week", key), "plan the week again");
    WeekPlan moved = plan;
    std::erase_if(moved.planned, [&](const PlannedJob& p) { return p.key == key; });
    if (person.empty()) {
        if (job->floor)
            return failure(Errc::Conflict, fmt::format("{} has a floor on {}: it can't be left undone", key, dayWords(job->latest)),
                           "carry it to another day or person");
        settle(moved, capacities, settings);
        return moved;
    }
    if (day < job->earliest)
        return failure(Errc::Conflict, fmt::format("{} may be done from {} on", key, dayWords(job->earliest)), "choose a later day");
    if (day > job->latest)
        return failure(Errc::Conflict,
                       fmt::format("{} must be done by {}{}", key, dayWords(job->latest), job->floor ? ", its floor" : ""), "choose an earlier day");
    const auto slotOf = [&](std::string_view who) {
        return std::ranges::find_if(capacities, [&](const Capacity& c) { return c.day == day && c.person == who; });
    };
    const auto slot = slotOf(person);
    if (slot == capacities.end() || slot->minutes <= 0.0)
        return failure(Errc::Conflict, fmt::format("{} is not at work on {}", person, dayWords(day)), "choose another day or person");
    if (const std::string missing = missingSkills(*job, *slot); !missing.empty())
        return failure(Errc::Conflict,
                       fmt::format("{} has no {} skill{}", person, missing, job->area.empty() ? std::string() : " for " + job->area),
                       "choose somebody who has it");
    if (job->elapsed_minutes > dayLength(*slot, settings))
        return failure(Errc::Conflict, fmt::format("{} soaks {:.0f} min, longer than the day of {}", key, job->elapsed_minutes, person),
                       "choose a longer day");
    PlannedJob planned{std::string(key), day, {std::string(person)}, 0};
    if (job->people >= 2) {
        // The second person: who may attend and has the most minutes left that day.
        settle(moved, capacities, settings);
        std::string second;
        double most = 0.0;
        for (const DayLoad& load : moved.loads) {
            const auto other = slotOf(load.person);
            if (load.day != day || load.person == person || other == capacities.end() || !canAttend(*other, *job))
                continue;
            if (second.empty() || load.capacity - load.used > most) {
                second = load.person;
                most = load.capacity - load.used;
            }
        }
        if (second.empty())
            return failure(Errc::Conflict, fmt::format("{} needs two people; nobody else who may attend is at work on {}", key, dayWords(day)),
                           "choose another day");
        planned.people.push_back(std::move(second));
    }
    moved.planned.push_back(std::move(planned));
    settle(moved, capacities, settings);
    return moved;
}

}  // namespace halfcell::core
