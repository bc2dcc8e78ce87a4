#include "app/plots/life_line_plot.h"
#include "app/register/register_desk.h"
#include "app/register/register_peek.h"
#include "app/style/theme.h"
#include "tests/app/record/small_shop.h"
#include "tests/support/qt/widgets.h"

#include <QApplication>
#include <QClipboard>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalSpy>
#include <QTest>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::waitFor;

class RegisterDeskTest : public ::testing::Test {
protected:
    Theme theme{*qApp};
    test::SmallShop small;
    RegisterDesk desk{small.shop()};

    void SetUp() override
    {
        theme.setChoice(ThemeChoice::Light);
        desk.resize(1280, 694);
        desk.show();
        ASSERT_TRUE(QTest::qWaitForWindowExposed(&desk));
        ASSERT_TRUE(waitFor([this] { return !desk.model().serials().isEmpty(); }));
        desk.takeFocus();
    }
    QTableView* table() { return desk.findChild<QTableView*>(u"register.list.table"_s); }
    template <class W>
    W* part(const QString& name)
    {
        return desk.findChild<W*>(name);
    }
    QString note(const QString& name) { return part<QLabel>(name)->text(); }
};

TEST_F(RegisterDeskTest, SaysTheShopInOneSentenceWithLinks)
{
    const QString line = desk.sentence();
    EXPECT_TRUE(line.startsWith(u"3 sensors. "_s)) << line.toStdString();
    EXPECT_TRUE(line.contains(u"<a href=\"need/few\">1 has too little data</a>"_s)) << line.toStdString();
    desk.follow(u"need/few"_s);
    EXPECT_EQ(desk.model().serials(), QStringList{u"K7-0470"_s});
    EXPECT_TRUE(desk.sentence().contains(u"Only too little data shown."_s));
    desk.follow(u"clear"_s);
    EXPECT_EQ(desk.model().serials().size(), 3);
}

TEST_F(RegisterDeskTest, EnterOpensTheRecordOfTheChosenRowWithItsList)
{
    desk.choose(u"K7-0431"_s);
    QSignalSpy asked(&desk, &RegisterDesk::recordAsked);
    QTest::keyClick(table(), Qt::Key_Return);
    ASSERT_EQ(asked.count(), 1);
    EXPECT_EQ(asked.first().at(0).toString(), u"K7-0431"_s);
    EXPECT_EQ(asked.first().at(1).toStringList(), desk.model().serials());
    EXPECT_EQ(desk.chosenSerial(), u"K7-0431"_s);
}

TEST_F(RegisterDeskTest, LettersGoToTheBoxAndSpaceToThePeek)
{
    QSignalSpy typed(&desk, &RegisterDesk::typed);
    QTest::keyClicks(table(), u"431"_s);
    ASSERT_EQ(typed.count(), 3);
    EXPECT_EQ(typed.first().at(1).toString(), u"4"_s);
    auto* peek = part<QWidget>(u"register.peek.page"_s);
    EXPECT_TRUE(peek->isVisible());
    QTest::keyClick(table(), Qt::Key_Space);
    EXPECT_FALSE(peek->isVisible());
    QTest::keyClick(table(), Qt::Key_Space);
    EXPECT_TRUE(peek->isVisible());
}

TEST_F(RegisterDeskTest, ThePeekSaysWhatAndWhere)
{
    desk.choose(u"K7-0412"_s);
    EXPECT_TRUE(waitFor([this] { return note(u"register.peek.serial"_s) == u"K7-0412"_s; }));
    EXPECT_EQ(note(u"register.peek.place"_s), u"at AE-3107 Neutralisation tank 2, since 28 Sep 2025"_s);
    EXPECT_FALSE(note(u"register.peek.sentence"_s).isEmpty());
}

TEST_F(RegisterDeskTest, CopiesTheValueAndTheWholeFigure)
{
    desk.choose(u"K7-0412"_s);
    const int line = desk.model().lineOf(u"K7-0412"_s);
    table()->setCurrentIndex(desk.model().index(line, RegisterModel::Offset));
    QTest::keyClick(table(), Qt::Key_C, Qt::ControlModifier);
    const QString value = QApplication::clipboard()->text();
    EXPECT_TRUE(value.startsWith(u'-')) << value.toStdString();
    EXPECT_FALSE(value.contains(u"mV"_s));
    QTest::keyClick(table(), Qt::Key_C, Qt::ControlModifier | Qt::ShiftModifier);
    const QString whole = QApplication::clipboard()->text();
    EXPECT_TRUE(whole.startsWith(value)) << whole.toStdString();
    EXPECT_TRUE(whole.contains(u"±"_s) && whole.contains(u"mV"_s) && whole.contains(u"2026"_s)) << whole.toStdString();
}

TEST_F(RegisterDeskTest, EveryFigureAnswersWithItsWorking)
{
    desk.choose(u"K7-0412"_s);
    const int line = desk.model().lineOf(u"K7-0412"_s);
    QSignalSpy ready(&desk, &RegisterDesk::workingReady);
    for (const int column : {RegisterModel::Efficiency, RegisterModel::Offset, RegisterModel::T90}) {
        ready.clear();
        table()->setCurrentIndex(desk.model().index(line, column));
        QTest::keyClick(table(), Qt::Key_E, Qt::ControlModifier);
        ASSERT_TRUE(waitFor([&] { return ready.count() == 1; }));
        const auto page = ready.first().first().value<WorkingPage>();
        EXPECT_FALSE(page.steps.empty()) << page.title.toStdString();
        EXPECT_TRUE(page.complete());
    }
    // The millivolts it came from stand in it.
    table()->setCurrentIndex(desk.model().index(line, RegisterModel::Efficiency));
    ready.clear();
    QTest::keyClick(table(), Qt::Key_E, Qt::ControlModifier);
    ASSERT_TRUE(waitFor([&] { return ready.count() == 1; }));
    const QString text = plainWorking(ready.first().first().value<WorkingPage>(), false);
    EXPECT_TRUE(text.contains(u"-10 mV"_s) && text.contains(u"-182 mV"_s)) << text.toStdString();
}

TEST_F(RegisterDeskTest, AMoveWithoutReasonIsRefusedWithASentence)
{
    desk.choose(u"K7-0431"_s);
    QTest::keyClick(table(), Qt::Key_M, Qt::ControlModifier);
    auto* place = part<QComboBox>(u"register.move.place"_s);
    ASSERT_TRUE(place->isVisible());
    place->setEditText(u"shelf"_s);
    QTest::mouseClick(part<QPushButton>(u"register.move.ok"_s), Qt::LeftButton);
    EXPECT_TRUE(note(u"register.move.note"_s).contains(u"reason removed is needed"_s)) << note(u"register.move.note"_s).toStdString();
    // Nothing was written.
    small.shop().settle();
    EXPECT_EQ(desk.presenter().stateOf(u"K7-0431"_s)->place, "AE-3111");
    auto* reason = part<QComboBox>(u"register.move.reason"_s);
    reason->setCurrentIndex(reason->findText(u"rotation"_s));
    QTest::keyClick(part<QLineEdit>(u"register.move.when"_s), Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return desk.presenter().stateOf(u"K7-0431"_s)->place == "shelf"; }));
    EXPECT_FALSE(place->isVisible());
    EXPECT_TRUE(note(u"register.list.note"_s).contains(u"K7-0431"_s) || note(u"register.list.note"_s).contains(u"F5"_s));
}

TEST_F(RegisterDeskTest, ANewSensorIsAddedAndADuplicateIsNamed)
{
    QTest::keyClick(table(), Qt::Key_N, Qt::ControlModifier);
    auto* serial = part<QLineEdit>(u"register.new.serial"_s);
    ASSERT_TRUE(serial->isVisible());
    serial->setText(u"K7-0388"_s);
    part<QComboBox>(u"register.new.model"_s)->setEditText(u"general pH"_s);
    QTest::keyClick(serial, Qt::Key_Return);
    EXPECT_EQ(note(u"register.new.note"_s), u"K7-0388 is already in this book, scrapped 26 Feb 2026 (broken)."_s);
    serial->setText(u"K7-0500"_s);
    QTest::keyClick(serial, Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return desk.model().lineOf(u"K7-0500"_s) >= 0; }));
    EXPECT_FALSE(serial->isVisible());
}

TEST_F(RegisterDeskTest, TheEmptyPointIsARow)
{
    const int line = desk.model().lineOf(u"empty/AE-3110"_s);
    ASSERT_GE(line, 0);
    EXPECT_EQ(desk.model().rowAt(line)->note, u"no sensor in place since 26 Feb (broken). Ready spare that fits: K7-0470"_s);
}

TEST_F(RegisterDeskTest, AFilterWithNoRowsSaysSoAndClears)
{
    desk.setTextFilter(u"no such thing"_s);
    EXPECT_EQ(note(u"register.empty.sentence"_s), u"Nothing here matches \"no such thing\"."_s);
    auto* clear = part<QPushButton>(u"register.empty.clear"_s);
    ASSERT_TRUE(clear->isVisible());
    QTest::mouseClick(clear, Qt::LeftButton);
    EXPECT_EQ(desk.model().serials().size(), 3);
    EXPECT_TRUE(table()->isVisible());
}

TEST_F(RegisterDeskTest, SortingAndFilteringKeepTheChosenRow)
{
    desk.choose(u"K7-0431"_s);
    QTest::keyClick(table(), Qt::Key_F5);
    EXPECT_EQ(desk.chosenSerial(), u"K7-0431"_s);
    QTest::keyClick(table(), Qt::Key_G, Qt::ControlModifier);
    EXPECT_TRUE(desk.model().grouped());
    EXPECT_EQ(desk.chosenSerial(), u"K7-0431"_s);
}

TEST_F(RegisterDeskTest, RemembersPlaceSortAndPeekButNoFilter)
{
    desk.setTextFilter(u"K7"_s);
    desk.setPeekShown(false);
    const QVariantMap kept = desk.remembered();
    RegisterDesk other(small.shop());
    other.remember(kept);
    EXPECT_EQ(other.remembered(), kept);
    EXPECT_TRUE(other.model().filter().text.isEmpty());
}

TEST_F(RegisterDeskTest, EverythingHasANameForReaders)
{
    EXPECT_TRUE(test::namelessFocusables(&desk).isEmpty()) << test::namelessFocusables(&desk).join(u", "_s).toStdString();
    EXPECT_TRUE(test::unnamedObjects(&desk).isEmpty()) << test::unnamedObjects(&desk).join(u", "_s).toStdString();
}

TEST_F(RegisterDeskTest, WithEverythingInOrderThereIsNoHue)
{
    // Only K7-0470 (nothing to say yet) and rows within limits.
    desk.follow(u"need/within"_s);
    if (desk.model().rowCount() == 0)
        desk.follow(u"need/few"_s);
    QTest::qWait(50);
    EXPECT_LE(test::strongestHue(table()->grab().toImage()).spread, 16);
}

TEST_F(RegisterDeskTest, FoldsInANarrowWindow)
{
    desk.resize(960, 440);
    QTest::qWait(20);
    EXPECT_FALSE(part<QWidget>(u"register.places.tree"_s)->isVisible());
    EXPECT_TRUE(part<QPushButton>(u"register.places.chosen"_s)->isVisible());
    EXPECT_FALSE(part<QWidget>(u"register.peek.page"_s)->isVisible());
    EXPECT_FALSE(table()->isColumnHidden(RegisterModel::Point));
    desk.resize(1920, 960);
    QTest::qWait(20);
    EXPECT_TRUE(part<QWidget>(u"register.places.tree"_s)->isVisible());
    EXPECT_FALSE(table()->isColumnHidden(RegisterModel::PlaceColumn));
}

/// A sensor that fell to nothing: its axis reaches from 0 to 103, and both ends can still be read.
TEST_F(RegisterDeskTest, ThePeekOfADeadSensorHasAnAxisThatCanBeRead)
{
    LifeLineSeries line;
    line.sensor = u"K7-0304"_s;
    line.now = test::testNow().utcSeconds;
    LifeLinePanel panel{.key = u"efficiency_pct"_s, .title = u"Efficiency"_s, .unit = u"%"_s, .scale = PanelScale::Efficiency};
    panel.limits = {{70, BadSide::Below, LimitKind::Use, u"use"_s}, {80, BadSide::Below, LimitKind::Maintenance, u"maintenance"_s, false}};
    for (int month = 11; month >= 0; --month)
        panel.points.push_back({.utc = line.now - month * 30 * 86400, .phase = core::Phase::AsLeft, .value = month == 0 ? 2.8 : 97.0});
    line.panels = {panel};
    for (const double scale : {1.0, 2.0}) {
        theme.setScale(scale);
        RegisterPeek peek;
        peek.resize(static_cast<int>(1028 * scale), Metrics::of(&peek).peek());
        peek.setPage({.serial = u"K7-0304"_s, .place = u"at AE-2106"_s, .sentence = u"No response."_s, .line = line, .keys = u"Enter"_s});
        peek.show();
        ASSERT_TRUE(QTest::qWaitForWindowExposed(&peek));
        const auto* plot = peek.findChild<LifeLinePlot*>(u"register.peek.line"_s);
        ASSERT_NE(plot, nullptr);
        const QStringList labels = plot->tickLabels(0);
        EXPECT_GE(labels.size(), 2) << labels.join(u' ').toStdString() << " at " << scale;
        EXPECT_TRUE(labels.contains(u"0"_s) && labels.contains(u"100"_s)) << labels.join(u' ').toStdString() << " at " << scale;
    }
    theme.setScale(1.0);
}

}  // namespace
}  // namespace halfcell::app
