#include "db/backup/backup.h"
#include "db/connection/connection.h"
#include "tests/db/support/book_fixture.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;
using core::Instant;
namespace fs = std::filesystem;

const BookStamp kStamp{.person = "T1", .now = at("2026-03-02T08:00:00Z")};

Book shopIn(const fs::path& file)
{
    auto book = Book::create(file, kStamp);
    EXPECT_TRUE(book.has_value());
    core::Records shop = smallShop();
    shop.visits.push_back(ordinaryVisit("v1", "2025-03-02"));
    EXPECT_TRUE(book->add(shop, kStamp).has_value());
    return std::move(*book);
}

TEST(BackupPlan, IsTheOneInTheRules)
{
    EXPECT_EQ(shippedBackupPlan(), (BackupPlan{.daily = 7, .weekly = 5, .monthly = 12}));
    EXPECT_EQ(parseBackupPlan("[keep]\ndaily = 1\nweekly = 2\n").error().field, "keep.monthly");
    EXPECT_EQ(parseBackupPlan("[keep]\ndaily = -1\nweekly = 2\nmonthly = 3").error().field, "keep.daily");
    EXPECT_EQ(parseBackupPlan("[keep]\ndaily = 1.5\nweekly = 2\nmonthly = 3").error().code, Errc::BadInput);
    EXPECT_TRUE(parseBackupPlan("[keep\n").error().line.has_value());
}

// Two backups a day for 400 days: 7 days, 5 weeks and 12 months are left, the latest of each.
TEST(BackupPlan, ThinsOutWhatGrowsOld)
{
    std::vector<Instant> made;
    const Instant first = at("2025-01-01T06:00:00Z");
    for (int day = 0; day < 400; ++day)
        for (const int hour : {0, 12})
            made.push_back({first.utcSeconds + (day * 24 + hour) * 3600, 0});
    std::ranges::reverse(made);
    const auto gone = superseded(made, {.daily = 7, .weekly = 5, .monthly = 12});
    std::vector<std::string> kept;
    for (std::size_t i = 0; i < made.size(); ++i)
        if (!std::ranges::binary_search(gone, i))
            kept.push_back(core::formatInstant(made[i]));
    // Worked out by hand from the calendar: the last day is Wednesday 4 February 2026.
    EXPECT_EQ(kept,
              (std::vector<std::string>{"2026-02-04T18:00:00Z", "2026-02-03T18:00:00Z", "2026-02-02T18:00:00Z", "2026-02-01T18:00:00Z",
                                        "2026-01-31T18:00:00Z", "2026-01-30T18:00:00Z", "2026-01-29T18:00:00Z", "2026-01-25T18:00:00Z",
                                        "2026-01-18T18:00:00Z", "2026-01-11T18:00:00Z", "2025-12-31T18:00:00Z", "2025-11-30T18:00:00Z",
                                        "2025-10-31T18:00:00Z", "2025-09-30T18:00:00Z", "2025-08-31T18:00:00Z", "2025-07-31T18:00:00Z",
                                        "2025-06-30T18:00:00Z", "2025-05-31T18:00:00Z", "2025-04-30T18:00:00Z", "2025-03-31T18:00:00Z"}));
    EXPECT_TRUE(superseded({}, {.daily = 1, .weekly = 1, .monthly = 1}).empty());
    EXPECT_TRUE(superseded(std::vector{first}, {.daily = 0, .weekly = 0, .monthly = 0}).empty());  // never the newest
}

TEST(Backups, RotateInAFolderAndTouchNothingElse)
{
    const Folder folder;
    const Book book = shopIn(folder / "shop.halfcell");
    const fs::path store = folder / "backups";
    fs::create_directories(store);
    std::ofstream(store / "shop-notes.halfcell") << "mine";
    std::ofstream(store / "other-20200101T000000Z.halfcell") << "another book's";
    const BackupPlan plan{.daily = 2, .weekly = 1, .monthly = 1};
    for (int day = 0; day < 5; ++day) {
        const auto rotation = rotateBackups(book, store, {kStamp.now.utcSeconds + day * 86400, 0}, plan);
        ASSERT_DONE(rotation);
        EXPECT_TRUE(fs::exists(rotation->made));
        EXPECT_EQ(rotation->kept, day == 0 ? 1U : 2U);
    }
    EXPECT_EQ(rotateBackups(book, store, {kStamp.now.utcSeconds + 4 * 86400, 0}, plan).error().code, Errc::Conflict);
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(store))
        names.push_back(entry.path().filename().string());
    std::ranges::sort(names);
    EXPECT_EQ(names, (std::vector<std::string>{"other-20200101T000000Z.halfcell", "shop-20260305T080000Z.halfcell",
                                               "shop-20260306T080000Z.halfcell", "shop-notes.halfcell"}));
    EXPECT_EQ(book.info()->lastBackup, (Instant{kStamp.now.utcSeconds + 4 * 86400, 0}));
}

TEST(Backups, ADamagedBookMakesNoBackupAndRemovesNone)
{
    const Folder folder;
    {
        const Book book = shopIn(folder / "shop.halfcell");
        ASSERT_DONE(rotateBackups(book, folder / "backups", kStamp.now, {.daily = 1, .weekly = 0, .monthly = 0}));
    }
    {
        auto connection = Connection::open(folder / "shop.halfcell", Connection::Mode::ReadWrite);
        (*connection)->run("DROP TRIGGER readings_no_update");
        (*connection)->run("UPDATE readings SET mv = 1 WHERE seq = 1");
    }
    const auto book = Book::open(folder / "shop.halfcell", OpenMode::ReadWrite);
    const auto refused =
        rotateBackups(*book, folder / "backups", {kStamp.now.utcSeconds + 86400, 0}, {.daily = 1, .weekly = 0, .monthly = 0});
    ASSERT_FALSE(refused.has_value());
    EXPECT_EQ(refused.error().code, Errc::DamagedBook);
    EXPECT_TRUE(fs::exists(folder / "backups" / "shop-20260302T080000Z.halfcell"));
    EXPECT_EQ(std::distance(fs::directory_iterator(folder / "backups"), {}), 1);
}

TEST(Restore, MakesTheSameBookUnderANewName)
{
    const Folder folder;
    const Book book = shopIn(folder / "shop");
    ASSERT_DONE(book.backupTo(folder / "copy"));
    const auto restored = restoreBook(folder / "copy", folder / "again");
    ASSERT_DONE(restored);
    EXPECT_EQ(restored->head, book.info()->head);
    auto again = Book::open(folder / "again", OpenMode::ReadWrite);
    ASSERT_DONE(again);
    EXPECT_EQ(*again->loadRecords(), *book.loadRecords());
    ASSERT_DONE(again->recordVisit(ordinaryVisit("v2", "2026-03-01"), kStamp));  // it is a book like any other
    EXPECT_TRUE(again->verify()->ok);
}

TEST(Restore, NeverWritesOverAFileAndLeavesNothingBehind)
{
    const Folder folder;
    const Book book = shopIn(folder / "shop");
    ASSERT_DONE(book.backupTo(folder / "copy"));
    std::ofstream(folder / "there") << "something";
    EXPECT_EQ(restoreBook(folder / "copy", folder / "there").error().code, Errc::Conflict);
    EXPECT_EQ(fs::file_size(folder / "there"), 9U);
    EXPECT_EQ(restoreBook(folder / "none", folder / "new").error().code, Errc::CannotRead);
    EXPECT_EQ(restoreBook(folder / "there", folder / "new").error().code, Errc::CannotRead);
    EXPECT_EQ(restoreBook(folder / "copy", folder / "no such folder" / "new").error().file, (folder / "copy").string());
    {
        auto connection = Connection::open(folder / "copy", Connection::Mode::ReadWrite);
        (*connection)->run("DROP TRIGGER readings_no_update");
        (*connection)->run("UPDATE readings SET mv = 1 WHERE seq = 1");
    }
    const auto damaged = restoreBook(folder / "copy", folder / "new");
    ASSERT_FALSE(damaged.has_value());
    EXPECT_EQ(damaged.error().code, Errc::DamagedBook);
    EXPECT_FALSE(fs::exists(folder / "new"));
}

// A copy, a way back and figures worked out anew can be stopped at any moment; nothing half-made is left then.
TEST(Backups, IsStoppedWithoutATrace)
{
    const Folder folder;
    auto book = shopIn(folder / "shop.halfcell");
    ASSERT_TRUE(book.backupTo(folder / "whole.halfcell").has_value());
    double last = 0.0;
    ASSERT_TRUE(book.backupTo(folder / "told.halfcell", kStamp.now, [&](double f) { return last = f, true; }).has_value());
    EXPECT_GT(last, 0.4);
    EXPECT_EQ(book.info()->lastBackupFile, (folder / "told.halfcell").string());
    int tried = 0;
    for (int n = 0;; ++n) {
        int left = n;
        const auto goOn = [&](double) { return left-- > 0; };
        const auto copied = book.backupTo(folder / "stopped.halfcell", kStamp.now, goOn);
        if (copied)
            break;
        ++tried;
        EXPECT_EQ(copied.error().code, Errc::Cancelled);
        EXPECT_FALSE(fs::exists(folder / "stopped.halfcell"));
        EXPECT_FALSE(fs::exists(folder / "stopped.halfcell.part"));
        EXPECT_EQ(book.info()->lastBackupFile, (folder / "told.halfcell").string());
    }
    EXPECT_GE(tried, 1);
    const auto back = restoreBook(folder / "whole.halfcell", folder / "back.halfcell", [](double) { return false; });
    ASSERT_FALSE(back.has_value());
    EXPECT_EQ(back.error().code, Errc::Cancelled);
    EXPECT_FALSE(fs::exists(folder / "back.halfcell"));
    const auto before = book.latestStates();
    EXPECT_EQ(book.rebuild(kStamp.now, [](double) { return false; }).error().code, Errc::Cancelled);
    EXPECT_EQ(*book.latestStates(), *before);
    const auto rebuilt = book.rebuild(kStamp.now, [](double) { return true; });
    ASSERT_TRUE(rebuilt.has_value());
    EXPECT_TRUE(rebuilt->different.empty());
}

}  // namespace
}  // namespace halfcell::db
