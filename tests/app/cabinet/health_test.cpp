#include "app/cabinet/book_health_page.h"
#include "core/quantity/number.h"
#include "db/book/book.h"
#include "tests/support/qt/widgets.h"
#include "tests/support/shop/demo_shop.h"

#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTableView>
#include <QTest>

#include <gtest/gtest.h>

#include <fstream>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::waitFor;
namespace fs = std::filesystem;

class BookHealth : public testing::Test {
protected:
    BookHealth()
    {
        const auto answer = [](const std::optional<fs::path>& path) { return [&path](QWidget*) { return path; }; };
        page = std::make_unique<BookHealthPage>(demo.shop(), HealthAsks{.backupFile = answer(backupFile),
                                                                        .backupFolder = answer(backupFolder),
                                                                        .backupToRestore = answer(backupToRestore),
                                                                        .restoredBook = answer(restoredBook),
                                                                        .otherBook = answer(otherBook)});
        page->resize(1028, 690);
        page->show();
        EXPECT_TRUE(QTest::qWaitForWindowExposed(page.get()));
        page->refresh();
        EXPECT_TRUE(waitFor([this] { return text("file").contains(u"schema"_s); })) << text("file").toStdString();
    }
    QString text(const char* name) const
    {
        const auto* label = page->findChild<QLabel*>(u"cabinet.health."_s + QString::fromLatin1(name));
        EXPECT_NE(label, nullptr) << name;
        return label != nullptr ? label->text() : QString();
    }
    QPushButton* button(const char* name) const { return page->findChild<QPushButton*>(u"cabinet.health."_s + QString::fromLatin1(name)); }
    /// Presses by the keyboard and waits until the button can be pressed again, or the sentence says `word`.
    void press(const char* name, const char* where, const char* word)
    {
        ASSERT_NE(button(name), nullptr) << name;
        ASSERT_TRUE(button(name)->isEnabled()) << name;
        QTest::keyClick(button(name), Qt::Key_Space);
        ASSERT_TRUE(waitFor([&] { return text(where).contains(QString::fromLatin1(word)); }, 20000)) << text(where).toStdString();
    }
    /// The same book on a laptop, with something of its own.
    fs::path laptop(const std::function<void(db::Book&)>& act)
    {
        const fs::path file = demo.folder() / "laptop.halfcell";
        fs::copy_file(test::demoMaster(), file);
        auto book = db::Book::open(file, db::OpenMode::ReadWrite);
        EXPECT_TRUE(book.has_value());
        act(*book);
        return file;
    }
    std::string head() { return db::Book::open(demo.shop().file(), db::OpenMode::ReadOnly)->info()->head; }

    test::DemoShop demo;
    std::optional<fs::path> backupFile, backupFolder, backupToRestore, restoredBook, otherBook;
    std::unique_ptr<BookHealthPage> page;
};

db::BookStamp later(const char* person, const char* when)
{
    return {.person = person, .now = *core::parseInstant(when)};
}

TEST_F(BookHealth, SaysSizeEntriesChainAndBackup)
{
    EXPECT_TRUE(text("file").contains(u"MB"_s)) << text("file").toStdString();
    ASSERT_TRUE(waitFor([this] { return text("content").contains(u"journal entries"_s) && text("free").contains(u"free"_s); }));
    EXPECT_TRUE(text("backup.state").contains(u"Never backed up"_s)) << text("backup.state").toStdString();
    page->verify();
    ASSERT_TRUE(waitFor([this] { return text("chain").contains(u"whole"_s); })) << text("chain").toStdString();
    EXPECT_TRUE(text("chain").contains(QString::fromStdString(head()))) << text("chain").toStdString();
    EXPECT_EQ(test::namelessFocusables(page.get()), QStringList());
    EXPECT_EQ(test::unnamedObjects(page.get()), QStringList());
}

TEST_F(BookHealth, BacksUpRotatesRestoresAndRebuilds)
{
    backupFile = demo.folder() / "copy.halfcell";
    press("backup", "backup.state", "checked");
    EXPECT_TRUE(fs::exists(*backupFile));
    page->refresh();
    ASSERT_TRUE(waitFor([&] {
        return text("backup.state").contains(QString::fromStdString(backupFile->string())) &&
               text("backup.state").startsWith(u"Last backup 2 Mar 2026"_s);
    })) << text("backup.state").toStdString();
    // A name that is taken is refused in words.
    press("backup", "backup.state", "already");
    backupFolder = demo.folder() / "backups";
    press("rotate", "backup.state", "1 backups are kept there");
    EXPECT_EQ(std::distance(fs::directory_iterator(*backupFolder), fs::directory_iterator()), 1);
    // Back under a new name only.
    backupToRestore = backupFile;
    restoredBook = demo.shop().file();
    press("restore", "restored", "already");
    restoredBook = demo.folder() / "restored.halfcell";
    press("restore", "restored", "whole");
    EXPECT_TRUE(fs::exists(*restoredBook));
    press("rebuild", "figures", "anew:");
    EXPECT_TRUE(text("figures").contains(u"identical"_s)) << text("figures").toStdString();
}

TEST_F(BookHealth, ADamagedBackupLeavesNothing)
{
    backupToRestore = demo.folder() / "broken.halfcell";
    std::ofstream(*backupToRestore) << "no book at all, but long enough to look like one";
    restoredBook = demo.folder() / "restored.halfcell";
    press("restore", "restored", ".");
    ASSERT_TRUE(waitFor([this] { return button("restore")->isEnabled(); }));
    EXPECT_FALSE(text("restored").contains(u"whole"_s)) << text("restored").toStdString();
    EXPECT_FALSE(fs::exists(*restoredBook));
}

TEST_F(BookHealth, LongWorkShowsItsShareAndStops)
{
    demo.shop().settle();
    const auto* work = page->findChild<QLabel*>(u"cabinet.health.work"_s);
    QTest::keyClick(button("rebuild"), Qt::Key_Space);
    ASSERT_TRUE(waitFor([&] { return work->isVisible() && work->text() == u"Working every figure out anew"_s; }, 20000));
    QTest::keyClick(button("stop"), Qt::Key_Space);
    ASSERT_TRUE(waitFor([&] { return text("figures").contains(u"topped"_s); }, 20000)) << text("figures").toStdString();
    EXPECT_TRUE(waitFor([&] { return !work->isVisible(); }));
}

TEST_F(BookHealth, ComparesBeforeItMergesAndCounts)
{
    const std::string before = head();
    otherBook = laptop([](db::Book& book) {
        core::Records rows;
        core::Site site;
        site.site = "North Annex";
        site.recorded = *core::parseInstant("2026-03-02T06:00:00Z");
        rows.sites.push_back(site);
        EXPECT_TRUE(book.add(rows, later("T2", "2026-03-02T06:00:00Z")).has_value());
    });
    EXPECT_FALSE(button("merge")->isEnabled());
    press("compare", "merged", "Nothing was written");
    EXPECT_TRUE(text("merged").contains(u"1 new rows"_s)) << text("merged").toStdString();
    EXPECT_EQ(head(), before);
    press("merge", "merged", "rows taken in");
    EXPECT_NE(head(), before);
    ASSERT_TRUE(waitFor([this] {
        return std::ranges::any_of(demo.shop().reference()->sites, [](const core::Site& s) { return s.site == "North Annex"; });
    }));
    // Again: nothing to take in.
    press("compare", "merged", "nothing to take in");
    EXPECT_FALSE(button("merge")->isEnabled());
}

TEST_F(BookHealth, AClashIsSettledByAPersonWithAReason)
{
    const auto& visits = demo.shop().overview()->plant->records().visits;
    const auto it =
        std::find_if(visits.rbegin(), visits.rend(), [](const core::Visit& v) { return !v.readings.empty() && v.readings.front().mv; });
    ASSERT_NE(it, visits.rend());
    core::Correction c;
    c.visit = it->visit;
    c.table = "readings";
    c.row = 1;
    c.field = "mv";
    c.old_value = core::formatNumber(*it->readings.front().mv);
    c.why = "digit lost";
    otherBook = laptop([c](db::Book& book) mutable {
        c.new_value = "11";
        EXPECT_TRUE(book.correct(c, later("T2", "2026-03-02T07:00:00Z")).has_value());
    });
    c.new_value = "12";
    bool corrected = false;
    demo.shop().correct(c, page.get(), [&](const core::Result<bool>& answer) { corrected = answer.has_value(); });
    ASSERT_TRUE(waitFor([&] { return corrected; }));
    press("compare", "merged", "1 clashes");
    press("merge", "merged", "to settle");
    auto* view = page->findChild<QTableView*>(u"cabinet.health.clashes.table"_s);
    ASSERT_TRUE(waitFor([&] { return view->isVisible() && view->model()->rowCount() == 2; })) << text("merged").toStdString();
    EXPECT_EQ(view->model()->index(0, 0).data().toString(), u"two corrections"_s);
    auto* why = page->findChild<QLineEdit*>(u"cabinet.health.why"_s);
    // Without a row, a person, a reason: said, not done.
    view->setCurrentIndex(QModelIndex());
    QTest::keyClick(button("keep"), Qt::Key_Space);
    EXPECT_TRUE(text("clashes").contains(u"Choose the row"_s));
    const int other = view->model()->index(0, 2).data().toString() == u"no"_s ? 0 : 1;
    view->setCurrentIndex(view->model()->index(other, 0));
    QTest::keyClick(button("keep"), Qt::Key_Space);
    EXPECT_TRUE(text("clashes").contains(u"Say why"_s)) << text("clashes").toStdString();
    demo.shop().setPerson({});
    QTest::keyClicks(why, u"the sheet says so"_s);
    QTest::keyClick(why, Qt::Key_Return);
    EXPECT_TRUE(text("clashes").contains(u"settled by a person"_s));
    demo.shop().setPerson(u"T3"_s);
    QTest::keyClick(why, Qt::Key_Return);
    ASSERT_TRUE(waitFor([&] { return view->model()->rowCount() == 0; }, 20000)) << text("clashes").toStdString();
    demo.shop().settle();
    const auto book = db::Book::open(demo.shop().file(), db::OpenMode::ReadOnly);
    const auto journal = book->journal();
    EXPECT_TRUE(std::ranges::any_of(*journal, [](const db::JournalEntry& e) {
        return e.what == "settlement" && e.person == "T3" && e.text.find("the sheet says so") != std::string::npos;
    }));
    EXPECT_TRUE(book->verify()->ok);
}

TEST_F(BookHealth, NothingIsMergedWhileAnEarlierMomentIsShown)
{
    otherBook = laptop([](db::Book&) {});
    demo.shop().setAsKnown(*core::parseInstant("2025-06-15T12:00:00Z"));
    ASSERT_TRUE(waitFor([this] { return demo.shop().asKnown().has_value(); }));
    press("compare", "merged", "earlier date");
}

}  // namespace
}  // namespace halfcell::app
