#include "core/rounds/bound.h"
#include "core/rounds/plan.h"

#include "tests/core/rounds/worked_week.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <set>

namespace halfcell::core {
namespace {

using namespace worked;

std::set<std::string> keysOn(const WeekPlan& plan, std::int64_t day)
{
    std::set<std::string> keys;
    for (const PlannedJob& p : plan.planned)
        if (p.day == day)
            keys.insert(p.key);
    return keys;
}

/// Best value over all ways to lay the jobs on the days (0 = undone), one person.
double bruteForce(const std::vector<Job>& list, const std::vector<Capacity>& capacities, const PlanSettings& s)
{
    const std::size_t ways = capacities.size() + 1;
    std::uint64_t total = 1;
    for (std::size_t i = 0; i < list.size(); ++i)
        total *= ways;
    double best = 0.0;
    for (std::uint64_t code = 0; code < total; ++code) {
        std::uint64_t rest = code;
        std::vector<double> used(capacities.size(), 0.0);
        std::vector<std::set<std::string>> open(capacities.size());
        double value = 0.0;
        for (const Job& j : list) {
            const std::size_t way = rest % ways;
            rest /= ways;
            if (way == 0)
                continue;
            const std::size_t slot = way - 1;
            double added = j.minutes;
            if (open[slot].insert(j.area).second)
                added += s.areaSetup.at(j.area);
            used[slot] += added;
            value += j.loss - s.lambdaPerMinute * added;
        }
        bool fits = true;
        for (std::size_t c = 0; c < capacities.size(); ++c)
            fits = fits && used[c] <= capacities[c].minutes;
        if (fits)
            best = std::max(best, value);
    }
    return best;
}

TEST(PlanWeek, GivesTheGreedyPlanOfTheWorkedExample)
{
    const WeekPlan plan = planWeek(jobs(), days({150, 150}), settings(), kWeek);
    const std::int64_t monday = mondayOf(kWeek);
    EXPECT_EQ(keysOn(plan, monday), (std::set<std::string>{"J4", "J6"}));
    EXPECT_EQ(keysOn(plan, monday + 1), (std::set<std::string>{"J1", "J2", "J3"}));
    EXPECT_NEAR(plan.objective, 326.0, 1e-9);
    EXPECT_NEAR(plan.bound, 422.31, 5e-3);
    EXPECT_GE(plan.bound, 342.0);
    EXPECT_NEAR(plan.gap_pct, 100.0 * (plan.bound - 326.0) / plan.bound, 1e-9);
    EXPECT_EQ(plan.planned.size() + plan.unplanned.size(), 9U);
    for (const UnplannedJob& u : plan.unplanned) {
        EXPECT_FALSE(u.why.empty());
        EXPECT_EQ(u.nextChance, monday + 7);
    }
    ASSERT_EQ(plan.loads.size(), 2U);
    EXPECT_EQ(plan.loads[0].used, 115.0);
    EXPECT_EQ(plan.loads[1].used, 130.0);
    ASSERT_EQ(plan.loads[0].areas.size(), 1U);
    EXPECT_EQ(plan.loads[0].areas[0], (std::pair<std::string, double>{"S", 40.0}));
}

TEST(PlanWeek, TheOptimumOfTheWorkedExampleIs342)
{
    EXPECT_NEAR(bruteForce(jobs(), days({150, 150}), settings()), 342.0, 1e-9);
}

TEST(PlanWeek, NeverExceedsTheBoundNorTheBestPlan)
{
    // Small weeks from a fixed sequence; all ways are tried.
    std::uint64_t state = 12345;
    const auto next = [&](int n) {
        state = state * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<int>((state >> 33) % static_cast<std::uint64_t>(n));
    };
    for (int round = 0; round < 60; ++round) {
        std::vector<Job> list;
        const int n = 3 + next(5);
        for (int i = 0; i < n; ++i)
            list.push_back(job("J" + std::to_string(i), std::string(1, "NSE"[next(3)]), 10 + next(60), next(120)));
        const auto capacities = days({60.0 + next(120), 60.0 + next(120)});
        const double best = bruteForce(list, capacities, settings());
        const WeekPlan plan = planWeek(list, capacities, settings(), kWeek);
        EXPECT_LE(plan.objective, best + 1e-9) << round;
        EXPECT_LE(best, plan.bound + 1e-9) << round;
        EXPECT_GE(plan.objective, 0.0) << round;
        for (const DayLoad& load : plan.loads)
            EXPECT_LE(load.used, load.capacity + 1e-9) << round;
    }
}

TEST(PlanWeek, EveryPlannedJobsAreaIsOpenedAndPaidFor)
{
    const WeekPlan plan = planWeek(jobs(), days({150, 150, 150}), settings(), kWeek);
    for (const PlannedJob& p : plan.planned) {
        const auto j = std::ranges::find(plan.jobs, p.key, &Job::key);
        const auto load = std::ranges::find_if(plan.loads, [&](const DayLoad& l) { return l.day == p.day && l.person == p.people.front(); });
        ASSERT_NE(load, plan.loads.end());
        EXPECT_TRUE(std::ranges::any_of(load->areas, [&](const auto& a) { return a.first == j->area; }));
    }
    double minutes = 0.0, loss = 0.0;
    for (const DayLoad& l : plan.loads)
        minutes += l.used;
    for (const PlannedJob& p : plan.planned)
        loss += std::ranges::find(plan.jobs, p.key, &Job::key)->loss;
    EXPECT_NEAR(plan.objective, loss - 0.2 * minutes, 1e-9);
}

TEST(PlanWeek, TheOrderOfTheListDoesNotMatter)
{
    auto reversed = jobs();
    std::ranges::reverse(reversed);
    const WeekPlan a = planWeek(jobs(), days({150, 150}), settings(), kWeek), b = planWeek(reversed, days({150, 150}), settings(), kWeek);
    EXPECT_EQ(a.objective, b.objective);
    EXPECT_EQ(a.bound, b.bound);
    for (const std::int64_t day : {mondayOf(kWeek), mondayOf(kWeek) + 1})
        EXPECT_EQ(keysOn(a, day), keysOn(b, day));
}

TEST(PlanWeek, FloorJobsGoFirstEvenWhereTheyCostMoreThanTheySave)
{
    auto list = jobs();
    list.push_back(job("F", "E", 60, 1));
    list.back().floor = true;
    const WeekPlan plan = planWeek(list, days({150}), settings(), kWeek);
    EXPECT_TRUE(std::ranges::any_of(plan.planned, [](const PlannedJob& p) { return p.key == "F"; }));
}

TEST(PlanWeek, AnImpossibleFloorIsReportedFirstWithItsCause)
{
    auto list = jobs();
    list.push_back(job("F", "E", 60, 1));
    list.back().floor = true;
    list.back().skills = {"confined"};
    list.back().latest = mondayOf(kWeek) + 2;
    const WeekPlan plan = planWeek(list, days({150, 150}), settings(), kWeek);
    ASSERT_FALSE(plan.unplanned.empty());
    EXPECT_EQ(plan.unplanned.front().key, "F");
    EXPECT_EQ(plan.unplanned.front().why, "nobody at work this week has the skills confined; the next chance passes the floor of 4 Mar 2026");
}

TEST(PlanWeek, SaysWhichConstraintBinds)
{
    const std::int64_t monday = mondayOf(kWeek);
    std::vector<Job> list{job("long", "N", 200, 500), job("soak", "N", 40, 500), job("late", "N", 20, 500), job("cheap", "N", 20, 1),
                          job("big", "N", 110, 400),  job("second", "N", 110, 390), job("pair", "N", 20, 300)};
    list[1].elapsed_minutes = 600;
    list[2].earliest = list[2].latest = monday + 3;
    list[6].people = 2;
    auto capacities = days({150});
    const WeekPlan plan = planWeek(list, capacities, settings(), kWeek);
    std::map<std::string, std::string> why;
    for (const UnplannedJob& u : plan.unplanned)
        why[u.key] = u.why;
    EXPECT_TRUE(why["long"].starts_with("needs 230 min with the way, the longest day has 150")) << why["long"];
    EXPECT_TRUE(why["soak"].starts_with("soaks 600 min, the longest day has 231")) << why["soak"];
    EXPECT_TRUE(why["late"].starts_with("nobody with the skills is at work from 5 Mar 2026")) << why["late"];
    EXPECT_TRUE(why["second"].starts_with("no room: needs 110 min, at best 10 are left (T1 Mon)")) << why["second"];
    EXPECT_TRUE(why["pair"].starts_with("two people who may do it together")) << why["pair"];
    const WeekPlan roomy = planWeek({job("cheap", "N", 20, 1)}, days({150}), settings(), kWeek);
    EXPECT_TRUE(roomy.unplanned.at(0).why.starts_with("does not pay this week: 50 min")) << roomy.unplanned[0].why;
    const WeekPlan nobody = planWeek(jobs(), {}, settings(), kWeek);
    EXPECT_EQ(nobody.unplanned.size(), 9U);
    EXPECT_TRUE(nobody.unplanned[0].why.starts_with("nobody is at work this week")) << nobody.unplanned[0].why;
    EXPECT_EQ(nobody.objective, 0.0);
    EXPECT_EQ(nobody.bound, 0.0);
    EXPECT_EQ(nobody.gap_pct, 0.0);
}

TEST(PlanWeek, AJobStaysInItsWindowAndWithItsSkill)
{
    const std::int64_t monday = mondayOf(kWeek);
    std::vector<Job> list{job("a", "N", 20, 100), job("b", "N", 20, 100)};
    list[0].earliest = list[0].latest = monday + 1;
    list[1].skills = {"cyanide"};
    auto capacities = days({150, 150});
    for (auto& c : days({150, 150}, "T2"))
        capacities.push_back(c);
    capacities[3].skills = {"cyanide"};
    const WeekPlan plan = planWeek(list, capacities, settings(), kWeek);
    ASSERT_EQ(plan.planned.size(), 2U);
    for (const PlannedJob& p : plan.planned) {
        EXPECT_EQ(p.day, monday + 1);
        if (p.key == "b") {
            EXPECT_EQ(p.people.front(), "T2");
        }
    }
}

TEST(PlanWeek, TwoPeopleShareADayAndBothGiveTheirMinutes)
{
    auto list = std::vector<Job>{job("tank", "N", 40, 400)};
    list[0].people = 2;
    auto capacities = days({150});
    capacities.push_back({"T2", mondayOf(kWeek), 150, {}});
    const WeekPlan plan = planWeek(list, capacities, settings(), kWeek);
    ASSERT_EQ(plan.planned.size(), 1U);
    EXPECT_EQ(plan.planned[0].people.size(), 2U);
    for (const DayLoad& load : plan.loads)
        EXPECT_EQ(load.used, 70.0);
    EXPECT_NEAR(plan.objective, 400.0 - 0.2 * 140.0, 1e-9);
    EXPECT_LE(plan.objective, plan.bound);
}

TEST(PlanWeek, TheSecondPersonNeedsTheTicketForConfinedSpaceNotTheTrade)
{
    auto list = std::vector<Job>{job("tank", "N", 40, 400)};
    list[0].people = 2;
    list[0].skills = {"sulfide", "confined"};
    auto capacities = days({150}, "T1");
    capacities.push_back({"T2", mondayOf(kWeek), 150, {"sulfide", "confined"}});
    capacities[0].skills = {"confined"};
    const WeekPlan plan = planWeek(list, capacities, settings(), kWeek);
    ASSERT_EQ(plan.planned.size(), 1U);
    EXPECT_EQ(plan.planned[0].people, (std::vector<std::string>{"T2", "T1"}));
    EXPECT_LE(plan.objective, plan.bound);
    capacities[0].skills = {"sulfide"};
    const WeekPlan alone = planWeek(list, capacities, settings(), kWeek);
    ASSERT_EQ(alone.unplanned.size(), 1U);
    EXPECT_TRUE(alone.unplanned[0].why.starts_with("two people who may do it together")) << alone.unplanned[0].why;
    EXPECT_EQ(alone.bound, 0.0);
}

TEST(PlanWeek, WithinADayAreasStandTogetherAndSoaksStartFirst)
{
    auto list = jobs();
    list[8].elapsed_minutes = 180;  // J9 in E
    const WeekPlan plan = planWeek(list, days({600}), settings(), kWeek);
    std::vector<std::string> areas;
    int order = 0;
    for (const PlannedJob& p : plan.planned) {
        EXPECT_EQ(p.order, ++order);
        const std::string& area = std::ranges::find(plan.jobs, p.key, &Job::key)->area;
        if (areas.empty() || areas.back() != area)
            areas.push_back(area);
    }
    EXPECT_EQ(areas.size(), 3U);
    const auto first = std::ranges::find_if(plan.planned, [&](const PlannedJob& p) {
        return std::ranges::find(plan.jobs, p.key, &Job::key)->area == "E";
    });
    EXPECT_EQ(first->key, "J9");
}

TEST(Bound, GrowsWithCapacityAndLoss)
{
    double before = 0.0;
    for (const double minutes : {0.0, 50.0, 100.0, 200.0, 400.0, 800.0}) {
        const double bound = boundOfWeek(jobs(), days({minutes}), settings());
        EXPECT_GE(bound, before - 1e-9);
        before = bound;
    }
    // All done: the sum of all.
    EXPECT_NEAR(boundOfWeek(jobs(), days({400, 400}), settings()), 668.0 - 0.2 * (385 + 105), 1e-9);
}

TEST(Bound, ScalingTheMoneyScalesTheBoundAndKeepsThePlan)
{
    auto list = jobs();
    for (Job& j : list)
        j.loss *= 7.0;
    PlanSettings s = settings();
    s.lambdaPerMinute *= 7.0;
    const WeekPlan plain = planWeek(jobs(), days({150, 150}), settings(), kWeek), scaled = planWeek(list, days({150, 150}), s, kWeek);
    EXPECT_NEAR(scaled.bound, 7.0 * plain.bound, 1e-9);
    EXPECT_NEAR(scaled.objective, 7.0 * plain.objective, 1e-9);
    EXPECT_EQ(keysOn(plain, mondayOf(kWeek)), keysOn(scaled, mondayOf(kWeek)));
}

}  // namespace
}  // namespace halfcell::core
