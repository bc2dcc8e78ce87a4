#include "core/rounds/plan.h"

#include "core/rounds/board.h"
#include "core/rounds/bound.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string_view>

namespace halfcell::core {
namespace {

struct Choice {
    std::size_t job = 0;
    Board::Place place;
    double score = 0.0;
    std::int64_t day = 0;
};

/// The better of two insertions: more value a minute, then the earlier day, then the key, then the fewer minutes.
bool better(const Choice& a, const Choice& b, const std::vector<Job>& jobs)
{
    // Values a minute that differ in the last digits only are the same value.
    const double tie = 1e-12 * std::max({1.0, std::abs(a.score), std::abs(b.score)});
    if (std::abs(a.score - b.score) > tie)
        return a.score > b.score;
    if (a.day != b.day)
        return a.day < b.day;
    if (jobs[a.job].key != jobs[b.job].key)
        return jobs[a.job].key < jobs[b.job].key;
    return a.place.added < b.place.added;
}

}  // namespace

WeekPlan planWeek(std::vector<Job> jobs, std::span<const Capacity> capacities, const PlanSettings& settings, const IsoWeek& week)
{
    WeekPlan plan;
    plan.week = week;
    plan.jobs = std::move(jobs);
    plan.bound = boundOfWeek(plan.jobs, capacities, settings);
    Board board(capacities, settings);
    std::vector<bool> placed(plan.jobs.size(), false);
    // Floor jobs first: they are put in even where they cost more than they save.
    for (const bool floors : {true, false})
        for (;;) {
            std::optional<Choice> best;
            for (std::size_t i = 0; i < plan.jobs.size(); ++i) {
                const Job& job = plan.jobs[i];
                if (placed[i] || job.floor != floors)
                    continue;
                for (Board::Place& place : board.placesFor(job, true)) {
                    const double gain = job.loss - settings.lambdaPerMinute * place.added;
                    if (!floors && gain <= 0.0)
                        continue;
                    const double score = place.added > 0.0 ? gain / place.added : gain > 0.0 ? 1e300 : 0.0;
                    Choice choice{i, std::move(place), score, 0};
                    choice.day = capacities[choice.place.slots.front()].day;
                    if (!best || better(choice, *best, plan.jobs))
                        best = std::move(choice);
                }
            }
            if (!best)
                break;
            const Job& job = plan.jobs[best->job];
            board.put(job, best->place);
            placed[best->job] = true;
            PlannedJob planned{job.key, best->day, {}, 0};
            for (const std::size_t slot : best->place.slots)
                planned.people.push_back(capacities[slot].person);
            plan.planned.push_back(std::move(planned));
        }
    settle(plan, capacities, settings);
    return plan;
}

}  // namespace halfcell::core
