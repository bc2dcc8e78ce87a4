#include "core/upkeep/intervals.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace halfcell::core {
namespace {

TEST(ClopperPearson, GivesTheExactLimitsOfWorkedShares)
{
    // 47 of 52, 10 of 10, 0 of 4: decision notes section 10, made with SciPy's beta quantiles.
    const auto most = clopperPearson(47, 52), all = clopperPearson(10, 10), none = clopperPearson(0, 4);
    ASSERT_TRUE(most && all && none);
    EXPECT_NEAR(most->lower, .7897, 5e-5);
    EXPECT_NEAR(most->upper, .9680, 5e-5);
    EXPECT_NEAR(all->lower, .6915, 5e-5);
    EXPECT_EQ(all->upper, 1.0);
    EXPECT_EQ(none->lower, 0.0);
    EXPECT_NEAR(none->upper, .6024, 5e-5);
}

TEST(ClopperPearson, ContainsTheShareAndNarrowsWithMoreCases)
{
    double width = 2.0;
    for (const long n : {5L, 20L, 100L, 1000L}) {
        const auto limits = clopperPearson(n * 4 / 5, n);
        ASSERT_TRUE(limits);
        EXPECT_LE(limits->lower, 0.8);
        EXPECT_GE(limits->upper, 0.8);
        EXPECT_LT(limits->upper - limits->lower, width);
        width = limits->upper - limits->lower;
    }
}

TEST(ClopperPearson, RefusesWhatIsNoCount)
{
    EXPECT_EQ(clopperPearson(3, 2).error().code, Errc::BadInput);
    EXPECT_EQ(clopperPearson(-1, 2).error().code, Errc::BadInput);
    EXPECT_EQ(clopperPearson(0, 0).error().code, Errc::BadInput);
    EXPECT_EQ(clopperPearson(1, 2, 1.0).error().code, Errc::BadInput);
}

TEST(Intervals, MoreOutsNeverLengthen)
{
    double before = std::numeric_limits<double>::infinity();
    for (long out = 1; out < 8; ++out) {
        const std::vector<IntervalResult> results{{28.0, 20, out}, {56.0, 10, 1}};
        const auto days = exponentialIntervalFromResults(results, 0.9);
        ASSERT_TRUE(days);
        EXPECT_LT(*days, before);
        before = *days;
    }
}

TEST(Intervals, TheRateIsWhereTheLikelihoodIsLargest)
{
    const std::vector<IntervalResult> results{{14.0, 12, 0}, {28.0, 18, 2}, {56.0, 20, 6}, {91.0, 6, 4}};
    const auto days = exponentialIntervalFromResults(results, 0.9);
    ASSERT_TRUE(days);
    // Decision notes 3c in weeks (R's survreg): scale 32.098, interval 3.382.
    EXPECT_NEAR(*days / 7.0, 3.382, 5e-4);
    EXPECT_NEAR(-*days / std::log(0.9) / 7.0, 32.098, 5e-4);
}

TEST(Intervals, SayWhenTheResultsCannotTell)
{
    const std::vector<IntervalResult> allIn{{28.0, 20, 0}}, allOut{{28.0, 0, 3}};
    EXPECT_EQ(exponentialIntervalFromResults(allIn, 0.9).error().code, Errc::TooFewReadings);
    EXPECT_EQ(exponentialIntervalFromResults(allOut, 0.9).error().code, Errc::OutOfRange);
    EXPECT_EQ(exponentialIntervalFromResults(std::vector<IntervalResult>{{-1.0, 1, 1}}, 0.9).error().code, Errc::BadInput);
    EXPECT_EQ(controlChartInterval(0.1, 0.09, 0.05, 0.001).error().code, Errc::OutOfRange);
    EXPECT_EQ(controlChartInterval(0.1, 0.01, 0.0, 0.0).error().code, Errc::OutOfRange);
    EXPECT_EQ(controlChartInterval(-0.1, 0.01, 0.0, 0.1).error().code, Errc::BadInput);
    EXPECT_EQ(exponentialInterval(0.0, 0.9).error().code, Errc::BadInput);
    EXPECT_EQ(exponentialInterval(0.1, 1.0).error().code, Errc::BadInput);
    EXPECT_EQ(simpleResponseShortening(-0.1, 0.9).error().code, Errc::BadInput);
    EXPECT_EQ(intervalTestLength(180, 1.0, 0.9).error().code, Errc::OutOfRange);
    EXPECT_EQ(intervalTestLength(0, 0.9, 0.9).error().code, Errc::BadInput);
}

TEST(Intervals, ResponsesDoNotDriftAtTheTarget)
{
    const double target = 0.9;
    const auto b = simpleResponseShortening(0.1, target);
    ASSERT_TRUE(b);
    EXPECT_NEAR(target * std::log(1.1) + (1.0 - target) * std::log(1.0 - *b), 0.0, 1e-12);
    const double up = incrementalResponse(100.0, 0.4, target, true, true).first - 100.0;
    const double down = incrementalResponse(100.0, 0.4, target, false, true).first - 100.0;
    EXPECT_NEAR(target * up + (1.0 - target) * down, 0.0, 1e-12);
    // The step is halved when the outcome changes.
    EXPECT_EQ(incrementalResponse(100.0, 0.4, target, true, false).second, 0.2);
}

}  // namespace
}  // namespace halfcell::core
