#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

/// One case per row of the common failure table of pH sensors: reference (R), electrical and installation (W), common causes (CC), solid
/// state (I, A). Signatures are common practice; figures come from the electrode equation.
namespace halfcell::core::test {

TEST(FindingsPhOther, G12AlkaliErrorIsANoteNotAFault)
{
    Shop shop;
    shop.point.application = "caustic";
    shop.point.ph_low = 11.0;
    shop.point.ph_high = 13.0;
    auto& v = sick(shop, {.efficiency = 97, .offset = -3});
    Grab g;
    g.when = g.recorded = v.when;
    g.loop_ph = 11.6;
    g.grab_ph = 12.1;
    v.grabs.push_back(g);
    const auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::Normal);
    EXPECT_EQ(a.verdict, Verdict::Leave);
    EXPECT_TRUE(has(a, FindingCode::AlkaliError));
    EXPECT_TRUE(has(a, FindingCode::ProcessDisagrees));
}

TEST(FindingsPhOther, R1CloggedJunction)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 96, .offset = 6});
    auto& k = Shop::check(v);
    k.reference_kohm = 70.0;
    k.dilution_ph = 7.20;
    k.stir_ph = 0.11;
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::JunctionClogged);
    EXPECT_EQ(a.verdict, Verdict::Clean);
    EXPECT_TRUE(offers(a, ActionKey::ClearJunction));
    EXPECT_FALSE(offers(a, ActionKey::ScrapeJunction)) << "a small fixed junction would be destroyed";
}

TEST(FindingsPhOther, R2BlockedJunctionOfARefillableIsRefilled)
{
    Shop shop;
    shop.model.reference = ReferenceDesign::LiquidRefillable;
    auto& v = sick(shop, {.efficiency = 93, .offset = -12});
    Shop::check(v).reference_kohm = 400.0;
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::JunctionBlocked);
    EXPECT_EQ(a.verdict, Verdict::RefillReference);
}

TEST(FindingsPhOther, R3DilutedElectrolyteFallsSteadily)
{
    const auto falling = [](ReferenceDesign design, double last) {
        Shop shop;
        shop.model.reference = design;
        for (int i = 0; i < 6; ++i)
            Shop::state(shop.visit(30.4 * i), Phase::AsLeft, {.efficiency = 97, .offset = last * (i + 1) / 6.0});
        return shop.assess();
    };
    const auto refill = falling(ReferenceDesign::DoubleRefillable, -30);
    EXPECT_EQ(refill.signal, Signal::Normal);
    EXPECT_EQ(refill.findings[0].code, FindingCode::ElectrolyteDiluted);
    EXPECT_TRUE(says(refill.findings[0], Because::Side::For, "-5.0 mV a month"));
    EXPECT_EQ(refill.verdict, Verdict::RefillReference);
    const auto sealed = falling(ReferenceDesign::DoubleGel, -54);
    EXPECT_EQ(sealed.signal, Signal::MaintenanceRequired);
    EXPECT_EQ(sealed.findings[0].code, FindingCode::ElectrolyteDiluted);
    EXPECT_FALSE(offers(sealed, ActionKey::RefillReference));
    EXPECT_FALSE(offers(sealed, ActionKey::ReplaceBridge));
}

TEST(FindingsPhOther, R4R5PoisonedReferenceIsNotSavedByAGoodSlope)
{
    Shop shop;
    shop.point.hazards = {"sulfide"};
    shop.wellBefore(3);
    for (int i = 0; i < 4; ++i)
        Shop::state(shop.visit(90 + 10.0 * i), Phase::AsLeft, {.efficiency = 95.5, .offset = 15 + 20.0 * i});
    auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::ReferencePoisoned);
    EXPECT_TRUE(says(a.findings[0], Because::Side::For, "the slope does not save it"));
    EXPECT_TRUE(says(a.findings[0], Because::Side::For, "sulfide in the process"));
    EXPECT_EQ(a.signal, Signal::MaintenanceRequired);
    EXPECT_EQ(a.guilty, GuiltyFigure::Offset);
    EXPECT_NE(a.verdict, Verdict::Replace) << "one attempt comes first";
    auto& v = shop.visit(130);
    Shop::act(v, ActionKey::CleanThiourea);
    Shop::state(v, Phase::AsLeft, {.efficiency = 95.5, .offset = 78});
    a = shop.assess();
    EXPECT_EQ(a.verdict, Verdict::Replace);
}

TEST(FindingsPhOther, R11ProcessDisagreesWhileStandardsAreFine)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 97, .offset = -3});
    Grab g;
    g.when = g.recorded = v.when;
    g.loop_ph = 7.2;
    g.grab_ph = 7.6;
    v.grabs.push_back(g);
    auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::ProcessDisagrees);
    EXPECT_EQ(a.signal, Signal::Normal);
    shop.point.tolerance_ph = 0.5;
    a = shop.assess();
    EXPECT_FALSE(has(a, FindingCode::ProcessDisagrees)) << "inside the tolerance of the point";
}

TEST(FindingsPhOther, W1ShortCircuit)
{
    Shop shop;
    shop.wellBefore(3);
    auto& v = shop.visit(100);
    Shop::read(v, Phase::AsFound, "ph7.00", 0);
    Shop::read(v, Phase::AsFound, "ph4.01", 1);
    const auto a = shop.assess();
    EXPECT_TRUE(has(a, FindingCode::ShortCircuit));
    EXPECT_EQ(a.signal, Signal::Failure);
}

TEST(FindingsPhOther, W2W3OpenLead)
{
    Shop shop;
    shop.wellBefore(3);
    auto& v = shop.visit(100);
    Shop::read(v, Phase::AsFound, "ph7.00", 900);
    Shop::read(v, Phase::AsFound, "ph4.01", 1100);
    const auto a = shop.assess();
    EXPECT_TRUE(has(a, FindingCode::OpenCircuit));
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
}

TEST(FindingsPhOther, W6TemperatureElement)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 97, .offset = -3});
    Shop::check(v).thermometer_off_k = -4.0;
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::TemperatureElement);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
}

TEST(FindingsPhOther, W8GroundLoop)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 97, .offset = -3});
    Shop::check(v).earth_wire = Comparison::Changes;
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::GroundLoop);
    EXPECT_NE(a.verdict, Verdict::Replace);
}

TEST(FindingsPhOther, W10AnotherSensorAfterAMove)
{
    Shop shop;
    shop.wellBefore(3);
    shop.placement.to = at(95);
    Placement moved = shop.placement;
    moved.place = "bench";
    moved.from = moved.recorded = at(95);
    moved.to.reset();
    shop.records.placements.push_back(moved);
    auto& v = shop.visit(100);
    Shop::state(v, Phase::AsFound, {.efficiency = 88, .offset = 24});
    EXPECT_TRUE(has(shop.assess(), FindingCode::WrongSensor));
}

TEST(FindingsPhOther, CC4OldAlkalineBottle)
{
    // A pH 10 bottle that is really 9.80: acid leg normal, alkaline leg about 93 % (computed from the electrode equation).
    Shop shop;
    shop.wellBefore(3);
    auto& v = shop.visit(100);
    Shop::read(v, Phase::AsFound, "ph4.01", mvFor("ph4.01", 98, 0));
    Shop::read(v, Phase::AsFound, "ph7.00", mvFor("ph7.00", 98, 0));
    Shop::read(v, Phase::AsFound, "ph10.01", -0.98 * 59.159 * 2.80);
    auto a = shop.assess();
    ASSERT_TRUE(has(a, FindingCode::StaleStandard));
    EXPECT_EQ(a.verdict, Verdict::CheckStandards);
    Shop::check(v).second_bottle = Comparison::Same;
    a = shop.assess();
    EXPECT_NE(a.verdict, Verdict::CheckStandards) << "the fresh bottle reads the same";
}

TEST(FindingsPhOther, CC8ReadTooSoon)
{
    Shop shop;
    sick(shop, {.efficiency = 78, .offset = -3, .t90 = 50, .wait = 40});
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::ReadTooSoon);
    EXPECT_EQ(a.verdict, Verdict::Recheck);
    EXPECT_TRUE(says(a.findings[0], Because::Side::For, "100 s is the least"));
}

TEST(FindingsPhOther, StandardPastItsUseIsMaintenance)
{
    const auto with = [](double opened, const char* expires, double day) {
        Shop shop;
        shop.wellBefore(2);
        Lot lot;
        lot.lot = "B10-0850";
        lot.standard = "ph10.01";
        lot.recorded = at(-100);
        lot.opened = at(opened);
        if (*expires)
            lot.expires = *parseInstant(expires);
        shop.records.lots.push_back(lot);
        auto& v = shop.visit(day);
        Shop::state(v, Phase::AsFound, {.standards = {"ph7.00", "ph10.01"}});
        v.readings.back().lot = "B10-0850";
        return shop.assess();
    };
    EXPECT_EQ(with(66, "", 100).signal, Signal::MaintenanceRequired) << "opened 34 days ago; 30 is the limit";
    EXPECT_TRUE(has(with(66, "", 100), FindingCode::StandardExpired));
    EXPECT_EQ(with(66, "", 100).verdict, Verdict::CheckStandards);
    EXPECT_EQ(with(70, "", 100).signal, Signal::Normal) << "30 days are still allowed";
    EXPECT_EQ(with(90, "2026-04-10", 100).signal, Signal::MaintenanceRequired) << "past its label";
    EXPECT_EQ(with(103, "", 100).signal, Signal::MaintenanceRequired) << "not yet open on that day";
}

TEST(FindingsPhOther, CopiedFiguresOnThreeVisits)
{
    Shop shop;
    for (int i = 0; i < 3; ++i) {
        auto& v = shop.visit(30.0 * i);
        Shop::read(v, Phase::AsLeft, "ph7.00", -3, 19.4);
        Shop::read(v, Phase::AsLeft, "ph4.01", 165, 19.4);
    }
    EXPECT_TRUE(has(shop.assess(), FindingCode::EntryError));
    shop.records.visits[1].readings[1].mv = 166;
    EXPECT_FALSE(has(shop.assess(), FindingCode::EntryError));
}

TEST(FindingsPhOther, I1I2WornGate)
{
    Shop shop;
    shop.model.sensing = Sensing::Isfet;
    sick(shop, {.efficiency = 86, .offset = 30});
    const auto a = shop.assess();
    ASSERT_TRUE(has(a, FindingCode::GateWorn));
    EXPECT_EQ(a.verdict, Verdict::Condition);
    EXPECT_FALSE(offers(a, ActionKey::Rehydrate));
    EXPECT_FALSE(offers(a, ActionKey::RegenerateGlass));
    for (const auto& f : a.findings)
        EXPECT_TRUE(!f.next_test || f.next_test->test != "glass_resistance");
}

TEST(FindingsPhOther, A1AntimonyIsJudgedByItsOwnBaseline)
{
    Shop shop;
    shop.model.sensing = Sensing::Antimony;
    shop.wellBefore(3, {.efficiency = 88, .offset = 10, .standards = {"ph7.00", "ph4.01"}});
    EXPECT_EQ(shop.assess().signal, Signal::Normal);
    auto& v = shop.visit(100);
    Shop::state(v, Phase::AsFound, {.efficiency = 72, .offset = 10, .t90 = 80, .wait = 300});
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::MetalFilmed);
    EXPECT_EQ(a.verdict, Verdict::Clean);
    EXPECT_EQ(a.signal, Signal::MaintenanceRequired);
    EXPECT_EQ(a.actionOrder.front(), ActionKey::PolishMetal);
}

TEST(FindingsPhOther, NeverMeasured)
{
    Shop shop;
    const auto a = shop.assess();
    EXPECT_TRUE(a.neverMeasured);
    EXPECT_EQ(a.verdict, Verdict::NotEnoughData);
    EXPECT_FALSE(a.signal);
    EXPECT_EQ(a.tag, "AE-1203");
    EXPECT_TRUE(a.findings.empty());
}

TEST(FindingsPhOther, LoopStillInManualIsAFunctionCheck)
{
    Shop shop;
    shop.wellBefore(2);
    auto& v = shop.visit(100);
    Shop::state(v, Phase::AsLeft, {});
    v.manual_from = at(100);
    EXPECT_EQ(shop.assess().signal, Signal::FunctionCheck);
    v.auto_at = at(100.05);
    EXPECT_EQ(shop.assess().signal, Signal::Normal);
    EXPECT_EQ(shop.assess(100.01).signal, Signal::FunctionCheck) << "at that moment it was in manual";
    Hold hold;
    hold.point = shop.point.tag;
    hold.from = hold.recorded = at(110);
    shop.records.holds.push_back(hold);
    EXPECT_EQ(shop.assess().signal, Signal::FunctionCheck);
    EXPECT_EQ(shop.assess(105).signal, Signal::Normal);
    shop.records.holds.back().to = at(111);
    EXPECT_EQ(shop.assess().signal, Signal::Normal);
    EXPECT_EQ(shop.assess().verdict, Verdict::Leave);
}

TEST(FindingsPhOther, LegacyFiguresAreJudgedByWhatTheySay)
{
    Shop shop;
    Legacy old;
    old.serial = shop.sensor.serial;
    old.when = old.recorded = at(10);
    old.phase = Phase::AsLeft;
    old.efficiency_pct = 76;
    old.offset_mv = -12;
    shop.records.legacy.push_back(old);
    const auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::MaintenanceRequired);
    EXPECT_EQ(*a.figures->efficiency_pct, 76);
    EXPECT_FALSE(a.neverMeasured);
}

}  // namespace halfcell::core::test
