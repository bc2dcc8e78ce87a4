#include "db/book/book_impl.h"
#include "db/schema/schema.h"
#include "tests/db/crash/small_book.h"
#include "tests/support/disk/disk_image.h"

#include <fmt/format.h>

#include <fstream>
#include <functional>
#include <iostream>

/// The power goes at any moment: what was acknowledged is there, nothing is there by halves, the book opens and verifies.
namespace halfcell::db {
namespace {

using namespace testing;
using test::DiskEvent;
using test::DiskImage;
using test::RecordingDisk;
namespace fs = std::filesystem;

/// Work that a test records and cuts off. `work` marks what was acknowledged: "visit KEY", "file NAME".
struct Work {
    std::string name;
    std::function<void(const fs::path&)> prepare, work;
    int cuts = 200;
    bool sharedMemory = true;
};

struct Outcome {
    int tried = 0, wrong = 0;
    std::string first;
};

/// The log is written back often, so that cuts meet that too.
Book openForWork(const fs::path& file)
{
    auto book = Book::open(file, OpenMode::ReadWrite);
    EXPECT_TRUE(book.has_value());
    book->impl().connection->run("PRAGMA wal_autocheckpoint = 40");
    return std::move(*book);
}

Outcome cutAtManyPoints(const Work& work, bool ignoreSyncs = false)
{
    RecordingDisk& disk = RecordingDisk::instance();
    const MemoryFolder lived(work.name), after(work.name + "_cut");
    disk.withoutSharedMemory(!work.sharedMemory);
    work.prepare(lived.path());
    const DiskImage start(lived.path());
    disk.record(lived.path());
    work.work(lived.path());
    const std::vector<DiskEvent> events = disk.stop();
    const auto whole = visitsOf(lived / "shop");
    EXPECT_TRUE(whole.has_value()) << whole.error().detail;

    Outcome outcome;
    std::mt19937 random(20260302);
    DiskImage image = start;
    if (ignoreSyncs)
        image.ignoreSyncs();
    std::set<std::string> acknowledged, files;
    const double step = static_cast<double>(events.size()) / work.cuts;
    double next = 0.0;
    for (std::size_t i = 0; i <= events.size(); ++i) {
        while (next <= static_cast<double>(i)) {
            next += step;
            const auto how = static_cast<DiskImage::Cut>(outcome.tried % 4 < 3 ? outcome.tried % 4 : 2);
            after.clear();
            image.cut(how, random, after.path());
            std::string wrong = wrongWith(after / "shop", *whole, acknowledged);
            for (const auto& entry : fs::directory_iterator(after.path())) {
                const std::string name = entry.path().filename().string();
                const bool copy = name.starts_with("copy") && !name.ends_with(".part") && !name.ends_with("-wal") &&
                                  !name.ends_with("-shm") && !name.ends_with("-journal");
                if (!copy)
                    continue;
                if (const std::string bad = wrongWith(entry.path(), *whole, {}); !bad.empty())
                    wrong = name + ": " + bad;
            }
            for (const std::string& name : files)
                if (!fs::exists(after / name))
                    wrong = name + " was acknowledged and is gone";
            ++outcome.tried;
            if (!wrong.empty() && ++outcome.wrong == 1)
                outcome.first = fmt::format("{}, cut {} of {} events: {}", work.name, i, events.size(), wrong);
        }
        if (i == events.size())
            break;
        const DiskEvent& event = events[i];
        if (event.kind == DiskEvent::Kind::Mark)
            (event.to.starts_with("visit ") ? acknowledged : files).insert(event.to.substr(event.to.find(' ') + 1));
        image.play(event);
    }
    disk.withoutSharedMemory(false);
    std::cout << fmt::format("{}: {} events, {} cut points, {} wrong\n", work.name, events.size(), outcome.tried, outcome.wrong);
    return outcome;
}

Work logging(bool sharedMemory)
{
    return {.name = sharedMemory ? "log" : "log_rollback_journal",
            .prepare = [](const fs::path& folder) { makeBook(folder / "shop", 2); },
            .work =
                [](const fs::path& folder) {
                    Book book = openForWork(folder / "shop");
                    for (int i = 0; i < 25; ++i) {
                        const std::string key = fmt::format("log{}", i);
                        ASSERT_DONE(book.recordVisit(visitFor(key, i), kStamp));
                        RecordingDisk::instance().mark("visit " + key);
                        if (i % 10 == 9)
                            ASSERT_DONE(book.refreshLatest({}, kStamp.now));
                    }
                },
            .cuts = times(sharedMemory ? 300 : 200, 20000),
            .sharedMemory = sharedMemory};
}

Work importing()
{
    return {.name = "import",
            .prepare =
                [](const fs::path& folder) {
                    makeBook(folder / "shop", 2);
                    writeReadings(folder / "readings.csv", "imp", 60);
                },
            .work =
                [](const fs::path& folder) {
                    Book book = openForWork(folder / "shop");
                    ImportReport report;
                    ASSERT_DONE(importTables(book, {folder / "readings.csv"}, {}, kStamp, report));
                    for (int i = 1; i <= 60; ++i)
                        RecordingDisk::instance().mark(fmt::format("visit imp{}", i));
                },
            .cuts = times(150, 10000)};
}

Work merging()
{
    return {.name = "merge",
            .prepare =
                [](const fs::path& folder) {
                    makeBook(folder / "shop", 2);
                    fs::copy_file(folder / "shop", folder / "laptop");
                    Book laptop = openForWork(folder / "laptop");
                    for (int i = 0; i < 15; ++i)
                        ASSERT_DONE(laptop.recordVisit(visitFor(fmt::format("round{}", i), i), kStamp));
                },
            .work =
                [](const fs::path& folder) {
                    Book book = openForWork(folder / "shop");
                    ASSERT_DONE(mergeFrom(book, folder / "laptop", kStamp));
                    for (int i = 0; i < 15; ++i)
                        RecordingDisk::instance().mark(fmt::format("visit round{}", i));
                },
            .cuts = times(150, 10000)};
}

Work migrating()
{
    return {.name = "migrate",
            .prepare =
                [](const fs::path& folder) {
                    makeBook(folder / "shop", 3);
                    // Back two steps: what they made holds nothing yet.
                    auto connection = Connection::open(folder / "shop", Connection::Mode::ReadWrite);
                    ASSERT_DONE(connection);
                    (*connection)
                        ->runScript(
                            "DROP TABLE clash_settlements; DROP TABLE merge_variants; CREATE TABLE merge_clashes (id TEXT PRIMARY KEY); "
                            "CREATE TABLE clash_settlements (id TEXT PRIMARY KEY); ALTER TABLE readings DROP COLUMN settle");
                    (*connection)->setUserVersion(6);
                },
            .work = [](const fs::path& folder) { ASSERT_DONE(Book::open(folder / "shop", OpenMode::ReadWrite)); },
            .cuts = times(100, 5000)};
}

Work backingUp()
{
    return {.name = "backup",
            .prepare = [](const fs::path& folder) { makeBook(folder / "shop", 3); },
            .work =
                [](const fs::path& folder) {
                    Book book = openForWork(folder / "shop");
                    for (int i = 0; i < 3; ++i) {
                        const std::string key = fmt::format("log{}", i);
                        ASSERT_DONE(book.recordVisit(visitFor(key, i), kStamp));
                        RecordingDisk::instance().mark("visit " + key);
                        ASSERT_DONE(book.backupTo(folder / fmt::format("copy{}", i), kStamp.now));
                        RecordingDisk::instance().mark(fmt::format("file copy{}", i));
                    }
                },
            .cuts = times(120, 8000)};
}

TEST(PowerCut, WhileLogging)
{
    const Outcome outcome = cutAtManyPoints(logging(true));
    EXPECT_EQ(outcome.wrong, 0) << outcome.first;
}

TEST(PowerCut, WhileLoggingOnARollbackJournal)
{
    const Outcome outcome = cutAtManyPoints(logging(false));
    EXPECT_EQ(outcome.wrong, 0) << outcome.first;
}

TEST(PowerCut, WhileImporting)
{
    const Outcome outcome = cutAtManyPoints(importing());
    EXPECT_EQ(outcome.wrong, 0) << outcome.first;
}

TEST(PowerCut, WhileMerging)
{
    const Outcome outcome = cutAtManyPoints(merging());
    EXPECT_EQ(outcome.wrong, 0) << outcome.first;
}

TEST(PowerCut, WhileBringingABookUpToDate)
{
    const Outcome outcome = cutAtManyPoints(migrating());
    EXPECT_EQ(outcome.wrong, 0) << outcome.first;
}

TEST(PowerCut, WhileBackingUp)
{
    const Outcome outcome = cutAtManyPoints(backingUp());
    EXPECT_EQ(outcome.wrong, 0) << outcome.first;
}

// The test would notice: on a disk that keeps nothing in order, acknowledged visits go missing.
TEST(PowerCut, WouldShowOnADiskThatNeverSyncs)
{
    Work work = logging(true);
    work.name = "log_unsynced";
    work.cuts = 60;
    EXPECT_GT(cutAtManyPoints(work, true).wrong, 0);
}

}  // namespace
}  // namespace halfcell::db
