#include "app/bench/bench_model.h"
#include "app/bench/live_readings.h"
#include "core/quantity/number.h"
#include "tests/app/bench/bench_fixture.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace halfcell::app::bench {
namespace {

using namespace core;
using test::Hand;
using test::Typist;

/// From the sensor in hand to the first dip: in manual, no grab sample, coating 2 hard.
void openForm(Typist& hand)
{
    hand.space();
    hand.enter();
    hand.enter();
    hand.enter();
    hand.press('2');
    hand.press('H');
    hand.wait(100);
}

void twoDips(Typist& hand, const char* first, const char* second, const char* temp)
{
    hand.wait(90);
    hand.take(first);
    hand.take(temp);
    hand.wait(90);
    hand.take(second);
}

bool says(const Outcome& outcome, const char* words)
{
    return outcome.say.contains(QString::fromUtf8(words), Qt::CaseInsensitive);
}

TEST(BenchModel, FillsInTheStandardsOfTheLastVisitOrThoseOfTheProcess)
{
    EXPECT_EQ(Hand(test::kSerial).get()->usualStandards(), (std::vector<std::string>{"ph7.00", "ph10.01"}));
    EXPECT_EQ(Hand(test::kPlainSerial).get()->usualStandards(), (std::vector<std::string>{"ph7.00", "ph4.01"}));
    EXPECT_EQ(Hand(test::kOrpSerial).get()->usualStandards(), (std::vector<std::string>{"quinhydrone_ph7", "quinhydrone_ph4"}));
}

TEST(BenchModel, AFullVisitTakesTwentyThreeKeys)
{
    Typist hand(Hand(test::kSerial).get());
    Hand keep;
    Typist full(keep.get());
    full.space();       // in manual
    full.take("9.24");  // loop
    full.take("9.41");  // grab
    full.take("31.5");  // degrees
    full.press('2');    // a digit, goes on by itself
    full.press('H');
    twoDips(full, "-13", "-176", "19.0");
    EXPECT_EQ(full.model().stop(), Stop{StopKind::Did});
    full.press('D');
    full.press('A');
    ASSERT_TRUE(full.model().box());
    full.press('Y');
    full.enter();
    EXPECT_EQ(full.model().stop(), (Stop{StopKind::Mv, Phase::AfterClean, 0}));
    twoDips(full, "-10", "-181", "19.0");
    EXPECT_EQ(full.model().stop(), Stop{StopKind::Left});
    full.press('U');
    twoDips(full, "-10", "-181", "19.2");
    EXPECT_EQ(full.model().stop(), Stop{StopKind::Auto});
    full.space();
    full.enter();  // past the remark
    EXPECT_EQ(full.model().stop(), Stop{StopKind::Log});
    const auto ready = full.model().readyToLog(full.moment());
    EXPECT_TRUE(ready.done) << ready.say.toStdString();
    // One more for the scan that opened the form, one for Ctrl+Enter.
    EXPECT_EQ(full.keys() + 2, 23);

    const Visit visit = visitOf(full.model().draft(), Count::Taken);
    ASSERT_EQ(visit.readings.size(), 6U);
    EXPECT_EQ(visit.readings[1].temp_source, TemperatureSource::Carried);
    EXPECT_DOUBLE_EQ(*visit.readings[1].temp_degc, 19.0);
    EXPECT_TRUE(visit.readings[1].wait_s.has_value());
    ASSERT_EQ(visit.actions.size(), 3U);
    EXPECT_EQ(visit.actions[1].action, ActionKey::CleanAcid);
    EXPECT_NE(visit.actions[1].note.value_or("").find("cyanide_line: yes T1"), std::string::npos);
    EXPECT_EQ(visit.actions[2].action, ActionKey::Adjust);
}

TEST(BenchModel, FromAPaperLineFoundAndLeftTakesTwentyTwoKeys)
{
    Hand keep;
    Typist hand(keep.get());
    hand.take("0805");
    EXPECT_TRUE(hand.model().draft().fromSheet());
    for (const char* grab : {"9.24", "9.41", "31.5"})
        hand.take(grab);
    hand.press('0');
    hand.take("-13");
    hand.take("19.0");
    hand.take("120");
    hand.take("-176");
    hand.take("180");
    hand.press('D');
    hand.enter();
    hand.press('U');  // typed where "after cleaning" would begin: straight to as left
    EXPECT_EQ(hand.model().stop(), (Stop{StopKind::Mv, Phase::AsLeft, 0}));
    hand.take("-10");
    hand.take("19.2");
    hand.take("60");
    hand.take("-181");
    hand.take("75");
    hand.take("0850");  // refused below: later than now
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Auto});
}

TEST(BenchModel, RefusesNoLoopWhereTheLoopWouldAct)
{
    Hand keep;
    Typist hand(keep.get());
    const auto refused = hand.press('N');
    EXPECT_FALSE(refused.done);
    EXPECT_TRUE(says(refused, "AE-3107 would act on a false reading"));
    EXPECT_FALSE(hand.enter().done);
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Manual});

    Hand plain(test::kPlainSerial);
    Typist other(plain.get());
    EXPECT_TRUE(other.press('N').done);
    EXPECT_EQ(other.model().stop(), Stop{StopKind::Loop});
}

TEST(BenchModel, AStampedTimeTakesNoSecondSpace)
{
    Hand keep;
    Typist hand(keep.get());
    hand.space();
    hand.model().goTo({StopKind::Manual});
    EXPECT_FALSE(hand.space().done);
    EXPECT_EQ(*hand.model().draft().manualFrom, test::testNow());
}

TEST(BenchModel, EnterOnAnEmptyFieldStoresNotDone)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    const Visit visit = visitOf(hand.model().draft(), Count::Taken);
    ASSERT_EQ(visit.grabs.size(), 1U);
    EXPECT_EQ(visit.grabs[0].loop_ph.why, NoAnswer::NotDone);
    EXPECT_EQ(visit.grabs[0].temp_degc.why, NoAnswer::NotDone);
    ASSERT_EQ(visit.checks.size(), 1U);
    EXPECT_DOUBLE_EQ(*visit.checks[0].coating, 2.0);
    EXPECT_EQ(visit.checks[0].coating_kind, CoatingKind::Hard);
}

TEST(BenchModel, ASpotlessSensorIsNotAskedForItsLook)
{
    Hand keep;
    Typist hand(keep.get());
    hand.space();
    for (int i = 0; i < 3; ++i)
        hand.enter();
    hand.press('0');
    EXPECT_EQ(hand.model().stop(), (Stop{StopKind::Mv, Phase::AsFound, 0}));
}

TEST(BenchModel, SecondsAreAskedWhenTheClockDidNotRun)
{
    Hand keep;
    Typist hand(keep.get());
    hand.space();
    for (int i = 0; i < 3; ++i)
        hand.enter();
    hand.press('0');
    hand.take("-13");  // within the rinse: the clock has not begun
    EXPECT_EQ(hand.model().stop().kind, StopKind::Temp);
    hand.take("19.0");
    EXPECT_EQ(hand.model().stop().kind, StopKind::Wait);
    hand.take("120");
    EXPECT_EQ(hand.model().stop(), (Stop{StopKind::Mv, Phase::AsFound, 1}));
}

TEST(BenchModel, SpaceInAnEmptyFieldStartsTheClockAndWithDigitsNotesAValue)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    hand.space();
    hand.wait(20);
    hand.type("-16");
    hand.space();
    EXPECT_EQ(hand.model().typed(hand.model().stop()), "");
    hand.wait(20);
    hand.type("-14");
    hand.space();
    hand.wait(60);
    hand.take("-13");
    const Dip& dip = hand.model().draft().found.dips[0];
    EXPECT_TRUE(dip.clocked);
    EXPECT_EQ(dip.wait.text, "100");
    EXPECT_TRUE(dip.t90_s.has_value());
}

/// Five values on the way say where it goes; what was read is kept as read.
TEST(BenchModel, AReadingTakenBeforeItSettledSaysWhereItWasGoing)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    hand.take("-13");
    hand.take("19.0");
    // t90 60 s, from 0 to -176 mV, with the clock started in the beaker.
    const auto reads = [](double seconds) { return core::formatFixed(-176.0 * (1.0 - std::pow(10.0, -seconds / 60.0)), 1); };
    hand.space();
    for (const double seconds : {10.0, 20.0, 30.0, 40.0}) {
        hand.wait(10);
        hand.type(reads(seconds));
        hand.space();
    }
    hand.wait(20);
    hand.take(reads(60.0));
    const Dip& dip = hand.model().draft().found.dips[1];
    ASSERT_EQ(dip.settle.size(), 5U);
    EXPECT_EQ(dip.settle.back().seconds, 60.0);
    EXPECT_EQ(dip.t90_s, 60.0);
    EXPECT_EQ(dip.mv.text, reads(60.0));
    const LiveReadings live = liveFigures(hand.model().draft(), *keep.get());
    ASSERT_EQ(live.visit.readings.size(), 2U);
    EXPECT_EQ(live.visit.readings[1].settle, dip.settle);
    const QString notes = live.found.dips[1].notes.join(u' ');
    EXPECT_TRUE(notes.contains(QStringLiteral("Read too soon: settled it would read −176."))) << notes.toStdString();
    EXPECT_TRUE(notes.contains(QStringLiteral("not recorded"))) << notes.toStdString();
    EXPECT_TRUE(seriesWords(dip.settle).startsWith(QStringLiteral("goes to −176."))) << seriesWords(dip.settle).toStdString();
    EXPECT_TRUE(seriesWords({dip.settle.begin(), dip.settle.begin() + 3}).isEmpty());
    const auto back = draftFromJson(toJson(hand.model().draft()));
    ASSERT_TRUE(back);
    EXPECT_EQ(back->found.dips[1].settle, dip.settle);
}

/// The same series written on paper: a value, Space, its seconds; the last value with Enter.
TEST(BenchModel, ASettleSeriesFromASheetIsTypedWithItsSeconds)
{
    Hand keep;
    Typist hand(keep.get());
    hand.take("0805");
    for (const char* grab : {"9.24", "9.41", "31.5"})
        hand.take(grab);
    hand.press('0');
    for (const char* first : {"-13", "19.0", "120"})
        hand.take(first);
    const auto reads = [](double seconds) { return core::formatFixed(-176.0 * (1.0 - std::pow(10.0, -seconds / 60.0)), 1); };
    const Stop value{StopKind::Mv, Phase::AsFound, 1};
    const Stop wait{StopKind::Wait, Phase::AsFound, 1};
    for (const char* seconds : {"10", "20", "30", "40"}) {
        ASSERT_EQ(hand.model().stop(), value) << seconds;
        hand.type(reads(std::stod(seconds)));
        hand.space();
        ASSERT_EQ(hand.model().stop(), wait) << seconds;
        EXPECT_TRUE(hand.take(seconds).done);
    }
    EXPECT_EQ(hand.model().notedInDip(), 4U);
    // Not later than the one before: refused, and what was typed stays.
    hand.type(reads(60.0));
    hand.space();
    const Outcome early = hand.take("35");
    EXPECT_TRUE(says(early, "noted at 40 s")) << early.say.toStdString();
    EXPECT_EQ(hand.model().stop(), wait);
    // Without seconds it is no value on the way.
    hand.take("");
    ASSERT_EQ(hand.model().stop(), value);
    EXPECT_EQ(hand.model().draft().found.dips[1].mv.text, reads(60.0));
    hand.enter();
    for (int keys = 0; keys < 3 && hand.model().asked(); ++keys)
        hand.press('K');
    ASSERT_EQ(hand.model().stop(), wait);
    hand.take("60");
    const Dip& dip = hand.model().draft().found.dips[1];
    EXPECT_EQ(dip.t90_s, 60.0);
    const auto series = seriesOf(dip);
    ASSERT_EQ(series.size(), 5U);
    EXPECT_EQ(series.back().seconds, 60.0);
    const LiveReadings live = liveFigures(hand.model().draft(), *keep.get());
    ASSERT_EQ(live.visit.readings.size(), 2U);
    EXPECT_EQ(live.visit.readings[1].settle, series);
    EXPECT_DOUBLE_EQ(*live.visit.readings[1].wait_s, 60.0);
    const QString notes = live.found.dips[1].notes.join(u' ');
    EXPECT_TRUE(notes.contains(QStringLiteral("Read too soon: settled it would read −176."))) << notes.toStdString();
    const auto back = draftFromJson(toJson(hand.model().draft()));
    ASSERT_TRUE(back);
    EXPECT_EQ(seriesOf(back->found.dips[1]), series);
}

TEST(BenchModel, NothingAsFoundNeedsAReason)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    const auto refused = hand.model().readyToLog(hand.moment());
    EXPECT_FALSE(refused.done);
    EXPECT_TRUE(says(refused, "Nothing as found"));
    EXPECT_FALSE(hand.enter().done);
    EXPECT_TRUE(hand.press('B').done);
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Did});
    EXPECT_TRUE(hand.model().readyToLog(hand.moment()).done);
    const Visit visit = visitOf(hand.model().draft(), Count::Taken);
    ASSERT_EQ(visit.readings.size(), 1U);
    EXPECT_EQ(visit.readings[0].why_missing, "broken");
    EXPECT_FALSE(visit.readings[0].mv);
}

TEST(BenchModel, AForbiddenLetterSaysWhy)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    twoDips(hand, "-13", "-176", "19.0");
    const auto refused = hand.press('F');
    EXPECT_FALSE(refused.done);
    EXPECT_TRUE(says(refused, "nothing to refill"));
    EXPECT_TRUE(hand.model().draft().steps.empty());
    EXPECT_FALSE(hand.press('P').done);
}

TEST(BenchModel, HypochloriteIsNotOfferedOnCyanideDuty)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    twoDips(hand, "-13", "-176", "19.0");
    EXPECT_TRUE(says(hand.press('H'), "cyan"));
}

TEST(BenchModel, AcidAfterHypochloriteOpensTheBoxAndNTakesTheStepOut)
{
    Hand plain(test::kPlainSerial);
    Typist hand(plain.get());
    hand.press('N');
    for (int i = 0; i < 3; ++i)
        hand.enter();
    hand.press('0');
    hand.wait(120);
    twoDips(hand, "-3", "+168", "20.0");
    ASSERT_EQ(hand.model().stop(), Stop{StopKind::Did});
    hand.press('H');
    ASSERT_TRUE(hand.model().box());
    hand.press('Y');
    hand.press('A');
    ASSERT_TRUE(hand.model().box());
    const auto& cautions = hand.model().box()->cautions;
    EXPECT_TRUE(std::any_of(cautions.begin(), cautions.end(), [](const Caution& c) { return c.key == "acid_after_hypochlorite"; }));
    EXPECT_EQ(cautions.front().level, "danger");
    EXPECT_FALSE(hand.enter().done);  // nothing but an answer counts
    hand.press('N');
    EXPECT_FALSE(hand.model().box());
    ASSERT_EQ(hand.model().draft().steps.size(), 1U);
    EXPECT_EQ(hand.model().draft().steps[0].action, ActionKey::CleanHypochlorite);
}

TEST(BenchModel, BoxesFollowTheAgentNotTheLetter)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    twoDips(hand, "-13", "-176", "19.0");
    hand.press('E');  // pepsin stands in hydrochloric acid
    ASSERT_TRUE(hand.model().box());
    EXPECT_EQ(hand.model().box()->cautions.front().key, "cyanide_line");
}

TEST(BenchModel, MinutesComeFromSpaceOrDigits)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    twoDips(hand, "-13", "-176", "19.0");
    hand.press('D');
    hand.space();
    hand.wait(6 * 60);
    hand.space();
    EXPECT_EQ(hand.model().draft().steps[0].minutes, "6");
    hand.press('D');
    hand.press('1');
    hand.press('2');
    EXPECT_EQ(hand.model().draft().steps[1].minutes, "12");
    hand.model().backspace();
    hand.model().backspace();
    hand.model().backspace();
    EXPECT_EQ(hand.model().draft().steps.size(), 1U);
}

TEST(BenchModel, AfterCleaningOpensOnlyWhenSomethingWasCleaned)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    twoDips(hand, "-13", "-176", "19.0");
    hand.press('M');  // a dry connector cleans nothing
    if (hand.model().box())
        hand.press('Y');
    hand.enter();
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Left});
    hand.press('*');  // the number pad's equals
    EXPECT_EQ(hand.model().draft().leftAnswer, LeftAnswer::Same);
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Auto});
}

TEST(BenchModel, TurnsALostSign)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    hand.wait(90);
    hand.take("-13");
    hand.take("19.0");
    hand.wait(90);
    const auto asked = hand.take("176");
    ASSERT_TRUE(hand.model().asked()) << asked.say.toStdString();
    EXPECT_EQ(hand.model().asked()->question.kind, Question::Kind::WrongSign);
    EXPECT_TRUE(says(asked, "F7 turns the sign"));
    EXPECT_EQ(hand.model().stop(), (Stop{StopKind::Mv, Phase::AsFound, 1}));
    EXPECT_FALSE(hand.model().readyToLog(hand.moment()).done);
    EXPECT_TRUE(hand.model().turnSign(hand.moment()).done);
    EXPECT_EQ(hand.model().draft().found.dips[1].mv.text, "-176");
    EXPECT_FALSE(hand.model().asked());
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Did});
}

TEST(BenchModel, SwapsBeakersThatChangedPlaces)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    hand.wait(90);
    hand.take("-177");
    hand.take("19.0");
    hand.wait(90);
    const auto asked = hand.take("-8");
    ASSERT_TRUE(hand.model().asked()) << asked.say.toStdString();
    EXPECT_EQ(hand.model().asked()->question.kind, Question::Kind::Swapped);
    EXPECT_TRUE(says(asked, "F8 swaps"));
    hand.model().exchange(hand.moment());
    EXPECT_EQ(hand.model().draft().found.dips[0].mv.text, "-8");
    EXPECT_EQ(hand.model().draft().found.dips[1].mv.text, "-177");
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Did});
}

TEST(BenchModel, ReadsAgainOnEnterAndKeepsWithAReasonOnK)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    hand.wait(90);
    hand.take("-13");
    hand.take("19.0");
    hand.wait(90);
    hand.take("176");
    ASSERT_TRUE(hand.model().asked());
    hand.enter();  // reads again
    EXPECT_FALSE(hand.model().asked());
    EXPECT_EQ(hand.model().typed(hand.model().stop()), "");
    hand.wait(60);
    hand.take("176");
    ASSERT_TRUE(hand.model().asked());
    hand.press('K');
    EXPECT_TRUE(hand.model().asked()->wantsReason);
    hand.press('R');
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Did});
    const Visit visit = visitOf(hand.model().draft(), Count::Taken);
    EXPECT_NE(visit.readings[1].note.value_or("").find("kept: wrong_sign"), std::string::npos);
    EXPECT_TRUE(hand.model().readyToLog(hand.moment()).done);
}

TEST(BenchModel, AReadingTakenTooSoonIsAskedAbout)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    hand.space();
    hand.wait(35);
    const auto asked = hand.take("-13");
    ASSERT_TRUE(hand.model().asked()) << asked.say.toStdString();
    EXPECT_EQ(hand.model().asked()->question.kind, Question::Kind::TooSoon);
    EXPECT_TRUE(says(asked, "44 s is the least here"));  // two t90 of 22 s
}

TEST(BenchModel, OpenedByTagAsksForTheEndOfTheSerial)
{
    Hand keep;
    Typist hand(keep.get(), SerialSeen::No);
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Serial});
    const auto wrong = hand.take("21");
    EXPECT_FALSE(wrong.done);
    EXPECT_TRUE(says(wrong, "K7-0412"));
    EXPECT_TRUE(hand.take("12").done);
    EXPECT_EQ(hand.model().draft().serialSeen, SerialSeen::TwoCharacters);

    Typist blind(keep.get(), SerialSeen::No);
    EXPECT_TRUE(blind.press('?').done);
    const Visit visit = visitOf(blind.model().draft(), Count::Taken);
    EXPECT_NE(visit.remark.value_or("").find("serial not seen"), std::string::npos);
}

TEST(BenchModel, AnOrpSensorIsNotAdjusted)
{
    Hand orp(test::kOrpSerial);
    Typist hand(orp.get());
    hand.press('N');
    for (int i = 0; i < 4; ++i)
        hand.enter();
    hand.press('0');
    hand.wait(120);
    twoDips(hand, "+55", "+228", "21.0");
    ASSERT_EQ(hand.model().stop(), Stop{StopKind::Did}) << (hand.model().asked() ? hand.model().asked()->question.text : std::string());
    hand.enter();
    EXPECT_FALSE(hand.press('U').done);
    EXPECT_TRUE(hand.press('=').done);
}

TEST(BenchModel, ZobellBeforeAcidAndAfterItOpensTheBox)
{
    Hand orp(test::kOrpSerial);
    Typist hand(orp.get());
    hand.press('N');
    for (int i = 0; i < 4; ++i)
        hand.enter();
    hand.model().setStandard(Phase::AsFound, 0, "zobell", {}, hand.moment());
    hand.model().setStandard(Phase::AsFound, 1, "light", {}, hand.moment());
    hand.press('0');
    EXPECT_FALSE(hand.model().box());
    hand.wait(120);
    hand.take("+200");
    hand.take("21.0");
    ASSERT_TRUE(hand.model().box());  // Light's solution after ferrocyanide
    EXPECT_EQ(hand.model().box()->about, Box::About::Standard);
    hand.press('Y');
    EXPECT_FALSE(hand.model().box());
    EXPECT_FALSE(hand.model().draft().answers.empty());
}

TEST(BenchModel, ReplacingAsksWhichSensorAndWhy)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    twoDips(hand, "-13", "-176", "19.0");
    hand.press('X');
    ASSERT_TRUE(hand.model().removal());
    EXPECT_FALSE(hand.model().finishRemoval(RemovalReason::Slope, "", hand.moment()).done);
    EXPECT_FALSE(hand.model().finishRemoval(RemovalReason::Slope, test::kSerial, hand.moment()).done);
    EXPECT_TRUE(hand.model().finishRemoval(RemovalReason::Slope, test::kSpare, hand.moment()).done);
    hand.enter();
    EXPECT_EQ(hand.model().stop(), Stop{StopKind::Remark});
    EXPECT_TRUE(hand.model().readyToLog(hand.moment()).done);
    const Visit visit = visitOf(hand.model().draft(), Count::Taken);
    EXPECT_NE(visit.actions.back().note.value_or("").find("replaced by K7-0470"), std::string::npos);
}

TEST(BenchModel, GoesBackAndUpWithoutLosingAnything)
{
    Hand keep;
    Typist hand(keep.get());
    openForm(hand);
    twoDips(hand, "-13", "-176", "19.0");
    hand.model().back();
    EXPECT_EQ(hand.model().stop().kind, StopKind::Wait);
    hand.model().goTo({StopKind::Mv, Phase::AsFound, 1});
    hand.model().up();  // an own temperature for the second dip
    EXPECT_EQ(hand.model().stop(), (Stop{StopKind::Temp, Phase::AsFound, 1}));
    hand.take("20.5");
    const Visit visit = visitOf(hand.model().draft(), Count::Taken);
    EXPECT_EQ(visit.readings[1].temp_source, TemperatureSource::Measured);
    EXPECT_DOUBLE_EQ(*visit.readings[1].temp_degc, 20.5);
    EXPECT_DOUBLE_EQ(*visit.readings[1].mv, -176.0);
}

}  // namespace
}  // namespace halfcell::app::bench
