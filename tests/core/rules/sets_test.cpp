#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

/// Sets of readings without a book. Figures: 160 / 177.48 is 90.2 %, the electrode equation with CODATA 2018 constants; the trade
/// rounds 59.16 to 59 and says 90 % (common practice). Limits: the shipped default profile (common practice).
namespace halfcell::core::test {

namespace {
Assessment withFigures(double efficiency, double offset, double t90 = 20)
{
    return calc({{"ph7.00", mvFor("ph7.00", efficiency, offset), 25}, {"ph4.01", mvFor("ph4.01", efficiency, offset), 25}}, SensorKind::Ph,
                {}, 2 * t90 + 60, t90);
}
}  // namespace

TEST(Sets, NinetyPercentIsInOrder)
{
    const auto a = calc({{"ph7.00", 0, 25}, {"ph4.00", 160, 25}});
    ASSERT_TRUE(a.figures && a.figures->efficiency_pct);
    EXPECT_NEAR(*a.figures->efficiency_pct, 90.2, 0.1);
    EXPECT_EQ(a.signal, Signal::Normal);
    EXPECT_EQ(a.verdict, Verdict::Leave);
    ASSERT_EQ(a.findings.size(), 1u);
    EXPECT_EQ(a.findings[0].code, FindingCode::Healthy);
}

TEST(Sets, ColdNeutralStandardHasNoOffset)
{
    // pH 7.00 at 10 degC is 7.06 (USGS A6.4): -3.4 mV there is an offset of about zero.
    const auto a = calc({{"ph7.00", -3.4, 10}});
    ASSERT_TRUE(a.figures && a.figures->offset_mv);
    EXPECT_NEAR(*a.figures->offset_mv, 0.0, 0.1);
    EXPECT_EQ(a.verdict, Verdict::NotEnoughData) << "an offset alone says nothing about the response";
    EXPECT_FALSE(a.signal);
    EXPECT_TRUE(has(a, FindingCode::TooFewReadings));
}

TEST(Sets, SameReadingsInBothStandardsAreAFailure)
{
    const auto a = calc({{"ph7.00", 12, 25}, {"ph4.01", 12, 25}});
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
    ASSERT_FALSE(a.findings.empty());
    EXPECT_EQ(a.findings[0].code, FindingCode::NoResponse);
    // Nothing tells them apart yet, so none of the four is left out.
    for (const auto code : {FindingCode::GlassBroken, FindingCode::ShortCircuit, FindingCode::OpenCircuit, FindingCode::GlassShunted})
        EXPECT_TRUE(has(a, code)) << keyOf(code);
    EXPECT_FALSE(offers(a, ActionKey::Replace));
    EXPECT_EQ(a.guilty, GuiltyFigure::Efficiency);
}

TEST(Sets, AGoodOffsetNeverHidesADeadCell)
{
    const auto a = calc({{"ph7.00", 0, 25}, {"ph4.01", 2, 25}, {"ph10.01", -2, 25}});
    ASSERT_TRUE(a.figures && a.figures->offset_mv);
    EXPECT_NEAR(*a.figures->offset_mv, 0.0, 1.0);
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_TRUE(has(a, FindingCode::NoResponse));
    EXPECT_TRUE(has(a, FindingCode::ShortCircuit)) << "zero in every standard is how a shorted input reads";
}

TEST(Sets, RisingMillivoltsAreReversedLeads)
{
    const auto a = calc({{"ph4.01", -177, 25}, {"ph7.00", 0, 25}, {"ph10.01", 178, 25}});
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
    EXPECT_EQ(a.findings[0].code, FindingCode::LeadsReversed);
    EXPECT_FALSE(offers(a, ActionKey::Replace));
}

TEST(Sets, NeverSaysReplaceEvenWhenTheWiringWasChecked)
{
    Visit v;
    v.visit = "calc";
    v.when = at(0);
    Shop::read(v, Phase::AsFound, "ph7.00", 12);
    Shop::read(v, Phase::AsFound, "ph4.01", 14);
    Shop::check(v).cable = Comparison::Same;
    FigureContext context;
    context.standards = &StandardsBook::shipped();
    const auto figures = figuresOf(v, Phase::AsFound, context);
    const auto a = assessSet(v, Phase::AsFound, SensorKind::Ph, "", figures, StandardsBook::shipped(), RuleSet::shipped());
    EXPECT_TRUE(a.wiringChecked);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
    EXPECT_FALSE(offers(a, ActionKey::Replace));
}

TEST(Sets, TooGoodIsQuestionedNotPraised)
{
    const auto a = withFigures(104, 0);
    EXPECT_EQ(a.signal, Signal::MaintenanceRequired);
    EXPECT_EQ(a.verdict, Verdict::CheckStandards);
    EXPECT_EQ(a.findings[0].code, FindingCode::WrongStandard);
    EXPECT_TRUE(has(a, FindingCode::EntryError));
    EXPECT_TRUE(has(a, FindingCode::TemperatureElement));
    EXPECT_FALSE(has(a, FindingCode::Healthy));
    EXPECT_EQ(withFigures(106, 0).signal, Signal::OutOfSpecification);
}

TEST(Sets, LimitsHoldAtTheirValues)
{
    // (common practice): below 80 maintenance, below 70 use, above 103 and 105; beyond 50 mV; above 120 s.
    EXPECT_EQ(withFigures(80, 0).signal, Signal::Normal);
    EXPECT_EQ(withFigures(79.99, 0).signal, Signal::MaintenanceRequired);
    EXPECT_EQ(withFigures(70, 0).signal, Signal::MaintenanceRequired);
    EXPECT_EQ(withFigures(69.99, 0).signal, Signal::OutOfSpecification);
    EXPECT_EQ(withFigures(103, 0).signal, Signal::Normal);
    EXPECT_EQ(withFigures(103.01, 0).signal, Signal::MaintenanceRequired);
    EXPECT_EQ(withFigures(105, 0).signal, Signal::MaintenanceRequired);
    EXPECT_EQ(withFigures(105.01, 0).signal, Signal::OutOfSpecification);
    EXPECT_EQ(withFigures(97, 50).signal, Signal::Normal);
    EXPECT_EQ(withFigures(97, -50).signal, Signal::Normal);
    EXPECT_EQ(withFigures(97, 50.01).signal, Signal::MaintenanceRequired);
    EXPECT_EQ(withFigures(97, -50.01).signal, Signal::MaintenanceRequired);
    EXPECT_EQ(withFigures(97, 0, 120).signal, Signal::Normal);
    EXPECT_EQ(withFigures(97, 0, 121).signal, Signal::MaintenanceRequired);
    EXPECT_EQ(withFigures(97, 0, 121).guilty, GuiltyFigure::Response);
    EXPECT_EQ(withFigures(97, -53.5).guilty, GuiltyFigure::Offset);
}

// What does not answer, or the wrong way round, says nothing of the glass's age.
TEST(Sets, ADeadOrReversedSetDoesNotAccuseTheGlassOfAge)
{
    for (const double acid : {1.0, 20.0, 40.0, -60.0, -170.0}) {
        const auto a = calc({{"ph7.00", 0, 25}, {"ph4.01", acid, 25}});
        EXPECT_EQ(a.signal, Signal::Failure) << acid;
        EXPECT_FALSE(has(a, FindingCode::GlassAged)) << acid;
        EXPECT_FALSE(has(a, FindingCode::GlassEtched)) << acid;
    }
    EXPECT_TRUE(has(calc({{"ph7.00", 0, 25}, {"ph4.01", 133, 25}}), FindingCode::GlassAged)) << "a low one does";
}

TEST(Sets, EveryLimitComparedIsInTheWorkingWithItsSource)
{
    const auto a = withFigures(78.2, 3);
    const auto found = std::find_if(a.verdictWorking.begin(), a.verdictWorking.end(),
                                    [](const WorkingStep& s) { return s.step == "efficiency against 80"; });
    ASSERT_NE(found, a.verdictWorking.end());
    EXPECT_NE(found->source.find("common practice"), std::string::npos);
    EXPECT_NE(found->source.find("default@1"), std::string::npos);
    EXPECT_NE(found->text.find(wordsOf(Signal::MaintenanceRequired)), std::string::npos);
    EXPECT_NEAR(*found->inputs[0].value, 78.2, 1e-6);
    EXPECT_EQ(found->inputs[1].value, 80.0);
}

TEST(Sets, MissingTemperatureAbstainsButADeadCellStillShows)
{
    Visit v;
    v.visit = "calc";
    v.when = at(0);
    Shop::read(v, Phase::AsFound, "ph7.00", 1);
    Shop::read(v, Phase::AsFound, "ph4.01", 170);
    for (auto& r : v.readings) {
        r.temp_degc = {};
        r.temp_source = {};
    }
    FigureContext context;
    context.standards = &StandardsBook::shipped();
    const auto judge = [&] {
        return assessSet(v, Phase::AsFound, SensorKind::Ph, "", figuresOf(v, Phase::AsFound, context), StandardsBook::shipped(),
                         RuleSet::shipped());
    };
    auto a = judge();
    EXPECT_EQ(a.verdict, Verdict::NotEnoughData);
    EXPECT_FALSE(a.signal);
    EXPECT_TRUE(has(a, FindingCode::TemperatureMissing));
    v.readings[1].mv = 4.0;
    a = judge();
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_EQ(a.verdict, Verdict::CheckWiring);
}

TEST(Sets, CloseStandardsGiveNoVerdictOfADeadSensor)
{
    const auto a = calc({{"ph7.00", 5, 25}, {"ph6.86", 6, 25}});
    EXPECT_EQ(a.verdict, Verdict::NotEnoughData);
    EXPECT_TRUE(has(a, FindingCode::StandardsTooClose));
    EXPECT_FALSE(has(a, FindingCode::NoResponse));
}

TEST(Sets, OutsideTheTableIsSaid)
{
    const auto a = calc({{"ph7.00", 0, 25}, {"ph4.01", 177, 98}});
    EXPECT_TRUE(has(a, FindingCode::OutsideTable));
    EXPECT_EQ(a.verdict, Verdict::NotEnoughData);
}

TEST(Sets, ExchangedBeakersAreNamedButTheSignalStands)
{
    // 4.01 and 10.01 exchanged: reversed leads and exchanged beakers look the same (decision rules D2 and D4).
    const auto a = calc({{"ph4.01", mvFor("ph10.01", 98, 2), 25}, {"ph10.01", mvFor("ph4.01", 98, 2), 25}});
    EXPECT_EQ(a.signal, Signal::Failure);
    EXPECT_EQ(a.findings[0].code, FindingCode::LeadsReversed);
    const auto* entry = find(a, FindingCode::EntryError);
    ASSERT_TRUE(entry);
    EXPECT_TRUE(says(*entry, Because::Side::For, "changed places: 98.0 %"));
}

TEST(Sets, SevenAndFourExchangedIsNoExplanation)
{
    // It would leave an offset of -174 mV, which no sensor has.
    const auto a = calc({{"ph7.00", mvFor("ph4.01", 98, 2), 25}, {"ph4.01", mvFor("ph7.00", 98, 2), 25}});
    const auto b = calc({{"ph7.00", 0, 25}, {"ph4.01", -174, 25}});
    EXPECT_TRUE(has(a, FindingCode::EntryError)) << "the exchange gives 98 % and an offset of 2 mV";
    ASSERT_TRUE(has(b, FindingCode::EntryError));
    EXPECT_FALSE(says(*find(b, FindingCode::EntryError), Because::Side::For, "changed places"));
    EXPECT_TRUE(says(*find(b, FindingCode::EntryError), Because::Side::For, "other sign"));
}

TEST(Sets, SixEightySixTakenForSevenIsSeenAgainstTheLastTime)
{
    // CC1: about 95 % and +8 mV where the sensor had 99.5 % and 0 (computed from the electrode equation).
    Shop shop;
    shop.wellBefore(2, {.efficiency = 99.5, .offset = 0});
    auto& v = shop.visit(70);
    Shop::read(v, Phase::AsFound, "ph7.00", mvFor("ph6.86", 99.5, 0));
    Shop::read(v, Phase::AsFound, "ph4.01", mvFor("ph4.01", 99.5, 0));
    const auto a = shop.assess();
    EXPECT_NEAR(*a.figures->efficiency_pct, 95, 0.5);
    EXPECT_NEAR(*a.figures->offset_mv, 8, 0.5);
    ASSERT_TRUE(has(a, FindingCode::WrongStandard));
    EXPECT_EQ(a.verdict, Verdict::CheckStandards);
}

TEST(Sets, AlkalineBottlesTakenForEachOther)
{
    // CC3: 138 % or 72 % (computed from the electrode equation).
    const auto high = calc({{"ph7.00", 0, 25}, {"ph9.18", mvFor("ph10.01", 99, 0), 25}});
    const auto low = calc({{"ph7.00", 0, 25}, {"ph10.01", mvFor("ph9.18", 99, 0), 25}});
    EXPECT_NEAR(*high.figures->efficiency_pct, 138, 2);
    EXPECT_NEAR(*low.figures->efficiency_pct, 72, 2);
    EXPECT_TRUE(says(*find(high, FindingCode::WrongStandard), Because::Side::For, "pH 10.01"));
    EXPECT_TRUE(says(*find(low, FindingCode::WrongStandard), Because::Side::For, "pH 9.18"));
    EXPECT_EQ(high.verdict, Verdict::CheckStandards);
    EXPECT_EQ(low.verdict, Verdict::CheckStandards);
}

}  // namespace halfcell::core::test
