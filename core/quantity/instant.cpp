#include "core/quantity/instant.h"

#include <fmt/format.h>

#include <cmath>

namespace halfcell::core {
namespace {

using namespace std::chrono;

constexpr std::int64_t kSecondsPerDay = 86400;

/// Reads exactly `digits` decimal digits at `pos`; -1 when they are not there.
int readDigits(std::string_view text, std::size_t pos, std::size_t digits)
{
    if (pos + digits > text.size())
        return -1;
    int value = 0;
    for (std::size_t i = pos; i < pos + digits; ++i) {
        if (text[i] < '0' || text[i] > '9')
            return -1;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

std::unexpected<Error> badTime(std::string_view text, std::string_view why)
{
    return failure(Errc::BadInput, fmt::format("\"{}\" is not a time: {}", text.substr(0, 40), why),
                   "write it as 2026-03-02 or 2026-03-02T08:12:00+01:00");
}

std::int64_t floorDiv(std::int64_t a, std::int64_t b)
{
    return a >= 0 ? a / b : -((-a + b - 1) / b);
}

year_month_day civil(std::int64_t day)
{
    return year_month_day{sys_days{days{day}}};
}

}  // namespace

Result<Instant> parseInstant(std::string_view text, DateMeans dateMeans)
{
    if (text.size() < 10 || text[4] != '-' || text[7] != '-')
        return badTime(text, "the date must read year-month-day");
    const int y = readDigits(text, 0, 4);
    const int m = readDigits(text, 5, 2);
    const int d = readDigits(text, 8, 2);
    if (y < 1900 || m < 0 || d < 0)
        return badTime(text, "the date must read year-month-day");
    const year_month_day date{year{y}, month{static_cast<unsigned>(m)}, day{static_cast<unsigned>(d)}};
    if (!date.ok())
        return badTime(text, "there is no such day");
    const std::int64_t dayStart = sys_days{date}.time_since_epoch().count() * kSecondsPerDay;
    if (text.size() == 10)
        return Instant{dateMeans == DateMeans::StartOfDay ? dayStart : dayStart + kSecondsPerDay - 1, 0};

    if (text[10] != 'T' && text[10] != ' ' && text[10] != 't')
        return badTime(text, "a T or a space must follow the date");
    const int hour = readDigits(text, 11, 2);
    if (hour < 0 || hour > 23 || text.size() < 16 || text[13] != ':')
        return badTime(text, "the time must read hour:minute");
    const int minute = readDigits(text, 14, 2);
    if (minute < 0 || minute > 59)
        return badTime(text, "the minute must be 00 to 59");
    std::size_t pos = 16;
    int second = 0;
    if (pos < text.size() && text[pos] == ':') {
        second = readDigits(text, 17, 2);
        if (second < 0 || second > 59)
            return badTime(text, "the second must be 00 to 59");
        pos = 19;
        if (pos < text.size() && (text[pos] == '.' || text[pos] == ',')) {
            ++pos;
            const std::size_t first = pos;
            while (pos < text.size() && text[pos] >= '0' && text[pos] <= '9')
                ++pos;
            if (pos == first)
                return badTime(text, "digits must follow the decimal sign");
        }
    }
    int offset = 0;
    if (pos < text.size()) {
        const char sign = text[pos];
        if (sign == 'Z' || sign == 'z') {
            ++pos;
        } else if (sign == '+' || sign == '-') {
            const int oh = readDigits(text, pos + 1, 2);
            std::size_t next = pos + 3;
            if (next < text.size() && text[next] == ':')
                ++next;
            const int om = readDigits(text, next, 2);
            if (oh < 0 || oh > 14 || om < 0 || om > 59)
                return badTime(text, "the offset must read +hh:mm");
            offset = (oh * 60 + om) * (sign == '-' ? -1 : 1);
            pos = next + 2;
        }
        if (pos != text.size())
            return badTime(text, "something follows the time");
    }
    const std::int64_t local = dayStart + hour * 3600 + minute * 60 + second;
    return Instant{local - offset * 60, offset};
}

std::string formatInstant(const Instant& instant)
{
    const std::int64_t local = instant.utcSeconds + instant.offsetMinutes * 60;
    const std::int64_t day = floorDiv(local, kSecondsPerDay);
    const std::int64_t rest = local - day * kSecondsPerDay;
    const auto date = civil(day);
    std::string text =
        fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                    static_cast<unsigned>(date.day()), rest / 3600, rest / 60 % 60, rest % 60);
    if (instant.offsetMinutes == 0)
        return text + "Z";
    const int magnitude = instant.offsetMinutes < 0 ? -instant.offsetMinutes : instant.offsetMinutes;
    return text + fmt::format("{}{:02}:{:02}", instant.offsetMinutes < 0 ? '-' : '+', magnitude / 60, magnitude % 60);
}

std::string formatDate(const Instant& instant)
{
    return formatInstant(instant).substr(0, 10);
}

std::int64_t dayNumber(const Instant& instant)
{
    return floorDiv(instant.utcSeconds + instant.offsetMinutes * 60, kSecondsPerDay);
}

Instant startOfDay(std::int64_t dayNumber)
{
    return Instant{dayNumber * kSecondsPerDay, 0};
}

double daysBetween(const Instant& a, const Instant& b)
{
    return static_cast<double>(b.utcSeconds - a.utcSeconds) / static_cast<double>(kSecondsPerDay);
}

Instant addDays(const Instant& instant, double days)
{
    return Instant{instant.utcSeconds + static_cast<std::int64_t>(std::llround(days * static_cast<double>(kSecondsPerDay))),
                   instant.offsetMinutes};
}

int isoWeekday(std::int64_t dayNumber)
{
    // 1970-01-01 was a Thursday (4).
    const std::int64_t r = (dayNumber + 3) % 7;
    return static_cast<int>(r < 0 ? r + 7 : r) + 1;
}

IsoWeek isoWeekOf(std::int64_t dayNumber)
{
    const std::int64_t thursday = dayNumber - isoWeekday(dayNumber) + 4;
    const int y = static_cast<int>(civil(thursday).year());
    const std::int64_t newYear = sys_days{year{y} / January / 1}.time_since_epoch().count();
    return IsoWeek{y, static_cast<int>((thursday - newYear) / 7) + 1};
}

std::int64_t mondayOf(const IsoWeek& week)
{
    const std::int64_t january4 = sys_days{year{week.year} / January / 4}.time_since_epoch().count();
    return january4 - (isoWeekday(january4) - 1) + (week.week - 1) * 7;
}

Result<IsoWeek> parseIsoWeek(std::string_view text)
{
    const int y = readDigits(text, 0, 4);
    const int w = text.size() == 8 ? readDigits(text, 6, 2) : -1;
    if (y < 1900 || w < 1 || text[4] != '-' || text[5] != 'W')
        return failure(Errc::BadInput, fmt::format("\"{}\" is not a week", text.substr(0, 40)), "write it as 2026-W10");
    const IsoWeek week{y, w};
    if (isoWeekOf(mondayOf(week)) != week)
        return failure(Errc::BadInput, fmt::format("{} has no week {}", y, w), "years have 52 or 53 weeks");
    return week;
}

std::string formatIsoWeek(const IsoWeek& week)
{
    return fmt::format("{:04}-W{:02}", week.year, week.week);
}

}  // namespace halfcell::core
