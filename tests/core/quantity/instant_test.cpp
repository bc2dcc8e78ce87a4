#include "core/quantity/instant.h"

#include <gtest/gtest.h>

namespace halfcell::core {
namespace {

TEST(Instant, KeepsTheOffsetItCameWith)
{
    const auto t = parseInstant("2026-03-02T08:12:00+01:00");
    ASSERT_TRUE(t.has_value());
    EXPECT_EQ(t->utcSeconds, 1772435520);  // date -u -d 2026-03-02T07:12:00Z +%s
    EXPECT_EQ(formatInstant(*t), "2026-03-02T08:12:00+01:00");
    EXPECT_EQ(*t, *parseInstant("2026-03-02T07:12:00Z"));
}

TEST(Instant, WithoutOffsetIsUtcAndADateIsADayEdge)
{
    EXPECT_EQ(formatInstant(*parseInstant("2026-03-02 08:12")), "2026-03-02T08:12:00Z");
    EXPECT_EQ(formatInstant(*parseInstant("2026-03-02")), "2026-03-02T00:00:00Z");
    EXPECT_EQ(formatInstant(*parseInstant("2026-03-02", DateMeans::EndOfDay)), "2026-03-02T23:59:59Z");
}

TEST(Instant, RefusesWhatIsNoTime)
{
    for (const char* text : {"", "2026-3-2", "31.02.2026", "2026-02-30", "2026-02-29", "2026-13-01", "2026-03-02T25:00", "2026-03-02T08:60",
                             "2026-03-02T08:12:00+1", "2026-03-02T08:12:00Zx", "2026-03-02T08"}) {
        const auto t = parseInstant(text);
        ASSERT_FALSE(t.has_value()) << text;
        EXPECT_EQ(t.error().code, Errc::BadInput);
        EXPECT_FALSE(t.error().remedy.empty());
    }
    EXPECT_TRUE(parseInstant("2024-02-29").has_value());
}

TEST(Instant, RoundTripsThroughTextFor130Years)
{
    for (std::int64_t s = -1000000000; s < 3100000000; s += 86399 * 37) {
        const Instant t{s, static_cast<std::int32_t>((s / 7) % 700)};
        const auto back = parseInstant(formatInstant(t));
        ASSERT_TRUE(back.has_value()) << formatInstant(t);
        EXPECT_EQ(*back, t);
        EXPECT_EQ(back->offsetMinutes, t.offsetMinutes);
    }
}

TEST(Instant, NegativeOffsetsKeepTheirLocalDate)
{
    const auto t = parseInstant("2026-03-01T22:30:00-05:00");
    ASSERT_TRUE(t.has_value());
    EXPECT_EQ(formatDate(*t), "2026-03-01");
    EXPECT_EQ(dayNumber(*t), dayNumber(*parseInstant("2026-03-01")));
}

// ISO 8601 weeks: 2026-01-01 is a Thursday, so week 1 holds it; 2027-01-01 (Friday) belongs to 2026-W53; checked with `date +%G-W%V`.
TEST(IsoWeek, FollowsTheStandardAtTheYearsEdges)
{
    const auto weekOf = [](const char* date) { return formatIsoWeek(isoWeekOf(dayNumber(*parseInstant(date)))); };
    EXPECT_EQ(weekOf("2026-01-01"), "2026-W01");
    EXPECT_EQ(weekOf("2025-12-29"), "2026-W01");
    EXPECT_EQ(weekOf("2027-01-01"), "2026-W53");
    EXPECT_EQ(weekOf("2026-03-02"), "2026-W10");
    EXPECT_EQ(weekOf("2024-12-30"), "2025-W01");
    EXPECT_FALSE(parseIsoWeek("2025-W53").has_value());
    EXPECT_FALSE(parseIsoWeek("2026-W00").has_value());
    ASSERT_TRUE(parseIsoWeek("2026-W53").has_value());
    EXPECT_EQ(formatDate(startOfDay(mondayOf(*parseIsoWeek("2026-W10")))), "2026-03-02");
}

TEST(IsoWeek, MondayOfEveryWeekIsAMondayOfThatWeek)
{
    for (std::int64_t day = 0; day < 40000; day += 3) {
        const IsoWeek week = isoWeekOf(day);
        const std::int64_t monday = mondayOf(week);
        EXPECT_EQ(isoWeekday(monday), 1);
        EXPECT_LE(monday, day);
        EXPECT_LT(day, monday + 7);
    }
}

TEST(Instant, DaysAddAndSubtract)
{
    const Instant a = *parseInstant("2026-02-16T00:00:00Z");
    EXPECT_EQ(formatDate(addDays(a, 28)), "2026-03-16");
    EXPECT_DOUBLE_EQ(daysBetween(a, addDays(a, 1.5)), 1.5);
}

}  // namespace
}  // namespace halfcell::core
