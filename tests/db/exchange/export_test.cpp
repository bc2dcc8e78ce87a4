#include "tests/db/exchange/tables.h"

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

class ExportTest : public ExchangeTest {
protected:
    void SetUp() override
    {
        ExchangeTest::SetUp();
        core::Records shop = smallShop();
        shop.visits.push_back(ordinaryVisit("v1", "2025-03-02"));
        shop.visits.push_back(ordinaryVisit("v2", "2025-04-02"));
        shop.visits[1].remark = "said \"odd\", then\nnothing; µS _x0041_";
        core::Correction c;
        c.visit = "v1";
        c.table = "readings";
        c.row = 2;
        c.field = "mv";
        c.old_value = "-176";
        c.new_value = "-167";
        c.recorded = at("2025-03-05");
        c.person = "T2";
        c.why = "digits swapped";
        shop.corrections.push_back(c);
        ASSERT_DONE(book->add(shop, kStamp));
        ASSERT_DONE(book->moveSensor("K7-0412", "shelf", at("2025-06-01T10:00:00+02:00"), core::RemovalReason::PreEmptive,
                                     {.person = "T1", .now = at("2025-06-01T09:00:00Z")}));
    }
    const core::Instant later = at("2026-06-01");
};

TEST_F(ExportTest, ComesBackAsTheSameBook)
{
    ASSERT_DONE(exportTables(*book, folder / "a", later, false));
    Book second = newBook("second.halfcell");
    ASSERT_DONE(importTables(second, {folder / "a"}, {}, kStamp, report));
    for (const Refusal& r : report.refused)
        ADD_FAILURE() << r.file << " " << r.line << " " << r.field << ": " << r.reason;
    ASSERT_DONE(exportTables(second, folder / "b", later, false));
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder / "a")) {
        EXPECT_EQ(get(entry.path()), get(folder / "b" / entry.path().filename())) << entry.path();
        ++files;
    }
    EXPECT_EQ(files, 18U);
    EXPECT_EQ(*book->loadRecords(), *second.loadRecords());
    EXPECT_TRUE(book->verify()->ok);
    EXPECT_TRUE(second.verify()->ok);
    ASSERT_DONE(importTables(second, {folder / "a"}, {}, kStamp, report));
    EXPECT_EQ(report.taken, 0U);
    EXPECT_TRUE(report.refused.empty());
    // The figures are the same as well.
    const auto first = book->latestStates();
    const auto again = second.latestStates();
    ASSERT_DONE(first);
    ASSERT_DONE(again);
    ASSERT_EQ(first->size(), 3U);
    for (std::size_t i = 0; i < first->size(); ++i) {
        EXPECT_EQ((*first)[i].efficiency_pct, (*again)[i].efficiency_pct);
        EXPECT_EQ((*first)[i].offset_mv, (*again)[i].offset_mv);
    }
}

TEST_F(ExportTest, LeavesOutWhatWasNotKnownThen)
{
    const auto counts = exportTables(*book, folder / "then", at("2025-03-04"), false);
    ASSERT_DONE(counts);
    const auto rows = [&](const char* file) {
        for (const auto& [name, n] : *counts)
            if (name == file)
                return n;
        return std::size_t{99};
    };
    EXPECT_EQ(rows("visits.csv"), 1U);
    EXPECT_EQ(rows("readings.csv"), 4U);
    EXPECT_EQ(rows("corrections.csv"), 0U);
    EXPECT_EQ(rows("placements.csv"), 3U);
    EXPECT_EQ(get(folder / "then" / "placements.csv").find("pre_emptive,"), get(folder / "then" / "placements.csv").rfind("pre_emptive,"));
}

TEST_F(ExportTest, DoesNotWriteOverTables)
{
    ASSERT_DONE(exportTables(*book, folder / "a", later, false));
    EXPECT_EQ(exportTables(*book, folder / "a", later, false).error().code, Errc::Conflict);
    EXPECT_TRUE(exportTables(*book, folder / "a", later, true).has_value());
    put(folder / "file", "x");
    EXPECT_EQ(exportTables(*book, folder / "file", later, false).error().code, Errc::CannotWrite);
}

TEST_F(ExportTest, WritesAWorkbookWithTheSameBytesTwice)
{
    const auto counts = exportWorkbook(*book, folder / "a.xlsx", later);
    ASSERT_DONE(counts);
    EXPECT_EQ(counts->size(), 18U);
    ASSERT_DONE(exportWorkbook(*book, folder / "b.xlsx", later));
    const std::string bytes = get(folder / "a.xlsx");
    EXPECT_TRUE(bytes.starts_with("PK"));
    EXPECT_EQ(bytes, get(folder / "b.xlsx"));
    EXPECT_EQ(exportWorkbook(*book, folder / "a.xlsx", later).error().code, Errc::Conflict);
}

TEST_F(ExportTest, TheWorkbookComesBackAsTheSameBook)
{
    ASSERT_DONE(exportTables(*book, folder / "a", later, false));
    ASSERT_DONE(exportWorkbook(*book, folder / "a.xlsx", later));
    Book second = newBook("second.halfcell");
    ASSERT_DONE(importTables(second, {folder / "a.xlsx"}, {}, kStamp, report));
    for (const Refusal& r : report.refused)
        ADD_FAILURE() << r.file << " " << r.line << " " << r.field << ": " << r.reason;
    ASSERT_DONE(exportTables(second, folder / "b", later, false));
    for (const auto& entry : std::filesystem::directory_iterator(folder / "a"))
        EXPECT_EQ(get(entry.path()), get(folder / "b" / entry.path().filename())) << entry.path();
    EXPECT_EQ(*book->loadRecords(), *second.loadRecords());
    ASSERT_DONE(importTables(second, {folder / "a.xlsx"}, {}, kStamp, report));
    EXPECT_EQ(report.taken, 0U);
}

}  // namespace
}  // namespace halfcell::db
