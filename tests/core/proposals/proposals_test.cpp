// Worked examples of the interval methods (worked out beforehand with R's survreg, type interval2, and SciPy), tolerance one unit
// of the last printed digit; and properties that hold without numbers.

#include "core/proposals/proposals.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <vector>

namespace halfcell::core {
namespace {

const std::vector<IntervalCount> kCounts{{2, 12, 0}, {4, 18, 2}, {8, 20, 6}, {13, 6, 4}};

TEST(Staircase, FollowsTheWorkedErrors)
{
    Staircase s;
    const std::array<double, 6> errors{.06, .05, .07, -.04, .24, -.22}, expected{4, 6, 6, 8, 4.8, 2.4}, planned{4, 4, 4, 8, 4, 2};
    for (std::size_t i = 0; i < errors.size(); ++i) {
        EXPECT_NEAR(s.take(errors[i], 0.2, 4.0), expected[i], 1e-12) << i;
        EXPECT_EQ(snappedInterval(s.interval), planned[i]) << i;
    }
    EXPECT_TRUE(s.diagnose);
}

TEST(Staircase, NeverPassesTheLegalMaximum)
{
    Staircase s;
    for (int i = 0; i < 20; ++i)
        EXPECT_LE(s.take(0.0, 0.2, 26.0, 8.0), 8.0);
}

TEST(ControlChart, GivesTheWorkedInterval)
{
    const ControlChart chart{.bias = .01, .drift = .004, .scatter = .045, .wander = .0009};
    for (const auto& [weeks, p] : {std::pair{2.0, .9982}, {4.0, .9885}, {8.0, .9441}, {13.0, .8679}})
        EXPECT_NEAR(chart.inTolerance(weeks, 0.2), p, 1e-4) << weeks;
    EXPECT_NEAR(chart.interval(0.2, 0.90, 52.0), 10.96, 0.01);
    EXPECT_EQ(snappedInterval(chart.interval(0.2, 0.90, 52.0)), 8.0);
    EXPECT_EQ(chart.interval(0.2, 0.90, 6.0), 6.0);
    EXPECT_EQ(chart.interval(0.02, 0.90, 52.0), 0.0);
}

TEST(ControlChart, FindsADriftFromTheErrors)
{
    std::vector<TimedError> errors;
    for (int i = 0; i < 12; ++i)
        errors.push_back({4.0 + i % 3, 0.02 + 0.01 * (4.0 + i % 3) + (i % 2 == 0 ? 0.01 : -0.01), 0.01});
    const auto chart = fitControlChart(errors, 0.0, 0.05);
    ASSERT_TRUE(chart);
    EXPECT_NEAR(chart->bias + chart->drift * 5.0, 0.07, 0.01);
    EXPECT_EQ(fitControlChart(std::span(errors).first(4)).error().code, Errc::TooFewReadings);
}

TEST(Reliability, FitsBothLawsAndPicksTheSimpler)
{
    const auto plain = fitReliability(kCounts, 0.90, false), free = fitReliability(kCounts, 0.90, true),
               chosen = fitReliability(kCounts, 0.90);
    ASSERT_TRUE(plain && free && chosen);
    EXPECT_NEAR(plain->scale, 32.098, 1e-3);
    EXPECT_NEAR(plain->logLikelihood, -28.1604, 1e-4);
    EXPECT_NEAR(plain->interval, 3.382, 1e-3);
    EXPECT_NEAR(plain->lower, 2.675, 1e-3);
    EXPECT_NEAR(*plain->upper, 4.360, 1e-3);
    EXPECT_NEAR(free->shape, 1.6102, 1e-4);
    EXPECT_NEAR(free->scale, 18.791, 1e-3);
    EXPECT_NEAR(free->logLikelihood, -27.6725, 1e-4);
    EXPECT_NEAR(free->interval, 4.645, 1e-3);
    EXPECT_NEAR(free->lower, 3.385, 1e-3);
    EXPECT_NEAR(*free->upper, 5.747, 1e-3);
    EXPECT_TRUE(chosen->exponential);
    EXPECT_NEAR(chosen->reliabilityAt(4.0), 0.883, 1e-3);
}

TEST(Reliability, AMemberBorrowsFromItsGroup)
{
    const auto free = fitReliability(kCounts, 0.90, true);
    const MemberFit member = memberFit(*free, std::vector<IntervalCount>{{8, 3, 2}});
    EXPECT_NEAR(member.lnScale, 2.8070, 1e-4);
    EXPECT_NEAR(member.sd, 0.2946, 1e-4);
    for (const auto& [weeks, r] : {std::pair{2.0, .9637}, {4.0, .8942}, {8.0, .7169}, {13.0, .4976}})
        EXPECT_NEAR(member.reliabilityAt(weeks), r, 1e-4) << weeks;
    // A member without a record has the group's curve, spread by what members differ.
    EXPECT_NEAR(memberFit(*free, {}).lnScale, std::log(free->scale), 1e-6);
    const IntervalCosts dear{.calibration = 60, .handling = 2.4, .outPerWeek = 200};
    for (const auto& [weeks, cost] : {std::pair{4.0, 23.922}, {8.0, 31.199}, {13.0, 49.624}})
        EXPECT_NEAR(intervalCost(weeks, member, dear), cost, 1e-2) << weeks;
}

TEST(IntervalCost, HasTheWorkedOptimum)
{
    const auto free = fitReliability(kCounts, 0.90, true);
    const IntervalCosts cheap{.calibration = 60, .handling = 2.4, .outPerWeek = 40},
        dear{.calibration = 60, .handling = 2.4, .outPerWeek = 200};
    for (const auto& [weeks, cost] : {std::pair{4.0, 16.837}, {8.0, 11.389}, {13.0, 11.994}})
        EXPECT_NEAR(intervalCost(weeks, *free, cheap), cost, 1e-3) << weeks;
    for (const auto& [weeks, cost] : {std::pair{4.0, 21.786}, {8.0, 25.746}, {13.0, 40.771}})
        EXPECT_NEAR(intervalCost(weeks, *free, dear), cost, 1e-3) << weeks;
    // The optima lie between their neighbours.
    for (const auto& [costs, at] : {std::pair{cheap, 9.41}, {dear, 4.83}}) {
        EXPECT_LT(intervalCost(at, *free, costs), intervalCost(at - 0.1, *free, costs));
        EXPECT_LT(intervalCost(at, *free, costs), intervalCost(at + 0.1, *free, costs));
    }
}

TEST(Proposal, LeavesWhatTheResultsAllow)
{
    const IntervalProposal p = proposeInterval(kCounts, {.current = 4, .target = 0.90, .legal = {}, .seen = 1.0, .costs = {}});
    EXPECT_EQ(p.way, ProposalWay::Leave);
    EXPECT_EQ(p.proposed, 4.0);
}

TEST(Proposal, ShortensLengthensAndStopsAtTheLaw)
{
    const IntervalProposal shorter = proposeInterval(kCounts, {.current = 13, .target = 0.90, .legal = {}, .seen = 1.0, .costs = {}});
    EXPECT_EQ(shorter.way, ProposalWay::Shorten);
    EXPECT_EQ(shorter.proposed, 2.0);  // 3.382 snapped down
    const std::vector<IntervalCount> good{{4, 60, 1}};
    const IntervalProposal longer = proposeInterval(good, {.current = 4, .target = 0.85, .legal = {}, .seen = 1.0, .costs = {}});
    EXPECT_EQ(longer.way, ProposalWay::Lengthen);
    EXPECT_GT(longer.proposed, 4.0);
    const IntervalProposal legal = proposeInterval(good, {.current = 4, .target = 0.85, .legal = 6.0, .seen = 1.0, .costs = {}});
    EXPECT_LE(legal.proposed, 6.0);
    EXPECT_NE(legal.why.find("legal"), std::string::npos);
}

TEST(Proposal, MoreOutsNeverLengthen)
{
    double last = 1e9;
    for (double out = 1; out <= 12; ++out) {
        const auto fit = fitReliability(std::vector<IntervalCount>{{4, 40, out}}, 0.90, false);
        ASSERT_TRUE(fit);
        EXPECT_LT(fit->interval, last);
        last = fit->interval;
    }
}

TEST(Proposal, AllInGivesNoUpperLimitAndNoLeap)
{
    const auto fit = fitReliability(std::vector<IntervalCount>{{4, 200, 0}}, 0.90);
    ASSERT_TRUE(fit);
    EXPECT_FALSE(fit->upper);
    EXPECT_LE(fit->lower, 8.0);
    EXPECT_EQ(fitReliability(std::vector<IntervalCount>{{4, 11, 0}}, 0.90).error().code, Errc::TooFewReadings);
    EXPECT_EQ(fitReliability(std::vector<IntervalCount>{{4, 3, 1}}, 0.90).error().code, Errc::TooFewReadings);
    EXPECT_EQ(
        proposeInterval(std::vector<IntervalCount>{{4, 3, 1}}, {.current = 4, .target = 0.9, .legal = {}, .seen = 1, .costs = {}}).way,
        ProposalWay::Abstain);
}

TEST(Proposal, NeverLengthensWhatTheResultsShorten)
{
    const std::vector<IntervalCount> poor{{1, 10, 20}, {2, 5, 15}};
    for (const double current : {0.5, 1.0}) {
        const auto p = proposeInterval(poor, {.current = current, .target = 0.9, .legal = {}, .seen = 1.0, .costs = {}});
        EXPECT_EQ(p.way, ProposalWay::Leave);
        EXPECT_EQ(p.proposed, current);
    }
    const auto few = proposeInterval({}, {.current = 8.0, .target = 0.9, .legal = 4.0, .seen = 1.0, .costs = {}});
    EXPECT_EQ(few.way, ProposalWay::Abstain);
    EXPECT_EQ(few.proposed, 4.0);
}

TEST(Proposal, DoesNotBlameTheIntervalForWhatComesAtAnyInterval)
{
    const std::vector<IntervalCount> flat{{1, 80, 20}, {4, 80, 20}, {13, 80, 20}, {26, 80, 20}};
    const auto p = proposeInterval(flat, {.current = 8.0, .target = 0.9, .legal = {}, .seen = 1.0, .costs = {}});
    EXPECT_EQ(p.way, ProposalWay::Leave);
    EXPECT_EQ(p.proposed, 8.0);
    EXPECT_NE(p.why.find("not the cause"), std::string::npos);
}

}  // namespace
}  // namespace halfcell::core
