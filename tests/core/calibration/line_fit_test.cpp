#include "core/calibration/fit_shares.h"
#include "core/calibration/line_fit.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace halfcell::core {
namespace {

/// Worked example at 20 degC, recomputed by another program: 3.1 mV in 7.02, 171.9 mV in 4.00, dpH/dT -0.004 and 0, own
/// uncertainties from 0.4 mV reading with 0.3 and 0.6 mV settling, 0.012 pH, one thermometer of 0.5 K, 1.5 mV of zero.
std::vector<FitPoint> example()
{
    return {{.e_mv = 3.1,
             .temp_c = 20,
             .ph = 7.02,
             .dph_dt = -0.004,
             .u_e_mv = std::hypot(0.4, 0.3),
             .u_ph = 0.012,
             .lotGroup = 0,
             .u_t_k = 0.5,
             .thermometerGroup = 0},
            {.e_mv = 171.9,
             .temp_c = 20,
             .ph = 4.00,
             .dph_dt = 0.0,
             .u_e_mv = std::hypot(0.4, 0.6),
             .u_ph = 0.012,
             .lotGroup = 1,
             .u_t_k = 0.5,
             .thermometerGroup = 0}};
}
constexpr FitBudget kZero{.u_zero_mv = 1.5};
constexpr double kDrift = -1.3;

ProcessInputs process()
{
    return {.temp_c = 32.0,
            .u_e_mv = 0.5,
            .u_t_k = 0.5,
            .u_junction_ph = 0.05,
            .drift_e0_mv = kDrift,
            .u_drift_e0_mv = 2.0,
            .drift_s = -0.004,
            .u_drift_s = 0.006};
}

// One unit of the last printed digit is the tolerance of a printed example.
TEST(LineFit, ReproducesTheWorkedExample)
{
    const LineFit fit = fitLine(example(), kZero).value();
    EXPECT_NEAR(fit.e0_mv, 4.2179, 1e-4);
    EXPECT_NEAR(fit.s, 0.960920, 1e-6);
    EXPECT_NEAR(fit.v00, 2.95301, 1e-5);
    EXPECT_NEAR(fit.v01, -0.00380987, 1e-8);
    EXPECT_NEAR(fit.v11, 5.51157e-5, 1e-10);
    EXPECT_NEAR(fit.u_e0(), 1.7184, 1e-4);
    EXPECT_NEAR(fit.u_s(), 0.007424, 1e-6);
}

TEST(LineFit, ReproducesTheWorkedReadings)
{
    const LineFit fit = fitLine(example(), kZero).value();
    struct Row {
        double e, ph, calibration, drift, reading, temperature, without, u;
    };
    for (const Row& row :
         {Row{121.9, 4.9465, .0292, .0368, .0086, .0034, .0479, .0692}, Row{-95.0, 8.6900, .0358, .0361, .0086, .0028, .0517, .0719},
          Row{-195.0, 10.4159, .0453, .0406, .0086, .0056, .0617, .0794}}) {
        const ProcessReading r = readingToPh(fit, row.e, process()).value();
        EXPECT_NEAR(r.ph, row.ph, 1e-4);
        EXPECT_NEAR(r.u_calibration, row.calibration, 1e-4);
        EXPECT_NEAR(r.u_drift, row.drift, 1e-4);
        EXPECT_NEAR(r.u_reading, row.reading, 1e-4);
        EXPECT_NEAR(r.u_temperature, row.temperature, 1e-4);
        EXPECT_NEAR(r.uWithoutJunction(), row.without, 1e-4);
        EXPECT_NEAR(r.u(), row.u, 1e-4);
    }
}

TEST(LineFit, ReproducesTheWorkedThreePointExample)
{
    auto points = example();
    points.push_back({.e_mv = -168.0,
                      .temp_c = 20,
                      .ph = 10.06,
                      .dph_dt = -0.011,
                      .u_e_mv = std::hypot(0.4, 0.6),
                      .u_ph = 0.012,
                      .lotGroup = 2,
                      .u_t_k = 0.5,
                      .thermometerGroup = 0});
    const LineFit fit = fitLine(points, kZero).value();
    EXPECT_NEAR(fit.e0_mv, 3.9330, 1e-4);
    EXPECT_NEAR(fit.s, 0.964279, 1e-6);
    EXPECT_NEAR(fit.u_e0(), 1.6022, 1e-4);
    EXPECT_NEAR(fit.u_s(), 0.004032, 1e-6);
    EXPECT_NEAR(legPct(points[1], points[0]).value(), 96.09, 0.01);
    EXPECT_NEAR(legPct(points[0], points[2]).value(), 96.76, 0.01);
    EXPECT_NEAR(residuals(points, fit).at(0), 0.289, 1e-3);
    const ProcessReading r = readingToPh(fit, -95.0, process()).value();
    EXPECT_NEAR(r.ph, 8.6792, 1e-4);
    EXPECT_NEAR(r.u(), 0.0684, 1e-4);

    for (FitPoint& p : points)
        p.u_e_mv = 0.5;
    const LineFit equal = fitLine(points, kZero).value();
    EXPECT_NEAR(equal.e0_mv, 3.8290, 1e-4);
    EXPECT_NEAR(residuals(points, equal).at(0), 0.393, 1e-3);
    EXPECT_NEAR(readingToPh(equal, -95.0, process()).value().ph, 8.6774, 1e-4);
}

TEST(LineFit, TwoPointsAreMetExactly)
{
    const auto points = example();
    const LineFit fit = fitLine(points, kZero).value();
    for (const double r : residuals(points, fit))
        EXPECT_NEAR(r, 0.0, 1e-12);
}

TEST(LineFit, ConstantMillivoltsMoveTheOffsetAlone)
{
    auto points = example();
    points.push_back({.e_mv = -168.0, .temp_c = 22, .ph = 10.06, .u_e_mv = 0.7});
    const LineFit before = fitLine(points, kZero).value();
    for (FitPoint& p : points)
        p.e_mv += 12.5;
    const LineFit after = fitLine(points, kZero).value();
    EXPECT_NEAR(after.e0_mv, before.e0_mv + 12.5, 1e-10);
    EXPECT_NEAR(after.s, before.s, 1e-13);
    EXPECT_NEAR(after.v00, before.v00, 1e-10);
    EXPECT_NEAR(after.v11, before.v11, 1e-15);
}

TEST(LineFit, OrderOfTheReadingsIsIrrelevant)
{
    auto points = example();
    points.push_back(
        {.e_mv = -168.0, .temp_c = 22, .ph = 10.06, .dph_dt = -0.011, .u_e_mv = 0.7, .lotGroup = 2, .u_t_k = 0.5, .thermometerGroup = 0});
    points.push_back(
        {.e_mv = 3.6, .temp_c = 21, .ph = 7.012, .dph_dt = -0.004, .u_e_mv = 0.6, .lotGroup = 0, .u_t_k = 0.5, .thermometerGroup = 0});
    const LineFit first = fitLine(points, kZero).value();
    const auto less = [](const FitPoint& a, const FitPoint& b) { return a.e_mv < b.e_mv; };
    std::ranges::sort(points, less);
    do {
        const LineFit fit = fitLine(points, kZero).value();
        EXPECT_NEAR(fit.e0_mv, first.e0_mv, 1e-10);
        EXPECT_NEAR(fit.s, first.s, 1e-12);
        EXPECT_NEAR(fit.v00, first.v00, 1e-10);
        EXPECT_NEAR(fit.v01, first.v01, 1e-12);
        EXPECT_NEAR(fit.v11, first.v11, 1e-14);
    } while (std::ranges::next_permutation(points, less).found);
}

TEST(LineFit, DoublingEveryInputDoublesTheUncertainty)
{
    auto points = example();
    points.push_back({.e_mv = -168.0, .temp_c = 22, .ph = 10.06, .dph_dt = -0.011, .u_e_mv = 0.7, .u_ph = 0.02, .u_t_k = 1.0});
    const LineFit once = fitLine(points, kZero).value();
    for (FitPoint& p : points) {
        p.u_e_mv *= 2;
        p.u_ph *= 2;
        p.u_t_k *= 2;
    }
    const LineFit twice = fitLine(points, {.u_zero_mv = 2 * kZero.u_zero_mv}).value();
    EXPECT_NEAR(twice.e0_mv, once.e0_mv, 1e-10);
    EXPECT_NEAR(twice.u_e0(), 2 * once.u_e0(), 1e-10);
    EXPECT_NEAR(twice.u_s(), 2 * once.u_s(), 1e-12);
    const auto u = [](const LineFit& fit, double scale) {
        return uncertaintyAtPh(fit, 9.0, {.temp_c = 25, .u_e_mv = 0.5 * scale, .u_t_k = 0.5 * scale, .u_junction_ph = 0.0}).value().u();
    };
    EXPECT_NEAR(u(twice, 2), 2 * u(once, 1), 1e-12);
}

// A thermometer wrong by the same amount in two standards of one temperature leaves the slope changed only through k and the
// standards' own course: relative change -1/T - (dpH2 - dpH1)/(pH2 - pH1) per kelvin.
TEST(LineFit, SharedThermometerActsThroughKAndTheTable)
{
    auto points = example();
    for (FitPoint& p : points) {
        p.u_e_mv = 1e-6;
        p.u_ph = 0.0;
    }
    const LineFit fit = fitLine(points, {}).value();
    const double perKelvin = 1.0 / 293.15 + (-0.004 - 0.0) / (7.02 - 4.00);
    EXPECT_NEAR(fit.u_s(), fit.s * std::abs(perKelvin) * 0.5, 1e-8);
}

// A lot used twice is wrong once: a second dip of it averages the readings but not the bottle.
TEST(LineFit, SharedLotDoesNotAverageOut)
{
    auto shared = example();
    auto second = shared[0];
    shared.push_back(second);
    auto apart = shared;
    apart[2].lotGroup = 7;
    for (auto* points : {&shared, &apart})
        for (FitPoint& p : *points)
            p.u_e_mv = 0.01;
    EXPECT_GT(fitLine(shared, {}).value().v00, 1.3 * fitLine(apart, {}).value().v00);
}

TEST(LineFit, LargestUncertaintyOfASharedErrorCounts)
{
    auto points = example();
    points[1].u_t_k = 2.0;
    const LineFit mixed = fitLine(points, kZero).value();
    points[0].u_t_k = 2.0;
    EXPECT_DOUBLE_EQ(mixed.v11, fitLine(points, kZero).value().v11);
}

TEST(LineFit, GrowsAwayFromTheStandards)
{
    const LineFit fit = fitLine(example(), kZero).value();
    double before = 0.0;
    for (double ph = 7.0; ph <= 13.0; ph += 0.5) {
        const double u = uncertaintyAtPh(fit, ph, {}).value().u_calibration;
        EXPECT_GT(u, before);
        before = u;
    }
}

TEST(LineFit, ReadingAndProcessPhAgree)
{
    const LineFit fit = fitLine(example(), kZero).value();
    const ProcessReading read = readingToPh(fit, -95.0, process()).value();
    const ProcessReading there = uncertaintyAtPh(fit, read.ph, process()).value();
    EXPECT_DOUBLE_EQ(read.u(), there.u());
}

// Another route to the covariance: the sum over the inputs one by one. Nine points take the path for large sets.
TEST(LineFit, SharesAddUpToTheCovariance)
{
    std::vector<FitPoint> points;
    for (int i = 0; i < 9; ++i) {
        points.push_back({.e_mv = 170.0 - 43.0 * i + 0.3 * (i % 3),
                          .temp_c = 18.0 + i,
                          .ph = 4.0 + 0.75 * i,
                          .dph_dt = -0.002 * i,
                          .u_e_mv = 0.4 + 0.05 * i,
                          .u_ph = 0.012,
                          .lotGroup = i % 4 == 3 ? -1 : i % 4,
                          .u_t_k = 0.5,
                          .thermometerGroup = i < 7 ? 0 : -1});
        if (i == 0)
            continue;
        const LineFit fit = fitLine(points, kZero).value();
        double v00 = 0, v01 = 0, v11 = 0;
        for (const FitShare& share : fitShares(points, kZero, fit)) {
            v00 += share.partE0() * share.partE0();
            v01 += share.partE0() * share.partS();
            v11 += share.partS() * share.partS();
        }
        EXPECT_NEAR(v00, fit.v00, 1e-9 * fit.v00) << points.size();
        EXPECT_NEAR(v01, fit.v01, 1e-9 * std::abs(fit.v01) + 1e-15) << points.size();
        EXPECT_NEAR(v11, fit.v11, 1e-9 * fit.v11) << points.size();
    }
}

// The sensitivities against central differences of the fit itself.
TEST(LineFit, SensitivitiesAreThoseOfTheFit)
{
    auto points = example();
    points.push_back(
        {.e_mv = -160.0, .temp_c = 24, .ph = 10.02, .dph_dt = -0.011, .u_e_mv = 0.9, .lotGroup = 2, .u_t_k = 0.5, .thermometerGroup = 0});
    const LineFit fit = fitLine(points, kZero).value();
    constexpr double h = 1e-4;
    for (const FitShare& share : fitShares(points, kZero, fit)) {
        if (share.of == FitShare::Of::Zero)
            continue;
        const auto moved = [&](double by) {
            auto p = points;
            for (const std::size_t i : share.points) {
                if (share.of == FitShare::Of::Reading)
                    p[i].e_mv += by;
                if (share.of == FitShare::Of::Standard)
                    p[i].ph += by;
                if (share.of == FitShare::Of::Thermometer) {
                    p[i].temp_c += by;
                    p[i].ph += by * p[i].dph_dt;
                }
            }
            return fitLine(p, kZero).value();
        };
        const LineFit up = moved(h), down = moved(-h);
        EXPECT_NEAR(share.dE0, (up.e0_mv - down.e0_mv) / (2 * h), 1e-5);
        EXPECT_NEAR(share.dS, (up.s - down.s) / (2 * h), 1e-7);
    }
}

TEST(LineFit, RefusesWhatGivesNoLine)
{
    const auto points = example();
    EXPECT_EQ(fitLine({}, kZero).error().code, Errc::TooFewReadings);
    EXPECT_EQ(fitLine(std::span(points).first(1), kZero).error().code, Errc::TooFewReadings);
    EXPECT_EQ(fitLine({{points[0], points[0]}}, kZero).error().code, Errc::StandardsTooClose);
    for (const double bad : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
        for (const auto member :
             {&FitPoint::e_mv, &FitPoint::temp_c, &FitPoint::ph, &FitPoint::u_e_mv, &FitPoint::u_ph, &FitPoint::u_t_k}) {
            auto p = points;
            p[1].*member = bad;
            EXPECT_EQ(fitLine(p, kZero).error().code, Errc::BadInput);
        }
        EXPECT_EQ(fitLine(points, {.u_zero_mv = bad}).error().code, Errc::BadInput);
    }
    for (const double bad : {0.0, -0.5}) {
        auto p = points;
        p[0].u_e_mv = bad;
        EXPECT_EQ(fitLine(p, kZero).error().code, Errc::BadInput);
    }
}

TEST(LineFit, RefusesAPhWithoutASlope)
{
    LineFit fit{.e0_mv = 0, .s = 0.05};
    EXPECT_EQ(readingToPh(fit, 10.0, {}).error().code, Errc::OutOfRange);
    fit.s = 0.052;
    EXPECT_TRUE(readingToPh(fit, 10.0, {}).has_value());
    EXPECT_EQ(readingToPh(fit, 10.0, {.drift_s = -0.01}).error().code, Errc::OutOfRange);
    EXPECT_EQ(uncertaintyAtPh({.e0_mv = 0, .s = -0.9}, 8.0, {}).error().code, Errc::OutOfRange);
}

TEST(LineFit, LegsNeedTwoDistances)
{
    const auto points = example();
    EXPECT_FALSE(legPct(points[0], points[0]).has_value());
}

}  // namespace
}  // namespace halfcell::core
