#include "core/electrochemistry/nernst.h"
#include "tests/core/calibration/visit_of_tests.h"

#include <gtest/gtest.h>

namespace halfcell::core {
namespace {

using test::hasIssue;
using test::isMissing;
using test::orpFigures;

// Ferri/ferrocyanide 430 mV against hydrogen, silver/silver chloride 3 M 209 and saturated 199 mV at 25 degC (USGS A6.5).
TEST(OrpFigures, OffsetDependsOnTheFilling)
{
    EXPECT_NEAR(orpFigures("3M KCl", {{"zobell", 221.0, 25.0}}).offset_mv.value(), 0.0, 1.0);
    EXPECT_NEAR(orpFigures("sat KCl", {{"zobell", 221.0, 25.0}}).offset_mv.value(), -10.0, 1.0);
    EXPECT_NEAR(orpFigures("3.5M KCl", {{"zobell", 221.0, 25.0}}).offset_mv.value(), -4.0, 1.0);
}

TEST(OrpFigures, OneStandardGivesTheOffsetOnly)
{
    const PhaseFigures f = orpFigures("3M KCl", {{"zobell", 221.0, 25.0}});
    EXPECT_FALSE(f.span_pct);
    EXPECT_TRUE(isMissing(f, "span_pct"));
    EXPECT_FALSE(f.efficiency_pct);
    EXPECT_GT(f.u_offset_mv.value(), 3.5);
}

// GC37: quinhydrone in pH 4.005 and 7.000 at 25 degC is 177.182 mV apart, whatever the reference.
TEST(OrpFigures, SpanOfTwoStandards)
{
    for (const char* fill : {"3M KCl", "sat KCl", "1M KCl"}) {
        const PhaseFigures f = orpFigures(fill, {{"quinhydrone_ph7", 60.0, 25.0}, {"quinhydrone_ph4", 60.0 + 0.95 * 177.182, 25.0}});
        EXPECT_NEAR(f.span_pct.value(), 95.0, 0.001);
        EXPECT_NEAR(f.span_between_standards_mv.value(), 0.95 * 177.182, 1e-9);
        EXPECT_GT(f.u_span_pct.value(), 1.0);
        EXPECT_NEAR(f.offset_mv.value(),
                    0.5 * ((f.used.at(0).e_mv - f.used.at(0).standardValue) + (f.used.at(1).e_mv - f.used.at(1).standardValue)), 1e-12);
    }
}

TEST(OrpFigures, DifferentialIsJudgedAgainstItsOwnBaseline)
{
    const PhaseFigures none = orpFigures("differential", {{"zobell", 312.0, 25.0}});
    EXPECT_FALSE(none.offset_mv);
    EXPECT_TRUE(isMissing(none, "offset_mv"));
    EXPECT_EQ(none.used.size(), 1U);  // the next visit takes its baseline from here
    FigureContext context;
    context.orp_baseline_mv = 300.0;
    EXPECT_NEAR(orpFigures("differential", {{"zobell", 312.0, 25.0}}, context).offset_mv.value(), 12.0, 1e-12);
    // Another standard than the baseline's moves what is expected by their difference on the hydrogen scale.
    context.orp_baseline_standard = "quinhydrone_ph4";
    context.orp_baseline_temp_c = 25.0;
    const double k = nernstSlopeUnchecked(298.15);
    const PhaseFigures f = orpFigures("differential", {{"quinhydrone_ph7", 300.0 - k * 2.995 - 5.0, 25.0}}, context);
    EXPECT_NEAR(f.offset_mv.value(), -5.0, 1e-9);
}

TEST(OrpFigures, RefusesWhatItCannotCompare)
{
    const PhaseFigures warm = orpFigures("3M KCl", {{"light", 466.0, 31.0}});
    EXPECT_FALSE(warm.offset_mv);
    EXPECT_TRUE(hasIssue(warm, FindingCode::OutsideTable));
    const PhaseFigures buffer = orpFigures("3M KCl", {{"ph7.00", 0.0, 25.0}});
    EXPECT_TRUE(hasIssue(buffer, FindingCode::WrongStandard));
    EXPECT_TRUE(isMissing(buffer, "offset_mv"));
    const PhaseFigures cold = orpFigures("3M KCl", {{"zobell", 221.0}});
    EXPECT_TRUE(hasIssue(cold, FindingCode::TemperatureMissing));
    EXPECT_TRUE(isMissing(cold, "offset_mv"));
    EXPECT_TRUE(isMissing(orpFigures("brine", {{"zobell", 221.0, 25.0}}), "offset_mv"));
}

// ferri/ferrocyanide and quinhydrone in pH 4 are 32 mV apart: no span from those.
TEST(OrpFigures, StandardsTooCloseGiveNoSpan)
{
    const PhaseFigures f = orpFigures("3M KCl", {{"zobell", 221.0, 25.0}, {"quinhydrone_ph4", 250.0, 25.0}});
    EXPECT_FALSE(f.span_pct);
    EXPECT_TRUE(hasIssue(f, FindingCode::StandardsTooClose));
    EXPECT_TRUE(f.offset_mv);
}

TEST(OrpFigures, ConstantMillivoltsMoveTheOffsetAlone)
{
    const PhaseFigures a = orpFigures("3M KCl", {{"quinhydrone_ph7", 76.0, 20.0}, {"quinhydrone_ph4", 250.0, 21.0}});
    const PhaseFigures b = orpFigures("3M KCl", {{"quinhydrone_ph7", 96.0, 20.0}, {"quinhydrone_ph4", 270.0, 21.0}});
    EXPECT_NEAR(b.offset_mv.value(), a.offset_mv.value() + 20.0, 1e-9);
    EXPECT_NEAR(b.span_pct.value(), a.span_pct.value(), 1e-9);
    EXPECT_DOUBLE_EQ(b.u_offset_mv.value(), a.u_offset_mv.value());
}

}  // namespace
}  // namespace halfcell::core
