#include "db/mapping/look.h"
#include "tests/db/exchange/tables.h"

namespace halfcell::db {
namespace {

using namespace testing;

class Look : public ExchangeTest {};

TEST_F(Look, ShowsTheTableAsItStandsWithTitlesAndSamples)
{
    put(folder / "list.csv", "Upper Wexmoor;;\nSerial;Date;pH 7 mV\nK7-0412;1.2.2025;-3,5\n\nK7-0413;1.2.2025;n/a\nK7-0412;2.2.2025;4\n");
    Mapping mapping;
    mapping.headerLine = 2;
    const auto look = lookAtTable(folder / "list.csv", mapping, 2);
    ASSERT_DONE(look);
    EXPECT_FALSE(look->workbook);
    EXPECT_EQ(look->separator, ';');
    EXPECT_EQ(look->columns, (std::vector<std::string>{"Serial", "Date", "pH 7 mV"}));
    ASSERT_EQ(look->rows.size(), 4U) << "the title, the header and two rows";
    EXPECT_EQ(look->rows.front().first, 1U);
    EXPECT_EQ(look->rows.back().first, 5U);
    EXPECT_EQ(look->samples[0], (std::vector<std::string>{"K7-0412", "K7-0413"}));
    EXPECT_EQ(look->samples[1], (std::vector<std::string>{"1.2.2025"})) << "each different cell once";
}

TEST_F(Look, AFileThatEndsBeforeItsHeaderHasNoColumns)
{
    put(folder / "short.csv", "Serial,Date\nK7-0412,2025-02-01\n");
    Mapping mapping;
    mapping.headerLine = 9;
    const auto look = lookAtTable(folder / "short.csv", mapping, 5);
    ASSERT_DONE(look);
    EXPECT_TRUE(look->columns.empty());
    EXPECT_EQ(look->rows.size(), 2U);
    EXPECT_FALSE(lookAtTable(folder / "none.csv", mapping, 5).has_value());
}

TEST_F(Look, TellsOurOwnTablesFromOthers)
{
    put(folder / "sites.csv", "site,note\nNorth,\n");
    put(folder / "readings.csv", "Serial No,Date,mV\nK7-0412,2025-02-01,3\n");
    put(folder / "old.csv", "site,note\nNorth,\n");
    EXPECT_TRUE(isPublicTable(folder / "sites.csv"));
    EXPECT_FALSE(isPublicTable(folder / "readings.csv")) << "its name alone is ours";
    EXPECT_FALSE(isPublicTable(folder / "old.csv")) << "its columns alone are ours";
    EXPECT_FALSE(isPublicTable(folder / "none.csv"));
}

TEST_F(Look, NamesTheFirstColumnThatAMappingWantsInVain)
{
    Mapping mapping;
    mapping.fields = {{.field = "serial", .columns = {"Serial"}, .unit = {}}};
    mapping.rows = {{.table = PublicTable::Readings, .fields = {{.field = "mv", .columns = {"pH 7"}, .unit = {}}}, .constants = {}}};
    EXPECT_EQ(columnMissing(mapping, {"Serial", "pH 7"}), "");
    EXPECT_EQ(columnMissing(mapping, {"Serial", "pH 4"}), "pH 7");
    EXPECT_EQ(columnMissing(mapping, {"pH 7"}), "Serial");
}

TEST_F(Look, UnderstandsWhatIsTypedForStandardsAndWords)
{
    EXPECT_EQ(standardTyped("pH 7"), "ph7.00");
    EXPECT_EQ(standardTyped("tap water"), "");
    EXPECT_TRUE(isUnitOf("temp_degc", "degF"));
    EXPECT_FALSE(isUnitOf("temp_degc", "mV"));
    EXPECT_EQ(wordsMeant("phase", {"before", "as_left", "rinsed"}),
              (std::vector<std::pair<std::string, std::string>>{{"before", "as_found"}}));
    EXPECT_TRUE(wordsMeant("person", {"before"}).empty());
}

}  // namespace
}  // namespace halfcell::db
