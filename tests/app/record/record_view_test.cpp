#include "app/plots/life_line_plot.h"
#include "app/record/key_figure.h"
#include "app/record/record_side.h"
#include "app/record/record_view.h"
#include "app/record/visits_table.h"
#include "app/style/theme.h"
#include "tests/app/record/small_shop.h"
#include "tests/support/qt/widgets.h"

#include <QApplication>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QScrollArea>
#include <QScrollBar>
#include <QSignalSpy>
#include <QTableView>
#include <QTest>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::waitFor;

class RecordViewTest : public ::testing::Test {
protected:
    Theme theme{*qApp};
    test::SmallShop small;
    RecordView view{small.shop()};
    QSignalSpy working{&view, &RecordView::workingReady};

    void SetUp() override
    {
        theme.setChoice(ThemeChoice::Light);
        view.resize(1280, 694);
        view.show();
        ASSERT_TRUE(QTest::qWaitForWindowExposed(&view));
    }
    void open(const QString& serial, const QStringList& list = {})
    {
        view.open(serial, list);
        ASSERT_TRUE(waitFor([&] { return view.presenter().page() != nullptr && view.presenter().page()->head.serial == serial; }));
        QTest::qWait(20);
    }
    template <class W>
    W* part(const QString& name)
    {
        return view.findChild<W*>(name);
    }
    LifeLinePlot* plot() { return part<LifeLinePlot>(u"record.life.line"_s); }
    QTableView* visits() { return part<QTableView>(u"record.visits.table"_s); }
    QTableView* readings() { return part<QTableView>(u"record.visit.readings"_s); }
    WorkingPage lastWorking() { return working.last().first().value<WorkingPage>(); }
};

TEST_F(RecordViewTest, OpensWithHeadLifeLineAndVisits)
{
    open(u"K7-0412"_s);
    EXPECT_EQ(part<QLabel>(u"record.head.serial"_s)->text(), u"K7-0412"_s);
    EXPECT_TRUE(plot()->isVisible());
    EXPECT_EQ(plot()->series().panels.size(), 3U);
    EXPECT_EQ(visits()->model()->rowCount(), 4);
    EXPECT_TRUE(view.sentence().startsWith(u"Record of K7-0412."_s));
    // The focus waits on the head: F6 goes on to the life line.
    EXPECT_TRUE(view.regions().first()->isAncestorOf(QApplication::focusWidget()));
    EXPECT_EQ(view.regions().at(1), plot());
}

TEST_F(RecordViewTest, EndOnTheLifeLineReadsTheLastVisitAloud)
{
    open(u"K7-0412"_s);
    plot()->setFocus();
    QTest::keyClick(plot(), Qt::Key_End);
    const QString readout = plot()->readout();
    EXPECT_TRUE(readout.contains(u"23 Feb 2026"_s)) << readout.toStdString();
    EXPECT_TRUE(readout.contains(u"as found 92.1"_s)) << readout.toStdString();
    EXPECT_TRUE(readout.contains(u"detergent, weak acid: gained"_s)) << readout.toStdString();
    QTest::keyClick(plot(), Qt::Key_Return);
    ASSERT_NE(readings(), nullptr);
    EXPECT_TRUE(readings()->isVisible());
    EXPECT_TRUE(readings()->hasFocus());
}

TEST_F(RecordViewTest, CtrlEAnswersOnEveryFigure)
{
    open(u"K7-0412"_s);
    const auto buttons = view.findChildren<KeyFigureButton*>();
    ASSERT_EQ(buttons.size(), 4);
    for (KeyFigureButton* button : buttons) {
        working.clear();
        button->setFocus();
        QTest::keyClick(button, Qt::Key_E, Qt::ControlModifier);
        ASSERT_EQ(working.count(), 1) << button->objectName().toStdString();
        EXPECT_FALSE(lastWorking().steps.empty()) << button->objectName().toStdString();
    }
    // 97 % as left lists both millivolts.
    const QString text = plainWorking(
        [&] {
            working.clear();
            QTest::keyClick(buttons.first(), Qt::Key_E, Qt::ControlModifier);
            return lastWorking();
        }(),
        false);
    EXPECT_TRUE(text.contains(u"-10 mV"_s) && text.contains(u"-182 mV"_s)) << text.toStdString();
    // In the table of visits, as found.
    visits()->setFocus();
    visits()->setCurrentIndex(visits()->model()->index(0, VisitsModel::FoundOffset));
    working.clear();
    QTest::keyClick(visits(), Qt::Key_E, Qt::ControlModifier);
    ASSERT_EQ(working.count(), 1);
    EXPECT_TRUE(lastWorking().title.startsWith(u"Offset, as found, 23 Feb 2026: −11.9"_s)) << lastWorking().title.toStdString();
    // On the life line: the panel under the cursor.
    plot()->setFocus();
    QTest::keyClick(plot(), Qt::Key_End);
    QTest::keyClick(plot(), Qt::Key_Down);
    working.clear();
    QTest::keyClick(plot(), Qt::Key_E, Qt::ControlModifier);
    ASSERT_EQ(working.count(), 1);
    EXPECT_EQ(lastWorking().figure, u"offset_mv"_s);
}

TEST_F(RecordViewTest, ALegacyFigureSaysThatNoMillivoltsWereRecorded)
{
    open(u"K7-0412"_s);
    visits()->setFocus();
    visits()->setCurrentIndex(visits()->model()->index(3, VisitsModel::LeftFirst));
    QTest::keyClick(visits(), Qt::Key_E, Qt::ControlModifier);
    ASSERT_EQ(working.count(), 1);
    EXPECT_TRUE(lastWorking().missing.contains(u"No millivolts were recorded"_s));
}

TEST_F(RecordViewTest, CorrectingAReadingKeepsTheOldPointCrossedAndChangesTheFigures)
{
    open(u"K7-0412"_s);
    visits()->setFocus();
    visits()->setCurrentIndex(visits()->model()->index(0, VisitsModel::When));
    QTest::keyClick(visits(), Qt::Key_Return);
    ASSERT_NE(readings(), nullptr);
    // The second reading's millivolts.
    QTest::keyClick(readings(), Qt::Key_Down);
    QTest::keyClick(readings(), Qt::Key_E, Qt::ControlModifier | Qt::ShiftModifier);
    auto* typed = part<QLineEdit>(u"record.correct.new"_s);
    ASSERT_TRUE(typed->isVisible());
    EXPECT_EQ(part<QLabel>(u"record.correct.old"_s)->text(), u"−176"_s);
    EXPECT_TRUE(part<QLabel>(u"record.correct.old"_s)->font().strikeOut());
    typed->setText(u"-167"_s);
    QTest::mouseClick(part<QPushButton>(u"record.correct.ok"_s), Qt::LeftButton);
    EXPECT_TRUE(part<QLabel>(u"record.correct.note"_s)->text().startsWith(u"Why?"_s));
    part<QComboBox>(u"record.correct.why"_s)->setCurrentIndex(0);
    QSignalSpy said(&view, &RecordView::said);
    QTest::mouseClick(part<QPushButton>(u"record.correct.ok"_s), Qt::LeftButton);
    ASSERT_TRUE(waitFor([&] { return said.count() == 1; }));
    const QString sentence = said.first().first().toString();
    EXPECT_TRUE(sentence.startsWith(u"Corrected: As found, pH 10.01, mV −176 → −167, as found efficiency 92.1 → 87.0 %"_s))
        << sentence.toStdString();
    EXPECT_TRUE(sentence.endsWith(u"The old figure stays in the history."_s));
    const auto& points = view.presenter().page()->line.panels.front().points;
    const auto crossed = std::ranges::count_if(points, [](const PhasePoint& p) { return p.superseded; });
    EXPECT_EQ(crossed, 1);
    EXPECT_FALSE(view.presenter().page()->line.panels.front().ghost.empty());
    // The visit shows the old value struck through beside the new one.
    EXPECT_TRUE(readings()->isVisible());
    const auto visit = view.presenter().visit(u"v-2026-02"_s);
    ASSERT_TRUE(visit.has_value());
    const auto spot = visit->spotOf(u"as_found/ph10.01/1"_s);
    ASSERT_TRUE(spot.has_value());
    const VisitCell& cell = visit->sections[static_cast<std::size_t>(spot->section)]
                                .rows[static_cast<std::size_t>(spot->row)][static_cast<std::size_t>(spot->column)];
    EXPECT_EQ(cell.screen, u"−167"_s);
    EXPECT_EQ(cell.old, QStringList{u"−176"_s});
}

TEST_F(RecordViewTest, AReadingOfAnotherSensorIsFoundWithItsSensor)
{
    open(u"K7-0431"_s);
    view.showReading(u"v-2026-02"_s, u"as_found/ph7.00/1"_s);
    ASSERT_TRUE(waitFor([&] { return readings() != nullptr && readings()->isVisible(); }));
    EXPECT_EQ(view.serial(), u"K7-0412"_s);
    EXPECT_EQ(readings()->currentIndex().data().toString(), u"−13"_s);
}

TEST_F(RecordViewTest, PageKeysWalkTheListOneCameFrom)
{
    open(u"K7-0412"_s, {u"K7-0412"_s, u"K7-0431"_s});
    EXPECT_TRUE(view.sentence().contains(u"1 of 2 in the list"_s));
    visits()->setFocus();
    QTest::keyClick(visits(), Qt::Key_PageDown);
    ASSERT_TRUE(waitFor([&] { return view.presenter().page() != nullptr && view.presenter().page()->head.serial == u"K7-0431"; }));
    QTest::keyClick(&view, Qt::Key_PageDown);
    EXPECT_TRUE(part<QLabel>(u"record.page.note"_s)->text().contains(u"last sensor of the list"_s));
    EXPECT_EQ(view.serial(), u"K7-0431"_s);
}

TEST_F(RecordViewTest, ANewSensorShowsWhatComesFirst)
{
    open(u"K7-0470"_s);
    EXPECT_FALSE(plot()->isVisible());
    EXPECT_TRUE(part<QLabel>(u"record.page.empty"_s)->text().startsWith(u"First readings make its baseline."_s));
    QSignalSpy asked(&view, &RecordView::visitAsked);
    QTest::keyClick(&view, Qt::Key_L, Qt::ControlModifier);
    ASSERT_EQ(asked.count(), 1);
    EXPECT_EQ(asked.first().first().toString(), u"K7-0470"_s);
}

TEST_F(RecordViewTest, EverythingHasANameForReaders)
{
    open(u"K7-0412"_s);
    view.openVisit(u"v-2026-02"_s);
    EXPECT_TRUE(test::namelessFocusables(&view).isEmpty()) << test::namelessFocusables(&view).join(u", "_s).toStdString();
    EXPECT_TRUE(test::unnamedObjects(&view).isEmpty()) << test::unnamedObjects(&view).join(u", "_s).toStdString();
    EXPECT_FALSE(plot()->accessibleDescription().isEmpty());
}

/// SCREENS 3.2: findings first, quiet; cautions where the action is chosen.
TEST_F(RecordViewTest, CautionsStandUnderWhatNextAndAKeyOpensWhatWeighsLittle)
{
    open(u"K7-0431"_s);
    RecordPage page = *view.presenter().page();
    std::erase_if(page.findings, [](const FindingWords& finding) { return finding.minor; });
    {
        auto& row = page.findings.emplace_back();
        row.title = u"Open circuit"_s;
        row.probability = u"under 1 %"_s;
        row.minor = true;
        row.speaksFor = {u"hardly moves"_s};
    }
    const QString minor = QString::number(page.findings.size() - 1);
    RecordSide side;
    side.resize(380, 700);
    side.setPage(page);
    side.show();
    ASSERT_TRUE(QTest::qWaitForWindowActive(&side));
    const auto* next = side.findChild<QLabel*>(u"record.side.next"_s);
    const auto cautions = side.findChildren<QLabel*>(u"record.side.caution"_s);
    ASSERT_NE(next, nullptr);
    ASSERT_FALSE(cautions.isEmpty());
    for (const QLabel* caution : cautions)
        EXPECT_GT(caution->y(), next->y()) << caution->text().toStdString();
    auto* also = side.findChild<QLabel*>(u"record.side.also"_s);
    auto* more = side.findChild<QWidget*>(u"record.side.also."_s + minor);
    ASSERT_NE(also, nullptr);
    ASSERT_NE(more, nullptr);
    EXPECT_EQ(also->accessibleName(), u"Also weighed: open circuit (under 1 %)"_s);
    EXPECT_LT(also->y(), next->y());
    EXPECT_FALSE(more->isVisible());
    also->setFocus();
    QTest::keyClick(also, Qt::Key_Tab);
    QTest::keyClick(also, Qt::Key_Return);
    EXPECT_TRUE(more->isVisible());
    EXPECT_FALSE(more->findChildren<QLabel*>().isEmpty());
    QTest::keyClick(also, Qt::Key_Return);
    EXPECT_FALSE(more->isVisible());
}

TEST_F(RecordViewTest, TheVisitsAreAsWideAsWhatStandsInThem)
{
    open(u"K7-0412"_s);
    for (const double scale : {1.0, 2.0}) {
        theme.setScale(scale);
        view.resize(1920, 900);
        QTest::qWait(20);
        int shown = 0;
        for (int column = 0; column < VisitsModel::kColumnCount; ++column) {
            if (visits()->isColumnHidden(column))
                continue;
            ++shown;
            if (VisitsModel::shownIn(column))
                continue;
            const QFontMetrics text(visits()->font());
            for (int row = 0; row < visits()->model()->rowCount(); ++row) {
                const QString words = visits()->model()->index(row, column).data().toString();
                EXPECT_LT(text.horizontalAdvance(words), visits()->columnWidth(column)) << words.toStdString() << " at " << scale;
            }
        }
        EXPECT_GE(shown, 8) << scale;
    }
    theme.setScale(1.0);
}

/// 1920x1080 at 200 %: the life line keeps the height it can be read at, the column scrolls, and keys bring what they reach into view.
TEST_F(RecordViewTest, ALowWindowScrollsAndTheLifeLineStaysReadable)
{
    theme.setScale(2.0);
    view.resize(1920, 868);
    open(u"K7-0412"_s);
    QTest::qWait(50);
    EXPECT_GE(plot()->height(), plot()->minimumSizeHint().height());
    EXPECT_GT(plot()->minimumSizeHint().height(), 400);
    for (std::size_t panel = 0; panel < 3; ++panel)
        EXPECT_GE(plot()->tickLabels(panel).size(), 2) << panel;
    const auto* centre = part<QScrollArea>(u"record.centre.scroll"_s);
    ASSERT_NE(centre, nullptr);
    EXPECT_GT(centre->verticalScrollBar()->maximum(), 0);
    view.activateWindow();
    ASSERT_TRUE(QTest::qWaitForWindowActive(&view));
    ASSERT_TRUE(QTest::qWaitForWindowActive(&view));
    visits()->setFocus();
    QTest::qWait(20);
    const QRect seen(centre->viewport()->mapTo(&view, QPoint()), centre->viewport()->size());
    const QRect table(visits()->mapTo(&view, QPoint()), visits()->size());
    EXPECT_TRUE(seen.adjusted(0, -1, 0, 1).contains(table))
        << table.top() << ' ' << table.bottom() << " in " << seen.top() << ' ' << seen.bottom();
    theme.setScale(1.0);
}

}  // namespace
}  // namespace halfcell::app
