#include "db/book/book_impl.h"
#include "tests/db/support/book_fixture.h"

namespace halfcell::db {
namespace {

using namespace testing;

const BookStamp kStamp{.person = "T1", .now = at("2026-03-02T08:00:00Z")};

class VisitStoreTest : public ::testing::Test {
protected:
    void SetUp() override
    {
        auto made = Book::create(folder / "shop.halfcell", kStamp);
        ASSERT_DONE(made);
        book.emplace(std::move(*made));
        core::Records shop = smallShop();
        // Keys in another order than times, and two sensors.
        const char* visits[][3] = {{"c", "2025-03-02", "K7-0412"}, {"a", "2025-05-02", "K7-0412"}, {"b", "2025-04-02", "K7-0431"}};
        for (const auto& [key, day, serial] : visits) {
            core::Visit v = ordinaryVisit(key, day);
            v.serial = serial;
            shop.visits.push_back(v);
        }
        ASSERT_DONE(book->add(shop, kStamp));
    }
    Folder folder;
    std::optional<Book> book;
};

TEST_F(VisitStoreTest, AllComeByTimeWithTheirOwnRows)
{
    const auto records = book->loadRecords();
    ASSERT_DONE(records);
    ASSERT_EQ(records->visits.size(), 3U);
    EXPECT_EQ(records->visits[0].visit, "c");
    EXPECT_EQ(records->visits[1].visit, "b");
    EXPECT_EQ(records->visits[2].visit, "a");
    for (const core::Visit& visit : records->visits) {
        EXPECT_EQ(visit.readings.size(), 4U);
        EXPECT_EQ(visit.actions.size(), 2U);
        EXPECT_EQ(core::formatDate(visit.readings[0].when), core::formatDate(visit.when));
    }
}

TEST_F(VisitStoreTest, OneSensorsHistoryIsTheSameAsInTheWhole)
{
    const auto all = book->loadRecords();
    const auto one = book->loadSensorRecords("K7-0412");
    ASSERT_DONE(all);
    ASSERT_DONE(one);
    std::vector<core::Visit> expected;
    for (const core::Visit& visit : all->visits)
        if (visit.serial == "K7-0412")
            expected.push_back(visit);
    EXPECT_EQ(one->visits, expected);
    EXPECT_EQ(one->placements.size(), 1U);
    EXPECT_EQ(one->legacy.size(), 1U);
    EXPECT_EQ(one->sensors.size(), 3U);
}

TEST_F(VisitStoreTest, ReadsOneSensorsReadingsInTheOrderOfTime)
{
    std::vector<std::string> visits;
    book->impl().visits.readingsOfSensor("K7-0412", [&](std::string_view visit, core::Reading&&) { visits.emplace_back(visit); });
    EXPECT_EQ(visits, (std::vector<std::string>{"c", "c", "c", "c", "a", "a", "a", "a"}));
}

TEST_F(VisitStoreTest, SearchFindsKeysFirstThenRemarks)
{
    core::Visit v = ordinaryVisit("d", "2025-06-02");
    v.remark = "K7-0412 smelled of sulfide";
    ASSERT_DONE(book->recordVisit(v, kStamp));
    const auto hits = book->search("k7-0412", 10);
    ASSERT_DONE(hits);
    ASSERT_GE(hits->size(), 2U);
    EXPECT_EQ((*hits)[0].kind, "sensor");
    EXPECT_EQ((*hits)[0].key, "K7-0412");
    EXPECT_EQ((*hits)[1].kind, "remark");
    EXPECT_EQ((*hits)[1].key, "d");
    EXPECT_EQ(book->search("0431", 10)->front().key, "K7-0431");
    EXPECT_EQ(book->search("3109", 10)->front().kind, "point");
    EXPECT_EQ(book->search("came off with", 10)->size(), 3U);
    EXPECT_EQ(book->search("came off with", 2)->size(), 2U);
    EXPECT_TRUE(book->search("100%_\"' OR 1", 10)->empty());
    EXPECT_TRUE(book->search("", 10)->empty());
    EXPECT_EQ(book->search("B7-2231", 10)->front().kind, "lot");
}

}  // namespace
}  // namespace halfcell::db
