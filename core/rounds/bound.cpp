#include "core/rounds/bound.h"

#include "core/rounds/board.h"

#include <algorithm>
#include <map>
#include <set>

namespace halfcell::core {
namespace {

struct Piece {
    double minutes = 0.0, value = 0.0;
    [[nodiscard]] double density() const { return minutes > 0.0 ? value / minutes : 0.0; }
};

bool anybodyCan(const Job& job, std::span<const Capacity> capacities, const PlanSettings& settings)
{
    std::map<std::int64_t, std::set<std::string_view>> able;  // days with somebody who has the skills: who could be there
    std::set<std::int64_t> led;
    for (const Capacity& c : capacities) {
        if (!inWindow(job, c.day) || job.elapsed_minutes > dayLength(c, settings) ||
            job.minutes + areaSetupMinutes(settings, job.area) > c.minutes)
            continue;
        if (hasSkills(c, job))
            led.insert(c.day);
        if (hasSkills(c, job) || (job.people >= 2 && canAttend(c, job)))
            able[c.day].insert(c.person);
    }
    return std::ranges::any_of(led, [&](std::int64_t day) { return able[day].size() >= static_cast<std::size_t>(std::max(job.people, 1)); });
}

}  // namespace

double boundOfWeek(std::span<const Job> jobs, std::span<const Capacity> capacities, const PlanSettings& settings)
{
    double capacity = 0.0;
    for (const Capacity& c : capacities)
        capacity += std::max(c.minutes, 0.0);
    std::map<std::string_view, std::vector<Piece>> areas;
    for (const Job& job : jobs) {
        if (!anybodyCan(job, capacities, settings))
            continue;
        const double minutes = job.minutes * std::max(job.people, 1);
        const double value = job.loss - settings.lambdaPerMinute * minutes;
        if (value > 0.0)
            areas[job.area].push_back({minutes, value});
    }
    // Concave frontier of each area: its best opening bundle, then the jobs that are left.
    double free = 0.0;
    std::vector<Piece> pieces;
    for (auto& [area, list] : areas) {
        std::ranges::stable_sort(list, std::greater<>(), [](const Piece& p) { return p.minutes > 0.0 ? p.density() : 1e300; });
        const double setup = areaSetupMinutes(settings, area);
        Piece bundle{setup, -settings.lambdaPerMinute * setup};
        std::size_t taken = 0;
        while (taken < list.size() && (bundle.minutes <= 0.0 || bundle.value <= 0.0 || list[taken].minutes <= 0.0 ||
                                       list[taken].density() > bundle.density())) {
            bundle.minutes += list[taken].minutes;
            bundle.value += list[taken].value;
            ++taken;
        }
        if (bundle.value <= 0.0)
            continue;  // the area as a whole is not worth opening
        const auto add = [&](const Piece& p) {
            if (p.minutes <= 0.0)
                free += p.value;
            else
                pieces.push_back(p);
        };
        add(bundle);
        for (std::size_t i = taken; i < list.size(); ++i)
            add(list[i]);
    }
    std::ranges::stable_sort(pieces, std::greater<>(), &Piece::density);
    double bound = free;
    for (const Piece& p : pieces) {
        if (capacity <= 0.0)
            break;
        const double share = std::min(1.0, capacity / p.minutes);
        bound += share * p.value;
        capacity -= share * p.minutes;
    }
    return bound;
}

}  // namespace halfcell::core
