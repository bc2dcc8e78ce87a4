#include "db/book/book.h"
#include "db/exchange/exchange.h"
#include "tests/app/bench/bench_fixture.h"
#include "tests/app/bench/bench_window.h"
#include "tests/support/disk/recording_disk.h"
#include "tests/support/qt/widgets.h"

#include <QAbstractButton>
#include <QLabel>
#include <QSignalSpy>
#include <QTest>

#include <gtest/gtest.h>
#include <sqlite3.h>

#include <fstream>
#include <iterator>

namespace halfcell::app::bench {
namespace {

using namespace core;
using test::BenchWindow;
using test::RecordingDisk;
namespace fs = std::filesystem;

/// A visit that waits for Ctrl+Enter, on a disk that can be told to fail.
class FailedLog : public testing::Test {
protected:
    FailedLog()
    {
        RecordingDisk::instance();  // under SQLite from here on
        w = std::make_unique<BenchWindow>();
        w->presenter().setSpareFolder(spare());
        QObject::connect(&w->presenter(), &BenchPresenter::elsewhereAsked, &w->presenter(),
                         [this](const QString&) { w->presenter().saveElsewhere(elsewhere()); });
    }
    ~FailedLog() override { RecordingDisk::instance().heal(); }

    fs::path folder() const { return m_folder.path().toStdString(); }
    fs::path spare() const { return folder() / "spare"; }
    fs::path elsewhere() const { return folder() / "stick" / "visit.json"; }
    void typeVisit()
    {
        ASSERT_TRUE(w->ready());
        ASSERT_TRUE(w->open(test::kSerial));
        w->key(Qt::Key_Space);
        for (const char* grab : {"9.24", "9.41", "31.5"}) {
            w->type(grab);
            w->key(Qt::Key_Enter);
        }
        w->type("2h");
        w->wait(90);
        for (const char* figure : {"-13", "19.0"}) {
            w->type(figure);
            w->key(Qt::Key_Enter);
        }
        w->wait(90);
        w->type("-176");
        w->key(Qt::Key_Enter);
        w->settle();
    }
    /// Ctrl+Enter, and what comes of it.
    void log()
    {
        w->key(Qt::Key_Enter, Qt::ControlModifier);
        w->settle();
    }
    QString words() const
    {
        const auto* label = w->desk().findChild<QLabel*>(QStringLiteral("bench.notlogged.words"));
        return label != nullptr && label->isVisible() ? label->text() : QString();
    }
    void expectKept()
    {
        ASSERT_TRUE(w->presenter().hasVisit());
        const VisitDraft& draft = w->presenter().model().draft();
        EXPECT_EQ(draft.found.dips[0].mv.text, "-13");
        EXPECT_EQ(draft.found.dips[1].mv.text, "-176");
        ASSERT_EQ(w->shop().drafts().size(), 1U);
        EXPECT_TRUE(words().contains(QStringLiteral("Nothing is lost"))) << words().toStdString();
    }
    std::size_t visitsInBook() const
    {
        const auto book = db::Book::open(w->file(), db::OpenMode::ReadOnly);
        EXPECT_TRUE(book.has_value());
        return book ? book->info()->visits : 0;
    }
    void expectLoggedOnce(std::size_t before)
    {
        EXPECT_TRUE(QTest::qWaitFor([this] { return !w->presenter().hasVisit() || w->presenter().model().draft().serial != test::kSerial; },
                                    20000));
        EXPECT_EQ(visitsInBook(), before + 1);
        EXPECT_TRUE(w->presenter().notLogged().isEmpty());
        EXPECT_TRUE(fs::is_empty(spare()));
        const auto book = db::Book::open(w->file(), db::OpenMode::ReadOnly);
        const auto report = book->verify();
        ASSERT_TRUE(report.has_value());
        EXPECT_TRUE(report->ok) << report->firstBad;
    }

    QTemporaryDir m_folder;
    std::unique_ptr<BenchWindow> w;
};

TEST_F(FailedLog, AFullDiskKeepsTheVisitAndCtrlEnterTriesAgain)
{
    typeVisit();
    const std::size_t before = visitsInBook();
    RecordingDisk::instance().failFrom(w->file().parent_path(), RecordingDisk::Calls::Write, 1, SQLITE_FULL);
    log();
    expectKept();
    EXPECT_TRUE(words().contains(QStringLiteral("disk is full"))) << words().toStdString();
    EXPECT_TRUE(words().contains(QStringLiteral("spare copy"))) << words().toStdString();
    EXPECT_EQ(test::namelessFocusables(&w->desk()), QStringList());
    log();  // still full
    expectKept();
    EXPECT_TRUE(RecordingDisk::instance().heal());
    EXPECT_EQ(visitsInBook(), before);
    log();
    expectLoggedOnce(before);
}

TEST_F(FailedLog, AnInputErrorOfTheDiskIsTriedAgainByTheButton)
{
    typeVisit();
    const std::size_t before = visitsInBook();
    RecordingDisk::instance().failFrom(w->file().parent_path(), RecordingDisk::Calls::Sync, 1, SQLITE_IOERR_FSYNC);
    log();
    expectKept();
    RecordingDisk::instance().heal();
    auto* again = w->find<QAbstractButton>("bench.notlogged.again");
    ASSERT_NE(again, nullptr);
    ASSERT_TRUE(again->isVisible());
    QTest::keyClick(again, Qt::Key_Space);
    w->settle();
    expectLoggedOnce(before);
}

TEST_F(FailedLog, AMovedFileIsNeverWrittenAndComesBack)
{
    typeVisit();
    const std::size_t before = visitsInBook();
    const fs::path away = w->file().parent_path() / "away.halfcell";
    // The book with what belongs to it.
    const auto move = [](const fs::path& from, const fs::path& to) {
        for (const char* tail : {"", "-wal", "-shm"})
            if (fs::exists(from.string() + tail))
                fs::rename(from.string() + tail, to.string() + tail);
    };
    move(w->file(), away);
    log();
    expectKept();
    EXPECT_FALSE(fs::exists(w->file()));
    // Another book lies there now: nothing is written into it.
    {
        const db::BookStamp stamp{.person = "T9", .now = test::testNow()};
        auto other = db::Book::create(w->file(), stamp);
        ASSERT_TRUE(other.has_value());
    }
    log();
    expectKept();
    EXPECT_EQ(visitsInBook(), 0U);
    for (const char* tail : {"", "-wal", "-shm"})
        fs::remove(w->file().string() + tail);
    move(away, w->file());
    log();
    expectLoggedOnce(before);
}

TEST_F(FailedLog, TheVisitIsSavedElsewhereAsLogReadsIt)
{
    typeVisit();
    const std::size_t before = visitsInBook();
    RecordingDisk::instance().failFrom(w->file().parent_path(), RecordingDisk::Calls::Write, 1, SQLITE_FULL);
    w->key(Qt::Key_S, Qt::ControlModifier);  // nothing failed yet: nothing to save
    w->settle();
    EXPECT_FALSE(fs::exists(elsewhere()));
    log();
    w->key(Qt::Key_S, Qt::ControlModifier);
    w->settle();
    EXPECT_TRUE(words().contains(QString::fromStdString(elsewhere().string()))) << words().toStdString();
    RecordingDisk::instance().heal();
    for (const fs::path& file : {elsewhere(), spare() / ("visit-" + w->presenter().model().draft().id + ".json")}) {
        std::ifstream in(file);
        const std::string text{std::istreambuf_iterator<char>(in), {}};
        const auto visit = db::visitFromJson(text);
        ASSERT_TRUE(visit.has_value()) << file << ": " << visit.error().detail;
        EXPECT_EQ(visit->visit, w->presenter().model().draft().id);
        EXPECT_EQ(visit->serial, test::kSerial);
        ASSERT_EQ(visit->readings.size(), 2U);
        EXPECT_EQ(visit->readings[1].mv, -176.0);
        EXPECT_EQ(visit->grabs.size(), 1U);
    }
    // Logged here after all: the same visit, once.
    log();
    expectLoggedOnce(before);
}

TEST_F(FailedLog, APlaceThatCantBeWrittenIsSaid)
{
    typeVisit();
    RecordingDisk::instance().failFrom(w->file().parent_path(), RecordingDisk::Calls::Write, 1, SQLITE_FULL);
    log();
    std::ofstream(folder() / "file") << "x";
    w->presenter().saveElsewhere(folder() / "file" / "visit.json");
    w->settle();
    EXPECT_TRUE(words().contains(QStringLiteral("can't be written"))) << words().toStdString();
    EXPECT_TRUE(words().contains(QStringLiteral("still on the form"))) << words().toStdString();
}

}  // namespace
}  // namespace halfcell::app::bench
