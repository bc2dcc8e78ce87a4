#include "tests/cli/program.h"

#include <gtest/gtest.h>

namespace halfcell::test {
namespace {

Json onlySet(const Ran& ran)
{
    const Json answer = ran.json();
    EXPECT_EQ(answer.at("sets").size(), 1U);
    return answer.at("sets").at(0);
}

bool hasFinding(const Json& set, const std::string& code)
{
    for (const Json& f : set.at("findings"))
        if (f.at("code") == code)
            return true;
    return false;
}

// 160 / (3 * 59.1593) = 0.9015: theoretical slope from the SI constants, standards 7.00 and 4.00 at 25 degC; the trade
// rounds 59.16 to 59 and says 90 % (common practice).
TEST(Calc, WorksOutTheTradesOwnExample)
{
    const Ran ran = run({"calc", "--kind", "ph", "--reading", "standard=ph7.00,mv=0,temp=25", "--reading", "standard=ph4.00,mv=160,temp=25", "--json"});
    const Json set = onlySet(ran);
    EXPECT_NEAR(set.at("efficiency_pct").get<double>(), 90.2, 0.05);
    EXPECT_NEAR(set.at("offset_mv").get<double>(), 0.0, 1e-9);
    EXPECT_EQ(set.at("signal"), "normal");
    EXPECT_EQ(ran.code, 0);
    const Json answer = ran.json();
    EXPECT_EQ(answer.at("program"), "halfcell");
    EXPECT_EQ(answer.at("schema"), 1);
    EXPECT_TRUE(answer.at("rules").is_string());
    EXPECT_TRUE(answer.at("as_of").is_string());
}

// The 7.00 buffer is 7.06 at 10 degC (USGS A6.4): -3.4 mV there is no offset.
TEST(Calc, ColdSevenIsNoOffset)
{
    const Json set = onlySet(run({"calc", "--reading", "standard=ph7.00,mv=-3.4,temp=10", "--reading", "standard=ph4.00,mv=168.5,temp=10", "--json"}));
    EXPECT_NEAR(set.at("offset_mv").get<double>(), 0.0, 0.2);
}

TEST(Calc, SameMillivoltsInBothIsADeadSensorWhoseWiringIsCheckedFirst)
{
    const Ran ran = run({"calc", "--reading", "standard=ph7.00,mv=12,temp=25", "--reading", "standard=ph4.00,mv=15,temp=25", "--json"});
    const Json set = onlySet(ran);
    EXPECT_EQ(set.at("signal"), "failure");
    EXPECT_TRUE(hasFinding(set, "no_response"));
    EXPECT_EQ(set.at("verdict"), "check_wiring");
    EXPECT_EQ(ran.code, 1);
}

TEST(Calc, RisingMillivoltsWithRisingPhAreReversedLeads)
{
    const Json set = onlySet(run({"calc", "--reading", "standard=ph7.00,mv=0,temp=25", "--reading", "standard=ph4.00,mv=-170,temp=25", "--json"}));
    EXPECT_EQ(set.at("signal"), "failure");
    EXPECT_TRUE(hasFinding(set, "leads_reversed"));
    EXPECT_EQ(set.at("verdict"), "check_wiring");
}

TEST(Calc, QuestionsWhatIsTooGood)
{
    // 184.58 mV over 3 pH at 25 degC is 104 %.
    const Json set = onlySet(run({"calc", "--reading", "standard=ph7.00,mv=0,temp=25", "--reading", "standard=ph4.00,mv=184.58,temp=25", "--json"}));
    EXPECT_NEAR(set.at("efficiency_pct").get<double>(), 104.0, 0.05);
    EXPECT_EQ(set.at("signal"), "maintenance_required");
    EXPECT_NE(set.at("verdict"), "leave");
    EXPECT_FALSE(hasFinding(set, "healthy"));
}

TEST(Calc, NeverAssumesATemperature)
{
    const Ran ran = run({"calc", "--reading", "standard=ph7.00,mv=0", "--reading", "standard=ph4.00,mv=160", "--json"});
    const Json set = onlySet(ran);
    EXPECT_TRUE(set.at("efficiency_pct").is_null());
    EXPECT_FALSE(set.at("missing").empty());
    EXPECT_TRUE(hasFinding(set, "temperature_missing"));
    EXPECT_EQ(ran.code, 1);
}

TEST(Calc, OrpDependsOnTheReferenceFilling)
{
    // Ferri/ferrocyanide 430 mV against hydrogen, 209 mV for 3 M at 25 degC (USGS A6.5).
    const Json three = onlySet(run({"calc", "--kind", "orp", "--reference-fill", "3M KCl", "--reading", "standard=zobell,mv=221,temp=25", "--json"}));
    EXPECT_NEAR(three.at("offset_mv").get<double>(), 0.0, 3.0);
    EXPECT_FALSE(three.contains("efficiency_pct"));
    const Json saturated = onlySet(run({"calc", "--kind", "orp", "--reference-fill", "sat KCl", "--reading", "standard=zobell,mv=221,temp=25", "--json"}));
    EXPECT_NEAR(saturated.at("offset_mv").get<double>(), -10.0, 3.0);
}

TEST(Calc, TypedUncertaintyReachesTheAnswer)
{
    const auto u = [](const char* typed) {
        return onlySet(run({"calc", "--reading", std::string("standard=ph7.00,mv=0,temp=25,u=") + typed, "--reading",
                            std::string("standard=ph4.00,mv=170,temp=25,u=") + typed, "--json"}))
            .at("u_efficiency_pct")
            .get<double>();
    };
    EXPECT_GT(u("5"), 2.0 * u("0.1"));
}

TEST(Calc, ProcessPhGivesItsUncertainty)
{
    const std::vector<std::string> readings{"--reading", "standard=ph7.00,mv=0,temp=25", "--reading", "standard=ph4.00,mv=170,temp=25", "--json"};
    std::vector<std::string> with{"calc", "--process-ph", "5.5", "--process-temp", "30"};
    with.insert(with.end(), readings.begin(), readings.end());
    std::vector<std::string> without{"calc"};
    without.insert(without.end(), readings.begin(), readings.end());
    EXPECT_GT(onlySet(run(with)).at("u_at_process_ph").get<double>(), 0.0);
    EXPECT_TRUE(onlySet(run(without)).at("u_at_process_ph").is_null());
}

TEST(Calc, TakesATableOfSets)
{
    const Folder folder;
    writeFile(folder / "sets.csv",
              "visit,when,serial,phase,standard,mv,temp_degc\r\n"
              "a,2026-03-02T08:00:00Z,X1,as_found,ph7.00,0,25\r\n"
              "a,2026-03-02T08:02:00Z,X1,as_found,ph4.00,160,25\r\n"
              "b,2026-03-02T09:00:00Z,X2,as_left,ph7.00,-3,25\r\n"
              "b,2026-03-02T09:02:00Z,X2,as_left,ph10.01,-176,25\r\n");
    const Json answer = run({"calc", "--table", folder / "sets.csv", "--json"}).json();
    ASSERT_EQ(answer.at("sets").size(), 2U);
    EXPECT_EQ(answer.at("sets").at(0).at("id"), "a");
    EXPECT_EQ(answer.at("sets").at(1).at("phase"), "as_left");
}

TEST(Calc, TextSaysTheSameAndShowsSigns)
{
    const Ran ran = run({"calc", "--reading", "standard=ph7.00,mv=-13,temp=19", "--reading", "standard=ph10.01,mv=-176,temp=19"});
    EXPECT_NE(ran.out.find("92.1"), std::string::npos) << ran.out;
    EXPECT_NE(ran.out.find("-11.9"), std::string::npos) << ran.out;
}

TEST(Calc, RefusesWhatItCannotRead)
{
    EXPECT_EQ(run({"calc", "--reading", "standard=ph7.00,mv=abc,temp=25"}).code, 3);
    EXPECT_EQ(run({"calc", "--reading", "standard=ph7.00,temp=25"}).code, 3);
    EXPECT_EQ(run({"calc", "--reading", "standard=ph7.00,mv=0,tmp=25"}).code, 3);
    EXPECT_EQ(run({"calc", "--kind", "conductivity", "--reading", "standard=ph7.00,mv=0,temp=25"}).code, 2);
    EXPECT_EQ(run({"calc"}).code, 2);
    EXPECT_EQ(run({"calc", "--kind", "orp", "--reading", "standard=zobell,mv=221,temp=25"}).code, 2);
    EXPECT_EQ(run({"calc", "--no-such-option"}).code, 2);
    const Ran bad = run({"calc", "--reading", "standard=ph7.00,mv=12 mV,temp=25", "--json"});
    EXPECT_EQ(bad.code, 3);
    EXPECT_EQ(bad.json().at("error").at("field"), "--reading mv");
    EXPECT_FALSE(bad.json().at("error").at("remedy").get<std::string>().empty());
}

TEST(Calc, SameCommandSameBytes)
{
    const std::vector<std::string> args{"calc", "--as-of", "2026-03-02", "--reading", "standard=ph7.00,mv=-13,temp=19",
                                        "--reading", "standard=ph10.01,mv=-176,temp=19", "--json"};
    EXPECT_EQ(run(args).out, run(args).out);
}

}  // namespace
}  // namespace halfcell::test
