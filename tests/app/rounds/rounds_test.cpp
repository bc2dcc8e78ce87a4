#include "app/rounds/board_view.h"
#include "app/rounds/due_model.h"
#include "app/rounds/round_sheet.h"
#include "app/rounds/rounds_desk.h"
#include "app/style/theme.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/shop/demo_shop.h"

#include <QAbstractItemModelTester>
#include <QAbstractItemView>
#include <QApplication>
#include <QFile>
#include <QLabel>
#include <QScrollArea>
#include <QTableView>
#include <QTest>

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using test::waitFor;

/// Two people, two days, three jobs.
core::WeekPlan smallPlan()
{
    core::WeekPlan plan;
    plan.week = *core::parseIsoWeek("2026-W10");
    const std::int64_t monday = core::mondayOf(plan.week);
    for (const char* key : {"AE-1", "AE-2", "AE-3"}) {
        core::Job job;
        job.key = job.tag = key;
        job.serial = std::string("K7-000") + key[3];
        job.area = "North";
        job.tasks = {core::TaskKind::Check};
        job.why = "every 28 days";
        job.minutes = 30;
        job.loss = 10;
        job.earliest = monday;
        job.latest = monday + 4;
        plan.jobs.push_back(job);
    }
    plan.planned = {{.key = "AE-1", .day = monday, .people = {"T1"}, .order = 1},
                    {.key = "AE-2", .day = monday, .people = {"T1"}, .order = 2}};
    plan.unplanned = {{.key = "AE-3", .why = "no minutes left", .nextChance = monday + 7}};
    for (const char* person : {"T1", "T2"})
        for (int d = 0; d < 2; ++d) {
            core::DayLoad load{.day = monday + d, .person = person, .used = 0, .capacity = 100, .areas = {}};
            if (d == 0 && load.person == "T1") {
                load.used = 80;
                load.areas = {{"North", 20}};
            }
            plan.loads.push_back(load);
        }
    return plan;
}

TEST(Board, HoldsWhatThePlanSays)
{
    const Board board = Board::of(smallPlan());
    ASSERT_EQ(board.people.size(), 2U);
    ASSERT_EQ(board.days.size(), 2U);
    EXPECT_EQ(board.cells[0][0].jobs.size(), 2U);
    EXPECT_TRUE(board.cells[1][0].jobs.empty());
    EXPECT_EQ(board.find("AE-2"), (Board::Place{0, 0, 1}));
    EXPECT_FALSE(board.find("AE-3").has_value());
    EXPECT_EQ(Board::loadText(board.cells[0][0]), QStringLiteral("80 of 100 min"));
    BoardCell over = board.cells[0][0];
    over.used = 117;
    EXPECT_EQ(Board::loadText(over), QStringLiteral("17 min over"));
    EXPECT_EQ(Board::shortLoadText(over), QStringLiteral("17 over"));
    EXPECT_EQ(Board::shortLoadText(board.cells[0][0]), QStringLiteral("80/100"));
}

TEST(BoardView, CarriesAJobByKeyboard)
{
    BoardView view;
    view.resize(700, 400);
    view.setBoard(Board::of(smallPlan()));
    view.show();
    ASSERT_TRUE(QTest::qWaitForWindowExposed(&view));
    view.setFocus();
    std::string moved, spoken;
    std::int64_t day = 0;
    QString person;
    QObject::connect(&view, &BoardView::moveAsked, &view, [&](const std::string& key, std::int64_t d, const QString& p) {
        moved = key;
        day = d;
        person = p;
    });
    QObject::connect(&view, &BoardView::readout, &view, [&](const QString& text) { spoken = text.toStdString(); });
    QTest::keyClick(&view, Qt::Key_Down);  // to the second job
    EXPECT_EQ(view.currentKey(), "AE-2");
    QTest::keyClick(&view, Qt::Key_Space);
    EXPECT_TRUE(view.carrying());
    EXPECT_NE(spoken.find("Carrying AE-2"), std::string::npos) << spoken;
    QTest::keyClick(&view, Qt::Key_Right);
    QTest::keyClick(&view, Qt::Key_Down);  // to the second person
    QTest::keyClick(&view, Qt::Key_Space);
    EXPECT_EQ(moved, "AE-2");
    EXPECT_EQ(person, QStringLiteral("T2"));
    EXPECT_EQ(day, core::mondayOf(*core::parseIsoWeek("2026-W10")) + 1);
    EXPECT_FALSE(view.carrying());
}

TEST(BoardView, EscapePutsTheJobBack)
{
    BoardView view;
    view.setBoard(Board::of(smallPlan()));
    view.show();
    ASSERT_TRUE(QTest::qWaitForWindowExposed(&view));
    bool moved = false;
    QObject::connect(&view, &BoardView::moveAsked, &view, [&] { moved = true; });
    QTest::keyClick(&view, Qt::Key_Space);
    QTest::keyClick(&view, Qt::Key_Right);
    QTest::keyClick(&view, Qt::Key_Escape);
    EXPECT_FALSE(view.carrying());
    EXPECT_FALSE(moved);
    EXPECT_EQ(view.currentKey(), "AE-1");
}

TEST(RoundsDesk, PlansTheDemoWeekAndSaysWhyForEveryLine)
{
    test::DemoShop demo;
    RoundsDesk desk(demo.shop(), [](QWidget*) { return std::nullopt; });
    desk.resize(1280, 700);
    desk.show();
    desk.presenter().replan();
    ASSERT_TRUE(waitFor([&] { return desk.presenter().plan() != nullptr; }));
    EXPECT_EQ(core::formatIsoWeek(desk.presenter().week()), "2026-W10");
    ASSERT_FALSE(desk.presenter().due().empty());
    for (const DueLine& line : desk.presenter().due()) {
        EXPECT_FALSE(line.why.trimmed().isEmpty()) << line.tag.toStdString() << line.serial.toStdString();
        EXPECT_FALSE(line.task.isEmpty());
    }
    EXPECT_TRUE(desk.sentence().contains(QStringLiteral("Week 10"))) << desk.sentence().toStdString();
    EXPECT_TRUE(test::namelessFocusables(&desk).isEmpty()) << test::namelessFocusables(&desk).join(QLatin1Char('\n')).toStdString();
    auto* view = desk.findChild<QAbstractItemView*>(QStringLiteral("rounds.due"));
    ASSERT_NE(view, nullptr);
    QAbstractItemModelTester tester(view->model());
    desk.presenter().replan();
    test::waitFor([] { return false; }, 300);
}

TEST(RoundsDesk, ALineThatDoesNotFitHasTwoAndTheToolTipHasAll)
{
    test::DemoShop demo;
    RoundsDesk desk(demo.shop(), [](QWidget*) { return std::nullopt; });
    desk.resize(1280, 692);
    desk.show();
    desk.presenter().replan();
    ASSERT_TRUE(waitFor([&] { return desk.presenter().plan() != nullptr && !desk.presenter().due().empty(); }));
    QTest::qWait(50);
    auto* view = desk.findChild<QTableView*>(QStringLiteral("rounds.due"));
    auto* model = qobject_cast<DueModel*>(view->model());
    ASSERT_NE(model, nullptr);
    const QFontMetrics text(view->font());
    int one = 0, lines = 0;
    for (int row = 0; row < model->rowCount(); ++row) {
        const DueLine* line = model->line(row);
        if (line == nullptr)
            continue;
        ++lines;
        EXPECT_FALSE(line->why.contains(QStringLiteral("2026"))) << line->why.toStdString();
        const QModelIndex why = model->index(row, DueModel::Why);
        EXPECT_TRUE(why.data(Qt::ToolTipRole).toString().contains(line->allWhys)) << line->allWhys.toStdString();
        const bool fits = text.horizontalAdvance(line->why) < view->columnWidth(DueModel::Why);
        one += fits ? 1 : 0;
        EXPECT_TRUE(fits || view->rowHeight(row) >= 2 * text.lineSpacing()) << line->why.toStdString();
        EXPECT_LT(view->rowHeight(row), (text.horizontalAdvance(line->why) / view->columnWidth(DueModel::Why) + 3) * text.lineSpacing())
            << "empty lines under: " << line->why.toStdString();
        EXPECT_GE(view->columnWidth(DueModel::Point), text.horizontalAdvance(model->index(row, DueModel::Point).data().toString()));
    }
    EXPECT_GT(lines, 20);
    EXPECT_TRUE(one > 0 && one < lines) << one << " of " << lines;  // both kinds were there to be looked at
    EXPECT_GT(view->columnWidth(DueModel::Why), view->viewport()->width() * 2 / 5);
}

TEST(RoundsDesk, TheKitLeavesTheBoardItsRoomAtTwiceTheScale)
{
    Theme theme(*qApp);
    theme.setChoice(ThemeChoice::Light);
    theme.setScale(2.0);
    {
        test::DemoShop demo;
        RoundsDesk desk(demo.shop(), [](QWidget*) { return std::nullopt; });
        desk.resize(1920, 868);
        desk.show();
        desk.presenter().replan();
        ASSERT_TRUE(waitFor([&] { return desk.presenter().plan() != nullptr && !desk.presenter().kitLines().empty(); }));
        QTest::qWait(50);
        const auto* kit = desk.findChild<QScrollArea*>(QStringLiteral("rounds.kit.scroll"));
        const auto* board = desk.findChild<QScrollArea*>(QStringLiteral("rounds.board.scroll"));
        const auto* view = desk.findChild<BoardView*>(QStringLiteral("rounds.board"));
        ASSERT_TRUE(kit != nullptr && board != nullptr && view != nullptr);
        EXPECT_GT(kit->height(), 0);
        EXPECT_LE(kit->height(), desk.height() / 3);
        EXPECT_GE(board->height(), view->leastHeight());
        EXPECT_EQ(kit->focusPolicy(), Qt::StrongFocus) << "there is more of it than is shown";
    }
    theme.setScale(1.0);
}

TEST(RoundsDesk, AMoveThatBreaksTheDayIsRefusedInWords)
{
    test::DemoShop demo;
    RoundsDesk desk(demo.shop(), [](QWidget*) { return std::nullopt; });
    desk.presenter().replan();
    ASSERT_TRUE(waitFor([&] { return desk.presenter().plan() != nullptr && !desk.presenter().plan()->planned.empty(); }));
    QString said;
    QObject::connect(&desk.presenter(), &RoundsPresenter::note, &desk, [&](const QString& text) { said = text; });
    const core::PlannedJob first = desk.presenter().plan()->planned.front();
    desk.presenter().move(first.key, core::mondayOf(desk.presenter().week()) + 6, QStringLiteral("nobody"));
    EXPECT_FALSE(said.isEmpty());
    const auto place = desk.presenter().board().find(first.key);
    EXPECT_TRUE(place.has_value());
}

TEST(RoundSheet, IsWrittenWholeAsPdf)
{
    test::DemoShop demo;
    RoundsDesk desk(demo.shop(), [](QWidget*) { return std::nullopt; });
    desk.presenter().replan();
    ASSERT_TRUE(waitFor([&] { return desk.presenter().plan() != nullptr; }));
    const std::filesystem::path file = demo.folder() / "sheets.pdf";
    const auto pages = writeRoundSheets(*desk.presenter().plan(), *demo.shop().overview(), file, QStringLiteral("T1"), demo.shop().file());
    ASSERT_TRUE(pages.has_value()) << pages.error().detail;
    EXPECT_GT(*pages, 0);
    QFile pdf(QString::fromStdString(file.string()));
    ASSERT_TRUE(pdf.open(QIODevice::ReadOnly));
    EXPECT_TRUE(pdf.readAll().startsWith("%PDF-"));
    const auto refused =
        writeRoundSheets(*desk.presenter().plan(), *demo.shop().overview(), demo.folder() / "no such folder" / "x.pdf", {}, {});
    ASSERT_FALSE(refused.has_value());
    EXPECT_EQ(refused.error().code, core::Errc::CannotWrite);
}

}  // namespace
}  // namespace halfcell::app
