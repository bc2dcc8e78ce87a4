#include "core/review/knapsack.h"

#include <gtest/gtest.h>

#include <cstdint>
#include <limits>

namespace halfcell::core {
namespace {

SpendingItem item(const std::string& key, double cost, double saving)
{
    return {key, key, cost, saving, false};
}

TEST(Knapsack, WorkedExample)
{
    // Decision notes section 4: budget 900.
    const std::vector<SpendingItem> items{item("A", 280, 310), item("B", 280, 190), item("C", 470, 520),
                                          item("D", 60, 95),   item("E", 105, 60),  item("F", 280, 240)};
    const auto plan = chooseSpending(items, 900);
    ASSERT_TRUE(plan);
    EXPECT_EQ(plan->chosen, (std::vector<std::size_t>{0, 2, 3}));
    EXPECT_EQ(plan->cost, 810.0);
    EXPECT_EQ(plan->saving, 925.0);
    EXPECT_NEAR(plan->bound, 1002.14, 5e-3);
}

TEST(Knapsack, IsExactOnSmallCases)
{
    std::uint64_t state = 99;
    const auto next = [&](int n) {
        state = state * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<int>((state >> 33) % static_cast<std::uint64_t>(n));
    };
    for (int round = 0; round < 80; ++round) {
        std::vector<SpendingItem> items;
        const int groups = 1 + next(5);
        for (int g = 0; g < groups; ++g)
            for (int o = 0; o <= next(2); ++o)
                items.push_back({std::to_string(g) + "/" + std::to_string(o), std::to_string(g), 1.0 + next(40), next(60) - 5.0, false});
        const double budget = next(90);
        double best = 0.0;
        for (std::uint32_t mask = 0; mask < (1U << items.size()); ++mask) {
            double cost = 0.0, saving = 0.0;
            bool legal = true;
            for (std::size_t i = 0; i < items.size(); ++i) {
                if (!(mask >> i & 1U))
                    continue;
                cost += items[i].cost;
                saving += items[i].saving;
                for (std::size_t j = 0; j < i; ++j)
                    legal = legal && !((mask >> j & 1U) && items[j].group == items[i].group);
            }
            if (legal && cost <= budget)
                best = std::max(best, saving);
        }
        const auto plan = chooseSpending(items, budget);
        ASSERT_TRUE(plan);
        EXPECT_NEAR(plan->saving, best, 1e-9) << round;
        EXPECT_LE(plan->cost, budget);
        EXPECT_GE(plan->bound, best - 1e-9);
    }
}

TEST(Knapsack, MustDoGoesFirstAndWhatDoesNotFitIsNamed)
{
    std::vector<SpendingItem> items{item("good", 300, 900), item("must", 250, 0), item("must too", 400, 0)};
    items[1].mustDo = items[2].mustDo = true;
    const auto plan = chooseSpending(items, 600);
    ASSERT_TRUE(plan);
    EXPECT_EQ(plan->chosen, (std::vector<std::size_t>{0, 1}));
    EXPECT_EQ(plan->mustDoLeftOut, (std::vector<std::size_t>{2}));
    EXPECT_EQ(plan->cost, 550.0);
}

TEST(Knapsack, MoreMoneyNeverSavesLess)
{
    std::vector<SpendingItem> items;
    for (int i = 0; i < 30; ++i)
        items.push_back(item(std::to_string(i), 37.0 + 13.0 * (i % 7), 20.0 + 11.0 * (i % 5)));
    double before = 0.0;
    for (double budget = 0; budget < 2500; budget += 125) {
        const auto plan = chooseSpending(items, budget);
        ASSERT_TRUE(plan);
        EXPECT_GE(plan->saving, before);
        EXPECT_LE(plan->saving, plan->bound + 1e-9);
        before = plan->saving;
    }
}

TEST(Knapsack, ALargeBudgetUsesCoarserUnitsAndStillHolds)
{
    std::vector<SpendingItem> items;
    for (int i = 0; i < 300; ++i)
        items.push_back(item(std::to_string(i), 901.5 + 7.0 * (i % 11), 100.0 + i));
    const auto plan = chooseSpending(items, 120'000);
    ASSERT_TRUE(plan);
    EXPECT_GT(plan->unit, 1.0);
    EXPECT_LE(plan->cost, 120'000.0);
    EXPECT_LE(plan->saving, plan->bound + 1e-9);
    EXPECT_GT(plan->saving, 0.98 * plan->bound);
}

TEST(Knapsack, HandlesNothingAndRefusesNonsense)
{
    EXPECT_TRUE(chooseSpending({}, 100)->chosen.empty());
    EXPECT_TRUE(chooseSpending(std::vector<SpendingItem>{item("a", 10, 5)}, 0)->chosen.empty());
    EXPECT_EQ(chooseSpending(std::vector<SpendingItem>{item("free", 0, 5)}, 0)->saving, 5.0);
    EXPECT_EQ(chooseSpending({}, -1).error().code, Errc::BadInput);
    EXPECT_EQ(chooseSpending(std::vector<SpendingItem>{item("a", -1, 5)}, 10).error().code, Errc::BadInput);
    EXPECT_EQ(chooseSpending({}, std::numeric_limits<double>::infinity()).error().code, Errc::BadInput);
}

}  // namespace
}  // namespace halfcell::core
