#include "core/calibration/line_fit.h"
#include "core/electrochemistry/nernst.h"
#include "core/electrochemistry/ph_equation.h"
#include "core/electrochemistry/reference_electrode.h"
#include "core/electrochemistry/standards.h"
#include "tests/support/golden.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <set>

// Every row GC01 to GC41 of golden.csv through the public functions, inside the tolerance that the row states. The rows
// after GC41 are about lifetimes and intervals and have a file of their own.
namespace halfcell::core {
namespace {

using test::GoldenRow;

constexpr int kFirst = 1, kLast = 41;
constexpr int kLastOfOtherFile = 60;  // golden_lifetimes_test.cpp

double nernst(const GoldenRow& g)
{
    return nernstSlope(Celsius(g.value("t_degC"))).value().value();
}

double bufferPh(const GoldenRow& g)
{
    return StandardsBook::shipped().ph(g.text("standard"), "", Celsius(g.value("t_degC"))).value().value;
}

double bufferEquation(const GoldenRow& g)
{
    if (g.text("equation") != "HETZER1977")
        throw std::runtime_error("no such equation: " + g.text("equation"));
    return kPhthalate1977.at(Celsius(g.value("t_degC"))).value().value();
}

/// Points of E1_mV, pH1, t1_degC ... or of lists E_mV, pH, t_degC. Every point has its own errors.
std::vector<FitPoint> pointsOf(const GoldenRow& g)
{
    std::vector<FitPoint> points;
    const bool lists = g.has("E_mV");
    const std::vector<double> e = lists ? g.list("E_mV") : std::vector<double>{g.value("E1_mV"), g.value("E2_mV")};
    const std::vector<double> ph = lists ? g.list("pH") : std::vector<double>{g.value("pH1"), g.value("pH2")};
    const std::vector<double> t = lists              ? g.list("t_degC")
                                  : g.has("t1_degC") ? std::vector<double>{g.value("t1_degC"), g.value("t2_degC")}
                                                     : std::vector<double>(2, g.value("t_degC"));
    std::vector<double> u(e.size(), 0.5);
    if (g.has("u_mV")) {
        const std::vector<double> given = g.list("u_mV");
        for (std::size_t i = 0; i < u.size(); ++i)
            u[i] = given.size() == 1 ? given.front() : given.at(i);
    }
    for (std::size_t i = 0; i < e.size(); ++i)
        points.push_back({.e_mv = e.at(i),
                          .temp_c = t.at(i),
                          .ph = ph.at(i),
                          .dph_dt = 0.0,
                          .u_e_mv = u[i],
                          .u_ph = g.maybe("u_pH").value_or(0.0),
                          .u_t_k = g.maybe("u_t_degC").value_or(0.0)});
    return points;
}

LineFit fitOf(const GoldenRow& g)
{
    return fitLine(pointsOf(g), {}).value();
}

double efficiency(const GoldenRow& g)
{
    return 100.0 * fitOf(g).s;
}
double offset(const GoldenRow& g)
{
    return fitOf(g).e0_mv;
}
double zeroPoint(const GoldenRow& g)
{
    const LineFit fit = fitOf(g);
    return readingToPh(fit, 0.0, {.temp_c = g.value("at_degC")}).value().ph;
}
double slopeAtTemperature(const GoldenRow& g)
{
    return fitOf(g).s * nernstSlope(Celsius(g.value("t_degC"))).value().value();
}
double middleResidual(const GoldenRow& g)
{
    const auto points = pointsOf(g);
    return residuals(points, fitLine(points, {}).value()).at(1);
}
double acidLeg(const GoldenRow& g)
{
    const auto points = pointsOf(g);
    return legPct(points.at(0), points.at(1)).value();
}
double alkalineLeg(const GoldenRow& g)
{
    const auto points = pointsOf(g);
    return legPct(points.at(1), points.at(2)).value();
}
double readPh(const GoldenRow& g)
{
    LineFit fit;
    fit.e0_mv = g.value("offset_mV");
    fit.s = g.value("efficiency_pct") / 100.0;
    return readingToPh(fit, g.value("E_mV"), {.temp_c = g.value("t_degC")}).value().ph;
}
double uEfficiency(const GoldenRow& g)
{
    return 100.0 * fitOf(g).u_s();
}
double uOffset(const GoldenRow& g)
{
    return fitOf(g).u_e0();
}
double uAtProcess(const GoldenRow& g)
{
    return uncertaintyAtPh(fitOf(g), g.value("process_ph"), {.temp_c = g.value("t_degC'")}).value().u_calibration;
}

/// The complete budget of gum_two_point.csv: two standards and a sample, nine inputs.
double uExpandedTwoPoint(const GoldenRow& g)
{
    std::map<std::string, test::CsvRow> rows;
    for (const test::CsvRow& row : test::readCsv(std::string(HALFCELL_TEST_DATA) + "/reference/" + g.text("file")))
        rows[row.at("quantity")] = row;
    const auto value = [&](const char* key) { return std::stod(rows.at(key).at("estimate")); };
    const auto u = [&](const char* key) { return std::stod(rows.at(key).at("standard_uncertainty")); };
    std::vector<FitPoint> points;
    for (const char n : {'1', '2'}) {
        const std::string e = std::string("E") + n + "_mV", ph = std::string("pH") + n, t = std::string("t") + n + "_degC";
        points.push_back({.e_mv = value(e.c_str()),
                          .temp_c = value(t.c_str()),
                          .ph = value(ph.c_str()),
                          .u_e_mv = u(e.c_str()),
                          .u_ph = u(ph.c_str()),
                          .u_t_k = u(t.c_str())});
    }
    const LineFit fit = fitLine(points, {}).value();
    EXPECT_NEAR(fit.s, value("efficiency_fraction"), 1e-6);
    EXPECT_NEAR(fit.e0_mv, value("offset_mV"), 1e-9);
    const double k = nernstSlope(Celsius(value("tx_degC"))).value().value();
    const auto reading =
        readingToPh(fit, value("Ex_mV"),
                    {.temp_c = value("tx_degC"), .u_e_mv = u("Ex_mV"), .u_t_k = u("tx_degC"), .u_junction_ph = u("Ej_mV") / (fit.s * k)})
            .value();
    EXPECT_NEAR(reading.ph, value("pH_sample"), 1e-6);
    EXPECT_NEAR(reading.u_reading, std::stod(rows.at("Ex_mV").at("contribution_pH")), 1e-6);
    EXPECT_NEAR(reading.u_temperature, std::stod(rows.at("tx_degC").at("contribution_pH")), 1e-6);
    EXPECT_NEAR(reading.u_junction, std::stod(rows.at("Ej_mV").at("contribution_pH")), 1e-6);
    return g.value("k") * reading.u();
}

/// "Ag/AgCl 3 M KCl (209 mV)" -> "3M KCl".
std::string fillOf(const std::string& text)
{
    if (text.find("saturated KCl") != std::string::npos)
        return "sat KCl";
    if (text.find("3.5 M") != std::string::npos)
        return "3.5M KCl";
    if (text.find("3 M") != std::string::npos)
        return "3M KCl";
    if (text.starts_with("SHE") || text.starts_with("SCE"))
        return text.substr(0, 3);
    throw std::runtime_error("no such reference: " + text);
}

double orpExpected(const GoldenRow& g)
{
    const std::string& name = g.text("standard");
    return expectedPotential(StandardsBook::shipped(), name.substr(0, name.find(' ')), "", fillOf(g.text("reference")),
                             Celsius(g.value("t_degC")))
        .value()
        .e.value();
}

double orpSpan(const GoldenRow& g)
{
    const Celsius t(g.value("t_degC"));
    const auto standardOf = [](const std::string& text) {
        return text.find("4.005") != std::string::npos ? "quinhydrone_ph4" : "quinhydrone_ph7";
    };
    const StandardsBook& book = StandardsBook::shipped();
    return book.redox(standardOf(g.text("standard1")), "", t).value().value -
           book.redox(standardOf(g.text("standard2")), "", t).value().value;
}

double toHydrogen(const GoldenRow& g)
{
    return convertReference(Millivolt(g.value("E_mV")), fillOf(g.text("reference")), "SHE", Celsius(g.value("t_degC"))).value().value();
}

double betweenReferences(const GoldenRow& g)
{
    return convertReference(Millivolt(g.value("E_mV")), fillOf(g.text("from")), fillOf(g.text("to")), Celsius(g.value("t_degC")))
        .value()
        .value();
}

double silverChloride(const GoldenRow& g)
{
    return silverChlorideStandardPotential(Celsius(g.value("t_degC"))).value().value();
}

double glass25(const GoldenRow& g)
{
    return glassResistanceAt25(Megaohm(g.value("R_Mohm")), Celsius(g.value("t_degC")), g.value("B_K")).value().value();
}

const std::map<std::string, std::function<double(const GoldenRow&)>>& checks()
{
    static const std::map<std::string, std::function<double(const GoldenRow&)>> table{
        {"nernst_slope", nernst},
        {"buffer_ph", bufferPh},
        {"buffer_equation", bufferEquation},
        {"two_buffer_efficiency", efficiency},
        {"two_buffer_offset", offset},
        {"two_buffer_zero_point", zeroPoint},
        {"two_buffer_slope", slopeAtTemperature},
        {"three_point_efficiency", efficiency},
        {"three_point_offset", offset},
        {"three_point_middle_residual", middleResidual},
        {"three_point_acid_leg", acidLeg},
        {"three_point_alkaline_leg", alkalineLeg},
        {"three_point_weighted_efficiency", efficiency},
        {"three_point_weighted_offset", offset},
        {"reading_to_ph", readPh},
        {"gum_u_efficiency", uEfficiency},
        {"gum_u_offset", uOffset},
        {"gum_u_at_process_ph", uAtProcess},
        {"gum_expanded_two_point", uExpandedTwoPoint},
        {"orp_expected", orpExpected},
        {"orp_two_standard_span", orpSpan},
        {"orp_to_hydrogen_scale", toHydrogen},
        {"orp_between_references", betweenReferences},
        {"agagcl_standard_potential", silverChloride},
        {"glass_resistance_25", glass25},
    };
    return table;
}

TEST(Golden, EveryRowOfTheSpineIsInsideItsTolerance)
{
    std::set<int> covered;
    for (const GoldenRow& g : test::readGolden(HALFCELL_TEST_DATA)) {
        EXPECT_LE(g.number, kLastOfOtherFile) << g.id << ": no test covers this row";
        if (g.number > kLast)
            continue;
        const auto check = checks().find(g.quantity);
        if (check == checks().end()) {
            ADD_FAILURE() << g.id << ": no check for " << g.quantity;
            continue;
        }
        try {
            EXPECT_NEAR(check->second(g), g.expected, g.tolerance) << g.id << ' ' << g.quantity << ' ' << g.units << ", " << g.source;
        } catch (const std::exception& e) {
            ADD_FAILURE() << g.id << ": " << e.what();
        }
        EXPECT_TRUE(covered.insert(g.number).second) << g.id << " stands twice";
    }
    for (int n = kFirst; n <= kLast; ++n)
        EXPECT_TRUE(covered.contains(n)) << "GC" << n << " is not in golden.csv";
}

// GC25 states the uncertainties too: 0.449009 mV and 0.358134 % from the readings' own u alone.
TEST(Golden, WeightedFitHasTheStatedUncertainties)
{
    const std::vector<FitPoint> points{{.e_mv = 170.0, .temp_c = 20, .ph = 4.001, .u_e_mv = 0.5, .u_ph = 0, .u_t_k = 0},
                                       {.e_mv = -4.0, .temp_c = 25, .ph = 7.000, .u_e_mv = 0.5, .u_ph = 0, .u_t_k = 0},
                                       {.e_mv = -176.5, .temp_c = 30, .ph = 9.966, .u_e_mv = 2.0, .u_ph = 0, .u_t_k = 0}};
    const LineFit fit = fitLine(points, {}).value();
    EXPECT_NEAR(fit.u_e0(), 0.449009, 1e-6);
    EXPECT_NEAR(100.0 * fit.u_s(), 0.358134, 1e-6);
}

// GC27's covariance: -0.00331593 (GC29).
TEST(Golden, TwoPointCovarianceIsKept)
{
    for (const GoldenRow& g : test::readGolden(HALFCELL_TEST_DATA))
        if (g.id == "GC27") {
            EXPECT_NEAR(fitOf(g).v01, -0.00331593, 1e-8);
            return;
        }
    FAIL() << "GC27 is not there";
}

}  // namespace
}  // namespace halfcell::core
