#include "db/mapping/foreign_cell.h"
#include "db/mapping/source_table.h"

#include <gtest/gtest.h>

namespace halfcell::db {
namespace {

std::string number(std::string_view text, const char* field = "mv", char decimal = '.', const char* thousands = "", const char* unit = "")
{
    Mapping mapping;
    mapping.decimal = decimal;
    mapping.thousands = thousands;
    const auto value = foreignNumber({.text = std::string(text)}, field, unit, mapping);
    return value ? *value : "refused";
}

TEST(ForeignNumber, ReadsEveryWayOfWriting)
{
    EXPECT_EQ(number("-12.5"), "-12.5");
    EXPECT_EQ(number("-12,5", "mv", ','), "-12.5");
    EXPECT_EQ(number("1.234,5", "mv", ',', "."), "1234.5");
    EXPECT_EQ(number("1,234.5", "mv", '.', ","), "1234.5");
    EXPECT_EQ(number("1 234,5", "mv", ',', " "), "1234.5");
    EXPECT_EQ(number("1\xC2\xA0"
                     "234",
                     "mv", ',', " "),
              "1234");
    EXPECT_EQ(number("1'234", "mv", '.', "'"), "1234");
    EXPECT_EQ(number("12.5 mV"), "12.5");
    EXPECT_EQ(number("0.1772 V"), "177.2");
    EXPECT_EQ(number("\xE2\x88\x92"
                     "3.4mV"),
              "-3.4");
    EXPECT_EQ(number("77 \xC2\xB0"
                     "F",
                     "temp_degc"),
              "25");
    EXPECT_EQ(number("77", "temp_degc", '.', "", "degF"), "25");
    EXPECT_EQ(number("298.15 K", "temp_degc"), "25");
    EXPECT_EQ(number("25\xC2\xB0"
                     "C",
                     "temp_degc"),
              "25");
    EXPECT_EQ(number("95 %", "efficiency_pct"), "95");
    EXPECT_EQ(number("2 min", "wait_s"), "120");
    EXPECT_EQ(number("pH 7.02", "shown_ph"), "7.02");
    EXPECT_EQ(number("250 M\xCE\xA9", "glass_mohm"), "250");
    EXPECT_EQ(number("0,250 GOhm", "glass_mohm", ','), "250");
}

TEST(ForeignNumber, RefusesWhatCouldBeAnother)
{
    for (const char* text : {"1.5", "1.2345", "12.34.567"})
        EXPECT_EQ(number(text, "mv", ',', "."), "refused") << text;
    EXPECT_EQ(number("12.5", "mv", ','), "refused");
    EXPECT_EQ(number("12,5"), "refused");
    EXPECT_EQ(number("12 mg"), "refused");
    EXPECT_EQ(number("25 mV", "temp_degc"), "refused");
    EXPECT_EQ(number("broken"), "refused");
    EXPECT_EQ(number("12 or 13"), "refused");
    EXPECT_EQ(number("~12"), "refused");
}

std::string moment(std::string_view text, DateOrder order, const char* offset = "", SheetCell::Kind kind = SheetCell::Kind::Text,
                   int from = 1970)
{
    Mapping mapping;
    mapping.dates = order;
    mapping.utcOffset = offset;
    mapping.twoDigitYearsFrom = from;
    const auto value = foreignMoment({.text = std::string(text), .kind = kind}, mapping);
    return value ? *value : "refused";
}

TEST(ForeignMoment, ReadsEveryOrderOfDayMonthAndYear)
{
    using enum DateOrder;
    EXPECT_EQ(moment("2.3.2026", DayMonthYear), "2026-03-02T00:00:00Z");
    EXPECT_EQ(moment("02/03/26 08:12", DayMonthYear), "2026-03-02T08:12:00Z");
    EXPECT_EQ(moment("3/2/2026 8:12:30 PM", MonthDayYear), "2026-03-02T20:12:30Z");
    EXPECT_EQ(moment("3/2/2026 12:05 am", MonthDayYear), "2026-03-02T00:05:00Z");
    EXPECT_EQ(moment("2 Mar 2026", MonthDayYear), "2026-03-02T00:00:00Z");
    EXPECT_EQ(moment("March 2, 2026", DayMonthYear), "2026-03-02T00:00:00Z");
    EXPECT_EQ(moment("26-03-02", YearMonthDay), "2026-03-02T00:00:00Z");
    EXPECT_EQ(moment("2026-03-02", DayMonthYear), "2026-03-02T00:00:00Z");  // four digits first are a year
    EXPECT_EQ(moment("2.3.69", DayMonthYear), "2069-03-02T00:00:00Z");
    EXPECT_EQ(moment("2.3.70", DayMonthYear), "1970-03-02T00:00:00Z");
    EXPECT_EQ(moment("2.3.69", DayMonthYear, "", SheetCell::Kind::Text, 1950), "1969-03-02T00:00:00Z");
    EXPECT_EQ(moment("2.3.2026 8:12", DayMonthYear, "+01:00"), "2026-03-02T08:12:00+01:00");
    EXPECT_EQ(moment("2.3.2026", DayMonthYear, "+01:00"), "2026-03-02T00:00:00+01:00");
    EXPECT_EQ(moment("2026-03-02T08:12:00Z", DayMonthYear, "+01:00"), "2026-03-02T08:12:00Z");
    EXPECT_EQ(moment("46083", DayMonthYear, "", SheetCell::Kind::Number), "2026-03-02T00:00:00Z");
    EXPECT_EQ(moment("2026-03-02T08:12:00", DayMonthYear, "", SheetCell::Kind::Moment), "2026-03-02T08:12:00Z");
    for (const char* text : {"31.2.2026", "2.13.2026", "2.3.026", "today", "12", "2.3.2026 25:00", "2.3.2026 13:00 pm", "2.3.2026 8", ""})
        EXPECT_EQ(moment(text, DayMonthYear), "refused") << text;
}

TEST(HeaderNames, JoinLinesAndTitlesOverSeveralColumns)
{
    const auto row = [](std::initializer_list<const char*> cells) {
        SheetRow r;
        for (const char* cell : cells)
            r.cells.push_back({.text = cell});
        return r;
    };
    EXPECT_EQ(headerNames({row({"Serial", "pH 7", "", "pH 4", "", "By"}), row({"no", "mV", "temp", "mV", "temp", ""})}),
              (std::vector<std::string>{"Serial no", "pH 7 mV", "pH 7 temp", "pH 4 mV", "pH 4 temp", "By"}));
    EXPECT_EQ(headerNames({row({"a", "", "a", " b \n c "})}), (std::vector<std::string>{"a", "column 2", "a (2)", "b c"}));
    EXPECT_EQ(guessSeparator("a;b;c\n1,5;2;3\n1,5;2;3\n"), ';');
    EXPECT_EQ(guessSeparator("a\tb\n1,5\t2\n"), '\t');
    EXPECT_EQ(guessSeparator("a,b\n1,2\n"), ',');
    EXPECT_EQ(guessSeparator("one word"), ',');
}

}  // namespace
}  // namespace halfcell::db
