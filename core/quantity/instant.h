#pragma once

#include "core/quantity/result.h"

#include <chrono>
#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace halfcell::core {

/// A moment, with the offset from UTC it was written with. Two instants are equal and ordered by the moment alone; the
/// offset is kept so that the text comes out as it came in.
struct Instant {
    std::int64_t utcSeconds = 0;  ///< seconds since 1970-01-01T00:00:00Z
    std::int32_t offsetMinutes = 0;

    friend constexpr bool operator==(const Instant& a, const Instant& b) { return a.utcSeconds == b.utcSeconds; }
    friend constexpr std::strong_ordering operator<=>(const Instant& a, const Instant& b)
    {
        return a.utcSeconds <=> b.utcSeconds;
    }
};

/// How a date without a time is read: tables take its first second, `--as-of` and `--until` its last.
enum class DateMeans { StartOfDay, EndOfDay };

/// Parses ISO 8601: `2026-03-02`, `2026-03-02T08:12`, `2026-03-02 08:12:30`, with `Z` or `+01:00`, `+0100`; without an
/// offset it is UTC. Errc::BadInput (with a remedy) for anything else, including days that do not exist.
[[nodiscard]] Result<Instant> parseInstant(std::string_view text, DateMeans dateMeans = DateMeans::StartOfDay);

/// ISO 8601 with seconds and offset: `2026-03-02T08:12:00Z`, `2026-03-02T08:12:00+01:00`.
[[nodiscard]] std::string formatInstant(const Instant& instant);
/// The calendar date at the instant's own offset: `2026-03-02`.
[[nodiscard]] std::string formatDate(const Instant& instant);

/// Whole days since 1970-01-01 at the instant's own offset.
[[nodiscard]] std::int64_t dayNumber(const Instant& instant);
/// First second (UTC) of a day number.
[[nodiscard]] Instant startOfDay(std::int64_t dayNumber);
/// Difference b - a in days, fractional.
[[nodiscard]] double daysBetween(const Instant& a, const Instant& b);
/// The instant moved by a number of days, offset kept.
[[nodiscard]] Instant addDays(const Instant& instant, double days);

/// ISO 8601 week.
struct IsoWeek {
    int year = 1970;
    int week = 1;
    auto operator<=>(const IsoWeek&) const = default;
};
[[nodiscard]] IsoWeek isoWeekOf(std::int64_t dayNumber);
/// Day number of the Monday of a week.
[[nodiscard]] std::int64_t mondayOf(const IsoWeek& week);
/// `2026-W10`. Errc::BadInput for another form or a week the year does not have.
[[nodiscard]] Result<IsoWeek> parseIsoWeek(std::string_view text);
[[nodiscard]] std::string formatIsoWeek(const IsoWeek& week);
/// 1 = Monday ... 7 = Sunday.
[[nodiscard]] int isoWeekday(std::int64_t dayNumber);

}  // namespace halfcell::core
