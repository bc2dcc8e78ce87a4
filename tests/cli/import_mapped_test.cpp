#include "tests/cli/program.h"

#include <gtest/gtest.h>

/// A shop's own spreadsheet through the real program: guess, look, take.
namespace halfcell::test {
namespace {

class OwnTable : public ::testing::Test {
protected:
    void SetUp() override
    {
        ASSERT_EQ(run({"new", "--book", book}).code, 0);
        std::filesystem::create_directories(folder / "base");
        writeFile(folder / "base/models.csv", "model,kind,reference,sensing\nK7,ph,double_gel,bulb\n");
        writeFile(folder / "base/sensors.csv", "serial,model\nK7-0412,K7\nK7-0431,K7\n");
        ASSERT_EQ(run({"import", "--book", book, folder / "base"}).code, 0);
        writeFile(folder / "list.csv", "Upper Wexmoor, calibrations;;;;;\n\nSerial;Date;pH7 mV;pH4 mV;Temp;Remarks\n"
                                       "K7-0412;13.3.25 8:45;-13,5;161,2 mV;19,5;film\n"
                                       "K7-0431;14.3.25 9:10;0,5;n/a;20;\n"
                                       "K7-9999;14.3.25 9:30;1;160;20;\n");
    }
    Folder folder;
    const std::string book = folder / "shop.halfcell";
    const std::string map = folder / "map.toml";
};

TEST_F(OwnTable, IsGuessedShownAndTaken)
{
    const Ran guessed = run({"import", "--guess", map, folder / "list.csv", "--json"});
    ASSERT_EQ(guessed.code, 0) << guessed.err;
    EXPECT_FALSE(guessed.json().at("because").empty());
    EXPECT_EQ(run({"import", "--guess", map, folder / "list.csv"}).code, 3);  // not written over

    const std::string before = run({"verify", "--book", book, "--json", "--as-of", "2026-01-01"}).out;
    // Without a yes nothing is taken; the count is said.
    const Ran asked = run({"import", "--book", book, "--map", map, folder / "list.csv"});
    EXPECT_EQ(asked.code, 2);
    EXPECT_NE(asked.err.find("5 rows would be taken, 2 refused"), std::string::npos) << asked.err;
    const Ran dry = run({"import", "--book", book, "--map", map, folder / "list.csv", "--dry-run", "--json"});
    EXPECT_EQ(dry.code, 1);
    EXPECT_EQ(dry.json().at("taken"), 5);
    EXPECT_EQ(run({"verify", "--book", book, "--json", "--as-of", "2026-01-01"}).out, before);

    const Ran taken = run({"import", "--book", book, "--map", map, "--yes", folder / "list.csv", "--json"});
    EXPECT_EQ(taken.code, 1);
    EXPECT_EQ(taken.json().at("taken"), 5);
    for (const Json& refusal : taken.json().at("refused")) {
        EXPECT_EQ(refusal.at("file"), "list.csv");
        EXPECT_EQ(refusal.at("line"), 6);
        EXPECT_EQ(refusal.at("field"), "Serial");
    }
    EXPECT_EQ(run({"import", "--book", book, "--map", map, "--yes", folder / "list.csv", "--json"}).json().at("taken"), 0);
    const Json assess = run({"assess", "--book", book, "--serial", "K7-0412", "--json"}).json();
    EXPECT_NEAR(assess.at("sensors").at(0).at("efficiency_pct").get<double>(), 100.0, 5.0);
    EXPECT_EQ(run({"verify", "--book", book}).code, 0);
}

TEST_F(OwnTable, SaysWhatIsWrongWithTheMapping)
{
    writeFile(map, "mapping = \"x\"\n[columns]\nserial = \"Nummer\"\n[[rows]]\ntable = \"readings\"\ncolumns.mv = \"pH7 mV\"\n");
    const Ran missing = run({"import", "--book", book, "--map", map, "--yes", folder / "list.csv", "--json"});
    EXPECT_EQ(missing.code, 3);
    EXPECT_FALSE(missing.json().at("error").at("field").get<std::string>().empty());
    writeFile(map, "[source]\ndecimal = \";\"\n");
    const Ran bad = run({"import", "--book", book, "--map", map, "--yes", folder / "list.csv", "--json"});
    EXPECT_EQ(bad.code, 3);
    EXPECT_EQ(bad.json().at("error").at("line"), 2);
    EXPECT_EQ(run({"import", "--book", book, "--map", folder / "none.toml", "--yes", folder / "list.csv"}).code, 3);
}

TEST(Export, WritesACalendarAndARecord)
{
    const Folder folder;
    const char* day = "2026-03-02";
    const std::string calendar = folder / "due.ics";
    ASSERT_EQ(run({"export", "--book", demoBook(), "--as-of", day, "--to", calendar}).code, 0);
    const std::string text = contentOf(calendar);
    EXPECT_TRUE(text.starts_with("BEGIN:VCALENDAR\r\n"));
    EXPECT_NE(text.find("BEGIN:VTODO\r\n"), std::string::npos);
    EXPECT_EQ(run({"export", "--book", demoBook(), "--as-of", day, "--to", calendar}).code, 3);
    ASSERT_EQ(run({"export", "--book", demoBook(), "--as-of", day, "--to", calendar, "--overwrite"}).code, 0);
    EXPECT_EQ(contentOf(calendar), text);
    ASSERT_EQ(
        run({"export", "--book", demoBook(), "--as-of", day, "--to", folder / "events.ics", "--events", "--until", "2026-03-08"}).code, 0);
    EXPECT_NE(contentOf(folder / "events.ics").find("BEGIN:VEVENT\r\n"), std::string::npos);

    const Json due = run({"due", "--book", demoBook(), "--as-of", day, "--json"}).json();
    std::string serial;
    for (const Json& task : due.at("tasks"))
        if (task.at("serial").is_string() && !task.at("serial").get<std::string>().empty())
            serial = task.at("serial");
    ASSERT_FALSE(serial.empty());
    ASSERT_EQ(run({"export", "--book", demoBook(), "--as-of", day, "--serial", serial, "--to", folder / "record.json"}).code, 0);
    const Json record = Json::parse(contentOf(folder / "record.json"));
    EXPECT_EQ(record.at("sensor").at("serial"), serial);
    EXPECT_EQ(record.at("program"), "halfcell");
    EXPECT_FALSE(record.at("visits").empty());
    EXPECT_EQ(run({"export", "--book", demoBook(), "--to", folder / "none.json"}).code, 2);
    EXPECT_EQ(run({"export", "--book", demoBook(), "--serial", "NOBODY", "--to", folder / "none.json"}).code, 3);
}

}  // namespace
}  // namespace halfcell::test
