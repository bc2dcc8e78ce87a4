#include "db/sheets/workbook_reader.h"
#include "tests/db/support/book_fixture.h"

#include <gtest/gtest.h>

#include <xlsxwriter.h>
#include <zip.h>

#include <fstream>

/// Workbooks made by another program's library (libxlsxwriter), and by hand.
namespace halfcell::db {
namespace {

using core::Errc;

std::vector<SheetRow> rowsOf(const std::filesystem::path& file, std::size_t sheet = 0)
{
    auto reader = WorkbookReader::open(file);
    EXPECT_TRUE(reader.has_value()) << (reader ? "" : reader.error().detail);
    std::vector<SheetRow> rows;
    if (reader) {
        const auto done = reader->rows(sheet, [&](const SheetRow& row, double) {
            rows.push_back(row);
            return true;
        });
        EXPECT_TRUE(done.has_value()) << (done ? "" : done.error().detail);
    }
    return rows;
}

std::string texts(const SheetRow& row)
{
    std::string all;
    for (std::size_t i = 0; i < row.cells.size(); ++i)
        all += (i == 0 ? "" : "|") + row.cells[i].text;
    return all;
}

/// A workbook of one sheet by hand.
void pack(const std::filesystem::path& file, const std::string& sheetData, const std::string& shared = {}, const std::string& styles = {})
{
    int error = 0;
    zip_t* archive = zip_open(file.c_str(), ZIP_CREATE | ZIP_TRUNCATE, &error);
    ASSERT_NE(archive, nullptr);
    const std::string relations = "<Relationships><Relationship Id=\"r1\" Target=\"worksheets/one.xml\"/></Relationships>";
    const std::string book =
        "<x:workbook xmlns:x=\"x\"><x:sheets><x:sheet name=\"one\" r:id=\"r1\" xmlns:r=\"r\"/></x:sheets></x:workbook>";
    const auto add = [&](const char* name, const std::string& text) {
        if (!text.empty())
            zip_file_add(archive, name, zip_source_buffer(archive, text.data(), text.size(), 0), ZIP_FL_OVERWRITE);
    };
    add("xl/workbook.xml", book);
    add("xl/_rels/workbook.xml.rels", relations);
    add("xl/worksheets/one.xml", sheetData);
    add("xl/sharedStrings.xml", shared);
    add("xl/styles.xml", styles);
    ASSERT_EQ(zip_close(archive), 0);
}

class Workbooks : public ::testing::Test {
protected:
    testing::Folder folder;
};

TEST_F(Workbooks, WrittenByAnotherLibraryComeBack)
{
    const std::string file = (folder / "a.xlsx").string();
    for (const bool constant : {false, true}) {
        lxw_workbook_options options{};
        options.constant_memory = constant ? LXW_TRUE : LXW_FALSE;
        lxw_workbook* book = workbook_new_opt(file.c_str(), &options);
        lxw_format* date = workbook_add_format(book);
        format_set_num_format(date, "dd.mm.yyyy hh:mm");
        lxw_format* unit = workbook_add_format(book);
        format_set_num_format(unit, "General\" mV\"");
        lxw_worksheet* first = workbook_add_worksheet(book, "Readings");
        workbook_add_worksheet(book, "Empty");
        worksheet_write_string(first, 0, 0, "serial", nullptr);
        worksheet_write_string(first, 0, 2, "pH 7 \xC2\xB5", nullptr);
        worksheet_write_string(first, 2, 0, "K7 <&> \"q\"\nline _x005F_x0041_", nullptr);
        worksheet_write_number(first, 2, 1, -12.3, unit);
        worksheet_write_number(first, 2, 2, 1e-7, nullptr);
        lxw_datetime moment{2026, 3, 2, 8, 12, 30.0};
        worksheet_write_datetime(first, 2, 3, &moment, date);
        worksheet_write_boolean(first, 2, 4, 1, nullptr);
        worksheet_write_formula_num(first, 2, 5, "=1+2", nullptr, 3.0);
        ASSERT_EQ(workbook_close(book), LXW_NO_ERROR);

        const auto rows = rowsOf(file);
        ASSERT_EQ(rows.size(), 2U);
        EXPECT_EQ(texts(rows[0]), "serial||pH 7 \xC2\xB5");
        EXPECT_EQ(rows[0].line, 1U);
        EXPECT_EQ(rows[1].line, 3U);
        EXPECT_EQ(texts(rows[1]), "K7 <&> \"q\"\nline _x0041_|-12.3|1e-07|2026-03-02T08:12:30|yes|3");
        EXPECT_EQ(rows[1].cells[1].kind, SheetCell::Kind::Number);
        EXPECT_EQ(rows[1].cells[3].kind, SheetCell::Kind::Moment);
        EXPECT_TRUE(rowsOf(file, 1).empty());
        EXPECT_EQ(WorkbookReader::open(file)->sheets(), (std::vector<std::string>{"Readings", "Empty"}));
    }
}

TEST_F(Workbooks, OfOtherShapesAreReadToo)
{
    pack(folder / "b.xlsx",
         "<worksheet><sheetData><row><c t=\"inlineStr\"><is><r><t>rich "
         "</t></r><r><t>text</t></r><rPh><t>no</t></rPh></is></c><c><v>1</v></c></row>"
         "<row r=\"7\"><c r=\"C7\" t=\"s\"><v>0</v></c><c r=\"D7\" t=\"e\"><v>#N/A</v></c><c r=\"E7\" s=\"1\"><v>45000.5</v></c>"
         "<c r=\"F7\" s=\"1\"><v>0.25</v></c><c r=\"G7\" t=\"str\"><f>a</f><v>made</v></c></row></sheetData></worksheet>",
         "<sst><si><r><t>one </t></r><r><t>_x00B0_C</t></r></si></sst>",
         "<styleSheet><numFmts><numFmt numFmtId=\"170\" formatCode=\"[red]d/m/yy\"/></numFmts><cellXfs><xf numFmtId=\"0\"/><xf "
         "numFmtId=\"170\"/></cellXfs></styleSheet>");
    const auto rows = rowsOf(folder / "b.xlsx");
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(texts(rows[0]), "rich text|1");
    EXPECT_EQ(texts(rows[1]), "||one \xC2\xB0"
                              "C|#N/A|2023-03-15T12:00:00|06:00:00|made");
    EXPECT_EQ(rows[1].line, 7U);
}

TEST_F(Workbooks, BrokenOnesSaySo)
{
    const auto error = [&](const std::string& data, const std::string& shared = {}) {
        pack(folder / "c.xlsx", data, shared);
        auto reader = WorkbookReader::open(folder / "c.xlsx");
        if (!reader)
            return reader.error();
        const auto done = reader->rows(0, [](const SheetRow&, double) { return true; });
        return done ? core::Error{} : done.error();
    };
    for (const auto& bad :
         {error("<worksheet><sheetData><row r=\"2\"/><row r=\"1\"/></sheetData></worksheet>"),
          error("<worksheet><sheetData><row r=\"9999999\"/></sheetData></worksheet>"),
          error("<worksheet><sheetData><row r=\"1\"><c r=\"B1\"><v>1</v></c><c r=\"A1\"><v>1</v></c></row></sheetData></worksheet>"),
          error("<worksheet><sheetData><row r=\"1\"><c r=\"XFD1\"><v>1</v></c></row></sheetData></worksheet>"),
          error("<worksheet><sheetData><row r=\"1\"><c t=\"s\"><v>5</v></c></row></sheetData></worksheet>"),
          error("<worksheet><sheetData><row r=\"1\"><c><v>1</v></c>"),
          error("<!DOCTYPE a [<!ENTITY b \"bbbb\">]><worksheet><sheetData/></worksheet>"), error("<worksheet/>", "<sst><si>")}) {
        EXPECT_EQ(bad.code, Errc::BadInput) << bad.detail;
        EXPECT_FALSE(bad.remedy.empty());
        EXPECT_EQ(bad.file, "c.xlsx");
    }
    std::ofstream(folder / "d.xlsx") << "this is no packed file";
    EXPECT_EQ(WorkbookReader::open(folder / "d.xlsx").error().code, Errc::BadInput);
    EXPECT_EQ(WorkbookReader::open(folder / "none.xlsx").error().code, Errc::CannotRead);
}

TEST(Moments, CountFromTheFormatsFirstDay)
{
    EXPECT_EQ(momentOfSerial(1, false), "1900-01-01");
    EXPECT_EQ(momentOfSerial(59, false), "1900-02-28");
    EXPECT_EQ(momentOfSerial(61, false), "1900-03-01");
    EXPECT_EQ(momentOfSerial(25569, false), "1970-01-01");
    EXPECT_EQ(momentOfSerial(24107, true), "1970-01-01");
    EXPECT_EQ(momentOfSerial(46083.342361111, false), "2026-03-02T08:13:00");
    EXPECT_EQ(momentOfSerial(0.9999999, false), "1900-01-01");  // rounded to the second
    EXPECT_EQ(momentOfSerial(0.5, false), "12:00:00");
    EXPECT_EQ(momentOfSerial(-1, false), "");
    EXPECT_EQ(momentOfSerial(1e300, false), "");
    for (const char* format : {"d/m/yy", "[h]:mm", "yyyy-mm-dd", "mmm", "[$-409]d mmm"})
        EXPECT_TRUE(showsMoments(format)) << format;
    for (const char* format : {"General", "0.00", "0.0\" mV\"", "General\" s\"", "[Red]0.0", "0.0_d", "#,##0;[red]-d", "0\\d"})
        EXPECT_FALSE(showsMoments(format)) << format;
}

}  // namespace
}  // namespace halfcell::db
