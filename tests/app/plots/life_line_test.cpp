#include "app/plots/life_line_plot.h"
#include "app/style/theme.h"
#include "tests/app/plots/plot_series.h"
#include "tests/support/qt/watched_application.h"
#include "tests/support/qt/widgets.h"

#include <QAccessible>
#include <QClipboard>
#include <QDir>
#include <QFile>
#include <QPainter>
#include <QSignalSpy>
#include <QSvgRenderer>
#include <QTableView>
#include <QTemporaryDir>
#include <QTest>

#include <gtest/gtest.h>

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;
using halfcell::core::Phase;
namespace test = halfcell::test;

namespace {

struct LifeLine : ::testing::Test {
    Theme theme{test::application()};
    LifeLinePlot plot;

    void show(const LifeLineSeries& series, int width = 880, int height = 480)
    {
        plot.setNames(u"record.life.line"_s, u"Life line of K7-0412"_s);
        plot.setSeries(series);
        image = test::picture(plot, width, height);
        plot.activateWindow();
        plot.setFocus();
        ASSERT_TRUE(QTest::qWaitForWindowActive(&plot));
    }
    void key(Qt::Key k, Qt::KeyboardModifiers mods = Qt::NoModifier) { QTest::keyClick(&plot, k, mods); }

    QImage image;
};

}  // namespace

TEST_F(LifeLine, CursorSnapsToVisitsAndNamesThem)
{
    show(test::lifeLine());
    QSignalSpy spoken(&plot, &PlotBase::readoutChanged);
    EXPECT_TRUE(plot.readout().isEmpty());
    key(Qt::Key_End);
    ASSERT_EQ(plot.cursor(), 11);
    EXPECT_TRUE(plot.readout().startsWith(u"2 Mar 2026 08:43  Efficiency: as found"_s)) << plot.readout().toStdString();
    EXPECT_TRUE(plot.readout().contains(u"as left 97.2 ±1.5 %"_s)) << plot.readout().toStdString();
    EXPECT_TRUE(plot.readout().contains(u"Offset: as found −12.0 ±3.4 mV"_s)) << plot.readout().toStdString();
    EXPECT_TRUE(plot.readout().contains(u"detergent, acid: gained 4.5 %; by T1; lots B7-2231"_s)) << plot.readout().toStdString();
    key(Qt::Key_Left);
    EXPECT_EQ(plot.cursor(), 10);
    key(Qt::Key_Right);
    key(Qt::Key_Right);
    EXPECT_EQ(plot.cursor(), 11);
    key(Qt::Key_Home);
    EXPECT_EQ(plot.cursor(), 0);
    EXPECT_EQ(spoken.count(), 4);
}

TEST_F(LifeLine, EnterOpensTheVisitAndCtrlEItsWorking)
{
    show(test::lifeLine());
    QSignalSpy visits(&plot, &PlotBase::visitActivated);
    QSignalSpy workings(&plot, &PlotBase::workingAsked);
    key(Qt::Key_Return);
    EXPECT_EQ(visits.count(), 0);  // nothing chosen yet
    key(Qt::Key_End);
    key(Qt::Key_Return);
    ASSERT_EQ(visits.count(), 1);
    EXPECT_EQ(visits.at(0).at(0).toString(), u"V12"_s);
    key(Qt::Key_Down);
    EXPECT_EQ(plot.currentPanel(), 1);
    key(Qt::Key_E, Qt::ControlModifier);
    ASSERT_EQ(workings.count(), 1);
    EXPECT_EQ(workings.at(0).at(0).toString(), u"V12.offset_mv"_s);
}

TEST_F(LifeLine, ZoomsRoundTheCursorAndComesBack)
{
    show(test::lifeLine());
    const auto all = plot.span();
    key(Qt::Key_End);
    key(Qt::Key_Plus);
    EXPECT_LT(plot.span().second - plot.span().first, (all.second - all.first) * 6 / 10);
    EXPECT_GE(plot.span().second, test::kNow - 600);
    // A visit out of view is brought into view.
    for (int i = 0; i < 11; ++i)
        key(Qt::Key_Left);
    EXPECT_EQ(plot.cursor(), 0);
    EXPECT_LE(plot.span().first, test::kNow - 11 * 14 * test::kDay);
    key(Qt::Key_Home);
    EXPECT_EQ(plot.span(), all);
    // Never beyond what there is, and never closer than hours.
    key(Qt::Key_Minus);
    EXPECT_EQ(plot.span(), all);
    for (int i = 0; i < 40; ++i)
        key(Qt::Key_Plus);
    EXPECT_GE(plot.span().second - plot.span().first, 6 * 3600);
}

TEST_F(LifeLine, TheFutureTakesAtMostHalfTheWidth)
{
    LifeLineSeries series = test::lifeLine(4);  // 6 weeks of past, 22 weeks of outlook
    show(series);
    const auto [from, to] = plot.span();
    EXPECT_LE(to - test::kNow, test::kNow - from);
}

TEST_F(LifeLine, PhasesGoOnAndOffAndTheTableFollows)
{
    show(test::lifeLine());
    const auto readings = [&] {
        int n = 0;
        for (const auto& row : plot.table().rows)
            n += row[1].file == u"reading" ? 1 : 0;
        return n;
    };
    EXPECT_EQ(readings(), 12 * 2 * 3);
    key(Qt::Key_1);
    EXPECT_FALSE(plot.phaseShown(Phase::AsFound));
    EXPECT_EQ(readings(), 12 * 3);
    key(Qt::Key_1);
    key(Qt::Key_M);
    EXPECT_TRUE(plot.phaseShown(Phase::AsFound));
    EXPECT_FALSE(plot.phaseShown(Phase::AsLeft));
    key(Qt::Key_M);
    key(Qt::Key_M);
    EXPECT_TRUE(plot.phaseShown(Phase::AsLeft));
    EXPECT_FALSE(plot.phaseShown(Phase::AsFound));
    key(Qt::Key_M);
    EXPECT_EQ(readings(), 12 * 2 * 3);
}

TEST_F(LifeLine, RawMillivoltsKeepTheTimeAxis)
{
    show(test::lifeLine());
    const auto all = plot.span();
    key(Qt::Key_End);
    key(Qt::Key_R);
    EXPECT_TRUE(plot.rawShown());
    EXPECT_EQ(plot.span(), all);
    EXPECT_EQ(plot.cursor(), 11);
    EXPECT_TRUE(plot.readout().contains(u"pH 10.01: as found −"_s)) << plot.readout().toStdString();
    key(Qt::Key_R);
    EXPECT_TRUE(plot.readout().contains(u"Efficiency"_s));
}

TEST_F(LifeLine, CsvIsExactlyWhatIsDrawn)
{
    LifeLineSeries series = test::lifeLine(2);
    series.panels.resize(1);
    PhasePoint wrong = series.panels[0].points.back();
    wrong.superseded = true;
    wrong.reason = u"typed −176 for −167, \"digit\""_s;
    series.panels[0].points.push_back(wrong);
    show(series);
    const QString csv = QString::fromUtf8(plot.csv());
    const QStringList lines = csv.split(u"\r\n"_s);
    EXPECT_EQ(lines.at(0), u"when,kind,panel,unit,phase,value,expanded_uncertainty,p10,p25,p50,p75,p90,state,visit,person,lots,note"_s);
    EXPECT_EQ(lines.at(1), u"2026-02-16T08:13:00Z,reading,efficiency_pct,%,as_found,96,2,,,,,,,V1,T1,\"B7-2231, B10-0874\","_s);
    EXPECT_TRUE(csv.contains(u"2026-03-02T08:43:00Z,reading,efficiency_pct,%,as_left,97.2,1.5,"_s)) << csv.toStdString();
    EXPECT_TRUE(csv.contains(u"\"corrected: typed −176 for −167, \"\"digit\"\"\""_s));
    EXPECT_TRUE(csv.contains(u",limit,efficiency_pct,%,,70,,,,,,,,,,,use"_s));
    EXPECT_TRUE(csv.contains(u",placement,,,,,,,,,,,still there,,,,AE-3107 Neutralisation tank 2"_s));
    for (const QString& line : lines)
        EXPECT_FALSE(line.contains(u",nan"_s));
    // Zoomed in, only what is in view.
    key(Qt::Key_End);
    for (int i = 0; i < 6; ++i)
        key(Qt::Key_Plus);
    EXPECT_FALSE(QString::fromUtf8(plot.csv()).contains(u",V1,"_s));
}

TEST_F(LifeLine, TableTwinHasTheSameRows)
{
    show(test::lifeLine());
    key(Qt::Key_T, Qt::ControlModifier | Qt::ShiftModifier);
    ASSERT_TRUE(plot.tableShown());
    auto* table = plot.findChild<QTableView*>(u"record.life.line.table"_s);
    ASSERT_NE(table, nullptr);
    EXPECT_TRUE(table->hasFocus());
    EXPECT_EQ(table->model()->rowCount(), static_cast<int>(plot.table().rows.size()));
    EXPECT_EQ(table->model()->index(0, 5).data().toString(), u"96.0"_s);
    QTest::keyClick(table, Qt::Key_T, Qt::ControlModifier | Qt::ShiftModifier);
    EXPECT_FALSE(plot.tableShown());
    EXPECT_TRUE(plot.hasFocus());
}

TEST_F(LifeLine, SpeaksAsASentence)
{
    show(test::lifeLine());
    EXPECT_EQ(plot.summary(), u"Efficiency: 12 visits in 5.1 months; as left 98.9 to 97.2; as found down to 89.0; one part renewed; fan to 22 weeks"_s)
        << plot.summary().toStdString();
    EXPECT_EQ(plot.accessibleDescription(), plot.summary());
    EXPECT_EQ(plot.focusPolicy(), Qt::StrongFocus);
    EXPECT_TRUE(test::namelessFocusables(&plot).isEmpty()) << test::namelessFocusables(&plot).join(u", "_s).toStdString();
    EXPECT_EQ(QAccessible::queryAccessibleInterface(&plot)->text(QAccessible::Name), u"Life line of K7-0412"_s);
    LifeLineSeries none;
    none.now = test::kNow;
    plot.setSeries(none);
    EXPECT_EQ(plot.summary(), u"No visit yet."_s);
    EXPECT_FALSE(plot.cursor().has_value());
}

TEST_F(LifeLine, DrawsWithoutHueInEveryTheme)
{
    for (const ThemeChoice choice : {ThemeChoice::Light, ThemeChoice::Dark}) {
        theme.setChoice(choice);
        show(test::lifeLine());
        key(Qt::Key_End);
        QTest::qWait(30);
        image = plot.grab().toImage();
        EXPECT_LE(test::strongestHue(image).spread, 24);
        test::keepPicture(image, choice == ThemeChoice::Light ? u"life_light.png"_s : u"life_dark.png"_s);
    }
}

TEST_F(LifeLine, TakesTheNewPaletteAtOnce)
{
    theme.setChoice(ThemeChoice::Light);
    show(test::lifeLine());
    const QRgb light = image.pixel(440, 60);
    theme.setChoice(ThemeChoice::Dark);
    QTest::qWait(30);
    EXPECT_GT(qGray(light), 200);
    EXPECT_LT(qGray(plot.grab().toImage().pixel(440, 60)), 60);
}

TEST_F(LifeLine, GhostOfRestatedFiguresStaysUntilEsc)
{
    LifeLineSeries series = test::lifeLine();
    series.panels[0].ghost = series.panels[0].points;
    for (PhasePoint& p : series.panels[0].ghost)
        p.value -= 6;
    series.restated = u"2 figures restated by correction #18 203"_s;
    show(series);
    EXPECT_TRUE(plot.summary().endsWith(series.restated));
    const QImage before = plot.grab().toImage();
    key(Qt::Key_Escape);
    QTest::qWait(30);
    EXPECT_FALSE(plot.summary().contains(series.restated));
    EXPECT_NE(before, plot.grab().toImage());
}

TEST_F(LifeLine, FixedScaleMarksWhatLiesOutside)
{
    LifeLineSeries series = test::lifeLine();
    series.panels[0].points.back().value = 41.0;
    series.panels[0].points.back().expanded = 4.0;
    show(series);
    QSignalSpy toggled(&plot, &LifeLinePlot::fixedScaleToggled);
    test::keepPicture(plot.grab().toImage(), u"life_grown.png"_s);
    key(Qt::Key_0);
    EXPECT_EQ(toggled.count(), 1);
    EXPECT_TRUE(plot.fixedScale());
    QTest::qWait(30);
    test::keepPicture(plot.grab().toImage(), u"life_fixed.png"_s);
}

TEST_F(LifeLine, ExportsEveryForm)
{
    LifeLineSeries series = test::lifeLine();
    series.panels[0].points[4].superseded = true;
    series.panels[1].points[7].leftOut = true;
    show(series);
    plot.setCaption({u"K7-0412"_s, u"28 Sep 2025 to 2 Mar 2026"_s, u"default@7"_s, u"as known now"_s});
    QTemporaryDir folder;
    const QString base = qEnvironmentVariableIsSet("HALFCELL_PICTURES") ? qEnvironmentVariable("HALFCELL_PICTURES") : folder.path();
    for (const QString& end : {u"svg"_s, u"pdf"_s, u"png"_s, u"csv"_s}) {
        const QString path = QDir(base).filePath(u"export."_s + end);
        const auto written = plot.exportTo(path);
        ASSERT_TRUE(written.has_value()) << end.toStdString();
        QFile file(path);
        ASSERT_TRUE(file.open(QIODevice::ReadOnly));
        const QByteArray bytes = file.readAll();
        EXPECT_GT(bytes.size(), 1000) << end.toStdString();
        if (end == u"svg") {
            EXPECT_TRUE(bytes.contains("default@7"));
            EXPECT_FALSE(bytes.contains("<image"));  // marks stay vectors
            // The drawing fills its sheet: ink near the right-hand and lower ends.
            QSvgRenderer renderer(bytes);
            QImage drawn(renderer.defaultSize(), QImage::Format_RGB32);
            drawn.fill(Qt::white);
            QPainter painter(&drawn);
            renderer.render(&painter);
            painter.end();
            const auto inked = [&](const QRect& part) {
                int dark = 0;
                for (int y = part.top(); y <= part.bottom(); ++y)
                    for (int x = part.left(); x <= part.right(); ++x)
                        dark += qGray(drawn.pixel(x, y)) < 128 ? 1 : 0;
                return dark;
            };
            EXPECT_GT(inked(QRect(drawn.width() * 8 / 10, 20, drawn.width() / 6, drawn.height() / 2)), 50);
            EXPECT_GT(inked(QRect(40, drawn.height() * 8 / 10, drawn.width() / 2, drawn.height() / 8)), 50);
        }
        if (end == u"png") {
            QImage exported;
            ASSERT_TRUE(exported.loadFromData(bytes));
            EXPECT_GE(exported.width(), 2 * 800);
            EXPECT_LE(test::strongestHue(exported).spread, 0);  // black on white
        }
    }
    const auto refused = plot.exportTo(QDir(base).filePath(u"export.xyz"_s));
    ASSERT_FALSE(refused.has_value());
    EXPECT_EQ(refused.error().code, halfcell::core::Errc::BadInput);
    EXPECT_FALSE(refused.error().remedy.empty());
    EXPECT_EQ(plot.exportTo(u"/nonexistent-folder/x.csv"_s).error().code, halfcell::core::Errc::CannotWrite);
    // The plot on screen is as it was.
    QTest::qWait(30);
    EXPECT_EQ(plot.grab().toImage().pixel(440, 60), image.pixel(440, 60));
}

TEST_F(LifeLine, CompactShowsOnePanel)
{
    plot.setCompact(true);
    show(test::lifeLine(), 600, 110);
    for (const auto& row : plot.table().rows)
        EXPECT_EQ(row[2].file, u"efficiency_pct"_s);
    test::keepPicture(image, u"life_compact.png"_s);
}

TEST_F(LifeLine, ManyVisitsAreDrawnInTime)
{
    // 400 visits: a replot must stay far below the 33 ms of a frame; ten replots in a second leave room for a busy machine.
    show(test::lifeLine(400));
    QElapsedTimer timer;
    timer.start();
    for (int i = 0; i < 10; ++i) {
        key(i % 2 == 0 ? Qt::Key_End : Qt::Key_Left);
        plot.grab();
    }
    EXPECT_LT(timer.elapsed(), 3000);
}
