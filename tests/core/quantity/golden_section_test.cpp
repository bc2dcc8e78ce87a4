#include "core/quantity/golden_section.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace halfcell::core {
namespace {

TEST(GoldenSection, FindsTheTopOfAHill)
{
    EXPECT_NEAR(goldenSectionMaximum([](double x) { return -(x - 0.3) * (x - 0.3); }, -2.0, 5.0, 1e-9), 0.3, 1e-7);
    EXPECT_NEAR(goldenSectionMaximum([](double x) { return std::sin(x); }, 0.0, std::numbers::pi, 1e-9), std::numbers::pi / 2, 1e-7);
    EXPECT_NEAR(goldenSectionMaximum([](double x) { return -std::fabs(x - 1.25); }, 0.0, 3.0, 1e-12), 1.25, 1e-12);
}

TEST(GoldenSection, GoesToAnEndWhereTheTopLiesThere)
{
    EXPECT_NEAR(goldenSectionMaximum([](double x) { return x; }, 0.0, 1.0, 1e-9), 1.0, 1e-8);
    EXPECT_NEAR(goldenSectionMaximum([](double x) { return -x; }, 0.0, 1.0, 1e-9), 0.0, 1e-8);
}

// One value a step: the bracket shrinks by 0.618 each time.
TEST(GoldenSection, AsksForOneValueAStep)
{
    int asked = 0;
    (void)goldenSectionMaximum(
        [&](double x) {
            ++asked;
            return -x * x;
        },
        -1.0, 1.0, 1e-6);
    EXPECT_EQ(asked, 2 + static_cast<int>(std::ceil(std::log(1e-6 / 2.0) / std::log(0.6180339887498949))));
}

}  // namespace
}  // namespace halfcell::core
