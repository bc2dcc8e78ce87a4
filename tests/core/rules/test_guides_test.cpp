#include "core/rules/test_guides.h"

#include "core/electrochemistry/nernst.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <initializer_list>
#include <string>

/// The guides of tests by hand. Limits are common practice of the trade: junction within 0.05 pH of 7.06, stirred within 0.05 pH of
/// still, glass between 0.3 and 3 times its first value, reference watched from 20 kOhm and blocked from 100, thermometer within 1 K.
namespace halfcell::core {
namespace {

const TestGuide& guideOf(const std::vector<TestGuide>& guides, std::string_view key)
{
    static const TestGuide none;
    const auto found = std::ranges::find(guides, key, &TestGuide::key);
    EXPECT_NE(found, guides.end()) << key;
    return found != guides.end() ? *found : none;
}

/// Which outcome a result has, from 1; 0 if none.
template <class R>
long which(const TestGuide& guide, R result)
{
    const auto* outcome = outcomeOf(guide, result);
    return outcome ? outcome - guide.outcomes.data() + 1 : 0;
}

RuleSet ours(const std::string& rest)
{
    auto parsed = RuleSet::parse("[rules]\nname = \"ours\"\nversion = 2\nbase = \"shipped\"\n" + rest);
    EXPECT_TRUE(parsed) << parsed.error().detail;
    return parsed ? *std::move(parsed) : RuleSet::shipped();
}

TEST(TestGuides, EveryTestThatTheRulesAskForHasOne)
{
    const auto guides = testGuides(RuleSet::shipped());
    for (const char* key : {"noise", "thermometer", "reread", "short_open", "stir", "glass_resistance", "reference_resistance",
                            "second_bottle", "earth_wire", "hysteresis", "dilution", "cable", "hand_millivolt"}) {
        const TestGuide& g = guideOf(guides, key);
        EXPECT_FALSE(g.cautions.empty()) << key;
        EXPECT_GE(g.steps.size(), 3U) << key;
        EXPECT_GE(g.outcomes.size(), 2U) << key;
        for (const auto& o : g.outcomes)
            EXPECT_EQ(o.reads.find('{'), std::string::npos) << key << ": " << o.reads;
    }
}

TEST(TestGuides, AResultSaysWhichWayItCameOut)
{
    const auto guides = testGuides(RuleSet::shipped());
    struct Row {
        const char* key;
        double result;
        long outcome;
    };
    for (const Row& row : std::initializer_list<Row>{{"noise", 0.4, 1},
                                                     {"noise", 2, 2},
                                                     {"noise", 19.9, 2},
                                                     {"noise", 20, 3},
                                                     {"thermometer", 1, 1},
                                                     {"thermometer", -1, 1},
                                                     {"thermometer", -1.1, 2},
                                                     {"reread", -0.3, 1},
                                                     {"reread", 1.9, 1},
                                                     {"reread", 2, 2},
                                                     {"stir", 0.04, 1},
                                                     {"stir", -0.04, 1},
                                                     {"stir", 0.05, 2},
                                                     {"stir", -0.2, 2},
                                                     {"dilution", 7.06, 1},
                                                     {"dilution", 7.11, 1},
                                                     {"dilution", 7.01, 1},
                                                     {"dilution", 7.12, 2},
                                                     {"dilution", 6.9, 2},
                                                     {"hysteresis", -3, 1},
                                                     {"hysteresis", 3.1, 2},
                                                     {"glass_resistance", 0.2, 1},
                                                     {"glass_resistance", 0.3, 3},
                                                     {"glass_resistance", 1, 3},
                                                     {"glass_resistance", 3, 3},
                                                     {"glass_resistance", 3.2, 2},
                                                     {"reference_resistance", 4, 1},
                                                     {"reference_resistance", 20, 1},
                                                     {"reference_resistance", 60, 3},
                                                     {"reference_resistance", 101, 2}})
        EXPECT_EQ(which(guideOf(guides, row.key), row.result), row.outcome) << row.key << ' ' << row.result;
    for (const char* key : {"short_open", "second_bottle", "earth_wire", "cable"}) {
        EXPECT_EQ(which(guideOf(guides, key), Comparison::Same), 1) << key;
        EXPECT_EQ(which(guideOf(guides, key), Comparison::Changes), 2) << key;
        EXPECT_EQ(which(guideOf(guides, key), Comparison::NotPossible), 0) << key << ": not possible tells nothing";
        EXPECT_EQ(which(guideOf(guides, key), 1.0), 0) << key;
    }
}

TEST(TestGuides, AShopsOwnLimitMovesWordsAndOutcome)
{
    const auto guides = testGuides(ours("[numbers.diagnosis]\nnoise_mv = { value = 5, source = \"our hall\", class = \"assumed\" }\n"));
    const TestGuide& noise = guideOf(guides, "noise");
    EXPECT_EQ(which(noise, 4.0), 1);
    EXPECT_EQ(noise.outcomes.front().reads, "less than 5 mV");
}

TEST(TestGuides, ASetOlderThanAGuideTakesTheShippedOne)
{
    std::string text = RuleSet::shipped().text();
    const auto from = text.find("[[test]]\nkey = \"dilution\"");
    ASSERT_NE(from, std::string::npos);
    text.erase(from, text.find("[[test]]", from + 1) - from);
    const auto older = RuleSet::parse(text);
    ASSERT_TRUE(older) << older.error().detail;
    const auto guides = testGuides(*older), shipped = testGuides(RuleSet::shipped());
    EXPECT_EQ(guides.size(), shipped.size());
    EXPECT_EQ(guides.back(), guideOf(shipped, "dilution"));
}

TEST(TestGuides, AShopsOwnStepsStandInPlaceOfTheShippedOnes)
{
    const auto guides = testGuides(ours("[[test]]\nkey = \"stir\"\ntitle = \"Our stir test\"\nminutes = 2\nsteps = [\"Stir.\"]\n"));
    EXPECT_EQ(guideOf(guides, "stir").title, "Our stir test");
    EXPECT_EQ(guideOf(guides, "stir").steps, std::vector<std::string>{"Stir."});
    EXPECT_EQ(guideOf(guides, "stir").outcomes, guideOf(testGuides(RuleSet::shipped()), "stir").outcomes);
}

TEST(TestGuides, MistakesAreNamedWithLineAndRemedy)
{
    const auto errorOf = [](const std::string& results) {
        const auto parsed =
            RuleSet::parse("[rules]\nname = \"ours\"\nversion = 2\nbase = \"shipped\"\n[[test]]\nkey = \"t\"\ntitle = \"T\"\n"
                           "column = \"c\"\nminutes = 1\nsteps = [\"s\"]\nsource = \"ours\"\n" +
                           results);
        return parsed ? Error{.detail = "no error"} : parsed.error();
    };
    const auto says = [&](const std::string& results, const char* words) {
        const Error e = errorOf(results);
        EXPECT_NE(e.detail.find(words), std::string::npos) << results << ": " << e.detail;
        EXPECT_FALSE(e.remedy.empty()) << results;
        EXPECT_GT(e.line.value_or(0), 4U) << results;
        EXPECT_NE(e.field.find("test"), std::string::npos) << e.field;
    };
    const std::string other = ", { reads = \"c\", means = \"d\" }]\n";
    says("result = [{ reads = \"a\", means = \"b\", below = \"diagnosis.nose_mv\" }" + other, "diagnosis.nose_mv");
    says("result = [{ reads = \"{diagnosis.nose_mv} mV\", means = \"b\" }" + other, "diagnosis.nose_mv");
    says("result = [{ reads = \"a\", means = \"b\", below = 1, above = 2 }" + other, "nothing lies");
    says("result = [{ reads = \"a\", means = \"b\", below = 1, answer = \"same\" }" + other, "not both");
    says("result = [{ reads = \"a\", means = \"b\", within = 0 }" + other, "more than 0");
    says("result = [{ reads = \"a\", means = \"b\", wihtin = 1 }" + other, "wihtin");
    says("result = [{ reads = \"a\", means = \"b\" }]\n", "only come out one way");

    const std::string& whole = RuleSet::shipped().text();
    const auto from = whole.find("[[test]]\nkey = \"stir\"");
    ASSERT_NE(from, std::string::npos);
    const auto twice = RuleSet::parse(whole + whole.substr(from, whole.find("[[test]]", from + 1) - from));
    ASSERT_FALSE(twice);
    EXPECT_NE(twice.error().detail.find("stands here twice"), std::string::npos) << twice.error().detail;
}

TEST(TestGuides, GlassIsComparedWithItsFirstAtOneTemperature)
{
    Visit first, second;
    first.checks.emplace_back();
    first.checks.back().glass_mohm = 100.0;  // without its temperature it is no first value
    second.checks.emplace_back();
    second.checks.back().glass_mohm = 200.0;
    second.checks.back().glass_temp_degc = 17.0;
    Check now;
    now.glass_mohm = 100.0;
    EXPECT_FALSE(glassRatioOf(now, {&first, &second})) << "no temperature";
    now.glass_temp_degc = 25.0;
    EXPECT_FALSE(glassRatioOf(now, {&first}));
    // Glass halves about every 8 K (common practice): 200 MOhm at 17 degC is about 100 at 25.
    ASSERT_TRUE(glassRatioOf(now, {&first, &second}));
    EXPECT_NEAR(*glassRatioOf(now, {&first, &second}), 1.0, 0.05);
}

}  // namespace
}  // namespace halfcell::core
