#include "core/simulator/calendar.h"

#include "core/simulator/fixed_math.h"

#include <chrono>

namespace halfcell::core::simulation {
namespace {

using namespace std::chrono;

std::int64_t lastSundayOf(year y, month m)
{
    return sys_days{year_month_weekday_last{y, m, weekday_last{Sunday}}}.time_since_epoch().count();
}

}  // namespace

MonthDay monthDayOf(std::int64_t day)
{
    const year_month_day date{sys_days{days{day}}};
    return {static_cast<int>(date.year()), static_cast<int>(static_cast<unsigned>(date.month())),
            static_cast<int>(static_cast<unsigned>(date.day()))};
}

std::int32_t offsetOn(std::int64_t day)
{
    const year y{monthDayOf(day).year};
    return day >= lastSundayOf(y, March) && day < lastSundayOf(y, October) ? 60 : 0;
}

Instant localTime(std::int64_t day, std::int64_t secondsAfterMidnight)
{
    const std::int32_t offset = offsetOn(day);
    return Instant{day * 86400 + secondsAfterMidnight - offset * 60LL, offset};
}

double yearPhase(std::int64_t day)
{
    const std::int64_t newYear = sys_days{year{monthDayOf(day).year} / January / 1}.time_since_epoch().count();
    return static_cast<double>(day - newYear) / 365.25;
}

double seasonOf(std::int64_t day)
{
    return yearWave(yearPhase(day) - 200.0 / 365.25);
}

}  // namespace halfcell::core::simulation
