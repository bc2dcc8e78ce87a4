#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

/// What must hold whatever the numbers.
namespace halfcell::core::test {

namespace {

Shop mixed()
{
    Shop shop;
    shop.point.application = "caustic";
    shop.model.reference = ReferenceDesign::DifferentialBridge;
    shop.wellBefore(4);
    auto& v = shop.visit(130);
    Shop::state(v, Phase::AsFound, {.efficiency = 83, .offset = 31, .t90 = 140, .wait = 300, .standards = {"ph7.00", "ph10.01", "ph4.01"}});
    Shop::check(v).coating = 2.0;
    Shop::act(v, ActionKey::CleanAcid);
    Shop::state(v, Phase::AfterClean,
                {.efficiency = 88, .offset = 33, .t90 = 70, .wait = 300, .standards = {"ph7.00", "ph10.01", "ph4.01"}});
    return shop;
}

bool same(const Assessment& a, const Assessment& b)
{
    return a.signal == b.signal && a.verdict == b.verdict && a.findings == b.findings && a.actionOrder == b.actionOrder &&
           a.sentence == b.sentence && a.guilty == b.guilty && a.verdictWorking == b.verdictWorking;
}

}  // namespace

TEST(Properties, OrderOfReadingsIsIrrelevant)
{
    auto shop = mixed();
    const auto before = shop.assess();
    auto& readings = shop.records.visits.back().readings;
    std::reverse(readings.begin(), readings.end());
    const auto turned = shop.assess();
    EXPECT_EQ(before.signal, turned.signal);
    EXPECT_EQ(before.verdict, turned.verdict);
    EXPECT_EQ(before.actionOrder, turned.actionOrder);
    ASSERT_EQ(before.findings.size(), turned.findings.size());
    for (std::size_t i = 0; i < before.findings.size(); ++i)
        EXPECT_EQ(before.findings[i].code, turned.findings[i].code);
}

TEST(Properties, OrderOfVisitsInTheFileIsIrrelevant)
{
    auto shop = mixed();
    const auto before = shop.assess();
    std::reverse(shop.records.visits.begin(), shop.records.visits.end());
    EXPECT_TRUE(same(before, shop.assess()));
}

TEST(Properties, UnmeasuredTestsChangeNothing)
{
    auto shop = mixed();
    const auto before = shop.assess();
    auto& k = shop.records.visits.back().checks.front();
    for (auto* field : {&k.glass_mohm, &k.reference_kohm, &k.noise_mv, &k.hysteresis_mv, &k.dilution_ph, &k.stir_ph, &k.reread_pct,
                        &k.thermometer_off_k, &k.dry_hours})
        *field = NoAnswer::NotDone;
    EXPECT_TRUE(same(before, shop.assess()));
    k.cable = Comparison::NotPossible;
    k.earth_wire = Comparison::NotPossible;
    const auto after = shop.assess();
    EXPECT_EQ(before.signal, after.signal);
    EXPECT_EQ(before.verdict, after.verdict);
}

TEST(Properties, WhatIsRecordedLaterChangesNothing)
{
    auto shop = mixed();
    const auto before = shop.assess(140);
    auto& later = shop.visit(150);
    Shop::state(later, Phase::AsFound, {.efficiency = 2});
    auto& lateWritten = shop.visit(120);
    lateWritten.recorded = at(160);
    Shop::state(lateWritten, Phase::AsFound, {.efficiency = 60});
    Hold hold;
    hold.point = shop.point.tag;
    hold.from = hold.recorded = at(145);
    shop.records.holds.push_back(hold);
    EXPECT_TRUE(same(before, shop.assess(140)));
    EXPECT_FALSE(same(before, shop.assess(170)));
}

TEST(Properties, AVisitIsJudgedByWhatCameBefore)
{
    auto shop = mixed();
    const auto p = shop.plant();
    const auto& standards = StandardsBook::shipped();
    const auto* history = p.history(shop.sensor.serial);
    const auto figures = figuresOfHistory(p, *history, standards, RuleSet::shipped());
    ASSERT_EQ(figures.size(), 5u);
    const auto first = assessVisit(p, *history, figures, 1, standards, RuleSet::shipped());
    EXPECT_EQ(first.signal, Signal::Normal);
    EXPECT_EQ(first.measured, figures[1].when);
    EXPECT_TRUE(same(assessVisit(p, *history, figures, 4, standards, RuleSet::shipped()),
                     core::assess(p, *history, figures, standards, RuleSet::shipped())));
}

// In order is one of the causes the diagnosis weighs, so it may stand beside others, never beside a broken limit.
TEST(Properties, InOrderIsNeverSaidOfASensorThatIsOut)
{
    for (double efficiency = 0; efficiency <= 110; efficiency += 5)
        for (double offset = -80; offset <= 80; offset += 20) {
            Shop shop;
            shop.wellBefore(3);
            Shop::state(shop.visit(100), Phase::AsLeft, {.efficiency = efficiency, .offset = offset});
            const auto a = shop.assess();
            ASSERT_FALSE(a.findings.empty());
            if (has(a, FindingCode::Healthy)) {
                EXPECT_EQ(a.signal, Signal::Normal);
                EXPECT_EQ(a.verdict, Verdict::Leave);
            }
            double sum = 0.0;
            ASSERT_TRUE(a.signal);
            EXPECT_NE(a.verdict, a.signal == Signal::Normal ? Verdict::Replace : Verdict::Leave) << efficiency << ' ' << offset;
            EXPECT_FALSE(a.sentence.empty());
            for (const auto& f : a.findings) {
                EXPECT_FALSE(f.title.empty());
                EXPECT_TRUE(!f.probability || (*f.probability >= 0.0 && *f.probability <= 1.0));
                sum += f.probability.value_or(0.0);
                EXPECT_FALSE(f.because.empty()) << keyOf(f.code);
            }
            EXPECT_LE(sum, 1.0 + 1e-9);
        }
}

}  // namespace halfcell::core::test
