#include "db/exchange/csv_split.h"
#include "db/exchange/csv_write.h"
#include "db/exchange/public_tables.h"
#include "db/sheets/utf8.h"

#include <gtest/gtest.h>

#include <random>

namespace halfcell::db {
namespace {

struct Row {
    std::size_t line;
    CsvRecord::Fault fault;
    std::vector<std::string> cells;
};

std::vector<Row> split(std::string_view text)
{
    CsvSplitter splitter(text);
    CsvRecord record;
    std::vector<Row> rows;
    while (splitter.next(record))
        rows.push_back({record.line, record.fault, {record.cells.begin(), record.cells.end()}});
    return rows;
}

TEST(CsvSplitter, ReadsWhatRfc4180Says)
{
    const auto rows = split("a,b,c\r\n1,\"x, \"\"y\"\"\r\nz\",\r\n,,\nlast");
    ASSERT_EQ(rows.size(), 4U);
    EXPECT_EQ(rows[1].cells, (std::vector<std::string>{"1", "x, \"y\"\r\nz", ""}));
    EXPECT_EQ(rows[1].line, 2U);
    EXPECT_EQ(rows[2].line, 4U);
    EXPECT_EQ(rows[2].cells.size(), 3U);
    EXPECT_EQ(rows[3].cells, (std::vector<std::string>{"last"}));
}

TEST(CsvSplitter, PassesOverBlankLinesAndCountsThem)
{
    const auto rows = split("a\n\n\r\nb\n");
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(rows[1].line, 4U);
    EXPECT_TRUE(split("").empty());
    EXPECT_TRUE(split("\n\r\n").empty());
}

TEST(CsvSplitter, OneBadRowDoesNotSwallowTheNext)
{
    const auto rows = split("1,\"open\n2,ok\n3,st\"ray\n4,\"closed\"x\n5,\"fine\"\n");
    ASSERT_EQ(rows.size(), 5U);
    EXPECT_EQ(rows[0].fault, CsvRecord::Fault::StrayQuote);  // its quote pairs with the next line's
    EXPECT_EQ(rows[1].cells[1], "ok");
    EXPECT_EQ(rows[2].fault, CsvRecord::Fault::StrayQuote);
    EXPECT_EQ(rows[3].fault, CsvRecord::Fault::StrayQuote);
    EXPECT_EQ(rows[4].cells[1], "fine");
    EXPECT_EQ(rows[4].line, 5U);
    EXPECT_EQ(split("1,\"open to the end\n2,ok")[0].fault, CsvRecord::Fault::OpenQuote);
    EXPECT_EQ(split("1,\"open to the end\n2,ok")[1].cells[0], "2");
}

// Marks are looked for 64 bytes at a time: a cell may end on either side of such a border, whatever the separator, also where the text
// ends in the middle of one, and a carriage return alone belongs to its cell.
TEST(CsvSplitter, ACellOfAnyLengthEndsAtItsSeparator)
{
    for (const char separator : {',', ';', '\t', '|', '\0'})
        for (std::size_t length = 0; length <= 200; ++length) {
            const std::string first(length, 'a');
            const std::string second = "b\r" + std::string(length / 3, 'c');
            const std::string text = first + separator + second + "\r\n" + second + separator + first;
            CsvSplitter splitter(text, 1, separator);
            CsvRecord record;
            ASSERT_TRUE(splitter.next(record)) << length;
            EXPECT_EQ(record.cells, (std::vector<std::string_view>{first, second})) << length;
            ASSERT_TRUE(splitter.next(record)) << length;
            EXPECT_EQ(record.cells, (std::vector<std::string_view>{second, first})) << length;
            EXPECT_EQ(record.line, 2U);
            EXPECT_FALSE(splitter.next(record)) << length;
        }
}

// What a record is does not depend on the one before it: read into a fresh record every time, the text gives the same rows.
TEST(CsvSplitter, ARecordDoesNotDependOnTheOneBefore)
{
    std::mt19937 random(11);
    constexpr std::string_view kLetters = "aaaaaab,,,,\n\n\r\"";
    int records = 0;
    for (int round = 0; round < 20'000; ++round) {
        std::string text;
        for (std::size_t i = random() % 300; i > 0; --i) {
            const std::size_t letter = random() % (kLetters.size() + 2);
            text += letter < kLetters.size() ? std::string(1, kLetters[letter]) : letter == kLetters.size() ? "\r\n" : ",\"a\"\"b\",";
        }
        CsvSplitter splitter(text);
        CsvSplitter again(text);
        CsvRecord record;
        while (splitter.next(record)) {
            ++records;
            CsvRecord fresh;
            ASSERT_TRUE(again.next(fresh)) << text;
            ASSERT_EQ(record.fault, fresh.fault) << text;
            ASSERT_EQ(record.line, fresh.line) << text;
            ASSERT_EQ(record.raw, fresh.raw) << text;
            ASSERT_EQ(splitter.position(), again.position()) << text;
            if (record.fault == CsvRecord::Fault::None) {
                ASSERT_EQ(record.cells, fresh.cells) << text;
                ASSERT_EQ(record.quotedCells, fresh.quotedCells) << text;
                ASSERT_EQ(record.severalLines, fresh.severalLines) << text;
            }
        }
        CsvRecord none;
        ASSERT_FALSE(again.next(none)) << text;
    }
    EXPECT_GT(records, 100'000);
}

TEST(CsvSplitter, RefusesARecordOfTenMegabytes)
{
    const auto rows = split("1," + std::string(10'000'000, 'x') + "\n2,ok\n");
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(rows[0].fault, CsvRecord::Fault::TooLong);
    EXPECT_EQ(rows[1].cells[1], "ok");
}

TEST(CsvWriter, WritesWhatTheSplitterReadsBack)
{
    const std::vector<std::string> cells = {"plain", "", "a,b", "say \"so\"", "two\nlines", " blank ", "-3.5", "µS"};
    std::string text;
    appendRecord(text, cells);
    EXPECT_TRUE(text.ends_with("\r\n"));
    EXPECT_EQ(split(text)[0].cells, cells);
}

TEST(Utf8, FindsTheFirstByteThatIsNone)
{
    EXPECT_EQ(firstNotUtf8("plain text that is longer than a block"), std::string_view::npos);
    EXPECT_EQ(firstNotUtf8("µ Ω → 𝄞"), std::string_view::npos);
    EXPECT_EQ(firstNotUtf8("caf\xE9"), 3U);
    EXPECT_EQ(firstNotUtf8("\xC0\xAF"), 0U);          // overlong
    EXPECT_EQ(firstNotUtf8("ab\xED\xA0\x80"), 2U);    // surrogate
    EXPECT_EQ(firstNotUtf8("\xF4\x90\x80\x80"), 0U);  // beyond the last character
    EXPECT_EQ(firstNotUtf8("ab\xE2\x82"), 2U);        // cut short
    EXPECT_EQ(shortened("µµµµ", 2), "µµ…");
    EXPECT_EQ(shortened("a\nb\xFF"), "a·b·");
}

TEST(PublicTables, HaveTheirColumnsFromTheCatalogue)
{
    const auto readings = publicColumns(PublicTable::Readings);
    std::string names;
    for (const PublicColumn& column : readings)
        names += std::string(column.name) + (column.required ? "* " : " ");
    EXPECT_EQ(names, "visit* when* serial* tag person reason phase* standard* lot mv* temp_degc temp_source wait_s t90_s settled meter "
                     "thermometer dip shown_ph keyed why_missing note settle recorded ");
    EXPECT_TRUE(readings[9].number);
    EXPECT_FALSE(readings[8].number);
    EXPECT_EQ(tableNamed("Readings"), PublicTable::Readings);
    EXPECT_EQ(tableNamed("reading"), std::nullopt);
}

}  // namespace
}  // namespace halfcell::db
