#include "tests/cli/program.h"

#include <gtest/gtest.h>

// Tests by hand: their steps are printed, their results are taken by `log`, and each result moves the diagnosis.
namespace halfcell::test {
namespace {

constexpr const char* kGuides[] = {"hand_millivolt", "dilution",    "stir",   "short_open",       "earth_wire",
                                   "noise",          "thermometer", "reread", "glass_resistance", "reference_resistance",
                                   "second_bottle",  "hysteresis",  "cable"};

/// A site, two points, a pH sensor that was well, and one visit with these checks.
class GuidedShop {
public:
    GuidedShop()
    {
        std::filesystem::create_directories(m_folder / "in");
        writeFile(m_folder / "in/sites.csv", "site\r\nMill\r\n");
        writeFile(m_folder / "in/points.csv", "tag,site,loop_class\r\nAE-1,Mill,control\r\n");
        writeFile(m_folder / "in/models.csv", "model,kind,reference,sensing,reference_fill\r\nK7,ph,double_refillable,bulb,3M KCl\r\n");
        writeFile(m_folder / "in/sensors.csv", "serial,model\r\nK7-1,K7\r\n");
        writeFile(m_folder / "in/placements.csv", "serial,place,from\r\nK7-1,AE-1,2026-01-01\r\n");
        EXPECT_EQ(run({"new", "--book", m_folder / "empty"}).code, 0);
        const Ran taken = run({"import", "--book", m_folder / "empty", m_folder / "in", "--json"});
        EXPECT_EQ(taken.code, 0) << taken.out;
    }
    /// The answer of `log` to a visit whose readings are these, with these checks.
    Json logged(const Json& readings, const Json& checks)
    {
        const std::string book = m_folder / ("b" + std::to_string(++m_count));
        std::filesystem::copy_file(m_folder / "empty", book);
        Json visit{{"visit", "g"}, {"when", "2026-03-02T10:00:00Z"}, {"serial", "K7-1"}, {"reason", "complaint"}, {"readings", readings}};
        if (!checks.empty())
            visit["checks"] = Json::array({checks});
        const Ran ran = run({"log", "--book", book, "--visit", "-", "--json", "--as-of", "2026-03-02T11:00:00Z"}, visit.dump());
        EXPECT_LE(ran.code, 1) << ran.out;
        return ran.json();
    }

private:
    Folder m_folder;
    int m_count = 0;
};

Json dips(double seven, double four)
{
    return Json::array({{{"phase", "as_found"}, {"standard", "ph7.00"}, {"mv", seven}, {"temp_degc", 25}, {"wait_s", 90}, {"t90_s", 30}},
                        {{"phase", "as_found"}, {"standard", "ph4.01"}, {"mv", four}, {"temp_degc", 25}, {"wait_s", 90}, {"t90_s", 30}}});
}

double chance(const Json& answer, const std::string& code)
{
    for (const Json& f : answer.at("findings"))
        if (f.at("code") == code && f.at("probability").is_number())
            return f.at("probability").get<double>();
    return 0.0;
}

TEST(GuidedTests, StepsCautionsAndMeaningsArePrinted)
{
    for (const char* key : kGuides) {
        const Ran ran = run({"explain", "--test", key, "--json"});
        ASSERT_EQ(ran.code, 0) << key;
        const Json guide = ran.json();
        EXPECT_EQ(guide.at("test"), key);
        EXPECT_GE(guide.at("steps").size(), 3U) << key;
        EXPECT_GE(guide.at("results").size(), 2U) << key;
        EXPECT_FALSE(guide.at("cautions").empty()) << key;
        EXPECT_GT(guide.at("minutes").get<double>(), 0.0) << key;
        const Ran text = run({"explain", "--test", key});
        EXPECT_NE(text.out.find("caution:"), std::string::npos) << key;
        EXPECT_LT(text.out.find("caution:"), text.out.find("  1 ")) << key << ": cautions come before the first step";
    }
    const Ran unknown = run({"explain", "--test", "tapping", "--json"});
    EXPECT_EQ(unknown.code, 3);
    EXPECT_NE(unknown.json().at("error").at("remedy").get<std::string>().find("dilution"), std::string::npos);
    EXPECT_EQ(run({"explain", "--test", "stir", "--finding", "healthy"}).code, 2);
}

TEST(GuidedTests, EachResultMovesTheDiagnosis)
{
    GuidedShop shop;
    const Json readings = dips(4, 160);
    const auto moves = [&](const Json& bad, const Json& good, const char* cause) {
        const double worse = chance(shop.logged(readings, bad), cause), better = chance(shop.logged(readings, good), cause);
        EXPECT_GT(worse, better + 0.05) << cause << ' ' << bad.dump();
    };
    moves({{"dilution_ph", 7.25}}, {{"dilution_ph", 7.06}}, "junction_clogged");
    moves({{"stir_ph", 0.2}}, {{"stir_ph", 0.01}}, "junction_clogged");
    moves({{"earth_wire", "changes"}}, {{"earth_wire", "same"}}, "ground_loop");
    // A shorted input beside a sensor that hardly answers.
    const Json dead = dips(1, 2);
    EXPECT_GT(chance(shop.logged(dead, {{"short_open", "changes"}}), "short_circuit"),
              chance(shop.logged(dead, {{"short_open", "same"}}), "short_circuit") + 0.02);
    // Wiring that was checked settles the verdict: the sensor is finished.
    EXPECT_EQ(shop.logged(dead, Json::object()).at("verdict"), "check_wiring");
    EXPECT_EQ(shop.logged(dead, {{"short_open", "same"}}).at("verdict"), "replace");
}

TEST(GuidedTests, MillivoltsByHandAreReadings)
{
    GuidedShop shop;
    const auto first = [](const Json& answer) { return answer.at("findings").at(0).at("code").get<std::string>(); };
    EXPECT_EQ(shop.logged(dips(4, 172), Json::object()).at("signal"), "normal");
    EXPECT_EQ(first(shop.logged(dips(1, -168), Json::object())), "leads_reversed");
    EXPECT_EQ(first(shop.logged(dips(12, 15), Json::object())), "no_response");
    const Json hand = shop.logged(dips(30, 60), {{"noise_mv", 40}});
    bool open = false;
    for (const Json& f : hand.at("findings"))
        open = open || f.at("code") == "open_circuit";
    EXPECT_TRUE(open) << "moves with the hand";
}

}  // namespace
}  // namespace halfcell::test
