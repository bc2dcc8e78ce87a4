#include "core/quantity/number.h"
#include "core/quantity/units.h"

#include <gtest/gtest.h>

#include <cmath>
#include <concepts>
#include <cstdlib>
#include <random>
#include <string>

namespace halfcell::core {
namespace {

template <class A, class B>
concept Adds = requires(A a, B b) { a + b; };

// Points do not add, differences do.
static_assert(!Adds<Celsius, Celsius> && !Adds<Ph, Ph> && Adds<Ph, PhDelta> && Adds<Millivolt, Millivolt>);
static_assert(!Adds<Millivolt, Percent> && !std::convertible_to<double, Millivolt> && !std::convertible_to<Millivolt, double>);

TEST(Number, ReadsSignsAndRefusesTheRest)
{
    EXPECT_DOUBLE_EQ(*parseNumber("-176"), -176.0);
    EXPECT_DOUBLE_EQ(*parseNumber("+3.5"), 3.5);
    EXPECT_DOUBLE_EQ(*parseNumber(" 25 "), 25.0);
    EXPECT_DOUBLE_EQ(*parseNumber("\xE2\x88\x92" "13"), -13.0);
    EXPECT_DOUBLE_EQ(*parseNumber(".5"), 0.5);
    for (const char* text : {"", " ", "+-171", "--1", "12 mV", "1,5", "1.2.3", "abc", "nan", "inf", "1e999", "0x10", "-", "1e", "5\xC2\xB0" "C"}) {
        const auto number = parseNumber(text);
        ASSERT_FALSE(number.has_value()) << text;
        EXPECT_FALSE(number.error().remedy.empty()) << text;
    }
}

// The C library reads the same text to the same double (strtod rounds correctly), whatever its length and its point.
TEST(Number, IsTheNearestDouble)
{
    std::mt19937 random(7);
    for (int i = 0; i < 200'000; ++i) {
        std::string text(random() % 2 == 0 ? "" : "-");
        const std::size_t digits = 1 + random() % 18;
        const std::size_t point = random() % (2 * digits);
        for (std::size_t d = 0; d < digits; ++d) {
            if (d == point)
                text += '.';
            text += static_cast<char>('0' + random() % 10);
        }
        const auto number = parseNumber(text);
        ASSERT_TRUE(number.has_value()) << text;
        ASSERT_EQ(*number, std::strtod(text.c_str(), nullptr)) << text;
    }
    EXPECT_TRUE(std::signbit(*parseNumber("-0")));
    EXPECT_EQ(*parseNumber("5."), 5.0);
    for (const char* text : {".", "-.", "-", "1..2", "1-2", "1.-2"})
        EXPECT_FALSE(parseNumber(text).has_value()) << text;
}

TEST(Number, NamesTheUnitThatStandsInTheCell)
{
    EXPECT_NE(parseNumber("12 mV").error().detail.find("mV"), std::string::npos);
    EXPECT_NE(parseNumber("1,5").error().remedy.find("point"), std::string::npos);
    EXPECT_NE(parseNumber("+-171").error().remedy.find("once"), std::string::npos);
}

TEST(Number, ShortestTextReadsBackTheSame)
{
    for (const double value : {0.1, 98.5, -3.0, 1.0 / 3.0, 1e-5, 6.02e23, 177.478049, -0.0}) {
        EXPECT_EQ(*parseNumber(formatNumber(value)), value);
    }
    EXPECT_EQ(formatNumber(98.5), "98.5");
    EXPECT_EQ(formatNumber(-0.0), "0");
}

TEST(Number, FixedTextHasNoNegativeZeroAndWritesSigns)
{
    EXPECT_EQ(formatFixed(-0.04, 1), "0.0");
    EXPECT_EQ(formatFixed(-0.06, 1), "-0.1");
    EXPECT_EQ(formatSigned(4.0, 1), "+4.0");
    EXPECT_EQ(formatSigned(0.0, 1), "0.0");
    EXPECT_EQ(formatSigned(-11.94, 1), "-11.9");
}

TEST(Units, DifferencesAndProducts)
{
    using namespace literals;
    EXPECT_DOUBLE_EQ((MillivoltPerPh(59.0) * (10.0_pH - 7.0_pH)).value(), 177.0);
    EXPECT_DOUBLE_EQ((160.0_mV / (7.0_pH - 4.0_pH)).value(), 160.0 / 3.0);
    EXPECT_DOUBLE_EQ((25.0_degC).kelvin(), 298.15);
    EXPECT_DOUBLE_EQ(Percent::fromFraction(0.902).value(), 90.2);
    EXPECT_LT(1.0_mV, 2.0_mV);
}

}  // namespace
}  // namespace halfcell::core
