#include "db/connection/connection.h"
#include "tests/db/merge/parted.h"

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

/// A shop's book and the laptop's copy of it.
class MergeTest : public ::testing::Test {
protected:
    void SetUp() override
    {
        makeShop(folder / "shop");
        copyBook(folder / "shop", folder / "laptop");
    }
    Book open(const char* name)
    {
        auto book = Book::open(folder / name, OpenMode::ReadWrite);
        EXPECT_TRUE(book.has_value());
        return std::move(*book);
    }
    static BookStamp stamp(const char* person, const char* now) { return {.person = person, .now = at(now)}; }
    static core::Correction corrected(const char* newValue)
    {
        core::Correction c;
        c.visit = "v1";
        c.table = "readings";
        c.row = 2;
        c.field = "mv";
        c.old_value = "-176";
        c.new_value = newValue;
        c.why = "digits swapped";
        return c;
    }
    static double asFoundMv(const Book& book)
    {
        const auto plant = core::Plant::asKnown(*book.loadRecords(), at("2026-12-31"));
        for (const core::Visit& visit : plant.records().visits)
            if (visit.visit == "v1")
                return *visit.readings[1].mv;
        return 0.0;
    }
    const Folder folder;
};

TEST_F(MergeTest, TakesWhatTheLaptopWroteAndSaysWhereItCameFrom)
{
    ASSERT_DONE(open("laptop").recordVisit(ordinaryVisit("round-9", "2026-03-05"), stamp("T2", "2026-03-05T10:00:00Z")));
    const MergeReport report = mergeInto(folder / "shop", folder / "laptop");
    EXPECT_EQ(report.taken, 1U);
    EXPECT_TRUE(report.clashes.empty());
    const Book shop = open("shop");
    const auto visit = shop.loadVisit("round-9");
    ASSERT_DONE(visit);
    EXPECT_EQ(visit->readings.size(), 4U);
    EXPECT_TRUE(shop.verify()->ok) << shop.verify()->firstBad;
    const auto entries = shop.journal();
    const JournalEntry& taken = (*entries)[entries->size() - 2];
    EXPECT_EQ(taken.key, "round-9");
    EXPECT_EQ(taken.person, "M1");
    EXPECT_NE(taken.text.find("2026-03-05T10:00:00Z by T2"), std::string::npos) << taken.text;
    EXPECT_EQ(entries->back().what, "merge");
    // What is written about it can be found.
    EXPECT_FALSE(shop.search("white coating", 10)->empty());
}

TEST_F(MergeTest, ADryRunWritesNothing)
{
    ASSERT_DONE(open("laptop").recordVisit(ordinaryVisit("round-9", "2026-03-05"), stamp("T2", "2026-03-05T10:00:00Z")));
    Book shop = open("shop");
    const std::string head = shop.info()->head;
    const auto report = mergeFrom(shop, folder / "laptop", stamp("M1", "2026-03-06"), {.dryRun = true, .progress = {}});
    ASSERT_DONE(report);
    EXPECT_EQ(report->taken, 1U);
    EXPECT_EQ(shop.info()->head, head);
    EXPECT_FALSE(shop.loadVisit("round-9").has_value());
}

TEST_F(MergeTest, CanBeStoppedWithoutATrace)
{
    ASSERT_DONE(open("laptop").recordVisit(ordinaryVisit("round-9", "2026-03-05"), stamp("T2", "2026-03-05T10:00:00Z")));
    Book shop = open("shop");
    const std::string head = shop.info()->head;
    const auto stopped =
        mergeFrom(shop, folder / "laptop", stamp("M1", "2026-03-06"), {.dryRun = false, .progress = [](double f) { return f < 0.8; }});
    ASSERT_FALSE(stopped.has_value());
    EXPECT_EQ(stopped.error().code, Errc::Cancelled);
    EXPECT_EQ(shop.info()->head, head);
}

TEST_F(MergeTest, TwoCorrectionsOfOneFieldAreListedAndSettled)
{
    ASSERT_DONE(open("shop").correct(corrected("-167"), stamp("T1", "2026-03-05T10:00:00Z")));
    ASSERT_DONE(open("laptop").correct(corrected("-175.5"), stamp("T2", "2026-03-06T10:00:00Z")));
    const MergeReport report = mergeInto(folder / "shop", folder / "laptop");
    ASSERT_EQ(report.clashes.size(), 1U);
    const Clash& clash = report.clashes[0];
    EXPECT_EQ(clash.kind, "correction");
    EXPECT_EQ(clash.subject, "visit v1 readings 2 mv");
    ASSERT_EQ(clash.rows.size(), 2U);
    EXPECT_TRUE(clash.rows[0].counts);
    EXPECT_EQ(clash.rows[1].person, "T2");
    Book shop = open("shop");
    EXPECT_EQ(asFoundMv(shop), -167.0);
    EXPECT_EQ(settleClash(shop, clash.id, 2, stamp("", "2026-06-02"), "the sheet says so").error().field, "person");
    EXPECT_EQ(settleClash(shop, clash.id, 2, stamp("T3", "2026-06-02"), "").error().field, "why");
    EXPECT_EQ(settleClash(shop, clash.id, 3, stamp("T3", "2026-06-02"), "x").error().code, Errc::BadInput);
    EXPECT_EQ(settleClash(shop, "0123456789ab", 1, stamp("T3", "2026-06-02"), "x").error().code, Errc::NotFound);
    ASSERT_DONE(settleClash(shop, clash.id.substr(0, 12), 2, stamp("T3", "2026-06-02"), "the sheet says so"));
    EXPECT_EQ(asFoundMv(shop), -175.5);
    EXPECT_TRUE(clashesOf(shop)->empty());  // both say the same now
    EXPECT_TRUE(shop.verify()->ok) << shop.verify()->firstBad;
    // The decision travels; merging again asks nothing.
    EXPECT_TRUE(mergeInto(folder / "laptop", folder / "shop").clashes.empty());
    EXPECT_EQ(asFoundMv(open("laptop")), -175.5);
}

TEST_F(MergeTest, ASensorAtTwoPlacesIsListedAndSettled)
{
    const auto reason = core::RemovalReason::Slow;
    ASSERT_DONE(open("shop").moveSensor("K7-0412", "bench", at("2026-03-05T09:00:00Z"), reason, stamp("T1", "2026-03-05T10:00:00Z")));
    ASSERT_DONE(open("laptop").moveSensor("K7-0412", "soak", at("2026-03-06T09:00:00Z"), reason, stamp("T2", "2026-03-06T10:00:00Z")));
    const MergeReport report = mergeInto(folder / "shop", folder / "laptop");
    ASSERT_EQ(report.clashes.size(), 2U);
    EXPECT_EQ(report.clashes[0].kind, "placement");
    EXPECT_EQ(report.clashes[0].subject, "sensor K7-0412");
    EXPECT_EQ(report.clashes[1].kind, "row");  // and it left its point twice
    Book shop = open("shop");
    ASSERT_DONE(settleClash(shop, report.clashes[0].id, 1, stamp("T3", "2026-06-02"), "seen on the bench"));
    ASSERT_DONE(settleClash(shop, report.clashes[1].id, 1, stamp("T3", "2026-06-02"), "by the log book"));
    const auto settled = clashesOf(shop);
    for (const Clash& clash : *settled)
        EXPECT_FALSE(clash.open) << clash.subject;
    const auto plant = core::Plant::asKnown(*shop.loadRecords(), at("2026-12-31"));
    EXPECT_EQ(plant.history("K7-0412")->placementAt(at("2026-12-31"))->place, "bench");
    EXPECT_EQ(plant.history("K7-0412")->placements.front()->to, at("2026-03-05T09:00:00Z"));
    EXPECT_TRUE(shop.verify()->ok) << shop.verify()->firstBad;
}

TEST_F(MergeTest, OneKeyWithTwoContentsKeepsBothUntilSomebodySettlesIt)
{
    const auto lotOf = [](const char* standard) {
        core::Records more;
        core::Lot lot;
        lot.lot = "B4-1";
        lot.standard = standard;
        more.lots.push_back(lot);
        return more;
    };
    ASSERT_DONE(open("shop").add(lotOf("ph4.01"), stamp("T1", "2026-03-07T10:00:00Z")));
    ASSERT_DONE(open("laptop").add(lotOf("ph4.00"), stamp("T2", "2026-03-06T10:00:00Z")));
    const MergeReport report = mergeInto(folder / "shop", folder / "laptop");
    ASSERT_EQ(report.clashes.size(), 1U);
    EXPECT_EQ(report.clashes[0].subject, "lots B4-1");
    EXPECT_EQ(report.clashes[0].rows[0].text, "standard ph4.00");
    EXPECT_TRUE(report.clashes[0].rows[0].counts);  // recorded first
    const auto standard = [](const Book& book, const char* moment) {
        const auto records = book.loadRecords(at(moment));
        for (const core::Lot& lot : records->lots)
            if (lot.lot == "B4-1")
                return lot.standard;
        return std::string();
    };
    Book shop = open("shop");
    EXPECT_EQ(standard(shop, "2026-05-01"), "ph4.00");
    ASSERT_DONE(settleClash(shop, report.clashes[0].id, 2, stamp("T3", "2026-06-02"), "read off the bottle"));
    EXPECT_EQ(standard(shop, "2026-07-01"), "ph4.01");
    EXPECT_EQ(standard(shop, "2026-05-01"), "ph4.00");  // as it was known then
    // The same row, once more and equal to what counts, is no news; a third content opens the clash again.
    EXPECT_EQ(shop.add(lotOf("ph4.01"), stamp("T1", "2026-06-03"))->unchanged, 1U);
    copyBook(folder / "laptop", folder / "third");
    makeShop(folder / "other");
    ASSERT_DONE(open("other").add(lotOf("ph7.00"), stamp("T4", "2026-03-08T10:00:00Z")));
    const MergeReport again = mergeInto(folder / "shop", folder / "other");
    ASSERT_EQ(again.clashes.size(), 1U);
    EXPECT_EQ(again.clashes[0].rows.size(), 3U);
    EXPECT_EQ(standard(open("shop"), "2026-07-01"), "ph4.01");
}

TEST_F(MergeTest, OneVisitWrittenTwiceKeepsBothWhole)
{
    core::Visit visit = ordinaryVisit("round-9", "2026-03-05");
    ASSERT_DONE(open("shop").recordVisit(visit, stamp("T1", "2026-03-05T10:00:00Z")));
    visit.readings.pop_back();
    visit.readings[0].mv = -15.0;
    visit.remark = "clean";
    visit.recorded = at("2026-03-05T07:00:00Z");
    ASSERT_DONE(open("laptop").recordVisit(visit, stamp("T2", "2026-03-05T10:00:00Z")));
    const MergeReport report = mergeInto(folder / "shop", folder / "laptop");
    ASSERT_EQ(report.clashes.size(), 1U);
    EXPECT_EQ(report.clashes[0].subject, "visits round-9");
    EXPECT_NE(report.clashes[0].rows[0].text.find("readings 1 mv -15"), std::string::npos) << report.clashes[0].rows[0].text;
    Book shop = open("shop");
    EXPECT_EQ(shop.loadVisit("round-9")->readings.size(), 3U);  // never half of one and half of the other
    ASSERT_DONE(settleClash(shop, report.clashes[0].id, 2, stamp("T3", "2026-06-02"), "the paper sheet"));
    EXPECT_EQ(shop.loadVisit("round-9")->readings.size(), 4U);
    EXPECT_EQ(*shop.loadVisit("round-9")->readings[0].mv, -13.0);
    EXPECT_TRUE(shop.verify()->ok) << shop.verify()->firstBad;
}

TEST_F(MergeTest, WhatCannotBeTrustedIsRefused)
{
    Book shop = open("shop");
    const BookStamp now = stamp("M1", "2026-06-01");
    EXPECT_EQ(mergeFrom(shop, folder / "none", now).error().code, Errc::CannotRead);
    EXPECT_EQ(mergeFrom(shop, folder / "shop", now).error().code, Errc::BadInput);
    {
        auto connection = Connection::open(folder / "laptop", Connection::Mode::ReadWrite);
        ASSERT_DONE(connection);
        (*connection)->run("DROP TRIGGER readings_no_update");
        (*connection)->run("UPDATE readings SET mv = -14 WHERE visit = 'v1' AND seq = 1");
    }
    const auto damaged = mergeFrom(shop, folder / "laptop", now);
    ASSERT_FALSE(damaged.has_value());
    EXPECT_EQ(damaged.error().code, Errc::DamagedBook);
    EXPECT_NE(damaged.error().detail.find("v1"), std::string::npos);
    EXPECT_EQ(shop.info()->entries, open("shop").info()->entries);
}

}  // namespace
}  // namespace halfcell::db
