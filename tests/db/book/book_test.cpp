#include "db/book/visit_key.h"
#include "tests/db/support/book_fixture.h"

#include <set>

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

const BookStamp kStamp{.person = "T1", .now = at("2026-03-02T08:00:00Z")};

class BookTest : public ::testing::Test {
protected:
    void SetUp() override
    {
        auto made = Book::create(file, kStamp);
        ASSERT_DONE(made);
        book.emplace(std::move(*made));
        const auto added = book->add(smallShop(), kStamp);
        ASSERT_DONE(added);
        ASSERT_EQ(added->added, 18U);
    }
    void reopen(OpenMode mode = OpenMode::ReadWrite)
    {
        book.reset();
        auto opened = Book::open(file, mode);
        ASSERT_DONE(opened);
        book.emplace(std::move(*opened));
    }
    Folder folder;
    std::filesystem::path file = folder / "shop.halfcell";
    std::optional<Book> book;
};

TEST_F(BookTest, GivesBackTheRowsItWasGiven)
{
    core::Records given = smallShop();
    given.visits.push_back(ordinaryVisit("v1", "2025-03-02"));
    ASSERT_DONE(book->add(given, kStamp));
    reopen();
    const auto records = book->loadRecords();
    ASSERT_DONE(records);
    core::Records expected = given;
    expected.visits[0].tag = "AE-3107";  // from the placement
    for (core::Reading& r : expected.visits[0].readings)
        r.dip = 1;
    EXPECT_EQ(*records, expected);
    EXPECT_EQ(records->placements[0].from.offsetMinutes, 60);
    EXPECT_EQ(records->visits[0].readings[1].t90_s.why, core::NoAnswer::NotDone);
}

TEST_F(BookTest, AddingTwiceChangesNothing)
{
    core::Records given = smallShop();
    given.visits.push_back(ordinaryVisit("v1", "2025-03-02"));
    ASSERT_DONE(book->add(given, kStamp));
    const auto before = book->info();
    const auto again = book->add(given, kStamp);
    ASSERT_DONE(again);
    EXPECT_EQ(again->added, 0U);
    EXPECT_EQ(again->unchanged, 19U);
    EXPECT_EQ(book->info()->head, before->head);
}

TEST_F(BookTest, RefusesTheSameKeyWithOtherContentAndWritesNothing)
{
    core::Records given;
    core::Site fresh;
    fresh.site = "Cinder Lane";
    given.sites.push_back(fresh);
    core::Site changed;
    changed.site = "Saltmarsh";
    changed.note = "moved";
    given.sites.push_back(changed);
    const auto refused = book->add(given, kStamp);
    ASSERT_FALSE(refused.has_value());
    EXPECT_EQ(refused.error().code, Errc::Conflict);
    EXPECT_EQ(refused.error().field, "note");
    EXPECT_EQ(book->loadReference()->sites.size(), 1U);
}

TEST_F(BookTest, RecordsAVisitOnceAndKnowsItAgain)
{
    const auto first = book->recordVisit(ordinaryVisit("v1", "2025-03-02"), kStamp);
    ASSERT_DONE(first);
    EXPECT_FALSE(first->unchanged);
    EXPECT_EQ(first->visit.tag, "AE-3107");
    const auto again = book->recordVisit(ordinaryVisit("v1", "2025-03-02"), kStamp);
    ASSERT_DONE(again);
    EXPECT_TRUE(again->unchanged);
    core::Visit other = ordinaryVisit("v1", "2025-03-02");
    other.readings[1].mv = -175.0;
    EXPECT_EQ(book->recordVisit(other, kStamp).error().code, Errc::Conflict);
    other = ordinaryVisit("v1", "2025-03-02");
    other.actions.pop_back();
    EXPECT_EQ(book->recordVisit(other, kStamp).error().code, Errc::Conflict);
    other = ordinaryVisit("v1", "2025-03-02");
    other.remark.reset();
    EXPECT_EQ(book->recordVisit(other, kStamp).error().code, Errc::Conflict);
    EXPECT_EQ(book->loadVisit("v1")->readings[1].mv, -176.0);
}

TEST_F(BookTest, GivesAKeyToAVisitWithoutOne)
{
    const auto first = book->recordVisit(ordinaryVisit("", "2025-03-02"), kStamp);
    const auto second = book->recordVisit(ordinaryVisit("", "2025-03-03"), kStamp);
    ASSERT_DONE(first);
    ASSERT_DONE(second);
    EXPECT_EQ(first->visit.visit.size(), 36U);
    EXPECT_EQ(first->visit.visit[14], '7');
    EXPECT_LT(first->visit.visit, second->visit.visit);
}

TEST_F(BookTest, RefusesWhatNobodyKnows)
{
    core::Visit v = ordinaryVisit("v1", "2025-03-02");
    v.serial = "K7-9999";
    auto refused = book->recordVisit(v, kStamp);
    EXPECT_EQ(refused.error().code, Errc::NotFound);
    EXPECT_EQ(refused.error().field, "serial");
    v = ordinaryVisit("v1", "2025-03-02");
    v.tag = "AE-9";
    EXPECT_EQ(book->recordVisit(v, kStamp).error().field, "tag");
    v = ordinaryVisit("v1", "2025-03-02");
    v.readings[0].standard = "ph7";
    refused = book->recordVisit(v, kStamp);
    EXPECT_EQ(refused.error().field, "standard");
    EXPECT_FALSE(refused.error().remedy.empty());
    v = ordinaryVisit("v1", "2025-03-02");
    v.readings[0].mv.reset();
    EXPECT_EQ(book->recordVisit(v, kStamp).error().field, "mv");
    v.readings[0].why_missing = "cable torn";
    v.readings[1].standard = "house9";
    v.readings[2].standard = "value:6.4";
    EXPECT_TRUE(book->recordVisit(v, kStamp).has_value());
    EXPECT_EQ(book->loadVisit("v9").error().code, Errc::NotFound);
}

TEST_F(BookTest, KeepsCorrectionsBesideTheRow)
{
    ASSERT_DONE(book->recordVisit(ordinaryVisit("v1", "2025-03-02"), kStamp));
    core::Correction c;
    c.visit = "v1";
    c.table = "readings";
    c.row = 2;
    c.field = "mv";
    c.old_value = "-176";
    c.new_value = "-167";
    c.why = "digits swapped";
    ASSERT_DONE(book->correct(c, kStamp));
    EXPECT_EQ(book->loadVisit("v1")->readings[1].mv, -176.0);
    EXPECT_EQ(book->correct(c, kStamp).error().code, Errc::Conflict);  // -167 stands there now
    c.old_value = "-167";
    c.new_value = "-168";
    ASSERT_DONE(book->correct(c, kStamp));
    c.row = 9;
    EXPECT_EQ(book->correct(c, kStamp).error().code, Errc::NotFound);
    c.row = 1;
    c.table = "visits";
    c.field = "serial";
    c.old_value = "K7-0412";
    c.new_value = "K7-9999";
    EXPECT_EQ(book->correct(c, kStamp).error().code, Errc::NotFound);
    c.new_value = "K7-0431";
    ASSERT_DONE(book->correct(c, kStamp));
    const auto records = book->loadRecords();
    ASSERT_DONE(records);
    ASSERT_EQ(records->corrections.size(), 3U);
    EXPECT_EQ(records->corrections[1].new_value, "-168");
    EXPECT_EQ(records->corrections[0].person, "T1");
    const auto moved = book->loadSensorRecords("K7-0431");
    ASSERT_DONE(moved);
    ASSERT_EQ(moved->visits.size(), 1U);
    EXPECT_EQ(moved->corrections.size(), 3U);
    const auto plant = core::Plant::asKnown(*moved, at("2026-04-01"));
    EXPECT_EQ(plant.history("K7-0431")->visits.size(), 1U);
    EXPECT_TRUE(plant.history("K7-0412")->visits.empty());
}

TEST_F(BookTest, MovesASensorByNewRows)
{
    const core::Instant when = at("2026-03-01T10:00:00Z");
    auto refused = book->moveSensor("K7-0412", "shelf", when, std::nullopt, kStamp);
    EXPECT_EQ(refused.error().field, "reason_removed");
    ASSERT_DONE(book->moveSensor("K7-0412", "shelf", when, core::RemovalReason::Slow, kStamp));
    ASSERT_DONE(book->moveSensor("K7-0431", "AE-3107", when, std::nullopt, kStamp));
    EXPECT_EQ(book->moveSensor("K7-0431", "AE-3107", when, std::nullopt, kStamp).error().code, Errc::Conflict);
    EXPECT_EQ(book->moveSensor("K7-0431", "nowhere", when, std::nullopt, kStamp).error().code, Errc::NotFound);
    EXPECT_EQ(book->moveSensor("K7-0412", "AE-3109", at("2025-01-01"), std::nullopt, kStamp).error().code, Errc::BadInput);
    const auto records = book->loadReference();
    ASSERT_DONE(records);
    ASSERT_EQ(records->placements.size(), 5U);
    EXPECT_EQ(records->placements[0].to, when);
    EXPECT_EQ(records->placements[0].reason_removed, core::RemovalReason::Slow);
    EXPECT_EQ(records->placements[1].place, "shelf");
    // Before the end was recorded the placement was open, even for times after the end.
    const auto before = book->loadRecords(at("2026-03-01T12:00:00Z"));
    ASSERT_DONE(before);
    EXPECT_FALSE(before->placements[0].to.has_value());
    EXPECT_TRUE(book->loadRecords(at("2026-03-02T08:00:00Z"))->placements[0].to.has_value());
    // The whole shop given again differs from what stands now.
    EXPECT_EQ(book->add(smallShop(), kStamp).error().code, Errc::Conflict);
}

TEST_F(BookTest, WritesDownASwapThatWasFound)
{
    FoundSwap found{.inHand = "K7-0431",
                    .displaced = "K7-0412",
                    .point = "AE-3107",
                    .displacedTo = "AE-3109",
                    .when = at("2026-03-01T10:00:00Z"),
                    .dayKnown = false};
    const auto with = [&](auto change) {
        FoundSwap other = found;
        change(other);
        return book->settleSwap(other, kStamp);
    };
    EXPECT_EQ(with([](FoundSwap& f) { f.inHand = "K9"; }).error().code, Errc::NotFound);
    EXPECT_EQ(with([](FoundSwap& f) { f.displacedTo = "nowhere"; }).error().code, Errc::NotFound);
    EXPECT_EQ(with([](FoundSwap& f) { f.point = "shelf"; }).error().code, Errc::BadInput);
    EXPECT_EQ(with([](FoundSwap& f) { f.displaced = f.inHand; }).error().code, Errc::BadInput);
    EXPECT_EQ(with([](FoundSwap& f) { std::swap(f.inHand, f.displaced); }).error().code, Errc::Conflict);
    EXPECT_EQ(with([](FoundSwap& f) { f.when = at("2020-01-01"); }).error().code, Errc::BadInput);
    const auto entries = book->journal()->size();
    ASSERT_DONE(book->settleSwap(found, kStamp));
    EXPECT_GT(book->journal()->size(), entries);
    EXPECT_EQ(book->settleSwap(found, kStamp).error().code, Errc::Conflict);
    const auto records = book->loadReference();
    ASSERT_DONE(records);
    int open = 0;
    for (const core::Placement& p : records->placements)
        if (!p.to && (p.serial == "K7-0431" || p.serial == "K7-0412")) {
            ++open;
            EXPECT_EQ(p.place, p.serial == "K7-0431" ? "AE-3107" : "AE-3109");
            EXPECT_LT(p.from, found.when);
            EXPECT_EQ(p.from_latest, found.when);
        }
    EXPECT_EQ(open, 2);
    EXPECT_TRUE(book->verify()->ok);
}

TEST_F(BookTest, ClosesHoldsAndOpensBottlesByNewRows)
{
    const core::Instant from = at("2025-03-02T08:12:00Z");
    EXPECT_EQ(book->closeHold("AE-3107", from, at("2025-03-02T07:00:00Z"), "T1", core::HoldClosed::Auto, kStamp).error().code,
              Errc::BadInput);
    ASSERT_DONE(book->closeHold("AE-3107", from, at("2025-03-02T09:30:00Z"), "T2", core::HoldClosed::Auto, kStamp));
    EXPECT_EQ(book->closeHold("AE-3107", from, at("2025-03-02T09:40:00Z"), "T2", core::HoldClosed::Auto, kStamp).error().code,
              Errc::Conflict);
    EXPECT_EQ(book->closeHold("AE-3109", from, from, "T2", core::HoldClosed::Auto, kStamp).error().code, Errc::NotFound);
    ASSERT_DONE(book->openLot("B7-2231", at("2025-03-01"), kStamp));
    EXPECT_EQ(book->openLot("B7-2231", at("2025-03-01"), kStamp).error().code, Errc::Conflict);
    EXPECT_EQ(book->openLot("B9", at("2025-03-01"), kStamp).error().code, Errc::NotFound);
    EXPECT_EQ(book->discardLot("B7-2231", at("2025-02-01"), kStamp).error().code, Errc::BadInput);
    ASSERT_DONE(book->discardLot("B7-2231", at("2025-05-01"), kStamp));
    ASSERT_DONE(book->endPart("R2-0007", core::Part::Electrolyte, at("2025-02-01"), at("2025-08-01"), kStamp));
    const auto records = book->loadReference();
    ASSERT_DONE(records);
    EXPECT_EQ(records->holds[0].closed_by, "T2");
    EXPECT_EQ(records->lots[0].opened, at("2025-03-01"));
    EXPECT_EQ(records->lots[0].discarded, at("2025-05-01"));
    EXPECT_EQ(records->parts[0].to, at("2025-08-01"));
}

TEST_F(BookTest, KeepsDraftsOverAKill)
{
    Draft draft{.id = "d1",
                .serial = "K7-0412",
                .tag = "AE-3107",
                .person = "T1",
                .kept = at("2026-03-02T08:41:07Z"),
                .fields = 7,
                .content = R"({"mv":"-1"})"};
    ASSERT_DONE(book->keepDraft(draft));
    draft.fields = 8;
    ASSERT_DONE(book->keepDraft(draft));
    // A second connection sees it without the first being closed, as after a kill.
    auto other = Book::open(file, OpenMode::ReadWrite);
    ASSERT_DONE(other);
    const auto drafts = other->drafts();
    ASSERT_DONE(drafts);
    ASSERT_EQ(drafts->size(), 1U);
    EXPECT_EQ((*drafts)[0].fields, 8);
    EXPECT_EQ((*drafts)[0].content, R"({"mv":"-1"})");
    ASSERT_DONE(other->dropDraft("d1"));
    EXPECT_TRUE(book->drafts()->empty());
}

TEST_F(BookTest, TwoConnectionsWriteOneChain)
{
    auto other = Book::open(file, OpenMode::ReadWrite);
    ASSERT_DONE(other);
    for (int i = 0; i < 5; ++i) {
        ASSERT_DONE(book->recordVisit(ordinaryVisit("a" + std::to_string(i), "2025-03-02"), kStamp));
        ASSERT_DONE(other->recordVisit(ordinaryVisit("b" + std::to_string(i), "2025-03-02"), kStamp));
    }
    EXPECT_EQ(book->loadRecords()->visits.size(), 10U);
    const auto entries = book->journal();
    ASSERT_DONE(entries);
    std::set<std::string> hashes;
    for (std::size_t i = 0; i < entries->size(); ++i) {
        EXPECT_EQ((*entries)[i].seq, static_cast<std::int64_t>(i) + 1);
        hashes.insert((*entries)[i].hash);
    }
    EXPECT_EQ(hashes.size(), entries->size());
    EXPECT_EQ(book->info()->head, other->info()->head);
}

TEST_F(BookTest, ReadOnlyWritesNothing)
{
    reopen(OpenMode::ReadOnly);
    EXPECT_EQ(book->recordVisit(ordinaryVisit("v1", "2025-03-02"), kStamp).error().code, Errc::CannotWrite);
    EXPECT_EQ(book->loadRecords()->sensors.size(), 3U);
}

TEST_F(BookTest, AdoptsRulesByVersion)
{
    const auto adoptions = book->ruleAdoptions();
    ASSERT_DONE(adoptions);
    ASSERT_EQ(adoptions->size(), 1U);
    const auto rules = book->rulesAt(at("2020-01-01"));
    ASSERT_DONE(rules);
    EXPECT_EQ(rules->id(), core::RuleSet::shipped().id());
    ASSERT_DONE(book->adoptRules(*rules, {.person = "M1", .now = at("2026-04-01")}, "back to the shipped set"));
    EXPECT_EQ(book->ruleAdoptions()->size(), 2U);
}

TEST(Books, AreRefusedInPlainWords)
{
    Folder folder;
    EXPECT_EQ(Book::open(folder / "none.halfcell", OpenMode::ReadWrite).error().code, Errc::CannotRead);
    EXPECT_FALSE(std::filesystem::exists(folder / "none.halfcell"));
    const auto made = Book::create(folder / "a b=c.halfcell", kStamp);
    ASSERT_DONE(made);
    EXPECT_EQ(Book::create(folder / "a b=c.halfcell", kStamp).error().code, Errc::Conflict);
    EXPECT_EQ(Book::create(folder / "no/such/folder.halfcell", kStamp).error().code, Errc::CannotWrite);
    EXPECT_EQ(made->info()->visits, 0U);
    EXPECT_EQ(made->info()->entries, 2);
    EXPECT_TRUE(made->info()->wal);
}

TEST(VisitKeys, AscendWhateverTheClockDoes)
{
    std::string last;
    for (int i = 0; i < 20000; ++i) {
        const std::string key = newVisitKey({1'700'000'000 - i / 100, 0});
        ASSERT_EQ(key.size(), 36U);
        ASSERT_LT(last, key);
        ASSERT_EQ(key[14], '7');
        ASSERT_NE(std::string("89ab").find(key[19]), std::string::npos);
        last = key;
    }
}

}  // namespace
}  // namespace halfcell::db
