#include "db/mapping/foreign_cell.h"

#include "core/quantity/instant.h"
#include "core/quantity/number.h"
#include "db/sheets/utf8.h"
#include "db/sheets/workbook_reader.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <chrono>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

constexpr std::array<std::string_view, 12> kMonths = {"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"};

/// Days since 1900 that a bare number of a workbook may mean as a date: 1954 to 2119.
constexpr double kFirstSerial = 20'000.0, kLastSerial = 80'000.0;

std::unexpected<core::Error> noDate(std::string_view text, std::string_view why)
{
    return core::failure(Errc::BadInput, fmt::format("\"{}\" is no date: {}", shortened(text, 40), why),
                         "write the date as the mapping says (its order of day, month and year), or change the mapping");
}

/// Reads a text from the front.
class Scanner {
public:
    explicit Scanner(std::string_view text) : m_left(text) {}
    [[nodiscard]] bool done() const { return m_left.empty(); }
    [[nodiscard]] std::string_view left() const { return m_left; }
    /// A run of digits; its length too.
    bool number(int& value, std::size_t& digits)
    {
        const auto [end, ec] = std::from_chars(m_left.data(), m_left.data() + m_left.size(), value);
        if (ec != std::errc{} || m_left.front() == '-')
            return false;
        digits = static_cast<std::size_t>(end - m_left.data());
        m_left.remove_prefix(digits);
        return true;
    }
    bool month(int& value)
    {
        std::size_t letters = 0;
        while (letters < m_left.size() && ((m_left[letters] | 0x20) >= 'a' && (m_left[letters] | 0x20) <= 'z'))
            ++letters;
        if (letters < 3)
            return false;
        const std::string word = lowerCase(m_left.substr(0, 3));
        for (std::size_t i = 0; i < kMonths.size(); ++i)
            if (kMonths[i] == word) {
                value = static_cast<int>(i) + 1;
                m_left.remove_prefix(letters);
                return true;
            }
        return false;
    }
    bool any(std::string_view characters)
    {
        bool found = false;
        while (!m_left.empty() && characters.find(m_left.front()) != std::string_view::npos) {
            m_left.remove_prefix(1);
            found = true;
        }
        return found;
    }

private:
    std::string_view m_left;
};

/// A date's three parts, or what is wrong with them.
std::string_view readDate(Scanner& scan, const Mapping& mapping, int& year, int& month, int& day)
{
    std::array<int, 3> parts{};
    std::array<std::size_t, 3> digits{};
    int monthPlace = -1;
    for (std::size_t i = 0; i < 3; ++i) {
        if (i > 0 && !scan.any("./- ,"))
            return "day, month and year expected";
        if (scan.number(parts[i], digits[i]))
            continue;
        if (monthPlace >= 0 || !scan.month(parts[i]))
            return "day, month and year expected";
        monthPlace = static_cast<int>(i);
    }
    std::size_t y = 2, m = 1, d = 0;
    if (digits[0] == 4 || (monthPlace < 0 && digits[2] != 4 && mapping.dates == DateOrder::YearMonthDay)) {
        y = 0;
        m = 1;
        d = 2;
    } else if (monthPlace == 0 || (monthPlace < 0 && mapping.dates == DateOrder::MonthDayYear)) {
        m = 0;
        d = 1;
    } else if (monthPlace < 0 && mapping.dates == DateOrder::YearMonthDay) {
        return "the mapping says that the year comes first";
    }
    if (digits[y] != 4 && digits[y] != 2)
        return "the year has two digits or four";
    year = parts[y];
    if (digits[y] == 2) {
        year += mapping.twoDigitYearsFrom / 100 * 100;
        if (year < mapping.twoDigitYearsFrom)
            year += 100;
    }
    month = parts[m];
    day = parts[d];
    return {};
}

}  // namespace

Result<std::string> foreignMoment(const SheetCell& cell, const Mapping& mapping)
{
    std::string_view text = trimmedCell(cell.text);
    std::string serial;
    if (cell.kind == SheetCell::Kind::Number)
        if (const auto days = core::parseNumber(text); days && *days > kFirstSerial && *days < kLastSerial) {
            // A workbook's date whose cell was not shown as one.
            serial = momentOfSerial(*days, false);
            text = serial;
        }
    Scanner scan(text);
    int year = 0, month = 0, day = 0;
    if (const std::string_view wrong = readDate(scan, mapping, year, month, day); !wrong.empty()) {
        const auto days = core::parseNumber(text);
        if (days && *days > kFirstSerial && *days < kLastSerial)
            return core::failure(Errc::BadInput,
                                 fmt::format("\"{}\" is no date: it seems to be a spreadsheet's number of a day", shortened(text, 40)),
                                 "show the column as dates in the spreadsheet and save it again, or take the workbook itself (XLSX)");
        return noDate(cell.text, wrong);
    }
    std::string iso = fmt::format("{:04}-{:02}-{:02}", year, month, day);
    if (scan.any("T ,") && !scan.done()) {
        std::array<int, 3> time{};
        std::size_t digits = 0;
        for (std::size_t i = 0; i < 3; ++i) {
            if (!scan.number(time[i], digits) || digits > 2)
                return noDate(cell.text, "hours and minutes expected");
            if (i == 1 && !scan.left().starts_with(':'))
                break;
            if (i < 2 && !scan.any(":"))
                return noDate(cell.text, "hours and minutes expected");
        }
        if (int rest = 0; scan.left().starts_with('.')) {
            scan.any(".");
            scan.number(rest, digits);  // parts of a second are not kept
        }
        scan.any(" ");
        const std::string half = lowerCase(scan.left());
        if (half == "am" || half == "pm" || half == "a.m." || half == "p.m.") {
            if (time[0] < 1 || time[0] > 12)
                return noDate(cell.text, "the hour lies outside 1 to 12");
            time[0] = time[0] % 12 + (half.front() == 'p' ? 12 : 0);
            scan = Scanner({});
        }
        iso += fmt::format("T{:02}:{:02}:{:02}", time[0], time[1], time[2]);
    }
    iso += scan.done() ? std::string_view(mapping.utcOffset) : scan.left();
    // A date alone with an offset is its first second there.
    if (scan.done() && !mapping.utcOffset.empty() && iso.find('T') == std::string::npos)
        iso.insert(10, "T00:00:00");
    const auto moment = core::parseInstant(iso);
    if (!moment && year < 1900)
        return noDate(cell.text, fmt::format("the year {} lies before 1900", year));
    if (!moment && !std::chrono::year_month_day(std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                                std::chrono::day(static_cast<unsigned>(day)))
                        .ok())
        return noDate(cell.text, fmt::format("read as day {}, month {}, year {} there is no such day", day, month, year));
    if (!moment)
        return noDate(cell.text, moment.error().detail);
    return core::formatInstant(*moment);
}

}  // namespace halfcell::db
