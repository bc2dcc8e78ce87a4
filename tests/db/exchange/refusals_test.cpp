#include "tests/db/exchange/tables.h"

namespace halfcell::db {
namespace {

using namespace testing;

/// One kind of bad row: the table it stands in, its text, and the refusal it must meet.
struct BadRow {
    const char* name;
    const char* table;
    std::string row;   ///< appended to the good table
    std::size_t line;  ///< where the refusal must point
    const char* field;
    const char* inReason;    ///< a piece of the reason
    std::size_t taken = 12;  ///< rows that are taken all the same
};

void PrintTo(const BadRow& bad, std::ostream* out)
{
    *out << bad.name;
}

class RefusalTest : public ExchangeTest, public ::testing::WithParamInterface<BadRow> {};

TEST_P(RefusalTest, NamesLineFieldAndRemedyAndTakesTheRest)
{
    const BadRow& bad = GetParam();
    auto tables = goodTables();
    tables[bad.table] += bad.row;
    ASSERT_DONE(import(tables));
    ASSERT_EQ(report.refused.size(), 1U) << (report.refused.empty() ? "" : report.refused[0].reason + " | " + report.refused.back().reason);
    const Refusal& refusal = report.refused[0];
    EXPECT_EQ(refusal.file, std::string(bad.table) + ".csv");
    EXPECT_EQ(refusal.line, bad.line);
    EXPECT_EQ(refusal.field, bad.field);
    EXPECT_NE(refusal.reason.find(bad.inReason), std::string::npos) << refusal.reason;
    EXPECT_FALSE(refusal.remedy.empty());
    EXPECT_EQ(report.taken, bad.taken);
    EXPECT_TRUE(book->verify()->ok);
    // With strict nothing is taken.
    Book second = newBook("strict.halfcell");
    EXPECT_FALSE(import(second, tables, {.strict = true}).has_value());
    EXPECT_EQ(second.loadRecords()->sites.size(), 0U);
}

const std::string kRow = "v3,2025-05-02T08:45:00Z,K7-0412,T1,as_found,ph7.00,";

INSTANTIATE_TEST_SUITE_P(
    EachKind, RefusalTest,
    ::testing::Values(
        BadRow{"bad number", "readings", kRow + "1x3,20,60\n", 6, "mv", "no number"},
        BadRow{"unit in the cell", "readings", kRow + "-12 mV,20,60\n", 6, "mv", "follows the digits"},
        BadRow{"decimal comma", "readings", kRow + "\"-12,5\",20,60\n", 6, "mv", "comma"},
        BadRow{"two signs", "readings", kRow + "--12,20,60\n", 6, "mv", "two signs"},
        BadRow{"impossible millivolts", "readings", kRow + "-12000,20,60\n", 6, "mv", "outside"},
        BadRow{"impossible temperature", "readings", kRow + "-12,250,60\n", 6, "temp_degc", "outside"},
        BadRow{"negative wait", "readings", kRow + "-12,20,-60\n", 6, "wait_s", "outside"},
        BadRow{"no millivolts and no reason", "readings", kRow + ",20,60\n", 6, "mv", "empty"},
        BadRow{"unknown serial", "readings", "v3,2025-05-02,K7-9999,T1,as_found,ph7.00,-12,20,60\n", 6, "serial", "not known"},
        BadRow{"empty serial", "readings", "v3,2025-05-02,,T1,as_found,ph7.00,-12,20,60\n", 6, "serial", "empty"},
        BadRow{"empty visit key", "readings", ",2025-05-02,K7-0412,T1,as_found,ph7.00,-12,20,60\n", 6, "visit", "empty"},
        BadRow{"wrong date", "readings", "v3,2025-02-30,K7-0412,T1,as_found,ph7.00,-12,20,60\n", 6, "when", "no such day"},
        BadRow{"date the other way round", "readings", "v3,02/05/2025,K7-0412,T1,as_found,ph7.00,-12,20,60\n", 6, "when", "year-month-day"},
        BadRow{"unknown word", "readings", "v3,2025-05-02,K7-0412,T1,before,ph7.00,-12,20,60\n", 6, "phase", "allowed words"},
        BadRow{"unknown standard", "readings", "v3,2025-05-02,K7-0412,T1,as_found,ph7,-12,20,60\n", 6, "standard", "no standard"},
        BadRow{"another serial in one visit", "readings", "v2,2025-04-02T08:55:00Z,K7-0431,T1,as_left,ph7.00,-12,20,60\n", 6, "serial",
               "other rows"},
        BadRow{"another person in one visit", "readings", "v2,2025-04-02T08:55:00Z,K7-0412,T2,as_left,ph7.00,-12,20,60\n", 6, "person",
               "other rows"},
        BadRow{"doubled row", "readings", "v2,2025-04-02T08:50:00Z,K7-0412,T1,as_found,ph10.01,-175,20,60\n", 6, "standard", "doubled"},
        BadRow{"ragged row", "readings", kRow + "-12,20\n", 6, "wait_s", "8 cells"},
        BadRow{"too many cells", "readings", kRow + "-12,20,60,,\n", 6, "", "11 cells"},
        BadRow{"unbalanced quote", "readings", kRow + "\"-12,20,60\n", 6, "mv", "never closed"},
        BadRow{"quote inside a cell", "readings", "v3,2025-05-02,K7-\"0412,T1,as_found,ph7.00,-12,20,60\n", 6, "serial", "quote"},
        BadRow{"not UTF-8", "readings", "v3,2025-05-02,K7-0412,T\xE9,as_found,ph7.00,-12,20,60\n", 6, "person", "UTF-8"},
        BadRow{"zero byte", "readings", std::string("v3,2025-05-02,K7-0412,T") + '\0' + ",as_found,ph7.00,-12,20,60\n", 6, "person",
               "zero byte"},
        BadRow{"ten megabytes", "readings", "v3,2025-05-02,K7-0412," + std::string(10'000'000, 'T') + ",as_found,ph7.00,-12,20,60\n", 6,
               "person", "long"},
        BadRow{"a sensor's unknown model", "sensors", "K9-0001,K9\n", 4, "model", "not known"},
        BadRow{"the same sensor twice", "sensors", "K7-0412,K7\n", 4, "serial", "doubled"},
        BadRow{"a point's unknown site", "points", "AE-1,Nowhere,control,6,9,\n", 3, "site", "not known"},
        BadRow{"a range upside down", "points", "AE-1,Saltmarsh,control,9,6,\n", 3, "ph_high", "below"},
        BadRow{"a placement nowhere", "placements", "K7-0412,AE-9,2025-03-01\n", 4, "place", "not known"},
        BadRow{"a lot of no standard", "lots", "B1,ph7,2025-01-01\n", 3, "standard", "no standard"}),
    [](const auto& each) {
        std::string name = each.param.name;
        for (char& c : name)
            if (!std::isalnum(static_cast<unsigned char>(c)))
                c = '_';
        return name;
    });

class FileRefusalTest : public ExchangeTest {
protected:
    /// Imports the good tables with one of them replaced; the only refusal.
    Refusal only(const std::string& table, const std::string& text)
    {
        auto tables = goodTables();
        tables[table] = text;
        EXPECT_TRUE(import(tables).has_value());
        EXPECT_GE(report.refused.size(), 1U);
        return report.refused.empty() ? Refusal{} : report.refused[0];
    }
};

TEST_F(FileRefusalTest, UnknownColumnsAreNamed)
{
    const Refusal r = only("readings", "visit,when,serial,phase,standard,mv,colour\nv1,2025-03-02,K7-0412,as_found,ph7.00,-13,red\n");
    EXPECT_EQ(r.field, "colour");
    EXPECT_EQ(r.line, 1U);
    EXPECT_NE(r.remedy.find("temp_degc"), std::string::npos);
    EXPECT_EQ(report.taken, 8U);  // the other files are taken
    EXPECT_NE(only("lots", "Lot,standard\nB1,ph7.00\n").remedy.find("\"lot\""), std::string::npos);
}

TEST_F(FileRefusalTest, MissingColumnsAreNamed)
{
    const Refusal r = only("readings", "visit,when,phase,standard,mv\nv1,2025-03-02,as_found,ph7.00,-13\n");
    EXPECT_EQ(r.field, "serial");
    EXPECT_NE(r.reason.find("missing"), std::string::npos);
    EXPECT_EQ(only("lots", "lot,lot,standard\na,a,ph7.00\n").field, "lot");
}

TEST_F(FileRefusalTest, OtherEncodingsAndSeparatorsAreNamed)
{
    EXPECT_NE(only("lots", std::string("\xFF\xFEl\0o\0t\0", 8)).reason.find("UTF-16"), std::string::npos);
    EXPECT_NE(only("lots", "lot;standard\nB1;ph7.00\n").reason.find("semicolons"), std::string::npos);
    EXPECT_NE(only("lots", "").reason.find("empty"), std::string::npos);
    EXPECT_NE(only("lots", "\"lot,standard\nB1,ph7.00\n").reason.find("header"), std::string::npos);
    EXPECT_TRUE(import({{"lots", "\xEF\xBB\xBFlot,standard\nB1,ph7.00\n"}}).has_value());
    EXPECT_EQ(report.taken, 1U);
}

TEST_F(FileRefusalTest, OtherRowsOfTheSameKindMeetTheirOwnRules)
{
    ASSERT_TRUE(import(goodTables()).has_value());
    const auto refusal = [&](const std::string& table, const std::string& text) {
        EXPECT_TRUE(import({{table, text}}).has_value());
        EXPECT_EQ(report.refused.size(), 1U) << table << " " << text;
        return report.refused.empty() ? std::string() : report.refused[0].field + ": " + report.refused[0].reason;
    };
    EXPECT_TRUE(refusal("placements", "serial,place,from,to\nK7-0412,shelf,2025-03-01,2025-02-01\n").starts_with("to: "));
    EXPECT_TRUE(refusal("parts", "serial,part,from,to\nK7-0412,bridge,2025-03-01,2025-02-01\n").starts_with("to: "));
    EXPECT_TRUE(refusal("holds", "point,from,person,to\nAE-3107,2025-03-01,T1,2025-02-01\n").starts_with("to: "));
    EXPECT_TRUE(refusal("lots", "lot,standard,certified_ph,certified_mv\nB1,ph7.00,7,100\n").starts_with("certified_mv: "));
    EXPECT_TRUE(refusal("standards", "standard,temp_degc,ph,mv\nhouse,25,7,100\n").starts_with("ph: "));
    EXPECT_TRUE(refusal("legacy", "serial,when,phase,person\nK7-0412,2024-01-01,as_found,T1\n").starts_with("efficiency_pct: "));
    EXPECT_TRUE(refusal("checks", "visit,when,serial,coating\nv1,2025-03-02,K7-0412,5\n").starts_with("coating: "));
    EXPECT_TRUE(refusal("checks", "visit,when,serial,coating\nv1,2025-03-02,K7-0412,1.5\n").starts_with("coating: "));
    EXPECT_TRUE(refusal("sensors", "serial,model,note\nK7-0412,K7,other\n").starts_with("note: "));
    EXPECT_TRUE(refusal("actions", "visit,when,serial,step,action\nv1,2025-03-02,K7-0412,1,polish\n").starts_with("action: "));
    EXPECT_TRUE(refusal("actions", "visit,when,serial,step,action\nv1,2025-03-02,K7-0412,0,clean_acid\n").starts_with("step: "));
    EXPECT_TRUE(refusal("visits", "visit,when,serial\nv1,2025-03-02,K7-0431\n").starts_with("serial: "))
        << report.refused[0].field << report.refused[0].reason;
    EXPECT_TRUE(refusal("visits", "visit,when,serial,tag\nv9,2025-03-02,K7-0431,AE-9\n").starts_with("tag: "));
    EXPECT_TRUE(refusal("visits", "visit,when,serial,cleaned_before\nv9,2025-03-02,K7-0431,maybe\n").starts_with("cleaned_before: "));
    const std::string head = "visit,table,row,field,old,new,recorded,person,why\n";
    EXPECT_TRUE(refusal("corrections", head + "v9,readings,1,mv,-13,-14,2025-03-05,T2,x\n").starts_with("visit: "));
    EXPECT_TRUE(refusal("corrections", head + "v1,readings,1,mv,-99,-14,2025-03-05,T2,x\n").starts_with("old: "));
    EXPECT_TRUE(refusal("corrections", head + "v1,readings,1,mv,-13,abc,2025-03-05,T2,x\n").starts_with("new: "));
    EXPECT_TRUE(refusal("corrections", head + "v1,readings,9,mv,-13,-14,2025-03-05,T2,x\n").starts_with("field: "));
    EXPECT_TRUE(refusal("corrections", head + "v1,readings,1,mv,-13,-14,2025-03-05,T2,\n").starts_with("why: "));
    EXPECT_TRUE(refusal("corrections", head + "v1,visits,1,serial,K7-0412,K7-9999,2025-03-05,T2,x\n").starts_with("new: "));
}

TEST_F(FileRefusalTest, AVisitsOwnRowOfAnotherSerialIsRefusedAlone)
{
    ASSERT_TRUE(import(goodTables()).has_value());
    // With the rows of its visit beside it: those are known and new, only the wrong row is refused.
    ASSERT_DONE(import({{"visits", "visit,when,serial\nv1,2025-03-02,K7-0431\nv2,2025-04-02,K7-0412\n"},
                        {"readings", "visit,when,serial,person,phase,standard,mv,temp_degc,wait_s\n"
                                     "v1,2025-03-02T08:45:00Z,K7-0412,T1,as_found,ph7.00,-13,19,60\n"
                                     "v1,2025-03-02T09:45:00Z,K7-0412,T1,as_left,ph7.00,-12,19,60\n"}}));
    ASSERT_EQ(report.refused.size(), 1U);
    EXPECT_EQ(report.refused[0].file, "visits.csv");
    EXPECT_EQ(report.refused[0].line, 2U);
    EXPECT_EQ(report.refused[0].field, "serial");
    EXPECT_FALSE(report.refused[0].remedy.empty());
    EXPECT_EQ(report.taken, 2U);  // v2's own row, v1's as-left reading
    EXPECT_EQ(report.unchanged, 1U);
    EXPECT_TRUE(book->verify()->ok);
    // The typed way in meets the same.
    core::Visit typed;
    typed.visit = "v1";
    typed.when = at("2025-03-02T08:45:00Z");
    typed.serial = "K7-0431";
    EXPECT_EQ(book->recordVisit(typed, kStamp).error().field, "serial");
    EXPECT_TRUE(book->verify()->ok);
}

}  // namespace
}  // namespace halfcell::db
