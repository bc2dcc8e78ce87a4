#include "app/evidence/effects_page.h"
#include "app/evidence/lifetimes_page.h"
#include "app/evidence/score_page.h"
#include "app/plots/life_line_plot.h"
#include "app/record/record_view.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/shop/demo_shop.h"

#include <QComboBox>
#include <QFile>
#include <QLabel>
#include <QSignalSpy>
#include <QTableView>
#include <QTest>

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

/// The pages of evidence over the demo plant: what they show is what core says, every figure has its working, files hold what is drawn.
namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::waitFor;

class EvidencePages : public testing::Test {
protected:
    /// Walking through the past takes seconds, so all tests look at one shop.
    static void SetUpTestSuite()
    {
        demo = std::make_unique<test::DemoShop>();
        demo->shop().evidence(&demo->shop(), [](core::Result<std::shared_ptr<const Evidence>> answer) {
            ASSERT_TRUE(answer.has_value()) << answer.error().detail;
            known = *answer;
        });
        ASSERT_TRUE(waitFor([] { return known != nullptr; }, 240000));
    }
    static void TearDownTestSuite()
    {
        known.reset();
        demo.reset();
    }
    template <class Page>
    std::unique_ptr<Page> page()
    {
        auto made = std::make_unique<Page>(demo->shop(), [this](QWidget*, const QString&, const QString&) { return file; });
        made->resize(1028, 690);
        made->show();
        EXPECT_TRUE(QTest::qWaitForWindowExposed(made.get()));
        made->refresh();
        return made;
    }
    static QString read(const QString& path)
    {
        QFile in(path);
        EXPECT_TRUE(in.open(QIODevice::ReadOnly));
        return QString::fromUtf8(in.readAll());
    }
    QString path(const char* name) const { return folder.filePath(QString::fromLatin1(name)); }

    static std::unique_ptr<test::DemoShop> demo;
    static std::shared_ptr<const Evidence> known;
    QTemporaryDir folder;
    std::optional<std::filesystem::path> file;
};
std::unique_ptr<test::DemoShop> EvidencePages::demo;
std::shared_ptr<const Evidence> EvidencePages::known;

TEST_F(EvidencePages, IsWorkedOutOnceForWhatIsKnown)
{
    std::shared_ptr<const Evidence> again;
    demo->shop().evidence(&demo->shop(), [&](auto answer) { again = *answer; });
    EXPECT_EQ(again, known);  // at once, and the same
    EXPECT_EQ(known->overview, demo->shop().overview());
}

TEST_F(EvidencePages, LifetimesShowCurveReasonsAndNumbersInView)
{
    const auto shown = page<LifetimesPage>();
    auto* by = shown->findChild<QComboBox*>(u"cabinet.lifetimes.by"_s);
    by->setCurrentIndex(by->count() - 1);  // all together
    ASSERT_EQ(shown->groups().size(), 1U);
    const core::LifeGroup& all = shown->groups().front();
    // An independent route: the product-limit estimate by its definition, from the lives themselves.
    double survival = 1.0, at = 0.0;
    std::set<double> ends;
    for (const core::LifeRecord& life : all.records)
        if (life.failed)
            ends.insert(life.exit);
    auto* plot = shown->findChild<CurvePlot*>(u"cabinet.lifetimes.survival"_s);
    ASSERT_EQ(plot->series().curves.size(), 1U);
    const Curve& curve = plot->series().curves.front();
    ASSERT_EQ(curve.points.size(), ends.size());
    std::size_t step = 0;
    for (const double age : ends) {
        double inView = 0.0, ended = 0.0;
        for (const core::LifeRecord& life : all.records) {
            inView += life.entry < age && age <= life.exit ? life.weight : 0.0;
            ended += life.failed && life.exit == age ? life.weight : 0.0;
        }
        survival *= 1.0 - ended / inView;
        at = age;
        EXPECT_NEAR(curve.points[step].y, survival, 1e-12);
        EXPECT_NEAR(curve.points[step].x, at * 12.0 / 365.25, 1e-9);
        ++step;
    }
    ASSERT_EQ(plot->series().rows.size(), 1U);
    EXPECT_FALSE(plot->series().rows.front().words.empty());
    EXPECT_GT(shown->findChild<CurvePlot*>(u"cabinet.lifetimes.causes"_s)->series().curves.size(), 1U);
    EXPECT_TRUE(shown->sentence().contains(u"half have ended by"_s)) << shown->sentence().toStdString();
    by->setCurrentIndex(1);
    EXPECT_GT(shown->groups().size(), 3U);
    EXPECT_TRUE(shown->sentence().contains(u"Log-rank"_s)) << shown->sentence().toStdString();
}

TEST_F(EvidencePages, EveryFigureHasItsWorking)
{
    const auto lifetimes = page<LifetimesPage>();
    const auto score = page<ScorePage>();
    const auto effects = page<EffectsPage>();
    auto* by = lifetimes->findChild<QComboBox*>(u"cabinet.lifetimes.by"_s);
    by->setCurrentIndex(by->count() - 1);
    const std::vector<EvidencePage*> pages = {lifetimes.get(), score.get(), effects.get()};
    std::size_t rows = 0, points = 0;
    for (EvidencePage* each : pages) {
        QSignalSpy ready(each, &EvidencePage::workingReady);
        for (EvidenceTable* table : each->findChildren<EvidenceTable*>())
            for (std::size_t row = 0; row < table->rows().rows.size(); ++row) {
                table->choose(static_cast<int>(row));
                ready.clear();
                QTest::keyClick(table, Qt::Key_E, Qt::ControlModifier);
                ASSERT_EQ(ready.count(), 1) << table->objectName().toStdString() << " row " << row;
                EXPECT_TRUE(ready.front().front().value<WorkingPage>().complete()) << table->objectName().toStdString() << " row " << row;
                ++rows;
            }
        for (CurvePlot* plot : each->findChildren<CurvePlot*>())
            for (const Curve& curve : plot->series().curves)
                for (const CurvePoint& point : curve.points)
                    if (!point.figure.isEmpty()) {
                        ready.clear();
                        Q_EMIT plot->workingAsked(point.figure);
                        ASSERT_EQ(ready.count(), 1) << point.figure.toStdString();
                        ++points;
                    }
    }
    EXPECT_GT(rows, 30U);
    EXPECT_GT(points, 40U);
}

TEST_F(EvidencePages, ScoreIsTheOneOfTheCommandLineAndMissesOpenTheRecord)
{
    const auto shown = page<ScorePage>();
    auto* horizons = shown->findChild<EvidenceTable*>(u"cabinet.score.horizons"_s);
    ASSERT_EQ(horizons->rows().rows.size(), known->score.horizons.size() + 1);
    const auto& first = known->score.horizons.front();
    EXPECT_NEAR(horizons->rows().rows.front()[4].file.toDouble(), 100.0 * first.coverage80, 1e-9);
    auto* plot = shown->findChild<CurvePlot*>(u"cabinet.score.reliability"_s);
    ASSERT_EQ(plot->series().curves.front().points.size(), 19U);
    std::size_t below = 0;
    for (const auto& past : known->book.walk.past)
        below += past.outcome <= past.q[9] ? 1U : 0U;  // said: half
    EXPECT_NEAR(plot->series().curves.front().points[9].y, static_cast<double>(below) / static_cast<double>(known->book.walk.past.size()),
                1e-12);
    QSignalSpy asked(shown.get(), &EvidencePage::recordAsked);
    auto* misses = shown->findChild<EvidenceTable*>(u"cabinet.score.misses"_s);
    ASSERT_FALSE(misses->rows().rows.empty());
    misses->choose(0);
    QTest::keyClick(misses, Qt::Key_Return);
    ASSERT_EQ(asked.count(), 1);
    EXPECT_EQ(asked.front().front().toString().toStdString(), known->score.worst.front().serial);
}

TEST_F(EvidencePages, EffectsSayGainAndHowLongAndNameWhatMovedMany)
{
    const auto shown = page<EffectsPage>();
    auto* by = shown->findChild<QComboBox*>(u"cabinet.effects.by"_s);
    by->setCurrentIndex(3);
    ASSERT_FALSE(shown->effects().empty());
    auto* table = shown->findChild<EvidenceTable*>(u"cabinet.effects.actions"_s);
    ASSERT_EQ(table->rows().rows.size(), shown->effects().size());
    bool worth = false;
    for (const core::Effect& e : shown->effects())
        worth = worth || (e.gain_pct && *e.gain_pct > 1.0 && *e.lower > 0.0);
    EXPECT_TRUE(worth);  // cleaning helps in the demo plant (its acid and detergent restore efficiency)
    EXPECT_EQ(shown->findChild<EvidenceTable*>(u"cabinet.effects.suspects"_s)->rows().rows.size(), known->suspects.found.size());
}

TEST_F(EvidencePages, AreNamedForReaders)
{
    const auto lifetimes = page<LifetimesPage>();
    const auto score = page<ScorePage>();
    const auto effects = page<EffectsPage>();
    for (EvidencePage* each : std::initializer_list<EvidencePage*>{lifetimes.get(), score.get(), effects.get()}) {
        EXPECT_EQ(test::namelessFocusables(each), QStringList());
        EXPECT_EQ(test::unnamedObjects(each), QStringList());
        test::keepPicture(test::picture(*each, 1028, 690), each->objectName().replace(u'.', u'-'));
    }
}

TEST_F(EvidencePages, WriteOutWhatTheyShow)
{
    const auto shown = page<LifetimesPage>();
    auto* plot = shown->findChild<CurvePlot*>(u"cabinet.lifetimes.survival"_s);
    for (const char* name : {"s.pdf", "s.svg", "s.csv"}) {
        file = path(name).toStdString();
        QTest::keyClick(plot, Qt::Key_S, Qt::ControlModifier | Qt::ShiftModifier);
        EXPECT_GT(QFile(path(name)).size(), 200) << name;
    }
    // One line for each step, tick and word, and the names.
    std::size_t rows = 1;
    for (const Curve& curve : plot->series().curves)
        rows += curve.points.size() + curve.ticks.size();
    for (const CurveRow& row : plot->series().rows)
        rows += row.words.size();
    EXPECT_EQ(static_cast<std::size_t>(read(path("s.csv")).count(u"\r\n"_s)), rows);
    file = path("t.csv").toStdString();
    auto* table = shown->findChild<EvidenceTable*>(u"cabinet.lifetimes.groups"_s);
    QTest::keyClick(table, Qt::Key_S, Qt::ControlModifier | Qt::ShiftModifier);
    EXPECT_EQ(static_cast<std::size_t>(read(path("t.csv")).count(u"\r\n"_s)), shown->groups().size() + 1);
}

/// The Record draws the same walk through the past: fans, words, past outlooks, each with its working.
TEST_F(EvidencePages, TheRecordShowsTheOutlookOfItsSensor)
{
    std::map<std::size_t, qsizetype> issued;
    for (const auto& past : known->book.walk.past)
        ++issued[past.sensor];
    const auto most = std::ranges::max_element(issued, {}, [](const auto& entry) { return entry.second; });
    ASSERT_NE(most, issued.end());
    const core::outlook::Series* series = nullptr;
    for (const auto& [sensor, count] : issued)
        if (count >= 3 && known->book.shop.series[sensor].inService && series == nullptr)
            series = &known->book.shop.series[sensor];
    ASSERT_NE(series, nullptr);
    const QString serial = QString::fromStdString(series->serial);
    RecordView view(demo->shop());
    view.resize(1280, 900);
    view.show();
    ASSERT_TRUE(QTest::qWaitForWindowExposed(&view));
    view.open(serial);
    ASSERT_TRUE(waitFor([&] { return view.presenter().outlook().evidence != nullptr; }, 60000));
    const RecordOutlook& outlook = view.presenter().outlook();
    EXPECT_EQ(outlook.evidence->ahead.serial, series->serial);
    const auto* table = view.findChild<QTableView*>(u"record.issued.table"_s);
    ASSERT_NE(table, nullptr);
    EXPECT_EQ(table->model()->rowCount(), issued[static_cast<std::size_t>(series - known->book.shop.series.data())]);
    const auto& panels = view.plot().series().panels;
    ASSERT_FALSE(panels.empty());
    const bool said = outlook.evidence->ahead.abstained.empty();
    EXPECT_EQ(panels.front().fan.empty(), !said) << outlook.evidence->ahead.abstained;
    if (said) {
        EXPECT_GE(panels.front().fan.front().utc, known->book.now.utcSeconds);
        EXPECT_FALSE(outlook.words.odds.isEmpty());
    }
    auto* link = view.findChild<QLabel*>(u"record.side.outlook.working"_s);
    ASSERT_NE(link, nullptr);
    QSignalSpy working(&view, &RecordView::workingReady);
    link->setFocus();
    QTest::keyClick(link, Qt::Key_Tab);
    QTest::keyClick(link, Qt::Key_Return);
    if (working.isEmpty())
        Q_EMIT link->linkActivated(u"working"_s);
    ASSERT_EQ(working.count(), 1);
    EXPECT_FALSE(working.first().first().value<WorkingPage>().steps.empty());
    EXPECT_TRUE(test::namelessFocusables(&view).isEmpty()) << test::namelessFocusables(&view).join(u", "_s).toStdString();
}

}  // namespace
}  // namespace halfcell::app
