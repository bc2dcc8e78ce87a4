#include "core/review/spares.h"

#include "core/upkeep/risk.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

namespace halfcell::core {
namespace {

/// Decision notes section 8: lead time 42 d, review 7 d, sudden failure 0.125 a year.
std::vector<double> workedChances()
{
    const std::pair<double, double> lives[] = {{60, .5}, {90, .5}, {45, .4}, {120, .6}, {200, .6}, {75, .5}, {300, .6}, {30, .5}};
    std::vector<double> p;
    for (const auto& [median, sigma] : lives)
        p.push_back(OutRisk::ofLife({median, sigma}, 0.0, 0.125 / 365.25).at(49.0));
    return p;
}

TEST(Spares, WorkedExample)
{
    const auto p = workedChances();
    const double expected[] = {.3537, .1268, .5912, .0832, .0260, .2106, .0179, .8395};
    for (std::size_t i = 0; i < p.size(); ++i)
        EXPECT_NEAR(p[i], expected[i], 5e-5);
    EXPECT_NEAR(std::accumulate(p.begin(), p.end(), 0.0), 2.2489, 5e-5);
    const auto pmf = poissonBinomial(p);
    ASSERT_TRUE(pmf);
    const double chances[] = {.0256, .1992, .3915, .2822, .0880, .0126, .0008};
    for (std::size_t k = 0; k < 7; ++k)
        EXPECT_NEAR((*pmf)[k], chances[k], 5e-5);
    const auto level = [&](std::size_t s) { return serviceLevel(*pmf, std::vector<double>(s, 0.015)); };
    const auto missing = [&](std::size_t s) { return expectedShort(*pmf, std::vector<double>(s, 0.015)); };
    EXPECT_NEAR(level(3), .8858, 5e-5);
    EXPECT_NEAR(level(4), .9810, 5e-5);
    EXPECT_NEAR(level(5), .9980, 5e-5);
    EXPECT_NEAR(missing(3), .1333, 5e-5);
    EXPECT_NEAR(missing(4), .0208, 5e-5);
    EXPECT_NEAR(missing(5), .0021, 5e-5);
    EXPECT_EQ(sparesToHold(*pmf, 0.98, {}, 0.015), 4);
    EXPECT_NEAR(4.0 / (2.2489 / 49.0), 87.0, 0.5);
}

TEST(Spares, EqualChancesGiveTheBinomial)
{
    const std::vector<double> p(9, 0.3);
    const auto pmf = poissonBinomial(p);
    ASSERT_TRUE(pmf);
    double choose = 1.0, sum = 0.0;
    for (std::size_t k = 0; k <= 9; ++k) {
        EXPECT_NEAR((*pmf)[k], choose * std::pow(0.3, static_cast<double>(k)) * std::pow(0.7, 9.0 - static_cast<double>(k)), 1e-14);
        sum += (*pmf)[k];
        choose = choose * (9.0 - static_cast<double>(k)) / (static_cast<double>(k) + 1.0);
    }
    EXPECT_NEAR(sum, 1.0, 1e-14);
}

TEST(Spares, MoreCareMoreSensorsOrALongerLeadNeverAskForFewer)
{
    int before = 0;
    for (const double level : {0.5, 0.9, 0.95, 0.98, 0.999}) {
        const auto s = sparesToHold(*poissonBinomial(workedChances()), level, {}, 0.015);
        ASSERT_TRUE(s);
        EXPECT_GE(*s, before);
        before = *s;
    }
    before = 0;
    std::vector<double> p;
    for (int i = 0; i < 20; ++i) {
        p.push_back(0.07 * (1 + i % 4));
        const auto s = sparesToHold(*poissonBinomial(p), 0.95, {}, 0.015);
        ASSERT_TRUE(s);
        EXPECT_GE(*s, before);
        before = *s;
    }
    before = 0;
    for (const double days : {7.0, 28.0, 70.0, 140.0}) {
        std::vector<double> chances;
        for (int i = 0; i < 6; ++i)
            chances.push_back(OutRisk::ofLife({100.0, 0.5}, 20.0 * i, 0.0003).at(days));
        const auto s = sparesToHold(*poissonBinomial(chances), 0.95, {}, 0.015);
        ASSERT_TRUE(s);
        EXPECT_GE(*s, before);
        before = *s;
    }
}

TEST(Spares, AtLeastOneAndOldOnesCountForLess)
{
    EXPECT_EQ(sparesToHold(*poissonBinomial(std::vector<double>{0.001}), 0.9, {}, 0.015), 1);
    const auto pmf = *poissonBinomial(workedChances());
    const std::vector<double> old(4, 0.05);
    EXPECT_LT(serviceLevel(pmf, old), serviceLevel(pmf, std::vector<double>(4, 0.015)));
    EXPECT_GE(*sparesToHold(pmf, 0.98, old, 0.015), 5);
}

TEST(Spares, RefusesWhatIsNoChance)
{
    EXPECT_EQ(poissonBinomial(std::vector<double>{0.2, 1.2}).error().code, Errc::BadInput);
    EXPECT_EQ(poissonBinomial(std::vector<double>{-0.1}).error().code, Errc::BadInput);
    EXPECT_EQ((*poissonBinomial({}))[0], 1.0);
    EXPECT_EQ(sparesToHold(std::vector<double>{1.0}, 1.0, {}, 0.015).error().code, Errc::BadInput);
}

}  // namespace
}  // namespace halfcell::core
