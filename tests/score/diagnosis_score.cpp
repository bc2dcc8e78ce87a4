#include "core/rules/assess.h"
#include "core/simulator/generator.h"
#include "tests/score/diagnosis_cases.h"
#include "tests/score/diagnosis_scores.h"

#include <gtest/gtest.h>

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iterator>

/// How good the diagnosis is on labelled cases, through the same door as `assess`; beside it a plain weighted-score table.
/// Results are simulator results: half the tables come from such cases. Seeds are none of the demo plant's.
///   HALFCELL_SCORE_SEEDS=101,102   other seeds;  HALFCELL_SCORE_ROUNDS=500   fewer rounds;  HALFCELL_SCORE_WHY=1  confusions;
///   HALFCELL_SCORE_RULES=own.toml   a shop's own rules
namespace halfcell::score {

namespace {

std::vector<std::uint64_t> seeds()
{
    std::vector<std::uint64_t> list;
    const char* given = std::getenv("HALFCELL_SCORE_SEEDS");
    for (std::string text = given ? given : "7101,7102,7103,7104,7105"; !text.empty();) {
        list.push_back(std::strtoull(text.c_str(), nullptr, 10));
        const auto comma = text.find(',');
        text = comma == std::string::npos ? std::string() : text.substr(comma + 1);
    }
    return list;
}

/// The shipped rules, or a shop's own from a file.
const core::RuleSet& rulesScored()
{
    static const core::RuleSet rules = [] {
        const char* file = std::getenv("HALFCELL_SCORE_RULES");
        if (!file)
            return core::RuleSet::shipped();
        std::ifstream in(file);
        const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
        auto parsed = core::RuleSet::parse(text);
        if (!parsed) {
            fmt::print(stderr, "{}: {} {}\n", file, parsed.error().field, parsed.error().detail);
            std::exit(3);
        }
        return *std::move(parsed);
    }();
    return rules;
}

int rounds()
{
    const char* given = std::getenv("HALFCELL_SCORE_ROUNDS");
    return given ? std::atoi(given) : 2500;
}

Scores scoreSeed(std::uint64_t seed, const Mix& mix, int count)
{
    Scores scores;
    core::simulation::Generator random(seed, 77);
    for (int n = 0; n < count; ++n) {
        auto round = makeRound(random, mix, n);
        const auto plant = core::Plant::asKnown(std::move(round.records), round.asOf);
        const auto& rules = rulesScored();
        const auto& standards = core::StandardsBook::shipped();
        for (const auto& label : round.labels) {
            const auto* history = plant.history(label.serial);
            const auto figures = core::figuresOfHistory(plant, *history, standards, rules);
            scores.add(label.cause, core::assess(plant, *history, figures, standards, rules), *history->model, rules);
        }
    }
    return scores;
}

}  // namespace

TEST(DiagnosisScore, NaturalMix)
{
    Scores all;
    const Mix mix;
    double worstTop1 = 1.0, worstTop3 = 1.0, worstError = 0.0, worstMiss = 0.0;
    fmt::print("natural mix, {} rounds of 8 sensors a seed\n", rounds());
    for (const auto seed : seeds()) {
        const auto s = scoreSeed(seed, mix, rounds());
        fmt::print("seed {}: {}\n", seed, s.line());
        worstTop1 = std::min(worstTop1, s.top1());
        worstTop3 = std::min(worstTop3, s.top3());
        worstError = std::max(worstError, s.calibrationError());
        worstMiss = std::max(worstMiss, s.missShare());
        all.merge(s);
        EXPECT_EQ(s.forbidden, 0u) << "an action that the design forbids was offered";
        EXPECT_EQ(s.deadMissed, 0u) << "a dead or reversed sensor was not raised";
    }
    fmt::print("all: {}\n{}", all.line(), all.report(std::getenv("HALFCELL_SCORE_WHY") != nullptr));
    EXPECT_GE(all.top1(), 0.73);
    EXPECT_GE(all.top3(), 0.92);
    EXPECT_LE(all.calibrationError(), 0.03);
    EXPECT_LE(all.missShare(), 0.03);
    EXPECT_GE(worstTop1, 0.71);
    EXPECT_GE(worstTop3, 0.90);
    EXPECT_LE(worstError, 0.04);
    EXPECT_LE(worstMiss, 0.035);
    EXPECT_GT(all.top1(), all.plainTop1() + 0.1) << "no better than adding up points";
}

TEST(DiagnosisScore, AnotherPlant)
{
    Mix mix;
    mix.perturbed = 0.5;
    mix.amplitude = 1.5;
    const auto s = scoreSeed(7201, mix, rounds());
    fmt::print("changed plant (causes as often as e^N(0, 0.5), faults half as large again): {}\n", s.line());
    EXPECT_GE(s.top1(), 0.68);
    mix.faultRich = true;
    const auto rich = scoreSeed(7202, mix, rounds());
    fmt::print("changed plant, rich in faults: {}\n", rich.line());
    EXPECT_GE(rich.top3(), 0.85);
}

}  // namespace halfcell::score
