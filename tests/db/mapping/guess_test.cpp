#include "db/mapping/guess_parts.h"
#include "db/mapping/mapping.h"
#include "tests/db/exchange/tables.h"

namespace halfcell::db {
namespace {

using namespace testing;
using core::Errc;

TEST(ColumnNames, AreUnderstoodAsShopsWriteThem)
{
    const auto field = [](const char* name) { return guess::columnNamed(name).field; };
    EXPECT_EQ(field("Serial No."), "serial");
    EXPECT_EQ(field("S/N"), "serial");
    EXPECT_EQ(field("Cal. date"), "when");
    EXPECT_EQ(field("temp (\xC2\xB0"
                    "C)"),
              "temp_degc");
    EXPECT_EQ(field("Temp \xC2\xB0"
                    "F"),
              "temp_degc");
    EXPECT_EQ(field("Slope %"), "efficiency_pct");
    EXPECT_EQ(field("slope [mV/pH]"), "");
    EXPECT_EQ(field("Offset mV"), "offset_mv");
    EXPECT_EQ(field("t90 (s)"), "t90_s");
    EXPECT_EQ(field("wait_s"), "wait_s");
    EXPECT_EQ(field("weather"), "");
    for (const char* name : {"pH7 mV", "mV pH 7", "pH 7,00 (mV)", "7.00 buffer mV", "mV @ 7", "pH 7"}) {
        EXPECT_TRUE(guess::columnNamed(name).reading()) << name;
        EXPECT_EQ(guess::columnNamed(name).standardPh, 7.0) << name;
    }
    EXPECT_EQ(guess::columnNamed("as left pH 4.01 mV").phase, "as_left");
    EXPECT_EQ(guess::columnNamed("pH7 temp").field, "temp_degc");
    EXPECT_EQ(guess::standardMeant("7"), "ph7.00");
    EXPECT_EQ(guess::standardMeant("pH 4.00"), "ph4.00");
    EXPECT_EQ(guess::standardMeant("buffer 10"), "ph10.01");
    EXPECT_EQ(guess::standardMeant("4.20"), "value:4.20");
    EXPECT_EQ(guess::standardMeant("Zobell"), "zobell");
    EXPECT_EQ(guess::standardMeant("tap water"), "");
    EXPECT_EQ(guess::phaseMeant("Before"), "as_found");
    EXPECT_EQ(guess::phaseMeant("after cleaning"), "after_clean");
}

class Guess : public ExchangeTest {
protected:
    void SetUp() override
    {
        ExchangeTest::SetUp();
        auto tables = goodTables();
        tables.erase("readings");
        tables.erase("lots");
        ASSERT_DONE(import(tables));
    }
    GuessedMapping guess(const std::string& name, const std::string& text)
    {
        put(folder / name, text);
        auto guessed = guessMapping(folder / name);
        EXPECT_TRUE(guessed.has_value()) << (guessed ? "" : guessed.error().detail);
        return guessed ? *guessed : GuessedMapping{};
    }
    /// What is guessed takes the file as it is, and so does the mapping once it was saved.
    void expectTakes(const std::string& name, const GuessedMapping& guessed, std::size_t rows)
    {
        const auto again = mappingFromToml(mappingToToml(guessed.mapping));
        ASSERT_DONE(again);
        EXPECT_EQ(*again, guessed.mapping);
        ASSERT_DONE(importMapped(*book, {folder / name}, *again, {}, kStamp, report));
        for (const Refusal& r : report.refused)
            ADD_FAILURE() << r.line << " " << r.field << " " << r.value << ": " << r.reason;
        EXPECT_EQ(report.taken, rows) << mappingToToml(guessed.mapping);
    }
};

TEST_F(Guess, WideTableWithTitleTwoHeaderLinesAndDecimalComma)
{
    const auto guessed = guess("list.csv", "Upper Wexmoor, calibrations;;;;;;;\n;;;;;;;\n"
                                           "Serial;Date;Time;pH 7;;pH 4;;Remarks\n"
                                           "no;;;mV;temp;mV;temp;\n"
                                           "K7-0412;13.3.25;8:45;-13,5;19,5;161,2;19;film\n"
                                           "K7-0431;14.3.25;9:10;0,5;20;n/a;20;\n"
                                           ";;;;;;;\n");
    EXPECT_EQ(guessed.mapping.headerLine, 3U);
    EXPECT_EQ(guessed.mapping.headerLines, 2U);
    EXPECT_EQ(guessed.mapping.decimal, ',');
    EXPECT_EQ(guessed.mapping.dates, DateOrder::DayMonthYear);
    EXPECT_EQ(guessed.mapping.separator, ';');
    EXPECT_EQ(guessed.mapping.empty, std::vector<std::string>{"n/a"});
    EXPECT_TRUE(guessed.leftOut.empty());
    expectTakes("list.csv", guessed, 5U);
    const auto visit = book->loadVisit("K7-0412 2025-03-13T08:45:00Z");
    ASSERT_DONE(visit);
    EXPECT_EQ(visit->remark, "film");
    EXPECT_EQ(visit->readings[1].standard, "ph4.01");
    EXPECT_EQ(visit->readings[1].temp_degc.value, 19.0);
}

TEST_F(Guess, WideTableWithFoundAndLeft)
{
    const auto guessed = guess("fl.csv", "Sensor,Date,found pH7 mV,found pH4 mV,left pH7 mV,left pH4 mV,Temp (\xC2\xB0"
                                         "F),colour\n"
                                         "K7-0412,3/14/2025,-13,161,-10,165,68,red\n");
    EXPECT_EQ(guessed.mapping.rows.size(), 4U);
    EXPECT_EQ(guessed.mapping.dates, DateOrder::MonthDayYear);
    EXPECT_EQ(guessed.leftOut, std::vector<std::string>{"colour"});
    expectTakes("fl.csv", guessed, 4U);
    const auto visit = book->loadVisit("K7-0412 2025-03-14T00:00:00Z");
    ASSERT_DONE(visit);
    EXPECT_EQ(visit->readings[0].temp_degc.value, 20.0);
}

TEST_F(Guess, LongTableWithWordsOfTheirOwn)
{
    const auto guessed = guess("long.tsv", "Probe\tDate\tWhen taken\tState\tBuffer\tmV\tTemp\n"
                                           "K7-0412\t2025-03-14 08:45\tx\tbefore\tpH 7\t-13\t19\n"
                                           "K7-0412\t2025-03-14 08:50\tx\tbefore\tpH 10\t-176\t19\n"
                                           "K7-0412\t2025-03-14 09:30\tx\tafter\tpH 7\t-10\t19\n");
    EXPECT_TRUE(guessed.mapping.visitPerDay);
    expectTakes("long.tsv", guessed, 3U);
    const auto visit = book->loadVisit("K7-0412 2025-03-14");
    ASSERT_DONE(visit);
    ASSERT_EQ(visit->readings.size(), 3U);
    EXPECT_EQ(visit->readings[1].standard, "ph10.01");
    EXPECT_EQ(visit->readings[2].phase, core::Phase::AsLeft);
}

TEST_F(Guess, LegacyTableAndListsOfSensors)
{
    const auto legacy =
        guess("old.csv", "Serial,Date,Slope %,Offset mV,Comment\nK7-0412,2019-03-14,94.5,-8,ok\nK7-0412,2020-03-14,91,-9.5,\n");
    expectTakes("old.csv", legacy, 2U);
    EXPECT_EQ(book->loadRecords()->legacy[0].note, "ok");
    const auto sensors = guess("probes.csv", "Serial number,Sensor type,Purchase date\nK7-0500,K7,2024-01-05\n");
    ASSERT_EQ(sensors.mapping.rows.size(), 1U);
    EXPECT_EQ(sensors.mapping.rows[0].table, PublicTable::Sensors);
    expectTakes("probes.csv", sensors, 1U);
}

TEST_F(Guess, SaysWhenThereIsNothingToGo)
{
    put(folder / "shopping.csv", "what,many\nmilk,2\n");
    const auto none = guessMapping(folder / "shopping.csv");
    ASSERT_FALSE(none.has_value());
    EXPECT_EQ(none.error().code, Errc::BadInput);
    EXPECT_FALSE(none.error().remedy.empty());
    put(folder / "empty.csv", "");
    EXPECT_EQ(guessMapping(folder / "empty.csv").error().code, Errc::BadInput);
    EXPECT_EQ(guessMapping(folder / "none.csv").error().code, Errc::CannotRead);
}

}  // namespace
}  // namespace halfcell::db
