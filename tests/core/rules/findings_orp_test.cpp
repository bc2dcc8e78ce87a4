#include "tests/core/rules/shop.h"

#include "core/electrochemistry/reference_electrode.h"

#include <gtest/gtest.h>

/// ORP, one case per row O1 to O10 of the common failure table. Expected potentials: the shipped series (USGS A6.5); limits common
/// practice.
namespace halfcell::core::test {

namespace {

double expected(const char* standard, const char* fill, double temp = 25.0)
{
    return expectedPotential(StandardsBook::shipped(), standard, {}, fill, Celsius(temp))->e.value();
}

struct OrpShop : Shop {
    explicit OrpShop(ReferenceDesign reference = ReferenceDesign::DoubleRefillable, Sensing metal = Sensing::Platinum)
    {
        model.kind = SensorKind::Orp;
        model.reference = reference;
        model.sensing = metal;
        model.reference_fill = "3M KCl";
    }
    /// Readings in both quinhydrone standards with an offset and a share of the span (about its middle).
    static void pair(Visit& v, Phase phase, double offset, double span = 100, double t90 = 30, const char* fill = "3M KCl")
    {
        const double low = expected("quinhydrone_ph7", fill), high = expected("quinhydrone_ph4", fill), middle = 0.5 * (low + high);
        read(v, phase, "quinhydrone_ph7", offset + middle + (low - middle) * span / 100, 25, 2 * t90 + 60, t90);
        read(v, phase, "quinhydrone_ph4", offset + middle + (high - middle) * span / 100, 25, 2 * t90 + 60, t90);
    }
    Visit& sick(double offset, double span = 100, double t90 = 30)
    {
        pair(visit(0), Phase::AsLeft, 1);
        pair(visit(30), Phase::AsLeft, 0);
        auto& v = visit(100);
        pair(v, Phase::AsFound, offset, span, t90);
        return v;
    }
};

}  // namespace

TEST(FindingsOrp, LimitsHoldAtTheirValues)
{
    const auto signalOf = [](double offset, double span) {
        OrpShop shop;
        shop.sick(offset, span);
        return shop.assess().signal;
    };
    EXPECT_EQ(signalOf(20, 100), Signal::Normal);
    EXPECT_EQ(signalOf(-20, 100), Signal::Normal);
    EXPECT_EQ(signalOf(20.1, 100), Signal::MaintenanceRequired);
    EXPECT_EQ(signalOf(40, 100), Signal::MaintenanceRequired);
    EXPECT_EQ(signalOf(-40.1, 100), Signal::OutOfSpecification);
    EXPECT_EQ(signalOf(0, 90), Signal::Normal);
    EXPECT_EQ(signalOf(0, 89.9), Signal::MaintenanceRequired);
    EXPECT_EQ(signalOf(0, 80), Signal::MaintenanceRequired);
    EXPECT_EQ(signalOf(0, 79.9), Signal::OutOfSpecification);
    EXPECT_EQ(signalOf(0, 40), Signal::OutOfSpecification);
    EXPECT_EQ(signalOf(0, 39.9), Signal::Failure);
}

TEST(FindingsOrp, O1FilmedMetalByCompressedSpan)
{
    OrpShop shop;
    shop.sick(3, 84);
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::MetalFilmed);
    EXPECT_EQ(a.verdict, Verdict::Clean);
    EXPECT_EQ(a.guilty, GuiltyFigure::Span);
    EXPECT_TRUE(offers(a, ActionKey::PolishMetal));
    EXPECT_FALSE(offers(a, ActionKey::Adjust));
}

TEST(FindingsOrp, O1SlowMetalIsFilmedThoughTheSpanIsWhole)
{
    OrpShop shop;
    shop.sick(3, 98, 240);
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::MetalFilmed);
    EXPECT_TRUE(says(a.findings[0], Because::Side::For, "240 s"));
}

TEST(FindingsOrp, O2StillShortAfterPolishingIsPoisonedThenReplaced)
{
    OrpShop shop;
    auto& v = shop.sick(3, 70);
    Shop::act(v, ActionKey::PolishMetal);
    OrpShop::pair(v, Phase::AfterClean, 3, 72);
    auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::MetalPoisoned);
    EXPECT_EQ(a.verdict, Verdict::Condition);
    auto& w = shop.visit(114);
    Shop::act(w, ActionKey::PolishMetal);
    OrpShop::pair(w, Phase::AsLeft, 4, 73);
    a = shop.assess();
    EXPECT_EQ(a.verdict, Verdict::Replace);
}

TEST(FindingsOrp, O3BothOffAlikeIsTheReference)
{
    // The drawn case of the bench: +55 in pH 7 and +228 in pH 4 at 21 degC against 3 M: offset about -27, span about 98 %.
    OrpShop shop;
    OrpShop::pair(shop.visit(0), Phase::AsLeft, 1);
    OrpShop::pair(shop.visit(30), Phase::AsLeft, 0);
    auto& v = shop.visit(100);
    Shop::read(v, Phase::AsFound, "quinhydrone_ph7", 55, 21.0, 120, 40);
    Shop::read(v, Phase::AsFound, "quinhydrone_ph4", 228, 21.0, 120, 55);
    const auto a = shop.assess();
    EXPECT_NEAR(*a.figures->offset_mv, -27, 2.0);
    EXPECT_NEAR(*a.figures->span_pct, 98, 1.5);
    EXPECT_EQ(a.findings[0].code, FindingCode::ElectrolyteDiluted);
    EXPECT_TRUE(says(a.findings[0], Because::Side::For, "the reference, not the metal"));
    EXPECT_EQ(a.verdict, Verdict::RefillReference);
    EXPECT_FALSE(a.figures->efficiency_pct);
    EXPECT_EQ(a.sentence.find("efficiency"), std::string::npos);
    OrpShop rising;
    rising.sick(32);
    EXPECT_EQ(rising.assess().findings[0].code, FindingCode::ReferencePoisoned);
}

TEST(FindingsOrp, DifferentialOrpIsJudgedByItsOwnBaseline)
{
    OrpShop shop(ReferenceDesign::DifferentialBridge);
    shop.model.reference_fill = "differential";
    OrpShop::pair(shop.visit(0), Phase::AsLeft, 60);
    auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::Normal) << "its first reading is what it is judged by";
    OrpShop::pair(shop.visit(30), Phase::AsFound, 90);
    a = shop.assess();
    EXPECT_NEAR(*a.figures->offset_mv, 30, 1.0);
    EXPECT_EQ(a.findings[0].code, FindingCode::CellContaminated);
}

TEST(FindingsOrp, O4WrongTableStraightFromNew)
{
    // Filled with 1 M, recorded as 3 M: off by the difference of the two from the first reading on.
    OrpShop shop;
    auto& v = shop.visit(0);
    Shop::read(v, Phase::AsFound, "zobell", expected("zobell", "1M KCl"));
    Shop::read(v, Phase::AsFound, "light", expected("light", "1M KCl"));
    const auto a = shop.assess();
    ASSERT_TRUE(has(a, FindingCode::WrongStandard));
    EXPECT_TRUE(says(*find(a, FindingCode::WrongStandard), Because::Side::For, "1M KCl"));
    EXPECT_EQ(a.verdict, Verdict::CheckStandards);
}

TEST(FindingsOrp, O5OneStandardRightTheOtherNot)
{
    OrpShop shop;
    OrpShop::pair(shop.visit(0), Phase::AsLeft, 1);
    auto& v = shop.visit(30);
    Shop::read(v, Phase::AsFound, "quinhydrone_ph7", expected("quinhydrone_ph7", "3M KCl"));
    Shop::read(v, Phase::AsFound, "quinhydrone_ph4", expected("quinhydrone_ph4", "3M KCl") - 30);
    EXPECT_TRUE(has(shop.assess(), FindingCode::StaleStandard));
}

TEST(FindingsOrp, O10NoResponseIsWiringFirstThenReplace)
{
    OrpShop shop;
    auto& v = shop.sick(0, 12);
    auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_EQ(a.findings[0].code, FindingCode::NoResponse);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
    Shop::check(v).short_open = Comparison::Same;
    a = shop.assess();
    EXPECT_EQ(a.verdict, Verdict::Replace);
    EXPECT_EQ(calc({{"quinhydrone_ph7", 0, 25}, {"quinhydrone_ph4", 1, 25}}, SensorKind::Orp, "3M KCl").verdict, Verdict::CheckWiring);
}

TEST(FindingsOrp, OneStandardAloneGivesAnOffsetAndSaysSo)
{
    const auto a = calc({{"zobell", expected("zobell", "3M KCl") + 4, 25}}, SensorKind::Orp, "3M KCl");
    EXPECT_EQ(a.signal, Signal::Normal);
    EXPECT_EQ(a.verdict, Verdict::Leave);
    ASSERT_TRUE(has(a, FindingCode::TooFewReadings));
    EXPECT_TRUE(says(*find(a, FindingCode::TooFewReadings), Because::Side::For, "filmed metal would not show"));
}

}  // namespace halfcell::core::test
