#include "db/sheets/workbook_reader.h"
#include "tests/db/support/book_fixture.h"

#include <gtest/gtest.h>

#include <zip.h>

/// OpenDocument workbooks: one saved by another program (tests/data/workbooks), and by hand.
namespace halfcell::db {
namespace {

using core::Errc;

std::string textsOf(const SheetRow& row)
{
    std::string all = std::to_string(row.line);
    for (const SheetCell& cell : row.cells)
        all += "|" + cell.text;
    return all;
}

core::Result<std::vector<std::string>> linesOf(const std::filesystem::path& file, std::size_t sheet = 0)
{
    auto reader = WorkbookReader::open(file);
    if (!reader)
        return std::unexpected(reader.error());
    std::vector<std::string> lines;
    const auto done = reader->rows(sheet, [&](const SheetRow& row, double) {
        lines.push_back(textsOf(row));
        return true;
    });
    if (!done)
        return std::unexpected(done.error());
    return lines;
}

class OpenDocuments : public ::testing::Test {
protected:
    /// A document whose spreadsheet holds these tables.
    std::filesystem::path pack(const std::string& tables)
    {
        const std::filesystem::path file = folder / "by-hand.ods";
        int error = 0;
        zip_t* archive = zip_open(file.c_str(), ZIP_CREATE | ZIP_TRUNCATE, &error);
        EXPECT_NE(archive, nullptr);
        const std::string content = "<o:document-content xmlns:o=\"o\" xmlns:t=\"t\" xmlns:x=\"x\"><o:body><o:spreadsheet>" + tables +
                                    "</o:spreadsheet></o:body></o:document-content>";
        zip_file_add(archive, "content.xml", zip_source_buffer(archive, content.data(), content.size(), 0), ZIP_FL_OVERWRITE);
        EXPECT_EQ(zip_close(archive), 0);
        return file;
    }
    testing::Folder folder;
};

// Made with openpyxl, turned into ODS by an office program of Debian 12 (its file format 1.3).
TEST_F(OpenDocuments, SavedByAnotherProgramComeIn)
{
    const std::filesystem::path file = std::string(HALFCELL_TEST_DATA) + "/workbooks/log.ods";
    EXPECT_EQ(WorkbookReader::open(file)->sheets(), (std::vector<std::string>{"Log", "Empty", "Second"}));
    const auto lines = linesOf(file);
    ASSERT_TRUE(lines.has_value()) << lines.error().detail;
    EXPECT_EQ(*lines, (std::vector<std::string>{"1|pH log, bench 2", "3|Serial|Date|Time|pH7 mV|pH4 mV|temp|ok|share",
                                                "4|K7-0007|2019-11-03|08:12:00|-6.5|169|19|1|0.925",
                                                "5|K7-0008|2019-11-03T09:30:15|09:30:15|-6.5|-6.5|-6.5|0|1",
                                                "8|K7 <&> \"q\"\nsecond  line|||||1e-07"}));
    EXPECT_EQ(linesOf(file, 1)->size(), 0U);
    EXPECT_EQ(*linesOf(file, 2), std::vector<std::string>{"2|||here"});
}

TEST_F(OpenDocuments, RepeatsSpacesRemarksAndInnerTablesAreRead)
{
    const auto lines = linesOf(
        pack("<t:table t:name=\"a\"><t:shapes><x:p>a drawing</x:p></t:shapes>"
             "<t:table-header-rows><t:table-row><t:table-cell o:value-type=\"string\"><x:p>two<x:s x:c=\"2\"/>blanks</x:p><x:p>and a "
             "line</x:p></t:table-cell><t:covered-table-cell/></t:table-row></t:table-header-rows>"
             "<t:table-row t:number-rows-repeated=\"2\"><t:table-cell t:number-columns-repeated=\"2\"/>"
             "<t:table-cell o:value-type=\"float\" o:value=\"-12.30\" t:number-columns-repeated=\"2\"><o:annotation><x:p>a remark</x:p>"
             "</o:annotation><x:p>shown otherwise</x:p></t:table-cell><t:table-cell t:number-columns-repeated=\"16380\"/></t:table-row>"
             "<t:table-row t:number-rows-repeated=\"1048000\"><t:table-cell t:number-columns-repeated=\"16384\"/></t:table-row>"
             "<t:table-row><t:table-cell><t:table t:name=\"inner\"><t:table-row><t:table-cell><x:p>inner</x:p></t:table-cell></t:table-row>"
             "</t:table></t:table-cell><t:table-cell o:value-type=\"date\" o:date-value=\"2026-03-02T00:00:00.000\"/>"
             "<t:table-cell o:value-type=\"time\" o:time-value=\"PT08H05M09.5S\"/></t:table-row></t:table>"
             "<t:table t:name=\"b\"><t:table-row><t:table-cell><x:p>other</x:p></t:table-cell></t:table-row></t:table>"));
    ASSERT_TRUE(lines.has_value()) << lines.error().detail;
    EXPECT_EQ(*lines, (std::vector<std::string>{"1|two  blanks\nand a line", "2|||-12.3|-12.3", "3|||-12.3|-12.3",
                                                "1048004||2026-03-02|08:05:09"}));
    EXPECT_EQ(*linesOf(folder / "by-hand.ods", 1), std::vector<std::string>{"1|other"});
}

TEST_F(OpenDocuments, BrokenOnesSaySo)
{
    const auto wide = linesOf(pack("<t:table t:name=\"a\"><t:table-row><t:table-cell t:number-columns-repeated=\"1000\"/>"
                                   "<t:table-cell><x:p>far</x:p></t:table-cell></t:table-row></t:table>"));
    ASSERT_FALSE(wide.has_value());
    EXPECT_EQ(wide.error().code, Errc::BadInput);
    EXPECT_NE(wide.error().detail.find("row 1 is wider"), std::string::npos);
    const auto high = linesOf(pack("<t:table t:name=\"a\"><t:table-row t:number-rows-repeated=\"4000000000\"><t:table-cell><x:p>x</x:p>"
                                   "</t:table-cell></t:table-row></t:table>"));
    ASSERT_FALSE(high.has_value());
    EXPECT_EQ(high.error().code, Errc::BadInput);
    EXPECT_EQ(linesOf(pack("")).error().code, Errc::BadInput);
    EXPECT_EQ(linesOf(pack("<t:table t:name=\"a\"><t:table-row>")).error().code, Errc::BadInput);
    EXPECT_EQ(WorkbookReader::open(folder / "none.ods").error().code, Errc::CannotRead);
}

}  // namespace
}  // namespace halfcell::db
