#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

/// One case per row of the common failure table of pH sensors: glass (G), the cell that comes before it (R6, R7), wiring that imitates it
/// (W4, W5). Signatures are common practice; figures come from the electrode equation.
namespace halfcell::core::test {

TEST(FindingsPh, G1BrokenGlass)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 4, .offset = 20});
    auto& k = Shop::check(v);
    k.glass_mohm = 0.8;
    k.glass_temp_degc = 25.0;
    auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
    ASSERT_TRUE(has(a, FindingCode::GlassBroken));
    EXPECT_TRUE(says(*find(a, FindingCode::GlassBroken), Because::Side::For, "0.8 MOhm"));
    EXPECT_FALSE(find(a, FindingCode::GlassBroken)->cautions.empty()) << "broken glass cuts";
    shop.records.visits.back().checks.front().cable = Comparison::Same;
    a = shop.assess();
    EXPECT_EQ(a.verdict, Verdict::Replace);
    EXPECT_TRUE(a.wiringChecked);
    EXPECT_EQ(find(a, FindingCode::NoResponse)->action, ActionKey::Replace);
}

TEST(FindingsPh, WiringCheckedMeansCheckedOrRewiredAndReadAgain)
{
    const auto base = [] {
        Shop shop;
        sick(shop, {.efficiency = 4, .offset = 20});
        return shop;
    };
    {
        auto shop = base();
        Shop::check(shop.records.visits.back()).short_open = Comparison::Same;
        EXPECT_EQ(shop.assess().verdict, Verdict::Replace);
    }
    {
        auto shop = base();
        Shop::check(shop.records.visits.back()).short_open = Comparison::Changes;
        EXPECT_EQ(shop.assess().verdict, Verdict::CheckWiring) << "a test that points at the cable is no check passed";
    }
    {
        auto shop = base();
        Shop::check(shop.records.visits.back()).second_bottle = Comparison::Same;
        EXPECT_EQ(shop.assess().verdict, Verdict::CheckWiring);
    }
    {
        auto shop = base();
        Shop::act(shop.records.visits.back(), ActionKey::Rewire);
        EXPECT_NE(shop.assess().verdict, Verdict::Replace) << "rewired, and not read again";
        Shop::state(shop.records.visits.back(), Phase::AsLeft, {.efficiency = 5, .offset = 18});
        EXPECT_EQ(shop.assess().verdict, Verdict::Replace) << "rewired and read again";
    }
    {
        // Checked since the fault was first seen: on the dead visit before, or on one without readings after it.
        auto shop = base();
        Shop::check(shop.records.visits.back()).cable = Comparison::Same;
        Shop::state(shop.visit(107), Phase::AsFound, {.efficiency = 3, .offset = 22});
        EXPECT_EQ(shop.assess().verdict, Verdict::Replace);
        auto later = base();
        Shop::check(later.visit(103)).cable = Comparison::Same;
        EXPECT_EQ(later.assess().verdict, Verdict::Replace);
    }
    {
        // A check from before the fault proves nothing.
        Shop shop;
        shop.wellBefore(3);
        Shop::check(shop.records.visits.back()).cable = Comparison::Same;
        Shop::state(shop.visit(100), Phase::AsFound, {.efficiency = 3, .offset = 22});
        EXPECT_EQ(shop.assess().verdict, Verdict::CheckWiring);
    }
}

TEST(FindingsPh, W4ReversedLeadsNeedTheWiringCheckedToo)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = -97, .offset = 5});
    auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_EQ(a.findings[0].code, FindingCode::LeadsReversed);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
    EXPECT_EQ(a.findings[0].action, ActionKey::Rewire);
    Shop::check(v).short_open = Comparison::Same;
    EXPECT_EQ(shop.assess().verdict, Verdict::Replace);
}

TEST(FindingsPh, G2ShuntedGlassOrWetConnector)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 55, .offset = 2});
    auto& k = Shop::check(v);
    k.glass_mohm = 4.0;
    k.glass_temp_degc = 25.0;
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::GlassShunted);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
    EXPECT_EQ(a.findings[0].action, ActionKey::DryConnector);
}

TEST(FindingsPh, W5DriedConnectorCuresIt)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 10, .offset = 2});
    Shop::act(v, ActionKey::DryConnector);
    Shop::state(v, Phase::AsLeft, {.efficiency = 96.5});
    const auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::Normal);
    EXPECT_EQ(a.verdict, Verdict::Leave);
    EXPECT_TRUE(has(a, FindingCode::GlassShunted));
}

TEST(FindingsPh, G3ToG6FilmByApplicationAndLook)
{
    const auto filmOf = [](const char* application, std::optional<CoatingKind> look) {
        Shop shop;
        shop.point.application = application;
        auto& v = sick(shop, {.efficiency = 92, .offset = -3, .t90 = 95, .wait = 200});
        Shop::check(v).coating = 2.0;
        Shop::check(v).coating_kind = look;
        return shop.assess();
    };
    const auto scale = filmOf("flotation", CoatingKind::Hard);
    EXPECT_EQ(scale.findings[0].code, FindingCode::FilmScale);
    EXPECT_EQ(scale.verdict, Verdict::Clean);
    EXPECT_EQ(scale.signal, Signal::Normal) << "92 % and 95 s are inside the limits, and it is still worth cleaning";
    EXPECT_EQ(scale.actionOrder.front(), ActionKey::CleanAcid) << "acid takes six minutes, detergent eight";
    EXPECT_NE(scale.sentence.find("below its last as-left"), std::string::npos) << scale.sentence;
    EXPECT_NE(scale.sentence.find("Clean before judging the glass."), std::string::npos);
    EXPECT_EQ(filmOf("wastewater", CoatingKind::Smear).findings[0].code, FindingCode::FilmGrease);
    EXPECT_EQ(filmOf("food", CoatingKind::Slippery).findings[0].code, FindingCode::FilmProtein);
    EXPECT_EQ(filmOf("cooling", CoatingKind::Slime).findings[0].code, FindingCode::Biofilm);
    EXPECT_EQ(filmOf("scrubber", std::nullopt).findings[0].code, FindingCode::FilmScale);
    EXPECT_TRUE(offers(filmOf("cooling", CoatingKind::Slime), ActionKey::CleanHypochlorite));
}

TEST(FindingsPh, CleaningThatBringsItBackLeavesItInOrder)
{
    Shop shop;
    shop.point.application = "caustic";
    auto& v = sick(shop, {.efficiency = 92.1, .offset = -11.9, .t90 = 95, .wait = 200});
    Shop::check(v).coating = 2.0;
    Shop::act(v, ActionKey::CleanAcid);
    Shop::state(v, Phase::AfterClean, {.efficiency = 96.6, .offset = -8.9, .t90 = 24});
    Shop::state(v, Phase::AsLeft, {.efficiency = 97.2, .offset = -8.9, .t90 = 24});
    const auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::Normal);
    EXPECT_EQ(a.verdict, Verdict::Leave);
    EXPECT_EQ(a.phase, Phase::AsLeft);
    ASSERT_TRUE(has(a, FindingCode::FilmScale));
    EXPECT_TRUE(says(*find(a, FindingCode::FilmScale), Because::Side::For, "t90 95 s as found, 24 s after cleaning"));
}

TEST(FindingsPh, ServicedButNotReadAgainIsReadAgain)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 76, .offset = -3, .t90 = 150, .wait = 320});
    Shop::check(v).coating = 3.0;
    Shop::act(v, ActionKey::CleanDetergent);
    EXPECT_EQ(shop.assess().verdict, Verdict::Recheck);
}

TEST(FindingsPh, G7AgedGlassAfterCleaningIsRegeneratedOnceThenReplaced)
{
    Shop shop;
    auto& v = sick(shop, {.efficiency = 66, .offset = -3});
    Shop::act(v, ActionKey::CleanDetergent);
    Shop::state(v, Phase::AfterClean, {.efficiency = 67, .offset = -3});
    auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::OutOfSpecification);
    EXPECT_EQ(a.findings[0].code, FindingCode::GlassAged);
    EXPECT_EQ(a.verdict, Verdict::RegenerateGlass);
    auto& w = shop.visit(130);
    Shop::act(w, ActionKey::RegenerateGlass);
    Shop::state(w, Phase::AsLeft, {.efficiency = 67.5, .offset = -3});
    a = shop.assess();
    EXPECT_EQ(a.verdict, Verdict::Replace) << "below 70 % on two visits running, after cleaning; a sealed sensor has no refill";
    EXPECT_EQ(a.actionOrder.back(), ActionKey::Replace);
}

TEST(FindingsPh, LowEfficiencyOfASealedSensorNamesTheReferenceAndCleansFirst)
{
    Shop shop;
    sick(shop, {.efficiency = 78, .offset = -3});
    const auto a = shop.assess();
    EXPECT_EQ(a.signal, Signal::MaintenanceRequired);
    EXPECT_EQ(a.verdict, Verdict::Clean);
    ASSERT_TRUE(has(a, FindingCode::ReferencePoisoned));
    EXPECT_TRUE(says(*find(a, FindingCode::ReferencePoisoned), Because::Side::For, "contaminated reference solution"));
    EXPECT_TRUE(says(*find(a, FindingCode::ReferencePoisoned), Because::Side::NotPossible, "sealed"));
    EXPECT_FALSE(offers(a, ActionKey::RefillReference));
}

TEST(FindingsPh, LowEfficiencyOfARefillableSensorPointsAtTheReferenceFirst)
{
    Shop shop;
    shop.model.reference = ReferenceDesign::DoubleRefillable;
    sick(shop, {.efficiency = 78, .offset = -3});
    const auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::ReferencePoisoned);
    EXPECT_EQ(a.verdict, Verdict::RefillReference);
}

TEST(FindingsPh, R6DifferentialCellComesFirst)
{
    Shop shop;
    shop.model.reference = ReferenceDesign::DifferentialBridge;
    sick(shop, {.efficiency = 78, .offset = -3});
    auto a = shop.assess();
    EXPECT_EQ(a.findings[0].code, FindingCode::CellContaminated);
    EXPECT_EQ(a.verdict, Verdict::RefillReference);
    EXPECT_TRUE(says(a.findings[0], Because::Side::Against, "bridge"));
    PartRecord bridge;
    bridge.serial = shop.sensor.serial;
    bridge.part = Part::Bridge;
    bridge.from = bridge.recorded = at(-300);
    shop.records.parts.push_back(bridge);
    a = shop.assess();
    EXPECT_EQ(a.verdict, Verdict::ReplaceBridge) << "a bridge of a year goes with its cell solution";
}

TEST(FindingsPh, R7DifferentialSlowAfterCleaningIsTheBridge)
{
    Shop shop;
    shop.model.reference = ReferenceDesign::DifferentialBridge;
    auto& v = sick(shop, {.efficiency = 94, .offset = 2, .t90 = 160, .wait = 400});
    Shop::act(v, ActionKey::CleanDetergent);
    Shop::state(v, Phase::AfterClean, {.efficiency = 95, .offset = 2, .t90 = 150, .wait = 400});
    Shop::check(v).stir_ph = 0.12;
    const auto a = shop.assess();
    ASSERT_TRUE(has(a, FindingCode::BridgeExhausted));
    EXPECT_EQ(a.signal, Signal::MaintenanceRequired);
    EXPECT_TRUE(offers(a, ActionKey::ReplaceBridge));
    EXPECT_FALSE(has(a, FindingCode::JunctionClogged));
}

TEST(FindingsPh, G9EtchedGlassIsTerminalOnceTheConnectorIsKnownDry)
{
    Shop shop;
    shop.point.application = "caustic";
    shop.wellBefore(3);
    auto& first = Shop::check(shop.records.visits.front());
    first.glass_mohm = 120.0;
    first.glass_temp_degc = 25.0;
    auto& v = shop.visit(100);
    Shop::state(v, Phase::AsFound, {.efficiency = 86, .offset = 3});
    auto& k = Shop::check(v);
    k.glass_mohm = 25.0;
    k.glass_temp_degc = 25.0;
    auto a = shop.assess();
    ASSERT_TRUE(has(a, FindingCode::GlassEtched));
    EXPECT_TRUE(says(*find(a, FindingCode::GlassEtched), Because::Side::For, "0.21 times its first value"));
    EXPECT_EQ(a.verdict, Verdict::CheckWiring) << "moisture shunts just so";
    shop.records.visits.back().checks.front().cable = Comparison::Same;
    a = shop.assess();
    EXPECT_EQ(a.verdict, Verdict::Replace);
}

TEST(FindingsPh, GlassResistanceIsJudgedAt25DegreesAndAgainstItsOwnFirstValue)
{
    Shop shop;
    shop.wellBefore(3);
    auto& first = Shop::check(shop.records.visits.front());
    first.glass_mohm = 120.0;
    first.glass_temp_degc = 25.0;
    auto& v = shop.visit(100);
    Shop::state(v, Phase::AsFound, {.efficiency = 96, .offset = 3});
    auto& k = Shop::check(v);
    k.glass_mohm = 8.0;  // at 60 degC: about 120 MOhm at 25 degC
    k.glass_temp_degc = 60.0;
    EXPECT_EQ(shop.assess().findings[0].code, FindingCode::Healthy);
}

TEST(FindingsPh, G11DriedGlassByTheHoursItWasDry)
{
    const auto dry = [](double hours) {
        Shop shop;
        auto& v = sick(shop, {.efficiency = 85, .offset = 25, .t90 = 150, .wait = 330});
        Shop::check(v).dry_hours = hours;
        return shop.assess();
    };
    const auto brief = dry(6), lengthy = dry(72);
    EXPECT_EQ(brief.findings[0].code, FindingCode::GlassDry);
    EXPECT_EQ(brief.verdict, Verdict::Rehydrate);
    EXPECT_NE(brief.sentence.find("pH 7"), std::string::npos) << brief.sentence;
    EXPECT_NE(lengthy.sentence.find("weak acid"), std::string::npos) << lengthy.sentence;
}

}  // namespace halfcell::core::test
