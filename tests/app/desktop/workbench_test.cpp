#include "app/desktop/cabinet_desk.h"
#include "app/plots/plot_base.h"
#include "app/record/record_view.h"
#include "app/register/register_desk.h"
#include "app/style/elided_label.h"
#include "tests/app/desktop/workbench_fixture.h"
#include "tests/support/qt/widgets.h"

#include <QApplication>
#include <QFile>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QStackedWidget>
#include <QTableView>
#include <QTemporaryDir>
#include <QTest>
#include <QTreeView>

#include <gtest/gtest.h>

namespace halfcell::test {
namespace {

using namespace Qt::Literals::StringLiterals;

TEST(Workbench, EveryDeskComesUpByItsKeyAndHasNamesForReaders)
{
    WholeProgram program;
    const std::pair<std::pair<Qt::Key, Qt::KeyboardModifiers>, const char*> desks[] = {{{Qt::Key_2, Qt::ControlModifier}, "bench"},
                                                                                       {{Qt::Key_3, Qt::ControlModifier}, "rounds"},
                                                                                       {{Qt::Key_4, Qt::ControlModifier}, "review"},
                                                                                       {{Qt::Key_F10, Qt::NoModifier}, "cabinet"},
                                                                                       {{Qt::Key_1, Qt::ControlModifier}, "register"}};
    for (const auto& [key, name] : desks) {
        program.key(key.first, key.second);
        program.settle();
        QWidget* desk = program.frame().currentWidget();
        ASSERT_NE(desk, nullptr);
        EXPECT_TRUE(desk->objectName().startsWith(QLatin1String(name))) << desk->objectName().toStdString() << " for " << name;
        EXPECT_TRUE(desk->isVisible());
        EXPECT_FALSE(program.frame().sentence().isEmpty()) << name;
        EXPECT_EQ(namelessFocusables(&program.frame()), QStringList()) << name;
        ASSERT_NE(QApplication::focusWidget(), nullptr) << name;
        EXPECT_TRUE(desk->isAncestorOf(QApplication::focusWidget())) << name << ": the focus is on " << program.focusName().toStdString();
    }
}

TEST(Workbench, StartsAgainWithThePlaceTheSortAndTheScaleItWasLeftWith)
{
    WholeProgram program;
    auto* places = program.frame().findChild<QTreeView*>(u"register.places.tree"_s);
    ASSERT_NE(places, nullptr);
    places->setFocus();
    program.key(Qt::Key_Down);
    program.key(Qt::Key_Down);
    auto* header = program.frame().findChild<QTableView*>(u"register.list.table"_s)->horizontalHeader();
    QTest::mouseClick(header->viewport(), Qt::LeftButton, {}, QPoint(header->sectionViewportPosition(2) + 10, header->height() / 2));
    program.key(Qt::Key_Plus, Qt::ControlModifier);
    program.settle();
    const QVariantMap left = program.workbench().registerDesk()->remembered();
    const double scale = program.theme().metrics().scale;
    EXPECT_GT(scale, 1.0);
    EXPECT_FALSE(left.value(u"place"_s).toString().isEmpty());
    EXPECT_EQ(left.value(u"sort"_s).toInt(), 2);

    program.startAgain();
    EXPECT_EQ(program.workbench().registerDesk()->remembered(), left);
    EXPECT_DOUBLE_EQ(program.theme().metrics().scale, scale);
    EXPECT_EQ(program.frame().findChild<QTableView*>(u"register.list.table"_s)->horizontalHeader()->sortIndicatorSection(), 2);
}

/// Ctrl+Shift+S on a plot writes what is drawn to the file that was chosen, whichever desk it stands on.
TEST(Workbench, APlotIsWrittenWhereThePersonSays)
{
    WholeProgram program;
    QTemporaryDir folder;
    const QString serial = program.workbench().registerDesk()->chosenSerial();
    const auto write = [&](const QString& plotName, const QString& file) {
        auto* plot = program.frame().findChild<app::PlotBase*>(plotName);
        ASSERT_NE(plot, nullptr);
        ASSERT_TRUE(waitFor([&] { return plot->isVisible(); }, 20000)) << plotName.toStdString();
        plot->setFocus();
        const std::size_t before = static_cast<std::size_t>(program.prompts().asked.size());
        program.prompts().filesToSave.push_back(folder.filePath(file).toStdString());
        QTest::keyClick(plot, Qt::Key_S, Qt::ControlModifier | Qt::ShiftModifier);
        EXPECT_EQ(static_cast<std::size_t>(program.prompts().asked.size()), before + 1) << "asked once";
        QFile written(folder.filePath(file));
        ASSERT_TRUE(written.open(QIODevice::ReadOnly)) << file.toStdString();
        const QByteArray bytes = written.readAll();
        if (file.endsWith(u".csv"))
            EXPECT_EQ(bytes, plot->csv());
        else if (file.endsWith(u".pdf"))
            EXPECT_TRUE(bytes.startsWith("%PDF"));
        else
            EXPECT_TRUE(bytes.contains("<svg")) << bytes.left(80).toStdString();
        const auto* strip = program.frame().findChild<app::ElidedLabel*>(u"frame.strip.written"_s);
        ASSERT_NE(strip, nullptr);
        EXPECT_TRUE(strip->fullText().contains(file)) << strip->fullText().toStdString();
    };
    write(u"register.peek.line"_s, u"peek.svg"_s);
    program.workbench().openRecord(serial);
    program.settle();
    write(u"record.life.line"_s, u"record.csv"_s);
    write(u"record.life.line"_s, u"record.pdf"_s);
    program.workbench().startVisit(serial);
    program.settle();
    if (program.frame().findChild<app::PlotBase*>(u"bench.readings.slope"_s) != nullptr)
        write(u"bench.readings.slope"_s, u"slope.svg"_s);
}

/// What keeps the window from being smaller.
std::string leastSizes(const app::Frame& frame)
{
    std::string text;
    for (const QObject* part : frame.centralWidget()->children())
        if (const auto* widget = qobject_cast<const QWidget*>(part); widget && widget->isVisible())
            text += widget->objectName().toStdString() + " " + std::to_string(widget->minimumSizeHint().width()) + "x" +
                    std::to_string(widget->minimumSizeHint().height()) + "; ";
    const auto* stack = frame.findChild<QStackedWidget*>(u"frame.stack"_s);
    for (int i = 0; i < stack->count(); ++i)
        text += stack->widget(i)->objectName().toStdString() + " " + std::to_string(stack->widget(i)->minimumSizeHint().width()) + "x" +
                std::to_string(stack->widget(i)->minimumSizeHint().height()) + "; ";
    return text;
}

/// SCREENS 1.8: 900 px and up show the desk with folded columns, under it one region at a time; a window of 960 px must be possible.
TEST(Workbench, FitsAScreenOf960By540)
{
    WholeProgram program;
    program.frame().resize(960, 540);
    program.settle();
    EXPECT_EQ(program.frame().size(), QSize(960, 540)) << leastSizes(program.frame());
    for (const auto key : {Qt::Key_2, Qt::Key_3, Qt::Key_4, Qt::Key_1}) {
        program.key(key, Qt::ControlModifier);
        program.settle();
        EXPECT_EQ(program.frame().size(), QSize(960, 540)) << program.frame().currentWidget()->objectName().toStdString();
    }
    program.workbench().openRecord(u"K7-0431"_s);
    program.settle();
    EXPECT_EQ(program.frame().size(), QSize(960, 540)) << "record";
}

TEST(Workbench, TheWorkingStandsOverTheDeskAndTheWindowKeepsItsSize)
{
    WholeProgram program;
    program.key(Qt::Key_E, Qt::ControlModifier);
    program.settle();
    EXPECT_TRUE(waitFor([&] { return program.frame().panelShown(); }, 5000));
    EXPECT_EQ(program.frame().size(), QSize(1280, 800));
    program.key(Qt::Key_Escape);
    EXPECT_FALSE(program.frame().panelShown());
}

/// SCREENS 3.1: find a sensor by typing, open its Record and return to the same row in at most 6 keys.
TEST(Workbench, FindsASensorOpensItsRecordAndReturnsInSixKeys)
{
    WholeProgram program;
    const QString before = program.workbench().registerDesk()->chosenSerial();
    ASSERT_FALSE(before.isEmpty());
    const int start = program.keys();
    program.type("350");
    program.settle();
    program.key(Qt::Key_Return);
    program.settle();
    EXPECT_EQ(program.frame().currentWidget(), program.workbench().recordView());
    program.key(Qt::Key_Left, Qt::AltModifier);
    program.settle();
    EXPECT_EQ(program.frame().currentWidget(), program.workbench().registerDesk());
    EXPECT_EQ(program.workbench().registerDesk()->chosenSerial(), before);
    EXPECT_LE(program.keys() - start, 6);
}

TEST(Workbench, StartsWithNoBookAndOpensTheDemoByThreeKeys)
{
    WholeProgram program(false);
    EXPECT_FALSE(program.shop().isOpen());
    EXPECT_EQ(namelessFocusables(&program.frame()), QStringList());
    program.key(Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return program.shop().isOpen() && program.shop().overview() != nullptr; }));
    program.settle();
    EXPECT_EQ(program.frame().currentWidget(), program.workbench().registerDesk());
    EXPECT_FALSE(program.workbench().registerDesk()->chosenSerial().isEmpty());
    EXPECT_LE(program.keys(), 3);
}

TEST(Workbench, AnOldSpreadsheetFirstMakesABookThenLeadsToTheImport)
{
    WholeProgram program(false);
    QTemporaryDir folder;
    auto* first = program.frame().currentWidget();
    QTest::keyClick(first->findChild<QPushButton*>(u"first.import"_s), Qt::Key_Space);
    EXPECT_EQ(program.focusName(), u"first.create.file"_s);
    first->findChild<QLineEdit*>(u"first.create.file"_s)->setText(folder.filePath(u"shop.halfcell"_s));
    auto* site = first->findChild<QLineEdit*>(u"first.create.site"_s);
    site->setText(u"Saltmarsh"_s);
    QTest::keyClick(site, Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return program.shop().isOpen(); }));
    program.settle();
    EXPECT_EQ(program.frame().currentWidget(), program.frame().findChild<app::CabinetDesk*>());
    EXPECT_EQ(program.focusName(), u"cabinet.import.files"_s);
}

TEST(Workbench, AnUnknownBookIsSaidInWordsAndNothingIsMade)
{
    WholeProgram program(false);
    const std::filesystem::path nowhere = std::filesystem::temp_directory_path() / "halfcell-no-such-book.halfcell";
    program.workbench().start(nowhere);
    program.settle();
    EXPECT_FALSE(program.shop().isOpen());
    EXPECT_FALSE(std::filesystem::exists(nowhere));
    const auto* said = program.frame().currentWidget()->findChild<QLabel*>(u"first.sentence"_s);
    ASSERT_NE(said, nullptr);
    EXPECT_TRUE(said->text().contains(u"There is no such book"_s)) << said->text().toStdString();
}

TEST(Workbench, TheStripSaysWhatIsHeldOnEveryDesk)
{
    WholeProgram program;
    core::Hold hold;
    const auto state =
        std::find_if(program.shop().latest()->begin(), program.shop().latest()->end(), [](const auto& s) { return !s.tag.empty(); });
    ASSERT_NE(state, program.shop().latest()->end());
    hold.point = state->tag;
    hold.from = testNow();
    hold.from.utcSeconds -= 34 * 60;
    hold.person = "T1";
    hold.recorded = testNow();
    program.shop().openHold(hold, &program.frame(), [](const auto&) {});
    ASSERT_TRUE(waitFor([&] { return !program.shop().openHolds().empty(); }, 5000));
    program.settle();
    for (const auto key : {Qt::Key_1, Qt::Key_2, Qt::Key_3, Qt::Key_4}) {
        program.key(key, Qt::ControlModifier);
        program.settle();
        bool said = false;
        for (const QWidget* part : program.frame().strip()->findChildren<QWidget*>())
            said = said || part->accessibleDescription().contains(QString::fromStdString(hold.point));
        EXPECT_TRUE(said) << program.frame().currentWidget()->objectName().toStdString();
        EXPECT_TRUE(program.frame().strip()->isVisible());
    }
}

}  // namespace
}  // namespace halfcell::test
