#include "tests/core/calibration/visit_of_tests.h"
#include "tests/support/golden.h"

#include <gtest/gtest.h>

#include <cmath>
#include <iostream>
#include <map>

// One ORP sensor, a few mV off, against each filling of its reference: the figures find the same offset and the same potential on the
// hydrogen scale. Rows of orp_standards.csv of the series shipped (USGS A6.5, ASTM D1498, Nordstrom 1977, quinhydrone), within 3 mV.
namespace halfcell::core {
namespace {

TEST(OrpFillings, TheSameSensorHasTheSameOffsetAgainstEveryFilling)
{
    constexpr double kOwn = 6.0, kTolerance = 3.0;
    const std::map<std::string, std::string> fills{
        {"AgAgCl_1M", "1M KCl"}, {"AgAgCl_3M", "3M KCl"}, {"AgAgCl_3.5M", "3.5M KCl"}, {"AgAgCl_sat", "sat KCl"}};
    std::map<std::string, int> compared;
    double worst = 0.0;
    for (const auto& row : test::readCsv(std::string(HALFCELL_TEST_DATA) + "/reference/orp_standards.csv")) {
        const std::string& source = row.at("source_id");
        const auto fill = fills.find(row.at("reference_electrode_key"));
        if (fill == fills.end() || row.at("note").find("DOUBTFUL") != std::string::npos ||
            (source != "USGS_A65" && source != "ASTM_D1498" && source != "NORDSTROM1977" && source != "QUINHYDRONE_E0"))
            continue;
        const std::string& solution = row.at("solution");
        const char* standard = solution == "ZoBell" ? "zobell" : solution == "Light" ? "light" : nullptr;
        if (standard == nullptr)
            continue;
        const double temp = std::stod(row.at("temperature_degC")), printed = std::stod(row.at("potential_mV"));
        const auto f = test::orpFigures(fill->second.c_str(), {{standard, printed + kOwn, temp}});
        ASSERT_TRUE(f.offset_mv) << solution << ' ' << fill->second << ' ' << temp;
        EXPECT_NEAR(*f.offset_mv, kOwn, kTolerance) << solution << ' ' << fill->second << ' ' << temp;
        worst = std::max(worst, std::fabs(*f.offset_mv - kOwn));
        ++compared[fill->second];
        // On the hydrogen scale the filling is gone: what is left is the standard's own potential.
        const double hydrogen = StandardsBook::shipped().redox(standard, "", Celsius(temp)).value().value;
        ASSERT_TRUE(f.used.front().hydrogen_mv);
        EXPECT_NEAR(*f.used.front().hydrogen_mv, hydrogen + kOwn, kTolerance) << solution << ' ' << fill->second << ' ' << temp;
    }
    int rows = 0;
    for (const auto& [fill, n] : compared)
        rows += n;
    std::cout << rows << " rows, " << compared.size() << " fillings: greatest difference " << worst << " mV\n";
    EXPECT_GE(compared.size(), 3U);
    for (const char* fill : {"3M KCl", "3.5M KCl", "sat KCl"})
        EXPECT_GE(compared[fill], 2) << fill;
}

}  // namespace
}  // namespace halfcell::core
