#include "app/bench/bench_presenter.h"
#include "app/desktop/cabinet_desk.h"
#include "app/register/register_desk.h"
#include "db/book/book.h"
#include "tests/app/desktop/workbench_fixture.h"
#include "tests/support/qt/widgets.h"

#include <QApplication>
#include <QLabel>
#include <QTemporaryDir>

#include <gtest/gtest.h>
#include <sqlite3.h>

/// Looking at an earlier moment, a broken chain, and a book that was taken away, in the whole window.
namespace halfcell::test {
namespace {

using namespace Qt::Literals::StringLiterals;

const std::pair<Qt::Key, Qt::KeyboardModifiers> kDesks[] = {{Qt::Key_1, Qt::ControlModifier},
                                                            {Qt::Key_2, Qt::ControlModifier},
                                                            {Qt::Key_3, Qt::ControlModifier},
                                                            {Qt::Key_4, Qt::ControlModifier},
                                                            {Qt::Key_F10, Qt::NoModifier}};

void lookBack(WholeProgram& program, const char* when)
{
    program.prompts().lines.push_back(QString::fromLatin1(when));
    program.key(Qt::Key_T, Qt::ControlModifier);
    ASSERT_TRUE(waitFor([&] { return program.shop().asKnown().has_value(); }));
    program.settle();
}

void backToNow(WholeProgram& program, const std::string& from)
{
    program.key(Qt::Key_Escape);
    ASSERT_TRUE(waitFor([&] { return !program.shop().asKnown().has_value(); }, 10000))
        << from << ", focus " << program.focusName().toStdString();
    program.settle();
    EXPECT_FALSE(program.frame().sentence().contains(u"As known on"_s)) << from;
}

TEST(AsKnown, EveryDeskShowsTheEarlierMomentAndEscReturns)
{
    WholeProgram program;
    const auto sensorsNow = program.shop().latest()->size();
    for (const auto& [key, modifiers] : kDesks) {
        program.key(key, modifiers);
        program.settle();
        const std::string desk = program.frame().currentWidget()->objectName().toStdString();
        lookBack(program, "2024-02-01 12:00");
        EXPECT_TRUE(program.frame().sentence().contains(u"As known on 1 Feb 2024, 12:00."_s))
            << desk << ": " << program.frame().sentence().toStdString();
        EXPECT_TRUE(program.frame().sentence().contains(u"Nothing can be logged."_s)) << desk;
        EXPECT_LT(program.shop().latest()->size(), sensorsNow) << desk;
        for (const core::Visit& visit : program.shop().overview()->plant->records().visits)
            ASSERT_LE(visit.when.utcSeconds, program.shop().asKnown()->utcSeconds);
        // No key starts a visit.
        program.key(Qt::Key_L, Qt::ControlModifier);
        program.settle();
        EXPECT_EQ(program.frame().findChildren<QWidget*>(u"bench.found.1.mv"_s).size(), 0) << desk;
        program.key(key, modifiers);
        program.settle();
        backToNow(program, desk);
        EXPECT_EQ(program.shop().latest()->size(), sensorsNow) << desk;
    }
}

TEST(AsKnown, NothingIsWrittenMeanwhile)
{
    WholeProgram program;
    const std::string head = db::Book::open(program.shop().file(), db::OpenMode::ReadOnly)->info()->head;
    lookBack(program, "2025-06-15");
    core::Records rows;
    core::Site site;
    site.site = "North Annex";
    site.recorded = testNow();
    rows.sites.push_back(site);
    std::optional<core::Errc> refused;
    program.shop().addRows(rows, &program.frame(), [&](const core::Result<db::WriteCount>& answer) {
        refused = answer ? std::nullopt : std::optional(answer.error().code);
    });
    program.settle();
    EXPECT_EQ(refused, core::Errc::Conflict);
    EXPECT_EQ(db::Book::open(program.shop().file(), db::OpenMode::ReadOnly)->info()->head, head);
    backToNow(program, "register");
}

TEST(AsKnown, AVisitBeingTypedStaysAndIsNotLogged)
{
    WholeProgram program;
    const QString serial = program.workbench().registerDesk()->chosenSerial();
    program.workbench().startVisit(serial);
    program.settle();
    const std::size_t visits = db::Book::open(program.shop().file(), db::OpenMode::ReadOnly)->info()->visits;
    program.key(Qt::Key_Space);
    program.type("7");
    program.key(Qt::Key_Return);
    program.settle();
    lookBack(program, "2025-06-15");
    program.key(Qt::Key_Return, Qt::ControlModifier);
    program.settle();
    EXPECT_EQ(db::Book::open(program.shop().file(), db::OpenMode::ReadOnly)->info()->visits, visits);
    EXPECT_EQ(program.shop().drafts().size(), 1U);
    backToNow(program, "bench");
    EXPECT_EQ(program.shop().drafts().size(), 1U);
}

TEST(AsKnown, AMomentThatIsNoneOrLiesAheadIsSaid)
{
    WholeProgram program;
    for (const char* typed : {"31 Feb 2025", "tomorrow", "2030-01-01"}) {
        program.prompts().lines.push_back(QString::fromLatin1(typed));
        program.key(Qt::Key_T, Qt::ControlModifier);
        program.settle();
        EXPECT_FALSE(program.shop().asKnown().has_value()) << typed;
    }
}

TEST(Chain, IsCheckedAtTheStartAndABreakIsSaidOnEveryDesk)
{
    QTemporaryDir folder;
    const std::filesystem::path file = std::filesystem::path(folder.path().toStdString()) / "altered.halfcell";
    std::filesystem::copy_file(demoMaster(), file);
    sqlite3* handle = nullptr;
    ASSERT_EQ(sqlite3_open(file.c_str(), &handle), SQLITE_OK);
    ASSERT_EQ(sqlite3_exec(handle,
                           "DROP TRIGGER readings_no_update; UPDATE readings SET mv = mv + 1 WHERE mv IS NOT NULL AND visit = (SELECT "
                           "max(visit) FROM readings WHERE mv IS NOT NULL)",
                           nullptr, nullptr, nullptr),
              SQLITE_OK)
        << sqlite3_errmsg(handle);
    sqlite3_close(handle);
    WholeProgram program(false);
    program.workbench().start(file);
    ASSERT_TRUE(waitFor([&] { return program.shop().chain().broken(); }));
    program.settle();
    for (const auto& [key, modifiers] : kDesks) {
        program.key(key, modifiers);
        program.settle();
        EXPECT_TRUE(program.frame().sentence().contains(u"chain is broken"_s)) << program.frame().sentence().toStdString();
    }
    program.shop().close();
    program.settle();
    EXPECT_FALSE(program.frame().sentence().contains(u"chain is broken"_s));
}

TEST(MovedBook, TheVisitIsSavedWhereThePersonSays)
{
    WholeProgram program;
    const QString serial = program.workbench().registerDesk()->chosenSerial();
    program.workbench().startVisit(serial);
    program.settle();
    program.key(Qt::Key_Space);
    program.key(Qt::Key_Return, Qt::ControlModifier);
    program.settle();
    program.type("w");  // no readings as found: removed wet
    program.settle();
    QTemporaryDir stick;
    const std::filesystem::path file = program.shop().file();
    const std::filesystem::path away = std::filesystem::path(stick.path().toStdString()) / "away.halfcell";
    std::filesystem::rename(file, away);
    program.key(Qt::Key_Return, Qt::ControlModifier);
    program.settle();
    const auto* words = program.frame().findChild<QLabel*>(u"bench.notlogged.words"_s);
    ASSERT_NE(words, nullptr);
    EXPECT_TRUE(words->isVisible());
    EXPECT_TRUE(words->text().contains(u"Nothing is lost"_s)) << words->text().toStdString();
    const std::filesystem::path saved = std::filesystem::path(stick.path().toStdString()) / "visit.json";
    program.prompts().filesToSave.push_back(saved);
    program.key(Qt::Key_S, Qt::ControlModifier);
    program.settle();
    EXPECT_TRUE(std::filesystem::exists(saved));
    EXPECT_TRUE(words->text().contains(QString::fromStdString(saved.string()))) << words->text().toStdString();
    keepPicture(program.frame().grab().toImage(), u"bench-not-logged-1280-light"_s);
    std::filesystem::rename(away, file);
}

}  // namespace
}  // namespace halfcell::test
