#pragma once

#include "core/rounds/plan.h"

#include <span>

namespace halfcell::core {

/// No plan of these jobs can be worth more. The week is relaxed to one stretch of minutes (all capacities together), jobs may
/// be done in part, and an area needs opening only as far as its most complete job is done: the linear relaxation of the
/// exact model with its days and persons merged, solved exactly by taking, area by area, first the set-up with the jobs that
/// pay best for it, then the rest by value a minute. Jobs that nobody can do at all are left out.
/// Check: decision example of the trade notes (nine jobs, three areas, 300 min, lambda 0.2): 422.31.
[[nodiscard]] double boundOfWeek(std::span<const Job> jobs, std::span<const Capacity> capacities, const PlanSettings& settings);

}  // namespace halfcell::core
