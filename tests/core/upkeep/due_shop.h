#pragma once

#include "core/upkeep/due.h"

#include "tests/core/upkeep/small_shop.h"

#include <algorithm>
#include <string_view>

/// What is due in the small shop, and how a test finds a task in it.
namespace halfcell::core::shop {

inline std::vector<DueTask> due(const Shop& s, const std::string& asOf, const std::string& until)
{
    const Plant plant = s.known(asOf);
    const auto figures = figuresOf(plant);
    return dueTasks(plant, judgements(plant, figures), figures, RuleSet::shipped(), day(until));
}

/// The first task of this kind, of this subject if one is named; null if there is none.
inline const DueTask* find(const std::vector<DueTask>& tasks, TaskKind kind, std::string_view subject = {})
{
    const auto it =
        std::ranges::find_if(tasks, [&](const DueTask& t) { return t.task == kind && (subject.empty() || t.subject == subject); });
    return it == tasks.end() ? nullptr : &*it;
}

}  // namespace halfcell::core::shop
