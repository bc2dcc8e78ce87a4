#include "app/panels/plain_words.h"
#include "app/record/figure_working.h"
#include "app/record/phase_figure.h"
#include "app/record/record_page.h"
#include "tests/app/record/small_shop.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::waitFor;

class RecordPageTest : public ::testing::Test {
protected:
    std::unique_ptr<test::SmallShop> small;

    std::shared_ptr<const Dossier> dossier(const std::string& serial, core::Records records = test::smallRecords())
    {
        small = std::make_unique<test::SmallShop>(std::move(records));
        std::shared_ptr<const Dossier> loaded;
        small->shop().loadDossier(serial, &small->shop(), [&](core::Result<std::shared_ptr<const Dossier>> answer) {
            EXPECT_TRUE(answer.has_value());
            if (answer)
                loaded = *answer;
        });
        EXPECT_TRUE(waitFor([&] { return loaded != nullptr; }));
        return loaded;
    }
    static const LifeLinePanel& panel(const LifeLineSeries& line, const QString& key)
    {
        return *std::ranges::find(line.panels, key, &LifeLinePanel::key);
    }
};

TEST_F(RecordPageTest, TheHeadHasFourFiguresWithTheirUncertainty)
{
    const RecordPage page = recordPage(dossier("K7-0412"), test::testNow());
    EXPECT_EQ(page.head.serial, u"K7-0412"_s);
    EXPECT_EQ(page.head.design, u"double-junction gel, bulb glass"_s);
    EXPECT_EQ(page.head.place, u"AE-3107 Neutralisation tank 2 since 28 Sep 2025"_s);
    ASSERT_EQ(page.head.figures.size(), 4U);
    EXPECT_EQ(page.head.figures[0].label, u"Efficiency, as left"_s);
    for (std::size_t i = 0; i < 3; ++i)
        EXPECT_TRUE(page.head.figures[i].figure.value.has_value()) << i;
    EXPECT_TRUE(page.head.figures[0].figure.expanded.has_value());
    EXPECT_TRUE(page.head.figures[1].figure.expanded.has_value());
    // 28 Sep to 2 Mar.
    EXPECT_NEAR(*page.head.figures[3].figure.value, 155.0 / 30.44, 0.05);
}

TEST_F(RecordPageTest, TheVisitsAreNewestFirstWithThePublishedExample)
{
    const RecordPage page = recordPage(dossier("K7-0412"), test::testNow());
    ASSERT_EQ(page.visits.size(), 4U);
    const VisitLine& last = page.visits.front();
    EXPECT_EQ(last.visit, u"v-2026-02"_s);
    EXPECT_EQ(last.reason, u"routine"_s);
    EXPECT_EQ(last.did, u"D A"_s);
    EXPECT_EQ(last.by, u"T1"_s);
    // −13 mV in pH 7.00 and −176 mV in pH 10.01 at 19.0 °C (worked by hand in the table of the Working).
    EXPECT_NEAR(*last.figures[0][0].value, 92.1, 0.05);
    EXPECT_NEAR(*last.figures[0][1].value, -11.9, 0.05);
    EXPECT_EQ(last.figures[0][2].value, 95.0);
    EXPECT_TRUE(page.visits.back().legacy);
    EXPECT_TRUE(last.spoken.contains(u"as found efficiency 92.1 percent"_s)) << last.spoken.toStdString();
}

TEST_F(RecordPageTest, TheLifeLineHasEveryPhaseAndItsStrips)
{
    const RecordPage page = recordPage(dossier("K7-0412"), test::testNow());
    const LifeLineSeries& line = page.line;
    ASSERT_EQ(line.panels.size(), 3U);
    const LifeLinePanel& efficiency = panel(line, u"efficiency_pct"_s);
    // Legacy as left; then found and left; then found, after cleaning and left twice.
    EXPECT_EQ(efficiency.points.size(), 9U);
    ASSERT_EQ(efficiency.limits.size(), 2U);
    EXPECT_EQ(efficiency.limits[0].kind, LimitKind::Use);
    EXPECT_TRUE(efficiency.limits[0].hatched);
    EXPECT_FALSE(efficiency.limits[1].hatched);
    ASSERT_EQ(line.did.size(), 2U);
    EXPECT_EQ(line.did[1].steps.size(), 2U);
    EXPECT_EQ(line.did[1].steps[1].letter, u"A"_s);
    ASSERT_EQ(line.where.size(), 2U);
    EXPECT_TRUE(line.where[0].shelf);
    EXPECT_EQ(line.where[1].place, u"AE-3107 Neutralisation tank 2"_s);
    ASSERT_FALSE(line.visits.empty());
    EXPECT_TRUE(line.visits.back().note.startsWith(u"detergent, weak acid: gained "_s)) << line.visits.back().note.toStdString();
    EXPECT_EQ(line.visits.back().lots, u"B7-2231, B10-0874"_s);
    EXPECT_EQ(line.rawPanels.size(), 2U);
}

TEST_F(RecordPageTest, ASensorMovedOnceShowsBothPlacementsAndOneUnbrokenLine)
{
    core::Records records = test::smallRecords();
    for (core::Placement& p : records.placements)
        if (p.serial == "K7-0412" && p.place == "AE-3107") {
            p.to = test::at("2026-02-01T08:00:00Z");
            p.reason_removed = core::RemovalReason::Rotation;
        }
    {
        auto& row = records.placements.emplace_back();
        row.serial = "K7-0412";
        row.place = "AE-3110";
        row.from = test::at("2026-02-01T08:00:00Z");
        row.recorded = test::at("2026-02-01T08:00:00Z");
    }
    std::erase_if(records.placements, [](const core::Placement& p) { return p.serial == "K7-0388"; });
    for (core::Visit& visit : records.visits)
        if (visit.visit == "v-2026-02")
            visit.tag = "AE-3110";
    const RecordPage page = recordPage(dossier("K7-0412", records), test::testNow());
    EXPECT_EQ(page.line.where.size(), 3U);
    // One line from mark to mark, but none across the move.
    std::vector<bool> joined;
    for (const PhasePoint& point : panel(page.line, u"efficiency_pct"_s).points)
        if (point.phase == core::Phase::AsLeft)
            joined.push_back(point.joined);
    EXPECT_THAT(joined, ::testing::ElementsAre(false, true, true, false));
}

TEST_F(RecordPageTest, EveryFigureOnThePageHasAWorkingOrSaysWhyNot)
{
    const auto loaded = dossier("K7-0412");
    const RecordPage page = recordPage(loaded, test::testNow());
    for (const KeyFigure& figure : page.head.figures) {
        const WorkingPage working = latestWorking(*loaded, figure.key.toStdString(), test::testNow());
        EXPECT_TRUE(working.complete()) << figure.key.toStdString();
        EXPECT_FALSE(working.steps.empty()) << figure.key.toStdString();
    }
    for (const core::VisitFigures& visit : loaded->figures)
        for (const core::PhaseFigures& phase : visit.phases)
            for (const std::string_view key : shownFigures(phase.kind)) {
                const WorkingPage working = figureWorking(*loaded, visit, phase, key);
                EXPECT_TRUE(working.complete()) << key;
                if (phaseFigure(phase, key).value && !phase.legacy) {
                    EXPECT_FALSE(working.steps.empty()) << key;
                }
                if (phase.legacy) {
                    EXPECT_TRUE(working.missing.contains(u"No millivolts were recorded"_s));
                }
            }
}

TEST_F(RecordPageTest, TheWorkingOfTheLastStateSaysWhatItWasComparedWith)
{
    const auto loaded = dossier("K7-0412");
    const WorkingPage working = latestWorking(*loaded, "efficiency_pct", test::testNow());
    EXPECT_FALSE(working.judged.empty());
    EXPECT_TRUE(working.title.startsWith(u"Efficiency, as left, 23 Feb 2026: "_s)) << working.title.toStdString();
    // Every step names its source.
    for (const core::WorkingStep& step : working.steps)
        EXPECT_FALSE(step.source.empty()) << step.step;
    const QString text = plainWorking(working, true);
    EXPECT_FALSE(text.contains(u"ph7.00"_s)) << text.toStdString();
}

TEST_F(RecordPageTest, ACorrectionKeepsTheOldPointCrossed)
{
    core::Records records = test::smallRecords();
    {
        auto& row = records.corrections.emplace_back();
        row.visit = "v-2026-02";
        row.table = "readings";
        row.row = 2;
        row.field = "mv";
        row.old_value = "-176";
        row.new_value = "-167";
        row.recorded = test::at("2026-02-24T08:00:00Z");
        row.person = "T2";
        row.why = "digit lost or added";
    }
    const auto loaded = dossier("K7-0412", records);
    const RecordPage page = recordPage(loaded, test::testNow());
    ASSERT_NE(page.before, nullptr);
    std::vector<std::pair<double, bool>> found;
    for (const PhasePoint& point : panel(page.line, u"efficiency_pct"_s).points)
        if (point.visit == u"v-2026-02" && point.phase == core::Phase::AsFound)
            found.emplace_back(std::round(point.value * 10) / 10, point.superseded);
    EXPECT_THAT(found, ::testing::ElementsAre(std::pair(92.1, true), std::pair(87.0, false)));
    ASSERT_FALSE(page.says.empty());
    EXPECT_EQ(page.says.front(), u"Corrected on 24 Feb 2026 by T2: as found pH 10.01 −176 was typed for −167 (digit lost or added). "
                                 u"The crossed point is the old one."_s);
    EXPECT_TRUE(page.visits.front().corrected);
    // The working shows both.
    const core::VisitFigures* visit = page.figuresOf(u"v-2026-02"_s);
    ASSERT_NE(visit, nullptr);
    const WorkingPage working = figureWorking(*loaded, *visit, *visit->phase(core::Phase::AsFound), "efficiency_pct",
                                              page.before->phase("v-2026-02", core::Phase::AsFound));
    EXPECT_FALSE(working.earlier.empty());
    EXPECT_TRUE(working.earlierTitle.startsWith(u"As first written: 92.1"_s)) << working.earlierTitle.toStdString();
}

TEST_F(RecordPageTest, ANewSensorSaysWhatComesFirst)
{
    const RecordPage page = recordPage(dossier("K7-0470"), test::testNow());
    EXPECT_TRUE(page.empty.startsWith(u"First readings make its baseline. Put it in pH 7.00"_s));
    EXPECT_TRUE(page.visits.empty());
    EXPECT_EQ(page.head.figures[0].figure.reason, u"not measured"_s);
    EXPECT_TRUE(latestWorking(*page.dossier, "efficiency_pct", test::testNow()).complete());
}

TEST_F(RecordPageTest, PlacesThatContradictAreSaid)
{
    core::Records records = test::smallRecords();
    {
        auto& row = records.placements.emplace_back();
        row.serial = "K7-0431";
        row.place = "shelf";
        row.from = test::at("2026-01-04T08:00:00Z");
        row.recorded = test::at("2026-01-04T08:00:00Z");
    }
    const RecordPage page = recordPage(dossier("K7-0431", records), test::testNow());
    ASSERT_FALSE(page.says.empty());
    EXPECT_TRUE(page.says.front().contains(u"recorded at AE-3111 and at shelf. Both rows stand"_s)) << page.says.front().toStdString();
}

TEST_F(RecordPageTest, FindingsSayWhatSpeaksForThemAndNothingForbiddenIsOffered)
{
    const RecordPage page = recordPage(dossier("K7-0431"), test::testNow());
    ASSERT_FALSE(page.findings.empty());
    EXPECT_FALSE(page.findings.front().title.isEmpty());
    // A double-junction gel is sealed.
    for (const QString& action : page.next.order)
        EXPECT_FALSE(action.contains(u"refill"_s) || action.contains(u"bridge"_s)) << action.toStdString();
}

TEST_F(RecordPageTest, FindingsOfLittleWeightStandInOneLineAndARuleSaysSo)
{
    core::Assessment judged;
    const auto add = [&](core::FindingCode code, std::optional<double> probability) {
        {
            auto& row = judged.findings.emplace_back();
            row.code = code;
            row.title = std::string(core::wordsOf(code));
            row.probability = probability;
        }
    };
    add(core::FindingCode::NoResponse, std::nullopt);
    add(core::FindingCode::GlassBroken, 0.58);
    add(core::FindingCode::OpenCircuit, 0.004);
    add(core::FindingCode::TemperatureIgnored, 0.003);
    std::vector<FindingWords> list = findingWords(judged);
    EXPECT_EQ(list[0].probability, u"rule"_s);
    EXPECT_EQ(list[1].probability, u"58 %"_s);
    EXPECT_FALSE(list[0].minor || list[1].minor);
    EXPECT_TRUE(list[2].minor && list[3].minor);
    EXPECT_EQ(alsoWeighed(list, false), u"Also weighed: open circuit, temperature ignored (under 1 % each)"_s);
    EXPECT_TRUE(alsoWeighed(list, true).contains(u"<a href=\"3\">temperature ignored</a>"_s));
    judged.findings[3].probability = 0.012;
    EXPECT_EQ(alsoWeighed(findingWords(judged), false), u"Also weighed: open circuit (under 1 %), temperature ignored (1 %)"_s);
    judged.findings.resize(2);
    EXPECT_TRUE(alsoWeighed(findingWords(judged), false).isEmpty());
    // Without a diagnosis nothing is left over; with one, what the findings leave, but for nothing being wrong.
    EXPECT_TRUE(remainderWords(judged).isEmpty());
    judged.diagnosis.emplace();
    EXPECT_EQ(remainderWords(judged), u"other or unknown 42 %"_s);
    judged.diagnosis->causes = {{.key = "healthy", .words = "in order", .probability = 0.415}};
    EXPECT_TRUE(remainderWords(judged).isEmpty());
    // What leads is told in full, whatever it weighs.
    judged.findings.clear();
    add(core::FindingCode::GlassAged, 0.004);
    EXPECT_FALSE(findingWords(judged).front().minor);
}

TEST_F(RecordPageTest, EveryCautionStandsOnceBesideTheActionThatNeedsIt)
{
    const auto loaded = dossier("K7-0431");
    ASSERT_FALSE(loaded->assessment.actionOrder.empty());
    const NextWords next = nextWords(*loaded, localDay(test::testNow()));
    QStringList said = next.cautions;
    for (const StepWords& step : next.steps)
        said += step.cautions;
    EXPECT_FALSE(said.isEmpty()) << "a control loop with cyanide";
    EXPECT_EQ(QStringList(said).removeDuplicates(), 0);
    for (std::size_t i = 0; i < loaded->assessment.actionOrder.size(); ++i) {
        const core::ActionKey action = loaded->assessment.actionOrder[i];
        ASSERT_LT(i, next.steps.size());
        EXPECT_EQ(next.steps[i].what, plain(core::wordsOf(action)));
        EXPECT_EQ(next.steps[i].place, static_cast<int>(i) + 1);
        for (const core::Caution& caution : loaded->rules.cautionsFor(action, {}, loaded->point, core::Visit{}))
            EXPECT_TRUE(said.contains(screenWords(caution.text))) << caution.key;
    }
    for (const FindingWords& finding : findingWords(loaded->assessment))
        for (const QString& caution : finding.cautions)
            EXPECT_TRUE(finding.minor || said.contains(caution)) << caution.toStdString();
}

}  // namespace
}  // namespace halfcell::app
