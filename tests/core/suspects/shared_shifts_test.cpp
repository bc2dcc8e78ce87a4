// The worked example of shared shifts (twenty-two readings, two steps; worked out beforehand with NumPy), and what the method
// does on simulated histories: a planted bottle found, nothing raised from noise more often than stated.

#include "core/suspects/shared_shifts.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

namespace halfcell::core {
namespace {

void add(std::vector<SharedReading>& readings, const char* lot, const char* meter, const char* person, int day,
         std::initializer_list<double> mv)
{
    for (const double v : mv) {
        SharedReading r;
        r.level[0] = lot;
        r.level[1] = meter;
        r.level[2] = person;
        r.level[3] = "D" + std::to_string(day);
        r.sensor = "S" + std::to_string(readings.size());
        r.date = day;
        r.innovation = v;
        readings.push_back(r);
    }
}

std::vector<SharedReading> example()
{
    std::vector<SharedReading> readings;
    add(readings, "L1", "M1", "P1", 1, {1.2, -.8, 2.1, .3});
    add(readings, "L2", "M1", "P1", 2, {7.9, 9.6, 6.2, 8.8});
    add(readings, "L2", "M2", "P2", 3, {6.7, 9.9, 7.1, 5.9});
    add(readings, "L3", "M2", "P2", 4, {-1.6, 1.4, .5, -2.2});
    add(readings, "L3", "M1", "P2", 5, {1.9, -1.1, .2});
    add(readings, "L1", "M2", "P1", 6, {-.4, 2.6, -1.9});
    return readings;
}

TEST(SharedShifts, FindTheBottleOfTheExample)
{
    const SharedResult result = sharedShifts(example());
    EXPECT_EQ(result.levels, 13U);
    ASSERT_EQ(result.accepted.size(), 1U);
    const SharedShift& s = result.accepted[0];
    EXPECT_EQ(s.factor, SharedFactor::Lot);
    EXPECT_EQ(s.id, "L2");
    EXPECT_NEAR(s.shift, 7.730, 1e-3);
    EXPECT_NEAR(s.u, 1.489, 1e-3);
    EXPECT_NEAR(s.p, 2.1e-7, 1e-8);
    EXPECT_NEAR(s.q, 2.7e-6, 1e-7);
    EXPECT_NEAR(s.shrunken, 4.973, 1e-3);
    EXPECT_NEAR(s.shrunkenU, 1.194, 1e-3);
    // The second step stops: the best of the rest is M1.
    ASSERT_FALSE(result.tested.empty());
    EXPECT_EQ(result.tested[0].id, "M1");
    EXPECT_NEAR(result.tested[0].shift, .617, 1e-3);
    EXPECT_NEAR(result.tested[0].u, 1.550, 1e-3);
    EXPECT_NEAR(result.tested[0].p, .69, 0.005);
}

TEST(SharedShifts, OrderDoesNotMatter)
{
    auto readings = example();
    const SharedResult plain = sharedShifts(readings);
    std::ranges::reverse(readings);
    const SharedResult turned = sharedShifts(readings);
    ASSERT_EQ(turned.accepted.size(), plain.accepted.size());
    EXPECT_EQ(turned.accepted[0].shift, plain.accepted[0].shift);
}

TEST(SharedShifts, LevelsThatAlwaysOccurTogetherAreOne)
{
    auto readings = example();
    for (SharedReading& r : readings)
        if (r.level[0] == "L2")
            r.level[1] = "M9";
    const SharedResult result = sharedShifts(readings);
    ASSERT_EQ(result.accepted.size(), 1U);
    EXPECT_EQ(result.accepted[0].alike, std::vector<std::string>{"meter M9"});
}

TEST(SharedShifts, NothingFromNothingAndTooLittleIsSaid)
{
    auto readings = example();
    for (SharedReading& r : readings)
        r.innovation = 0.0;
    EXPECT_TRUE(sharedShifts(readings).accepted.empty());
    readings.resize(11);
    EXPECT_FALSE(sharedShifts(readings).abstained.empty());
}

/// A history of sixty readings: six rounds of ten sensors, two meters, three people, four lots; own generator, same every run.
class Histories {
public:
    explicit Histories(std::uint64_t seed) : m_state(seed * 2654435761U + 88172645463325252ULL) {}

    std::vector<SharedReading> make(double planted)
    {
        std::vector<SharedReading> readings;
        double lot[5], meter[2], person[3];
        for (double& x : lot)
            x = 0.5 * normal();
        for (double& x : meter)
            x = 0.3 * normal();
        for (double& x : person)
            x = 0.7 * normal();
        lot[2] += planted;
        for (int day = 0; day < 12; ++day) {
            const int l = (day / 2) % 5, m = static_cast<int>(3.0 * uniform()) % 2, p = static_cast<int>(3.0 * uniform());
            const double today = 0.7 * normal();
            for (int k = 0; k < 5; ++k) {
                SharedReading r;
                r.level[0] = "L" + std::to_string(l);
                r.level[1] = "M" + std::to_string(m);
                r.level[2] = "P" + std::to_string(p);
                r.level[3] = "D" + std::to_string(day);
                r.sensor = "S" + std::to_string(5 * (day % 4) + k);
                r.date = day;
                r.innovation = lot[l] + meter[m] + person[p] + today + 3.0 * normal();
                readings.push_back(r);
            }
        }
        return readings;
    }

private:
    double uniform()
    {
        m_state ^= m_state << 13U;
        m_state ^= m_state >> 7U;
        m_state ^= m_state << 17U;
        return static_cast<double>(m_state >> 11U) / 9007199254740992.0;
    }
    double normal()
    {
        double sum = -6.0;
        for (int i = 0; i < 12; ++i)
            sum += uniform();
        return sum;
    }
    std::uint64_t m_state;
};

TEST(SharedShifts, APlantedBottleIsFoundAndLittleElseIsBlamed)
{
    int found = 0, accepted = 0, wrong = 0, nullRounds = 0;
    constexpr int kRuns = 60;
    for (int run = 0; run < kRuns; ++run) {
        Histories histories(static_cast<std::uint64_t>(run) + 1);
        const SharedResult with = sharedShifts(histories.make(8.0));
        for (const SharedShift& s : with.accepted) {
            const bool right = s.factor == SharedFactor::Lot && s.id == "L2";
            found += right ? 1 : 0;
            wrong += right ? 0 : 1;
            ++accepted;
        }
        nullRounds += sharedShifts(histories.make(0.0)).accepted.empty() ? 0 : 1;
    }
    EXPECT_GE(found, kRuns * 90 / 100);
    EXPECT_LE(wrong, std::max(1, accepted * 5 / 100));
    EXPECT_LE(nullRounds, kRuns * 10 / 100);
}

}  // namespace
}  // namespace halfcell::core
