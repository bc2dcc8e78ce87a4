#include "core/lifetimes/kaplan_meier.h"
#include "core/lifetimes/risk_table.h"
#include "core/quantity/number.h"

#include "tests/core/lifetimes/life_file.h"
#include "tests/core/lifetimes/own_lives.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <limits>

namespace halfcell::core {
namespace {

const SurvivalStep& stepAt(const SurvivalCurve& curve, double time)
{
    const auto it = std::ranges::find(curve.steps, time, &SurvivalStep::time);
    EXPECT_NE(it, curve.steps.end()) << time;
    return *it;
}

TEST(KaplanMeier, GivesThePublishedCurveOfTheBearingCages)
{
    // W. Q. Meeker, L. A. Escobar (1998); the six steps and the band were also made with R's survival.
    const auto curve = kaplanMeier(lifeFile("bearing_cage_life.csv"));
    ASSERT_TRUE(curve);
    ASSERT_EQ(curve->steps.size(), 6U);
    const double times[] = {230, 334, 423, 990, 1009, 1510};
    const double survival[] = {.999211, .998336, .997367, .994549, .991732, .944506};
    const double risk[] = {1267, 1142, 1030, 354, 353, 21};
    for (std::size_t i = 0; i < 6; ++i) {
        EXPECT_EQ(curve->steps[i].time, times[i]);
        EXPECT_NEAR(curve->steps[i].survival, survival[i], 1e-6);
        EXPECT_EQ(curve->steps[i].atRisk, risk[i]);
    }
    EXPECT_NEAR(curve->steps[5].lower, .735788, 1e-6);
    EXPECT_NEAR(curve->steps[5].upper, .989432, 1e-6);
    EXPECT_NEAR(curve->steps[5].standardError, 0.046265, 1e-6);
    EXPECT_FALSE(curve->median);
    EXPECT_EQ(curve->lives, 1703.0);
    EXPECT_EQ(curve->ended, 6.0);
}

TEST(KaplanMeier, GivesThePublishedMedianOfTheBallBearings)
{
    const auto curve = kaplanMeier(lifeFile("ball_bearing_life.csv"));
    ASSERT_TRUE(curve);
    ASSERT_TRUE(curve->median && curve->medianLower && curve->medianUpper);
    EXPECT_EQ(*curve->median, 67.8);
    EXPECT_EQ(*curve->medianLower, 48.4);
    EXPECT_EQ(*curve->medianUpper, 84.12);
    const SurvivalStep& first = stepAt(*curve, 17.88);
    EXPECT_NEAR(first.survival, .956522, 1e-6);
    EXPECT_NEAR(first.lower, .729339, 1e-6);
    EXPECT_NEAR(first.upper, .993759, 1e-6);
    EXPECT_NEAR(stepAt(*curve, 68.64).standardError, 0.101764, 1e-6);
}

TEST(KaplanMeier, HandlesLateEntry)
{
    const auto a = kaplanMeier(groupA());
    const auto b = kaplanMeier(groupB());
    ASSERT_TRUE(a && b);
    const double timesA[] = {3.1, 5.4, 7.0, 9.6, 11.5, 14.3}, survivalA[] = {.8333, .6944, .5787, .4340, .2894, 0.0};
    const double timesB[] = {6.2, 11.8, 13.0, 17.4, 20.1}, survivalB[] = {.875, .7292, .5833, .3889, 0.0};
    ASSERT_EQ(a->steps.size(), 6U);
    ASSERT_EQ(b->steps.size(), 5U);
    for (std::size_t i = 0; i < 6; ++i)
        EXPECT_NEAR(a->survivalAt(timesA[i]), survivalA[i], 5e-5);
    for (std::size_t i = 0; i < 5; ++i)
        EXPECT_NEAR(b->survivalAt(timesB[i]), survivalB[i], 5e-5);
    EXPECT_EQ(a->median, 9.6);
    EXPECT_EQ(b->median, 17.4);
    EXPECT_EQ(a->medianLower, 3.1);
    EXPECT_EQ(b->medianLower, 6.2);
    EXPECT_FALSE(a->medianUpper);
    EXPECT_FALSE(b->medianUpper);
    const std::vector<double> ages{0, 6, 12, 18};
    EXPECT_EQ(atRisk(groupA(), ages), (std::vector<double>{5, 5, 2, 0}));
    EXPECT_EQ(atRisk(groupB(), ages), (std::vector<double>{6, 8, 5, 2}));
}

TEST(KaplanMeier, EqualsTheEmpiricalShareWithoutCensoring)
{
    std::vector<LifeRecord> lives;
    for (const double t : {5.0, 1.0, 3.0, 3.0, 8.0})
        lives.push_back({0, t, true, 1, 0});
    const auto curve = kaplanMeier(lives);
    ASSERT_TRUE(curve);
    for (const double t : {0.5, 1.0, 2.0, 3.0, 7.9, 8.0}) {
        const auto above = std::ranges::count_if(lives, [t](const LifeRecord& l) { return l.exit > t; });
        EXPECT_NEAR(curve->survivalAt(t), static_cast<double>(above) / 5.0, 1e-15);
    }
}

TEST(KaplanMeier, CountsStandForRepeatedRows)
{
    const std::vector<LifeRecord> counted{{0, 2, true, 3, 0}, {0, 4, false, 2, 0}, {1, 5, true, 2, 0}};
    std::vector<LifeRecord> repeated;
    for (const LifeRecord& l : counted)
        for (int i = 0; i < static_cast<int>(l.weight); ++i)
            repeated.push_back({l.entry, l.exit, l.failed, 1, 0});
    const auto a = kaplanMeier(counted), b = kaplanMeier(repeated);
    ASSERT_TRUE(a && b);
    ASSERT_EQ(a->steps.size(), b->steps.size());
    for (std::size_t i = 0; i < a->steps.size(); ++i) {
        EXPECT_NEAR(a->steps[i].survival, b->steps[i].survival, 1e-15);
        EXPECT_EQ(a->steps[i].atRisk, b->steps[i].atRisk);
    }
}

TEST(KaplanMeier, IgnoresTheOrderOfTheRows)
{
    auto lives = bothGroups();
    const auto forward = kaplanMeier(lives);
    std::ranges::reverse(lives);
    const auto backward = kaplanMeier(lives);
    ASSERT_TRUE(forward && backward);
    ASSERT_EQ(forward->steps.size(), backward->steps.size());
    for (std::size_t i = 0; i < forward->steps.size(); ++i)
        EXPECT_EQ(forward->steps[i].survival, backward->steps[i].survival);
}

TEST(KaplanMeier, TakesTheMiddleOfAFlatPieceAtOneHalf)
{
    const std::vector<LifeRecord> lives{{0, 1, true, 1, 0}, {0, 2, true, 1, 0}, {0, 5, true, 1, 0}, {0, 6, true, 1, 0}};
    const auto curve = kaplanMeier(lives);
    ASSERT_TRUE(curve);
    EXPECT_EQ(curve->median, 3.5);
}

TEST(KaplanMeier, TellsOfAnEarlyEndByLateEntry)
{
    // The only one in view ends at 2; the second comes into view later.
    const auto curve = kaplanMeier(std::vector<LifeRecord>{{0, 2, true, 1, 0}, {3, 9, true, 1, 0}});
    ASSERT_TRUE(curve);
    EXPECT_EQ(curve->survivalAt(2), 0.0);
    EXPECT_EQ(curve->survivalAt(9), 0.0);
    EXPECT_FALSE(curve->note.empty());
}

TEST(KaplanMeier, AllInServiceHasNoStepsAndNoMedian)
{
    const auto curve = kaplanMeier(std::vector<LifeRecord>{{0, 4, false, 1, 0}, {0, 7, false, 1, 0}});
    ASSERT_TRUE(curve);
    EXPECT_TRUE(curve->steps.empty());
    EXPECT_EQ(curve->survivalAt(100), 1.0);
    EXPECT_FALSE(curve->median);
    EXPECT_EQ(curve->lastTime, 7.0);
}

TEST(KaplanMeier, TheDrawnCurveStopsWhereFewAreLeft)
{
    const auto curve = kaplanMeier(groupA());
    ASSERT_TRUE(curve);
    EXPECT_EQ(curve->drawnUntil(), 14.3);   // one at risk at 14.3, three at 11.5
    EXPECT_EQ(curve->drawnUntil(4), 11.5);
}

TEST(KaplanMeier, RefusesBadInput)
{
    using Lives = std::vector<LifeRecord>;
    EXPECT_EQ(kaplanMeier(Lives{}).error().code, Errc::TooFewReadings);
    const double nan = std::numeric_limits<double>::quiet_NaN(), infinity = std::numeric_limits<double>::infinity();
    for (const LifeRecord& bad : {LifeRecord{0, -1, true, 1, 0}, LifeRecord{0, 0, true, 1, 0}, LifeRecord{5, 5, true, 1, 0}, LifeRecord{-1, 5, true, 1, 0},
                                  LifeRecord{0, nan, true, 1, 0}, LifeRecord{nan, 5, true, 1, 0}, LifeRecord{0, infinity, true, 1, 0},
                                  LifeRecord{0, 5, true, 0, 0}, LifeRecord{0, 5, true, nan, 0}}) {
        const auto refused = kaplanMeier(Lives{{0, 3, true, 1, 0}, bad});
        ASSERT_FALSE(refused);
        EXPECT_EQ(refused.error().code, Errc::BadInput);
        EXPECT_EQ(refused.error().line, 2U);
        EXPECT_FALSE(refused.error().remedy.empty());
    }
    EXPECT_EQ(kaplanMeier(groupA(), 1.0).error().code, Errc::BadInput);
}

TEST(RiskTable, SortsAgesOfAnySize)
{
    std::vector<LifeRecord> lives;
    double t = 1e-9;
    for (int i = 0; i < 60; ++i, t *= 1.9)
        lives.push_back({0, t, i % 3 == 0, 1, 0});
    std::ranges::rotate(lives, lives.begin() + 23);
    const auto rows = riskTable(lives);
    ASSERT_TRUE(rows);
    ASSERT_EQ(rows->size(), 60U);
    EXPECT_TRUE(std::ranges::is_sorted(*rows, {}, &RiskRow::time));
    for (std::size_t i = 0; i < rows->size(); ++i)
        EXPECT_EQ((*rows)[i].atRisk, 60.0 - static_cast<double>(i));
}

TEST(LogRank, ComparesTheTwoGroups)
{
    const auto lives = bothGroups();
    std::vector<int> group(8, 1);
    group.resize(16, 2);
    const auto test = logRank(lives, group);
    ASSERT_TRUE(test);
    EXPECT_NEAR(test->observed[0], 6.0, 1e-12);
    EXPECT_NEAR(test->expected[0], 3.0939, 5e-5);
    EXPECT_NEAR(test->covariance[0][0], 1.9269, 5e-5);
    EXPECT_NEAR(test->chiSquare, 4.3831, 5e-5);
    EXPECT_NEAR(test->p, .0363, 5e-5);
    EXPECT_EQ(test->degrees, 1);
}

TEST(LogRank, DoesNotMindTheNamesOfTheGroups)
{
    const auto lives = bothGroups();
    std::vector<int> group(8, 1);
    group.resize(16, 2);
    const auto plain = logRank(lives, group);
    for (int& g : group)
        g = 7 - g;
    const auto swapped = logRank(lives, group);
    ASSERT_TRUE(plain && swapped);
    EXPECT_NEAR(plain->chiSquare, swapped->chiSquare, 1e-12);
    EXPECT_NEAR(plain->observed[0], swapped->observed[1], 1e-12);
}

TEST(LogRank, OfAGroupWithItselfFindsNothing)
{
    const auto a = groupA();
    auto twice = a;
    twice.insert(twice.end(), a.begin(), a.end());
    std::vector<int> group(8, 1);
    group.resize(16, 2);
    const auto test = logRank(twice, group);
    ASSERT_TRUE(test);
    EXPECT_NEAR(test->chiSquare, 0.0, 1e-12);
    EXPECT_NEAR(test->p, 1.0, 1e-6);
}

TEST(LogRank, HandlesThreeGroupsAndRefusesOne)
{
    auto lives = bothGroups();
    std::vector<int> group;
    for (std::size_t i = 0; i < lives.size(); ++i)
        group.push_back(static_cast<int>(i % 3));
    const auto test = logRank(lives, group);
    ASSERT_TRUE(test);
    EXPECT_EQ(test->degrees, 2);
    EXPECT_GT(test->p, 0.0);
    EXPECT_LE(test->p, 1.0);
    EXPECT_EQ(logRank(lives, std::vector<int>(lives.size(), 1)).error().code, Errc::TooFewReadings);
    EXPECT_EQ(logRank(lives, std::vector<int>(3, 1)).error().code, Errc::BadInput);
}

TEST(Incidence, SplitsTheEndsByReason)
{
    const auto incidence = cumulativeIncidence(bothGroups());
    ASSERT_TRUE(incidence);
    ASSERT_EQ(incidence->causes, (std::vector<int>{1, 2}));
    const IncidenceStep middle = incidence->at(11.5), late = incidence->at(17.4);
    EXPECT_NEAR(middle.byCause[0], .2791, 5e-5);
    EXPECT_NEAR(middle.byCause[1], .1272, 5e-5);
    EXPECT_NEAR(middle.inService, .5937, 5e-5);
    EXPECT_NEAR(late.byCause[0], .4399, 5e-5);
    EXPECT_NEAR(late.byCause[1], .3292, 5e-5);
    EXPECT_NEAR(late.inService, .2309, 5e-5);
}

TEST(Incidence, AddsUpToOne)
{
    const auto incidence = cumulativeIncidence(bothGroups());
    ASSERT_TRUE(incidence);
    for (const IncidenceStep& step : incidence->steps)
        EXPECT_NEAR(step.inService + step.byCause[0] + step.byCause[1], 1.0, 1e-14);
    const IncidenceStep before = incidence->at(1.0);
    EXPECT_EQ(before.inService, 1.0);
    EXPECT_EQ(before.byCause[0], 0.0);
}

}  // namespace
}  // namespace halfcell::core
