#include "core/electrochemistry/nernst.h"
#include "tests/core/calibration/visit_of_tests.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

namespace halfcell::core {
namespace {

using test::hasIssue;
using test::isMissing;
using test::phFigures;
using test::Read;
using test::visitOf;

// 160 / (3 * 59.1593) = 90.15 %: slope from the SI constants. The trade rounds 59.16 to 59 and says 90 % (common practice).
TEST(PhFigures, TheTradesOwnExample)
{
    const PhaseFigures f = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.00", 160.0, 25.0}});
    EXPECT_NEAR(f.efficiency_pct.value(), 90.2, 0.05);
    EXPECT_NEAR(f.efficiency_pct.value(), 100.0 * 160.0 / (3.0 * 59.159349685), 1e-6);
    EXPECT_NEAR(f.offset_mv.value(), 0.0, 1e-12);
    EXPECT_NEAR(f.zero_point_ph.value(), 7.0, 1e-12);
    EXPECT_NEAR(f.slope_mv_per_ph.value(), 160.0 / 3.0, 1e-9);
    EXPECT_NEAR(f.span_between_standards_mv.value(), 160.0, 1e-12);
    EXPECT_TRUE(f.issues.empty());
}

// The 7.00 buffer is 7.06 at 10 degC (USGS A6.4; 7.059 in the table): -3.4 mV there is no offset.
TEST(PhFigures, ColdSevenIsNoOffset)
{
    const double k = nernstSlopeUnchecked(283.15);
    const PhaseFigures f = phFigures({{"ph7.00", -3.4, 10.0}, {"ph4.01", 1.02 * 0.0 + k * 3.003, 10.0}});
    EXPECT_NEAR(f.offset_mv.value(), 0.0, 0.1);
    const PhaseFigures alone = phFigures({{"ph7.00", -3.4, 10.0}});
    EXPECT_NEAR(alone.offset_mv.value(), 0.0, 0.1);
    EXPECT_FALSE(alone.efficiency_pct);
    EXPECT_TRUE(hasIssue(alone, FindingCode::TooFewReadings));
}

TEST(PhFigures, TooGoodIsComputedAsItIs)
{
    const PhaseFigures f = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.00", 1.04 * 3.0 * 59.159349685, 25.0}});
    EXPECT_NEAR(f.efficiency_pct.value(), 104.0, 1e-6);
}

TEST(PhFigures, ReversedAndDeadAreComputedAsTheyAre)
{
    const PhaseFigures reversed = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.00", -170.0, 25.0}});
    EXPECT_LT(reversed.efficiency_pct.value(), -90.0);
    EXPECT_TRUE(isMissing(reversed, "zero_point_ph"));
    EXPECT_FALSE(keyInFigures(reversed));
    const PhaseFigures dead = phFigures({{"ph7.00", 12.0, 25.0}, {"ph4.00", 12.0, 25.0}});
    EXPECT_NEAR(dead.efficiency_pct.value(), 0.0, 1e-12);
    EXPECT_NEAR(dead.span_between_standards_mv.value(), 0.0, 1e-12);
}

// -13 mV in 7.00 and -176 mV in 10.01 at 19 degC: tables give 7.020 and 10.0732; default budget.
TEST(PhFigures, ColdTwoPointWithSettlingRemainder)
{
    const PhaseFigures f = phFigures({{"ph7.00", -13.0, 19.0}, {"ph10.01", -176.0, 19.0, 180.0, 95.0}});
    EXPECT_NEAR(f.efficiency_pct.value(), 92.1, 0.05);
    EXPECT_NEAR(f.offset_mv.value(), -11.9, 0.05);
    EXPECT_NEAR(f.used.at(1).remainder_mv, 163.0 * std::pow(10.0, -180.0 / 95.0), 1e-12);
    EXPECT_NEAR(f.used.at(1).remainder_mv, 2.1, 0.05);
    EXPECT_NEAR(f.u_efficiency_pct.value(), 0.99, 0.01);
    EXPECT_TRUE(hasIssue(f, FindingCode::ReadTooSoon));
    EXPECT_NEAR(f.least_wait_ratio.value(), 180.0 / 95.0, 1e-12);
    EXPECT_EQ(f.t90_s.value(), 95.0);
}

TEST(PhFigures, LongWaitsRaiseNoRemark)
{
    const PhaseFigures f = phFigures({{"ph7.00", -13.0, 19.0, 60.0, 20.0}, {"ph10.01", -176.0, 19.0, 60.0, 20.0}});
    EXPECT_LT(f.used.at(1).remainder_mv, 1.0);
    EXPECT_FALSE(hasIssue(f, FindingCode::ReadTooSoon));
}

TEST(PhFigures, ThreeStandardsGiveLegsAndMiddle)
{
    // GC19-GC23 with equal weights: the same u for every reading.
    FigureContext context;
    context.u_reading_mv = {0.5, 0.5, 0.5};
    const PhaseFigures f = phFigures({{"ph4.01", 170.0, 20.0}, {"ph7.00", -4.0, 25.0}, {"ph10.01", -176.5, 30.0}}, context);
    EXPECT_NEAR(f.efficiency_pct.value(), 98.193867, 1e-5);
    EXPECT_NEAR(f.offset_mv.value(), -2.201988, 1e-5);
    EXPECT_NEAR(f.residual_mv.value(), -1.798012, 1e-5);
    EXPECT_NEAR(f.acid_leg_pct.value(), 99.745728, 1e-5);
    EXPECT_NEAR(f.alkaline_leg_pct.value(), 96.687828, 1e-5);
    EXPECT_NEAR(f.used.at(0).residual_mv, 0.909110, 1e-5);
    EXPECT_NEAR(f.used.at(2).residual_mv, 0.888902, 1e-5);
}

TEST(PhFigures, RepeatedDipsCountAsReadingsAndNotAsStandards)
{
    const PhaseFigures f = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}, {"ph7.00", 1.0, 25.0}});
    EXPECT_EQ(f.used.size(), 3U);
    EXPECT_FALSE(f.acid_leg_pct);
    EXPECT_FALSE(f.residual_mv);
    const PhaseFigures one = phFigures({{"ph7.00", 0.0, 25.0}, {"ph7.00", 1.0, 25.0}});
    EXPECT_FALSE(one.efficiency_pct);
    EXPECT_TRUE(hasIssue(one, FindingCode::TooFewReadings));
    EXPECT_NEAR(one.offset_mv.value(), 0.5, 1e-12);
}

TEST(PhFigures, OrderOfRowsIsThatOfTheClock)
{
    Visit visit = visitOf({{"ph7.00", -2.0, 22.0}, {"ph4.01", 168.0, 23.0}, {"ph10.01", -172.0, 24.0}});
    FigureContext context;
    const PhaseFigures first = figuresOf(visit, Phase::AsFound, context);
    std::swap(visit.readings[0], visit.readings[2]);
    const PhaseFigures second = figuresOf(visit, Phase::AsFound, context);
    EXPECT_DOUBLE_EQ(first.efficiency_pct.value(), second.efficiency_pct.value());
    EXPECT_DOUBLE_EQ(first.u_efficiency_pct.value(), second.u_efficiency_pct.value());
    EXPECT_DOUBLE_EQ(first.offset_mv.value(), second.offset_mv.value());
}

TEST(PhFigures, ConstantMillivoltsMoveTheOffsetAlone)
{
    const PhaseFigures a = phFigures({{"ph7.00", -2.0, 22.0}, {"ph4.01", 168.0, 23.0}, {"ph10.01", -172.0, 24.0}});
    const PhaseFigures b = phFigures({{"ph7.00", 18.0, 22.0}, {"ph4.01", 188.0, 23.0}, {"ph10.01", -152.0, 24.0}});
    EXPECT_NEAR(b.offset_mv.value(), a.offset_mv.value() + 20.0, 1e-9);
    EXPECT_NEAR(b.efficiency_pct.value(), a.efficiency_pct.value(), 1e-10);
    EXPECT_NEAR(b.residual_mv.value(), a.residual_mv.value(), 1e-9);
}

TEST(PhFigures, MissingTemperatureGivesNoEfficiency)
{
    const PhaseFigures f = phFigures({{"ph7.00", 3.0}, {"ph4.00", 160.0}});
    EXPECT_FALSE(f.efficiency_pct);
    EXPECT_TRUE(isMissing(f, "efficiency_pct"));
    EXPECT_TRUE(hasIssue(f, FindingCode::TemperatureMissing));
    EXPECT_FALSE(hasIssue(f, FindingCode::TooFewReadings));
    // The 7 buffer by its name, with what its table may stray.
    EXPECT_NEAR(f.offset_mv.value(), 3.0, 1e-12);
    EXPECT_GT(f.u_offset_mv.value(), 2.0);
    const PhaseFigures far = phFigures({{"ph6.86", 3.0}, {"ph4.00", 160.0}});
    EXPECT_FALSE(far.offset_mv);
    EXPECT_TRUE(isMissing(far, "offset_mv"));
    Visit visit = visitOf({{"ph7.00", 3.0, 25.0}, {"ph4.00", 160.0, 25.0}});
    visit.readings[1].temp_source = TemperatureSource::Absent;
    EXPECT_FALSE(figuresOf(visit, Phase::AsFound, {}).efficiency_pct);
}

TEST(PhFigures, OutsideTheTableIsRefused)
{
    const PhaseFigures f = phFigures({{"ph7.00", 0.0, 55.0}, {"ph4.01", 170.0, 25.0}});
    EXPECT_FALSE(f.efficiency_pct);
    EXPECT_TRUE(hasIssue(f, FindingCode::OutsideTable));
    EXPECT_TRUE(isMissing(f, "efficiency_pct"));
    EXPECT_TRUE(phFigures({{"ph7.00", 0.0, 50.0}, {"ph4.01", 170.0, 50.0}}).efficiency_pct);
}

TEST(PhFigures, StandardsTooCloseGiveNoSlopeAndNoSpan)
{
    const PhaseFigures f = phFigures({{"ph7.00", 0.0, 25.0}, {"ph6.86", 0.0, 25.0}});
    EXPECT_FALSE(f.efficiency_pct);
    EXPECT_FALSE(f.span_between_standards_mv);
    EXPECT_TRUE(hasIssue(f, FindingCode::StandardsTooClose));
    EXPECT_TRUE(f.offset_mv);
    // 9.18 at 0 degC is 9.464, 10.01 at 50 degC is 9.828: near each other at their temperatures.
    EXPECT_TRUE(hasIssue(phFigures({{"ph9.18", -120.0, 0.0}, {"ph10.01", -140.0, 50.0}}), FindingCode::StandardsTooClose));
}

TEST(PhFigures, OneStandardFarFromSevenGivesNothing)
{
    const PhaseFigures f = phFigures({{"ph4.01", 170.0, 25.0}});
    EXPECT_FALSE(f.offset_mv);
    EXPECT_TRUE(isMissing(f, "offset_mv"));
    EXPECT_TRUE(hasIssue(f, FindingCode::TooFewReadings));
}

TEST(PhFigures, OnePointOffsetUsesTheLastSlope)
{
    FigureContext context;
    context.lastSlopeFraction = 0.9;
    const double x = nernstSlopeUnchecked(283.15) * 0.059;
    EXPECT_NEAR(phFigures({{"ph7.00", -3.4, 10.0}}, context).offset_mv.value(), -3.4 + 0.9 * x, 1e-9);
    EXPECT_NEAR(phFigures({{"ph7.00", -3.4, 10.0}}).offset_mv.value(), -3.4 + x, 1e-9);
}

TEST(PhFigures, WrongKindOfStandardIsNamed)
{
    const PhaseFigures f = phFigures({{"zobell", 221.0, 25.0}, {"ph7.00", 0.0, 25.0}});
    EXPECT_TRUE(hasIssue(f, FindingCode::WrongStandard));
    EXPECT_TRUE(hasIssue(phFigures({{"ph7.77", 0.0, 25.0}}), FindingCode::EntryError));
}

TEST(PhFigures, NothingReadSaysSo)
{
    Visit visit = visitOf({{"ph7.00", 0.0, 25.0}});
    visit.readings[0].mv.reset();
    visit.readings[0].why_missing = "broken";
    const PhaseFigures f = figuresOf(visit, Phase::AsFound, {});
    EXPECT_FALSE(f.offset_mv);
    EXPECT_TRUE(isMissing(f, "offset_mv"));
    EXPECT_TRUE(hasIssue(f, FindingCode::TooFewReadings));
}

TEST(PhFigures, ThermometerSourceCounts)
{
    Visit visit = visitOf({{"ph7.00", 0.0, 25.0}, {"ph10.01", -170.0, 25.0}});
    const auto u = [&](std::optional<TemperatureSource> source) {
        for (Reading& r : visit.readings)
            r.temp_source = source;
        return figuresOf(visit, Phase::AsFound, {}).u_efficiency_pct.value();
    };
    EXPECT_LT(u(TemperatureSource::Measured), u(TemperatureSource::Carried));
    EXPECT_DOUBLE_EQ(u(TemperatureSource::Carried), u(std::nullopt));
    EXPECT_LT(u(TemperatureSource::Carried), u(TemperatureSource::Guessed));
}

TEST(PhFigures, CertificateOfTheLotShiftsAndSharpens)
{
    Lot lot;
    lot.lot = "B7-2231";
    lot.standard = "ph7.00";
    lot.certified_ph = 7.02;
    lot.u_ph = 0.004;
    const StandardsBook book = StandardsBook::with({}, {{lot}});
    FigureContext context;
    context.standards = &book;
    const PhaseFigures with = phFigures({{"ph7.00", 0.0, 25.0, {}, {}, "B7-2231"}, {"ph4.01", 170.0, 25.0}}, context);
    const PhaseFigures without = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}}, context);
    EXPECT_NEAR(with.used.at(0).standardValue, 7.02, 1e-12);
    EXPECT_LT(with.u_efficiency_pct.value(), without.u_efficiency_pct.value());
}

TEST(PhFigures, AcidBeforeWidensTheOffset)
{
    FigureContext context;
    context.acidBefore = true;
    const auto plain = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}});
    const auto acid = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}}, context);
    EXPECT_GT(acid.u_offset_mv.value(), plain.u_offset_mv.value());
    EXPECT_DOUBLE_EQ(acid.u_efficiency_pct.value(), plain.u_efficiency_pct.value());
}

TEST(PhFigures, ProcessPhGetsItsOwnUncertainty)
{
    FigureContext context;
    context.process_ph = 5.5;
    context.process_temp_c = 30.0;
    context.grab_quality = GrabQuality::Dirty;
    const auto inside = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}}, context);
    EXPECT_FALSE(inside.extrapolated_ph);
    EXPECT_DOUBLE_EQ(inside.u_junction_ph.value(), 0.12);
    const auto at = uncertaintyAtPh(*inside.fit, 5.5, {.temp_c = 30.0, .u_e_mv = 0.5, .u_t_k = 0.5, .u_junction_ph = 0.12}).value();
    EXPECT_NEAR(inside.u_at_process_ph.value(), at.uWithoutJunction(), 1e-12);
    context.process_ph = 9.5;
    const auto far = phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.01", 170.0, 25.0}}, context);
    EXPECT_NEAR(far.extrapolated_ph.value(), 2.5, 1e-12);
    const auto there = uncertaintyAtPh(*far.fit, 9.5, {.temp_c = 30.0, .u_e_mv = 0.5, .u_t_k = 0.5}).value();
    EXPECT_NEAR(far.u_at_process_ph.value(), 2.0 * there.uWithoutJunction(), 1e-12);
}

TEST(PhFigures, EveryFigureThatIsNotThereHasAReason)
{
    for (const PhaseFigures& f :
         {phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.00", 160.0, 25.0}}), phFigures({{"ph4.00", 160.0, 25.0}}), phFigures({{"ph7.00", 0.0}}),
          phFigures({{"ph7.00", 0.0, 25.0}, {"ph6.86", 3.0, 25.0}}), phFigures({{"ph7.00", 0.0, 25.0}, {"ph4.00", -160.0, 25.0}}),
          phFigures({{"ph4.01", 170.0, 25.0}, {"ph1.68", 300.0, 25.0}, {"ph9.18", -120.0, 25.0}}), phFigures({})}) {
        const std::vector<std::pair<const char*, std::optional<double>>> figures{
            {"efficiency_pct", f.efficiency_pct},     {"u_efficiency_pct", f.u_efficiency_pct},
            {"slope_mv_per_ph", f.slope_mv_per_ph},   {"offset_mv", f.offset_mv},
            {"u_offset_mv", f.u_offset_mv},           {"zero_point_ph", f.zero_point_ph},
            {"residual_mv", f.residual_mv},           {"acid_leg_pct", f.acid_leg_pct},
            {"alkaline_leg_pct", f.alkaline_leg_pct}, {"u_at_process_ph", f.u_at_process_ph}};
        for (const auto& [key, value] : figures)
            EXPECT_NE(value.has_value(), isMissing(f, key)) << key;
        std::set<std::string> seen;
        for (const auto& [key, reason] : f.missing)
            EXPECT_TRUE(seen.insert(key).second) << key << " twice";
    }
}

TEST(KeyIn, FormsThatAnalysersAskFor)
{
    const auto f = phFigures({{"ph7.00", -13.0, 19.0}, {"ph10.01", -176.0, 19.0}});
    const KeyIn key = keyInFigures(f).value();
    EXPECT_NEAR(key.slope_mv_per_ph_25c, key.efficiency_pct / 100.0 * 59.159349685, 1e-6);
    EXPECT_DOUBLE_EQ(key.zero_point_ph, *f.zero_point_ph);
    EXPECT_DOUBLE_EQ(key.offset_ph, key.zero_point_ph - 7.0);
    EXPECT_LT(key.offset_ph, 0.0);
    EXPECT_FALSE(keyInFigures(phFigures({{"ph7.00", 0.0, 25.0}})));
}

TEST(LegacyFigures, AreWhatWasTypedAndMarked)
{
    Legacy legacy;
    legacy.efficiency_pct = 93.0;
    legacy.offset_mv = -7.0;
    const PhaseFigures f = figuresOf(legacy, SensorKind::Ph);
    EXPECT_TRUE(f.legacy);
    EXPECT_EQ(f.efficiency_pct, 93.0);
    EXPECT_FALSE(f.u_efficiency_pct);
    EXPECT_TRUE(isMissing(f, "u_efficiency_pct"));
    ASSERT_NE(test::workingOf(f, "efficiency_pct"), nullptr);
    EXPECT_EQ(test::workingOf(f, "efficiency_pct")->steps.at(0).text, "no millivolts were recorded");
}

}  // namespace
}  // namespace halfcell::core
