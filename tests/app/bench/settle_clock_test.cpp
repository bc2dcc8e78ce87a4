#include "app/bench/settle_clock.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfcell::app::bench {
namespace {

TEST(SettleClock, StartsByItselfAfterTheRinse)
{
    SettleClock clock;
    EXPECT_FALSE(clock.elapsed(10.0));
    clock.startAt(10.0 + SettleClock::kRinseSeconds);
    EXPECT_FALSE(clock.elapsed(20.0));
    EXPECT_DOUBLE_EQ(clock.startsIn(20.0).value(), 5.0);
    EXPECT_DOUBLE_EQ(clock.elapsed(85.0).value(), 60.0);
}

TEST(SettleClock, WaitsTheLargerOfRuleAndTwoT90)
{
    EXPECT_DOUBLE_EQ(leastWait(30.0, 2.0, 24.0), 48.0);
    EXPECT_DOUBLE_EQ(leastWait(30.0, 2.0, 10.0), 30.0);
    EXPECT_DOUBLE_EQ(leastWait(30.0, 2.0, std::nullopt), 30.0);
}

TEST(SettleClock, SaysHowMuchMovedInTheLastHalfMinute)
{
    SettleClock clock;
    clock.startAt(0.0);
    EXPECT_FALSE(clock.changeIn30s());
    clock.note(20.0, -170.0);
    EXPECT_FALSE(clock.changeIn30s());
    clock.note(40.0, -175.7);
    clock.note(70.0, -176.0);
    EXPECT_NEAR(clock.changeIn30s().value(), 0.3, 1e-9);
    // Between two notes the value 30 s ago lies on the line between them.
    EXPECT_NEAR(clock.changeIn30s(std::pair(85.0, -176.0)).value(), 0.15, 1e-9);
}

TEST(SettleClock, ScalesValuesThatLieCloserTogether)
{
    SettleClock clock;
    clock.startAt(0.0);
    clock.note(10.0, 100.0);
    clock.note(20.0, 101.0);
    EXPECT_NEAR(clock.changeIn30s().value(), 3.0, 1e-9);
}

TEST(SettleClock, FindsT90FromNotesThatRunTowardsAnEnd)
{
    // A first-order sensor with t90 40 s on its way from 0 to -178 mV, noted at 15, 30 and 45 s and taken at 120 s.
    const auto reading = [](double t) { return -178.0 + 178.0 * std::pow(10.0, -t / 40.0); };
    SettleClock clock;
    clock.startAt(0.0);
    for (const double t : {15.0, 30.0, 45.0})
        clock.note(t, reading(t));
    EXPECT_NEAR(clock.t90(120.0, reading(120.0)).value(), 40.0, 0.05);
    // Taken early: the end is still solved for.
    EXPECT_NEAR(clock.t90(70.0, reading(70.0)).value(), 40.0, 0.5);
}

TEST(SettleClock, HasNoT90WithoutNotesOrWithoutAnEnd)
{
    SettleClock clock;
    clock.startAt(0.0);
    clock.note(20.0, -100.0);
    EXPECT_FALSE(clock.t90(60.0, -176.0));
    clock.note(40.0, -60.0);   // runs away from it
    EXPECT_FALSE(clock.t90(60.0, -176.0));
    SettleClock steady;
    steady.startAt(0.0);
    steady.note(20.0, -176.0);
    steady.note(40.0, -176.0);
    EXPECT_FALSE(steady.t90(60.0, -176.0));
}

TEST(SettleClock, ASeriesAscendsInTenthsOfASecond)
{
    SettleClock clock;
    EXPECT_TRUE(clock.series(std::pair(30.0, -10.0)).empty()) << "one value is no series";
    clock.startAt(100.0);
    clock.note(110.04, -5.0);
    clock.note(110.02, -6.0);
    clock.note(120.0, -9.0);
    const std::vector<core::SettlePoint> expected{{10.0, -6.0}, {20.0, -9.0}, {40.0, -10.0}};
    EXPECT_EQ(clock.series(std::pair(40.0, -10.0)), expected);
}

}  // namespace
}  // namespace halfcell::app::bench
