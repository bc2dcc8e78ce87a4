#include "app/cabinet/import_page.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/shop/demo_shop.h"

#include <QApplication>
#include <QClipboard>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>
#include <QTableView>
#include <QTemporaryDir>
#include <QTest>

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::waitFor;

/// The import page on a small book of its own, with two pH sensors to write tables about.
class Importing : public ::testing::Test {
protected:
    void SetUp() override
    {
        const std::vector<std::pair<const char*, const char*>> tables{
            {"sites", "site\nSaltmarsh\n"},
            {"models", "model,kind\nK7,ph\n"},
            {"sensors", "serial,model\nK7-0412,K7\nK7-0431,K7\n"},
            {"placements", "serial,place,from\nK7-0412,shelf,2018-02-01\nK7-0431,shelf,2018-02-01\n"}};
        std::filesystem::create_directories(folder() / "tables");
        for (const auto& [name, text] : tables)
            std::ofstream(folder() / "tables" / (std::string(name) + ".csv"), std::ios::binary) << text;
        const db::BookStamp stamp{.person = "T1", .now = test::testNow()};
        {
            auto book = db::Book::create(folder() / "shop.halfcell", stamp);
            ASSERT_TRUE(book.has_value());
            db::ImportReport report;
            ASSERT_TRUE(db::importTables(*book, {folder() / "tables"}, {}, stamp, report).has_value());
            ASSERT_TRUE(report.refused.empty());
        }
        shop.open(folder() / "shop.halfcell");
        ASSERT_TRUE(waitFor([&] { return shop.isOpen() && shop.overview() != nullptr; }));
        page = std::make_unique<ImportPage>(
            shop, [this](QWidget*) { return chosen; }, [](QWidget*) { return std::vector<std::filesystem::path>{}; });
        page->resize(1028, 690);
        page->show();
        page->activateWindow();
        ASSERT_TRUE(QTest::qWaitForWindowActive(page.get()));
    }
    void TearDown() override { shop.settle(); }

    [[nodiscard]] std::filesystem::path folder() const { return temporary.path().toStdString(); }
    std::filesystem::path put(const std::string& name, std::string text)
    {
        for (const auto& [sign, serial] : {std::pair{"S1", serials[0]}, std::pair{"S2", serials[1]}})
            for (std::size_t at = 0; (at = text.find(sign, at)) != std::string::npos; at += serial.size())
                text.replace(at, 2, serial);
        const auto file = folder() / name;
        std::ofstream(file, std::ios::binary) << text;
        return file;
    }
    template <class Widget>
    Widget* find(const char* name)
    {
        auto* found = page->findChild<Widget*>(QString::fromLatin1(name));
        EXPECT_NE(found, nullptr) << name;
        return found;
    }
    QString sentence() { return find<QLabel>("cabinet.import.sentence")->text(); }
    bool settled()
    {
        using State = ImportPresenter::State;
        return waitFor([&] {
            const State state = page->presenter().state();
            return state == State::Counted || state == State::Taken || (state == State::Waiting && !sentence().contains(u"Counting"_s));
        });
    }
    bool counted() { return settled() && page->presenter().state() == ImportPresenter::State::Counted; }
    void openWith(const std::filesystem::path& file)
    {
        page->preview({file});
        ASSERT_TRUE(counted()) << sentence().toStdString();
    }
    /// Every entry ever written in the book.
    std::size_t entries()
    {
        const auto book = db::Book::open(shop.file(), db::OpenMode::ReadOnly);
        const auto journal = book->journal();
        return journal ? journal->size() : 0;
    }
    QString cell(const char* view, int row, int column) { return find<QTableView>(view)->model()->index(row, column).data().toString(); }
    void key(Qt::Key k, Qt::KeyboardModifiers modifiers = Qt::NoModifier)
    {
        QTest::keyClick(QApplication::focusWidget() != nullptr ? QApplication::focusWidget() : page.get(), k, modifiers);
    }
    void type(const QString& text) { QTest::keyClicks(QApplication::focusWidget(), text); }

    QTemporaryDir temporary;
    Shop shop{[] { return test::testNow(); }};
    std::vector<std::filesystem::path> chosen;
    const std::vector<std::string> serials{"K7-0412", "K7-0431"};
    std::unique_ptr<ImportPage> page;
};

const char* const kMessy = "\xEF\xBB\xBF"
                           "Upper works, calibrations;;;;\n;;;;\nSerial;Date;pH 7 mV;pH 4 mV;temp\n"
                           "S1;13.03.2019;-13,5;161,2;19,5\n;;;;\nS2;14.03.2019;-12,0;160,0;20\n";

TEST_F(Importing, TitleRowsByteOrderMarkBlankLinesAndDecimalCommas)
{
    const std::size_t before = entries();
    openWith(put("old list.csv", kMessy));
    EXPECT_TRUE(sentence().startsWith(u"4 rows would be taken, 0 refused, 0 known already."_s)) << sentence().toStdString();
    EXPECT_TRUE(sentence().contains(u"Decimals follow a comma"_s)) << "what was guessed is said";
    EXPECT_EQ(find<QSpinBox>("cabinet.source.header_line")->value(), 3);
    EXPECT_EQ(find<QComboBox>("cabinet.source.decimal")->currentData().toString(), u","_s);
    EXPECT_EQ(find<QComboBox>("cabinet.source.dates")->currentText(), u"day, month, year"_s);
    // Before and after, side by side.
    EXPECT_EQ(cell("cabinet.import.before", 0, 1), u"Upper works, calibrations"_s);
    auto* after = find<QTableView>("cabinet.import.preview");
    ASSERT_EQ(after->model()->rowCount(), 4);
    QStringList first;
    for (int column = 0; column < after->model()->columnCount(); ++column)
        first.append(cell("cabinet.import.preview", 0, column));
    EXPECT_TRUE(first.contains(u"-13.5"_s)) << first.join(u'|').toStdString();
    EXPECT_TRUE(first.contains(u"pH 7.00"_s)) << first.join(u'|').toStdString();
    EXPECT_TRUE(first.contains(u"as found"_s)) << first.join(u'|').toStdString();
    EXPECT_EQ(entries(), before) << "a preview writes nothing";
    EXPECT_EQ(cell("cabinet.columns.table", 2, 2), u"millivolts in pH 7.00"_s);

    QTest::keyClick(page.get(), Qt::Key_Return, Qt::ControlModifier);
    ASSERT_TRUE(waitFor([&] { return page->presenter().state() == ImportPresenter::State::Taken; })) << sentence().toStdString();
    EXPECT_TRUE(sentence().startsWith(u"4 rows taken"_s)) << sentence().toStdString();
    EXPECT_GT(entries(), before);
    EXPECT_FALSE(find<QPushButton>("cabinet.import.take")->isEnabled()) << "taken once";
    shop.settle();

    openWith(folder() / "old list.csv");
    EXPECT_TRUE(sentence().startsWith(u"All 4 known already; there is nothing to take in."_s)) << sentence().toStdString();
    EXPECT_FALSE(find<QPushButton>("cabinet.import.take")->isEnabled());
}

TEST_F(Importing, OneBadRowStopsNoOtherAndIsWrittenBesideTheFile)
{
    const auto file =
        put("bad row.csv", "Serial,Date,pH 7 mV,temp\nS1,2019-03-13,-13.5,19\nS2,2019-03-14,+-171,20\nS1,2019-03-15,-12,20\n");
    openWith(file);
    EXPECT_TRUE(sentence().startsWith(u"2 rows would be taken, 1 refused"_s)) << sentence().toStdString();
    EXPECT_EQ(cell("cabinet.import.refused", 0, 1), u"3"_s);
    EXPECT_EQ(cell("cabinet.import.refused", 0, 2), u"pH 7 mV"_s);
    EXPECT_EQ(cell("cabinet.import.refused", 0, 3), u"+-171"_s);
    EXPECT_FALSE(cell("cabinet.import.refused", 0, 5).isEmpty());
    // The line chosen among the refused is chosen in the file too.
    find<QTableView>("cabinet.import.refused")->selectRow(0);
    EXPECT_EQ(find<QTableView>("cabinet.import.before")->selectionModel()->selectedRows().value(0).row(), 2);
    page->presenter().take();
    ASSERT_TRUE(waitFor([&] { return page->presenter().state() == ImportPresenter::State::Taken; }));
    EXPECT_TRUE(sentence().contains(u"bad row.refused.csv"_s)) << sentence().toStdString();
    std::ifstream refused(folder() / "bad row.refused.csv");
    const std::string text{std::istreambuf_iterator<char>(refused), {}};
    EXPECT_NE(text.find("+-171"), std::string::npos) << text;
}

TEST_F(Importing, ByKeyboardAloneFromNamesNobodyKnows)
{
    chosen = {put("foreign.csv", "Gerbil;Wombat;Otter\nS1;13.03.2019;-13,5\nS2;14.03.2019;-12,0\n")};
    page->takeFocus();
    ASSERT_EQ(QApplication::focusWidget()->objectName(), u"cabinet.import.files"_s);
    key(Qt::Key_Space);
    ASSERT_TRUE(settled());
    EXPECT_FALSE(page->presenter().canTake());
    EXPECT_TRUE(find<QComboBox>("cabinet.source.table")->isVisible()) << "there is a mapping to be made";
    const auto tabTo = [&](const char* name) {
        for (int i = 0; i < 60; ++i) {
            if (QApplication::focusWidget()->objectName() == QLatin1String(name))
                return true;
            key(Qt::Key_Tab);
        }
        return false;
    };
    const auto take = [&](int row, const QString& as) {
        EXPECT_TRUE(tabTo("cabinet.columns.table"));
        key(Qt::Key_Home, Qt::ControlModifier);
        for (int i = 0; i < row; ++i)
            key(Qt::Key_Down);
        key(Qt::Key_Return);
        EXPECT_EQ(QApplication::focusWidget()->objectName(), u"cabinet.column.use"_s);
        type(as);
        key(Qt::Key_Return);
    };
    take(0, u"serial number"_s);
    take(1, u"date and time"_s);
    take(2, u"millivolts"_s);
    EXPECT_TRUE(tabTo("cabinet.column.standard"));
    find<QComboBox>("cabinet.column.standard")->lineEdit()->selectAll();
    type(u"pH 7.00"_s);
    key(Qt::Key_Return);
    EXPECT_TRUE(tabTo("cabinet.column.phase"));
    key(Qt::Key_Down);
    EXPECT_EQ(cell("cabinet.columns.table", 2, 2), u"millivolts in pH 7.00, as found"_s);
    EXPECT_TRUE(tabTo("cabinet.source.decimal"));
    key(Qt::Key_Down);
    EXPECT_TRUE(tabTo("cabinet.source.dates"));
    key(Qt::Key_Down);
    ASSERT_TRUE(waitFor([&] { return page->presenter().canTake(); })) << sentence().toStdString();
    EXPECT_TRUE(sentence().startsWith(u"2 rows would be taken, 0 refused"_s)) << sentence().toStdString();
    key(Qt::Key_Return, Qt::ControlModifier);
    ASSERT_TRUE(waitFor([&] { return page->presenter().state() == ImportPresenter::State::Taken; }));
    EXPECT_TRUE(sentence().startsWith(u"2 rows taken"_s)) << sentence().toStdString();
}

TEST_F(Importing, AChangedMappingMustBeCountedBeforeItTakes)
{
    openWith(put("list.csv", "Serial,Date,pH 7 mV\nS1,2019-03-13,-13\nS2,2019-03-14,-12\n"));
    EXPECT_TRUE(page->presenter().canTake());
    db::Mapping mapping = *page->presenter().look()->source.mapping;
    mapping.visitPerDay = !mapping.visitPerDay;
    page->presenter().edit(mapping);
    EXPECT_FALSE(page->presenter().canTake());
    EXPECT_FALSE(find<QPushButton>("cabinet.import.take")->isEnabled());
    const std::size_t before = entries();
    page->presenter().take();
    EXPECT_EQ(entries(), before);
    ASSERT_TRUE(waitFor([&] { return page->presenter().canTake(); }));
    // So must a changed file.
    put("list.csv", "Serial,Date,pH 7 mV\nS1,2019-03-13,-13\nS2,2019-03-14,-12\nS2,2019-03-15,-12\n");
    page->presenter().take();
    ASSERT_TRUE(waitFor([&] { return page->presenter().state() == ImportPresenter::State::Waiting; }));
    EXPECT_TRUE(sentence().contains(u"changed since it was counted"_s)) << sentence().toStdString();
    EXPECT_EQ(entries(), before);
}

TEST_F(Importing, MappingsAreKeptByNameAndReadAgain)
{
    openWith(put("first.csv", "Serial,Date,pH 7 mV\nS1,2019-03-13,-13\n"));
    find<QLineEdit>("cabinet.mapping.name")->setText(u"Pump house"_s);
    QTest::keyClick(find<QLineEdit>("cabinet.mapping.name"), Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return sentence().startsWith(u"Kept as"_s); })) << sentence().toStdString();
    const auto file = folder() / "mappings" / "pump_house.toml";
    const auto kept = db::readMapping(file);
    ASSERT_TRUE(kept.has_value());
    db::Mapping named = *page->presenter().look()->source.mapping;
    named.name = "Pump house";
    EXPECT_EQ(*kept, named) << "the command line reads the same";
    // Another file, through the mapping kept.
    openWith(put("second.csv", "Serial,Date,pH 7 mV\nS2,2019-03-14,-12\n"));
    auto* saved = find<QComboBox>("cabinet.mapping.saved");
    ASSERT_TRUE(waitFor([&] { return saved->findText(u"Pump house"_s) > 0; }));
    saved->setCurrentIndex(saved->findText(u"Pump house"_s));
    Q_EMIT saved->activated(saved->currentIndex());
    ASSERT_TRUE(waitFor([&] {
        return page->presenter().state() == ImportPresenter::State::Counted &&
               page->presenter().look()->source.mapping->name == "Pump house";
    }));
    EXPECT_EQ(page->presenter().look()->source.mapping, named);
    // A file that lacks a column says which.
    page->preview({put("third.csv", "Serial,Date,pH 4 mV\nS2,2019-03-14,-12\n")});
    ASSERT_TRUE(counted());
    page->presenter().load(file);
    ASSERT_TRUE(waitFor([&] {
        return page->presenter().state() == ImportPresenter::State::Waiting && sentence().contains(u"no column"_s);
    })) << sentence().toStdString();
    EXPECT_TRUE(sentence().contains(u"pH 7 mV"_s)) << sentence().toStdString();
    // The same name again wants a second word.
    openWith(folder() / "first.csv");
    page->presenter().save(u"Pump house"_s);
    ASSERT_TRUE(waitFor([&] { return sentence().contains(u"already a mapping"_s); })) << sentence().toStdString();
    page->presenter().save(u"Pump house"_s);
    ASSERT_TRUE(waitFor([&] { return sentence().startsWith(u"Kept as"_s); })) << sentence().toStdString();
}

TEST_F(Importing, StoppingLeavesNothing)
{
    std::string text = "Serial,Date,pH 7 mV\n";
    for (int i = 0; i < 3000; ++i)
        text += "S1,2019-" + std::to_string(i % 12 + 1) + "-" + std::to_string(i % 28 + 1) + " " + std::to_string(i % 24) + ":" +
                std::to_string(i % 60) + ",-" + std::to_string(i % 40) + "\n";
    openWith(put("many.csv", text));
    ASSERT_TRUE(page->presenter().canTake()) << sentence().toStdString();
    const std::size_t before = entries();
    auto* stop = find<QPushButton>("cabinet.import.stop");
    page->presenter().take();
    EXPECT_TRUE(page->presenter().busy());
    QTest::keyClick(stop, Qt::Key_Space);
    ASSERT_TRUE(waitFor([&] { return !page->presenter().busy(); }));
    EXPECT_TRUE(sentence().startsWith(u"Stopped. Nothing was taken"_s)) << sentence().toStdString();
    EXPECT_EQ(entries(), before);
    EXPECT_TRUE(page->presenter().canTake()) << "the count still stands";
    // While counting, too; then it counts again.
    page->presenter().count();
    page->presenter().stop();
    ASSERT_TRUE(waitFor([&] { return !page->presenter().busy(); }));
    EXPECT_FALSE(page->presenter().canTake());
    EXPECT_EQ(entries(), before);
    QTest::keyClick(stop, Qt::Key_Space);
    ASSERT_TRUE(waitFor([&] { return page->presenter().canTake(); })) << sentence().toStdString();
}

TEST_F(Importing, PastedRowsWorkAsAFileDoes)
{
    QString rows = u"Serial\tDate\tpH 7 mV\nS1\t13.03.2019\t-13,5\nS2\t14.03.2019\tbroken glass\n"_s;
    rows.replace(u"S1"_s, QString::fromStdString(serials[0])).replace(u"S2"_s, QString::fromStdString(serials[1]));
    QApplication::clipboard()->setText(rows);
    page->takeFocus();
    key(Qt::Key_V, Qt::ControlModifier);
    ASSERT_TRUE(waitFor([&] { return page->presenter().canTake(); })) << sentence().toStdString();
    EXPECT_TRUE(sentence().startsWith(u"1 row would be taken, 1 refused"_s)) << sentence().toStdString();
    page->presenter().take();
    ASSERT_TRUE(waitFor([&] { return page->presenter().state() == ImportPresenter::State::Taken; }));
    EXPECT_TRUE(std::filesystem::exists(folder() / "pasted rows.refused.csv")) << "beside the book: " << sentence().toStdString();
    EXPECT_EQ(QApplication::focusWidget()->objectName(), u"cabinet.import.files"_s) << "the focus is back where it was";
    QApplication::clipboard()->setText(u" "_s);
    key(Qt::Key_V, Qt::ControlModifier);
    EXPECT_TRUE(sentence().contains(u"no rows to paste"_s));
}

TEST_F(Importing, OldRecordsWithoutMillivoltsComeInMarked)
{
    openWith(put("figures.csv", "Sensor no,Date,Slope %,Offset\nS1,2019-03-13,97.5,-3.2\nS2,2019-03-14,95,-5\n"));
    EXPECT_TRUE(sentence().startsWith(u"2 rows would be taken"_s)) << sentence().toStdString();
    EXPECT_TRUE(sentence().contains(u"These have no millivolts. They come in as legacy and stay marked."_s)) << sentence().toStdString();
}

TEST_F(Importing, EveryFieldHasANameToBeReadAndFound)
{
    openWith(put("list.csv", kMessy));
    EXPECT_TRUE(test::namelessFocusables(page.get()).isEmpty()) << test::namelessFocusables(page.get()).join(u'\n').toStdString();
    EXPECT_TRUE(test::unnamedObjects(page.get()).isEmpty()) << test::unnamedObjects(page.get()).join(u'\n').toStdString();
}

TEST_F(Importing, WritesDueWorkAndOneSensorOut)
{
    auto* what = find<QComboBox>("cabinet.export.what");
    auto* path = find<QLineEdit>("cabinet.export.path");
    const auto said = [&] { return find<QLabel>("cabinet.export.sentence")->text(); };
    const auto write = [&](int choice, const std::filesystem::path& file) {
        what->setCurrentIndex(choice);
        path->setText(QString::fromStdString(file.string()));
        QTest::keyClick(path, Qt::Key_Return);
    };
    write(2, folder() / "due.ics");
    ASSERT_TRUE(waitFor([&] { return said().contains(u" written to "_s); })) << said().toStdString();
    write(3, folder() / "one.json");
    EXPECT_TRUE(said().contains(u"which sensor"_s)) << said().toStdString();
    find<QComboBox>("cabinet.export.serial")->setEditText(QString::fromStdString(serials[0]));
    write(3, folder() / "one.json");
    ASSERT_TRUE(waitFor([&] { return said().startsWith(u"The record with"_s); })) << said().toStdString();
    write(3, folder() / "one.json");
    ASSERT_TRUE(waitFor([&] { return said().contains(u"already a file"_s); })) << said().toStdString();
    write(1, folder() / "book.csv");
    EXPECT_TRUE(said().contains(u".xlsx"_s)) << said().toStdString();
    std::ifstream ics(folder() / "due.ics");
    std::string first;
    std::getline(ics, first);
    EXPECT_EQ(first, "BEGIN:VCALENDAR\r");
}

}  // namespace
}  // namespace halfcell::app
