#include "db/connection/guarded.h"
#include "db/connection/statement.h"
#include "tests/db/support/book_fixture.h"

namespace halfcell::db {
namespace {

using namespace testing;

const BookStamp kStamp{.person = "T1", .now = at("2026-03-02T08:00:00Z")};

/// A book with a row in every table that is written, and somebody who goes round the triggers.
class VerifyTest : public ::testing::Test {
protected:
    void SetUp() override
    {
        auto made = Book::create(file, kStamp);
        ASSERT_DONE(made);
        book.emplace(std::move(*made));
        core::Records shop = smallShop();
        shop.visits.push_back(ordinaryVisit("v1", "2025-03-02"));
        shop.visits.push_back(ordinaryVisit("v2", "2025-04-02"));
        core::Correction c;
        c.visit = "v1";
        c.table = "readings";
        c.row = 2;
        c.field = "mv";
        c.old_value = "-176";
        c.new_value = "-167";
        c.person = "T2";
        c.why = "digits swapped";
        shop.corrections.push_back(c);
        ASSERT_DONE(book->add(shop, kStamp));
        ASSERT_DONE(book->nameShop("Wexmoor Utilities", kStamp));
        ASSERT_DONE(book->moveSensor("K7-0412", "shelf", at("2026-03-01"), core::RemovalReason::Slow, kStamp));
        ASSERT_DONE(book->closeHold("AE-3107", at("2025-03-02T08:12:00Z"), at("2025-03-02T09:30:00Z"), "T2", core::HoldClosed::Auto, kStamp));
        ASSERT_DONE(book->openLot("B7-2231", at("2025-03-01"), kStamp));
        ASSERT_DONE(book->endPart("R2-0007", core::Part::Electrolyte, at("2025-02-01"), at("2025-08-01"), kStamp));
    }
    /// Changes the file behind the book's back; what verify then says.
    VerifyReport after(const std::string& table, const std::string& sql)
    {
        auto connection = Connection::open(file, Connection::Mode::ReadWrite);
        EXPECT_TRUE(connection.has_value());
        (*connection)->run("PRAGMA foreign_keys = OFF");
        (*connection)->run("PRAGMA ignore_check_constraints = ON");
        (*connection)->run("DROP TRIGGER IF EXISTS " + table + "_no_update");
        (*connection)->run("DROP TRIGGER IF EXISTS " + table + "_no_delete");
        const auto done = guarded([&] { (*connection)->run(sql); });
        EXPECT_TRUE(done.has_value()) << sql << ": " << done.error().detail;
        const auto report = book->verify();
        EXPECT_TRUE(report.has_value());
        return *report;
    }
    Folder folder;
    std::filesystem::path file = folder / "shop.halfcell";
    std::optional<Book> book;
};

TEST_F(VerifyTest, AGoodBookIsGood)
{
    const auto report = book->verify();
    ASSERT_DONE(report);
    EXPECT_TRUE(report->ok) << report->firstBad;
    EXPECT_EQ(report->entries, book->info()->entries);
    EXPECT_EQ(report->head, book->info()->head);
    EXPECT_EQ(report->head.size(), 64U);
    // Derived rows are no records.
    ASSERT_DONE(book->refreshLatest({}, kStamp.now));
    EXPECT_TRUE(book->verify()->ok);
}

TEST_F(VerifyTest, CanBeStopped)
{
    core::Records many;
    for (int i = 0; i < 2500; ++i) {
        core::Site site;
        site.site = "site " + std::to_string(i);
        many.sites.push_back(site);
    }
    ASSERT_DONE(book->add(many, kStamp));
    double last = 0.0;
    ASSERT_DONE(book->verify([&](double fraction) { return last = fraction, true; }));
    EXPECT_GT(last, 0.0);
    EXPECT_EQ(book->verify([](double) { return false; }).error().code, core::Errc::Cancelled);
}

struct Tampering {
    const char* table;
    const char* sql;
    const char* named;   ///< what the finding must name
};
void PrintTo(const Tampering& t, std::ostream* out)
{
    *out << t.sql;
}

class TamperTest : public VerifyTest, public ::testing::WithParamInterface<Tampering> {};

TEST_P(TamperTest, IsFoundAndNamed)
{
    const VerifyReport report = after(GetParam().table, GetParam().sql);
    EXPECT_FALSE(report.ok);
    EXPECT_NE(report.firstBad.find(GetParam().named), std::string::npos) << report.firstBad;
    EXPECT_GT(report.firstBadSeq, 0);
}

INSTANTIATE_TEST_SUITE_P(
    EachTable, TamperTest,
    ::testing::Values(
        Tampering{"sites", "UPDATE sites SET note = 'x'", "Saltmarsh"}, Tampering{"points", "UPDATE points SET ph_low = 6.6 WHERE tag = 'AE-3109'", "AE-3109"},
        Tampering{"models", "UPDATE models SET price = 241 WHERE model = 'K7'", "K7"},
        Tampering{"sensors", "UPDATE sensors SET bought_s = bought_s + 1 WHERE serial = 'K7-0431'", "K7-0431"},
        Tampering{"placements", "UPDATE placements SET from_offset_min = 0 WHERE serial = 'R2-0007'", "R2-0007"},
        Tampering{"placement_ends", "UPDATE placement_ends SET reason_removed = 'broken'", "K7-0412"},
        Tampering{"parts", "UPDATE parts SET lot = 'E-2'", "R2-0007"}, Tampering{"part_ends", "UPDATE part_ends SET to_s = to_s - 1", "R2-0007"},
        Tampering{"lots", "UPDATE lots SET certified_ph = 7.02", "B7-2231"}, Tampering{"lot_events", "UPDATE lot_events SET time_s = time_s + 60", "B7-2231"},
        Tampering{"standards", "UPDATE standards SET ph = 9.06", "house9"}, Tampering{"equipment", "UPDATE equipment SET error = 0.5", "H3"},
        Tampering{"people", "UPDATE people SET skills = 'ph'", "T1"}, Tampering{"holds", "UPDATE holds SET person = 'T2'", "AE-3107"},
        Tampering{"hold_ends", "UPDATE hold_ends SET closed_by = 'T3'", "AE-3107"}, Tampering{"legacy", "UPDATE legacy SET efficiency_pct = 97", "K7-0412"},
        Tampering{"shop_names", "UPDATE shop_names SET shop = 'Another'", "Wexmoor"},
        Tampering{"rule_sets", "UPDATE rule_sets SET text = text || ' '", "rule_set"},
        Tampering{"rule_adoptions", "UPDATE rule_adoptions SET why = 'because'", "rule_adoption"},
        Tampering{"visits", "UPDATE visits SET remark = 'clean' WHERE visit = 'v1'", "v1"}, Tampering{"visits", "UPDATE visits SET stated = 0 WHERE visit = 'v2'", "v2"},
        Tampering{"readings", "UPDATE readings SET mv = -175.99999999999997 WHERE visit = 'v2' AND seq = 2", "v2"},
        Tampering{"readings", "UPDATE readings SET unanswered = NULL WHERE visit = 'v2' AND seq = 2", "v2"},
        Tampering{"readings", "UPDATE readings SET settled = 3 WHERE visit = 'v2' AND seq = 2", "v2"},
        Tampering{"readings", "UPDATE readings SET note = '' WHERE visit = 'v2' AND seq = 2", "v2"},
        Tampering{"readings", "UPDATE readings SET seq = 9 WHERE visit = 'v2' AND seq = 4", "v2"},
        Tampering{"readings", "DELETE FROM readings WHERE visit = 'v1' AND seq = 4", "v1"},
        Tampering{"readings", "UPDATE readings SET visit = 'v2', seq = 5 WHERE visit = 'v1' AND seq = 4", "v1"},
        Tampering{"readings", "INSERT INTO readings SELECT 'v2', 9, when_s, when_offset_min, phase, standard, lot, mv, temp_degc, temp_source, wait_s, "
                              "t90_s, settled, meter, thermometer, dip, shown_ph, keyed, why_missing, note, unanswered, recorded_s, "
                              "recorded_offset_min, entry, settle FROM readings WHERE visit = 'v2' AND seq = 1",
                  "v2"},
        Tampering{"grabs", "UPDATE grabs SET loop_ph = 9.4 WHERE visit = 'v1'", "v1"}, Tampering{"checks", "UPDATE checks SET coating = 1 WHERE visit = 'v1'", "v1"},
        Tampering{"actions", "UPDATE actions SET action = 'rinse' WHERE visit = 'v1' AND seq = 1", "v1"},
        Tampering{"corrections", "UPDATE corrections SET new_value = '-168'", "v1"}, Tampering{"corrections", "DELETE FROM corrections", "v1"},
        Tampering{"sites", "INSERT INTO sites SELECT 'Ghost', note, recorded_s, recorded_offset_min, entry FROM sites", "Ghost"},
        Tampering{"sites", "INSERT INTO sites SELECT 'Ghost', note, recorded_s, recorded_offset_min, 9999 FROM sites", "Ghost"},
        Tampering{"sensors", "DELETE FROM sensors WHERE serial = 'K7-0431'", "K7-0431"},
        Tampering{"journal", "UPDATE journal SET person = 'T9' WHERE what = 'visit' AND key = 'v2'", "v2"},
        Tampering{"journal", "UPDATE journal SET time_s = time_s + 1 WHERE what = 'visit' AND key = 'v1'", "v1"},
        Tampering{"journal", "UPDATE journal SET text = 'nothing' WHERE what = 'legacy'", "legacy"},
        Tampering{"journal", "UPDATE journal SET hash = replace(hash, '1', '2') WHERE what = 'lot'", "lot"},
        Tampering{"journal", "DELETE FROM journal WHERE what = 'legacy'", "missing"}),
    [](const auto& each) { return std::string(each.param.table) + "_" + std::to_string(each.index); });

TEST_F(VerifyTest, ATruncatedJournalShowsInTheHead)
{
    const std::string noted = book->verify()->head;
    const std::int64_t entries = book->verify()->entries;
    const VerifyReport report = after("journal", "DELETE FROM journal WHERE seq = " + std::to_string(entries));
    EXPECT_FALSE(report.ok);  // its row is still there
    EXPECT_NE(report.head, noted);
}

TEST_F(VerifyTest, NamesTheFirstOfTwo)
{
    const VerifyReport report = after("readings", "UPDATE readings SET mv = 0 WHERE seq = 1");
    EXPECT_NE(report.firstBad.find("visit v1"), std::string::npos) << report.firstBad;
}

TEST_F(VerifyTest, TheBackupVerifiesAndADamagedBookIsNotBackedUpAsGood)
{
    ASSERT_DONE(book->backupTo(folder / "copy.halfcell", at("2026-03-03T00:00:00Z")));
    EXPECT_EQ(book->info()->lastBackup, at("2026-03-03T00:00:00Z"));
    auto copy = Book::open(folder / "copy.halfcell", OpenMode::ReadWrite);
    ASSERT_DONE(copy);
    EXPECT_EQ(*copy->loadRecords(), *book->loadRecords());
    EXPECT_EQ(copy->verify()->head, book->verify()->head);
    EXPECT_EQ(book->backupTo(folder / "copy.halfcell").error().code, core::Errc::Conflict);
    (void)after("sites", "UPDATE sites SET note = 'x'");
    EXPECT_EQ(book->backupTo(folder / "bad.halfcell").error().code, core::Errc::DamagedBook);
    EXPECT_FALSE(std::filesystem::exists(folder / "bad.halfcell"));
}

}  // namespace
}  // namespace halfcell::db
