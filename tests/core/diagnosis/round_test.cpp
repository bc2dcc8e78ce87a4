#include "tests/core/diagnosis/example.h"

#include <gtest/gtest.h>

#include <cmath>

/// The worked example of a round, and what must hold of any.
namespace halfcell::core::diagnosis::test {

namespace {

const RoundTables& round()
{
    return RuleSet::shipped().diagnosisTables().round;
}

std::vector<RoundMember> members(std::initializer_list<std::pair<double, double>> residuals)
{
    std::vector<RoundMember> list;
    for (const auto& [pct, mv] : residuals) {
        RoundMember m;
        m.efficiency_pct = pct;
        m.offset_mv = mv;
        list.push_back(m);
    }
    return list;
}

/// ln weight of one shift over all members.
double logWeight(const std::vector<RoundMember>& list, const Shift& shift, double prior)
{
    double sum = std::log(prior);
    for (const auto& m : list)
        sum += logLikelihood(round(), m, shift);
    return sum;
}

}  // namespace

TEST(DiagnosisRound, WorkedExample)
{
    const auto list = members({{-4.1, 9.5}, {-5.6, 6.0}, {-3.2, 8.8}, {-6.0, 11.2}, {-22.0, -3.0}});
    EXPECT_NEAR(logWeight(list, {}, 0.93), -21.514, 1e-3);
    const auto& wrong = round().shifts[0];
    EXPECT_NEAR(logWeight(list, wrong[0], 0.01 / 6.0), -20.597, 1e-3);
    EXPECT_NEAR(logWeight(list, wrong[1], 0.01 / 6.0), -29.359, 1e-3);
    const auto found = weighRound(round(), list);
    EXPECT_NEAR(found.logNone, -21.514, 1e-3);
    EXPECT_NEAR(found.all.none, 0.228, 1e-3);
    // 6.86 as 7.00 alone has 0.570; the other confusions add a thousandth.
    EXPECT_NEAR(found.all.none * std::exp(logWeight(list, wrong[0], 0.01 / 6.0) - found.logNone), 0.570, 1e-3);
    EXPECT_TRUE(found.prompt);
    EXPECT_EQ(found.likeliest, SharedCause::WrongStandard);
    EXPECT_EQ(found.shift.words, wrong[0].words);
    EXPECT_NEAR(found.leaveOut[2].none, 0.4553, 1e-4);
    EXPECT_NEAR(found.leaveOut[2].wrongStandard, 0.2784, 1e-4);
    EXPECT_NEAR(found.leaveOut[2].staleStandard, 0.1045, 1e-4);
    EXPECT_NEAR(found.leaveOut[2].temperatureIgnored, 0.1618, 1e-4);
}

TEST(DiagnosisRound, PromptsFromThreeSensorsOn)
{
    const double none[] = {0.714, 0.425, 0.147, 0.032};
    for (std::size_t n = 2; n <= 5; ++n) {
        std::vector<RoundMember> list(n);
        for (auto& m : list)
            m.efficiency_pct = -4.7, m.offset_mv = 8.0;
        const auto found = weighRound(round(), list);
        EXPECT_NEAR(found.all.none, none[n - 2], 1e-3) << n;
        EXPECT_EQ(found.prompt, n >= 3) << n;
    }
}

TEST(DiagnosisRound, OneSensorAloneHasThePriorAsItsMessage)
{
    const auto found = weighRound(round(), members({{-4.7, 8.0}}));
    ASSERT_EQ(found.leaveOut.size(), 1u);
    EXPECT_NEAR(found.leaveOut[0].none, round().prior.none, 1e-12);
    EXPECT_NEAR(found.leaveOut[0].wrongStandard, round().prior.wrongStandard, 1e-12);
    EXPECT_FALSE(found.prompt);
    EXPECT_FALSE(weighRound(round(), {}).prompt);
}

TEST(DiagnosisRound, ABottleThatASensorNeverMetSaysNothingAboutIt)
{
    auto list = members({{-4.7, 8.0}, {-4.7, 8.0}, {-4.7, 8.0}, {0.3, 0.5}, {-0.4, 1.0}});
    const auto mixed = weighRound(round(), list);
    list[3].reached = list[4].reached = {false, false, true};
    const auto split = weighRound(round(), list);
    EXPECT_GT(split.all.wrongStandard, mixed.all.wrongStandard) << "two sensors of another bottle are no evidence against this one";
    // A sensor that did not meet the bottle learns nothing from its own residual about it.
    EXPECT_NEAR(split.leaveOut[3].wrongStandard + split.leaveOut[3].staleStandard + split.leaveOut[3].temperatureIgnored +
                    split.leaveOut[3].none,
                1.0, 1e-12);
}

TEST(DiagnosisRound, OrderOfSensorsIsIrrelevantAndScatterAloneDoesNotPrompt)
{
    auto list = members({{0.4, -3.0}, {-1.2, 2.5}, {0.9, 1.0}, {-0.3, -4.0}, {1.5, 0.0}, {-0.8, 3.0}});
    const auto a = weighRound(round(), list);
    EXPECT_FALSE(a.prompt);
    EXPECT_GT(a.all.none, 0.9);
    std::reverse(list.begin(), list.end());
    const auto b = weighRound(round(), list);
    EXPECT_NEAR(a.all.none, b.all.none, 1e-12);
    EXPECT_NEAR(a.leaveOut[0].none, b.leaveOut[5].none, 1e-12);
}

}  // namespace halfcell::core::diagnosis::test
