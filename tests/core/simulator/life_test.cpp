#include "core/simulator/observe.h"
#include "core/simulator/state.h"
#include "core/simulator/treatment.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

/// Technical lives of sealed double-junction gel bulbs, calibrated with a wait of 120 s and retired on two successive
/// calibrations after cleaning with efficiency below 85 %, offset beyond 60 mV, t90 above 180 s or reference above
/// 100 kOhm. The medians were computed with an independent program of the same model (common-practice parameters, none
/// fitted to field data): 2000 probes each.
namespace halfcell::core::simulation {
namespace {

struct Life {
    double months = 0;
    std::string cause;
};

/// Efficiency and offset from pH 7 and pH 4 with bottle, reading and settling errors.
struct Reading2 {
    double efficiency, offset;
};

Reading2 calibrate(const State& s, const Traits& t, const ModelSpec& model, const Surroundings& at, Generator& random)
{
    const double k = idealSlope(20.0);
    const double slope = trueEfficiency(s, t, model) / 100.0;
    const double zero = trueOffset(s, t, model, at);
    const double e7 = zero + random.normal(0.0, 0.012) * k + random.normal(0.0, 0.4);
    double e4 = zero + 3.0 * k * slope + random.normal(0.0, 0.012) * k + random.normal(0.0, 0.4);
    e4 -= (e4 - e7) * fixedExp(-2.303 * 120.0 / trueResponse(s, t, model, 20.0));
    return {100.0 * (e4 - e7) / (3.0 * k), e7};
}

Life live(const Application& application, Generator& random)
{
    const ModelSpec& model = modelSpecs()[modelIndex("K7")];
    const Traits traits = newTraits(model, 1.0, 0.0, random);
    Surroundings at;
    at.rates = ratesFor(application, model.reference, model.sensing, application.temp_degc, false, false);
    at.processTemp = application.temp_degc;
    at.siteAge = random.lognormal(0.20);
    at.siteFilm = random.lognormal(0.25);
    State s;
    double sinceClean = 0, sinceCalibration = 0;
    int bad = 0;
    for (int week = 1; week <= 520; ++week) {
        evolve(s, traits, model, at, 1.0, random);
        const double u = random.uniform();
        if (u < at.rates.breakagePerYear / 52.0)
            return {week / kWeeksPerMonth, "broken"};
        if (u < (at.rates.breakagePerYear + 0.045) / 52.0)
            return {week / kWeeksPerMonth, "cable"};
        sinceClean += 1.0;
        sinceCalibration += 1.0;
        if (sinceClean >= application.clean_weeks || sinceCalibration >= application.calibrate_weeks) {
            cleanWith(s, model, ActionKey::CleanDetergent, true, random);
            sinceClean = 0.0;
        }
        if (sinceCalibration < application.calibrate_weeks)
            continue;
        sinceCalibration = 0.0;
        const Reading2 seen = calibrate(s, traits, model, at, random);
        const bool offsetOut = std::abs(seen.offset) > 60.0;
        const bool out = seen.efficiency < 85.0 || offsetOut || trueResponse(s, traits, model, 25.0) > 180.0 || referenceResistance(s, traits) > 100.0;
        bad = out ? bad + 1 : 0;
        if (bad >= 2)
            return {week / kWeeksPerMonth, offsetOut ? (s.poison > 0.9 ? "poisoned" : "depleted") : "glass"};
    }
    return {520 / kWeeksPerMonth, "in service"};
}

struct Summary {
    double median = 0;
    std::map<std::string, int> causes;
};

Summary summarise(std::string_view application)
{
    Generator random(20240101, 3);
    std::vector<double> months;
    Summary summary;
    for (int i = 0; i < 1000; ++i) {
        const Life life = live(applicationOf(application), random);
        months.push_back(life.months);
        ++summary.causes[life.cause];
    }
    std::ranges::sort(months);
    summary.median = months[months.size() / 2];
    return summary;
}

class MedianLife : public testing::TestWithParam<std::pair<std::string_view, double>> {};

TEST_P(MedianLife, LiesNearTheIndependentProgram)
{
    const auto [application, months] = GetParam();
    const double median = summarise(application).median;
    EXPECT_GT(median, 0.75 * months);
    EXPECT_LT(median, 1.33 * months);
}

INSTANTIATE_TEST_SUITE_P(Applications, MedianLife,
                         testing::Values(std::pair{std::string_view("drinking_water"), 31.0}, std::pair{std::string_view("wastewater"), 25.0},
                                         std::pair{std::string_view("caustic"), 7.4}, std::pair{std::string_view("pool"), 24.0},
                                         std::pair{std::string_view("plating"), 8.7}, std::pair{std::string_view("scrubber"), 4.1}));

TEST(LifeCauses, FollowTheProcess)
{
    EXPECT_GT(summarise("plating").causes["poisoned"], 500);
    EXPECT_GT(summarise("caustic").causes["glass"], 600);
    const Summary water = summarise("drinking_water");
    EXPECT_GT(water.causes.at("depleted"), 250);
    EXPECT_FALSE(water.causes.contains("poisoned"));
}

TEST(Ageing, SlopeFallsSlowlyThenFaster)
{
    Traits t;
    const ModelSpec& model = modelSpecs()[modelIndex("K7")];
    const auto at = [&](double age) {
        State s;
        s.age = age;
        return trueEfficiency(s, t, model) - t.slope0;
    };
    // a: 0.25 -0.9, 0.5 -2.6, 0.75 -6.0, 1.0 -12 %
    EXPECT_NEAR(at(0.25), -0.9, 0.05);
    EXPECT_NEAR(at(0.5), -2.6, 0.05);
    EXPECT_NEAR(at(0.75), -6.05, 0.05);
    EXPECT_NEAR(at(1.0), -12.0, 0.05);
}

TEST(Ageing, ResponseGrowsWithFilmAgeAndCold)
{
    Traits t;
    const ModelSpec& model = modelSpecs()[modelIndex("K7")];
    State clean, filmed, old;
    filmed.film = 1.0;
    old.age = 1.0;
    const double fresh = trueResponse(clean, t, model, 25.0);
    EXPECT_NEAR(fresh, 15.0, 1e-9);
    EXPECT_NEAR(trueResponse(filmed, t, model, 25.0) / fresh, 20.0, 0.2);
    EXPECT_NEAR(trueResponse(old, t, model, 25.0) / fresh, 6.7, 0.1);
    EXPECT_NEAR(trueResponse(clean, t, model, 10.0) / fresh, 2.0, 1e-9);
}

TEST(Ageing, DilutionPullsTheOffsetDownAndPoisonUp)
{
    Traits t;
    const ModelSpec& model = modelSpecs()[modelIndex("K7")];
    const Surroundings at;
    State half, spent;
    half.chloride = 0.5;
    EXPECT_NEAR(trueOffset(half, t, model, at), -17.8, 0.1);  // 50 % of the chloride lost: -18 mV
    spent.poison = 1.5;
    EXPECT_NEAR(trueOffset(spent, t, model, at), 150.0, 0.5);
}

TEST(Ageing, AUsedUpCellFollowsTheProcess)
{
    Traits t;
    const ModelSpec& model = modelSpecs()[modelIndex("M2")];
    Surroundings acid, alkali;
    acid.processPh = 3.0;
    alkali.processPh = 10.0;
    State s;
    s.chloride = 0.9;
    EXPECT_LT(trueOffset(s, t, model, acid), -20.0);
    EXPECT_GT(trueOffset(s, t, model, alkali), 20.0);
    EXPECT_NEAR(trueEfficiency(s, t, model) / t.slope0, 1.0 - 0.25 * 0.81, 1e-9);
}

TEST(Treatment, RightCleanerTakesMostOfTheFilm)
{
    Generator random(9, 1);
    const ModelSpec& model = modelSpecs()[modelIndex("K7")];
    for (int i = 0; i < 200; ++i) {
        State right, wrong;
        right.film = wrong.film = 1.0;
        cleanWith(right, model, ActionKey::CleanAcid, true, random);
        cleanWith(wrong, model, ActionKey::CleanDetergent, false, random);
        EXPECT_LE(right.film, 0.25);
        EXPECT_GE(right.film, 0.05);
        EXPECT_GE(wrong.film, 0.5);
    }
}

TEST(Treatment, GlassIsRegeneratedTwiceAtMost)
{
    Generator random(9, 2);
    State s;
    s.age = 0.9;
    regenerate(s, random);
    regenerate(s, random);
    const double twice = s.age;
    regenerate(s, random);
    EXPECT_EQ(s.age, twice);
    EXPECT_LT(twice, 0.9);
    EXPECT_NEAR(s.ageing, 1.25 * 1.25, 1e-12);
}

TEST(Treatment, BridgeRenewsTheReferenceOfADifferentialSensor)
{
    Generator random(9, 3);
    State s;
    s.chloride = 0.9;
    s.poison = 0.8;
    s.clog = 3.0;
    renewBridge(s, random);
    EXPECT_EQ(s.chloride, 0.0);
    EXPECT_LE(s.poison, 0.1);
    EXPECT_LE(s.clog, 0.05);
}

}  // namespace
}  // namespace halfcell::core::simulation
