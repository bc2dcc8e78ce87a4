#include "db/book/book_impl.h"
#include "tests/db/crash/small_book.h"
#include "tests/support/disk/recording_disk.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <array>
#include <fstream>
#include <functional>
#include <iostream>

/// Disk full, no right to write, a failing device, a file taken away: a clear error, nothing half-written, and all of it
/// goes on once the disk is well.
namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;
using test::RecordingDisk;
namespace fs = std::filesystem;

bool isAboutTheBook(Errc code)
{
    return code == Errc::DiskFull || code == Errc::CannotWrite || code == Errc::CannotRead || code == Errc::DamagedBook ||
           code == Errc::Locked;
}

struct Failure {
    const char* name;
    RecordingDisk::Calls calls;
    int code;
    Errc expected;
};

const std::array kFailures = {Failure{"disk full", RecordingDisk::Calls::Write, SQLITE_FULL, Errc::DiskFull},
                              Failure{"write fails", RecordingDisk::Calls::Write, SQLITE_IOERR_WRITE, Errc::CannotWrite},
                              Failure{"sync fails", RecordingDisk::Calls::Sync, SQLITE_IOERR_FSYNC, Errc::CannotWrite},
                              Failure{"right to write lost", RecordingDisk::Calls::Write, SQLITE_READONLY, Errc::CannotWrite},
                              Failure{"truncation fails", RecordingDisk::Calls::Truncate, SQLITE_IOERR_TRUNCATE, Errc::CannotWrite},
                              Failure{"read fails", RecordingDisk::Calls::Read, SQLITE_IOERR_READ, Errc::CannotWrite},
                              Failure{"no more files", RecordingDisk::Calls::Open, SQLITE_CANTOPEN, Errc::CannotRead},
                              Failure{"any call fails", RecordingDisk::Calls::Any, SQLITE_IOERR, Errc::CannotWrite}};

/// Work on a book that stops at the first error; what it acknowledged.
using Work = std::function<core::Result<void>(const fs::path&, std::set<std::string>&)>;

/// Fails the n-th call for every n, until the work gets through without meeting one.
void failEveryCall(const std::string& name, int most, const Work& work)
{
    const MemoryFolder folder("failing_" + name);
    const MemoryFolder master("failing_master_" + name);
    makeBook(master / "shop", 2);
    writeReadings(master / "readings.csv", "imp", 20);
    fs::copy_file(master / "shop", master / "laptop");
    {
        auto laptop = Book::open(master / "laptop", OpenMode::ReadWrite);
        ASSERT_DONE(laptop->recordVisit(visitFor("round1", 1), kStamp));
    }
    const auto renew = [&] {
        folder.clear();
        for (const char* file : {"shop", "readings.csv", "laptop"})
            fs::copy_file(master / file, folder / file);
    };
    renew();
    std::set<std::string> ignored;
    ASSERT_DONE(work(folder.path(), ignored));
    const auto whole = visitsOf(folder / "shop");
    ASSERT_DONE(whole);
    RecordingDisk& disk = RecordingDisk::instance();
    int runs = 0;
    for (const Failure& failure : kFailures) {
        for (int n = 1;; n += 1 + n / most) {
            renew();
            std::set<std::string> acknowledged;
            disk.failFrom(folder.path(), failure.calls, n, failure.code);
            const auto done = work(folder.path(), acknowledged);
            if (!disk.heal()) {
                EXPECT_TRUE(done.has_value()) << done.error().detail;
                break;
            }
            ++runs;
            if (!done) {
                EXPECT_TRUE(isAboutTheBook(done.error().code)) << failure.name << " at call " << n << ": " << done.error().detail
                                                               << " (code " << static_cast<int>(done.error().code) << ")";
                EXPECT_FALSE(done.error().detail.empty());
                EXPECT_FALSE(done.error().remedy.empty());
            }
            EXPECT_EQ(wrongWith(folder / "shop", *whole, acknowledged), "") << failure.name << " at call " << n;
            // A well disk takes the same work.
            std::set<std::string> again;
            if (runs % 8 == 0) {
                EXPECT_TRUE(work(folder.path(), again).has_value()) << failure.name << " at call " << n;
            }
        }
    }
    EXPECT_GT(runs, 20U) << "too few calls were let fail to say anything";
    std::cout << fmt::format("{}: {} failed calls of {} kinds\n", name, runs, kFailures.size());
}

TEST(FailingDisk, WhileLogging)
{
    failEveryCall("log", times(8, 100000), [](const fs::path& folder, std::set<std::string>& acknowledged) -> core::Result<void> {
        auto book = Book::open(folder / "shop", OpenMode::ReadWrite);
        if (!book)
            return std::unexpected(book.error());
        for (int i = 0; i < 2; ++i) {
            const std::string key = fmt::format("log{}", i);
            if (const auto stored = book->recordVisit(visitFor(key, i), kStamp); !stored)
                return std::unexpected(stored.error());
            acknowledged.insert(key);
        }
        return {};
    });
}

TEST(FailingDisk, WhileImporting)
{
    failEveryCall("import", times(3, 100000), [](const fs::path& folder, std::set<std::string>& acknowledged) -> core::Result<void> {
        auto book = Book::open(folder / "shop", OpenMode::ReadWrite);
        if (!book)
            return std::unexpected(book.error());
        ImportReport report;
        if (auto done = importTables(*book, {folder / "readings.csv"}, {}, kStamp, report); !done)
            return done;
        for (int i = 1; i <= 20; ++i)
            acknowledged.insert(fmt::format("imp{}", i));
        return {};
    });
}

TEST(FailingDisk, WhileMerging)
{
    failEveryCall("merge", times(3, 100000), [](const fs::path& folder, std::set<std::string>& acknowledged) -> core::Result<void> {
        auto book = Book::open(folder / "shop", OpenMode::ReadWrite);
        if (!book)
            return std::unexpected(book.error());
        if (const auto done = mergeFrom(*book, folder / "laptop", kStamp); !done)
            return std::unexpected(done.error());
        acknowledged.insert("round1");
        return {};
    });
}

TEST(FailingDisk, WhileBackingUp)
{
    failEveryCall("backup", times(3, 100000), [](const fs::path& folder, std::set<std::string>&) -> core::Result<void> {
        auto book = Book::open(folder / "shop", OpenMode::ReadWrite);
        if (!book)
            return std::unexpected(book.error());
        std::error_code ec;
        fs::remove(folder / "copy", ec);
        return book->backupTo(folder / "copy", kStamp.now);
    });
}

/// A book that is taken away while it is open.
class TakenAway : public ::testing::Test {
protected:
    void SetUp() override
    {
        makeBook(folder / "shop", 2);
        auto opened = Book::open(folder / "shop", OpenMode::ReadWrite);
        ASSERT_DONE(opened);
        book.emplace(std::move(*opened));
        ASSERT_DONE(book->recordVisit(visitFor("before", 1), kStamp));
    }
    void isRefused()
    {
        const auto stored = book->recordVisit(visitFor("after", 2), kStamp);
        ASSERT_FALSE(stored.has_value()) << "a visit was acknowledged that no file holds";
        EXPECT_EQ(stored.error().code, Errc::CannotWrite);
        EXPECT_NE(stored.error().detail.find("moved"), std::string::npos) << stored.error().detail;
        EXPECT_FALSE(stored.error().remedy.empty());
        EXPECT_FALSE(book->loadVisit("before").has_value());
    }
    const MemoryFolder folder{"taken_away"};
    std::optional<Book> book;
};

TEST_F(TakenAway, ADeletedFileTakesNoVisit)
{
    fs::remove(folder / "shop");
    isRefused();
}

TEST_F(TakenAway, AReplacedFileTakesNoVisit)
{
    makeBook(folder / "other", 1);
    fs::rename(folder / "other", folder / "shop");
    isRefused();
}

TEST_F(TakenAway, AMovedFileTakesNoVisit)
{
    fs::rename(folder / "shop", folder / "elsewhere");
    isRefused();
}

}  // namespace
}  // namespace halfcell::db
