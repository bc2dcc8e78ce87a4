#include "app/plots/slope_plot.h"
#include "app/plots/two_rung_gauge.h"
#include "app/style/theme.h"
#include "tests/app/plots/plot_series.h"
#include "tests/support/qt/watched_application.h"
#include "tests/support/qt/widgets.h"

#include <QSignalSpy>
#include <QTest>

#include <gtest/gtest.h>

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;
using halfcell::core::Phase;
namespace test = halfcell::test;

TEST(SlopePlot, WalksTheReadingsAndSaysHowFarOffTheyAre)
{
    Theme theme(test::application());
    SlopePlot plot;
    plot.setSeries(test::slope());
    ASSERT_FALSE(test::picture(plot, 400, 260).isNull());
    plot.activateWindow();
    plot.setFocus();
    ASSERT_TRUE(QTest::qWaitForWindowActive(&plot));
    QTest::keyClick(&plot, Qt::Key_Home);
    EXPECT_EQ(plot.readout(), u"pH 7.00, as found: −13 ±3.0 mV; pH 7.020 there, ideal −1.2 mV, off by −11.8 mV; 19.0 °C, 120 s"_s)
        << plot.readout().toStdString();
    QTest::keyClick(&plot, Qt::Key_End);
    EXPECT_TRUE(plot.readout().startsWith(u"pH 10.01, after cleaning: −181"_s));
    EXPECT_TRUE(plot.readout().contains(u"off by −2.9 mV"_s)) << plot.readout().toStdString();
    QSignalSpy working(&plot, &PlotBase::workingAsked);
    QTest::keyClick(&plot, Qt::Key_E, Qt::ControlModifier);
    EXPECT_EQ(working.count(), 1);
}

TEST(SlopePlot, TableHoldsReadingsAndLines)
{
    Theme theme(test::application());
    Magnifier plot;
    plot.setSeries(test::slope());
    const PlotTable table = plot.table();
    ASSERT_EQ(table.rows.size(), 6u);
    EXPECT_EQ(table.rows[0][3].file, u"-13"_s);
    EXPECT_EQ(table.rows[0][3].screen, u"−13"_s);
    EXPECT_EQ(table.rows[5][7].file, u"56.01"_s);
    EXPECT_EQ(table.rows[1][6].screen, u"+2.1"_s);
    EXPECT_TRUE(plot.summary().contains(u"−13 in pH 7.00, as found, −11.8 off the ideal line"_s)) << plot.summary().toStdString();
}

TEST(SlopePlot, DrawsThemAllWithoutHue)
{
    Theme theme(test::application());
    for (const ThemeChoice choice : {ThemeChoice::Light, ThemeChoice::Dark}) {
        theme.setChoice(choice);
        const QString end = choice == ThemeChoice::Light ? u"_light.png"_s : u"_dark.png"_s;
        SlopePlot slope;
        slope.setSeries(test::slope());
        const QImage first = test::picture(slope, 380, 220);
        test::keepPicture(first, u"slope"_s + end);
        Magnifier magnifier;
        SlopeSeries three = test::slope();
        three.points.push_back({.ph = 7.02, .mv = -9, .idealMv = -1.2, .expanded = 2.0, .phase = Phase::AsLeft, .standard = u"pH 7.00"_s});
        three.points.push_back({.ph = 4.0, .mv = 158, .idealMv = 173.9, .expanded = 2.0, .phase = Phase::AsFound, .standard = u"pH 4.01"_s, .superseded = true});
        magnifier.setSeries(three);
        const QImage second = test::picture(magnifier, 380, 360);
        test::keepPicture(second, u"magnifier"_s + end);
        TwoRungGauge gauge;
        gauge.setSeries(test::gauge());
        const QImage third = test::picture(gauge, 380, 320);
        test::keepPicture(third, u"gauge"_s + end);
        for (const QImage& image : {first, second, third})
            EXPECT_LE(test::strongestHue(image).spread, 24);
    }
}

TEST(SlopePlot, AnEmptyVisitSaysSo)
{
    Theme theme(test::application());
    SlopePlot slope;
    slope.setSeries({});
    EXPECT_EQ(slope.summary(), u"No reading yet."_s);
    EXPECT_FALSE(test::picture(slope, 300, 200).isNull());
    QTest::keyClick(&slope, Qt::Key_End);
    EXPECT_FALSE(slope.cursor().has_value());
}

TEST(TwoRungGauge, SaysExpectedReadAndDifference)
{
    Theme theme(test::application());
    TwoRungGauge plot;
    plot.setSeries(test::gauge());
    plot.setCursor(1);
    EXPECT_EQ(plot.readout(), u"quinhydrone in pH 4, as found: read +228 ±8 mV, expected +257, off by −29 mV; 21.0 °C, 55 s"_s)
        << plot.readout().toStdString();
    const PlotTable table = plot.table();
    ASSERT_EQ(table.rows.size(), 2u);
    EXPECT_EQ(table.rows[0][5].file, u"-26"_s);
    for (const QString& head : table.head)
        EXPECT_FALSE(head.contains(u"efficiency"_s));
    EXPECT_FALSE(plot.summary().contains(u"efficiency"_s));
}

TEST(TwoRungGauge, EveryFocusableHasANameAndAnObjectName)
{
    Theme theme(test::application());
    TwoRungGauge gauge;
    Magnifier magnifier;
    SlopePlot slope;
    for (QWidget* plot : {static_cast<QWidget*>(&gauge), static_cast<QWidget*>(&magnifier), static_cast<QWidget*>(&slope)}) {
        EXPECT_TRUE(test::namelessFocusables(plot).isEmpty()) << test::namelessFocusables(plot).join(u", "_s).toStdString();
        EXPECT_TRUE(test::unnamedObjects(plot).isEmpty()) << test::unnamedObjects(plot).join(u", "_s).toStdString();
    }
}
