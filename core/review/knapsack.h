#pragma once

#include "core/quantity/result.h"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace halfcell::core {

/// A way to spend money on one thing; several of the same `group` exclude each other.
struct SpendingItem {
    std::string key;
    std::string group;         ///< the sensor; equal to key where there is one way only
    double cost = 0.0;
    double saving = 0.0;
    bool mustDo = false;       ///< taken before all others
};

struct SpendingPlan {
    std::vector<std::size_t> chosen;   ///< indices into the items, ascending
    double cost = 0.0, saving = 0.0;
    double bound = 0.0;                ///< no choice within the budget can save more (fractional relaxation)
    double unit = 1.0;                 ///< whole units the costs were rounded up to
    std::vector<std::size_t> mustDoLeftOut;  ///< must-do items for which the budget is too small
};

/// Exact choice under a budget: multiple-choice knapsack over whole currency units (costs rounded up, so the budget holds).
/// Above a budget of 50 000 units, or with more than 400 items, the unit is coarser. Must-do items go first, in order.
/// Among equal savings the cheaper choice, then the earlier items. Errc::BadInput for a negative or infinite cost or budget.
/// Check: decision example of the trade notes, budget 900: A, C, D for 810, saving 925, bound 1002.14.
[[nodiscard]] Result<SpendingPlan> chooseSpending(std::span<const SpendingItem> items, double budget);

}  // namespace halfcell::core
