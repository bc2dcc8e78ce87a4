#include "core/rounds/plan.h"

#include "tests/core/rounds/worked_week.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace halfcell::core {
namespace {

using namespace worked;

bool planned(const WeekPlan& plan, std::string_view key)
{
    return std::ranges::any_of(plan.planned, [key](const PlannedJob& p) { return p.key == key; });
}

TEST(MoveJob, ReachesTheBestPlanByHand)
{
    const auto capacities = days({150, 150});
    const std::int64_t monday = mondayOf(kWeek);
    WeekPlan plan = planWeek(jobs(), capacities, settings(), kWeek);
    const auto carry = [&](const char* key, std::int64_t day, const char* person) {
        const auto moved = moveJob(plan, key, day, person, capacities, settings());
        ASSERT_TRUE(moved) << moved.error().detail;
        plan = *moved;
    };
    carry("J6", 0, "");
    carry("J3", 0, "");
    carry("J2", monday, "T1");
    carry("J7", monday + 1, "T1");
    EXPECT_NEAR(plan.objective, 342.0, 1e-9);
    EXPECT_FALSE(planned(plan, "J6"));
    EXPECT_EQ(plan.loads[0].used, 150.0);
    EXPECT_EQ(plan.loads[1].used, 140.0);
    EXPECT_EQ(plan.planned.size() + plan.unplanned.size(), 9U);
    EXPECT_LE(plan.objective, plan.bound);
}

TEST(MoveJob, PastTheCapacityItIsAllowedAndShows)
{
    const auto capacities = days({150, 150});
    const WeekPlan plan = planWeek(jobs(), capacities, settings(), kWeek);
    const auto moved = moveJob(plan, "J5", mondayOf(kWeek), "T1", capacities, settings());
    ASSERT_TRUE(moved);
    EXPECT_EQ(moved->loads[0].used, 205.0);
    EXPECT_EQ(moved->loads[0].capacity, 150.0);
}

TEST(MoveJob, RefusesInWords)
{
    auto list = jobs();
    list[0].latest = mondayOf(kWeek) + 1;
    list[0].earliest = mondayOf(kWeek) + 1;
    list[1].skills = {"confined"};
    list[3].floor = true;
    list[4].elapsed_minutes = 400;
    auto capacities = days({150, 150, 150});
    for (Capacity& c : capacities)
        c.skills = {"confined"};
    capacities.push_back({"T2", mondayOf(kWeek), 150, {}});
    const WeekPlan plan = planWeek(list, capacities, settings(), kWeek);
    const auto refused = [&](const char* key, std::int64_t offset, const char* person) {
        const auto moved = moveJob(plan, key, mondayOf(kWeek) + offset, person, capacities, settings());
        EXPECT_FALSE(moved) << key;
        return moved ? Error{} : moved.error();
    };
    EXPECT_EQ(refused("J1", 0, "T1").detail, "J1 may be done from 3 Mar 2026 on");
    EXPECT_EQ(refused("J1", 2, "T1").detail, "J1 must be done by 3 Mar 2026");
    EXPECT_EQ(refused("J2", 0, "T2").detail, "T2 has no confined skill for N");
    EXPECT_EQ(refused("J3", 1, "T2").detail, "T2 is not at work on 3 Mar 2026");
    EXPECT_EQ(refused("J3", 5, "T1").code, Errc::Conflict);
    EXPECT_EQ(refused("J5", 0, "T1").code, Errc::Conflict);
    EXPECT_EQ(refused("J4", 0, "").code, Errc::Conflict) << "a floor job stays on the board";
    EXPECT_EQ(refused("J99", 0, "T1").code, Errc::NotFound);
}

TEST(MoveJob, TakesASecondPersonAlongWhereTwoAreNeeded)
{
    auto list = std::vector<Job>{job("tank", "N", 40, 400)};
    list[0].people = 2;
    auto capacities = days({150, 150});
    capacities.push_back({"T2", mondayOf(kWeek), 150, {}});
    const WeekPlan plan = planWeek(list, capacities, settings(), kWeek);
    const auto alone = moveJob(plan, "tank", mondayOf(kWeek) + 1, "T1", capacities, settings());
    ASSERT_FALSE(alone);
    EXPECT_EQ(alone.error().code, Errc::Conflict);
    const auto both = moveJob(plan, "tank", mondayOf(kWeek), "T2", capacities, settings());
    ASSERT_TRUE(both);
    EXPECT_EQ(both->planned[0].people, (std::vector<std::string>{"T2", "T1"}));
}

}  // namespace
}  // namespace halfcell::core
