#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>

namespace halfcell::test {
namespace {

namespace fs = std::filesystem;

std::string visitJson(const std::string& key, const char* when, double mv)
{
    return Json{{"visit", key},
                {"when", when},
                {"serial", "K1"},
                {"person", "T1"},
                {"readings",
                 {{{"phase", "as_found"}, {"standard", "ph7.00"}, {"mv", mv}, {"temp_degc", 25}},
                  {{"phase", "as_found"}, {"standard", "ph4.01"}, {"mv", 170}, {"temp_degc", 25}}}}}
        .dump();
}

/// A shop with one sensor and a visit, in a folder of its own.
class Keeping : public ::testing::Test {
protected:
    void SetUp() override
    {
        fs::create_directories(folder / "tables");
        const auto table = [&](const char* name, const char* text) { writeFile(folder / ("tables/" + std::string(name)), text); };
        table("sites.csv", "site,recorded\nS,2025-01-01\n");
        table("points.csv", "tag,site,application,recorded\nAE-1,S,wastewater,2025-01-01\n");
        table("models.csv", "model,kind,reference,sensing,recorded\nK,ph,double_gel,bulb,2025-01-01\n");
        table("sensors.csv", "serial,model,recorded\nK1,K,2025-01-01\n");
        table("placements.csv", "serial,place,from,recorded\nK1,AE-1,2025-01-02,2025-01-02\n");
        table("lots.csv", "lot,standard,opened,expires,recorded\nB7,ph7.00,2025-02-01,2025-12-31,2025-01-01\n");
        table("equipment.csv", "equipment,kind,checked,due,recorded\nH3,meter,2025-01-01,2026-01-01,2025-01-01\n");
        ASSERT_EQ(run({"new", "--book", book, "--as-of", "2025-01-01T00:00:00Z"}).code, 0);
        ASSERT_EQ(run({"import", "--book", book, folder / "tables", "--as-of", "2025-01-03"}).code, 0);
        ASSERT_LE(log(book, "v1", "2025-03-01T08:00:00Z", -2).code, 1);
    }
    static Ran log(const std::string& into, const std::string& key, const char* when, double mv)
    {
        return run({"log", "--book", into, "--visit", "-", "--as-of", when}, visitJson(key, when, mv));
    }
    void copy(const std::string& to) { fs::copy_file(book, to); }
    const Folder folder;
    const std::string book = folder / "shop.halfcell";
};

TEST_F(Keeping, MergeTakesListsAndSettles)
{
    const std::string laptop = folder / "laptop.halfcell";
    copy(laptop);
    ASSERT_LE(log(laptop, "round", "2025-03-02T08:00:00Z", -3).code, 1);
    const Ran dry = run({"merge", "--book", book, "--from", laptop, "--dry-run", "--json"});
    EXPECT_EQ(dry.code, 0) << dry.err;
    EXPECT_EQ(dry.json().at("merged"), 1);
    const Json merged = run({"merge", "--book", book, "--from", laptop, "--person", "T1", "--json"}).json();
    EXPECT_EQ(merged.at("merged"), 1);
    EXPECT_EQ(run({"merge", "--book", book, "--from", laptop, "--json"}).json().at("merged"), 0);
    EXPECT_EQ(run({"explain", "--book", book, "--visit", "round", "--json"}).code, 0);

    // The same key on both sides, with other readings.
    ASSERT_LE(log(laptop, "twice", "2025-03-03T08:00:00Z", -4).code, 1);
    ASSERT_LE(log(book, "twice", "2025-03-03T08:00:00Z", -5).code, 1);
    const Ran clash = run({"merge", "--book", book, "--from", laptop, "--json"});
    EXPECT_EQ(clash.code, 1);
    const Json listed = run({"merge", "--book", book, "--clashes", "--json"}).json().at("clashes");
    ASSERT_EQ(listed.size(), 1U);
    EXPECT_EQ(listed[0].at("rows").size(), 2U);
    const std::string id = listed[0].at("id");
    EXPECT_EQ(run({"merge", "--book", book, "--settle", id, "--keep", "1", "--why", "x"}).code, 3);
    EXPECT_EQ(run({"merge", "--book", book, "--settle", id, "--person", "T1", "--why", "x"}).code, 2);
    EXPECT_EQ(run({"merge", "--book", book, "--settle", id.substr(0, 12), "--keep", "2", "--person", "T1", "--why", "the sheet"}).code, 0);
    EXPECT_EQ(run({"merge", "--book", book, "--clashes"}).code, 0);
    EXPECT_EQ(run({"verify", "--book", book}).code, 0);
    EXPECT_EQ(run({"merge", "--book", book}).code, 2);
    EXPECT_EQ(run({"merge", "--book", book, "--from", folder / "none"}).code, 4);

    // Either way round the shop reads the same.
    ASSERT_LE(run({"merge", "--book", laptop, "--from", book}).code, 1);
    EXPECT_EQ(run({"assess", "--book", book, "--as-of", "2027-01-01", "--json"}).out,
              run({"assess", "--book", laptop, "--as-of", "2027-01-01", "--json"}).out);
}

TEST_F(Keeping, BackupRotateAndRestore)
{
    const Ran first = run({"backup", "--book", book, "--rotate", folder / "store", "--as-of", "2025-03-02T20:00:00Z", "--json"});
    ASSERT_EQ(first.code, 0) << first.err;
    const std::string made = first.json().at("file");
    EXPECT_TRUE(fs::exists(made));
    EXPECT_EQ(run({"backup", "--book", book}).code, 2);
    const std::string again = folder / "again.halfcell";
    const Ran restored = run({"restore", "--from", made, "--to", again, "--json"});
    ASSERT_EQ(restored.code, 0) << restored.err;
    EXPECT_EQ(restored.json().at("head"), run({"verify", "--book", book, "--json"}).json().at("head"));
    EXPECT_EQ(run({"restore", "--from", made, "--to", again}).code, 3);  // never over a file
    EXPECT_EQ(run({"restore", "--from", folder / "tables/sites.csv", "--to", folder / "x"}).code, 4);
    EXPECT_EQ(run({"assess", "--book", book, "--as-of", "2025-04-01", "--json"}).out,
              run({"assess", "--book", again, "--as-of", "2025-04-01", "--json"}).out);
}

TEST_F(Keeping, ANotedHeadIsFoundAgain)
{
    const Json noted = run({"verify", "--book", book, "--json"}).json();
    const std::string head = noted.at("head");
    ASSERT_LE(log(book, "v2", "2025-04-01T08:00:00Z", -3).code, 1);
    EXPECT_EQ(run({"verify", "--book", book, "--head", head}).code, 0);
    EXPECT_EQ(run({"verify", "--book", book, "--head", std::to_string(noted.at("entries").get<int>()) + ":" + head.substr(0, 12)}).code, 0);
    const Ran other = run({"verify", "--book", book, "--head", std::string(64, 'a'), "--json"});
    EXPECT_EQ(other.code, 4);
    EXPECT_FALSE(other.json().at("ok").get<bool>());
    EXPECT_EQ(run({"verify", "--book", book, "--head", "nonsense"}).code, 3);
}

// What was known then: for the record, verdicts, due work, rules, bottles and certificates.
TEST_F(Keeping, AsOfShowsWhatWasKnownThen)
{
    ASSERT_LE(log(book, "v2", "2025-06-01T08:00:00Z", -40).code, 1);
    fs::create_directories(folder / "later");
    writeFile(folder / "later/corrections.csv",
              "visit,table,row,field,old,new,recorded,person,why\nv1,readings,1,mv,-2,-12,2025-05-01T08:00:00Z,T2,misread\n");
    ASSERT_EQ(run({"import", "--book", book, folder / "later", "--as-of", "2025-05-01T08:00:00Z"}).code, 0);
    const auto offset = [&](const char* then) {
        const Json sensors = run({"assess", "--book", book, "--as-of", then, "--json"}).json().at("sensors");
        return sensors.empty() || sensors[0].at("offset_mv").is_null() ? std::nan("") : sensors[0].at("offset_mv").get<double>();
    };
    EXPECT_TRUE(std::isnan(offset("2025-02-01")));
    EXPECT_NEAR(offset("2025-04-01"), -2.0, 1.0);
    EXPECT_NEAR(offset("2025-05-02"), -12.0, 1.0);
    EXPECT_NEAR(offset("2025-06-02"), -40.0, 1.0);
    // Overdue for cleaning as at a past date: what was done later doesn't help it, what fell due later isn't in it.
    const auto overdue = [&](const char* then) {
        const Json due = run({"due", "--book", book, "--as-of", then, "--json"}).json();
        int count = 0;
        for (const Json& task : due.at("tasks"))
            count +=
                task.at("serial") == "K1" && task.at("task") == "clean" && task.at("latest").get<std::string>() < std::string(then) ? 1 : 0;
        return count;
    };
    EXPECT_EQ(overdue("2025-01-10"), 0);
    EXPECT_GT(overdue("2025-05-30"), 0);
    EXPECT_EQ(run({"due", "--book", book, "--as-of", "2025-05-30", "--json"}).out,
              run({"due", "--book", book, "--as-of", "2025-05-30", "--json"}).out);

    // One field's history: what it said, from when, by whom and why.
    const Json before = run({"changes", "--book", book, "--as-of", "2025-04-01", "--json"}).json();
    EXPECT_TRUE(before.at("fields").empty());
    const Json fields = run({"changes", "--book", book, "--as-of", "2025-07-01", "--visit", "v1", "--json"}).json().at("fields");
    ASSERT_EQ(fields.size(), 1U);
    EXPECT_EQ(fields[0].at("field"), "mv");
    ASSERT_EQ(fields[0].at("values").size(), 2U);
    EXPECT_EQ(fields[0].at("values")[0].at("value"), "-2");
    EXPECT_EQ(fields[0].at("values")[0].at("person"), "T1");
    EXPECT_EQ(fields[0].at("values")[1].at("value"), "-12");
    EXPECT_EQ(fields[0].at("values")[1].at("person"), "T2");
    EXPECT_EQ(fields[0].at("values")[1].at("why"), "misread");
    EXPECT_EQ(fields[0].at("values")[1].at("from"), "2025-05-01T08:00:00Z");

    // The rules in force, and bottles and instruments as they stood.
    EXPECT_EQ(run({"rules", "show", "--book", book, "--as-of", "2025-03-01", "--json"}).json().at("adoptions").size(), 1U);
    const auto standing = [&](const char* then) {
        return run({"history", "--book", book, "--standing", "--as-of", then, "--json"}).json().at("entries");
    };
    EXPECT_EQ(standing("2025-01-15").size(), 1U);  // the bottle was not open yet
    ASSERT_EQ(standing("2025-03-01").size(), 2U);
    EXPECT_NE(standing("2026-02-01")[0].at("text").get<std::string>().find("expired"), std::string::npos);
    EXPECT_NE(standing("2026-02-01")[1].at("text").get<std::string>().find("overdue"), std::string::npos);
    EXPECT_EQ(run({"history", "--book", book}).code, 2);
}

}  // namespace
}  // namespace halfcell::test
