#include "core/calibration/fit_shares.h"
#include "core/calibration/line_fit.h"
#include "core/electrochemistry/nernst.h"
#include "tests/support/golden.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

// The worked budget of gum_two_point.csv, input by input, to its printed digits (law of propagation, JCGM 100:2008), and the interval
// that goes with the worked reading at -95 mV.
namespace halfcell::core {
namespace {

std::map<std::string, test::CsvRow> budget()
{
    std::map<std::string, test::CsvRow> rows;
    for (const auto& row : test::readCsv(std::string(HALFCELL_TEST_DATA) + "/reference/gum_two_point.csv"))
        rows[row.at("quantity")] = row;
    return rows;
}

TEST(GumBudget, EveryInputToItsDigits)
{
    const auto rows = budget();
    const auto number = [&](const std::string& key, const char* column) { return std::stod(rows.at(key).at(column)); };
    const auto value = [&](const std::string& key) { return number(key, "estimate"); };
    const auto u = [&](const std::string& key) { return number(key, "standard_uncertainty"); };
    std::vector<FitPoint> points;
    for (const std::string n : {"1", "2"})
        points.push_back({.e_mv = value("E" + n + "_mV"),
                          .temp_c = value("t" + n + "_degC"),
                          .ph = value("pH" + n),
                          .u_e_mv = u("E" + n + "_mV"),
                          .u_ph = u("pH" + n),
                          .u_t_k = u("t" + n + "_degC")});
    const LineFit fit = fitLine(points, {}).value();
    EXPECT_NEAR(fit.s, value("efficiency_fraction"), 1e-6);
    EXPECT_NEAR(fit.e0_mv, value("offset_mV"), 1e-6);

    const double k = nernstSlope(Celsius(value("tx_degC"))).value().value();
    const double ph = value("pH_sample"), c0 = 1.0 / (fit.s * k), cs = -(ph - 7.0) / fit.s;
    double squares = 0.0;
    std::size_t inputs = 0;
    const auto holds = [&](const std::string& key, double sensitivity) {
        EXPECT_NEAR(sensitivity, number(key, "sensitivity_pH_per_unit"), 1e-6) << key;
        EXPECT_NEAR(std::fabs(sensitivity) * u(key), number(key, "contribution_pH"), 1e-6) << key;
        squares += std::pow(sensitivity * u(key), 2);
        ++inputs;
    };
    for (const FitShare& share : fitShares(points, {}, fit)) {
        if (share.of == FitShare::Of::Zero)
            continue;
        ASSERT_EQ(share.points.size(), 1U);
        const std::string n = std::to_string(share.points.front() + 1);
        const std::string key = share.of == FitShare::Of::Reading    ? "E" + n + "_mV"
                                : share.of == FitShare::Of::Standard ? "pH" + n
                                                                     : "t" + n + "_degC";
        holds(key, c0 * share.dE0 + cs * share.dS);
    }
    holds("Ex_mV", -c0);
    holds("Ej_mV", c0);
    holds("tx_degC", -(ph - 7.0) / Celsius(value("tx_degC")).kelvin());
    EXPECT_EQ(inputs, 9U);
    EXPECT_NEAR(std::sqrt(squares), u("pH_sample"), 1e-6);
    EXPECT_NEAR(2.0 * std::sqrt(squares), value("U_k2"), 1e-6);

    const auto reading =
        readingToPh(fit, value("Ex_mV"),
                    {.temp_c = value("tx_degC"), .u_e_mv = u("Ex_mV"), .u_t_k = u("tx_degC"), .u_junction_ph = c0 * u("Ej_mV")})
            .value();
    EXPECT_NEAR(reading.ph, ph, 1e-6);
    EXPECT_NEAR(reading.u(), u("pH_sample"), 1e-6);
}

// The worked reading: first order [8.5491, 8.8309] at 95 %, draws [8.5495, 8.8313]; they agree within half a unit of the second
// digit of u, just.
TEST(GumBudget, IntervalOfTheWorkedReading)
{
    const std::vector<FitPoint> points{{.e_mv = 3.1,
                                        .temp_c = 20,
                                        .ph = 7.02,
                                        .dph_dt = -0.004,
                                        .u_e_mv = 0.5,
                                        .u_ph = 0.012,
                                        .lotGroup = 0,
                                        .u_t_k = 0.5,
                                        .thermometerGroup = 0},
                                       {.e_mv = 171.9,
                                        .temp_c = 20,
                                        .ph = 4.00,
                                        .u_e_mv = std::hypot(0.4, 0.6),
                                        .u_ph = 0.012,
                                        .lotGroup = 1,
                                        .u_t_k = 0.5,
                                        .thermometerGroup = 0}};
    const LineFit fit = fitLine(points, {.u_zero_mv = 1.5}).value();
    const auto r = readingToPh(fit, -95.0,
                               {.temp_c = 32.0,
                                .u_e_mv = 0.5,
                                .u_t_k = 0.5,
                                .u_junction_ph = 0.05,
                                .drift_e0_mv = -1.3,
                                .u_drift_e0_mv = 2.0,
                                .drift_s = -0.004,
                                .u_drift_s = 0.006})
                       .value();
    constexpr double kNormal95 = 1.959964;
    EXPECT_NEAR(r.ph - kNormal95 * r.u(), 8.5491, 1e-4);
    EXPECT_NEAR(r.ph + kNormal95 * r.u(), 8.8309, 1e-4);
    constexpr double kHalfSecondDigit = 0.0005;
    EXPECT_NEAR(r.ph - kNormal95 * r.u(), 8.5495, kHalfSecondDigit);
    EXPECT_NEAR(r.ph + kNormal95 * r.u(), 8.8313, kHalfSecondDigit);
}

}  // namespace
}  // namespace halfcell::core
