#include "core/review/chain.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace halfcell::core {
namespace {

/// Decision notes section 4: design 0 costs 250 with wear 1, design 1 costs 330 with wear 0.7 and a change cost of 20.
constexpr ChainDesign kSame{250.0, 1.0, 0.0};
constexpr ChainDesign kOther{330.0, 0.7, 20.0};
const std::vector<WearDraw> kDraws{{0.5, 0.10}, {0.75, 0.25}, {1.0, 0.30}, {1.5, 0.25}, {2.0, 0.10}};

double w0()
{
    return freshChain({}, kSame)->renewal;
}
double w1()
{
    return freshChain({}, kOther)->renewal + kOther.changeCost;
}

std::array<double, kWearClasses> only(WearClass c)
{
    std::array<double, kWearClasses> state{};
    state[static_cast<std::size_t>(c)] = 1.0;
    return state;
}

OptionValues valuesIn(WearClass c, std::size_t services)
{
    const auto values = optionValues({}, kDraws, only(c), services, *purchaseValue({}, kSame, w1()), w1());
    EXPECT_TRUE(values);
    return values.value_or(OptionValues{});
}

TEST(Chain, FreshSensorsOfTheWorkedExample)
{
    EXPECT_NEAR(w0(), 6103.126, 5e-4);
    EXPECT_NEAR(w1() - 20.0, 5817.741, 5e-4);
    EXPECT_NEAR((1.0 - 0.995) * w0(), 30.52, 5e-3);
    EXPECT_NEAR((1.0 - 0.995) * (w1() - 20.0), 29.09, 5e-3);
    EXPECT_NEAR((1.0 - std::pow(0.995, 12)) / (1.0 - 0.995), 11.67544, 5e-6);
}

TEST(Chain, PolicyOfTheWorkedExample)
{
    const auto chain = freshChain({}, kSame);
    ASSERT_TRUE(chain);
    using enum ChainAction;
    const auto at = [&](WearClass c, std::size_t n) { return chain->best[static_cast<std::size_t>(c)][n]; };
    EXPECT_EQ(at(WearClass::A, 0), Run);
    EXPECT_EQ(at(WearClass::B, 0), Run);
    EXPECT_EQ(at(WearClass::C, 0), Service);
    EXPECT_EQ(at(WearClass::D, 0), Replace);
    EXPECT_EQ(at(WearClass::X, 0), Replace);
    EXPECT_EQ(at(WearClass::C, 1), Replace);
    EXPECT_EQ(at(WearClass::C, 2), Replace);
}

struct Row {
    WearClass state;
    std::size_t services;
    std::array<double, 4> q, perMonth, best;
};

TEST(Chain, OptionTableOfTheWorkedExample)
{
    const Row rows[] = {
        {WearClass::C, 0, {5822.465, 5812.870, 5857.640, 5837.741}, {27.88, 27.06, 30.89, 29.19}, {0, .65, 0, .35}},
        {WearClass::C, 1, {5842.040, 5850.516, 5857.640, 5837.741}, {29.56, 30.28, 30.89, 29.19}, {0, .10, 0, .90}},
        {WearClass::B, 0, {5713.814, 5721.506, 5857.640, 5837.741}, {18.57, 19.23, 30.89, 29.19}, {1, 0, 0, 0}},
        {WearClass::D, 0, {5964.025, 5934.122, 5857.640, 5837.741}, {40.01, 37.44, 30.89, 29.19}, {0, 0, 0, 1}},
    };
    for (const Row& row : rows) {
        // "Same now" goes on with free choice, so its later renewals are of the better design.
        const OptionValues values = valuesIn(row.state, row.services);
        for (std::size_t o = 0; o < 4; ++o) {
            EXPECT_NEAR(values.mean[o], row.q[o], 5e-4) << o;
            EXPECT_NEAR(costPerMonth({}, values.mean[o], w1()), row.perMonth[o], 1e-2) << o;
            EXPECT_NEAR(values.probabilityBest[o], row.best[o], 1e-9) << o;
        }
    }
}

TEST(Chain, QByDrawOfTheWorkedExample)
{
    const OptionValues values = valuesIn(WearClass::C, 0);
    const double run[] = {5756.752, 5810.607, 5829.098, 5844.025, 5844.025}, service[] = {5734.805, 5795.256, 5817.286, 5840.522, 5852.588};
    ASSERT_EQ(values.perDraw.size(), 5U);
    for (std::size_t d = 0; d < 5; ++d) {
        EXPECT_NEAR(values.perDraw[d][0], run[d], 5e-4);
        EXPECT_NEAR(values.perDraw[d][1], service[d], 5e-4);
    }
}

TEST(Chain, BreakEvenPricesOfTheWorkedExample)
{
    const auto breakEven = [](const OptionValues& v) { return kOther.price + std::min(v.mean[0], v.mean[1]) - v.mean[3]; };
    EXPECT_NEAR(breakEven(valuesIn(WearClass::C, 0)), 305.13, 5e-3);
    EXPECT_NEAR(breakEven(valuesIn(WearClass::C, 1)), 334.30, 5e-3);
    // At the break-even price the purchase ties with the best way without buying.
    const OptionValues v = valuesIn(WearClass::C, 0);
    EXPECT_NEAR(v.mean[3] - kOther.price + breakEven(v), std::min(v.mean[0], v.mean[1]), 1e-9);
}

TEST(Chain, RenewalCycleOfTheWorkedExample)
{
    const auto cycle = renewalCycle({}, kSame);
    ASSERT_TRUE(cycle);
    EXPECT_NEAR(cycle->months[0], 6.76137, 5e-6);
    EXPECT_NEAR(cycle->months[1], 4.92137, 5e-6);
    EXPECT_NEAR(cycle->months[2], 3.31285, 5e-6);
    EXPECT_NEAR(cycle->endsDead, .149956, 5e-7);
    EXPECT_NEAR(cycle->cost, 486.468, 5e-4);
    EXPECT_NEAR(cycle->costPerMonth, 32.4407, 5e-5);
    EXPECT_NEAR(renewalCycle({}, kSame, 12)->costPerMonth, 38.525, 5e-4);
    EXPECT_NEAR(renewalCycle({}, kSame, 24)->costPerMonth, 33.194, 5e-4);
    EXPECT_NEAR(renewalCycle({}, kSame, 36)->costPerMonth, 32.553, 5e-4);
}

TEST(Chain, TheValueIsTheLeastOfAllOptions)
{
    const auto chain = ownChain({}, 1.3, w1());
    ASSERT_TRUE(chain);
    for (std::size_t c = 0; c + 1 < kWearClasses; ++c)
        for (std::size_t n = 0; n < kServiceCounts; ++n) {
            EXPECT_LE(chain->value[c][n], chain->run[c][n] + 1e-7);
            EXPECT_LE(chain->value[c][n], chain->service[c][n] + 1e-7);
            EXPECT_LE(chain->value[c][n], chain->renewal + 1e-7);
            EXPECT_NEAR(chain->value[c][n], std::min({chain->run[c][n], chain->service[c][n], chain->renewal}), 1e-6);
        }
    for (std::size_t n = 0; n < kServiceCounts; ++n)
        EXPECT_EQ(chain->best[4][n], ChainAction::Replace) << "a dead sensor is always replaced";
}

TEST(Chain, ANewSensorCostsMoreWithPriceAndWithWear)
{
    double before = 0.0;
    for (const double price : {100.0, 200.0, 400.0, 800.0}) {
        const double w = freshChain({}, {price, 1.0, 0.0})->renewal;
        EXPECT_GT(w, before);
        before = w;
    }
    before = 0.0;
    for (const double wear : {0.3, 0.7, 1.0, 2.0, 5.0}) {
        const double w = freshChain({}, {250.0, wear, 0.0})->renewal;
        EXPECT_GT(w, before);
        before = w;
    }
}

TEST(Chain, WithoutDiscountItBecomesTheRenewalReward)
{
    // Service beyond price, C cheap and D dear: the best act is to run in A, B, C and replace at D, as the cycle does.
    ChainSettings s;
    s.service = 1e6;
    s.loss[2] = 10.0;
    s.loss[3] = 1e5;
    s.discount = 1.0 - 1e-7;
    const auto chain = freshChain(s, kSame);
    ASSERT_TRUE(chain);
    ASSERT_EQ(chain->best[2][0], ChainAction::Run);
    ASSERT_EQ(chain->best[3][0], ChainAction::Replace);
    EXPECT_NEAR((1.0 - s.discount) * chain->renewal, renewalCycle(s, kSame)->costPerMonth, 1e-3);
}

TEST(Chain, TheScaleOfTheMoneyChangesNoChoice)
{
    ChainSettings s;
    for (double& l : s.loss)
        l *= 12.5;
    s.service *= 12.5;
    s.fitting *= 12.5;
    s.callOut *= 12.5;
    const auto plain = freshChain({}, kSame), scaled = freshChain(s, {250.0 * 12.5, 1.0, 0.0});
    ASSERT_TRUE(plain && scaled);
    EXPECT_EQ(plain->best, scaled->best);
    EXPECT_NEAR(scaled->renewal, 12.5 * plain->renewal, 1e-6);
}

TEST(Chain, ChancesAddUpAndTiesAreShared)
{
    for (const WearClass c : {WearClass::A, WearClass::B, WearClass::C, WearClass::D, WearClass::X}) {
        double month = 0.0, service = 0.0, best = 0.0;
        for (const double p : afterMonth({}, c, 1.7))
            month += p;
        for (const double p : afterService({}, c, 1))
            service += p;
        const auto values = optionValues({}, kDraws, only(c), 0, w1(), w1());
        ASSERT_TRUE(values);
        for (const double p : values->probabilityBest)
            best += p;
        EXPECT_NEAR(month, 1.0, 1e-12);
        EXPECT_NEAR(service, 1.0, 1e-12);
        EXPECT_NEAR(best, 1.0, 1e-12);
        EXPECT_NEAR(values->probabilityBest[2], values->probabilityBest[3], 1e-12) << "equal cost, equal share";
    }
}

TEST(Chain, AForbiddenOptionIsNeverBest)
{
    const auto values = optionValues({}, kDraws, only(WearClass::B), 0, w0(), w1(), {false, true, true, true});
    ASSERT_TRUE(values);
    EXPECT_EQ(values->probabilityBest[0], 0.0);
    EXPECT_NEAR(values->probabilityBest[1], 1.0, 1e-12);
}

TEST(Chain, RefusesWhatMakesNoSense)
{
    ChainSettings s;
    s.discount = 1.0;
    EXPECT_EQ(freshChain(s, kSame).error().code, Errc::BadInput);
    s = {};
    s.rate[1] = -0.1;
    EXPECT_EQ(freshChain(s, kSame).error().code, Errc::BadInput);
    s = {};
    s.cToA = 0.8;
    EXPECT_EQ(ownChain(s, 1.0, 6000).error().code, Errc::BadInput) << "chances above one together";
    EXPECT_EQ(freshChain({}, {-1.0, 1.0, 0.0}).error().code, Errc::BadInput);
    EXPECT_EQ(freshChain({}, {250.0, 0.0, 0.0}).error().code, Errc::BadInput);
    EXPECT_EQ(ownChain({}, 1.0, std::numeric_limits<double>::quiet_NaN()).error().code, Errc::BadInput);
    EXPECT_EQ(optionValues({}, {}, only(WearClass::A), 0, 1, 1).error().code, Errc::TooFewReadings);
    EXPECT_EQ(optionValues({}, kDraws, only(WearClass::A), 0, 1, 1, {false, false, false, false}).error().code, Errc::BadInput);
}

}  // namespace
}  // namespace halfcell::core
