#pragma once

#include "core/quantity/instant.h"

#include <cstdint>

/// Days and clock times of the simulated plant. Local time is an hour ahead of UTC in summer (last Sunday of March to last
/// Sunday of October) and UTC otherwise.
namespace halfcell::core::simulation {

/// Offset from UTC of a day, minutes: 60 in summer, else 0.
[[nodiscard]] std::int32_t offsetOn(std::int64_t day);
/// A local clock time (seconds after midnight) of a day.
[[nodiscard]] Instant localTime(std::int64_t day, std::int64_t secondsAfterMidnight);
[[nodiscard]] inline Instant localTime(std::int64_t day, int hour, int minute) { return localTime(day, hour * 3600LL + minute * 60LL); }
/// Part of the year gone, 0 to 1 (day 1 January = 0).
[[nodiscard]] double yearPhase(std::int64_t day);
/// Month 1 to 12 and day of month.
struct MonthDay {
    int year = 1970, month = 1, day = 1;
};
[[nodiscard]] MonthDay monthDayOf(std::int64_t day);
/// Warmth of the season: -1 in the depth of winter, +1 in high summer (about 20 July).
[[nodiscard]] double seasonOf(std::int64_t day);

}  // namespace halfcell::core::simulation
