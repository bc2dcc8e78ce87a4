#include "app/bench/bench_model.h"
#include "app/bench/live_readings.h"
#include "app/bench/readings_panel.h"
#include "tests/app/bench/bench_fixture.h"

#include <QElapsedTimer>

#include <gtest/gtest.h>

#include <algorithm>

namespace halfcell::app::bench {
namespace {

using namespace core;

/// A draft with two dips typed, the second one's temperature carried.
VisitDraft typed(const SensorInHand& hand, const char* first, const char* second, const char* temp, Phase phase = Phase::AsFound)
{
    VisitDraft draft = BenchModel::freshDraft(hand, "visit-1", test::testNow(), "T1");
    PhaseForm& form = draft.phase(phase);
    if (form.dips.empty())
        form.dips = draft.found.dips;
    form.dips[0].mv = {first, true, false};
    form.dips[0].temp = {temp, true, false};
    form.dips[0].wait = {"120", true, false};
    form.dips[1].mv = {second, true, false};
    form.dips[1].wait = {"180", true, false};
    return draft;
}

TEST(LiveReadings, ShowEfficiencyAndOffsetOfTheDrawnVisit)
{
    test::Hand keep;
    const auto live = liveFigures(typed(*keep.get(), "-13", "-176", "19.0"), *keep.get());
    ASSERT_TRUE(live.found.figures.efficiency_pct);
    EXPECT_NEAR(*live.found.figures.efficiency_pct, 92.1, 0.05);
    EXPECT_NEAR(*live.found.figures.offset_mv, -11.9, 0.05);
    EXPECT_TRUE(live.found.changeCounts);
    EXPECT_TRUE(live.found.change.contains(QStringLiteral("lower; noise 1.8 %"))) << live.found.change.toStdString();
    EXPECT_TRUE(live.fitness.contains(QStringLiteral("tolerance ±0.20"))) << live.fitness.toStdString();
}

TEST(LiveReadings, SayWhatTheIdealAndTheLastReadingWere)
{
    test::Hand keep;
    const auto live = liveFigures(typed(*keep.get(), "-13", "-176", "19.0"), *keep.get());
    ASSERT_EQ(live.found.dips.size(), 2U);
    EXPECT_NEAR(*live.found.dips[0].ideal_mv, -1.2, 0.1);
    EXPECT_NEAR(*live.found.dips[1].ideal_mv, -178.0, 1.0);
    EXPECT_DOUBLE_EQ(*live.found.dips[0].last_mv, -10.0);
    EXPECT_DOUBLE_EQ(*live.found.dips[1].last_mv, -181.0);
    EXPECT_TRUE(live.found.dips[1].carried);
}

TEST(LiveReadings, SayWhatCleaningGained)
{
    test::Hand keep;
    VisitDraft draft = typed(*keep.get(), "-13", "-176", "19.0");
    draft.steps.push_back({.action = ActionKey::CleanAcid, .when = test::testNow()});
    draft.didEnded = true;
    draft.clean.dips = {{.standard = "ph7.00"}, {.standard = "ph10.01"}};
    draft.clean.dips[0].mv = {"-10", true, false};
    draft.clean.dips[0].temp = {"19.0", true, false};
    draft.clean.dips[1].mv = {"-181", true, false};
    const auto live = liveFigures(draft, *keep.get());
    EXPECT_TRUE(live.clean.change.startsWith(QStringLiteral("gained 4."))) << live.clean.change.toStdString();
    // The zero wanders after acid: the offset is less sure than as found.
    EXPECT_GT(*live.clean.figures.u_offset_mv, *live.found.figures.u_offset_mv);
}

TEST(LiveReadings, NoTemperatureNoEfficiency)
{
    test::Hand keep;
    VisitDraft draft = typed(*keep.get(), "-13", "-176", "");
    draft.found.dips[0].temp = {"", false, true};
    const auto live = liveFigures(draft, *keep.get());
    EXPECT_FALSE(live.found.figures.efficiency_pct);
    EXPECT_TRUE(live.found.dips[0].notes.join(u' ').contains(QStringLiteral("efficiency is not worked out")));
}

TEST(LiveReadings, AChangeInsideTheNoiseIsNoChange)
{
    test::Hand keep;
    const auto live = liveFigures(typed(*keep.get(), "-10", "-180", "19.0"), *keep.get());
    EXPECT_FALSE(live.found.changeCounts);
    EXPECT_TRUE(live.found.change.startsWith(QStringLiteral("no change you can trust")));
}

TEST(LiveReadings, ABottlePastItsLifeIsMarked)
{
    test::Hand keep;
    VisitDraft draft = typed(*keep.get(), "-13", "-176", "19.0");
    draft.found.dips[1].lot = "B10-0850";
    const auto live = liveFigures(draft, *keep.get());
    const QString note = live.found.dips[1].notes.join(u' ');
    EXPECT_TRUE(note.contains(QStringLiteral("B10-0850 was opened 34 days ago; 30 is the limit for pH 10.01"))) << note.toStdString();
    EXPECT_TRUE(lotTrouble(*keep.get(), "ph10.01", "B10-0874", test::testNow()).isEmpty());
}

TEST(LiveReadings, FindingsLookAtTheHistory)
{
    test::Hand keep;
    auto live = liveFigures(typed(*keep.get(), "-13", "-176", "19.0"), *keep.get());
    addFindings(live, *keep.get());
    ASSERT_FALSE(live.findings.empty());
    EXPECT_FALSE(live.sentence.isEmpty());
}

TEST(LiveReadings, OrpHasOffsetAndSpanAndNoEfficiency)
{
    test::Hand keep(test::kOrpSerial);
    auto live = liveFigures(typed(*keep.get(), "+55", "+228", "21.0"), *keep.get());
    ASSERT_TRUE(live.found.figures.offset_mv);
    EXPECT_NEAR(*live.found.figures.offset_mv, -27.0, 0.6);
    EXPECT_NEAR(*live.found.figures.span_pct, 98.0, 0.6);
    EXPECT_FALSE(live.found.figures.efficiency_pct);
    EXPECT_NEAR(*live.found.dips[0].ideal_mv, 81.0, 0.6);
    EXPECT_NEAR(*live.found.dips[1].ideal_mv, 257.0, 0.6);
    addFindings(live, *keep.get());
    ASSERT_FALSE(live.findings.empty());
    for (const Finding& finding : live.findings)
        EXPECT_EQ(finding.title.find("fficiency"), std::string::npos);
    const auto gauge = gaugeSeriesOf(live, *keep.get());
    ASSERT_EQ(gauge.rungs.size(), 2U);
    EXPECT_NEAR(gauge.rungs[0].expectedMv, 81.0, 0.6);
}

TEST(LiveReadings, OneOrpStandardAloneSaysWhatItDoesNotShow)
{
    test::Hand keep(test::kOrpSerial);
    VisitDraft draft = typed(*keep.get(), "+55", "+228", "21.0");
    draft.found.dips.pop_back();
    const auto live = liveFigures(draft, *keep.get());
    EXPECT_TRUE(live.found.dips[0].notes.join(u' ').contains(QStringLiteral("a filmed metal would not show")));
}

TEST(LiveReadings, AnAdjustedSensorSaysWhatToKeyIn)
{
    test::Hand keep;
    VisitDraft draft = typed(*keep.get(), "-10", "-181", "19.0");
    EXPECT_FALSE(liveFigures(draft, *keep.get()).keyIn);
    draft.leftAnswer = LeftAnswer::Adjusted;
    const auto live = liveFigures(draft, *keep.get());
    ASSERT_TRUE(live.keyIn);
    EXPECT_NEAR(live.keyIn->figures.efficiency_pct, *live.found.figures.efficiency_pct, 1e-9);
    EXPECT_TRUE(live.keyIn->text.contains(QStringLiteral("mV/pH")));
}

TEST(LiveReadings, TheSlopeSeriesHasTheReadingsTheLineAndTheLastOne)
{
    test::Hand keep;
    const auto live = liveFigures(typed(*keep.get(), "-13", "-176", "19.0"), *keep.get());
    const auto series = slopeSeriesOf(live, *keep.get());
    ASSERT_EQ(series.points.size(), 2U);
    EXPECT_NEAR(series.points[0].mv - series.points[0].idealMv, -11.8, 0.1);
    ASSERT_EQ(series.lines.size(), 2U);
    EXPECT_TRUE(series.lines[1].earlier);
    EXPECT_NEAR(series.idealTemperature, 19.0, 1e-9);
}

TEST(LiveReadings, FiguresAreThereWithinThirtyMilliseconds)
{
    test::Hand keep;
    const VisitDraft draft = typed(*keep.get(), "-13", "-176", "19.0");
    (void)liveFigures(draft, *keep.get());
    QElapsedTimer timer;
    // The best of a few: a loaded machine takes the thread away without our doing.
    qint64 best = 1000;
    for (int i = 0; i < 5; ++i) {
        timer.start();
        (void)liveFigures(draft, *keep.get());
        best = std::min(best, timer.elapsed());
    }
    EXPECT_LE(best, 30);
}

}  // namespace
}  // namespace halfcell::app::bench
