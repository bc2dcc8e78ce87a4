#include "tests/db/exchange/tables.h"

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

class ImportTest : public ExchangeTest {};

TEST_F(ImportTest, ReadingsAloneMakeVisits)
{
    ASSERT_DONE(import(goodTables()));
    EXPECT_TRUE(report.refused.empty());
    EXPECT_EQ(report.taken, 12U);
    EXPECT_EQ(report.visits, 2U);
    const auto visit = book->loadVisit("v1");
    ASSERT_DONE(visit);
    EXPECT_EQ(visit->when, at("2025-03-02T08:45:00Z"));
    EXPECT_EQ(visit->recorded, visit->when);
    EXPECT_EQ(visit->tag, "AE-3107");
    EXPECT_EQ(visit->person, "T1");
    EXPECT_EQ(visit->readings[1].dip, 1);
    EXPECT_EQ(book->loadReference()->sensors[0].recorded.utcSeconds, 0);
}

TEST_F(ImportTest, TwiceChangesNothing)
{
    ASSERT_DONE(import(goodTables()));
    const std::string head = book->info()->head;
    ASSERT_DONE(import(goodTables()));
    EXPECT_EQ(report.taken, 0U);
    EXPECT_EQ(report.unchanged, 12U);
    EXPECT_TRUE(report.refused.empty());
    EXPECT_EQ(book->info()->head, head);
}

TEST_F(ImportTest, DryRunShowsTheSameAndWritesNothing)
{
    const std::string head = book->info()->head;
    ASSERT_DONE(import(goodTables(), {.dryRun = true}));
    EXPECT_EQ(report.taken, 12U);
    EXPECT_EQ(book->info()->head, head);
    EXPECT_EQ(book->loadRecords()->sensors.size(), 0U);
}

TEST_F(ImportTest, TheVisitsOwnRowMayComeLater)
{
    ASSERT_DONE(import(goodTables()));
    ASSERT_DONE(import({{"visits", "visit,when,serial,reason,remark\nv1,2025-03-02T08:40:00Z,K7-0412,complaint,white coating\n"}}));
    EXPECT_TRUE(report.refused.empty());
    EXPECT_EQ(report.taken, 1U);
    const auto visit = book->loadVisit("v1");
    EXPECT_EQ(visit->remark, "white coating");
    EXPECT_EQ(visit->when, at("2025-03-02T08:40:00Z"));
    EXPECT_EQ(visit->person, std::nullopt);  // the visit's own row does not say
    EXPECT_EQ(visit->readings.size(), 2U);
    EXPECT_EQ(book->loadRecords()->visits[0].remark, "white coating");
    EXPECT_EQ(book->loadSensorRecords("K7-0412")->visits[0].remark, "white coating");
    EXPECT_TRUE(book->verify()->ok);
    // Again: unchanged; otherwise: refused.
    ASSERT_DONE(import({{"visits", "visit,when,serial,reason,remark\nv1,2025-03-02T08:40:00Z,K7-0412,complaint,white coating\n"}}));
    EXPECT_EQ(report.unchanged, 1U);
    ASSERT_DONE(import({{"visits", "visit,when,serial,remark\nv1,2025-03-02T08:40:00Z,K7-0412,grey coating\n"}}));
    ASSERT_EQ(report.refused.size(), 1U);
}

TEST_F(ImportTest, AddsRowsToAnOldVisit)
{
    ASSERT_DONE(import(goodTables()));
    ASSERT_DONE(
        import({{"readings", "visit,when,serial,phase,standard,mv,temp_degc\nv1,2025-03-02T09:10:00Z,K7-0412,as_left,ph7.00,-10,19\n"
                             "v1,2025-03-02T08:45:00Z,K7-0412,as_found,ph7.00,-13,19\n"},
                {"actions", "visit,when,serial,step,action\nv1,2025-03-02T09:00:00Z,K7-0412,1,clean_acid\n"}}));
    ASSERT_EQ(report.refused.size(), 1U);  // the wait is missing from the second row: other content
    EXPECT_EQ(report.refused[0].field, "wait_s");
    EXPECT_EQ(report.taken, 2U);
    const auto visit = book->loadVisit("v1");
    EXPECT_EQ(visit->readings.size(), 3U);
    EXPECT_EQ(visit->actions.size(), 1U);
    EXPECT_TRUE(book->verify()->ok);
}

TEST_F(ImportTest, RowsOfAVisitComeInAnyOrderFromAnyFile)
{
    auto tables = goodTables();
    tables["actions"] = "visit,when,serial,step,action,minutes\nv1,2025-03-02T09:00:00Z,K7-0412,1,clean_acid,4\n";
    tables["checks"] = "visit,when,serial,coating,coating_kind,stir_ph\nv1,2025-03-02T08:40:00Z,K7-0412,2,hard,not_possible\n";
    tables["grabs"] = "visit,when,serial,loop_ph,grab_ph\nv3,2025-05-02T08:40:00Z,K7-0412,9.2,9.4\n";
    ASSERT_DONE(import(tables));
    EXPECT_TRUE(report.refused.empty());
    EXPECT_EQ(report.visits, 3U);
    EXPECT_EQ(book->loadVisit("v1")->when, at("2025-03-02T08:40:00Z"));
    EXPECT_EQ(book->loadVisit("v3")->grabs[0].grab_ph.value, 9.4);
}

TEST_F(ImportTest, RepeatedDipsAreCountedInFileOrder)
{
    auto tables = goodTables();
    tables["readings"] += "v2,2025-04-02T08:55:00Z,K7-0412,T1,as_found,ph7.00,-12.5,20,60\n";
    ASSERT_DONE(import(tables));
    EXPECT_TRUE(report.refused.empty());
    EXPECT_EQ(book->loadVisit("v2")->readings[2].dip, 2);
    ASSERT_DONE(import(tables));
    EXPECT_TRUE(report.refused.empty());
    EXPECT_EQ(report.taken, 0U);
}

TEST_F(ImportTest, NumbersCompareAsNumbersAndTimesAsInstants)
{
    ASSERT_DONE(import(goodTables()));
    ASSERT_DONE(import({{"readings", "visit,when,serial,person,phase,standard,mv,temp_degc,wait_s\n"
                                     "v1,2025-03-02T09:45:00+01:00,K7-0412,T1,as_found,ph7.00,-13.0,19.00,6e1\n"}}));
    EXPECT_TRUE(report.refused.empty());
    EXPECT_EQ(report.unchanged, 1U);
}

TEST_F(ImportTest, CorrectionsAreReplayedInTheirOrder)
{
    auto tables = goodTables();
    tables["corrections"] = "visit,table,row,field,old,new,recorded,person,why\n"
                            "v1,readings,2,mv,-167,-168,2025-03-06,T2,again\n"
                            "v1,readings,2,mv,-176,-167,2025-03-05,T2,digits swapped\n";
    ASSERT_DONE(import(tables));
    EXPECT_TRUE(report.refused.empty()) << report.refused[0].reason;
    ASSERT_DONE(import(tables));
    EXPECT_EQ(report.taken, 0U);
    EXPECT_TRUE(report.refused.empty());
    const auto plant = core::Plant::asKnown(*book->loadRecords(), at("2026-01-01"));
    EXPECT_EQ(plant.history("K7-0412")->visits[0]->readings[1].mv, -168.0);
    EXPECT_TRUE(plant.unfitting().empty());
}

TEST_F(ImportTest, StrictTakesAllOrNothing)
{
    auto tables = goodTables();
    tables["readings"] += "v3,2025-04-02T08:45:00Z,K7-9999,T1,as_found,ph7.00,-12,20,60\n";
    const std::string head = book->info()->head;
    const auto refused = import(tables, {.strict = true, .refusedFile = folder / "refused.csv"});
    ASSERT_FALSE(refused.has_value());
    EXPECT_EQ(refused.error().code, Errc::BadInput);
    EXPECT_EQ(refused.error().line, 6U);
    EXPECT_EQ(refused.error().field, "serial");
    EXPECT_EQ(report.refused.size(), 1U);
    EXPECT_EQ(report.taken, 0U);
    EXPECT_EQ(book->info()->head, head);
    EXPECT_TRUE(get(folder / "refused.csv").starts_with("file,line,field,value,reason,remedy\r\nreadings.csv,6,serial,K7-9999,"));
    ASSERT_DONE(import(goodTables(), {.strict = true}));
    EXPECT_EQ(report.taken, 12U);
}

TEST_F(ImportTest, CanBeStopped)
{
    const std::string head = book->info()->head;
    const auto stopped = import(goodTables(), {.progress = [](double) { return false; }});
    EXPECT_EQ(stopped.error().code, Errc::Cancelled);
    EXPECT_EQ(book->info()->head, head);
}

TEST_F(ImportTest, SaysWhenThereIsNothingToTake)
{
    put(folder / "notes.txt", "hello");
    EXPECT_EQ(importTables(*book, {folder / "notes.txt"}, {}, kStamp, report).error().code, Errc::BadInput);
    EXPECT_EQ(importTables(*book, {folder / "none.csv"}, {}, kStamp, report).error().code, Errc::BadInput);
    EXPECT_EQ(importTables(*book, {folder / "readings.csv"}, {}, kStamp, report).error().code, Errc::CannotRead);
}

TEST_F(ImportTest, PreviewsWithoutWriting)
{
    auto tables = goodTables();
    tables["readings"] += "v3,2025-04-02T08:45:00Z,K7-9999,T1,as_found,ph7.00,-12,20,60\n";
    putTables(folder / "preview", tables);
    const auto rows = previewTables(*book, {folder / "preview"}, 2);
    ASSERT_DONE(rows);
    std::size_t readings = 0, refused = 0;
    for (const PreviewRow& row : *rows) {
        readings += row.table == "readings" ? 1 : 0;
        refused += row.state == "refused" ? 1 : 0;
    }
    EXPECT_EQ(readings, 2U);
    EXPECT_EQ(refused, 1U);
    EXPECT_TRUE(book->loadRecords()->sites.empty());
}

}  // namespace
}  // namespace halfcell::db
