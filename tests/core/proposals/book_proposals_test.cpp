// Proposals of a simulated plant: properties that hold whatever the results are.

#include "core/overview/overview.h"
#include "core/proposals/book_proposals.h"
#include "core/simulator/simulate.h"

#include <gtest/gtest.h>

#include <string>

namespace halfcell::core {
namespace {

Overview plantWith(double legal_days)
{
    const Instant until = *parseInstant("2026-03-02", DateMeans::EndOfDay);
    SimulatedPlant simulated = simulatePlant({.seed = 7, .years = 2.0, .sensors = 60, .until = until});
    for (Point& point : simulated.records.points)
        if (legal_days > 0.0)
            point.legal_floor_days = legal_days;
        else
            point.legal_floor_days.reset();
    return overviewOf(std::move(simulated.records), RuleSet::shipped(), until, false, 1);
}

TEST(BookProposals, HaveEvidenceAndSayWhyInEveryGroup)
{
    const Overview overview = plantWith(0.0);
    const auto proposals = proposalsOf(*overview.plant, overview.figures, overview.rules);
    ASSERT_FALSE(proposals.empty());
    std::size_t judged = 0;
    for (const BookProposal& p : proposals) {
        double sum = 0.0;
        for (const IntervalCount& c : p.proposal.evidence)
            sum += c.in + c.out;
        EXPECT_NEAR(sum, static_cast<double>(p.results), 1e-9);
        EXPECT_FALSE(p.proposal.why.empty());
        EXPECT_FALSE(p.source.empty());
        EXPECT_LE(p.sensors, p.results);
        judged += p.results;
        if (p.proposal.way == ProposalWay::Abstain || p.proposal.way == ProposalWay::Leave) {
            EXPECT_EQ(p.proposed_days, p.current_days) << p.application;
        }
        if (p.proposal.way == ProposalWay::Lengthen) {
            EXPECT_GT(p.proposed_days, p.current_days) << p.application;
            EXPECT_LE(p.proposed_days, 7.0 * p.proposal.fit->lower + 1e-6) << p.application;
        }
        if (p.proposal.way == ProposalWay::Shorten) {
            EXPECT_LT(p.proposed_days, p.current_days) << p.application;
        }
    }
    EXPECT_GT(judged, 200U);
}

TEST(BookProposals, NeverPassALegalMaximum)
{
    const Overview overview = plantWith(10.0);
    for (const BookProposal& p : proposalsOf(*overview.plant, overview.figures, overview.rules)) {
        ASSERT_TRUE(p.legal_days);
        EXPECT_LE(p.proposed_days, 10.0) << p.application << " " << p.design;
    }
}

TEST(BookProposals, AreLinesThatTheRuleReaderTakes)
{
    const Overview overview = plantWith(10.0);
    const auto proposals = proposalsOf(*overview.plant, overview.figures, overview.rules);
    const std::string lines = ruleTextOf(proposals);
    ASSERT_FALSE(lines.empty());
    const auto rules = RuleSet::parse("[rules]\nname = \"mine\"\nversion = 2\nbase = \"shipped\"\n" + lines);
    ASSERT_TRUE(rules) << rules.error().detail << "\n" << lines;
    const auto adopted = proposalsOf(*overview.plant, overview.figures, *rules);
    ASSERT_EQ(adopted.size(), proposals.size());
    for (std::size_t i = 0; i < adopted.size(); ++i)
        EXPECT_EQ(adopted[i].current_days, proposals[i].proposed_days) << adopted[i].application << " " << adopted[i].design;
    EXPECT_TRUE(ruleTextOf({}).empty());
}

}  // namespace
}  // namespace halfcell::core
