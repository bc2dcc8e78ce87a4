#include "core/upkeep/risk.h"
#include "core/upkeep/window.h"

#include "tests/core/upkeep/small_shop.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfcell::core {
namespace {

using shop::day;

Trigger trigger(Trigger::Kind kind, const char* date)
{
    return {.kind = kind, .day = day(date), .why = date, .source = {}};
}

/// Decision notes section 6: as of 2026-03-02, a permit point, life log-normal with median 42 d and sigma 0.6, sudden failure
/// 0.125 a year.
OutRisk workedRisk()
{
    return OutRisk::ofLife({42.0, 0.6}, 0.0, 0.125 / 365.25);
}

TEST(Risk, WorkedExampleOfTheNotes)
{
    const OutRisk risk = workedRisk();
    EXPECT_NEAR(risk.at(8), .00558, 5e-6);
    EXPECT_NEAR(risk.at(15), .04798, 5e-6);
    EXPECT_NEAR(risk.at(22), .14703, 5e-6);
    EXPECT_LT(risk.at(19.06), 0.10);
    EXPECT_GT(risk.at(19.08), 0.10);
    // The first whole day at or past 19.07 d; the notes name the day on which it is reached (the 19th, 21 March).
    EXPECT_EQ(risk.firstDay(0.10), 20);
    EXPECT_NEAR(expectedLoss(500.0, risk, 1.0, 8.0), 1.02, 5e-3);
    EXPECT_NEAR(expectedLoss(500.0, risk, 8.0, 15.0), 10.91, 5e-3);
}

TEST(Risk, GrowsWithTimeAndStaysAChance)
{
    const OutRisk life = OutRisk::ofLife({300.0, 0.5}, 200.0, 0.001);
    double before = 0.0;
    for (int t = 0; t < 1000; t += 25) {
        const double p = life.at(t);
        EXPECT_GE(p, before);
        EXPECT_LE(p, 1.0);
        before = p;
    }
    EXPECT_EQ(OutRisk().at(10), 0.0);
    EXPECT_EQ(OutRisk::certain().at(0), 1.0);
    EXPECT_EQ(OutRisk::certain().firstDay(0.5), 0);
    EXPECT_FALSE(OutRisk().firstDay(0.5));
    EXPECT_EQ(expectedLoss(50.0, life, 5.0, 5.0), 0.0);
    EXPECT_EQ(expectedLoss(70.0, OutRisk::certain(), 0.0, 7.0), 70.0);
}

TEST(Risk, ReadsTheLifeTableAsTenFiftyNinety)
{
    const LogNormalLife life = LogNormalLife::of({.shortest = 9, .usual = 18, .longest = 36, .source = {}});
    EXPECT_NEAR(life.cdf(18 * kDaysPerMonth), 0.5, 1e-12);
    EXPECT_NEAR(life.cdf(9 * kDaysPerMonth), 0.1, 1e-9);
    EXPECT_NEAR(life.cdf(36 * kDaysPerMonth), 0.9, 1e-9);
}

TEST(Window, WorkedExampleOfTheNotes)
{
    std::vector<Trigger> triggers{trigger(Trigger::Kind::Calendar, "2026-03-16"), trigger(Trigger::Kind::Condition, "2026-03-21"),
                                  trigger(Trigger::Kind::Floor, "2026-03-11")};
    sortTriggers(triggers);
    EXPECT_EQ(triggers.front().kind, Trigger::Kind::Floor);
    const Window window = windowOf(triggers, 28.0, {});
    EXPECT_EQ(window.due, day("2026-03-11"));
    EXPECT_EQ(window.latest, day("2026-03-11"));
    EXPECT_EQ(window.floor, day("2026-03-11"));
    EXPECT_EQ(window.earliest, day("2026-03-04"));
    // Rounds on Tuesdays.
    EXPECT_EQ(lastRoundDay(window, 2), day("2026-03-10"));
    EXPECT_TRUE(floorCannotSlip(window.floor, day("2026-03-02")));
    EXPECT_FALSE(floorCannotSlip(window.floor, day("2026-02-20")));
    EXPECT_FALSE(floorCannotSlip(std::nullopt, day("2026-03-02")));
}

TEST(Window, GraceIsAFifthButNotMoreThanAFortnightAndNonePastAFloor)
{
    const auto at = [](double interval, bool floor) {
        std::vector<Trigger> triggers{trigger(Trigger::Kind::Calendar, "2026-03-16")};
        if (floor)
            triggers.push_back(trigger(Trigger::Kind::Floor, "2026-03-18"));
        return windowOf(triggers, interval, {});
    };
    EXPECT_EQ(at(28, false).latest - at(28, false).due, 5);
    EXPECT_EQ(at(365, false).latest - at(365, false).due, 14);
    EXPECT_EQ(at(28, true).latest - at(28, true).due, 2);
    EXPECT_EQ(at(1, false).latest, at(1, false).due);
    EXPECT_EQ(at(1, false).earliest, at(1, false).due - 1);
}

TEST(Window, AlwaysEarliestBeforeDueBeforeLatestBeforeFloor)
{
    for (const double interval : {0.0, 1.0, 7.0, 28.0, 91.0, 365.0})
        for (int floor = 0; floor < 20; floor += 3) {
            std::vector<Trigger> triggers{trigger(Trigger::Kind::Calendar, "2026-03-16")};
            triggers.push_back({.kind = Trigger::Kind::Floor, .day = day("2026-03-10") + floor, .why = {}, .source = {}});
            const Window w = windowOf(triggers, interval, {});
            EXPECT_LT(w.earliest, w.due);
            EXPECT_LE(w.due, w.latest);
            EXPECT_LE(w.latest, *w.floor);
        }
}

TEST(Window, ARoundOutsideTheWindowIsNoRound)
{
    const Window window{.earliest = day("2026-03-11"), .due = day("2026-03-13"), .latest = day("2026-03-13"), .floor = {}};
    EXPECT_FALSE(lastRoundDay(window, 2));
    EXPECT_EQ(lastRoundDay(window, 5), day("2026-03-13"));
}

TEST(Words, OfADay)
{
    EXPECT_EQ(dayWords(day("2026-02-16")), "16 Feb 2026");
    EXPECT_EQ(dayWords(day("1999-12-01")), "1 Dec 1999");
}

}  // namespace
}  // namespace halfcell::core
