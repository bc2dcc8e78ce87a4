#include "core/calibration/conformity.h"
#include "core/calibration/settling.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace halfcell::core {

namespace {

std::vector<SettlePoint> curve(double settled, double rest, double t90, double until, double ripple = 0.0)
{
    std::vector<SettlePoint> series;
    int i = 0;
    for (double t = 0.0; t <= until; t += 10.0)
        series.push_back({t, settled - rest * std::pow(10.0, -t / t90) + ripple * (++i % 2 ? 1.0 : -1.0)});
    return series;
}

}  // namespace

TEST(Settling, RecoversTheCurveItWasMadeOf)
{
    const auto fit = fitSettling(curve(172.0, 160.0, 45.0, 90.0));
    ASSERT_TRUE(fit) << fit.error().detail;
    EXPECT_NEAR(fit->settled_mv, 172.0, 1e-3);
    EXPECT_NEAR(fit->t90_s, 45.0, 1e-3);
    EXPECT_NEAR(fit->toCome_mv, 160.0 * std::pow(10.0, -90.0 / 45.0), 1e-3);
}

TEST(Settling, ScatterShowsInTheUncertainty)
{
    const auto clean = fitSettling(curve(172.0, 160.0, 60.0, 90.0)), noisy = fitSettling(curve(172.0, 160.0, 60.0, 90.0, 1.0));
    ASSERT_TRUE(clean && noisy);
    EXPECT_GT(noisy->u_t90_s, 3.0 * clean->u_t90_s);
    EXPECT_NEAR(noisy->settled_mv, 172.0, 3.0 * noisy->u_settled_mv);
    EXPECT_NEAR(noisy->t90_s, 60.0, 3.0 * noisy->u_t90_s);
    // A shorter look is a less certain one.
    const auto brief = fitSettling(curve(172.0, 160.0, 60.0, 50.0, 0.3)), longer = fitSettling(curve(172.0, 160.0, 60.0, 150.0, 0.3));
    ASSERT_TRUE(brief && longer);
    EXPECT_GT(brief->u_settled_mv, longer->u_settled_mv);
}

TEST(Settling, RefusesWhatTellsNothing)
{
    const auto four = curve(172.0, 160.0, 45.0, 30.0);
    EXPECT_EQ(fitSettling(four).error().code, Errc::TooFewReadings);
    auto backwards = curve(172.0, 160.0, 45.0, 90.0);
    backwards[3].seconds = 5.0;
    EXPECT_EQ(fitSettling(backwards).error().code, Errc::BadInput);
    backwards[3].seconds = std::numeric_limits<double>::quiet_NaN();
    EXPECT_EQ(fitSettling(backwards).error().code, Errc::BadInput);
    EXPECT_EQ(fitSettling(curve(172.0, 0.0, 45.0, 90.0, 0.2)).error().code, Errc::NoConvergence) << "settled from the start";
}

TEST(Settling, AReadingTakenTooSoonIsPredictedNotRecorded)
{
    // One t90: 10 % of the step was still to come, two: 1 %.
    const auto one = predictSettled(0.0, 0.9 * 177.5, 40.0, 40.0, 4.0);
    ASSERT_TRUE(one);
    EXPECT_NEAR(one->settled_mv, 177.5, 1e-9);
    EXPECT_NEAR(one->short_mv, 17.75, 1e-9);
    EXPECT_NEAR(one->missing_pct, 10.0, 1e-9);
    // 10 % more or less t90 moves it by 4.5 mV: 177.5/0.9 * 0.1 * ln 10 * 0.1.
    EXPECT_NEAR(one->u_settled_mv, std::hypot(177.5 / 0.9 * 0.1 * std::log(10.0) * 0.1, 0.4 / 0.9, 0.4 * 0.1 / 0.9), 1e-9);
    const auto two = predictSettled(0.0, 0.99 * 177.5, 80.0, 40.0, 4.0);
    ASSERT_TRUE(two);
    EXPECT_NEAR(two->missing_pct, 1.0, 1e-9);
    EXPECT_LT(two->u_settled_mv, one->u_settled_mv);
    EXPECT_EQ(predictSettled(0.0, 30.0, 5.0, 40.0, 4.0).error().code, Errc::OutOfRange);
    EXPECT_EQ(predictSettled(0.0, 30.0, 0.0, 40.0, 4.0).error().code, Errc::BadInput);
}

TEST(Conformity, WorkedFigures)
{
    EXPECT_NEAR(conformityOf(0.12, 0.045, 0.2, 0.95).probability, 0.9623, 1e-4);
    EXPECT_EQ(conformityOf(0.12, 0.045, 0.2, 0.95).decision, Conformity::Decision::Inside) << "even for a permit point";
    EXPECT_NEAR(conformityOf(0.17, 0.045, 0.2, 0.80).probability, 0.7475, 1e-4);
    EXPECT_EQ(conformityOf(0.17, 0.045, 0.2, 0.80).decision, Conformity::Decision::Undecided);
    EXPECT_EQ(conformityOf(0.17, 0.045, 0.2, 0.50).decision, Conformity::Decision::Inside) << "an indication";
    EXPECT_NEAR(conformityOf(0.25, 0.045, 0.2, 0.80).probability, 0.1333, 1e-4);
    EXPECT_EQ(conformityOf(0.25, 0.045, 0.2, 0.80).decision, Conformity::Decision::Outside);
    EXPECT_EQ(conformityOf(0.25, 0.045, 0.2, 0.95).decision, Conformity::Decision::Undecided);
    EXPECT_NEAR(conformityOf(0.0, 0.045, 0.2, 0.95).accept, 0.126, 1e-3);
    EXPECT_NEAR(conformityOf(0.0, 0.045, 0.2, 0.95).reject, 0.274, 1e-3);
    EXPECT_EQ(conformityOf(0.0, 0.11, 0.2, 0.5).decision, Conformity::Decision::CannotDecide);
    EXPECT_NEAR(probabilityInside(91.2, 0.65, 90.0, std::numeric_limits<double>::infinity()), 0.9676, 1e-4);
    const auto both = combined({91.2, 0.65}, {92.6, 1.1});
    EXPECT_NEAR(both.value, 91.562, 1e-3);
    EXPECT_NEAR(both.u, 0.560, 1e-3);
    EXPECT_NEAR(probabilityInside(both.value, both.u, 90.0, std::numeric_limits<double>::infinity()), 0.9974, 1e-4);
}

TEST(Conformity, OneSentence)
{
    EXPECT_EQ(conformityOf(0.12, 0.045, 0.2, 0.95).sentence,
              "Good enough here: +0.12 pH with an uncertainty of 0.09 (95 %), 0.20 is allowed; inside with 96 %.");
    EXPECT_NE(conformityOf(0.17, 0.045, 0.2, 0.80).sentence.find("Read again with a fresh standard"), std::string::npos);
}

}  // namespace halfcell::core
