#include "core/calibration/line_fit.h"
#include "tests/core/calibration/draws.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

// The closed covariance against draws of every input (JCGM 101), on random calibrations.
namespace halfcell::core {
namespace {

using test::Draws;

constexpr int kCalibrations = 20;
constexpr int kDraws = 20'000;
constexpr double kAgree = 0.03;  // six times the statistical error of a standard deviation from so many draws

std::vector<FitPoint> randomCalibration(Draws& draws, double& zero)
{
    const double s = draws.between(0.7, 1.02), e0 = draws.between(-60.0, 60.0);
    const double u_ph = draws.between(0.003, 0.02), u_t = draws.between(0.2, 2.0);
    zero = draws.between(0.0, 4.0);
    const int n = 2 + static_cast<int>(draws.uniform() * 3.0);
    std::vector<FitPoint> points;
    for (int i = 0; i < n; ++i) {
        const double standards[] = {7.0, 4.0, 10.0, 7.0};
        FitPoint p;
        p.temp_c = draws.between(10.0, 35.0);
        p.ph = standards[i] + draws.between(-0.05, 0.05);
        p.dph_dt = i == 2 ? -0.011 : -0.003;
        p.u_e_mv = draws.between(0.3, 2.5);
        p.u_ph = u_ph;
        p.lotGroup = i == 3 ? 0 : i;
        p.u_t_k = u_t;
        p.thermometerGroup = 0;
        p.e_mv = e0 - s * 0.19842 * (p.temp_c + 273.15) * (p.ph - 7.0) + draws.normal();
        points.push_back(p);
    }
    return points;
}

TEST(MonteCarlo, ConfirmsTheCovariance)
{
    Draws draws(20260302);
    for (int c = 0; c < kCalibrations; ++c) {
        double zero = 0.0;
        const auto points = randomCalibration(draws, zero);
        const LineFit fit = fitLine(points, {.u_zero_mv = zero}).value();
        double sumE = 0, sumS = 0, sumEE = 0, sumSS = 0, sumAt = 0, sumAtAt = 0;
        const double target = 9.3;
        const double e = fit.e0_mv - fit.s * 0.19842 * 303.15 * (target - 7.0);
        const double centre = readingToPh(fit, e, {.temp_c = 30.0}).value().ph;
        for (int d = 0; d < kDraws; ++d) {
            auto moved = points;
            std::map<int, double> lots;
            const double thermometer = draws.normal() * points.front().u_t_k;
            const double wander = draws.normal() * zero;
            for (FitPoint& p : moved) {
                if (!lots.contains(p.lotGroup))
                    lots[p.lotGroup] = draws.normal() * p.u_ph;
                p.e_mv += draws.normal() * p.u_e_mv + wander;
                p.temp_c += thermometer;
                p.ph += lots[p.lotGroup] + p.dph_dt * thermometer;
            }
            const LineFit f = fitLine(moved, {}).value();
            const double de = f.e0_mv - fit.e0_mv, ds = f.s - fit.s;
            const double at = readingToPh(f, e, {.temp_c = 30.0}).value().ph - centre;
            sumE += de;
            sumEE += de * de;
            sumS += ds;
            sumSS += ds * ds;
            sumAt += at;
            sumAtAt += at * at;
        }
        const auto sd = [](double sum, double squares) { return std::sqrt((squares - sum * sum / kDraws) / (kDraws - 1)); };
        EXPECT_NEAR(sd(sumE, sumEE) / fit.u_e0(), 1.0, kAgree) << "calibration " << c;
        EXPECT_NEAR(sd(sumS, sumSS) / fit.u_s(), 1.0, kAgree) << "calibration " << c;
        // The reading at a process pH uses the covariance between offset and slope as well.
        const double u = uncertaintyAtPh(fit, centre, {.temp_c = 30.0}).value().u_calibration;
        EXPECT_NEAR(sd(sumAt, sumAtAt) / u, 1.0, kAgree) << "calibration " << c;
    }
}

}  // namespace
}  // namespace halfcell::core
