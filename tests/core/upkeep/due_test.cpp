#include "tests/core/upkeep/due_shop.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

namespace halfcell::core {
namespace {

using namespace shop;

bool has(const DueTask& task, Trigger::Kind kind)
{
    return std::ranges::any_of(task.triggers, [kind](const Trigger& t) { return t.kind == kind; });
}

/// A look at the sensor in one standard: a verification and no more.
void verify(Shop& s, const std::string& when)
{
    Visit& visit = s.addVisit("K7-1", "AE-1", when);
    Shop::read(visit, Phase::AsFound);
    visit.readings.pop_back();
}

/// One sensor in drinking water, calibrated on 16 February 2026.
Shop oneSensor()
{
    Shop s;
    s.addPoint("AE-1");
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2025-09-01");
    Visit& visit = s.calibrate("K7-1", "AE-1", "2026-02-16");
    Shop::act(visit, ActionKey::CleanDetergent);
    Shop::act(visit, ActionKey::Condition);
    return s;
}

TEST(Due, NothingInAnEmptyShop)
{
    EXPECT_TRUE(due(Shop{}, "2026-03-02", "2027-03-02").empty());
}

TEST(Due, CountsTheIntervalFromTheLastTime)
{
    // Drinking water: check every 28 days, verify every 14, calibrate and clean every 56, service every 182.
    Shop s = oneSensor();
    verify(s, "2026-03-02");
    const auto tasks = due(s, "2026-03-02", "2026-03-20");
    const DueTask* check = find(tasks, TaskKind::Check);
    ASSERT_TRUE(check);
    EXPECT_EQ(check->serial, "K7-1");
    EXPECT_EQ(check->tag, "AE-1");
    EXPECT_EQ(check->site, "Saltmarsh");
    EXPECT_EQ(check->due, day("2026-03-16"));
    EXPECT_EQ(check->earliest, day("2026-03-09"));
    // Five days of grace for the check, two for the verification that it takes in.
    EXPECT_EQ(check->latest, day("2026-03-18"));
    EXPECT_EQ(check->why, "every 28 days, drinking water; last 16 Feb 2026");
    EXPECT_FALSE(check->floor);
    EXPECT_GT(check->minutes, 0.0);
    EXPECT_FALSE(check->materials.empty());
    EXPECT_FALSE(check->working.empty());
    EXPECT_FALSE(find(tasks, TaskKind::Service));
    EXPECT_FALSE(find(tasks, TaskKind::RefillReference)) << "sealed";
    EXPECT_FALSE(find(tasks, TaskKind::ReplaceBridge)) << "no bridge";
}

TEST(Due, EveryTaskHoldsItsOrderOfDaysAndItsWhy)
{
    Shop s = oneSensor();
    s.records.points[0].legal_floor_days = 20;
    for (const DueTask& task : due(s, "2026-03-02", "2026-12-31")) {
        EXPECT_LT(task.earliest, task.due);
        EXPECT_LE(task.due, task.latest);
        if (task.floor) {
            EXPECT_LE(task.latest, *task.floor);
        }
        EXPECT_FALSE(task.why.empty());
        ASSERT_FALSE(task.triggers.empty());
        EXPECT_EQ(task.why, task.triggers.front().why);
        EXPECT_EQ(task.due, task.triggers.front().day);
        EXPECT_LE(task.due, day("2026-12-31"));
    }
}

TEST(Due, AFloorWinsAndCannotBeLoosened)
{
    Shop s = oneSensor();
    s.records.points[0].legal_floor_days = 23;
    s.records.points[0].legal_clause = "permit condition 4";
    verify(s, "2026-03-02");
    const auto tasks = due(s, "2026-03-02", "2026-03-20");
    const DueTask* check = find(tasks, TaskKind::Check);
    ASSERT_TRUE(check);
    EXPECT_EQ(check->floor, day("2026-03-11"));
    EXPECT_EQ(check->due, day("2026-03-11"));
    EXPECT_EQ(check->latest, day("2026-03-11"));
    EXPECT_TRUE(check->cannotSlip);
    EXPECT_EQ(check->why, "floor: 23 days, permit condition 4; last 16 Feb 2026");
    EXPECT_TRUE(has(*check, Trigger::Kind::Calendar));
    EXPECT_EQ(tasks.front().serial, check->serial);
    EXPECT_TRUE(tasks.front().cannotSlip) << "floors first";
    // A longer interval in the rule set leaves the floor where it is.
    const auto rules = RuleSet::parse("[rules]\nname = \"slack\"\nversion = 1\nbase = \"shipped\"\n[intervals.drinking_water]\ncheck = { days = 300 }\n");
    ASSERT_TRUE(rules) << rules.error().detail;
    const Plant plant = s.known("2026-03-02");
    const auto figures = figuresOf(plant);
    const auto slack = dueTasks(plant, judgements(plant, figures), figures, *rules, day("2026-12-31"));
    const auto floored = std::ranges::find_if(slack, [](const DueTask& t) { return t.floor.has_value(); });
    ASSERT_NE(floored, slack.end());
    EXPECT_EQ(floored->floor, day("2026-03-11"));
    EXPECT_LE(floored->latest, day("2026-03-11"));
}

TEST(Due, AFindingNeverMovesAFloor)
{
    Shop s = oneSensor();
    s.records.points[0].legal_floor_days = 60;
    const Plant plant = s.known("2026-03-02");
    const auto figures = figuresOf(plant);
    auto judged = judgements(plant, figures);
    judged[0].verdict = Verdict::Recheck;
    judged[0].signal = Signal::MaintenanceRequired;
    const auto tasks = dueTasks(plant, judged, figures, RuleSet::shipped(), day("2026-12-31"));
    const DueTask* check = find(tasks, TaskKind::Check);
    ASSERT_TRUE(check);
    EXPECT_TRUE(has(*check, Trigger::Kind::Finding));
    EXPECT_EQ(check->due, day("2026-02-16"));
    EXPECT_EQ(check->floor, day("2026-04-17"));
}

TEST(Due, AVerdictIsWorkAtOnce)
{
    const struct {
        Verdict verdict;
        Signal signal;
        TaskKind task;
    } cases[] = {{Verdict::CheckWiring, Signal::Failure, TaskKind::Fault},
                 {Verdict::Replace, Signal::Failure, TaskKind::Replace},
                 {Verdict::Clean, Signal::MaintenanceRequired, TaskKind::Clean},
                 {Verdict::Rehydrate, Signal::MaintenanceRequired, TaskKind::Service},
                 {Verdict::CheckStandards, Signal::MaintenanceRequired, TaskKind::Check},
                 {Verdict::Leave, Signal::Failure, TaskKind::Fault}};
    for (const auto& c : cases) {
        const Shop s = oneSensor();
        const Plant plant = s.known("2026-03-02");
        const auto figures = figuresOf(plant);
        auto judged = judgements(plant, figures);
        judged[0].verdict = c.verdict;
        judged[0].signal = c.signal;
        Finding finding;
        finding.title = "Scale film on the glass";
        judged[0].findings.push_back(finding);
        const auto tasks = dueTasks(plant, judged, figures, RuleSet::shipped(), day("2026-03-02"));
        const DueTask* task = find(tasks, c.task);
        ASSERT_TRUE(task) << keyOf(c.verdict);
        EXPECT_EQ(task->due, day("2026-02-16"));
        EXPECT_EQ(task->why, "Scale film on the glass; visit of 16 Feb 2026");
    }
}

TEST(Due, AnImpossibleVerdictForTheDesignMakesNoTask)
{
    const Shop s = oneSensor();
    const Plant plant = s.known("2026-03-02");
    const auto figures = figuresOf(plant);
    auto judged = judgements(plant, figures);
    judged[0].verdict = Verdict::ReplaceBridge;
    const auto tasks = dueTasks(plant, judged, figures, RuleSet::shipped(), day("2026-12-31"));
    EXPECT_FALSE(find(tasks, TaskKind::ReplaceBridge));
}

TEST(Due, MergesWhatOneVisitCoversAndKeepsEveryWhy)
{
    // Check and calibration both overdue: the calibration takes the check and the verification in.
    const auto tasks = due(oneSensor(), "2026-06-01", "2026-06-01");
    const DueTask* calibrate = find(tasks, TaskKind::Calibrate);
    ASSERT_TRUE(calibrate);
    EXPECT_FALSE(find(tasks, TaskKind::Check));
    EXPECT_FALSE(find(tasks, TaskKind::Verify));
    std::set<std::string> whys;
    for (const Trigger& t : calibrate->triggers)
        whys.insert(t.why);
    EXPECT_TRUE(whys.contains("verify: every 14 days, drinking water; last 16 Feb 2026"));
    EXPECT_TRUE(whys.contains("check: every 28 days, drinking water; last 16 Feb 2026"));
    EXPECT_TRUE(whys.contains("every 56 days, drinking water; last 16 Feb 2026"));
    EXPECT_EQ(calibrate->due, day("2026-03-02"));
}

TEST(Due, TheBridgeIsChangedAtLeastYearlyWithItsCellSolutionAndNotAtEveryRefill)
{
    Shop s;
    s.addModel("M2", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 600.0, "1 inch");
    s.addPoint("AE-1");
    s.addSensor("M2-1", "M2");
    s.place("M2-1", "AE-1", "2025-04-20");
    s.calibrate("M2-1", "AE-1", "2025-04-21");
    Visit& refill = s.calibrate("M2-1", "AE-1", "2026-03-20");
    Shop::act(refill, ActionKey::RefillReference);
    Shop::act(refill, ActionKey::CleanDetergent);
    const auto tasks = due(s, "2026-04-14", "2026-04-20");
    const DueTask* bridge = find(tasks, TaskKind::ReplaceBridge);
    ASSERT_TRUE(bridge) << "a refill does not put the bridge off";
    EXPECT_TRUE(std::ranges::any_of(bridge->triggers, [](const Trigger& t) {
        return t.day == day("2026-04-20") && t.why == "every 365 days, drinking water; none on record; here since 20 Apr 2025";
    }));
    EXPECT_LE(bridge->latest, day("2026-04-20")) << "a year is the latest, there is no grace on it";
    const std::string all = [&] {
        std::string text;
        for (const std::string& m : bridge->materials)
            text += m + "; ";
        return text;
    }();
    EXPECT_NE(all.find("salt bridge"), std::string::npos);
    EXPECT_NE(all.find("cell solution"), std::string::npos);
    EXPECT_FALSE(find(tasks, TaskKind::RefillReference)) << "refilled three weeks ago";
    // Soon after a refill only, nothing asks for a bridge.
    EXPECT_FALSE(find(due(s, "2026-03-21", "2026-03-28"), TaskKind::ReplaceBridge));
}

TEST(Due, TheBridgeLastsHalfAsLongWhereDirtyAndNinetyDaysInSlurry)
{
    for (const auto& [application, days] : {std::pair{"wastewater", 180}, std::pair{"flotation", 90}, std::pair{"scrubber", 90}}) {
        Shop s;
        s.addModel("M2", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 600.0, "1 inch");
        s.addPoint("AE-1", application);
        s.addSensor("M2-1", "M2");
        s.place("M2-1", "AE-1", "2026-01-01");
        const auto tasks = due(s, "2026-01-02", "2026-12-31");
        const DueTask* bridge = find(tasks, TaskKind::ReplaceBridge);
        ASSERT_TRUE(bridge) << application;
        // The bridge's own trigger is the one that no other task lent.
        const auto own = std::ranges::find_if(bridge->triggers, [](const Trigger& t) { return t.why.find(": every") == std::string::npos; });
        ASSERT_NE(own, bridge->triggers.end());
        EXPECT_LE(own->day, day("2026-01-01") + days) << application << own->why;
    }
}

TEST(Due, ASensorOutOfServiceIsSuspendedAndCheckedFirstOnReturn)
{
    Shop s = oneSensor();
    s.records.placements[0].to = at("2026-02-20");
    s.place("K7-1", "bench", "2026-02-20", "2026-06-01");
    EXPECT_TRUE(due(s, "2026-04-01", "2026-12-31").empty());
    s.place("K7-1", "AE-1", "2026-06-01");
    const auto tasks = due(s, "2026-06-02", "2026-06-02");
    const auto first = std::ranges::find_if(tasks, [](const DueTask& t) {
        return std::ranges::any_of(t.triggers, [](const Trigger& trigger) { return trigger.why.find("check first") != std::string::npos; });
    });
    ASSERT_NE(first, tasks.end());
    for (const DueTask& t : tasks)
        EXPECT_GE(t.due, day("2026-06-01")) << "time on the bench is not overdue";
}

TEST(Due, ASeasonalPointRestsOutsideItsSeason)
{
    Shop s = oneSensor();
    s.records.points[0].season_from = "05-01";
    s.records.points[0].season_to = "09-30";
    EXPECT_TRUE(due(s, "2026-03-02", "2026-04-30").empty());
    const auto tasks = due(s, "2026-03-02", "2026-05-01");
    ASSERT_FALSE(tasks.empty());
    for (const DueTask& t : tasks)
        EXPECT_EQ(t.due, day("2026-05-01"));
    EXPECT_TRUE(std::ranges::any_of(tasks, [](const DueTask& t) {
        return std::ranges::any_of(t.triggers, [](const Trigger& trigger) {
            return trigger.why.find("season begins 1 May 2026: check first; last 16 Feb 2026") != std::string::npos;
        });
    }));
}

TEST(Due, AGrabCheckFollowsASwapForAWeek)
{
    Shop s;
    s.addPoint("AE-1");
    s.addSensor("K7-2");
    s.place("K7-2", "shelf", "2025-01-01", "2026-03-01");
    s.place("K7-2", "AE-1", "2026-03-01");
    s.calibrate("K7-2", "AE-1", "2026-02-28");
    const auto tasks = due(s, "2026-03-02", "2026-03-03");
    const DueTask* grab = find(tasks, TaskKind::GrabCheck);
    ASSERT_TRUE(grab);
    EXPECT_EQ(grab->due, day("2026-03-02"));
    EXPECT_EQ(grab->why, "a day after the sensor was put in on 1 Mar 2026");
    EXPECT_FALSE(find(due(s, "2026-03-12", "2026-03-12"), TaskKind::GrabCheck));
    Visit& done = s.addVisit("K7-2", "AE-1", "2026-03-02");
    Grab g;
    g.when = done.when;
    g.recorded = done.when;
    g.loop_ph = 7.1;
    g.grab_ph = 7.0;
    done.grabs.push_back(g);
    EXPECT_FALSE(find(due(s, "2026-03-02", "2026-03-03"), TaskKind::GrabCheck));
}

TEST(Due, ScrapAndEmptyPointsHaveNoWork)
{
    Shop s;
    s.addPoint("AE-1");
    s.addPoint("AE-2");
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2024-01-01", "2025-01-01");
    s.place("K7-1", "scrap", "2025-01-01");
    EXPECT_TRUE(due(s, "2026-03-02", "2027-03-02").empty());
}

TEST(Due, OrpIsCheckedAndCleanedButNotCalibratedAsShipped)
{
    Shop s;
    s.addModel("R9", SensorKind::Orp, ReferenceDesign::DoubleGel, Sensing::Platinum, 300.0, "12 mm");
    s.addPoint("AE-1");
    s.addSensor("R9-1", "R9");
    s.place("R9-1", "AE-1", "2025-09-01");
    const auto tasks = due(s, "2026-03-02", "2026-03-02");
    EXPECT_FALSE(find(tasks, TaskKind::Calibrate));
    EXPECT_TRUE(std::ranges::any_of(tasks, [](const DueTask& t) { return t.task == TaskKind::Check || t.task == TaskKind::Service; }));
}

TEST(Due, ShiftingEveryDateShiftsOnlyDates)
{
    const auto plain = due(oneSensor(), "2026-03-02", "2026-06-30");
    Shop s = oneSensor();
    constexpr std::int64_t kShift = 364LL * 86400;  // a whole number of weeks
    const auto later = [](Instant& t) { t.utcSeconds += kShift; };
    for (Placement& p : s.records.placements) {
        later(p.from);
        later(p.recorded);
    }
    for (Visit& v : s.records.visits) {
        later(v.when);
        later(v.recorded);
        for (Reading& r : v.readings) {
            later(r.when);
            later(r.recorded);
        }
        for (Action& a : v.actions) {
            later(a.when);
            later(a.recorded);
        }
    }
    const auto moved = due(s, "2027-03-01", "2027-06-29");
    ASSERT_EQ(plain.size(), moved.size());
    for (std::size_t i = 0; i < plain.size(); ++i) {
        EXPECT_EQ(plain[i].task, moved[i].task);
        EXPECT_EQ(plain[i].due + 364, moved[i].due);
        EXPECT_NEAR(plain[i].priority, moved[i].priority, 1e-9);
    }
}

TEST(Due, WhatIsRecordedLaterChangesNothing)
{
    Shop s = oneSensor();
    const auto before = due(s, "2026-03-02", "2026-06-30");
    s.calibrate("K7-1", "AE-1", "2026-03-05");
    const auto after = due(s, "2026-03-02", "2026-06-30");
    ASSERT_EQ(before.size(), after.size());
    for (std::size_t i = 0; i < before.size(); ++i) {
        EXPECT_EQ(before[i].due, after[i].due);
        EXPECT_EQ(before[i].why, after[i].why);
    }
}

TEST(Due, NextDueIsTheEarliest)
{
    const auto tasks = due(oneSensor(), "2026-03-02", "2026-12-31");
    const auto next = nextDue(tasks, "K7-1");
    ASSERT_TRUE(next);
    for (const DueTask& t : tasks)
        EXPECT_LE(*next, t.due);
    EXPECT_FALSE(nextDue(tasks, "nobody"));
}

TEST(Due, MoreConsequenceMorePriority)
{
    Shop s = oneSensor();
    const auto low = due(s, "2026-03-02", "2026-03-20");
    s.records.points[0].consequence_per_week = 500.0;
    const auto high = due(s, "2026-03-02", "2026-03-20");
    ASSERT_EQ(low.size(), high.size());
    for (std::size_t i = 0; i < low.size(); ++i) {
        EXPECT_GT(low[i].priority, 0.0);
        EXPECT_NEAR(high[i].priority, 10.0 * low[i].priority, 1e-9) << "control is 50 a week";
    }
}

}  // namespace
}  // namespace halfcell::core
