#include "tests/core/diagnosis/example.h"

#include <gtest/gtest.h>

#include <cmath>

/// The worked example to its printed digits: one unit of the last digit as tolerance.
namespace halfcell::core::diagnosis::test {

namespace {

/// Sealed: no refill, no bridge.
std::vector<bool> curesAllowed()
{
    std::vector<bool> allowed;
    for (const auto& cure : ph().advice.cures)
        allowed.push_back(cure.key != "refill" && cure.key != "replace_bridge");
    return allowed;
}

double costOf(const std::vector<CureCost>& costs, std::string_view key)
{
    for (const auto& c : costs)
        if (ph().advice.cures[c.cure].key == key)
            return c.cost;
    return NAN;
}

const TestWorth& testOf(const std::vector<TestWorth>& tests, std::string_view key)
{
    for (const auto& t : tests)
        if (ph().network.observables[t.observable].key == key)
            return t;
    throw std::runtime_error("no such test");
}

std::vector<TestWorth> exampleTests()
{
    return testsOf(ph().network, ph().advice, exampleWeighing(), exampleSeen(), Stakes{}, curesAllowed(),
                   std::vector<bool>(ph().network.observables.size(), true));
}

}  // namespace

TEST(DiagnosisExample, PriorByApplicationDesignAndAge)
{
    const auto w = exampleWeighing();
    EXPECT_NEAR(w.prior[cause("healthy")], 0.6050, 1e-4);
    EXPECT_NEAR(w.prior[cause("film")], 0.1210, 1e-4);
    EXPECT_NEAR(w.prior[cause("read_too_soon")], 0.0504, 1e-4);
    EXPECT_NEAR(w.prior[cause("junction_clogged")], 0.0353, 1e-4);
    EXPECT_NEAR(w.prior[cause("glass_aged")], 0.0224, 1e-4);
    EXPECT_EQ(w.prior[cause("cell_contaminated")], 0.0) << "no buffered cell in this design";
}

TEST(DiagnosisExample, ScoresAndPosterior)
{
    const auto w = exampleWeighing();
    EXPECT_NEAR(w.score[cause("read_too_soon")], -8.371, 1e-3);
    EXPECT_NEAR(w.score[cause("film")], -8.779, 1e-3);
    EXPECT_NEAR(w.score[cause("healthy")], -9.586, 1e-3);
    EXPECT_NEAR(w.score[cause("junction_clogged")], -9.701, 1e-3);
    EXPECT_NEAR(w.score[cause("glass_aged")], -10.953, 1e-3);
    EXPECT_NEAR(w.probability[cause("read_too_soon")], 0.3853, 1e-4);
    EXPECT_NEAR(w.probability[cause("film")], 0.2562, 1e-4);
    EXPECT_NEAR(w.probability[cause("healthy")], 0.1143, 1e-4);
    EXPECT_NEAR(w.probability[cause("junction_clogged")], 0.1019, 1e-4);
    EXPECT_NEAR(w.probability[cause("glass_aged")], 0.0291, 1e-4);
    EXPECT_NEAR(w.probability[cause("temperature_ignored")], 0.0267, 1e-4);
    EXPECT_NEAR(w.probability[cause("temperature_element")], 0.0204, 1e-4);
    EXPECT_NEAR(w.probability[cause("stale_standard")], 0.0182, 1e-4);
    EXPECT_NEAR(w.entropyBits, 2.572, 1e-3);
    EXPECT_EQ(w.ranked().front(), cause("read_too_soon"));
}

TEST(DiagnosisExample, ReadingsOfAGroupShareTheirWeight)
{
    const auto w = exampleWeighing();
    const auto& n = ph().network;
    for (const char* shared : {"off", "trd", "t90", "wait"})
        EXPECT_DOUBLE_EQ(w.weight[n.observable(shared).value()], 1.0 / 1.3) << shared;
    for (const char* alone : {"eff", "coat", "grab", "dry"})
        EXPECT_DOUBLE_EQ(w.weight[n.observable(alone).value()], 1.0) << alone;
    EXPECT_EQ(w.weight[n.observable("rg").value()], 0.0);
}

TEST(DiagnosisExample, CostsOfTheCures)
{
    const auto costs = costsOf(ph().network, ph().advice, exampleWeighing().probability, Stakes{}, curesAllowed());
    EXPECT_NEAR(costOf(costs, "recheck"), 85.06, 0.01);
    EXPECT_NEAR(costOf(costs, "clean"), 98.98, 0.01);
    EXPECT_NEAR(costOf(costs, "rehydrate"), 112.08, 0.01);
    EXPECT_NEAR(costOf(costs, "clear_junction"), 119.64, 0.01);
    EXPECT_NEAR(costOf(costs, "leave"), 123.16, 0.01);
    EXPECT_NEAR(costOf(costs, "regenerate_glass"), 146.68, 0.01);
    EXPECT_NEAR(costOf(costs, "check_wiring"), 153.22, 0.01);
    EXPECT_NEAR(costOf(costs, "replace"), 301.36, 0.01);
    EXPECT_EQ(ph().advice.cures[costs.front().cure].key, "recheck");
    EXPECT_TRUE(std::isnan(costOf(costs, "refill"))) << "a sealed sensor is not offered a refill";
    EXPECT_NEAR(costs.front().gain, 123.16 - 85.06, 0.02);
}

TEST(DiagnosisExample, TheTestWorthItsMinutes)
{
    const auto tests = exampleTests();
    const auto& n = ph().network;
    EXPECT_EQ(n.observables[tests.front().observable].key, "stir");
    const auto& stir = testOf(tests, "stir");
    EXPECT_NEAR(stir.bits, 0.1297, 1e-4);
    EXPECT_NEAR(stir.worth, 6.85, 0.01);
    EXPECT_NEAR(stir.net, 3.85, 0.01);
    const auto& large = stir.outcomes[1];
    EXPECT_NEAR(large.probability, 0.189, 1e-3);
    EXPECT_EQ(large.leading, cause("film"));
    EXPECT_NEAR(large.leadingProbability, 0.366, 1e-3);
    EXPECT_EQ(ph().advice.cures[large.cure].key, "clean");
    const auto& rref = testOf(tests, "rref");
    EXPECT_NEAR(rref.bits, 0.2505, 1e-4);
    EXPECT_NEAR(rref.worth, 5.23, 0.01);
    EXPECT_NEAR(rref.net, 1.23, 0.01);
    EXPECT_NEAR(rref.outcomes[1].probability, 0.134, 1e-3);
    EXPECT_EQ(rref.outcomes[1].leading, cause("junction_clogged"));
    EXPECT_NEAR(rref.outcomes[1].leadingProbability, 0.563, 1e-3);
    EXPECT_NEAR(testOf(tests, "dil").worth, 4.07, 0.01);
    EXPECT_NEAR(testOf(tests, "noise").worth, 0.97, 0.01);
    const auto& thermo = testOf(tests, "thermo");
    EXPECT_NEAR(thermo.bits / 2.0, 0.0717, 1e-4);
    EXPECT_NEAR(thermo.worth, 0.0, 0.01);
}

TEST(DiagnosisExample, AFilmThatLooksSmeared)
{
    // Film kinds of wastewater, and how often each looks smeared: 35 * 80 : 20 * 10 : 30 * 5 : 15 * 5, in grease, protein, biofilm, scale.
    const auto& rules = RuleSet::shipped();
    double sum = 0.0, grease = 0.0, protein = 0.0, biofilm = 0.0, scale = 0.0;
    const auto of = [&](const char* kind) {
        return rules.number(std::string("film.wastewater.") + kind).value * rules.number(std::string("film_look.") + kind + ".smear").value;
    };
    grease = of("grease"), protein = of("protein"), biofilm = of("biofilm"), scale = of("scale");
    sum = grease + protein + biofilm + scale;
    EXPECT_NEAR(grease / sum, 0.868, 1e-3);
    EXPECT_NEAR(protein / sum, 0.062, 1e-3);
    EXPECT_NEAR(biofilm / sum, 0.047, 1e-3);
    EXPECT_NEAR(scale / sum, 0.023, 1e-3);
}

TEST(DiagnosisNetwork, ImpossibleCausesStayImpossibleAndNothingSeenIsThePrior)
{
    auto setting = exampleSetting();
    setting.sensing = Sensing::Isfet;
    const auto prior = priorOf(ph().network, RuleSet::shipped().diagnosisTables().prior, setting);
    const auto w = weigh(ph().network, prior, bandsOf({{"eff", 1}, {"rg", 0}}));
    EXPECT_EQ(w.probability[cause("glass_broken")], 0.0);
    EXPECT_EQ(w.probability[cause("bridge_exhausted")], 0.0);
    const auto blank = weigh(ph().network, prior, Bands(ph().network.observables.size()));
    for (std::size_t m = 0; m < prior.size(); ++m)
        EXPECT_NEAR(blank.probability[m], blank.prior[m], 1e-12);
}

TEST(DiagnosisNetwork, ConfirmedCausesPullThePriorTowardsThem)
{
    auto setting = exampleSetting();
    const auto& tables = RuleSet::shipped().diagnosisTables().prior;
    const auto shipped = priorOf(ph().network, tables, setting);
    Confirmed confirmed{{{"healthy", 40.0}, {"film", 60.0}}};
    setting.confirmed = &confirmed;
    const auto learnt = priorOf(ph().network, tables, setting);
    EXPECT_GT(learnt[cause("film")], 2.0 * shipped[cause("film")]);
    EXPECT_LT(learnt[cause("glass_aged")], shipped[cause("glass_aged")]);
    // With as many cases as the shipped prior counts for, half way to their share.
    const double none = setting.round.none;
    EXPECT_NEAR(learnt[cause("film")] / none, 0.5 * shipped[cause("film")] / none + 0.5 * 0.6, 0.005);
}

TEST(DiagnosisNetwork, EdgesOfTheBands)
{
    const auto& n = ph().network;
    const auto& eff = n.observables[n.observable("eff").value()];
    EXPECT_EQ(eff.bandOf(-50.1), 0u);
    EXPECT_EQ(eff.bandOf(-50.0), 1u);
    EXPECT_EQ(eff.bandOf(92.0), 4u);
    EXPECT_EQ(eff.bandOf(102.5), 5u);
    const auto& grab = n.observables[n.observable("grab").value()];
    EXPECT_EQ(grab.bandOf(0.15), 0u);
    EXPECT_EQ(grab.bandOf(0.4), 1u);
    EXPECT_EQ(grab.bandOf(0.41), 2u);
    EXPECT_FALSE(n.observables[n.observable("trd").value()].bandOf(1.0));
}

}  // namespace halfcell::core::diagnosis::test
