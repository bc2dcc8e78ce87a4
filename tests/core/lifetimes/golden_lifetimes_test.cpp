// golden.csv GC42 to GC51 (lifetimes) and GC52 to GC60 (exact limits, interval formulas). Each expected value and tolerance is
// read from the file; its source and second route stand beside it there.

#include "core/lifetimes/kaplan_meier.h"
#include "core/lifetimes/weibull.h"
#include "core/quantity/number.h"
#include "core/upkeep/intervals.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <map>
#include <string>
#include <vector>

namespace halfcell::core {
namespace {

std::vector<std::string> cells(const std::string& line)
{
    std::vector<std::string> row(1);
    bool quoted = false;
    for (const char c : line) {
        if (c == '"')
            quoted = !quoted;
        else if (c == ',' && !quoted)
            row.emplace_back();
        else if (c != '\r')
            row.back() += c;
    }
    return row;
}

std::vector<std::vector<std::string>> table(const std::string& name)
{
    std::ifstream file(std::string(HALFCELL_TEST_DATA) + "/reference/" + name);
    std::vector<std::vector<std::string>> rows;
    for (std::string line; std::getline(file, line);)
        if (!line.empty() && line[0] != '#')
            rows.push_back(cells(line));
    return rows;
}

struct Golden {
    std::string inputs;
    double expected = 0.0, tolerance = 0.0;
};

const Golden& golden(const std::string& id)
{
    static const std::map<std::string, Golden> all = [] {
        std::map<std::string, Golden> map;
        for (const auto& row : table("golden.csv"))
            if (row.size() >= 6 && row[0].starts_with("GC"))
                map[row[0]] = {row[2], *parseNumber(row[3]), *parseNumber(row[5])};
        return map;
    }();
    return all.at(id);
}

/// One named number of an inputs cell: "M=0.10; U=0.03".
double input(const std::string& id, const std::string& name)
{
    const std::string& text = golden(id).inputs;
    const auto at = text.find(name + "=");
    EXPECT_NE(at, std::string::npos) << id << " " << name;
    const auto begin = at + name.size() + 1;
    const auto end = text.find_first_of("; ", begin);
    return *parseNumber(text.substr(begin, end == std::string::npos ? end : end - begin));
}

std::vector<LifeRecord> lives(const std::string& file)
{
    std::vector<LifeRecord> records;
    const auto rows = table(file);
    for (std::size_t i = 1; i < rows.size(); ++i)
        records.push_back({0.0, *parseNumber(rows[i].at(0)), rows[i].at(1) == "1", *parseNumber(rows[i].at(2)), 0});
    return records;
}

void expectGolden(const char* id, double value)
{
    EXPECT_NEAR(value, golden(id).expected, golden(id).tolerance) << id << ": " << golden(id).inputs;
}

TEST(GoldenLifetimes, WeibullOfTheBallBearings)
{
    const auto fit = fitWeibull(lives("ball_bearing_life.csv"));
    ASSERT_TRUE(fit) << fit.error().detail;
    expectGolden("GC42", fit->shape);
    expectGolden("GC43", fit->scale);
    expectGolden("GC44", fit->logLikelihood);
    expectGolden("GC45", fit->shapeWald.lower);
    expectGolden("GC46", fit->shapeWald.upper);
}

TEST(GoldenLifetimes, SurvivalOfTheBallBearings)
{
    const auto curve = kaplanMeier(lives("ball_bearing_life.csv"));
    ASSERT_TRUE(curve);
    expectGolden("GC47", curve->survivalAt(input("GC47", "t")));
}

TEST(GoldenLifetimes, WeibullOfTheBearingCages)
{
    const auto fit = fitWeibull(lives("bearing_cage_life.csv"));
    ASSERT_TRUE(fit) << fit.error().detail;
    expectGolden("GC48", fit->shape);
    expectGolden("GC49", fit->scale);
    expectGolden("GC50", fit->quantile(input("GC50", "p")));
}

TEST(GoldenLifetimes, SurvivalOfTheBearingCages)
{
    const auto curve = kaplanMeier(lives("bearing_cage_life.csv"));
    ASSERT_TRUE(curve);
    expectGolden("GC51", curve->survivalAt(input("GC51", "t")));
}

TEST(GoldenIntervals, ExactLimitsOfAShare)
{
    for (const char* id : {"GC52", "GC53", "GC54"}) {
        const auto limits = clopperPearson(std::lround(input(id, "x")), std::lround(input(id, "n")), input(id, "confidence"));
        ASSERT_TRUE(limits);
        expectGolden(id, std::string(id) == "GC53" ? limits->upper : limits->lower);
    }
}

TEST(GoldenIntervals, ControlChart)
{
    const auto days = controlChartInterval(input("GC55", "M"), input("GC55", "U"), input("GC55", "b"), input("GC55", "drift_per_day"));
    ASSERT_TRUE(days);
    expectGolden("GC55", *days);
}

TEST(GoldenIntervals, ExponentialRate)
{
    const auto days = exponentialInterval(input("GC56", "lambda_per_day"), input("GC56", "R_target"));
    ASSERT_TRUE(days);
    expectGolden("GC56", *days);
}

TEST(GoldenIntervals, ExponentialRateFromIntervalResults)
{
    // in_tolerance=5 x 60 d, 4 x 120 d; out_of_tolerance=1 x 60 d, 2 x 120 d
    const std::vector<IntervalResult> results{{60.0, 5, 1}, {120.0, 4, 2}};
    const auto days = exponentialIntervalFromResults(results, input("GC57", "R_target"));
    ASSERT_TRUE(days);
    expectGolden("GC57", *days);
}

TEST(GoldenIntervals, Responses)
{
    const auto shortening = simpleResponseShortening(input("GC58", "a"), input("GC58", "R_target"));
    ASSERT_TRUE(shortening);
    expectGolden("GC58", *shortening);

    const double interval = input("GC59", "I_day"), step = input("GC59", "D"), target = input("GC59", "R_target");
    expectGolden("GC59", incrementalResponse(interval, step, target, true, true).first);
    EXPECT_NEAR(incrementalResponse(interval, step, target, false, true).first, 115.2, 1e-9);

    const auto length = intervalTestLength(input("GC60", "I_day"), input("GC60", "R_observed"), input("GC60", "R_target"));
    ASSERT_TRUE(length);
    expectGolden("GC60", *length);
}

}  // namespace
}  // namespace halfcell::core
