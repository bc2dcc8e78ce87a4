#include "core/outlook/trend.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace halfcell::core {
namespace {

std::vector<TrendPoint> line(double level, double perDay, std::initializer_list<double> days, double u = 0.6)
{
    std::vector<TrendPoint> points;
    for (const double day : days)
        points.push_back({day, level + perDay * day, u});
    return points;
}

TEST(Trend, FindsAStraightLineExactly)
{
    const auto trend = robustTrend(line(97.0, -0.05, {0, 14, 28, 42, 70}));
    ASSERT_TRUE(trend);
    EXPECT_NEAR(trend->slopePerDay, -0.05, 1e-12);
    EXPECT_NEAR(trend->at(100).mean, 92.0, 1e-9);
    EXPECT_NEAR(trend->scatter, 0.6, 1e-12);  // never below the stated uncertainty
}

TEST(Trend, OneBadReadingMovesItLittle)
{
    auto points = line(97.0, -0.05, {0, 14, 28, 42, 56, 70, 84});
    points[3].value = 60.0;
    const auto trend = robustTrend(points);
    ASSERT_TRUE(trend);
    EXPECT_NEAR(trend->slopePerDay, -0.05, 0.01);
    EXPECT_NEAR(trend->at(98).mean, 92.1, 0.3);
}

TEST(Trend, SpreadGrowsAwayFromTheReadings)
{
    const auto trend = robustTrend(line(97.0, -0.05, {0, 14, 28, 42, 70}));
    ASSERT_TRUE(trend);
    EXPECT_LT(trend->at(80).sd, trend->at(200).sd);
    EXPECT_LT(trend->at(200).sd, trend->at(400).sd);
    EXPECT_GT(trend->at(trend->levelDay).sd, trend->scatter);
}

TEST(Trend, ProbabilityBelowALimitIsHalfWhereTheLineCrossesIt)
{
    const auto trend = robustTrend(line(97.0, -0.05, {0, 14, 28, 42, 70}));
    ASSERT_TRUE(trend);
    EXPECT_NEAR(trend->probabilityBelow(80.0, 340.0), 0.5, 1e-9);
    EXPECT_LT(trend->probabilityBelow(80.0, 100.0), 1e-6);
    EXPECT_GT(trend->probabilityBelow(80.0, 700.0), 0.95);
}

TEST(Trend, AbstainsOnThinData)
{
    EXPECT_EQ(robustTrend(line(97, -0.05, {0, 30, 60})).error().code, Errc::TooFewReadings);
    EXPECT_EQ(robustTrend(line(97, -0.05, {0, 5, 10, 20})).error().code, Errc::TooFewReadings);
    EXPECT_EQ(robustTrend({}).error().code, Errc::TooFewReadings);
    auto points = line(97, -0.05, {0, 14, 28, 42});
    points[1].value = std::numeric_limits<double>::quiet_NaN();
    EXPECT_EQ(robustTrend(points).error().code, Errc::BadInput);
}

TEST(Trend, DoesNotMindTheOrderAndFollowsAShiftOfTheDates)
{
    auto points = line(97.0, -0.03, {0, 20, 33, 51, 70, 90});
    points[2].value += 0.7;
    points[4].value -= 0.9;
    const auto plain = robustTrend(points);
    std::ranges::reverse(points);
    for (TrendPoint& p : points)
        p.day += 1000.0;
    const auto moved = robustTrend(points);
    ASSERT_TRUE(plain && moved);
    EXPECT_NEAR(plain->slopePerDay, moved->slopePerDay, 1e-12);
    EXPECT_NEAR(plain->at(120).mean, moved->at(1120).mean, 1e-9);
}

TEST(Trend, TakesTheLastPointsOnly)
{
    std::vector<TrendPoint> points;
    for (int i = 0; i < 60; ++i)
        points.push_back({7.0 * i, i < 36 ? 98.0 : 98.0 - 0.5 * (i - 36), 0.1});
    const auto trend = robustTrend(points);
    ASSERT_TRUE(trend);
    EXPECT_EQ(trend->points, kTrendMostPoints);
    EXPECT_NEAR(trend->slopePerDay, -0.5 / 7.0, 1e-9);
}

TEST(Trend, CleanEfficienciesLeaveOutAsFoundAndStartAgainAtANewBridge)
{
    std::vector<Visit> visits(3);
    std::vector<VisitFigures> figures(3);
    for (std::size_t i = 0; i < 3; ++i) {
        visits[i].when = startOfDay(20000 + static_cast<std::int64_t>(i) * 30);
        figures[i].visit = &visits[i];
        figures[i].when = visits[i].when;
        PhaseFigures found;
        found.phase = Phase::AsFound;
        found.efficiency_pct = 80.0;
        PhaseFigures left;
        left.phase = Phase::AsLeft;
        left.efficiency_pct = 95.0 - static_cast<double>(i);
        left.u_efficiency_pct = 0.8;
        figures[i].phases = {found, left};
    }
    figures[2].phases.pop_back();
    EXPECT_EQ(cleanEfficiencies(figures).size(), 2U);
    Action bridge;
    bridge.action = ActionKey::ReplaceBridge;
    visits[1].actions.push_back(bridge);
    const auto since = cleanEfficiencies(figures);
    ASSERT_EQ(since.size(), 1U);
    EXPECT_EQ(since[0].value, 94.0);
    EXPECT_EQ(since[0].u, 0.8);
    EXPECT_EQ(since[0].day, 20030.0);
}

}  // namespace
}  // namespace halfcell::core
