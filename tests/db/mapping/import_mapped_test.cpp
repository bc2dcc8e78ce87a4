#include "db/mapping/mapping.h"
#include "tests/db/exchange/tables.h"

#include <xlsxwriter.h>

#include <algorithm>

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

/// A shop with two sensors, and a mapping for a wide table of theirs.
class MappedImport : public ExchangeTest {
protected:
    void SetUp() override
    {
        ExchangeTest::SetUp();
        auto tables = goodTables();
        tables.erase("readings");
        tables.erase("lots");
        ASSERT_DONE(import(tables));
    }
    core::Result<void> take(const std::string& name, const std::string& text, const std::string& toml, ImportOptions options = {})
    {
        put(folder / name, text);
        const auto mapping = mappingFromToml(toml);
        EXPECT_TRUE(mapping.has_value()) << (mapping ? "" : mapping.error().detail + " " + mapping.error().field);
        return importMapped(*book, {folder / name}, *mapping, options, kStamp, report);
    }
    const std::string wide = R"(
mapping = "wide"
[source]
decimal = ","
dates = "day-month-year"
empty = ["n/a", "broken"]
[columns]
serial = "Serial"
when = ["Date", "Time"]
temp_degc = "Temp"
person = { column = "By", words = { "AB" = "T1" } }
[constants]
phase = "as_found"
[[rows]]
table = "readings"
columns.mv = "pH7 mV"
constants.standard = "ph7.00"
[[rows]]
table = "readings"
columns.mv = "pH4 mV"
constants.standard = "ph4.01"
[[rows]]
table = "visits"
columns.remark = "Comment"
)";
    const std::string head = "Serial;Date;Time;By;Temp;pH7 mV;pH4 mV;Comment\n";
};

TEST_F(MappedImport, MakesRowsOfAWideTable)
{
    ASSERT_DONE(take("w.csv", head + "K7-0412;2.3.25;8:45;AB;19,5;-13;161,5 mV;film\nK7-0431;2.3.25;9:10;CD;20;0,5;;\n", wide));
    for (const Refusal& r : report.refused)
        ADD_FAILURE() << r.line << " " << r.field << ": " << r.reason;
    EXPECT_EQ(report.taken, 4U);
    EXPECT_EQ(report.visits, 2U);
    const auto visit = book->loadVisit("K7-0412 2025-03-02T08:45:00Z");
    ASSERT_DONE(visit);
    EXPECT_EQ(visit->person, "T1");
    EXPECT_EQ(visit->remark, "film");
    EXPECT_EQ(visit->readings.size(), 2U);
    EXPECT_EQ(visit->readings[1].mv, 161.5);
    EXPECT_EQ(visit->readings[1].temp_degc.value, 19.5);
    EXPECT_TRUE(book->verify()->ok);
    // Again: known, nothing doubled.
    ASSERT_DONE(take("w.csv", head + "K7-0412;2.3.25;8:45;AB;19,5;-13;161,5 mV;film\nK7-0431;2.3.25;9:10;CD;20;0,5;;\n", wide));
    EXPECT_EQ(report.taken, 0U);
    EXPECT_EQ(report.unchanged, 4U);
}

TEST_F(MappedImport, NamesLineAndColumnOfTheFile)
{
    std::string third = wide;
    third.replace(third.find("decimal"), 0, "header_line = 3\n");
    ASSERT_DONE(take("w.csv",
                     "Calibrations 2025;;;;;;;\n\n" + head +
                         "K7-0412;2.3.25;8:45;AB;19,5;-13;161,5;\n"    // 4: good
                         "K7-0412;2.3.25;8:50;AB;19,5;1x3;161,5;\n"    // 5: one reading
                         "K7-9999;2.3.25;8:55;AB;19,5;-13;161,5;\n"    // 6: both
                         "K7-0412;31.2.25;8:45;AB;19,5;-13;161,5;\n"   // 7: the line, said once
                         "K7-0412;4.3.25;8:45;AB;250;-13;161,5;\n"     // 8: both
                         "K7-0412;5.3.25;8:45;AB;19,5;-13;\"161,5;\n"  // 9: the line
                         "K7-0412;2.3.25;8:45;AB;19,5;-13;161,5;\n"    // 10: line 4 again, both
                         ";6.3.25;8:45;AB;19,5;-13;161,5;\n",          // 11: the line
                     third, {.refusedFile = folder / "refused.csv"}));
    EXPECT_EQ(report.taken, 3U);
    std::map<std::size_t, std::vector<std::string>> fields;
    for (const Refusal& r : report.refused) {
        EXPECT_EQ(r.file, "w.csv");
        EXPECT_FALSE(r.remedy.empty()) << r.reason;
        fields[r.line].push_back(r.field);
    }
    const std::map<std::size_t, std::vector<std::string>> wanted = {
        {5, {"pH7 mV"}}, {6, {"Serial", "Serial"}},      {7, {"Date Time"}}, {8, {"Temp", "Temp"}},
        {9, {""}},       {10, {"standard", "standard"}}, {11, {"Serial"}}};
    EXPECT_EQ(fields, wanted);
    EXPECT_TRUE(get(folder / "refused.csv").find("w.csv,5,pH7 mV,1x3,") != std::string::npos) << get(folder / "refused.csv");
}

TEST_F(MappedImport, KeepsWordsThatStandForNoValue)
{
    ASSERT_DONE(take("w.csv", head + "K7-0412;2.3.25;8:45;AB;n/a;-13;broken;\n", wide));
    EXPECT_TRUE(report.refused.empty());
    const auto visit = book->loadVisit("K7-0412 2025-03-02T08:45:00Z");
    ASSERT_DONE(visit);
    ASSERT_EQ(visit->readings.size(), 2U);
    EXPECT_EQ(visit->readings[0].note, "Temp: n/a");
    EXPECT_TRUE(visit->readings[0].temp_degc.blank());
    EXPECT_EQ(visit->readings[1].mv, std::nullopt);
    EXPECT_EQ(visit->readings[1].why_missing, "broken");
}

TEST_F(MappedImport, ReadsEveryEncodingAndSeparatorAlike)
{
    const std::string body = "K7-0412;2.3.25;8:45;J\xC3\xB6rg;19,5;-13;161,5;ok \xC2\xB5\n";
    const auto utf16 = [](const std::string& utf8) {
        std::string bytes = "\xFF\xFE";
        for (std::size_t i = 0; i < utf8.size(); ++i) {
            unsigned c = static_cast<unsigned char>(utf8[i]);
            if (c >= 0xC0)
                c = ((c & 0x1FU) << 6U) | (static_cast<unsigned char>(utf8[++i]) & 0x3FU);
            bytes += static_cast<char>(c & 0xFFU);
            bytes += static_cast<char>(c >> 8U);
        }
        return bytes;
    };
    const auto windows = [](const std::string& utf8) {
        std::string bytes;
        for (std::size_t i = 0; i < utf8.size(); ++i) {
            const unsigned c = static_cast<unsigned char>(utf8[i]);
            bytes += c < 0xC0 ? utf8[i] : static_cast<char>(((c & 0x1FU) << 6U) | (static_cast<unsigned char>(utf8[++i]) & 0x3FU));
        }
        return bytes;
    };
    std::string tabs = head + body;
    std::ranges::replace(tabs, ';', '\t');
    ASSERT_DONE(take("a.csv", head + body, wide));
    EXPECT_EQ(report.taken, 3U);
    int n = 0;
    for (const std::string& bytes : {"\xEF\xBB\xBF" + head + body, utf16(head + body), windows(head + body), tabs}) {
        ASSERT_DONE(take("b" + std::to_string(n++) + ".txt", bytes, wide));
        EXPECT_EQ(report.unchanged, 3U) << n;
        EXPECT_TRUE(report.refused.empty()) << report.refused[0].reason;
    }
}

TEST_F(MappedImport, ReadsWorkbooks)
{
    const std::string file = (folder / "w.xlsx").string();
    lxw_workbook* workbook = workbook_new(file.c_str());
    lxw_format* date = workbook_add_format(workbook);
    format_set_num_format(date, "dd.mm.yyyy");
    lxw_worksheet* sheet = workbook_add_worksheet(workbook, "notes");
    sheet = workbook_add_worksheet(workbook, "2025");
    worksheet_merge_range(sheet, 0, 0, 0, 7, "Calibrations", nullptr);
    const char* names[] = {"Serial", "Date", "Time", "By", "Temp", "pH7 mV", "pH4 mV", "Comment"};
    for (lxw_col_t i = 0; i < 8; ++i)
        worksheet_write_string(sheet, 2, i, names[i], nullptr);
    worksheet_write_string(sheet, 3, 0, "K7-0412", nullptr);
    lxw_datetime day{2025, 3, 2, 0, 0, 0.0};
    worksheet_write_datetime(sheet, 3, 1, &day, date);
    worksheet_write_string(sheet, 3, 2, "8:45", nullptr);
    worksheet_write_number(sheet, 3, 4, 19.5, nullptr);
    worksheet_write_number(sheet, 3, 5, -13, nullptr);
    worksheet_write_string(sheet, 3, 6, "161,5", nullptr);
    worksheet_write_string(sheet, 4, 0, "K7-0412", nullptr);
    worksheet_write_number(sheet, 4, 1, 45719, nullptr);  // a date that is shown as a number
    worksheet_write_string(sheet, 4, 5, "??", nullptr);
    ASSERT_EQ(workbook_close(workbook), LXW_NO_ERROR);
    std::string toml = wide;
    toml.replace(toml.find("decimal"), 0, "header_line = 3\nsheet = \"2025\"\n");
    const auto mapping = mappingFromToml(toml);
    ASSERT_DONE(mapping);
    ASSERT_DONE(importMapped(*book, {file}, *mapping, {}, kStamp, report));
    EXPECT_EQ(report.taken, 2U);
    ASSERT_EQ(report.refused.size(), 1U);
    EXPECT_EQ(report.refused[0].line, 5U);
    EXPECT_EQ(report.refused[0].field, "pH7 mV");
    EXPECT_EQ(book->loadVisit("K7-0412 2025-03-02T08:45:00Z")->readings[1].mv, 161.5);
    Mapping other = *mapping;
    other.sheet = "2026";
    const auto missing = importMapped(*book, {file}, other, {}, kStamp, report);
    EXPECT_EQ(missing.error().field, "sheet");
    EXPECT_NE(missing.error().remedy.find("2025"), std::string::npos);
}

TEST_F(MappedImport, TakesLegacyRows)
{
    ASSERT_DONE(take(
        "l.csv", "probe,day,slope %,zero (V),who\nK7-0412,3/14/24,\"94.5\",-0.008,T1\nK7-0412,3/15/24,n/a,,T1\nK7-0412,3/16/24,980,1,T1\n",
        "[source]\ndates = \"month-day-year\"\nempty = [\"n/a\"]\n[[rows]]\ntable = \"legacy\"\ncolumns.serial = \"probe\"\n"
        "columns.when = \"day\"\ncolumns.efficiency_pct = \"slope %\"\ncolumns.offset_mv = \"zero (V)\"\ncolumns.person = \"who\"\n"
        "constants.phase = \"as_left\"\n"));
    EXPECT_EQ(report.taken, 1U);
    ASSERT_EQ(report.refused.size(), 2U);
    EXPECT_EQ(report.refused[0].line, 3U);
    EXPECT_EQ(report.refused[1].field, "slope %");
    const auto records = book->loadRecords();
    ASSERT_EQ(records->legacy.size(), 1U);
    EXPECT_EQ(records->legacy[0].efficiency_pct, 94.5);
    EXPECT_EQ(records->legacy[0].offset_mv, -8.0);
}

TEST_F(MappedImport, SaysWhatTheWholeFileLacks)
{
    put(folder / "w.csv", "Serial;Date\nK7-0412;2.3.25\n");
    const auto mapping = mappingFromToml(wide);
    const auto missing = importMapped(*book, {folder / "w.csv"}, *mapping, {}, kStamp, report);
    ASSERT_FALSE(missing.has_value());
    EXPECT_EQ(missing.error().code, Errc::BadInput);
    EXPECT_EQ(missing.error().file, "w.csv");
    EXPECT_FALSE(missing.error().field.empty());
    EXPECT_NE(missing.error().remedy.find("Serial"), std::string::npos);
    put(folder / "empty.csv", "");
    EXPECT_EQ(importMapped(*book, {folder / "empty.csv"}, *mapping, {}, kStamp, report).error().code, Errc::BadInput);
    EXPECT_EQ(importMapped(*book, {folder / "none.csv"}, *mapping, {}, kStamp, report).error().code, Errc::CannotRead);
    // Beside a good file it is a refusal.
    put(folder / "good.csv", head + "K7-0412;2.3.25;8:45;AB;19,5;-13;161,5;film\n");
    ASSERT_DONE(importMapped(*book, {folder / "w.csv", folder / "good.csv"}, *mapping, {}, kStamp, report));
    EXPECT_EQ(report.taken, 3U);
    ASSERT_EQ(report.refused.size(), 1U);
    EXPECT_EQ(report.refused[0].file, "w.csv");
}

TEST_F(MappedImport, StrictOrStoppedTakesNothing)
{
    const std::string before = book->info()->head;
    EXPECT_FALSE(
        take("w.csv", head + "K7-0412;2.3.25;8:45;AB;19,5;-13;161,5;\nK7-0412;3.3.25;8:45;AB;x;-13;161,5;\n", wide, {.strict = true})
            .has_value());
    EXPECT_EQ(report.taken, 0U);
    EXPECT_EQ(
        take("w.csv", head + "K7-0412;2.3.25;8:45;AB;19,5;-13;161,5;\n", wide, {.progress = [](double) { return false; }}).error().code,
        Errc::Cancelled);
    EXPECT_EQ(book->info()->head, before);
}

TEST_F(MappedImport, PreviewShowsLinesBeforeAndAfterAndCountsTheWhole)
{
    std::string text = head;
    for (int day = 1; day <= 28; ++day)
        text += "K7-0412;" + std::to_string(day) + ".2.25;8:45;AB;19,5;" + (day == 20 ? "x" : "-13") + ";161,5;\n";
    put(folder / "w.csv", text);
    const auto preview = previewMapping(*book, folder / "w.csv", *mappingFromToml(wide), 5);
    ASSERT_DONE(preview);
    EXPECT_EQ(preview->columns.size(), 8U);
    ASSERT_EQ(preview->before.size(), 5U);
    EXPECT_EQ(preview->before[0].first, 2U);
    EXPECT_EQ(preview->before[0].second[5], "-13");
    ASSERT_EQ(preview->after.size(), 10U);
    EXPECT_EQ(preview->after[1].table, "readings");
    EXPECT_NE(std::ranges::find(preview->after[1].cells, std::pair<std::string, std::string>{"mv", "161.5"}),
              preview->after[1].cells.end());
    EXPECT_EQ(preview->report.taken, 55U);
    ASSERT_EQ(preview->report.refused.size(), 1U);
    EXPECT_EQ(preview->report.refused[0].line, 21U);
    EXPECT_TRUE(book->loadRecords()->visits.empty());
}

}  // namespace
}  // namespace halfcell::db
