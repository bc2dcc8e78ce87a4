#include "db/connection/guarded.h"
#include "db/stores/child_store.h"
#include "tests/db/support/book_fixture.h"

namespace halfcell::db {
namespace {

using namespace testing;

template <class Row>
Row throughSlots(const Row& row)
{
    RowSlots<Row> slots;
    slots.fill(row);
    Row back;
    slots.read(back);
    return back;
}

TEST(RowSlots, GiveBackEveryFieldOfEveryRow)
{
    const core::Records shop = smallShop();
    for (const auto& row : shop.points)
        EXPECT_EQ(throughSlots(row), row);
    for (const auto& row : shop.models)
        EXPECT_EQ(throughSlots(row), row);
    for (const auto& row : shop.people)
        EXPECT_EQ(throughSlots(row), row);
    for (const auto& row : shop.lots)
        EXPECT_EQ(throughSlots(row), row);
    const core::Visit visit = ordinaryVisit("v1", "2025-03-02");
    for (const auto& row : visit.readings)
        EXPECT_EQ(throughSlots(row), row);
    for (const auto& row : visit.checks)
        EXPECT_EQ(throughSlots(row), row);
}

TEST(RowSlots, TellAnAnswerFromNothing)
{
    core::Check check;
    check.when = at("2025-03-02T08:00:00+05:30");
    check.stir_ph = core::NoAnswer::NotPossible;
    check.noise_mv = core::NoAnswer::NotDone;
    check.glass_mohm = 120.0;
    const core::Check back = throughSlots(check);
    EXPECT_EQ(back, check);
    EXPECT_EQ(back.when.offsetMinutes, 330);
    EXPECT_TRUE(back.dilution_ph.blank());
}

TEST(RowSlots, RefuseWordsNobodyKnows)
{
    RowSlots<core::Action> slots;
    core::Action action;
    slots.fill(action);
    slots.named("action")->set(std::string_view("rinse"));
    core::Action back;
    const auto read = guarded([&] { slots.read(back); });
    EXPECT_EQ(read.error().code, core::Errc::DamagedBook);
    slots.fill(action);
    slots.named("unanswered")->set(std::string_view("minutes=perhaps"));
    EXPECT_EQ(guarded([&] { slots.read(back); }).error().code, core::Errc::DamagedBook);
    slots.named("unanswered")->set(std::string_view("hours=not_done"));
    EXPECT_EQ(guarded([&] { slots.read(back); }).error().code, core::Errc::DamagedBook);
}

TEST(Content, IsTheSameForTheSameAndDiffersForTheRest)
{
    const auto content = [](const core::Reading& row) {
        RowSlots<core::Reading> slots;
        slots.fill(row);
        std::string text;
        appendContent(text, "readings", slots.slots(), slots.names());
        return text;
    };
    core::Reading r = reading("2025-03-02T08:00:00Z", core::Phase::AsFound, "ph7.00", -0.0);
    r.dip = 1;
    core::Reading same = r;
    same.mv = 0.0;
    EXPECT_EQ(content(r), content(same));
    EXPECT_EQ(content(r), "[readings]when_s=10:1740902400;when_offset_min=1:0;phase=8:as_found;standard=6:ph7.00;mv=1:0;temp_degc=2:25;dip=1:1;"
                          "recorded_s=10:1740902400;recorded_offset_min=1:0;");
    same.lot = "a;b=1:c";
    EXPECT_NE(content(r), content(same));
    same.lot.reset();
    same.wait_s = core::NoAnswer::NotDone;
    EXPECT_NE(content(r), content(same));
}

}  // namespace
}  // namespace halfcell::db
