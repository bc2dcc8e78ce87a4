#include "db/mapping/mapping.h"
#include "tests/db/exchange/tables.h"

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

Mapping full()
{
    Mapping m;
    m.name = "Pump house \"list\"";
    m.note = "made by hand\nover two lines";
    m.encoding = TextEncoding::Windows1252;
    m.separator = '\t';
    m.sheet = "2024";
    m.headerLine = 3;
    m.headerLines = 2;
    m.decimal = ',';
    m.thousands = ".";
    m.dates = DateOrder::DayMonthYear;
    m.twoDigitYearsFrom = 1980;
    m.utcOffset = "+01:00";
    m.visitPerDay = true;
    m.empty = {"n/a", "kaputt"};
    m.fields = {{.field = "person", .columns = {"by"}, .unit = {}, .words = {{"AB", "T1"}, {"CD", "T2"}}},
                {.field = "serial", .columns = {"Serial no"}, .unit = {}},
                {.field = "when", .columns = {"Date", "Time"}, .unit = {}}};
    m.constants = {{"phase", "as_found"}};
    m.rows = {{.table = PublicTable::Readings,
               .fields = {{.field = "mv", .columns = {"pH7 mV"}, .unit = {}}, {.field = "temp_degc", .columns = {"temp"}, .unit = "degF"}},
               .constants = {{"standard", "ph7.00"}}},
              {.table = PublicTable::Visits, .fields = {{.field = "remark", .columns = {"comment"}, .unit = {}}}, .constants = {}}};
    return m;
}

TEST(MappingToml, ComesBackAsItWas)
{
    const auto again = mappingFromToml(mappingToToml(full()));
    ASSERT_DONE(again);
    EXPECT_EQ(*again, full());
    Mapping plain;
    plain.name = "x";
    plain.rows = {{.table = PublicTable::Sensors, .fields = {{.field = "serial", .columns = {"a"}, .unit = {}}}, .constants = {}}};
    EXPECT_EQ(*mappingFromToml(mappingToToml(plain)), plain);
}

TEST(MappingToml, SaysLineAndFieldOfWhatIsWrong)
{
    const auto error = [](const std::string& text) {
        const auto mapping = mappingFromToml(text);
        EXPECT_FALSE(mapping.has_value()) << text;
        return mapping ? core::Error{} : mapping.error();
    };
    const std::string rows = "\n[[rows]]\ntable = \"readings\"\ncolumns.mv = \"a\"\n";
    for (const auto& [text, field] : std::initializer_list<std::pair<std::string, std::string>>{
             {"colour = 1" + rows, "colour"},
             {"[source]\ndecimal = \";\"" + rows, "decimal"},
             {"[source]\ndecimal = \",\"\nthousands = \",\"" + rows, "thousands"},
             {"[source]\nencoding = \"morse\"" + rows, "encoding"},
             {"[source]\ndates = \"backwards\"" + rows, "dates"},
             {"[source]\nheader_line = 0" + rows, "header_line"},
             {"[source]\nutc_offset = \"noon\"" + rows, "utc_offset"},
             {"[source]\nseparator = \"ab\"" + rows, "separator"},
             {"[columns]\ncolour = \"x\"" + rows, "colour"},
             {"[columns]\nserial = 5" + rows, "serial"},
             {"[columns]\nserial = []" + rows, "serial"},
             {"[[rows]]\ntable = \"shopping\"\n", "table"},
             {"[[rows]]\ncolumns.mv = \"a\"\n", "table"},
             {"[[rows]]\ntable = \"readings\"\ncolumns.colour = \"a\"\n", "colour"},
             {"[[rows]]\ntable = \"readings\"\ncolumns.mv = { column = \"a\", unit = \"kg\" }\n", "mv.unit"},
             {"[[rows]]\ntable = \"readings\"\nconstants.mv = 5\n", "mv"},
             {"rows = 5", "rows"},
             {"mapping = \"nothing\"", "rows"}}) {
        const core::Error e = error(text);
        EXPECT_EQ(e.field, field) << text << e.detail;
        EXPECT_EQ(e.code, Errc::BadInput);
        EXPECT_FALSE(e.remedy.empty());
        EXPECT_TRUE(e.line.has_value()) << text;
    }
    EXPECT_EQ(error("a = \n").line, 1U);
}

TEST(Mappings, AreSavedByName)
{
    const Folder folder;
    const auto file = saveMapping(folder / "maps", full(), false);
    ASSERT_DONE(file);
    EXPECT_EQ(file->filename(), "pump_house_list.toml");
    EXPECT_EQ(*readMapping(*file), full());
    EXPECT_EQ(saveMapping(folder / "maps", full(), false).error().code, Errc::Conflict);
    ASSERT_DONE(saveMapping(folder / "maps", full(), true));
    put(folder / "maps/other.toml", "not = a mapping");
    const auto saved = savedMappings(folder / "maps");
    ASSERT_EQ(saved.size(), 1U);
    EXPECT_EQ(saved[0].first, "Pump house \"list\"");
    EXPECT_TRUE(savedMappings(folder / "none").empty());
    Mapping nameless = full();
    nameless.name = " / ";
    EXPECT_EQ(saveMapping(folder / "maps", nameless, false).error().field, "mapping");
    EXPECT_EQ(readMapping(folder / "none.toml").error().code, Errc::CannotRead);
}

}  // namespace
}  // namespace halfcell::db
