#include "core/lifetimes/weibull.h"
#include "core/quantity/number.h"

#include "tests/core/lifetimes/life_file.h"
#include "tests/core/lifetimes/own_lives.h"

#include <gtest/gtest.h>

#include <cctype>
#include <cmath>
#include <fstream>

namespace halfcell::core {
namespace {

TEST(Weibull, GivesThePublishedFitOfTheBearingCages)
{
    // Meeker and Escobar (1998): shape 2.035, scale 11 792 h, the further digits from R's survival.
    const auto lives = lifeFile("bearing_cage_life.csv");
    const auto fit = fitWeibull(lives);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->shape, 2.0353, 5e-5);
    EXPECT_NEAR(fit->scale, 11792.2, 5e-2);
    EXPECT_NEAR(fit->logLikelihood, -76.43690, 5e-6);
    EXPECT_NEAR(fit->quantile(0.10), 3903.1, 5e-2);
    EXPECT_NEAR(1.0 - fit->survival(8000.0), .36491, 5e-6);
    EXPECT_NEAR(fit->shapeWald.lower, 1.072, 5e-4);
    EXPECT_NEAR(fit->shapeWald.upper, 3.864, 5e-4);
    EXPECT_NEAR(fit->scaleWald.lower, 2295.0, 0.5);
    // 60 601 is with the rounded factor 1.96; ours is the exact quantile 1.959964.
    EXPECT_NEAR(fit->scale * std::exp(1.96 * fit->seLogScale), 60601.0, 0.5);
    EXPECT_NEAR(fit->scaleWald.upper, 60599.2, 0.5);
    const auto profile = profileLimits(lives, *fit);
    ASSERT_TRUE(profile) << profile.error().detail;
    EXPECT_NEAR(profile->shape.lower, .9709, 5e-5);
    EXPECT_NEAR(profile->shape.upper, 3.5795, 5e-5);
    EXPECT_NEAR(profile->scale.lower, 4045.0, 0.5);
    EXPECT_NEAR(profile->scale.upper, 213597.0, 0.5);
}

TEST(Weibull, GivesThePublishedFitOfTheBallBearings)
{
    const auto lives = lifeFile("ball_bearing_life.csv");
    const auto fit = fitWeibull(lives);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->shape, 2.1018, 5e-5);
    EXPECT_NEAR(fit->scale, 81.8746, 5e-5);
    EXPECT_NEAR(fit->logLikelihood, -113.69196, 5e-6);
    EXPECT_NEAR(fit->quantile(0.10), 28.065, 5e-4);
    const auto profile = profileLimits(lives, *fit);
    ASSERT_TRUE(profile);
    EXPECT_NEAR(profile->shape.lower, 1.5040, 5e-5);
    EXPECT_NEAR(profile->shape.upper, 2.7913, 5e-5);
    EXPECT_NEAR(profile->scale.lower, 65.69, 5e-3);
    EXPECT_NEAR(profile->scale.upper, 100.87, 5e-3);
}

TEST(Weibull, HandlesLateEntry)
{
    auto lives = bothGroups();
    const auto fit = fitWeibull(lives);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->shape, 2.2415, 5e-5);
    EXPECT_NEAR(fit->scale, 14.651, 5e-4);
    EXPECT_NEAR(fit->logLikelihood, -37.4701, 5e-5);
    for (LifeRecord& l : lives)
        l.entry = 0.0;
    const auto ignoring = fitWeibull(lives);
    ASSERT_TRUE(ignoring);
    EXPECT_NEAR(ignoring->shape, 2.3565, 5e-5);
    EXPECT_NEAR(ignoring->scale, 14.826, 5e-4);
}

TEST(Weibull, SitsAtThePeakOfTheLikelihood)
{
    const auto lives = bothGroups();
    const auto fit = fitWeibull(lives);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(weibullLogLikelihood(lives, fit->shape, fit->scale), fit->logLikelihood, 1e-9);
    for (const double f : {0.9, 0.99, 1.01, 1.1}) {
        EXPECT_LT(weibullLogLikelihood(lives, fit->shape * f, fit->scale), fit->logLikelihood);
        EXPECT_LT(weibullLogLikelihood(lives, fit->shape, fit->scale * f), fit->logLikelihood);
    }
}

TEST(Weibull, FollowsTheUnitOfTime)
{
    auto lives = bothGroups();
    const auto months = fitWeibull(lives);
    for (LifeRecord& l : lives) {
        l.entry *= 730.485;
        l.exit *= 730.485;
    }
    const auto hours = fitWeibull(lives);
    ASSERT_TRUE(months && hours);
    EXPECT_NEAR(hours->shape, months->shape, 1e-8);
    EXPECT_NEAR(hours->scale, months->scale * 730.485, 1e-5);
}

TEST(Weibull, ABeliefPullsTheShapeOfFewEnds)
{
    // Three ends close together: alone they say a very steep wear-out.
    const std::vector<LifeRecord> few{{0, 9.8, true, 1, 0}, {0, 10.0, true, 1, 0}, {0, 10.2, true, 1, 0}};
    const auto alone = fitWeibull(few);
    const auto believed = fitWeibull(few, 0.95, ShapePrior{});
    ASSERT_TRUE(alone && believed);
    EXPECT_GT(alone->shape, 30.0);
    EXPECT_LT(believed->shape, alone->shape / 3.0);
    EXPECT_TRUE(believed->priorUsed);
    // One end only has no fit of its own; with a belief it has.
    const std::vector<LifeRecord> one{{0, 10, true, 1, 0}};
    EXPECT_EQ(fitWeibull(one).error().code, Errc::TooFewReadings);
    const auto single = fitWeibull(one, 0.95, ShapePrior{});
    ASSERT_TRUE(single) << single.error().detail;
    EXPECT_NEAR(single->shape, 2.0, 1.0);
}

TEST(Weibull, RefusesWhatCannotBeFitted)
{
    using Lives = std::vector<LifeRecord>;
    EXPECT_EQ(fitWeibull(Lives{}).error().code, Errc::TooFewReadings);
    EXPECT_EQ(fitWeibull(Lives{{0, 4, false, 1, 0}, {0, 5, false, 1, 0}}).error().code, Errc::TooFewReadings);
    EXPECT_EQ(fitWeibull(Lives{{0, 4, true, 1, 0}, {0, 4, true, 1, 0}}).error().code, Errc::TooFewReadings);
    EXPECT_EQ(fitWeibull(Lives{{0, 4, true, -1, 0}}).error().code, Errc::BadInput);
    EXPECT_EQ(fitWeibull(groupA(), 0.0).error().code, Errc::BadInput);
    EXPECT_EQ(fitWeibull(groupA(), 0.95, ShapePrior{-1.0, 0.4}).error().code, Errc::BadInput);
}

TEST(Weibull, QuantileAndSurvivalAreEachOthersInverse)
{
    const auto fit = fitWeibull(bothGroups());
    ASSERT_TRUE(fit);
    for (const double p : {0.01, 0.5, 0.99})
        EXPECT_NEAR(1.0 - fit->survival(fit->quantile(p)), p, 1e-12);
    EXPECT_EQ(fit->survival(0.0), 1.0);
}

}  // namespace
}  // namespace halfcell::core
