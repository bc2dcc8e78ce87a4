#include "app/bench/bench_model.h"
#include "app/bench/visit_draft.h"
#include "tests/app/bench/bench_fixture.h"

#include <gtest/gtest.h>

namespace halfcell::app::bench {
namespace {

using namespace core;

VisitDraft halfTyped()
{
    test::Hand keep;
    test::Typist hand(keep.get());
    hand.space();
    hand.take("9.24");
    hand.enter();
    hand.take("31.5");
    hand.press('2');
    hand.press('I');
    hand.wait(120);
    hand.take("-13");
    hand.take("19.0");
    hand.wait(120);
    hand.take("-176");
    hand.press('D');
    hand.press('6');
    hand.press('A');
    hand.press('Y');
    hand.enter();
    hand.type("-1");                    // being typed when the power went
    return hand.model().draft();
}

TEST(VisitDraft, ComesBackFromItsJsonAsItWas)
{
    const VisitDraft draft = halfTyped();
    const auto back = draftFromJson(toJson(draft));
    ASSERT_TRUE(back) << back.error().detail;
    EXPECT_EQ(*back, draft);
}

TEST(VisitDraft, GoesOnAtTheFirstUnansweredField)
{
    test::Hand keep;
    BenchModel model(halfTyped(), keep.get());
    EXPECT_EQ(model.stop(), (Stop{StopKind::Mv, Phase::AfterClean, 0}));
    EXPECT_EQ(model.typed(model.stop()), "-1");
}

TEST(VisitDraft, RefusesATextThatIsNoDraft)
{
    EXPECT_FALSE(draftFromJson(""));
    EXPECT_FALSE(draftFromJson("{}"));
    EXPECT_FALSE(draftFromJson("[1,2"));
    EXPECT_FALSE(draftFromJson(R"({"draft":1,"id":"a","serial":"b","hold":"perhaps"})"));
    EXPECT_FALSE(draftFromJson(R"({"draft":99,"id":"a","serial":"b"})"));
}

TEST(VisitDraft, CountsItsFilledFields)
{
    VisitDraft empty;
    EXPECT_EQ(empty.filledFields(), 0);
    EXPECT_GE(halfTyped().filledFields(), 11);
}

TEST(VisitDraft, KeepsATypedButNotTakenReadingOutOfTheVisit)
{
    const VisitDraft draft = halfTyped();
    EXPECT_EQ(visitOf(draft, Count::Taken).readings.size(), 2U);
    std::vector<ReadingPlace> places;
    EXPECT_EQ(visitOf(draft, Count::Typed, &places).readings.size(), 3U);
    ASSERT_EQ(places.size(), 3U);
    EXPECT_EQ(places[2], (ReadingPlace{Phase::AfterClean, 0}));
}

TEST(VisitDraft, ASheetTypedLaterIsAVisitOfItsOwnTime)
{
    test::Hand keep;
    test::Typist hand(keep.get());
    hand.take("0705");
    hand.enter();
    hand.enter();
    hand.enter();
    hand.press('0');
    hand.take("-13");
    const Visit visit = visitOf(hand.model().draft(), Count::Taken);
    EXPECT_EQ(formatInstant(visit.when), "2026-03-02T07:05:00+01:00");
    EXPECT_EQ(visit.readings.front().when, visit.when);
    EXPECT_EQ(visit.manual_from, visit.when);
}

}  // namespace
}  // namespace halfcell::app::bench
