#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <cmath>

// Response, settling and "good enough here?" through the real program.
namespace halfcell::test {
namespace {

constexpr const char* kMarch = "2026-03-02";

/// 168 mV less what is still to come at t90 60 s, every ten seconds, one decimal.
std::string slowSeries()
{
    std::string text;
    for (int t = 0; t <= 60; t += 10) {
        const double mv = 168.0 - 168.0 * std::pow(10.0, -t / 60.0);
        text += (text.empty() ? "" : ";") + std::to_string(t) + ":" + std::to_string(std::round(10.0 * mv) / 10.0);
    }
    return text;
}

std::vector<std::string> slowCalc(std::vector<std::string> more)
{
    std::vector<std::string> args{"calc", "--reading", "standard=ph7.00,mv=0,temp=25", "--reading",
                                  "standard=ph4.00,mv=151.2,temp=25,wait=60"};
    args.insert(args.end(), more.begin(), more.end());
    return args;
}

bool raised(const Json& where, const std::string& code)
{
    for (const Json& f : where.at("findings"))
        if (f.at("code") == code)
            return true;
    return false;
}

TEST(Settle, CalcFitsTheSeriesAndPredictsWithoutTouchingTheFigures)
{
    const Json with = run(slowCalc({"--settle", "standard=ph4.00,t=" + slowSeries(), "--json"})).json().at("sets").at(0);
    const Json without = run(slowCalc({"--json"})).json().at("sets").at(0);
    EXPECT_NEAR(with.at("t90_s").get<double>(), 60.0, 1.0);
    EXPECT_GT(with.at("u_t90_s").get<double>(), 0.0);
    ASSERT_EQ(with.at("settling").size(), 1U);
    const Json& s = with.at("settling").at(0);
    EXPECT_EQ(s.at("reading"), 2);
    EXPECT_EQ(s.at("from"), "series");
    EXPECT_TRUE(s.at("too_soon").get<bool>());
    EXPECT_NEAR(s.at("settled_mv").get<double>(), 168.0, 1.0);
    EXPECT_GT(s.at("u_settled_mv").get<double>(), 0.0);
    EXPECT_NEAR(s.at("missing_pct").get<double>(), 10.0, 0.5);
    EXPECT_TRUE(raised(with, "read_too_soon"));
    EXPECT_NEAR(with.at("efficiency_pct").get<double>(), without.at("efficiency_pct").get<double>(), 1e-9) << "a prediction is no record";
    EXPECT_TRUE(without.at("t90_s").is_null());
    EXPECT_TRUE(without.at("settling").empty());
    bool worked = false;
    for (const Json& step : with.at("working"))
        worked = worked || step.at("figure") == "settling";
    EXPECT_TRUE(worked);
    const Ran text = run(slowCalc({"--settle", "standard=ph4.00,t=" + slowSeries()}));
    EXPECT_NE(text.out.find("by its series"), std::string::npos) << text.out;
    EXPECT_NE(text.out.find("no record"), std::string::npos) << text.out;
}

TEST(Settle, CalcWithoutASeriesPredictsByTheWait)
{
    const Json set =
        run({"calc", "--reading", "standard=ph7.00,mv=0,temp=25", "--reading", "standard=ph4.00,mv=151.2,temp=25,wait=40,t90=40", "--json"})
            .json()
            .at("sets")
            .at(0);
    ASSERT_EQ(set.at("settling").size(), 1U);
    EXPECT_EQ(set.at("settling").at(0).at("from"), "wait");
    EXPECT_NEAR(set.at("settling").at(0).at("settled_mv").get<double>(), 168.0, 1e-6);
}

TEST(Settle, CalcRefusesASeriesItCannotRead)
{
    EXPECT_EQ(run(slowCalc({"--settle", "standard=ph4.00,t=0:1;0:2"})).code, 3);
    EXPECT_EQ(run(slowCalc({"--settle", "standard=ph9.18,t=0:1;10:2"})).code, 3);
    EXPECT_EQ(run(slowCalc({"--settle", "t=0:1;10:2"})).code, 3);
    const Ran bad = run(slowCalc({"--settle", "standard=ph4.00,t=now", "--json"}));
    EXPECT_EQ(bad.code, 3);
    EXPECT_EQ(bad.json().at("error").at("field"), "--settle t");
    EXPECT_FALSE(bad.json().at("error").at("remedy").get<std::string>().empty());
}

TEST(GoodEnough, CalcAnswersInOneSentence)
{
    const std::vector<std::string> args{"calc",
                                        "--reading",
                                        "standard=ph7.00,mv=0,temp=25",
                                        "--reading",
                                        "standard=ph10.01,mv=-170,temp=25",
                                        "--process-ph",
                                        "9",
                                        "--process-temp",
                                        "30",
                                        "--tolerance",
                                        "0.2",
                                        "--loop-class",
                                        "permit"};
    auto json = args;
    json.emplace_back("--json");
    const Json good = run(json).json().at("sets").at(0).at("good_enough");
    EXPECT_EQ(good.at("now").at("decision"), "inside");
    EXPECT_GT(good.at("now").at("probability_inside").get<double>(), 0.95);
    EXPECT_EQ(good.at("accepted_probability"), 0.95);
    EXPECT_TRUE(good.at("next_visit").is_null());
    EXPECT_FALSE(good.at("missing").empty());
    const Ran text = run(args);
    EXPECT_NE(text.out.find("Good enough at pH 9"), std::string::npos) << text.out;
    const Json none = run({"calc", "--reading", "standard=ph7.00,mv=0,temp=25", "--reading", "standard=ph4.00,mv=170,temp=25", "--json"})
                          .json()
                          .at("sets")
                          .at(0)
                          .at("good_enough");
    EXPECT_TRUE(none.at("now").is_null());
    EXPECT_EQ(none.at("missing").at(0).at("reason"), "no tolerance is agreed for this point");
    EXPECT_EQ(run({"calc", "--reading", "standard=ph7.00,mv=0,temp=25", "--loop-class", "permit"}).code, 2);
    EXPECT_EQ(run({"calc", "--reading", "standard=ph7.00,mv=0,temp=25", "--tolerance", "0.2", "--loop-class", "vital"}).code, 2);
}

TEST(GoodEnough, OrpByItsOffsetAndOnTheHydrogenScale)
{
    const Json set = run({"calc", "--kind", "orp", "--reference-fill", "3M KCl", "--reading", "standard=zobell,mv=221,temp=25",
                          "--tolerance", "20", "--json"})
                         .json()
                         .at("sets")
                         .at(0);
    EXPECT_EQ(set.at("good_enough").at("unit"), "mV");
    EXPECT_NEAR(set.at("expected_mv").at(0).at("read_hydrogen_mv").get<double>(), 430.0, 1.0);
}

TEST(GoodEnough, LogAssessAndExplainCarryTheSeriesAndTheAnswer)
{
    const Folder folder;
    std::filesystem::copy_file(demoBook(), folder / "b");
    const Json sensors = run({"assess", "--book", folder / "b", "--as-of", kMarch, "--json"}).json().at("sensors");
    std::string serial;
    for (const Json& s : sensors)
        if (s.at("kind") == "ph" && s.at("tag").is_string() && s.at("signal") == "normal" && s.at("good_enough").at("now").is_object())
            serial = s.at("serial");
    ASSERT_FALSE(serial.empty());
    Json series = Json::array();
    for (int t = 0; t <= 60; t += 10)
        series.push_back(Json::array({t, std::round(10.0 * (168.0 - 168.0 * std::pow(10.0, -t / 60.0))) / 10.0}));
    const Json visit{
        {"visit", "settle-1"},
        {"when", "2026-03-02T10:00:00Z"},
        {"serial", serial},
        {"person", "T1"},
        {"readings",
         {{{"phase", "as_found"}, {"standard", "ph7.00"}, {"mv", 0}, {"temp_degc", 25}, {"wait_s", 90}},
          {{"phase", "as_found"}, {"standard", "ph4.01"}, {"mv", 151.2}, {"temp_degc", 25}, {"wait_s", 60}, {"settle", series}}}}};
    const Ran logged = run({"log", "--book", folder / "b", "--visit", "-", "--json", "--as-of", "2026-03-02T11:00:00Z"}, visit.dump());
    ASSERT_LE(logged.code, 1) << logged.out;
    EXPECT_EQ(logged.json().at("settling").size(), 1U);
    EXPECT_TRUE(raised(logged.json(), "read_too_soon"));
    EXPECT_TRUE(logged.json().at("good_enough").at("sentence").is_string());
    const Ran again = run({"log", "--book", folder / "b", "--visit", "-", "--json", "--as-of", "2026-03-02T11:00:00Z"}, visit.dump());
    EXPECT_TRUE(again.json().at("unchanged").get<bool>()) << again.out;

    const Json now =
        run({"assess", "--book", folder / "b", "--serial", serial, "--as-of", "2026-03-02T12:00:00Z", "--json"}).json().at("sensors").at(0);
    EXPECT_NEAR(now.at("t90_s").get<double>(), 60.0, 1.0);
    EXPECT_GT(now.at("u_t90_s").get<double>(), 0.0);
    EXPECT_NEAR(now.at("settling").at(0).at("settled_mv").get<double>(), 168.0, 1.0);
    const Json& good = now.at("good_enough");
    EXPECT_TRUE(good.at("set_by_earlier_calibration").get<bool>());
    EXPECT_TRUE(good.at("now").is_object());
    ASSERT_TRUE(good.at("next_visit").is_object()) << good.dump();
    EXPECT_TRUE(good.at("next_visit").at("at").is_string());
    EXPECT_NE(good.at("sentence").get<std::string>().find("at the next visit"), std::string::npos) << good.dump();

    for (const char* figure : {"settling", "good_enough", "t90_s"}) {
        const Ran explained = run(
            {"explain", "--book", folder / "b", "--visit", "settle-1", "--figure", figure, "--as-of", "2026-03-02T12:00:00Z", "--json"});
        EXPECT_EQ(explained.code, 0) << figure;
        EXPECT_FALSE(explained.json().at("working").empty()) << figure;
    }
    // What was noted leaves the book as it came.
    ASSERT_EQ(run({"export", "--book", folder / "b", "--to", folder / "out", "--as-of", "2026-03-02T12:00:00Z"}).code, 0);
    EXPECT_NE(contentOf(std::filesystem::path(folder / "out") / "readings.csv").find("0:0;10:"), std::string::npos);
    EXPECT_EQ(run({"verify", "--book", folder / "b"}).code, 0);
}

}  // namespace
}  // namespace halfcell::test
