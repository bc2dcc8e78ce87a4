#include "db/sheets/workbook_reader.h"

#include <fmt/format.h>

#include <chrono>
#include <cmath>

namespace halfcell::db {

std::string momentOfSerial(double days, bool from1904)
{
    // 1 January 1900 is day 1; from day 60 on the format counts a 29 February 1900 that never was.
    constexpr double kLastDay = 2958465.0;  // 31 December 9999
    if (!(days >= 0.0) || days >= kLastDay + 1.0)
        return {};
    auto seconds = static_cast<long long>(std::llround(days * 86400.0));
    const long long whole = seconds / 86400;
    seconds %= 86400;
    const std::string time = fmt::format("{:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60);
    if (whole == 0 && !from1904)
        return time;
    const std::chrono::sys_days first = std::chrono::year{1899} / 12 / 30;
    const std::chrono::sys_days first1904 = std::chrono::year{1904} / 1 / 1;
    const std::chrono::year_month_day day{from1904 ? first1904 + std::chrono::days{whole}
                                                   : first + std::chrono::days{whole < 60 ? whole + 1 : whole}};
    const std::string date = fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                                         static_cast<unsigned>(day.day()));
    return seconds == 0 ? date : date + "T" + time;
}

bool showsMoments(std::string_view format)
{
    for (std::size_t i = 0; i < format.size(); ++i) {
        switch (format[i]) {
        case '"': {
            const std::size_t end = format.find('"', i + 1);
            if (end == std::string_view::npos)
                return false;
            i = end;
            break;
        }
        case '[': {
            const std::size_t end = format.find(']', i);
            if (end == std::string_view::npos)
                return false;
            // [h], [mm], [ss] are running hours, minutes, seconds; anything else in brackets is a colour or a place.
            const std::string_view inside = format.substr(i + 1, end - i - 1);
            if (!inside.empty() && inside.find_first_not_of("hHmMsS") == std::string_view::npos)
                return true;
            i = end;
            break;
        }
        case '\\':
        case '_':
        case '*': ++i; break;
        case ';': return false;  // the formats of negative numbers and of text say nothing of their own
        case 'y':
        case 'Y':
        case 'd':
        case 'D':
        case 'h':
        case 'H':
        case 'm':
        case 'M':
        case 's':
        case 'S': return true;
        case 'G':
        case 'g':
            if (format.substr(i).starts_with("General") || format.substr(i).starts_with("GENERAL"))
                i += 6;
            break;
        default: break;
        }
    }
    return false;
}

}  // namespace halfcell::db
