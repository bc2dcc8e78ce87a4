#include "db/mapping/foreign_cell.h"
#include "db/mapping/guess_parts.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <set>

namespace halfcell::db::guess {

namespace {

/// Words that stand for no value, in small letters; common practice.
constexpr std::array<std::string_view, 16> kNoValue = {"-", "--", "---", "n/a",      "na",         "n.a.",   "none",    "nil",
                                                       "?", "x",  "/",   "not read", "no reading", "broken", "missing", "#n/a"};

bool figure(char c)
{
    return c >= '0' && c <= '9';
}

/// What the separators in numbers have been seen to do.
struct Signs {
    int pointDecimal = 0, commaDecimal = 0, pointThousands = 0, commaThousands = 0, blankThousands = 0, quoteThousands = 0;
};

/// Digits behind the last of a sign.
std::size_t digitsBehind(std::string_view text, std::size_t at)
{
    std::size_t n = 0;
    while (at + 1 + n < text.size() && figure(text[at + 1 + n]))
        ++n;
    return n;
}

void lookAtNumber(std::string_view text, Signs& signs)
{
    const std::size_t point = text.rfind('.'), comma = text.rfind(',');
    const bool hasPoint = point != std::string_view::npos, hasComma = comma != std::string_view::npos;
    const auto several = [&](char c) { return std::ranges::count(text, c) > 1; };
    if (hasPoint && hasComma) {
        if (point > comma) {
            ++signs.pointDecimal;
            ++signs.commaThousands;
        } else {
            ++signs.commaDecimal;
            ++signs.pointThousands;
        }
    } else if (hasPoint) {
        if (several('.'))
            ++signs.pointThousands;
        else if (digitsBehind(text, point) != 3)
            ++signs.pointDecimal;
    } else if (hasComma) {
        if (several(','))
            ++signs.commaThousands;
        else if (digitsBehind(text, comma) != 3)
            ++signs.commaDecimal;
    }
    for (std::size_t i = 1; i + 3 < text.size(); ++i) {
        if (!figure(text[i - 1]))
            continue;
        if (text[i] == ' ' && digitsBehind(text, i) == 3)
            ++signs.blankThousands;
        if (text[i] == '\'' && digitsBehind(text, i) == 3)
            ++signs.quoteThousands;
        if ((text.substr(i).starts_with("\xC2\xA0") && digitsBehind(text, i + 1) == 3) ||
            (text.substr(i).starts_with("\xE2\x80\xAF") && digitsBehind(text, i + 2) == 3))
            ++signs.blankThousands;
    }
}

/// The first three numbers of a date.
bool numbersOf(std::string_view text, std::array<int, 3>& numbers, bool& yearFirst)
{
    std::size_t n = 0;
    for (std::size_t i = 0; i < text.size() && n < 3;) {
        if (!figure(text[i])) {
            // A month's name says its own place.
            if ((text[i] | 0x20) >= 'a' && (text[i] | 0x20) <= 'z')
                return false;
            ++i;
            continue;
        }
        std::size_t digits = 0;
        int value = 0;
        while (i < text.size() && figure(text[i]) && digits < 4) {
            value = value * 10 + (text[i++] - '0');
            ++digits;
        }
        if (n == 0)
            yearFirst = digits == 4;
        numbers[n++] = value;
    }
    return n == 3;
}

}  // namespace

Writing writingOf(const std::vector<SheetRow>& rows, const std::vector<std::size_t>& numbers, const std::vector<std::size_t>& dates)
{
    Writing writing;
    Signs signs;
    std::set<std::string> empty;
    for (const SheetRow& row : rows)
        for (const std::size_t column : numbers) {
            if (column >= row.cells.size() || row.cells[column].kind == SheetCell::Kind::Number)
                continue;
            const std::string_view text = trimmedCell(row.cells[column].text);
            if (text.empty())
                continue;
            if (std::ranges::any_of(text, figure))
                lookAtNumber(text, signs);
            else if (const std::string word = lowerCase(text); std::ranges::find(kNoValue, word) != kNoValue.end())
                empty.insert(word);
        }
    writing.empty.assign(empty.begin(), empty.end());
    if (signs.commaDecimal > signs.pointDecimal)
        writing.decimal = ',';
    if (writing.decimal == ',' && signs.pointThousands > 0)
        writing.thousands = ".";
    else if (writing.decimal == '.' && signs.commaThousands > 0)
        writing.thousands = ",";
    else if (signs.blankThousands > 0)
        writing.thousands = " ";
    else if (signs.quoteThousands > 0)
        writing.thousands = "'";

    int dayFirst = 0, monthFirst = 0, yearFirst = 0;
    for (const SheetRow& row : rows)
        for (const std::size_t column : dates) {
            if (column >= row.cells.size() || row.cells[column].kind == SheetCell::Kind::Moment)
                continue;
            std::array<int, 3> parts{};
            bool year = false;
            if (!numbersOf(trimmedCell(row.cells[column].text), parts, year))
                continue;
            writing.sawDates = true;
            if (year || parts[0] > 31)
                ++yearFirst;
            else if (parts[0] > 12)
                ++dayFirst;
            else if (parts[1] > 12)
                ++monthFirst;
        }
    if (yearFirst > dayFirst + monthFirst)
        writing.dates = DateOrder::YearMonthDay;
    else if (dayFirst > monthFirst)
        writing.dates = DateOrder::DayMonthYear;
    else if (monthFirst > 0)
        writing.dates = DateOrder::MonthDayYear;
    return writing;
}

}  // namespace halfcell::db::guess
