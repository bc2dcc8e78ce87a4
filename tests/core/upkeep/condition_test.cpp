#include "core/upkeep/due.h"

#include "tests/core/upkeep/small_shop.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace halfcell::core {
namespace {

using namespace shop;

struct Judged {
    Plant plant;
    std::vector<std::vector<VisitFigures>> figures;
    std::vector<Assessment> assessments;
    explicit Judged(const Shop& s, const std::string& asOf) : plant(s.known(asOf)), figures(figuresOf(plant)), assessments(judgements(plant, figures)) {}
    [[nodiscard]] std::vector<DueTask> due(const std::string& until) const
    {
        return dueTasks(plant, assessments, figures, RuleSet::shipped(), day(until));
    }
};

std::vector<Trigger> triggersOf(const std::vector<DueTask>& tasks, Trigger::Kind kind)
{
    std::vector<Trigger> found;
    for (const DueTask& task : tasks)
        for (const Trigger& t : task.triggers)
            if (t.kind == kind)
                found.push_back(t);
    return found;
}

/// Calibrated every four weeks; the efficiency as left falls by so much each time.
Shop falling(double perVisit, double start = 96.0)
{
    Shop s;
    s.addPoint("AE-1");
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2025-05-01");
    std::int64_t when = day("2025-06-02");
    for (int i = 0; i < 9; ++i, when += 28) {
        const double e = start - perVisit * i;
        s.calibrate("K7-1", "AE-1", formatDate(startOfDay(when)), e, e);
    }
    return s;
}

TEST(Condition, AFallingEfficiencyAsksForServiceBeforeTheLimit)
{
    // From 96 % by 1.6 % a visit: 83.2 % in January, 80 % two visits later.
    const Judged judged(falling(1.6), "2026-01-13");
    const auto tasks = judged.due("2026-12-31");
    const auto conditions = triggersOf(tasks, Trigger::Kind::Condition);
    const auto trend = std::ranges::find_if(conditions, [](const Trigger& t) { return t.why.find("below 80 %") != std::string::npos; });
    ASSERT_NE(trend, conditions.end());
    EXPECT_GT(trend->day, day("2026-01-13"));
    EXPECT_LT(trend->day, day("2026-03-10"));
    EXPECT_NE(trend->why.find("-1.7 % a month over 9 visits"), std::string::npos) << trend->why;
}

TEST(Condition, ASteadySensorWaitsForSuddenFailureOnly)
{
    const auto steady = triggersOf(Judged(falling(0.0), "2026-01-13").due("2027-12-31"), Trigger::Kind::Condition);
    for (const Trigger& t : steady)
        EXPECT_GT(t.day, day("2026-06-01")) << t.why;
}

TEST(Condition, TheFasterItFallsTheSooner)
{
    std::int64_t before = 0;
    for (const double perVisit : {0.8, 1.2, 1.6}) {
        const auto conditions = triggersOf(Judged(falling(perVisit), "2026-01-13").due("2027-12-31"), Trigger::Kind::Condition);
        const auto trend = std::ranges::find_if(conditions, [](const Trigger& t) { return t.why.find("below 80 %") != std::string::npos; });
        ASSERT_NE(trend, conditions.end());
        if (before != 0) {
            EXPECT_LT(trend->day, before);
        }
        before = trend->day;
    }
}

TEST(Condition, WithoutATrendTheLifeTableSpeaks)
{
    Shop s;
    s.addPoint("AE-1", "bleach", LoopClass::Interlock);  // usual life 5 months
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2025-12-01");
    s.calibrate("K7-1", "AE-1", "2026-02-16");
    const auto conditions = triggersOf(Judged(s, "2026-02-17").due("2026-12-31"), Trigger::Kind::Condition);
    const auto life = std::ranges::find_if(conditions, [](const Trigger& t) { return t.why.find("by the life table") != std::string::npos; });
    ASSERT_NE(life, conditions.end());
    EXPECT_GT(life->day, day("2026-02-16"));
    EXPECT_LT(life->day, day("2026-04-01"));
}

TEST(Condition, AShiftBeyondTheToleranceShortensTheInterval)
{
    Shop s;
    Point& point = s.addPoint("AE-1");
    point.tolerance_ph = 0.1;
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2025-05-01");
    std::int64_t when = day("2025-06-02");
    for (int i = 0; i < 9; ++i, when += 28) {
        Visit& visit = s.addVisit("K7-1", "AE-1", formatDate(startOfDay(when)));
        Shop::read(visit, Phase::AsFound, 96.0, i == 0 ? 0.0 : -16.0);
        Shop::read(visit, Phase::AsLeft, 96.0, 0.0);
        Shop::act(visit, ActionKey::CleanDetergent);
    }
    // About 0.28 pH in four weeks, 0.23 of it beyond the noise: a tenth is used up in under a fortnight.
    const auto tasks = Judged(s, "2026-01-13").due("2026-12-31");
    const auto conditions = triggersOf(tasks, Trigger::Kind::Condition);
    const auto drift = std::ranges::find_if(conditions, [](const Trigger& t) { return t.why.find("drifts beyond 0.1 pH") != std::string::npos; });
    const auto fouling = std::ranges::find_if(conditions, [](const Trigger& t) { return t.why.find("fouling moves it beyond 0.05 pH") != std::string::npos; });
    ASSERT_NE(drift, conditions.end());
    ASSERT_NE(fouling, conditions.end());
    EXPECT_LT(fouling->day, day("2026-02-01"));
    EXPECT_GE(fouling->day, day("2026-01-12") + 14) << "not at once after it was done: a quarter of the interval";
}

TEST(Condition, AHighReferenceResistanceAsksForABridgeAndNoneWithoutOne)
{
    for (const bool differential : {true, false}) {
        Shop s;
        s.addModel("M2", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 600.0, "1 inch");
        s.addPoint("AE-1");
        s.addSensor("x", differential ? "M2" : "K7");
        s.place("x", "AE-1", "2025-12-01");
        Visit& visit = s.calibrate("x", "AE-1", "2026-02-16");
        Check check;
        check.when = visit.when;
        check.recorded = visit.when;
        check.reference_kohm = 72.0;
        visit.checks.push_back(check);
        const auto tasks = Judged(s, "2026-03-02").due("2026-03-02");
        const auto bridge = std::ranges::find(tasks, TaskKind::ReplaceBridge, &DueTask::task);
        ASSERT_EQ(bridge != tasks.end(), differential);
        if (differential) {
            EXPECT_EQ(bridge->due, day("2026-02-16"));
            EXPECT_TRUE(std::ranges::any_of(bridge->triggers, [](const Trigger& t) {
                return t.why == "reference resistance 72 kohm on 16 Feb 2026, above 50";
            }));
        }
    }
}

TEST(Condition, WhatWasDoneSinceIsNotAskedForAgain)
{
    Shop s;
    s.addPoint("AE-1");
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2025-12-01");
    s.calibrate("K7-1", "AE-1", "2026-02-16");
    Visit& clean = s.addVisit("K7-1", "AE-1", "2026-02-18");
    Shop::act(clean, ActionKey::CleanAcid);
    Judged judged(s, "2026-03-02");
    judged.assessments[0].verdict = Verdict::Clean;
    judged.assessments[0].signal = Signal::MaintenanceRequired;
    EXPECT_TRUE(triggersOf(judged.due("2026-03-02"), Trigger::Kind::Finding).empty());
}

}  // namespace
}  // namespace halfcell::core
