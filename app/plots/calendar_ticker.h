#pragma once

#include <QString>

#include <cstdint>
#include <vector>

/// Ticks of a time axis: at whole hours, days, weeks (Mondays), months, quarters or years of local time.
namespace halfcell::app {

struct CalendarTick {
    std::int64_t utc = 0;
    QString label = {};
    bool operator==(const CalendarTick&) const = default;
};

/// Ticks inside [from, to], at most about `most` of them (at least 2 wanted). Labels are "08:00", "2 Mar", "Mar", and
/// "Jan 26" where a year begins; the first label of a range of months carries its year as well.
[[nodiscard]] std::vector<CalendarTick> calendarTicks(std::int64_t from, std::int64_t to, int most);

}  // namespace halfcell::app
