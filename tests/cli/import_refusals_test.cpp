#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

/// A folder in which nearly everything is wrong that can be wrong with a table, taken in by the real program.
namespace halfcell::test {
namespace {

using Tables = std::map<std::string, std::string>;

/// One bad row: its table, its text, where the refusal must point, and the row as it is once mended (empty: no mended form).
struct Bad {
    const char* kind;
    const char* table;
    std::string row;
    const char* field;
    const char* inReason;
    std::string mended;
};

std::vector<Bad> badRows()
{
    // Each bad reading is a visit of its own, so that every one is mended into a row that is taken.
    int n = 0;
    const auto reading = [&](const char* kind, const std::string& bad, const std::string& good, const char* field, const char* reason) {
        const std::string head = "bad" + std::to_string(++n) + ",2025-05-02T08:45:00Z,K7-0412,T1,as_found,";
        return Bad{kind, "readings", head + bad, field, reason, good.empty() ? "" : head + good};
    };
    const auto whole = [&](const char* kind, const char* table, const std::string& bad, const std::string& good, const char* field,
                           const char* reason) { return Bad{kind, table, bad, field, reason, good}; };
    return {
        reading("bad number", "ph7.00,1x3,20,60", "ph7.00,13,20,60", "mv", "no number"),
        reading("unit in the cell", "ph7.00,-12 mV,20,60", "ph7.00,-12,20,60", "mv", "follows the digits"),
        reading("decimal comma", "ph7.00,\"-12,5\",20,60", "ph7.00,-12.5,20,60", "mv", "comma"),
        reading("two signs", "ph7.00,--12,20,60", "ph7.00,-12,20,60", "mv", "two signs"),
        reading("sign behind the number", "ph7.00,12-,20,60", "ph7.00,-12,20,60", "mv", "follows the digits"),
        reading("not a number", "ph7.00,nan,20,60", "ph7.00,-12,20,60", "mv", "no number"),
        reading("infinite", "ph7.00,1e999,20,60", "ph7.00,-12,20,60", "mv", "too large"),
        reading("hexadecimal", "ph7.00,0x1F,20,60", "ph7.00,31,20,60", "mv", "follows the digits"),
        reading("impossible millivolts", "ph7.00,-12000,20,60", "ph7.00,-12,20,60", "mv", "outside"),
        reading("impossible temperature", "ph7.00,-12,250,60", "ph7.00,-12,25,60", "temp_degc", "outside"),
        reading("below the absolute zero", "ph7.00,-12,-300,60", "ph7.00,-12,30,60", "temp_degc", "outside"),
        reading("negative wait", "ph7.00,-12,20,-60", "ph7.00,-12,20,60", "wait_s", "outside"),
        reading("no millivolts and no reason", "ph7.00,,20,60", "ph7.00,-12,20,60", "mv", "empty"),
        reading("unknown standard", "ph7,-12,20,60", "ph7.00,-12,20,60", "standard", "no standard"),
        reading("a cell too few", "ph7.00,-12,20", "", "wait_s", "8 cells"),
        reading("a cell too many", "ph7.00,-12,20,60,1", "", "", "10 cells"),
        reading("quote never closed", "ph7.00,-12,20,\"60", "", "wait_s", "quote"),
        reading("quote inside a cell", "ph7.\"00,-12,20,60", "", "standard", "quote"),
        reading("semicolons in one row", "ph7.00;-12;20;60", "", "mv", "6 cells"),
        whole("unknown serial", "readings", "u1,2025-05-02,K7-9999,T1,as_found,ph7.00,-12,20,60",
              "u1,2025-05-02,K7-0412,T1,as_found,ph7.00,-12,20,60", "serial", "not known"),
        whole("empty serial", "readings", "u2,2025-05-02,,T1,as_found,ph7.00,-12,20,60",
              "u2,2025-05-02,K7-0412,T1,as_found,ph7.00,-12,20,60", "serial", "empty"),
        whole("empty visit", "readings", ",2025-05-02,K7-0412,T1,as_found,ph7.00,-12,20,60",
              "u3,2025-05-02,K7-0412,T1,as_found,ph7.00,-12,20,60", "visit", "empty"),
        whole("a day that is none", "readings", "u4,2025-02-30,K7-0412,T1,as_found,ph7.00,-12,20,60",
              "u4,2025-02-28,K7-0412,T1,as_found,ph7.00,-12,20,60", "when", "no such day"),
        whole("date the other way round", "readings", "u5,02/05/2025,K7-0412,T1,as_found,ph7.00,-12,20,60",
              "u5,2025-05-02,K7-0412,T1,as_found,ph7.00,-12,20,60", "when", "year-month-day"),
        whole("unknown phase", "readings", "u6,2025-05-02,K7-0412,T1,before,ph7.00,-12,20,60",
              "u6,2025-05-02,K7-0412,T1,as_found,ph7.00,-12,20,60", "phase", "allowed words"),
        whole("another serial in one visit", "readings", "v2,2025-04-02T08:55:00Z,K7-0431,T1,as_left,ph7.00,-12,20,60",
              "v2,2025-04-02T08:55:00Z,K7-0412,T1,as_left,ph7.00,-12,20,60", "serial", "other rows"),
        whole("another person in one visit", "readings", "v2,2025-04-02T08:56:00Z,K7-0412,T2,as_left,ph10.01,-175,20,60",
              "v2,2025-04-02T08:56:00Z,K7-0412,T1,as_left,ph10.01,-175,20,60", "person", "other rows"),
        whole("doubled reading", "readings", "v2,2025-04-02T08:50:00Z,K7-0412,T1,as_found,ph10.01,-175,20,60", "", "standard", "doubled"),
        whole("doubled header", "readings", "visit,when,serial,person,phase,standard,mv,temp_degc,wait_s", "", "when", "year"),
        whole("not UTF-8", "readings", "u7,2025-05-02,K7-0412,T\xE9,as_found,ph7.00,-12,20,60", "", "person", "UTF-8"),
        whole("zero bytes", "readings", std::string("u8,2025-05-02,K7-0412,T") + '\0' + '\0' + ",as_found,ph7.00,-12,20,60", "", "person",
              "zero byte"),
        whole("ten megabytes", "readings", "u9,2025-05-02,K7-0412," + std::string(10'000'000, 'T') + ",as_found,ph7.00,-12,20,60", "",
              "person", "long"),
        whole("doubled visit", "visits", "v1,2025-03-02T08:40:00Z,K7-0412", "", "visit", "doubled"),
        whole("a visit to another sensor", "visits", "old1,2025-01-02,K7-0431", "old1,2025-01-02,K7-0412", "serial", "in the book"),
        whole("a sensor's unknown model", "sensors", "K9-0001,K9", "K9-0001,K7", "model", "not known"),
        whole("doubled sensor", "sensors", "K7-0412,K7", "", "serial", "doubled"),
        whole("a point's unknown site", "points", "AE-1,Nowhere,control,6,9,", "AE-1,Saltmarsh,control,6,9,", "site", "not known"),
        whole("a range upside down", "points", "AE-2,Saltmarsh,control,9,6,", "AE-2,Saltmarsh,control,6,9,", "ph_high", "below"),
        whole("a placement nowhere", "placements", "K7-0412,AE-9,2025-03-01", "K7-0412,bench,2025-03-01", "place", "not known"),
        whole("an action without a name we know", "actions", "v1,2025-03-02T09:00:00Z,K7-0412,1,polish",
              "v1,2025-03-02T09:00:00Z,K7-0412,1,clean_acid", "action", "allowed words"),
        whole("efficiency nobody can have", "legacy", "K7-0412,2024-01-01,as_found,980,1", "K7-0412,2024-01-01,as_found,98,1",
              "efficiency_pct", "outside"),
    };
}

Tables goodTables()
{
    return {
        {"sites", "site,note\nSaltmarsh,\n"},
        {"points", "tag,site,loop_class,ph_low,ph_high,hazards\nAE-3107,Saltmarsh,control,6.5,9.5,acid;caustic\n"},
        {"models", "model,kind,reference,sensing\nK7,ph,double_gel,bulb\n"},
        {"sensors", "serial,model\nK7-0412,K7\nK7-0431,K7\n"},
        {"placements", "serial,place,from\nK7-0412,AE-3107,2025-02-01\nK7-0431,shelf,2025-02-01\n"},
        {"visits", "visit,when,serial\nv1,2025-03-02T08:40:00Z,K7-0412\n"},
        {"actions", "visit,when,serial,step,action\n"},
        {"legacy", "serial,when,phase,efficiency_pct,offset_mv\n"},
        {"readings", "visit,when,serial,person,phase,standard,mv,temp_degc,wait_s\n"
                     "v1,2025-03-02T08:45:00Z,K7-0412,T1,as_found,ph7.00,-13,19,60\n"
                     "v1,2025-03-02T08:50:00Z,K7-0412,T1,as_found,ph10.01,-176,19,60\n"
                     "v2,2025-04-02T08:45:00Z,K7-0412,T1,as_found,ph7.00,-12,20,60\n"
                     "v2,2025-04-02T08:50:00Z,K7-0412,T1,as_found,ph10.01,-175,20,60\n"},
    };
}

std::size_t rowsOf(const Tables& tables)
{
    std::size_t rows = 0;
    for (const auto& [name, text] : tables)
        rows += static_cast<std::size_t>(std::ranges::count(text, '\n')) - 1;
    return rows;
}

void put(const std::string& folder, const Tables& tables)
{
    std::filesystem::create_directories(folder);
    for (const auto& [name, text] : tables)
        writeFile(std::filesystem::path(folder) / (name + ".csv"), text);
}

class BadFolder : public ::testing::Test {
protected:
    void SetUp() override
    {
        ASSERT_EQ(run({"new", "--book", book}).code, 0);
        // A visit that is in the book before, for rows that contradict it.
        auto before = goodTables();
        before.erase("visits");
        before["readings"] = "visit,when,serial,phase,standard,mv,temp_degc\nold1,2025-01-02,K7-0412,as_found,ph7.00,-10,20\n";
        put(folder / "before", before);
        ASSERT_EQ(run({"import", "--book", book, folder / "before"}).code, 0);

        auto tables = goodTables();
        for (const Bad& b : bad)
            tables[b.table] += b.row + "\n";
        tables["lots"] = "lot,standard,colour\nB1,ph7.00,red\n";                         // unknown column
        tables["parts"] = "serial,part\nK7-0412,bridge\n";                               // missing column
        tables["equipment"] = "equipment;kind\nM1;meter\n";                              // semicolons
        tables["people"] = std::string("\xFF\xFEp\0e\0r\0", 8);                          // UTF-16
        tables["holds"] = "point,from,person,from\nAE-3107,2025-03-01,T1,2025-03-02\n";  // a column twice
        tables["standards"] = "";                                                        // empty
        tables["stock_count"] = "what,many\nph7.00,3\n";                                 // no table of ours
        put(folder / "in", tables);
    }

    Folder folder;
    const std::string book = folder / "shop.halfcell";
    const std::vector<Bad> bad = badRows();
    static constexpr std::size_t kBadFiles = 7;
};

TEST_F(BadFolder, EachRowIsRefusedWithLineFieldAndRemedyAndTheRestIsTaken)
{
    const Ran ran = run({"import", "--book", book, folder / "in", "--json"});
    EXPECT_EQ(ran.code, 1) << ran.err;
    const Json answer = ran.json();
    const Json& refused = answer.at("refused");
    std::set<std::string> kinds;
    for (const Bad& b : bad) {
        const auto goodRows = static_cast<std::size_t>(std::ranges::count(goodTables().at(b.table), '\n'));
        std::size_t line = goodRows;
        for (const Bad& other : bad) {
            if (std::string(other.table) == b.table)
                ++line;
            if (&other == &b)
                break;
        }
        const auto there = std::ranges::find_if(
            refused, [&](const Json& r) { return r.at("file") == std::string(b.table) + ".csv" && r.at("line") == line; });
        ASSERT_NE(there, refused.end()) << b.kind << ": line " << line << " of " << b.table << " was not refused";
        EXPECT_EQ(there->at("field").is_null() ? "" : there->at("field").get<std::string>(), b.field) << b.kind;
        EXPECT_NE(there->at("reason").get<std::string>().find(b.inReason), std::string::npos) << b.kind << ": " << there->at("reason");
        EXPECT_FALSE(there->at("remedy").get<std::string>().empty()) << b.kind;
        EXPECT_LE(there->at("value").get<std::string>().size(), 250U) << b.kind;
        kinds.insert(b.kind);
    }
    EXPECT_EQ(refused.size(), bad.size() + kBadFiles) << refused.dump(1);
    EXPECT_GE(kinds.size() + kBadFiles, 20U);
    std::cout << "kinds of bad rows and files refused: " << kinds.size() + kBadFiles << '\n';
    // Everything else is in the book: what was there before counts as known.
    EXPECT_EQ(answer.at("taken").get<std::size_t>() + answer.at("unchanged").get<std::size_t>(), rowsOf(goodTables()));
    EXPECT_EQ(run({"verify", "--book", book}).code, 0);
    // The report of it.
    const std::string report = contentOf(folder / "in.refused.csv");
    EXPECT_TRUE(report.starts_with("file,line,field,value,reason,remedy\r\n"));
    EXPECT_LT(report.size(), 60'000U);
    // Again: nothing more is taken, the same is refused.
    const Json again = run({"import", "--book", book, folder / "in", "--json"}).json();
    EXPECT_EQ(again.at("taken"), 0);
    EXPECT_EQ(again.at("refused").size(), refused.size());
}

TEST_F(BadFolder, WithStrictOrAsADryRunNothingIsWritten)
{
    const std::string before = contentOf(book);
    const std::string head = run({"verify", "--book", book, "--json", "--as-of", "2026-03-02"}).out;
    const Ran strict = run({"import", "--book", book, folder / "in", "--strict", "--json"});
    EXPECT_EQ(strict.code, 3);
    EXPECT_EQ(strict.json().at("taken"), 0);
    EXPECT_GE(strict.json().at("refused").size(), 20U);
    EXPECT_EQ(run({"verify", "--book", book, "--json", "--as-of", "2026-03-02"}).out, head);
    EXPECT_EQ(contentOf(book), before);
    const Ran dry = run({"import", "--book", book, folder / "in", "--dry-run", "--json", "--as-of", "2026-03-02"});
    EXPECT_EQ(dry.code, 1);
    EXPECT_TRUE(dry.json().at("dry_run").get<bool>());
    EXPECT_EQ(contentOf(book), before);
    // A dry run says what the real one then does.
    const Json real = run({"import", "--book", book, folder / "in", "--json", "--as-of", "2026-03-02"}).json();
    EXPECT_EQ(dry.json().at("taken"), real.at("taken"));
    EXPECT_EQ(dry.json().at("refused"), real.at("refused"));
}

TEST_F(BadFolder, RefusedRowsMendedWhereTheyWereWrittenAreTaken)
{
    const Json first = run({"import", "--book", book, folder / "in", "--json"}).json();
    const std::filesystem::path toMend = folder / "in.refused";
    ASSERT_EQ(first.at("rows_to_mend"), toMend.string());
    // Not mended: the same rows are refused for the same reasons. They go to a folder of their own.
    const Json same = run({"import", "--book", book, toMend.string(), "--json"}).json();
    EXPECT_EQ(same.at("taken"), 0);
    ASSERT_FALSE(same.at("refused").empty());
    // Mended: every one is taken, none refused.
    std::size_t mendable = 0;
    for (const auto& entry : std::filesystem::directory_iterator(toMend)) {
        std::string text = contentOf(entry.path());
        const std::string table = entry.path().stem().string();
        for (const Bad& b : bad) {
            if (b.table != table)
                continue;
            if (const std::size_t at = text.find("\n" + b.row + ","); at != std::string::npos) {
                const std::size_t end = text.find('\n', at + 1);
                if (b.mended.empty()) {
                    text.erase(at, end - at);
                } else {
                    text.replace(at + 1, b.row.size(), b.mended);
                    ++mendable;
                }
            }
        }
        writeFile(entry.path(), text);
    }
    const auto expected = static_cast<std::size_t>(std::ranges::count_if(bad, [](const Bad& b) { return !b.mended.empty(); }));
    EXPECT_EQ(mendable, expected);
    const Ran mended = run({"import", "--book", book, toMend.string(), "--json"});
    EXPECT_EQ(mended.code, 0) << mended.json().at("refused").dump(1);
    EXPECT_EQ(mended.json().at("taken"), mendable);
    EXPECT_EQ(run({"verify", "--book", book}).code, 0);

    // And out, in, out again: the same bytes.
    const auto as = "2026-03-02";
    ASSERT_EQ(run({"export", "--book", book, "--to", folder / "out1", "--as-of", as}).code, 0);
    ASSERT_EQ(run({"new", "--book", folder / "second"}).code, 0);
    EXPECT_EQ(run({"import", "--book", folder / "second", folder / "out1"}).code, 0);
    ASSERT_EQ(run({"export", "--book", folder / "second", "--to", folder / "out2", "--as-of", as}).code, 0);
    for (const auto& entry : std::filesystem::directory_iterator(folder / "out1"))
        EXPECT_EQ(contentOf(entry.path()), contentOf(std::filesystem::path(folder / "out2") / entry.path().filename())) << entry.path();
    // The workbook takes the same way.
    ASSERT_EQ(run({"export", "--book", book, "--to", folder / "out.xlsx", "--as-of", as}).code, 0);
    ASSERT_EQ(run({"new", "--book", folder / "third"}).code, 0);
    const Ran workbook = run({"import", "--book", folder / "third", folder / "out.xlsx", "--json"});
    EXPECT_EQ(workbook.code, 0) << workbook.out.substr(0, 3000);
    ASSERT_EQ(run({"export", "--book", folder / "third", "--to", folder / "out3", "--as-of", as}).code, 0);
    for (const auto& entry : std::filesystem::directory_iterator(folder / "out1"))
        EXPECT_EQ(contentOf(entry.path()), contentOf(std::filesystem::path(folder / "out3") / entry.path().filename())) << entry.path();
}

TEST_F(BadFolder, AMendedSecondDipKeepsItsPlace)
{
    const std::string head = "visit,when,serial,phase,standard,mv,temp_degc\n";
    const std::string bad1 = "d1,2025-06-02,K7-0412,as_found,ph7.00,-1O,20\n",
                      good2 = "d1,2025-06-02T00:05:00Z,K7-0412,as_found,ph7.00,-11,20\n";
    put(folder / "dips", {{"readings", head + bad1 + good2}});
    EXPECT_EQ(run({"import", "--book", book, folder / "dips"}).code, 1);
    // Mended in the file itself, and mended where it was written: the first dip, not the second.
    const std::string toMend = folder / "dips.refused/readings.csv";
    EXPECT_NE(contentOf(toMend).find("-1O,20,1,"), std::string::npos) << contentOf(toMend);
    std::string text = contentOf(toMend);
    text.replace(text.find("-1O"), 3, "-10");
    writeFile(toMend, text);
    const Json mended = run({"import", "--book", book, folder / "dips.refused", "--json"}).json();
    EXPECT_EQ(mended.at("taken"), 1) << mended.dump(1);
    std::string whole = bad1;
    whole.replace(whole.find("-1O"), 3, "-10");
    put(folder / "dips", {{"readings", head + whole + good2}});
    const Json again = run({"import", "--book", book, folder / "dips", "--json"}).json();
    EXPECT_EQ(again.at("unchanged"), 2) << again.dump(1);
    EXPECT_TRUE(again.at("refused").empty());
}

}  // namespace
}  // namespace halfcell::test
