#pragma once

#include "core/rounds/plan.h"

#include <string>
#include <vector>

/// The worked week of decision notes section 7: one technician, two days of 150 minutes, areas N, S, E, nine jobs.
namespace halfcell::core::worked {

inline constexpr IsoWeek kWeek{2026, 10};

inline Job job(const std::string& key, const std::string& area, double minutes, double loss)
{
    Job j;
    j.key = key;
    j.tag = key;
    j.area = area;
    j.minutes = minutes;
    j.elapsed_minutes = minutes;
    j.loss = loss;
    j.earliest = mondayOf(kWeek);
    j.latest = mondayOf(kWeek) + 6;
    j.nextChance = mondayOf(kWeek) + 7;
    j.tasks = {TaskKind::Check};
    return j;
}

inline std::vector<Job> jobs()
{
    return {job("J1", "N", 40, 120), job("J2", "N", 35, 60), job("J3", "N", 25, 20), job("J4", "S", 45, 150), job("J5", "S", 90, 95),
            job("J6", "S", 30, 25),  job("J7", "E", 35, 70), job("J8", "E", 25, 18), job("J9", "E", 60, 110)};
}

inline std::vector<Capacity> days(std::initializer_list<double> minutes, const std::string& person = "T1")
{
    std::vector<Capacity> list;
    std::int64_t day = mondayOf(kWeek);
    for (const double m : minutes)
        list.push_back({person, day++, m, {}});
    return list;
}

inline PlanSettings settings()
{
    PlanSettings s;
    s.lambdaPerMinute = 0.2;
    s.areaSetup = {{"N", 30}, {"S", 40}, {"E", 35}};
    return s;
}

}  // namespace halfcell::core::worked
