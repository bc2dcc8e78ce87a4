#include "core/electrochemistry/nernst.h"
#include "core/electrochemistry/reference_electrode.h"
#include "tests/support/golden.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfcell::core {
namespace {

// The series shipped is that of USGS A6.5, ASTM D1498, Nordstrom 1977 and the quinhydrone potential; others are no check on it.
TEST(ReferenceElectrode, ExpectedPotentialsMeetTheSeriesWithinThreeMillivolts)
{
    const std::map<std::string, std::string> fills{
        {"AgAgCl_3M", "3M KCl"}, {"AgAgCl_3.5M", "3.5M KCl"}, {"AgAgCl_sat", "sat KCl"}, {"SCE", "SCE"},
        {"SHE", "SHE"},          {"AgAgCl_1M", "1M KCl"}};
    std::size_t compared = 0;
    for (const auto& row : test::readCsv(std::string(HALFCELL_TEST_DATA) + "/reference/orp_standards.csv")) {
        const std::string& source = row.at("source_id");
        if (row.at("note").find("DOUBTFUL") != std::string::npos ||
            (source != "USGS_A65" && source != "ASTM_D1498" && source != "NORDSTROM1977" && source != "QUINHYDRONE_E0"))
            continue;
        const std::string& solution = row.at("solution");
        const std::string key = solution == "ZoBell" ? "zobell" : solution == "Light" ? "light" : "";
        const auto fill = fills.find(row.at("reference_electrode_key"));
        if (key.empty() || fill == fills.end())
            continue;
        const double t = std::stod(row.at("temperature_degC"));
        const auto expected = expectedPotential(StandardsBook::shipped(), key, "", fill->second, Celsius(t));
        if (!expected) {
            EXPECT_EQ(expected.error().code, Errc::OutsideTable) << key << ' ' << fill->second << ' ' << t;
            continue;
        }
        EXPECT_NEAR(expected->e.value(), std::stod(row.at("potential_mV")), 3.0) << key << " against " << fill->second << " at " << t;
        ++compared;
    }
    EXPECT_GT(compared, 20U);
}

// Quinhydrone in a buffer: E0 of 699.4 mV less 0.74 mV/K, less the Nernst slope times its pH.
TEST(ReferenceElectrode, QuinhydroneFollowsItsBuffer)
{
    for (double t = 5; t <= 30; t += 2.5) {
        const StandardsBook& book = StandardsBook::shipped();
        const double k = nernstSlope(Celsius(t)).value().value();
        EXPECT_NEAR(book.redox("quinhydrone_ph4", "", Celsius(t)).value().value,
                    699.4 - 0.74 * (t - 25) - k * book.ph("ph4.01", "", Celsius(t)).value().value, 1e-9);
        EXPECT_NEAR(book.redox("quinhydrone_ph7", "", Celsius(t)).value().value,
                    699.4 - 0.74 * (t - 25) - k * book.ph("ph7.00", "", Celsius(t)).value().value, 1e-9);
    }
}

// What the temperature does to a standard, against a difference of its own values.
TEST(ReferenceElectrode, ChangePerKelvinIsThatOfTheValues)
{
    constexpr double h = 0.01;
    for (const char* standard : {"zobell", "quinhydrone_ph4", "quinhydrone_ph7"})
        for (const double t : {12.0, 18.0, 27.0}) {
            const auto at = [&](double x) { return StandardsBook::shipped().redox(standard, "", Celsius(x)).value(); };
            EXPECT_NEAR(at(t).perKelvin, (at(t + h).value - at(t - h).value) / (2 * h), 1e-6) << standard << ' ' << t;
        }
}

TEST(ReferenceElectrode, ConversionGoesThereAndBack)
{
    for (const char* from : {"1M KCl", "3M KCl", "3.5M KCl", "sat KCl", "SCE", "SHE"})
        for (const char* to : {"1M KCl", "3M KCl", "3.5M KCl", "sat KCl", "SCE", "SHE"}) {
            const Millivolt there = convertReference(Millivolt(300), from, to, Celsius(22)).value();
            EXPECT_NEAR(convertReference(there, to, from, Celsius(22)).value().value(), 300.0, 1e-9);
        }
}

TEST(ReferenceElectrode, EachRowSaysWhereItIsFrom)
{
    EXPECT_NE(referencePotential("3M KCl", Celsius(25)).value().source.find("USGS A6.5"), std::string::npos);
    EXPECT_EQ(referencePotential("3M KCl", Celsius(25)).value().sourceClass, SourceClass::Standard);
    EXPECT_EQ(referencePotential("3M KCl", Celsius(20)).value().sourceClass, SourceClass::Memory);
    EXPECT_EQ(referencePotential("3M KCl", Celsius(5)).value().sourceClass, SourceClass::Computed);
    EXPECT_EQ(referencePotential("1M KCl", Celsius(25)).value().sourceClass, SourceClass::Computed);
}

TEST(ReferenceElectrode, RefusesWhatHasNoTable)
{
    EXPECT_EQ(referencePotential("differential", Celsius(25)).error().code, Errc::NotFound);
    EXPECT_EQ(referencePotential("brine", Celsius(25)).error().code, Errc::NotFound);
    EXPECT_EQ(referencePotential("3M KCl", Celsius(4.9)).error().code, Errc::OutsideTable);
    EXPECT_EQ(referencePotential("3M KCl", Celsius(40.1)).error().code, Errc::OutsideTable);
    EXPECT_EQ(expectedPotential(StandardsBook::shipped(), "ph7.00", "", "3M KCl", Celsius(25)).error().code, Errc::BadInput);
    EXPECT_EQ(silverChlorideStandardPotential(Celsius(96)).error().code, Errc::OutOfRange);
}

// The cubic against the measured table of 1954; 95 degC is marked doubtful there.
TEST(ReferenceElectrode, CubicMeetsTheMeasuredTable)
{
    for (double t = 0; t <= 90; t += 5) {
        const auto row = referencePotential("AgCl standard", Celsius(t));
        ASSERT_TRUE(row) << t;
        EXPECT_NEAR(silverChlorideStandardPotential(Celsius(t)).value().value(), row->e.value(), 0.26) << t;
    }
}

}  // namespace
}  // namespace halfcell::core
