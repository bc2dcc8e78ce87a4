#include "plant_of_tests.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>

namespace halfcell::core {
namespace {

TEST(DemoPlantScale, FourHundredSensorsOverFiveYears)
{
    SimulationSettings large = demoSettings(3);
    large.sensors = 400;
    large.years = 5.0;
    const auto before = std::chrono::steady_clock::now();
    const SimulatedPlant big = simulatePlant(large);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - before;
    const auto here = std::ranges::count_if(big.records.placements, [](const Placement& row) { return !row.to && row.place != kScrap; });
    EXPECT_EQ(here, 400);
    EXPECT_EQ(big.records.points.size(), 300U);
    EXPECT_GT(big.records.visits.size(), 20000U);
#ifdef __OPTIMIZE__
    EXPECT_LT(took.count(), 10.0);
#else
    EXPECT_LT(took.count(), 120.0);
#endif
}

}  // namespace
}  // namespace halfcell::core
