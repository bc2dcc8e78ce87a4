#include "tests/core/calibration/visit_of_tests.h"

#include <gtest/gtest.h>

#include <cmath>

// A settle series beside a reading: response and settled value with their uncertainty, and no figure changed by the prediction.
namespace halfcell::core {
namespace {

using test::visitOf;

/// E = settled - rest 10^(-t/t90), every ten seconds.
std::vector<SettlePoint> series(double settled, double rest, double t90, double until)
{
    std::vector<SettlePoint> points;
    int i = 0;
    for (double t = 0.0; t <= until; t += 10.0)
        points.push_back({t, settled - rest * std::pow(10.0, -t / t90) + (++i % 2 ? 0.2 : -0.2)});
    return points;
}

Visit slowVisit(bool withSeries)
{
    auto visit = visitOf({{"ph7.00", 0.0, 25.0, 120.0}, {"ph4.01", 151.0, 25.0, 60.0}});
    if (withSeries)
        visit.readings[1].settle = series(168.0, 168.0, 60.0, 60.0);
    return visit;
}

FigureContext context()
{
    FigureContext c;
    c.kind = SensorKind::Ph;
    return c;
}

TEST(SettlingFigures, ResponseComesFromTheSeriesWithItsUncertainty)
{
    const auto f = figuresOf(slowVisit(true), Phase::AsFound, context());
    ASSERT_TRUE(f.t90_s && f.u_t90_s);
    EXPECT_GT(*f.u_t90_s, 0.0);
    EXPECT_NEAR(*f.t90_s, 60.0, 3.0 * *f.u_t90_s);
    ASSERT_EQ(f.settling.size(), 1U);
    const auto& s = f.settling.front();
    EXPECT_TRUE(s.fromSeries);
    EXPECT_TRUE(s.tooSoon);
    EXPECT_NEAR(*s.settled_mv, 168.0, 3.0 * *s.u_settled_mv);
    EXPECT_NEAR(*s.toCome_mv, *s.settled_mv - 151.0, 1e-12);
    EXPECT_NEAR(*s.missing_pct, 10.0, 2.0);
    EXPECT_TRUE(test::hasIssue(f, FindingCode::ReadTooSoon));
    const auto* working = test::workingOf(f, "settling");
    ASSERT_NE(working, nullptr);
    EXPECT_EQ(working->steps.front().result, s.settled_mv);
    EXPECT_NE(test::workingOf(f, "t90_s")->steps.front().step.find("settle series"), std::string::npos);
}

TEST(SettlingFigures, APredictionNeverBecomesAFigure)
{
    const auto with = figuresOf(slowVisit(true), Phase::AsFound, context()),
               without = figuresOf(slowVisit(false), Phase::AsFound, context());
    EXPECT_FALSE(without.t90_s);
    EXPECT_TRUE(without.settling.empty());
    EXPECT_NEAR(*with.efficiency_pct, *without.efficiency_pct, 1e-12) << "two points are met whatever they weigh";
    EXPECT_NEAR(*with.offset_mv, *without.offset_mv, 1e-12);
    EXPECT_EQ(with.used[1].e_mv, 151.0);
    EXPECT_GT(*with.u_efficiency_pct, *without.u_efficiency_pct) << "what was still to come is counted";
}

TEST(SettlingFigures, AStopwatchGoesBeforeTheSeries)
{
    auto visit = slowVisit(true);
    visit.readings[1].t90_s = 55.0;
    const auto f = figuresOf(visit, Phase::AsFound, context());
    EXPECT_EQ(f.t90_s, 55.0);
    EXPECT_FALSE(f.u_t90_s);
    EXPECT_NEAR(*f.settling.front().t90_s, 60.0, 3.0 * *f.settling.front().u_t90_s);
}

TEST(SettlingFigures, WithoutASeriesTheWaitTells)
{
    const auto f = test::phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 151.2, 25.0, 40.0, 40.0}});
    ASSERT_EQ(f.settling.size(), 1U);
    const auto& s = f.settling.front();
    EXPECT_FALSE(s.fromSeries);
    EXPECT_NEAR(*s.settled_mv, 168.0, 1e-9);
    EXPECT_NEAR(*s.missing_pct, 10.0, 1e-9);
    EXPECT_GT(*s.u_settled_mv, 1.0);
    EXPECT_TRUE(test::phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 168.0, 25.0, 120.0, 40.0}}).settling.empty()) << "waited three times";
}

TEST(SettlingFigures, ASeriesThatTellsNothingSaysSo)
{
    auto visit = visitOf({{"ph7.00", 0.0, 25.0}, {"ph4.01", 168.0, 25.0}});
    visit.readings[1].settle = {{0.0, 168.0}, {10.0, 168.1}};
    const auto f = figuresOf(visit, Phase::AsFound, context());
    ASSERT_EQ(f.settling.size(), 1U);
    EXPECT_NE(f.settling.front().whyNot.find("five readings"), std::string::npos);
    EXPECT_FALSE(f.t90_s);
}

}  // namespace
}  // namespace halfcell::core
