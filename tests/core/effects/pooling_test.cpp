// The worked examples of "what an action bought" (worked out beforehand with NumPy), tolerance one unit of the last printed digit.

#include "core/effects/effects.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace halfcell::core {
namespace {

TEST(ServiceGain, IsFreedOfRegressionToTheMean)
{
    const ServiceGain g = serviceGain(92.0, 1.2, 88.5, 1.0, 94.1, 1.0);
    EXPECT_NEAR(g.before, 89.934, 1e-3);
    EXPECT_NEAR(g.gain, 4.166, 1e-3);
    EXPECT_NEAR(g.u, 1.261, 1e-3);
    EXPECT_NEAR(g.plain, 5.6, 1e-9);
}

TEST(HuberMean, IsLittleMovedByOneBadValue)
{
    const std::vector<double> gains{3.1, 2.4, 4.0, 3.3, 2.9, -6.5, 3.8, 2.2}, u(8, 0.8);
    const auto mean = huberMean(gains, u);
    ASSERT_TRUE(mean);
    EXPECT_NEAR(mean->scale, 1.0378, 1e-4);
    EXPECT_NEAR(mean->mean, 2.9006, 1e-4);
    EXPECT_NEAR(mean->u, 0.3383, 1e-4);
    EXPECT_NEAR(mean->weights[5], 0.1485, 1e-4);
    EXPECT_EQ(huberMean(std::vector<double>{1.0}, std::vector<double>{0.5}).error().code, Errc::TooFewReadings);
}

TEST(PoolGroups, ShrinksEachGroupTowardsAll)
{
    const std::vector<double> gains{3.4, 1.2, 2.6, 6.0, 4.4}, s{.55, .90, .60, 1.40, .70};
    const auto pooled = poolGroups(gains, s);
    ASSERT_TRUE(pooled);
    EXPECT_NEAR(pooled->betweenVar, 2.0781, 1e-4);
    EXPECT_NEAR(pooled->mean, 3.3688, 1e-4);
    EXPECT_NEAR(pooled->u, 0.7426, 1e-4);
    constexpr std::array<double, 5> estimates{3.396, 1.808, 2.714, 4.723, 4.203}, sds{.5225, .7913, .5647, 1.0670, .6454};
    for (std::size_t i = 0; i < 5; ++i) {
        EXPECT_NEAR(pooled->groups[i].estimate, estimates[i], 1e-3) << i;
        EXPECT_NEAR(pooled->groups[i].sd, sds[i], 1e-4) << i;
    }
    EXPECT_NEAR(pooled->newGroupSd(), 1.6216, 1e-4);
}

TEST(PoolGroups, GroupsThatAgreeAreOne)
{
    const auto pooled = poolGroups(std::vector<double>{2.0, 2.1, 1.9}, std::vector<double>{0.5, 0.5, 0.5});
    ASSERT_TRUE(pooled);
    EXPECT_EQ(pooled->betweenVar, 0.0);
    for (const PooledGroup& g : pooled->groups)
        EXPECT_NEAR(g.estimate, pooled->mean, 1e-12);
    EXPECT_EQ(poolGroups({}, {}).error().code, Errc::TooFewReadings);
}

std::vector<Service> services(const char* action, int n, double gain, double u, const char* serialPrefix)
{
    std::vector<Service> list;
    for (int i = 0; i < n; ++i) {
        Service s;
        s.serial = serialPrefix + std::to_string(i % 5);
        s.actions = action;
        s.design = "double_gel";
        s.application = i % 2 == 0 ? "wastewater" : "pool";
        s.gain.gain = gain + 0.3 * (i % 3 - 1);
        s.gain.u = u;
        s.lasted_days = 20.0 + i;
        s.lostSeen = i % 3 != 0;
        list.push_back(s);
    }
    return list;
}

TEST(Effects, SayWhatEachActionBoughtAndForHowLong)
{
    auto list = services("clean_acid", 30, 3.0, 0.8, "A");
    const auto other = services("clean_detergent", 30, 0.0, 0.8, "B");
    list.insert(list.end(), other.begin(), other.end());
    const auto effects = effectsOf(list, EffectBy::Action);
    ASSERT_EQ(effects.size(), 2U);
    EXPECT_EQ(effects[0].action, "clean_acid");
    EXPECT_NEAR(*effects[0].gain_pct, 3.0, 0.3);
    EXPECT_GT(effects[0].chancePositive, 0.99);
    EXPECT_GT(*effects[0].lower, 1.0);
    EXPECT_TRUE(effects[0].lasted_days);
    EXPECT_LE(*effects[1].lower, 0.0);
    EXPECT_GE(*effects[1].upper, 0.0);
    EXPECT_EQ(effectsOf(list, EffectBy::ActionApplication).size(), 4U);
}

TEST(Effects, TooFewVisitsBorrowAndNothingGivesNothing)
{
    auto list = services("clean_acid", 30, 3.0, 0.8, "A");
    Service lone = list.front();
    lone.application = "food";
    list.push_back(lone);
    const auto effects = effectsOf(list, EffectBy::ActionApplication);
    const auto food = std::ranges::find(effects, "food", &Effect::application);
    ASSERT_NE(food, effects.end());
    EXPECT_TRUE(food->borrowed);
    EXPECT_NEAR(*food->gain_pct, 3.0, 0.5);
    const auto alone = effectsOf(std::vector<Service>{lone}, EffectBy::Action);
    EXPECT_FALSE(alone.front().gain_pct);
    EXPECT_TRUE(effectsOf({}, EffectBy::Action).empty());
}

}  // namespace
}  // namespace halfcell::core
