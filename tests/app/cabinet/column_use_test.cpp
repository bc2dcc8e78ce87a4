#include "app/cabinet/column_use.h"

#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using db::Mapping;
using db::PublicTable;

Mapping wide()
{
    Mapping mapping;
    mapping.name = "wide";
    mapping.rows.push_back({.table = PublicTable::Readings, .fields = {}, .constants = {}});
    setUse(mapping, "no", {.field = "serial"});
    setUse(mapping, "day", {.field = "when"});
    setUse(mapping, "at", {.field = "when", .joined = true});
    setUse(mapping, "mV7", {.table = PublicTable::Readings, .field = "mv", .standard = "ph7.00", .phase = "as_found"});
    setUse(mapping, "mV4", {.table = PublicTable::Readings, .field = "mv", .standard = "ph4.01", .phase = "as_found"});
    setUse(mapping, "T", {.table = PublicTable::Readings, .field = "temp_degc", .unit = "degF"});
    return mapping;
}

TEST(ColumnUses, GivingColumnsAStandardMakesRowsOfThem)
{
    const Mapping mapping = wide();
    ASSERT_EQ(mapping.rows.size(), 2U);
    EXPECT_EQ(useOf(mapping, "mV4").standard, "ph4.01");
    EXPECT_EQ(useOf(mapping, "mV4").phase, "as_found");
    EXPECT_TRUE(useOf(mapping, "at").joined);
    EXPECT_EQ(useOf(mapping, "T").unit, "degF");
    EXPECT_EQ(useOf(mapping, "else").field, "");
    EXPECT_EQ(mainTable(mapping), PublicTable::Readings);
    const auto again = db::mappingFromToml(db::mappingToToml(mapping));
    ASSERT_TRUE(again.has_value());
    EXPECT_EQ(*again, mapping) << "what is kept is what was made";
}

TEST(ColumnUses, SettingWhatAColumnIsAlreadyChangesNothing)
{
    const Mapping mapping = wide();
    for (const char* column : {"no", "day", "mV7", "mV4", "T"}) {
        Mapping same = mapping;
        setUse(same, column, useOf(mapping, column));
        EXPECT_EQ(same, mapping) << column;
    }
}

TEST(ColumnUses, LeavingOutTakesTheEmptyRowAway)
{
    Mapping mapping = wide();
    setUse(mapping, "mV4", {});
    EXPECT_EQ(mapping.rows.size(), 1U);
    setUse(mapping, "mV7", {});
    EXPECT_EQ(mapping.rows.size(), 1U) << "a mapping always makes a row";
    EXPECT_EQ(useOf(mapping, "mV7").field, "");
}

TEST(ColumnUses, AFixedValueAndAColumnPushEachOtherOut)
{
    Mapping mapping = wide();
    setUse(mapping, "who", {.field = "person"});
    setFixedValue(mapping, "person", "T2");
    EXPECT_EQ(useOf(mapping, "who").field, "");
    EXPECT_EQ(fixedValues(mapping), (db::Constants{{"person", "T2"}}));
    setUse(mapping, "who", {.field = "person"});
    EXPECT_TRUE(fixedValues(mapping).empty());
}

TEST(ColumnUses, AnotherTableKeepsWhatItHasToo)
{
    Mapping mapping = wide();
    setMainTable(mapping, PublicTable::Legacy);
    EXPECT_EQ(mainTable(mapping), PublicTable::Legacy);
    EXPECT_EQ(useOf(mapping, "no").field, "serial");
    EXPECT_EQ(useOf(mapping, "mV7").field, "") << "old records hold no millivolts";
    for (const ColumnUse& use : possibleUses(mapping))
        EXPECT_NE(use.field, "mv");
}

}  // namespace
}  // namespace halfcell::app
