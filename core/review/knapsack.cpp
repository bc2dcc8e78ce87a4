#include "core/review/knapsack.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <set>

namespace halfcell::core {
namespace {

struct Option {
    std::size_t index = 0;
    std::size_t units = 0;
    double cost = 0.0, saving = 0.0;
};
using Group = std::vector<Option>;

/// Fractional bound: each group as the concave frontier of its options, its steps taken by saving per money.
double fractionalBound(const std::vector<Group>& groups, double budget)
{
    struct Step {
        double cost, saving;
    };
    std::vector<Step> steps;
    double sum = 0.0;
    for (const Group& group : groups) {
        std::vector<Step> points{{0.0, 0.0}};
        std::vector<Step> sorted;
        for (const Option& o : group)
            sorted.push_back({o.cost, o.saving});
        std::ranges::sort(sorted, [](const Step& a, const Step& b) { return a.cost != b.cost ? a.cost < b.cost : a.saving > b.saving; });
        for (const Step& s : sorted) {
            if (s.saving <= points.back().saving)
                continue;
            const auto slope = [](const Step& a, const Step& b) {
                return b.cost > a.cost ? (b.saving - a.saving) / (b.cost - a.cost) : 1e300;
            };
            while (points.size() >= 2 && slope(points[points.size() - 2], points.back()) <= slope(points.back(), s))
                points.pop_back();
            points.push_back(s);
        }
        for (std::size_t i = 1; i < points.size(); ++i) {
            const Step step{points[i].cost - points[i - 1].cost, points[i].saving - points[i - 1].saving};
            if (step.cost <= 0.0)
                sum += step.saving;
            else
                steps.push_back(step);
        }
    }
    std::ranges::stable_sort(steps, [](const Step& a, const Step& b) { return a.saving * b.cost > b.saving * a.cost; });
    for (const Step& s : steps) {
        if (budget <= 0.0)
            break;
        const double share = std::min(1.0, budget / s.cost);
        sum += share * s.saving;
        budget -= share * s.cost;
    }
    return sum;
}

}  // namespace

Result<SpendingPlan> chooseSpending(std::span<const SpendingItem> items, double budget)
{
    if (!(budget >= 0.0) || !std::isfinite(budget))
        return failure(Errc::BadInput, fmt::format("a budget of {} can't be spent", budget), "give an amount of 0 or more");
    for (const SpendingItem& item : items)
        if (!(item.cost >= 0.0) || !std::isfinite(item.cost) || !std::isfinite(item.saving))
            return failure(Errc::BadInput, fmt::format("the cost of {} must not be negative", item.key), "correct its price");

    SpendingPlan plan;
    double left = budget;
    std::set<std::string_view> taken;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (!items[i].mustDo || taken.contains(items[i].group))
            continue;
        if (items[i].cost > left) {
            plan.mustDoLeftOut.push_back(i);
            continue;
        }
        left -= items[i].cost;
        plan.chosen.push_back(i);
        taken.insert(items[i].group);
    }
    double savedByMust = 0.0;
    for (const std::size_t i : plan.chosen)
        savedByMust += items[i].saving;

    // Whole units: at most 50 000 of them, fewer with many items so that the table stays small.
    constexpr double kMostUnits = 50'000.0;
    constexpr double kMostCells = 20'000'000.0;  // 400 items of 50 000 units
    const double most = std::min(kMostUnits, kMostCells / std::max<double>(1.0, static_cast<double>(items.size())));
    plan.unit = left > most ? std::ceil(left / most) : 1.0;
    const auto capacity = static_cast<std::size_t>(std::floor(left / plan.unit + 1e-9));

    std::map<std::string_view, std::size_t> groupOf;
    std::vector<Group> groups;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (items[i].mustDo || items[i].saving <= 0.0 || taken.contains(items[i].group))
            continue;
        const auto [it, added] = groupOf.emplace(items[i].group, groups.size());
        if (added)
            groups.emplace_back();
        groups[it->second].push_back({i, static_cast<std::size_t>(std::ceil(items[i].cost / plan.unit - 1e-9)), items[i].cost, items[i].saving});
    }
    plan.bound = savedByMust + fractionalBound(groups, left);

    // best[u]: largest saving with at most u units spent; choice[g][u]: option taken of group g (0 = none).
    std::vector<double> best(capacity + 1, 0.0);
    std::vector<std::vector<std::uint16_t>> choice(groups.size(), std::vector<std::uint16_t>(capacity + 1, 0));
    for (std::size_t g = 0; g < groups.size(); ++g) {
        for (std::size_t u = capacity + 1; u-- > 0;) {
            double value = best[u];
            for (std::size_t o = 0; o < groups[g].size(); ++o) {
                const Option& option = groups[g][o];
                if (option.units <= u && best[u - option.units] + option.saving > value + 1e-12) {
                    value = best[u - option.units] + option.saving;
                    choice[g][u] = static_cast<std::uint16_t>(o + 1);
                }
            }
            best[u] = value;
        }
    }
    // The least money that reaches the largest saving.
    std::size_t u = capacity;
    while (u > 0 && best[u - 1] >= best[capacity] - 1e-12)
        --u;
    for (std::size_t g = groups.size(); g-- > 0;)
        if (const std::uint16_t o = choice[g][u]; o > 0) {
            plan.chosen.push_back(groups[g][o - 1U].index);
            u -= groups[g][o - 1U].units;
        }
    std::ranges::sort(plan.chosen);
    for (const std::size_t i : plan.chosen) {
        plan.cost += items[i].cost;
        plan.saving += items[i].saving;
    }
    return plan;
}

}  // namespace halfcell::core
