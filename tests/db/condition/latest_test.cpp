#include "core/overview/overview.h"
#include "db/book/book_impl.h"
#include "db/condition/condition.h"
#include "tests/db/support/book_fixture.h"
#include "tests/support/records/wrong_bottle.h"

namespace halfcell::db {
namespace {

using namespace testing;

const BookStamp kStamp{.person = "T1", .now = at("2025-06-02T08:00:00Z")};

class LatestTest : public ::testing::Test {
protected:
    void SetUp() override
    {
        auto made = Book::create(file, kStamp);
        ASSERT_DONE(made);
        book.emplace(std::move(*made));
        ASSERT_DONE(book->add(smallShop(), kStamp));
        ASSERT_DONE(book->recordVisit(ordinaryVisit("v1", "2025-03-02"), kStamp));
        ASSERT_DONE(book->recordVisit(ordinaryVisit("v2", "2025-05-02"), kStamp));
    }
    LatestState state(std::string_view serial, const Book& of)
    {
        const auto states = of.latestStates();
        EXPECT_TRUE(states.has_value());
        for (const LatestState& s : *states)
            if (s.serial == serial)
                return s;
        ADD_FAILURE() << "no state of " << serial;
        return {};
    }
    LatestState state(std::string_view serial) { return state(serial, *book); }
    std::int64_t stored(const std::string& sql) { return book->impl().connection->number(sql); }

    Folder folder;
    std::filesystem::path file = folder / "shop.halfcell";
    std::optional<Book> book;
};

TEST_F(LatestTest, SaysWhatTheOverviewSays)
{
    const LatestState s = state("K7-0412");
    const auto overview = core::overviewOf(*book->loadRecords(), *book->rulesAt(kStamp.now), kStamp.now);
    const core::Assessment* a = overview.assessment("K7-0412");
    ASSERT_NE(a, nullptr);
    ASSERT_TRUE(a->figures.has_value());
    EXPECT_EQ(s.efficiency_pct, a->figures->efficiency_pct);
    EXPECT_EQ(s.offset_mv, a->figures->offset_mv);
    EXPECT_EQ(s.verdict, a->verdict);
    EXPECT_EQ(s.signal, a->signal);
    EXPECT_EQ(s.phase, core::Phase::AsLeft);
    EXPECT_EQ(s.place, "AE-3107");
    EXPECT_EQ(s.tag, "AE-3107");
    EXPECT_EQ(s.area, "Neutralisation");
    EXPECT_EQ(s.measured, a->measured);
    EXPECT_EQ(s.lastAsLeft.size(), 2U);
    EXPECT_EQ(s.kind, "ph");
    EXPECT_EQ(s.engine, kEngineVersion);
    EXPECT_EQ(state("K7-0431").verdict, core::Verdict::NotEnoughData);
    EXPECT_EQ(state("K7-0431").place, "shelf");
    EXPECT_FALSE(state("K7-0431").efficiency_pct.has_value());
}

TEST_F(LatestTest, OneSensorAloneIsJudgedAsAmongAll)
{
    const auto all = core::overviewOf(*book->loadRecords(), *book->rulesAt(kStamp.now), kStamp.now);
    auto records = aloneWith(*book->loadReference(), "K7-0412");
    const auto own = book->loadSensorRecords("K7-0412");
    records.visits = own->visits;
    records.legacy = own->legacy;
    records.corrections = own->corrections;
    const auto alone = core::overviewOf(std::move(records), *book->rulesAt(kStamp.now), kStamp.now);
    ASSERT_EQ(latestStatesOf(alone).size(), 1U);
    EXPECT_EQ(latestStatesOf(alone)[0], latestStatesOf(all)[0]);
    EXPECT_EQ(storedFiguresOf(alone, 0), storedFiguresOf(all, 0));
}

/// Five sensors that were well, then read with pH 6.86 in the beaker marked 7.00, and written down one after the other.
TEST(LatestOfARound, OneByOneIsJudgedAsAllTogetherAndTheBottleIsNamedForAll)
{
    using test::kRoundSensors, test::roundSerial, test::roundVisit;
    Folder folder;
    auto book = Book::create(folder / "round.halfcell", kStamp);
    ASSERT_DONE(book);
    ASSERT_DONE(book->add(test::roundShop(at("2025-01-01")), kStamp));
    for (const char* day : {"2025-02-03T04:00:00Z", "2025-03-03T04:00:00Z", "2025-04-07T04:00:00Z"})
        for (int i = 0; i < kRoundSensors; ++i)
            ASSERT_DONE(book->recordVisit(roundVisit(i, core::addDays(at(day), 0.04 * i), core::Phase::AsLeft, "ph7.00"), kStamp));
    ASSERT_TRUE(book->latestStates());
    for (int i = 0; i < kRoundSensors; ++i) {
        const core::Instant when = core::addDays(at("2025-05-12T04:00:00Z"), 0.04 * i);
        ASSERT_DONE(book->recordVisit(roundVisit(i, when, core::Phase::AsFound, "ph6.86"), kStamp));
        ASSERT_TRUE(book->latestStates());  // somebody looks at the fleet after every visit
    }
    const auto states = *book->latestStates();
    const auto all = core::overviewOf(*book->loadRecords(), *book->rulesAt(kStamp.now), kStamp.now);
    EXPECT_EQ(states, latestStatesOf(all));
    ASSERT_EQ(states.size(), static_cast<std::size_t>(kRoundSensors));
    for (const LatestState& s : states)
        EXPECT_EQ(s.verdict, core::Verdict::CheckStandards) << s.serial << ": " << s.sentence;
    // So does whoever opens one sensor alone; without the others the bottle is not seen.
    const auto one = core::overviewOf(*book->loadSensorAndRound(roundSerial(0), kStamp.now), *book->rulesAt(kStamp.now), kStamp.now);
    EXPECT_EQ(one.assessment(roundSerial(0))->sentence, all.assessment(roundSerial(0))->sentence);
    const auto alone = core::overviewOf(*book->loadSensorRecords(roundSerial(0)), *book->rulesAt(kStamp.now), kStamp.now);
    EXPECT_NE(alone.assessment(roundSerial(0))->sentence, all.assessment(roundSerial(0))->sentence);
}

TEST_F(LatestTest, FollowsTheJournal)
{
    const double before = *state("K7-0412").efficiency_pct;
    EXPECT_EQ(stored("SELECT count(*) FROM latest_state"), 3);
    EXPECT_EQ(stored("SELECT count(*) FROM visit_figures"), 4);
    core::Visit v = ordinaryVisit("v3", "2025-06-01");
    v.readings[3].mv = -165.0;
    ASSERT_DONE(book->recordVisit(v, kStamp));
    const double after = *state("K7-0412").efficiency_pct;
    EXPECT_LT(after, before - 3.0);
    // A correction changes the figure; the row stays.
    core::Correction c;
    c.visit = "v3";
    c.table = "readings";
    c.row = 4;
    c.field = "mv";
    c.old_value = "-165";
    c.new_value = "-181.5";
    c.why = "misread";
    ASSERT_DONE(book->correct(c, kStamp));
    EXPECT_NEAR(*state("K7-0412").efficiency_pct, before, 1e-9);
    // A move changes the place.
    ASSERT_DONE(book->moveSensor("K7-0412", "bench", at("2025-06-02T07:00:00Z"), core::RemovalReason::Slow, kStamp));
    EXPECT_EQ(state("K7-0412").place, "bench");
    EXPECT_EQ(state("K7-0412").tag, "");
    EXPECT_EQ(stored("SELECT count(*) FROM meta WHERE key = 'latest_through'"), 1);
    EXPECT_EQ(book->impl().metaValue("latest_through"), std::to_string(book->info()->entries));
}

TEST_F(LatestTest, AVisitGivenToAnotherSensorChangesBoth)
{
    EXPECT_TRUE(state("K7-0412").measured == at("2025-05-02T09:10:00+01:00") || state("K7-0412").measured.has_value());
    core::Correction c;
    c.visit = "v2";
    c.table = "visits";
    c.field = "serial";
    c.old_value = "K7-0412";
    c.new_value = "K7-0431";
    c.why = "the other sensor";
    ASSERT_DONE(book->correct(c, kStamp));
    EXPECT_TRUE(state("K7-0431").efficiency_pct.has_value());
    EXPECT_EQ(core::formatDate(*state("K7-0412").measured), "2025-03-02");
    EXPECT_EQ(core::formatDate(*state("K7-0431").measured), "2025-05-02");
}

TEST_F(LatestTest, IsRightEvenWhereNothingCanBeWritten)
{
    ASSERT_DONE(book->refreshLatest({}, kStamp.now));
    ASSERT_DONE(book->recordVisit(ordinaryVisit("v3", "2025-06-01"), kStamp));
    auto reader = Book::open(file, OpenMode::ReadOnly);
    ASSERT_DONE(reader);
    EXPECT_EQ(core::formatDate(*state("K7-0412", *reader).measured), "2025-06-01");
    EXPECT_EQ(stored("SELECT count(*) FROM visit_figures"), 4);  // not kept
    EXPECT_EQ(reader->refreshLatest({}, kStamp.now).error().code, core::Errc::CannotWrite);
}

TEST_F(LatestTest, RebuildFindsADerivedFigureThatIsWrong)
{
    ASSERT_DONE(book->refreshLatest({}, kStamp.now));
    auto report = book->rebuild(kStamp.now);
    ASSERT_DONE(report);
    EXPECT_EQ(report->rebuilt, 3U);
    EXPECT_TRUE(report->different.empty());
    book->impl().connection->run("UPDATE visit_figures SET efficiency_pct = 99.9 WHERE visit = 'v1' AND phase = 'as_left'");
    report = book->rebuild(kStamp.now);
    ASSERT_DONE(report);
    EXPECT_EQ(report->different, (std::vector<std::string>{"K7-0412"}));
    EXPECT_TRUE(book->rebuild(kStamp.now)->different.empty());
}

TEST_F(LatestTest, ChangesThatConcernAllRenewAll)
{
    (void)state("K7-0412");
    core::Hold hold;
    hold.point = "AE-3107";
    hold.from = at("2025-06-02T07:30:00Z");
    ASSERT_DONE(book->openHold(hold, kStamp));
    EXPECT_EQ(state("K7-0412").signal, core::Signal::FunctionCheck);
    ASSERT_DONE(book->closeHold("AE-3107", hold.from, at("2025-06-02T07:40:00Z"), "T1", core::HoldClosed::Auto, kStamp));
    EXPECT_EQ(state("K7-0412").signal, core::Signal::FunctionCheck);  // the shop's older hold is still open
    ASSERT_DONE(book->closeHold("AE-3107", at("2025-03-02T08:12:00Z"), at("2025-06-02T07:45:00Z"), "T1", core::HoldClosed::Auto, kStamp));
    EXPECT_NE(state("K7-0412").signal, core::Signal::FunctionCheck);
    ASSERT_DONE(book->openLot("B7-2231", at("2025-06-01"), kStamp));
    EXPECT_EQ(book->latestStates()->size(), 3U);
}

}  // namespace
}  // namespace halfcell::db
