#include "core/simulator/generator.h"

#include "core/simulator/calendar.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace halfcell::core::simulation {
namespace {

// The first outputs of the published demonstration program of PCG32 (M. E. O'Neill 2014), seed 42, stream 54; known from
// memory.
TEST(Generator, GivesThePublishedSequence)
{
    Generator random(42, 54);
    constexpr std::array<std::uint32_t, 6> expected{0xa15c02b7U, 0x7b47f409U, 0xba1d3330U, 0x83d2f293U, 0xbfa4784bU, 0xcbed606eU};
    for (const std::uint32_t value : expected)
        EXPECT_EQ(random.next(), value);
}

TEST(Generator, StreamsDiffer)
{
    Generator a(7, 1), b(7, 2);
    int same = 0;
    for (int i = 0; i < 1000; ++i)
        same += a.next() == b.next() ? 1 : 0;
    EXPECT_LT(same, 3);
}

TEST(Generator, UniformStaysInsideAndFillsTheRange)
{
    Generator random(1, 1);
    std::array<int, 10> bins{};
    for (int i = 0; i < 100000; ++i) {
        const double u = random.uniform();
        ASSERT_GE(u, 0.0);
        ASSERT_LT(u, 1.0);
        ++bins[static_cast<std::size_t>(u * 10.0)];
    }
    for (const int n : bins)
        EXPECT_NEAR(n, 10000, 5 * 95);  // five binomial standard deviations
}

TEST(Generator, BelowNeverReachesItsBound)
{
    Generator random(3, 9);
    std::array<int, 7> bins{};
    for (int i = 0; i < 70000; ++i)
        ++bins[static_cast<std::size_t>(random.below(7))];
    for (const int n : bins)
        EXPECT_NEAR(n, 10000, 5 * 93);
}

TEST(Generator, NormalHasItsMoments)
{
    Generator random(5, 5);
    double sum = 0, square = 0, fourth = 0;
    const int n = 200000;
    for (int i = 0; i < n; ++i) {
        const double z = random.normal(0.0, 1.0);
        sum += z;
        square += z * z;
        fourth += z * z * z * z;
    }
    EXPECT_NEAR(sum / n, 0.0, 5.0 / std::sqrt(n));
    EXPECT_NEAR(square / n, 1.0, 5.0 * std::sqrt(2.0 / n));
    EXPECT_NEAR(fourth / n, 3.0, 5.0 * std::sqrt(96.0 / n));
}

TEST(Generator, LognormalHasMedianOne)
{
    Generator random(6, 5);
    int below = 0;
    for (int i = 0; i < 40000; ++i)
        below += random.lognormal(0.45) < 1.0 ? 1 : 0;
    EXPECT_NEAR(below, 20000, 500);
}

// The library's own functions are good to about one unit in the last digit: an independent route.
TEST(FixedMath, AgreesWithTheLibrary)
{
    for (double x = -40.0; x <= 40.0; x += 0.0137) {
        EXPECT_NEAR(fixedExp(x) / std::exp(x), 1.0, 2e-14) << x;
        EXPECT_NEAR(fixedPow2(x) / std::exp2(x), 1.0, 2e-14) << x;
    }
    for (double x = 1e-12; x < 1e12; x *= 1.37) {
        EXPECT_NEAR(fixedLog(x), std::log(x), 2e-15 * std::max(1.0, std::abs(std::log(x)))) << x;
        EXPECT_NEAR(fixedLog10(x), std::log10(x), 2e-15 * std::max(1.0, std::abs(std::log10(x)))) << x;
    }
    for (double p = -1.0; p <= 2.0; p += 0.003)
        EXPECT_NEAR(yearWave(p), std::cos(2.0 * 3.14159265358979 * p), 0.002) << p;
}

TEST(FixedMath, EdgesStayFinite)
{
    EXPECT_EQ(fixedExp(-1e9), 0.0);
    EXPECT_TRUE(std::isfinite(fixedExp(1e9)));
    EXPECT_TRUE(std::isfinite(fixedLog(0.0)));
    EXPECT_EQ(fixedExp(0.0), 1.0);
    EXPECT_EQ(fixedLog(1.0), 0.0);
}

TEST(FixedMath, RoundsToTheShortestDecimal)
{
    EXPECT_EQ(roundTo(0.15000001, 0.1), 0.2);
    EXPECT_EQ(roundTo(-2.5, 1.0), -3.0);
    EXPECT_EQ(roundTo(17.26, 0.1), 17.3);
    EXPECT_EQ(roundTo(7.004, 0.01), 7.0);
    EXPECT_EQ(roundTo(63.0, 5.0), 65.0);
    EXPECT_FALSE(std::signbit(roundTo(-0.2, 1.0)));
}

TEST(Calendar, SummerTimeBeginsAndEndsOnTheLastSundays)
{
    const auto day = [](const char* text) { return dayNumber(*parseInstant(text)); };
    EXPECT_EQ(offsetOn(day("2025-03-29")), 0);
    EXPECT_EQ(offsetOn(day("2025-03-30")), 60);
    EXPECT_EQ(offsetOn(day("2025-10-25")), 60);
    EXPECT_EQ(offsetOn(day("2025-10-26")), 0);
    EXPECT_EQ(formatInstant(localTime(day("2025-07-01"), 8, 12)), "2025-07-01T08:12:00+01:00");
    EXPECT_EQ(formatInstant(localTime(day("2026-03-02"), 8, 12)), "2026-03-02T08:12:00Z");
}

TEST(Calendar, SeasonIsWarmestInJuly)
{
    const auto day = [](const char* text) { return dayNumber(*parseInstant(text)); };
    EXPECT_GT(seasonOf(day("2025-07-20")), 0.99);
    EXPECT_LT(seasonOf(day("2025-01-18")), -0.99);
}

}  // namespace
}  // namespace halfcell::core::simulation
