#include "core/rounds/plan.h"

#include "tests/core/rounds/worked_week.h"
#include "tests/core/upkeep/small_shop.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace halfcell::core {
namespace {

using namespace shop;
using worked::kWeek;

DueTask task(const std::string& serial, const std::string& tag, TaskKind kind, const char* date, double priority = 10.0)
{
    DueTask t;
    t.serial = serial;
    t.tag = tag;
    t.site = "Saltmarsh";
    t.task = kind;
    t.due = day(date);
    t.earliest = t.due - 7;
    t.latest = t.due + 5;
    t.priority = priority;
    t.minutes = 20;
    t.elapsed_minutes = 25;
    t.why = "because";
    return t;
}

TEST(Jobs, TheTasksOfOneSensorAreOneJob)
{
    Shop s;
    s.addPoint("AE-1").walk_minutes = 4.0;
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2025-01-01");
    const Plant plant = s.known("2026-03-02");
    const std::vector<DueTask> tasks{task("K7-1", "AE-1", TaskKind::Calibrate, "2026-03-05", 12.0), task("K7-1", "AE-1", TaskKind::Clean, "2026-03-03", 7.0)};
    const auto jobs = jobsOfWeek(plant, tasks, kWeek, RuleSet::shipped());
    ASSERT_EQ(jobs.size(), 1U);
    const Job& job = jobs[0];
    EXPECT_EQ(job.key, "AE-1");
    EXPECT_EQ(job.area, "Filters");
    EXPECT_EQ(job.tasks, (std::vector<TaskKind>{TaskKind::Calibrate, TaskKind::Clean}));
    EXPECT_EQ(job.minutes, 20.0 + 20.0 + 6.0 + 4.0);
    EXPECT_EQ(job.standards, (std::vector<std::string>{"ph7.00", "ph4.01", "ph7.00"}));
    EXPECT_EQ(job.why, "calibrate: because; clean: because");
    EXPECT_EQ(job.people, 1);
    EXPECT_GE(job.loss, 12.0);
    EXPECT_EQ(job.nextChance, mondayOf(kWeek) + 7);
    EXPECT_LE(job.earliest, job.latest);
    EXPECT_LE(job.latest, day("2026-03-08"));
}

TEST(Jobs, LateOnesMayBeDoneOnAnyDayAndWeighMore)
{
    Shop s;
    s.addPoint("AE-1");
    s.addPoint("AE-2");
    s.addSensor("a");
    s.addSensor("b");
    const Plant plant = s.known("2026-03-02");
    const std::vector<DueTask> tasks{task("a", "AE-1", TaskKind::Check, "2026-01-05"), task("b", "AE-2", TaskKind::Check, "2026-03-08")};
    const auto jobs = jobsOfWeek(plant, tasks, kWeek, RuleSet::shipped());
    ASSERT_EQ(jobs.size(), 2U);
    EXPECT_EQ(jobs[0].earliest, mondayOf(kWeek));
    EXPECT_EQ(jobs[0].latest, mondayOf(kWeek) + 6);
    EXPECT_GT(jobs[0].loss, jobs[1].loss);
}

TEST(Jobs, FollowTheWalkAndLeaveOutWhatIsNotYetOpenAndTheBottles)
{
    Shop s;
    s.addPoint("AE-1").walk_order = 2.0;
    s.addPoint("AE-2").walk_order = 1.0;
    s.addSensor("a");
    s.addSensor("b");
    s.addSensor("c");
    const Plant plant = s.known("2026-03-02");
    DueTask bottle = task("", "", TaskKind::Lot, "2026-03-05");
    bottle.subject = "B7-1";
    const std::vector<DueTask> tasks{task("a", "AE-1", TaskKind::Check, "2026-03-05"), task("b", "AE-2", TaskKind::Check, "2026-03-05"), bottle,
                                     task("c", "", TaskKind::ShelfCheck, "2026-03-05"), task("a", "AE-1", TaskKind::Service, "2026-05-01")};
    const auto jobs = jobsOfWeek(plant, tasks, kWeek, RuleSet::shipped());
    ASSERT_EQ(jobs.size(), 3U);
    const auto position = [&](std::string_view key) { return std::ranges::find(jobs, key, &Job::key) - jobs.begin(); };
    EXPECT_LT(position("AE-2"), position("AE-1"));
    EXPECT_EQ(jobs[static_cast<std::size_t>(position("AE-1"))].tasks.size(), 1U);
    EXPECT_TRUE(jobs[static_cast<std::size_t>(position("c"))].area.empty()) << "shop work needs no way";
}

TEST(Jobs, HazardsAskForSkillsThatTheShopKeepsAndConfinedSpaceForTwo)
{
    Shop s;
    Point& point = s.addPoint("AE-1");
    point.hazards = {"cyanide", "sulfide", "confined"};
    s.addSensor("a");
    s.addPerson("T1", {"ph", "cyanide"});
    const Plant plant = s.known("2026-03-02");
    const std::vector<DueTask> tasks{task("a", "AE-1", TaskKind::Check, "2026-03-05")};
    const auto jobs = jobsOfWeek(plant, tasks, kWeek, RuleSet::shipped());
    ASSERT_EQ(jobs.size(), 1U);
    EXPECT_EQ(jobs[0].skills, (std::vector<std::string>{"ph", "cyanide", "confined"}));
    EXPECT_EQ(jobs[0].people, 2);
}

TEST(Jobs, AFloorIsCarriedAlong)
{
    Shop s;
    s.addPoint("AE-1");
    s.addSensor("a");
    const Plant plant = s.known("2026-03-02");
    DueTask floor = task("a", "AE-1", TaskKind::Check, "2026-03-05");
    floor.floor = floor.latest = floor.due;
    floor.cannotSlip = true;
    const auto jobs = jobsOfWeek(plant, std::vector<DueTask>{floor}, kWeek, RuleSet::shipped());
    ASSERT_EQ(jobs.size(), 1U);
    EXPECT_TRUE(jobs[0].floor);
    EXPECT_EQ(jobs[0].latest, day("2026-03-05"));
}

TEST(Jobs, OfAnEmptyShopAreNone)
{
    EXPECT_TRUE(jobsOfWeek(Shop{}.known("2026-03-02"), {}, kWeek, RuleSet::shipped()).empty());
    EXPECT_TRUE(capacitiesOfWeek(Shop{}.known("2026-03-02"), kWeek, PlanSettings{}).empty());
}

TEST(Settings, ComeFromTheRuleSet)
{
    const auto rules = RuleSet::parse("[rules]\nname = \"own\"\nversion = 1\nbase = \"shipped\"\n[numbers]\nwrench_time = { value = 0.5, source = "
                                      "\"our shop\", class = \"record\" }\n[numbers.plan]\narea_setup = { value = 12, source = \"our shop\", class = "
                                      "\"record\" }\n");
    ASSERT_TRUE(rules) << rules.error().detail;
    const PlanSettings settings = planSettings(Shop{}.known("2026-03-02"), *rules);
    EXPECT_EQ(settings.wrenchTime, 0.5);
    EXPECT_EQ(settings.defaultSetup, 12.0);
    EXPECT_EQ(settings.lambdaPerMinute, 0.2);
    EXPECT_EQ(settings.defaultShift, 450.0);
}

TEST(Capacities, FollowDaysShiftAndWrenchTime)
{
    Shop s;
    Person& t1 = s.addPerson("T1", {"ph"});
    t1.days = {"mon", "wed"};
    t1.minutes_per_day = 400.0;
    Person& t2 = s.addPerson("T2", {"orp"});
    t2.from = at("2026-03-05");
    t2.to = at("2026-03-06");
    s.addPerson("A planner", {"planner"});
    const auto all = capacitiesOfWeek(s.known("2026-03-02"), kWeek, PlanSettings{});
    ASSERT_EQ(all.size(), 4U);
    EXPECT_EQ(all[0].person, "T1");
    EXPECT_EQ(all[0].day, day("2026-03-02"));
    EXPECT_NEAR(all[0].minutes, 260.0, 1e-9);
    EXPECT_EQ(all[1].day, day("2026-03-04"));
    EXPECT_EQ(all[2].person, "T2");
    EXPECT_EQ(all[2].day, day("2026-03-05"));
    EXPECT_NEAR(all[2].minutes, 450.0 * 0.65, 1e-9);
    const auto first = capacitiesOfWeek(s.known("2026-03-02"), kWeek, PlanSettings{}, 1);
    for (const Capacity& c : first)
        EXPECT_EQ(c.person, "T1");
    EXPECT_EQ(first.size(), 2U);
}

}  // namespace
}  // namespace halfcell::core
