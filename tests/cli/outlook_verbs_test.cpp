#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <cctype>
#include <cmath>

namespace halfcell::test {
namespace {

constexpr const char* kDay = "2026-03-02";

/// A small plant, made once: 40 sensors, 18 months.
const std::string& smallBook()
{
    static const Folder folder;
    static const std::string book = [] {
        std::string file = folder / "small.halfcell";
        const Ran made = run({"demo", "--book", file, "--until", kDay, "--sensors", "40", "--years", "1.5", "--seed", "5", "--quiet"});
        EXPECT_EQ(made.code, 0) << made.err;
        return file;
    }();
    return book;
}

const std::string kLasers = std::string(HALFCELL_TEST_DATA) + "/reference/gaas_laser.csv";

std::string laserTable(const Folder& folder, double until)
{
    // The published table under our column names, up to a time.
    const std::string text = contentOf(kLasers);
    std::string table = "unit,time,value\n";
    std::size_t at = text.find('\n') + 1;
    while (at < text.size()) {
        const std::size_t end = text.find('\n', at);
        const std::string line = text.substr(at, end - at);
        at = end + 1;
        const std::size_t comma = line.find(',');
        if (comma != std::string::npos && std::isdigit(static_cast<unsigned char>(line.front())) != 0 &&
            std::stod(line.substr(comma + 1)) <= until)
            table += line + '\n';
    }
    const std::string file = folder / "lasers.csv";
    writeFile(file, table);
    return file;
}

TEST(OutlookTable, ForecastsPublishedLasers)
{
    const Folder folder;
    const Ran ran = run({"outlook", "--table", laserTable(folder, 2000), "--limit", "10", "--rising", "--at", "3000,4000", "--json"});
    ASSERT_EQ(ran.code, 0) << ran.err;
    const Json units = ran.json().at("units");
    ASSERT_EQ(units.size(), 15U);
    for (const Json& u : units) {
        EXPECT_EQ(u.at("forecast").size(), 2U);
        EXPECT_EQ(u.at("forecast").at(0).at("quantity"), "value");
        if (u.at("unit") == "110") {
            // Crossed 10 % at 3374 h, straight between the readings.
            EXPECT_LT(u.at("crossing").at("p10").get<double>(), 3374);
            EXPECT_GT(u.at("crossing").at("p90").get<double>(), 3374);
            EXPECT_GT(u.at("crossing").at("probability_by").at(1).at("probability").get<double>(), 0.95);
        }
        if (u.at("unit") == "107") {
            EXPECT_LT(u.at("crossing").at("probability_by").at(1).at("probability").get<double>(), 0.03);
        }
    }
}

TEST(OutlookTable, NamesLineFieldAndRemedy)
{
    const Folder folder;
    writeFile(folder / "bad.csv", "unit,time,value\na,0,0\na,1,x\n");
    const Ran bad = run({"outlook", "--table", folder / "bad.csv", "--limit", "10", "--rising", "--json"});
    EXPECT_EQ(bad.code, 3);
    EXPECT_EQ(bad.json().at("error").at("line"), 3);
    EXPECT_EQ(bad.json().at("error").at("field"), "value");
    EXPECT_EQ(run({"outlook", "--table", folder / "bad.csv", "--limit", "10"}).code, 2);
    EXPECT_EQ(run({"outlook", "--table", folder / "bad.csv", "--rising"}).code, 2);
    writeFile(folder / "columns.csv", "unit,time\na,0\n");
    EXPECT_EQ(run({"outlook", "--table", folder / "columns.csv", "--limit", "10", "--rising"}).code, 3);
    EXPECT_EQ(run({"outlook", "--table", folder / "missing.csv", "--limit", "10", "--rising"}).code, 4);
}

TEST(Outlook, EverySensorHasAForecastOrAReason)
{
    const Ran ran = run({"outlook", "--book", smallBook(), "--as-of", kDay, "--json"});
    ASSERT_LE(ran.code, 1) << ran.err;
    const Json sensors = ran.json().at("sensors");
    ASSERT_GT(sensors.size(), 20U);
    std::size_t borrowed = 0, full = 0;
    for (const Json& s : sensors) {
        for (const Json& f : s.at("forecast")) {
            if (f.at("p50").is_null()) {
                EXPECT_FALSE(f.at("missing").empty());
                continue;
            }
            double last = -1e300;
            for (const char* p : {"p05", "p10", "p25", "p50", "p75", "p90", "p95"}) {
                EXPECT_GE(f.at(p).get<double>(), last);
                last = f.at(p).get<double>();
            }
            full += f.at("quantity") == "efficiency_pct" ? 1 : 0;
        }
        if (s.at("borrowed") == true) {
            ++borrowed;
            EXPECT_TRUE(s.at("abstained").is_string());
            EXPECT_TRUE(s.at("crossing").at("p50").is_null());
        }
    }
    EXPECT_GT(borrowed, 0U);
    EXPECT_GT(full, 0U);
    EXPECT_EQ(run({"outlook", "--book", smallBook(), "--as-of", kDay, "--json"}).out, ran.out);
    EXPECT_EQ(run({"outlook", "--book", smallBook(), "--serial", "NOBODY"}).code, 3);
    EXPECT_EQ(run({"outlook", "--book", smallBook(), "--weeks", "0"}).code, 2);
}

TEST(Outlook, ScoresItself)
{
    const Ran ran = run({"outlook", "--score", "--book", smallBook(), "--as-of", kDay, "--json"});
    ASSERT_EQ(ran.code, 0) << ran.err;
    const Json answer = ran.json();
    for (const Json& h : answer.at("score"))
        for (const char* key : {"horizon_weeks", "n", "coverage_50", "coverage_80", "coverage_90", "crps_skill_vs_last_value",
                                "crps_skill_vs_straight_line", "abstained_pct"})
            EXPECT_TRUE(h.contains(key)) << key;
    EXPECT_EQ(answer.at("pit").size(), 10U);
}

TEST(Lifetimes, FitPublishedLives)
{
    const Folder folder;
    // Ball bearings (23 failures, million cycles): shape 2.1018, scale 81.8746; median 67.8.
    const std::string text = contentOf(std::string(HALFCELL_TEST_DATA) + "/reference/ball_bearing_life.csv");
    std::string table = "time,failed\n";
    std::size_t at = text.find('\n') + 1;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const std::string line = text.substr(at, end - at);
        at = end + 1;
        if (!line.empty() && (std::isdigit(static_cast<unsigned char>(line.front())) != 0))
            table += line.substr(0, line.find(',')) + ",yes\n";
    }
    writeFile(folder / "bearings.csv", table);
    const Ran ran = run({"lifetimes", "--table", folder / "bearings.csv", "--json"});
    ASSERT_EQ(ran.code, 0) << ran.err;
    const Json g = ran.json().at("groups").at(0);
    EXPECT_EQ(g.at("n"), 23.0);
    EXPECT_NEAR(g.at("weibull").at("shape").get<double>(), 2.1018, 1e-4);
    EXPECT_NEAR(g.at("weibull").at("scale").get<double>(), 81.8746, 1e-3);
    EXPECT_NEAR(g.at("weibull").at("log_likelihood").get<double>(), -113.69196, 1e-4);
    EXPECT_NEAR(g.at("weibull").at("shape_ci").at(0).get<double>(), 1.5040, 1e-3);
    EXPECT_NEAR(g.at("median").get<double>(), 67.8, 1e-9);
    EXPECT_FALSE(g.at("steps").empty());
}

TEST(Lifetimes, CompareGroupsWithLateEntryAndCauses)
{
    const Folder folder;
    // Own data: two groups, late entries, reasons 1 glass, 2 reference; worked out with R's survival package beforehand.
    writeFile(folder / "own.csv", "time,failed,entered,group,cause\n3.1,yes,0,A,glass\n5.4,yes,0,A,reference\n7.0,yes,0,A,glass\n8.2,no,2,"
                                  "A,\n9.6,yes,0,A,glass\n11.5,yes,4,A,glass\n"
                                  "12.0,no,0,A,\n14.3,yes,6,A,reference\n6.2,yes,0,B,reference\n9.9,no,0,B,\n11.8,yes,0,B,glass\n13.0,yes,"
                                  "3,B,glass\n15.5,no,0,B,\n17.4,yes,0,B,reference\n"
                                  "18.0,no,5,B,\n20.1,yes,0,B,glass\n");
    const Json answer = run({"lifetimes", "--table", folder / "own.csv", "--json"}).json();
    EXPECT_NEAR(answer.at("comparison").at("chi_square").get<double>(), 4.3831, 1e-4);
    EXPECT_NEAR(answer.at("comparison").at("p").get<double>(), 0.0363, 1e-4);
    EXPECT_EQ(answer.at("groups").at(0).at("group"), "A");
    EXPECT_EQ(answer.at("groups").at(0).at("causes").size(), 2U);
    writeFile(folder / "bad.csv", "time,failed\n5,perhaps\n");
    const Ran bad = run({"lifetimes", "--table", folder / "bad.csv", "--json"});
    EXPECT_EQ(bad.code, 3);
    EXPECT_EQ(bad.json().at("error").at("line"), 2);
}

TEST(Lifetimes, OfTheBookAddUp)
{
    const Ran ran = run({"lifetimes", "--book", smallBook(), "--as-of", kDay, "--json"});
    ASSERT_EQ(ran.code, 0) << ran.err;
    double all = 0.0;
    const Json whole = ran.json();
    for (const Json& g : whole.at("groups")) {
        all += g.at("n").get<double>();
        double last = 1.0;
        for (const Json& s : g.at("steps")) {
            EXPECT_LE(s.at("survival").get<double>(), last + 1e-12);
            last = s.at("survival").get<double>();
        }
    }
    const Json one = run({"lifetimes", "--book", smallBook(), "--as-of", kDay, "--by", "application", "--json"}).json();
    double sum = 0.0;
    for (const Json& g : one.at("groups"))
        sum += g.at("n").get<double>();
    EXPECT_EQ(all, sum);
    EXPECT_EQ(run({"lifetimes", "--book", smallBook(), "--by", "colour"}).code, 2);
}

TEST(Evidence, EffectsAndSuspectsAnswer)
{
    const Ran effects = run({"effects", "--book", smallBook(), "--as-of", kDay, "--json"});
    ASSERT_EQ(effects.code, 0) << effects.err;
    EXPECT_FALSE(effects.json().at("effects").empty());
    const Json gains = effects.json();
    for (const Json& e : gains.at("effects")) {
        EXPECT_TRUE(e.at("action").is_string());
        if (e.at("efficiency_gain_pct").is_number()) {
            EXPECT_LT(e.at("ci").at(0).get<double>(), e.at("efficiency_gain_pct").get<double>());
            EXPECT_GT(e.at("ci").at(1).get<double>(), e.at("efficiency_gain_pct").get<double>());
        }
    }
    EXPECT_EQ(run({"effects", "--book", smallBook(), "--by", "colour"}).code, 2);
    const Ran suspects = run({"suspects", "--book", smallBook(), "--as-of", kDay, "--json", "--without-people"});
    ASSERT_LE(suspects.code, 1) << suspects.err;
    const Json shifts = suspects.json();
    for (const Json& s : shifts.at("suspects")) {
        EXPECT_LE(s.at("q_value").get<double>(), 0.10);
        EXPECT_NE(s.at("what"), "person");
    }
}

}  // namespace
}  // namespace halfcell::test
