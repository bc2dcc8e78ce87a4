#include "core/rules/good_enough.h"
#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

/// "Good enough here?": the electrode equation by hand, the decision by the worked figures of JCGM 106 in tests of the calibration room.
namespace halfcell::core::test {

namespace {

/// A pH set with that fit and that uncertainty at the process pH.
PhaseFigures fitted(double offset, double efficiency, double u)
{
    PhaseFigures f;
    f.fit = LineFit{.e0_mv = offset, .s = efficiency / 100.0};
    f.offset_mv = offset;
    f.efficiency_pct = efficiency;
    f.u_at_process_ph = u;
    return f;
}

GoodEnoughInputs asked(double tolerance, LoopClass loop, double ph)
{
    GoodEnoughInputs in;
    in.tolerance = tolerance;
    in.loop_class = loop;
    in.process_ph = ph;
    in.process_temp_c = 25.0;
    return in;
}

}  // namespace

// Offset gone by -6 mV reads 0.1 high; slope fallen from 100 to 90 % reads 9.7 in pH 10 (electrode equation).
TEST(GoodEnough, WhatTheLoopShowsByItsEarlierSetting)
{
    const auto set = fitted(0.0, 100.0, 0.03);
    auto in = asked(0.2, LoopClass::Control, 7.0);
    in.setBy = &set;
    EXPECT_NEAR(goodEnough(fitted(-6.0, 100.0, 0.03), in, RuleSet::shipped()).error, 6.0 / 59.159, 1e-4);
    in.process_ph = 10.0;
    const auto low = goodEnough(fitted(0.0, 90.0, 0.03), in, RuleSet::shipped());
    EXPECT_NEAR(low.error, -0.3, 1e-12);
    ASSERT_TRUE(low.now);
    EXPECT_EQ(low.now->decision, Conformity::Decision::Outside);
    EXPECT_TRUE(low.setByEarlier);
    EXPECT_EQ(low.sentence.find("Not good enough at pH 10: off by -0.30"), 0U) << low.sentence;
}

TEST(GoodEnough, SetByTheseFiguresOnlyTheUncertaintyCounts)
{
    const auto g = goodEnough(fitted(12.0, 93.0, 0.045), asked(0.2, LoopClass::Permit, 8.5), RuleSet::shipped());
    EXPECT_EQ(g.error, 0.0);
    ASSERT_TRUE(g.now);
    EXPECT_EQ(g.now->decision, Conformity::Decision::Inside);
    EXPECT_EQ(g.accepted, 0.95);
    EXPECT_FALSE(g.next);
    EXPECT_FALSE(g.whyNotNext.empty());
    const auto wide = goodEnough(fitted(12.0, 93.0, 0.12), asked(0.2, LoopClass::Indication, 8.5), RuleSet::shipped());
    EXPECT_EQ(wide.now->decision, Conformity::Decision::CannotDecide) << "2 u is more than the tolerance";
}

TEST(GoodEnough, TheNextVisitTakesTheDriftWithIt)
{
    auto in = asked(0.2, LoopClass::Control, 9.0);
    ExpectedDrift drift;
    drift.at = at(60);
    drift.offset_mv = -6.0;
    drift.u_offset_mv = 3.0;
    drift.efficiency_pct = -2.0;
    drift.u_efficiency_pct = 1.5;
    drift.source = "outlook";
    in.drift = drift;
    const auto g = goodEnough(fitted(0.0, 95.0, 0.04), in, RuleSet::shipped());
    ASSERT_TRUE(g.next);
    const double k = nernstSlopeUnchecked(298.15);
    EXPECT_NEAR(g.errorNext, 6.0 / (0.95 * k) - 2.0 * 2.0 / 95.0, 1e-9);
    EXPECT_NEAR(g.uNext, std::sqrt(0.04 * 0.04 + std::pow(3.0 / (0.95 * k), 2) + std::pow(2.0 * 1.5 / 95.0, 2)), 1e-9);
    EXPECT_NEAR(g.next->probability, probabilityInside(g.errorNext, g.uNext, -0.2, 0.2), 1e-12);
    EXPECT_NE(g.sentence.find("at the next visit (2026-03-06)"), std::string::npos) << g.sentence;
    EXPECT_FALSE(g.working.empty());
}

TEST(GoodEnough, OrpIsJudgedByItsOffset)
{
    PhaseFigures f;
    f.kind = SensorKind::Orp;
    f.offset_mv = 31.0;
    f.u_offset_mv = 4.0;
    GoodEnoughInputs in;
    in.tolerance = 20.0;
    in.loop_class = LoopClass::Control;
    const auto g = goodEnough(f, in, RuleSet::shipped());
    ASSERT_TRUE(g.now);
    EXPECT_EQ(g.unit, "mV");
    EXPECT_EQ(g.now->decision, Conformity::Decision::Outside);
}

TEST(GoodEnough, SaysWhyItCannotAnswer)
{
    auto in = asked(0.2, LoopClass::Control, 7.5);
    in.tolerance.reset();
    EXPECT_NE(goodEnough(fitted(0, 95, 0.04), in, RuleSet::shipped()).whyNot.find("no tolerance"), std::string::npos);
    in = asked(0.2, LoopClass::Control, 7.5);
    in.process_ph.reset();
    EXPECT_NE(goodEnough(fitted(0, 95, 0.04), in, RuleSet::shipped()).sentence.find("pH of the process"), std::string::npos);
    EXPECT_NE(goodEnough(PhaseFigures{}, asked(0.2, LoopClass::Control, 7.5), RuleSet::shipped()).whyNot.find("no calibration"),
              std::string::npos);
}

// The analyser works with the last calibration: what was found a month later is its error, as left it has none.
TEST(GoodEnough, FindsTheCalibrationTheAnalyserWorksWith)
{
    Shop shop;
    shop.point.tolerance_ph = 0.2;
    shop.point.ph_low = 8.5;
    shop.point.ph_high = 9.5;
    shop.point.temp_degc = 25.0;
    Shop::state(shop.visit(0), Phase::AsLeft, {.efficiency = 97, .offset = 0});
    Shop::state(shop.visit(30), Phase::AsFound, {.efficiency = 97, .offset = -18});
    const auto answer = [&] {
        const auto p = shop.plant();
        const auto* history = p.history(shop.sensor.serial);
        const auto figures = figuresOfHistory(p, *history, StandardsBook::shipped(), RuleSet::shipped());
        return goodEnoughAt(p, *history, figures, figures.size(), RuleSet::shipped());
    };
    const auto found = answer();
    EXPECT_TRUE(found.setByEarlier);
    EXPECT_NEAR(found.error, 18.0 / (0.97 * nernstSlopeUnchecked(298.15)), 1e-6);
    EXPECT_EQ(found.now->decision, Conformity::Decision::Outside);
    Shop::state(shop.records.visits.back(), Phase::AsLeft, {.efficiency = 97, .offset = -18});
    const auto left = answer();
    EXPECT_FALSE(left.setByEarlier);
    EXPECT_NEAR(left.error, 0.0, 1e-12);
}

}  // namespace halfcell::core::test
