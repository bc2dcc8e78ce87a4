#include "app/plots/calendar_ticker.h"
#include "app/plots/panel_scale.h"
#include "app/plots/plot_table.h"
#include "app/plots/sparkline.h"
#include "app/style/palette.h"
#include "tests/app/plots/plot_series.h"

#include <QAbstractItemModelTester>
#include <QDateTime>
#include <QImage>
#include <QPainter>

#include <gtest/gtest.h>

#include <cmath>

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;
namespace test = halfcell::test;

namespace {

qint64 utc(int year, int month, int day)
{
    return QDate(year, month, day).startOfDay().toSecsSinceEpoch();
}

QStringList labels(const std::vector<CalendarTick>& ticks)
{
    QStringList list;
    for (const CalendarTick& tick : ticks)
        list.append(tick.label);
    return list;
}

}  // namespace

TEST(CalendarTicks, StandAtWholeMonthsOfLocalTime)
{
    const auto ticks = calendarTicks(utc(2025, 9, 20), utc(2026, 7, 20), 12);
    EXPECT_EQ(labels(ticks),
              (QStringList{u"Oct 25"_s, u"Nov"_s, u"Dec"_s, u"Jan 26"_s, u"Feb"_s, u"Mar"_s, u"Apr"_s, u"May"_s, u"Jun"_s, u"Jul"_s}));
    for (const CalendarTick& tick : ticks)
        EXPECT_EQ(QDateTime::fromSecsSinceEpoch(tick.utc).date().day(), 1);
}

TEST(CalendarTicks, GrowFromHoursToYears)
{
    EXPECT_EQ(labels(calendarTicks(utc(2026, 3, 2), utc(2026, 3, 2) + 6 * 3600, 3)),
              (QStringList{u"2 Mar 00:00"_s, u"03:00"_s, u"06:00"_s}));
    EXPECT_EQ(labels(calendarTicks(utc(2026, 3, 2), utc(2026, 3, 5), 4)), (QStringList{u"2 Mar 26"_s, u"3 Mar"_s, u"4 Mar"_s, u"5 Mar"_s}));
    // Weeks begin on Monday.
    for (const CalendarTick& tick : calendarTicks(utc(2026, 2, 1), utc(2026, 3, 10), 6))
        EXPECT_EQ(QDateTime::fromSecsSinceEpoch(tick.utc).date().dayOfWeek(), 1);
    EXPECT_EQ(labels(calendarTicks(utc(2015, 6, 1), utc(2026, 6, 1), 12)).last(), u"2026"_s);
    EXPECT_TRUE(calendarTicks(10, 10, 5).empty());
    for (const int most : {2, 5, 12, 40})
        EXPECT_LE(calendarTicks(utc(2020, 1, 1), utc(2026, 1, 1), most).size(), static_cast<std::size_t>(2 * most + 2));
}

TEST(PanelScale, ResponseIsLinearTo100AndLogarithmicAbove)
{
    EXPECT_DOUBLE_EQ(toAxis(PanelScale::LogAbove100, 40), 40);
    EXPECT_DOUBLE_EQ(toAxis(PanelScale::LogAbove100, 100), 100);
    EXPECT_NEAR(toAxis(PanelScale::LogAbove100, 100 * std::exp(1.0)), 200, 1e-9);
    // No kink at 100: the same step on both sides to first order.
    EXPECT_NEAR(toAxis(PanelScale::LogAbove100, 100.1) - 100, 100 - toAxis(PanelScale::LogAbove100, 99.9), 1e-3);
    EXPECT_DOUBLE_EQ(toAxis(PanelScale::Efficiency, 140), 140);
}

TEST(PanelScale, EfficiencyRestsAt60To103AndGrowsWhenItMust)
{
    LifeLineSeries series = test::lifeLine();
    LifeLinePanel panel = series.panels[0];
    panel.fan.clear();
    PanelRange range = rangeOf(panel, false);
    EXPECT_DOUBLE_EQ(range.low, 60);
    EXPECT_DOUBLE_EQ(range.high, 103);
    EXPECT_FALSE(range.grown);
    panel.points.back().value = 41;
    range = rangeOf(panel, false);
    EXPECT_TRUE(range.grown);
    EXPECT_LT(range.low, 41);
    EXPECT_FALSE(rangeOf(panel, true).grown);
    panel.points.back().leftOut = true;
    EXPECT_FALSE(rangeOf(panel, false).grown);
}

TEST(PanelScale, OffsetIsSymmetricAndHoldsTheLimits)
{
    const LifeLineSeries series = test::lifeLine();
    const PanelRange range = rangeOf(series.panels[1], false);
    EXPECT_DOUBLE_EQ(range.low, -range.high);
    EXPECT_GT(range.high, 50);
    QStringList ticks;
    for (const PanelTick& tick : ticksOf(series.panels[1], range, 4))
        ticks.append(tick.label);
    EXPECT_TRUE(ticks.contains(u"0"_s));
    EXPECT_TRUE(ticks.contains(u"+50"_s)) << ticks.join(u' ').toStdString();
    EXPECT_TRUE(ticks.contains(u"−50"_s));
}

TEST(PanelScale, AxisKeepsTwoLabelsThatStandApart)
{
    LifeLinePanel dead = test::lifeLine().panels[0];
    dead.points.back().value = 2.8;
    LifeLinePanel slow = test::lifeLine().panels[2];
    slow.points.back().value = 900;
    constexpr double kLabel = 15.0;
    for (const LifeLinePanel& panel : {test::lifeLine().panels[0], dead, test::lifeLine().panels[1], slow})
        for (const double room : {24.0, 32.0, 48.0, 60.0, 120.0}) {
            const PanelRange range = rangeOf(panel, false);
            const auto ticks = ticksThatFit(panel, range, room, kLabel);
            ASSERT_GE(ticks.size(), 2U) << panel.title.toStdString() << ' ' << room;
            for (std::size_t i = 1; i < ticks.size(); ++i)
                EXPECT_GE((ticks[i].at - ticks[i - 1].at) / (range.high - range.low) * room, kLabel)
                    << panel.title.toStdString() << ' ' << room;
        }
    EXPECT_LE(ticksThatFit(dead, rangeOf(dead, false), 10.0, kLabel).size(), 1U);
    QStringList labels;
    for (const PanelTick& tick : ticksThatFit(dead, rangeOf(dead, false), 60.0, kLabel))
        labels.append(tick.label);
    EXPECT_EQ(labels, (QStringList{u"0"_s, u"50"_s, u"100"_s}));
}

TEST(PlotTable, ModelKeepsItsPromises)
{
    PlotTableModel model;
    QAbstractItemModelTester tester(&model, QAbstractItemModelTester::FailureReportingMode::Fatal);
    model.setTable({{u"offset_mv"_s, u"note"_s}, {{numberCell(-11.9, 1, true), textCell(u"a"_s)}, {{}, textCell(u"b"_s)}}});
    EXPECT_EQ(model.rowCount(), 2);
    EXPECT_EQ(model.headerData(0, Qt::Horizontal).toString(), u"offset mv"_s);
    EXPECT_EQ(model.index(0, 0).data().toString(), u"−11.9"_s);
    EXPECT_EQ(toCsv(model.table()), "offset_mv,note\r\n-11.9,a\r\n,b\r\n"_ba);
    EXPECT_TRUE(numberCell(std::nan(""), 1, true).file.isEmpty());
}

TEST(Sparkline, DrawsTheLineItsBreakAndTheLastValue)
{
    Sparkline line;
    line.from = 0;
    line.to = 100;
    for (int i = 0; i <= 10; ++i)
        line.points.push_back({i * 10, i < 5 ? 100.0 : 80.0, true});
    const auto drawn = [](const Sparkline& l) {
        QImage image(120, 28, QImage::Format_RGB32);
        image.fill(Qt::white);
        QPainter painter(&image);
        paintSparkline(painter, QRectF(0, 0, 120, 28), l, Palette::of(Scheme::Paper), false);
        return image;
    };
    const QImage whole = drawn(line);
    Sparkline broken = line;
    broken.points[5].joined = false;
    EXPECT_NE(whole, drawn(broken));
    // The last value is a dot at the right end.
    int dark = 0;
    for (int x = 113; x < 120; ++x)
        for (int y = 0; y < 28; ++y)
            dark += qGray(whole.pixel(x, y)) < 128 ? 1 : 0;
    EXPECT_GT(dark, 10);
    EXPECT_EQ(sparklineWords(line), u"11 as-left values, 100.0 to 80.0"_s);
    EXPECT_EQ(sparklineWords({}), u"no as-left values"_s);
}
