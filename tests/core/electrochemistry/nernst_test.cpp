#include "core/electrochemistry/nernst.h"
#include "tests/support/golden.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace halfcell::core {
namespace {

// The computed rows are 50-digit decimal arithmetic of the SI constants, printed with six decimals.
TEST(Nernst, MeetsTheExactTable)
{
    std::size_t compared = 0;
    for (const auto& row : test::readCsv(std::string(HALFCELL_TEST_DATA) + "/reference/nernst_slope.csv")) {
        if (row.at("kind") != "computed")
            continue;
        const double t = std::stod(row.at("temperature_degC"));
        EXPECT_NEAR(nernstSlope(Celsius(t)).value().value(), std::stod(row.at("slope_mV_per_pH")), 5.1e-7) << t;
        ++compared;
    }
    EXPECT_GT(compared, 10U);
}

TEST(Nernst, RefusesImpossibleTemperatures)
{
    for (const double t : {-20.1, 150.1, std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()})
        EXPECT_EQ(nernstSlope(Celsius(t)).error().code, Errc::OutOfRange) << t;
    EXPECT_TRUE(nernstSlope(Celsius(-20)).has_value());
    EXPECT_TRUE(nernstSlope(Celsius(150)).has_value());
}

TEST(Nernst, IsProportionalToTheThermodynamicTemperature)
{
    EXPECT_NEAR(nernstSlope(Celsius(100)).value().value() / nernstSlope(Celsius(0)).value().value(), 373.15 / 273.15, 1e-14);
}

TEST(GlassResistance, IsItselfAt25AndFallsWithTemperature)
{
    EXPECT_DOUBLE_EQ(glassResistanceAt25(Megaohm(100), Celsius(25)).value().value(), 100.0);
    EXPECT_LT(glassResistanceAt25(Megaohm(100), Celsius(5)).value().value(), 20.0);
    EXPECT_GT(glassResistanceAt25(Megaohm(100), Celsius(60)).value().value(), 1000.0);
}

TEST(GlassResistance, RefusesWhatIsNoResistance)
{
    EXPECT_EQ(glassResistanceAt25(Megaohm(0), Celsius(25)).error().code, Errc::OutOfRange);
    EXPECT_EQ(glassResistanceAt25(Megaohm(10), Celsius(131)).error().code, Errc::OutOfRange);
    EXPECT_EQ(glassResistanceAt25(Megaohm(10), Celsius(25), 6000).error().code, Errc::OutOfRange);
    EXPECT_EQ(glassResistanceAt25(Megaohm(std::numeric_limits<double>::quiet_NaN()), Celsius(25)).error().code, Errc::OutOfRange);
}

}  // namespace
}  // namespace halfcell::core
