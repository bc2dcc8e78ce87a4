#pragma once

#include "core/overview/overview.h"
#include "core/rounds/plan.h"

#include <vector>

namespace halfcell::app {

/// The planning figures of a rule set.
[[nodiscard]] core::PlanSettings planSettingsOf(const core::RuleSet& rules, const core::Plant& plant);

/// A week as it is worked: its plan, and what falls due of bottles and instruments, to which nobody walks.
struct PlannedWeek {
    core::WeekPlan plan;
    std::vector<core::DueTask> shelf;
};
[[nodiscard]] PlannedWeek plannedWeek(const core::Overview& overview, const core::IsoWeek& week, int people = 0);

/// The week's plan with its kit, as the command line prints it and the Rounds desk shows it. `people` limits the people to
/// the first n by key; 0 = everybody.
[[nodiscard]] core::WeekPlan planOfWeek(const core::Overview& overview, const core::IsoWeek& week, int people = 0);

}  // namespace halfcell::app
