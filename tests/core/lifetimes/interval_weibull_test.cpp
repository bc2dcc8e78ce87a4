#include "core/lifetimes/interval_weibull.h"

#include "tests/core/lifetimes/own_lives.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace halfcell::core {
namespace {

// Out of tolerance somewhere within 2, 4, 8, 13 weeks; shape, scale and likelihood agree with R's survreg (type interval2) to seven
// digits, as worked out beforehand: 1.6102, 18.791, -27.6725; exponential 32.098, -28.1604.
std::vector<IntervalLife> intervals()
{
    std::vector<IntervalLife> lives;
    for (const auto& [weeks, in, out] : {std::tuple{2.0, 12.0, 0.0}, {4.0, 18.0, 2.0}, {8.0, 20.0, 6.0}, {13.0, 6.0, 4.0}}) {
        lives.push_back({0.0, weeks, std::nullopt, in});
        if (out > 0.0)
            lives.push_back({0.0, 0.0, weeks, out});
    }
    return lives;
}

TEST(IntervalWeibull, AgreesWithTheWorkedFit)
{
    const auto fit = fitWeibullIntervals(intervals());
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->shape, 1.6102, 1e-4);
    EXPECT_NEAR(fit->scale, 18.791, 1e-3);
    EXPECT_NEAR(fit->logLikelihood, -27.6725, 1e-4);
    const auto plain = fitWeibullIntervals(intervals(), 0.95, {}, 1.0);
    ASSERT_TRUE(plain);
    EXPECT_NEAR(plain->scale, 32.098, 1e-3);
    EXPECT_NEAR(plain->logLikelihood, -28.1604, 1e-4);
}

TEST(IntervalWeibull, GivesThePlainFitForExactEnds)
{
    std::vector<LifeRecord> exact;
    std::vector<IntervalLife> same;
    for (int i = 1; i <= 20; ++i) {
        const double t = 10.0 * i + 3.0 * (i % 4), entry = i % 5 == 0 ? 8.0 : 0.0;
        const bool failed = i % 3 != 0;
        exact.push_back({.entry = entry, .exit = t, .failed = failed, .weight = 1.0, .cause = 0});
        same.push_back({entry, t, failed ? std::optional(t) : std::nullopt, 1.0});
    }
    const auto a = fitWeibull(exact), b = fitWeibullIntervals(same);
    ASSERT_TRUE(a && b);
    EXPECT_NEAR(b->shape / a->shape, 1.0, 1e-6);
    EXPECT_NEAR(b->scale / a->scale, 1.0, 1e-6);
    EXPECT_NEAR(b->logLikelihood, a->logLikelihood, 1e-8);
    EXPECT_NEAR(b->seLogShape, a->seLogShape, 1e-4);
    const auto pa = profileLimits(exact, *a), pb = profileLimits(same, *b);
    ASSERT_TRUE(pa && pb);
    EXPECT_NEAR(pb->shape.lower / pa->shape.lower, 1.0, 1e-4);
    EXPECT_NEAR(pb->scale.upper / pa->scale.upper, 1.0, 1e-4);
}

TEST(IntervalWeibull, NarrowIntervalsAreNearlyExact)
{
    std::vector<IntervalLife> wide, narrow;
    for (int i = 1; i <= 25; ++i) {
        const double t = 20.0 + 7.0 * i;
        wide.push_back({0.0, t - 10.0, t + 10.0, 1.0});
        narrow.push_back({0.0, t - 0.01, t + 0.01, 1.0});
    }
    const auto a = fitWeibullIntervals(wide), b = fitWeibullIntervals(narrow);
    ASSERT_TRUE(a && b);
    EXPECT_NEAR(a->scale / b->scale, 1.0, 0.02);
    EXPECT_GT(a->seLogScale, 0.9 * b->seLogScale);
}

TEST(IntervalWeibull, SaysWhatIsMissing)
{
    EXPECT_EQ(fitWeibullIntervals(std::vector<IntervalLife>{{0.0, 5.0, std::nullopt, 3.0}}).error().code, Errc::TooFewReadings);
    EXPECT_EQ(fitWeibullIntervals(std::vector<IntervalLife>{{0.0, 5.0, 4.0, 1.0}}).error().code, Errc::BadInput);
    EXPECT_EQ(fitWeibullIntervals(std::vector<IntervalLife>{{6.0, 5.0, 7.0, 1.0}}).error().code, Errc::BadInput);
}

}  // namespace
}  // namespace halfcell::core
