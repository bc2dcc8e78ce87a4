// The lifetimes against R's package survival. tests/data/golden/survival_golden.R made lives.csv and survival.csv and says how;
// R is not needed here.

#include "core/lifetimes/interval_weibull.h"
#include "core/lifetimes/kaplan_meier.h"
#include "core/lifetimes/weibull.h"
#include "core/quantity/number.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

namespace halfcell::core {
namespace {

std::vector<std::vector<std::string>> goldenRows(const std::string& path)
{
    std::ifstream file(std::string(HALFCELL_TEST_DATA) + path);
    EXPECT_TRUE(file) << path;
    std::vector<std::vector<std::string>> rows;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line[0] == '#')
            continue;
        rows.emplace_back();
        std::istringstream cells(line);
        for (std::string cell; std::getline(cells, cell, ',');)
            rows.back().push_back(cell);
    }
    if (!rows.empty())
        rows.erase(rows.begin());
    return rows;
}

struct Line {
    std::string figure;
    double at = 0.0, value = 0.0;
};

std::vector<Line> linesOf(const std::string& wanted)
{
    std::vector<Line> lines;
    for (const auto& row : goldenRows("/golden/survival.csv"))
        if (row.at(0) == wanted)
            lines.push_back({row.at(1), row.at(2).empty() ? 0.0 : *parseNumber(row.at(2)), *parseNumber(row.at(3))});
    EXPECT_FALSE(lines.empty()) << wanted;
    return lines;
}

double figure(const std::string& wanted, const std::string& name)
{
    for (const Line& line : linesOf(wanted))
        if (line.figure == name)
            return line.value;
    ADD_FAILURE() << wanted << " " << name;
    return 0.0;
}

struct Invented {
    std::vector<LifeRecord> late, fromNew;
    std::vector<IntervalLife> between;
    std::vector<int> group;
};

Invented invented()
{
    Invented all;
    for (const auto& row : goldenRows("/golden/lives.csv")) {
        const double entry = *parseNumber(row.at(0)), exit = *parseNumber(row.at(1)), lower = *parseNumber(row.at(4));
        const int cause = std::stoi(row.at(2));
        all.late.push_back({entry, exit, cause > 0, 1.0, cause});
        all.fromNew.push_back({0.0, exit, cause > 0, 1.0, cause});
        all.between.push_back(cause > 0 ? IntervalLife{0.0, lower, exit, 1.0} : IntervalLife{0.0, exit, std::nullopt, 1.0});
        all.group.push_back(std::stoi(row.at(3)));
    }
    EXPECT_EQ(all.late.size(), 146U);
    return all;
}

std::vector<LifeRecord> published(const std::string& name)
{
    std::vector<LifeRecord> lives;
    for (const auto& row : goldenRows("/reference/" + name))
        lives.push_back({0.0, *parseNumber(row.at(0)), row.at(1) == "1", *parseNumber(row.at(2)), 0});
    return lives;
}

// Curve figures: ten printed digits, closed forms on both sides.
void expectCurve(const std::vector<LifeRecord>& lives, const std::string& wanted)
{
    const auto curve = kaplanMeier(lives);
    ASSERT_TRUE(curve);
    for (const Line& line : linesOf(wanted)) {
        if (line.figure == "median" || line.figure.starts_with("median_")) {
            const auto& own = line.figure == "median"         ? curve->median
                              : line.figure == "median_lower" ? curve->medianLower
                                                              : curve->medianUpper;
            ASSERT_TRUE(own) << wanted << " " << line.figure;
            EXPECT_NEAR(*own, line.value, 1e-9 * line.value) << wanted << " " << line.figure;
            continue;
        }
        if (line.figure != "survival" && line.figure != "standard_error" && line.figure != "lower" && line.figure != "upper")
            continue;
        const SurvivalStep* step = nullptr;
        for (const SurvivalStep& s : curve->steps)
            if (s.time <= line.at)
                step = &s;
        ASSERT_NE(step, nullptr) << wanted << " " << line.at;
        const double own = line.figure == "survival"         ? step->survival
                           : line.figure == "standard_error" ? step->standardError
                           : line.figure == "lower"          ? step->lower
                                                             : step->upper;
        EXPECT_NEAR(own, line.value, 1e-8) << wanted << " " << line.figure << " at " << line.at;
    }
}

void expectFit(const Result<WeibullFit>& fit, const std::string& wanted, double tolerance, double errorTolerance)
{
    ASSERT_TRUE(fit) << wanted;
    EXPECT_NEAR(fit->shape / figure(wanted, "shape"), 1.0, tolerance) << wanted;
    EXPECT_NEAR(fit->scale / figure(wanted, "scale"), 1.0, tolerance) << wanted;
    EXPECT_NEAR(fit->logLikelihood, figure(wanted, "log_likelihood"), 1e-6) << wanted;
    EXPECT_NEAR(fit->seLogShape / figure(wanted, "se_ln_shape"), 1.0, errorTolerance) << wanted;
    EXPECT_NEAR(fit->seLogScale / figure(wanted, "se_ln_scale"), 1.0, errorTolerance) << wanted;
}

TEST(SurvivalGolden, ProductLimitCurvesWithTheirBandsAndMedians)
{
    expectCurve(published("ball_bearing_life.csv"), "ball_bearing");
    expectCurve(published("bearing_cage_life.csv"), "bearing_cage");
    const Invented all = invented();
    expectCurve(all.late, "late_entry");
    expectCurve(all.fromNew, "from_new");
}

TEST(SurvivalGolden, WeibullFits)
{
    expectFit(fitWeibull(published("ball_bearing_life.csv")), "ball_bearing", 1e-8, 1e-6);
    expectFit(fitWeibull(published("bearing_cage_life.csv")), "bearing_cage", 1e-8, 1e-6);
    const Invented all = invented();
    expectFit(fitWeibull(all.fromNew), "right_censored", 1e-8, 1e-6);
    // The second route of late entry is a general minimiser with differences for a gradient.
    expectFit(fitWeibull(all.late), "truncated", 1e-5, 1e-4);
}

TEST(SurvivalGolden, WeibullOfEndsBetweenVisits)
{
    const Invented all = invented();
    expectFit(fitWeibullIntervals(all.between), "between_visits", 1e-6, 1e-3);
    std::vector<IntervalLife> exact;
    for (const LifeRecord& l : all.fromNew)
        exact.push_back({0.0, l.exit, l.failed ? std::optional(l.exit) : std::nullopt, 1.0});
    const auto exponential = fitWeibullIntervals(exact, 0.95, {}, 1.0);
    ASSERT_TRUE(exponential);
    EXPECT_NEAR(exponential->scale / figure("exponential", "scale"), 1.0, 1e-7);
    EXPECT_NEAR(exponential->logLikelihood, figure("exponential", "log_likelihood"), 1e-6);
}

TEST(SurvivalGolden, LogRankAndIncidence)
{
    const Invented all = invented();
    const auto plain = logRank(all.fromNew, all.group);
    ASSERT_TRUE(plain);
    EXPECT_NEAR(plain->chiSquare, figure("log_rank_from_new", "chi_square"), 1e-8);
    EXPECT_NEAR(plain->expected[0], figure("log_rank_from_new", "expected_0"), 1e-6);
    EXPECT_NEAR(plain->expected[1], figure("log_rank_from_new", "expected_1"), 1e-6);
    const auto late = logRank(all.late, all.group);
    ASSERT_TRUE(late);
    EXPECT_NEAR(late->chiSquare, figure("log_rank_late_entry", "chi_square"), 1e-8);
    const auto incidence = cumulativeIncidence(all.late);
    ASSERT_TRUE(incidence);
    ASSERT_EQ(incidence->causes, (std::vector<int>{1, 2, 3}));
    for (const Line& line : linesOf("incidence"))
        EXPECT_NEAR(incidence->at(line.at).byCause[static_cast<std::size_t>(line.figure.back() - '1')], line.value, 1e-9)
            << line.figure << " at " << line.at;
}

}  // namespace
}  // namespace halfcell::core
