// The worked examples of the outlook's method: every number of the filter and of the forecast for one sensor, worked out
// beforehand by a second program (standard library only) and checked here to the tolerance stated with them: 0.02 % on
// quantiles, 0.002 on probabilities, one unit of the last printed digit on the filter's own numbers.

#include "core/outlook/ageing_filter.h"
#include "core/outlook/fixed_exp.h"
#include "core/outlook/mixture.h"
#include "core/outlook/normal_law.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <optional>
#include <vector>

namespace halfcell::core::outlook {
namespace {

constexpr std::array<double, 6> kWeeks{4, 12, 20, 28, 36, 44};
constexpr std::array<double, 6> kReadings{98.9, 97.6, 98.2, 96.9, 96.0, 95.4};

struct Seen {
    double mean, sd, lnLife, lnLifeSd, bad, logLikelihood;
};

Seen seen(const AgeingFilter& f)
{
    return {f.capability().mean, std::sqrt(f.capability().var), f.lnLife().mean, std::sqrt(f.lnLife().var), f.badProbability(),
            f.logLikelihood()};
}

AgeingFilter filtered(std::array<double, 6> readings, const FleetNumbers& fleet = {}, const GroupNumbers& group = {},
                      const std::array<std::optional<double>, 6>& responses = {}, std::vector<Seen>* history = nullptr)
{
    AgeingFilter filter(fleet, group, true);
    for (std::size_t i = 0; i < readings.size(); ++i) {
        filter.moveTo(kWeeks[i]);
        if (responses[i])
            filter.takeResponse(*responses[i]);
        filter.takeReading({.value = readings[i]});
        if (history)
            history->push_back(seen(filter));
    }
    return filter;
}

Mixture capabilityAhead(const AgeingFilter& filter, double weeks, double extraVar = 0.0)
{
    std::vector<Mixture::Part> parts;
    for (const ForecastPart& p : filter.ahead(weeks))
        parts.push_back({p.weight, p.mean, std::sqrt(p.var + extraVar)});
    return Mixture(std::move(parts));
}

TEST(OutlookExample, FilterAfterEachReading)
{
    std::vector<Seen> history;
    const AgeingFilter filter = filtered(kReadings, {}, {}, {}, &history);
    EXPECT_EQ(filter.nodes(), 406U);
    constexpr std::array<Seen, 6> expected{{{98.6018, 0.6573, 4.6553, 0.4943, 0.0114, -1.6182},
                                            {97.9285, 0.6418, 4.6459, 0.4994, 0.0094, -2.9692},
                                            {97.9333, 0.5675, 4.7154, 0.4636, 0.0088, -4.2642},
                                            {97.2622, 0.6168, 4.6758, 0.4536, 0.0090, -5.5711},
                                            {96.3225, 0.6471, 4.6225, 0.4252, 0.0097, -6.9576},
                                            {95.4980, 0.6248, 4.6508, 0.3836, 0.0083, -8.1873}}};
    for (std::size_t i = 0; i < 6; ++i) {
        EXPECT_NEAR(history[i].mean, expected[i].mean, 1e-4) << "week " << kWeeks[i];
        EXPECT_NEAR(history[i].sd, expected[i].sd, 1e-4) << "week " << kWeeks[i];
        EXPECT_NEAR(history[i].lnLife, expected[i].lnLife, 1e-4) << "week " << kWeeks[i];
        EXPECT_NEAR(history[i].lnLifeSd, expected[i].lnLifeSd, 1e-4) << "week " << kWeeks[i];
        EXPECT_NEAR(history[i].bad, expected[i].bad, 1e-4) << "week " << kWeeks[i];
        EXPECT_NEAR(history[i].logLikelihood, expected[i].logLikelihood, 1e-4) << "week " << kWeeks[i];
    }
    constexpr std::array<double, kCurves> shares{0.0004, 0.0032, 0.0212, 0.0807, 0.1638, 0.1784, 0.1218,
                                                 0.0627, 0.0261, 0.0036, 0.0337, 0.1726, 0.0983, 0.0336};
    for (std::size_t h = 0; h < kCurves; ++h)
        EXPECT_NEAR(filter.curveWeights()[h], shares[h], 1e-4) << "curve " << h;
}

TEST(OutlookExample, ForecastOfCapabilityAndReading)
{
    const AgeingFilter filter = filtered(kReadings);
    constexpr std::array<double, 7> levels{0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95};
    struct Row {
        double weeks;
        std::array<double, 7> capability;
        std::array<double, 3> reading;
        double below88, below85;
    };
    const std::array<Row, 3> rows{
        {{4, {93.620, 94.011, 94.564, 95.100, 95.600, 96.040, 96.305}, {93.577, 95.078, 96.491}, 0.0007, 0.0003},
         {13, {90.763, 91.860, 93.207, 94.165, 94.903, 95.506, 95.865}, {91.632, 94.099, 95.858}, 0.0174, 0.0026},
         {26, {83.312, 87.427, 90.738, 92.741, 93.922, 94.763, 95.249}, {87.206, 92.640, 95.026}, 0.1192, 0.0723}}};
    for (const Row& row : rows) {
        const Mixture capability = capabilityAhead(filter, row.weeks), reading = capabilityAhead(filter, row.weeks, 0.64);
        for (std::size_t i = 0; i < levels.size(); ++i)
            EXPECT_NEAR(capability.quantile(levels[i]), row.capability[i], 0.02) << row.weeks << " weeks, " << levels[i];
        EXPECT_NEAR(reading.quantile(0.1), row.reading[0], 0.02) << row.weeks;
        EXPECT_NEAR(reading.quantile(0.5), row.reading[1], 0.02) << row.weeks;
        EXPECT_NEAR(reading.quantile(0.9), row.reading[2], 0.02) << row.weeks;
        EXPECT_NEAR(capability.below(88.0), row.below88, 0.002);
        EXPECT_NEAR(capability.below(85.0), row.below85, 0.002);
        // Fewer parts, the same law.
        const Mixture merged = capability.merged();
        EXPECT_LT(merged.parts().size(), capability.parts().size());
        for (const double level : levels)
            EXPECT_NEAR(merged.quantile(level), capability.quantile(level), 0.02) << row.weeks << " weeks, " << level;
    }
}

TEST(OutlookExample, OneBadReadingMovesTheForecastLittle)
{
    auto readings = kReadings;
    readings[3] = 88.0;
    std::vector<Seen> history;
    const AgeingFilter filter = filtered(readings, {}, {}, {}, &history);
    EXPECT_NEAR(history[3].mean, 93.215, 1e-3);
    EXPECT_NEAR(history[3].sd, 4.570, 1e-3);
    EXPECT_NEAR(history[3].bad, 0.5609, 1e-4);
    EXPECT_NEAR(history[4].mean, 95.864, 1e-3);
    EXPECT_NEAR(history[4].sd, 0.983, 1e-3);
    EXPECT_NEAR(history[5].mean, 95.364, 1e-3);
    EXPECT_NEAR(history[5].sd, 0.657, 1e-3);
    const Mixture ahead = capabilityAhead(filter, 13);
    EXPECT_NEAR(ahead.quantile(0.1), 92.344, 0.02);
    EXPECT_NEAR(ahead.quantile(0.5), 94.376, 0.02);
    EXPECT_NEAR(ahead.quantile(0.9), 95.656, 0.02);
}

TEST(OutlookExample, ResponseIsASecondWitnessOfAge)
{
    FleetNumbers fleet;
    fleet.lnResponseMean = 3.0;
    fleet.responseVar = 0.04;
    GroupNumbers group;
    group.responseAge = 1.6;
    const AgeingFilter filter = filtered(kReadings, fleet, group, {3.05, std::nullopt, 3.4, std::nullopt, 3.7, 3.95});
    const Seen last = seen(filter);
    EXPECT_NEAR(last.mean, 95.444, 1e-3);
    EXPECT_NEAR(last.sd, 0.619, 1e-3);
    EXPECT_NEAR(last.lnLife, 4.5519, 1e-4);
    EXPECT_NEAR(last.lnLifeSd, 0.3170, 1e-4);
    const Mixture ahead = capabilityAhead(filter, 13);
    EXPECT_NEAR(ahead.quantile(0.1), 91.653, 0.02);
    EXPECT_NEAR(ahead.quantile(0.5), 93.936, 0.02);
    EXPECT_NEAR(ahead.quantile(0.9), 95.324, 0.02);
}

TEST(OutlookExample, FourteenNodesByHand)
{
    FleetNumbers fleet;
    fleet.latticeStep = 0.5;
    GroupNumbers group;
    group.curveShare.fill(0.0);
    group.curveShare[4] = group.curveShare[6] = 0.5;  // u and u^2
    AgeingFilter filter(fleet, group, true);
    EXPECT_EQ(filter.nodes(), 14U);
    filter.moveTo(4);
    filter.takeReading({.value = 98.9});
    EXPECT_NEAR(filter.capability().mean, 98.6359, 1e-4);
    EXPECT_NEAR(filter.logLikelihood(), -1.2914, 1e-4);
    filter.moveTo(12);
    filter.takeReading({.value = 97.6});
    EXPECT_NEAR(filter.capability().mean, 97.8953, 1e-4);
    EXPECT_NEAR(filter.logLikelihood(), -2.5323, 1e-4);
}

TEST(OutlookFilter, TwoReadingsInTheSameHourDoNotMoveTime)
{
    AgeingFilter filter({}, {}, true);
    filter.moveTo(10);
    filter.takeReading({.value = 97.0});
    const double sd = std::sqrt(filter.capability().var);
    filter.moveTo(10);
    filter.takeReading({.value = 97.0});
    EXPECT_LT(std::sqrt(filter.capability().var), sd);
    EXPECT_EQ(filter.time(), 10.0);
}

TEST(OutlookFilter, ARegenerationForgetsRateAndWidensLevel)
{
    AgeingFilter filter = filtered(kReadings);
    const MeanVar before = filter.capability(), life = filter.lnLife();
    filter.event(LevelEvent::Regenerated);
    EXPECT_GT(filter.capability().var, before.var + 15.0);
    EXPECT_GT(filter.lnLife().var, life.var);
    filter.takeReading({.value = 98.0});
    EXPECT_NEAR(filter.capability().mean, 98.0, 0.4);
}

TEST(OutlookFilter, MovingToAnotherGroupKeepsTheLevel)
{
    AgeingFilter filter = filtered(kReadings);
    const MeanVar before = filter.capability();
    GroupNumbers fast;
    fast.lnLifeMean = std::log(25.0);
    filter.moveToGroup(fast);
    EXPECT_NEAR(filter.capability().mean, before.mean, 1e-9);
    EXPECT_LT(filter.lnLife().mean, std::log(90.0));
    EXPECT_LT(capabilityAhead(filter, 13).mean(), capabilityAhead(filtered(kReadings), 13).mean());
}

TEST(OutlookFilter, AnUnknownStartSpreadsTheAge)
{
    AgeingFilter known({}, {}, true), unknown({}, {}, false);
    for (const double t : {4.0, 8.0, 12.0}) {
        known.moveTo(t);
        unknown.moveTo(t);
        known.takeReading({.value = 93.0});
        unknown.takeReading({.value = 93.0});
    }
    EXPECT_EQ(unknown.nodes(), 5U * known.nodes());
    EXPECT_NEAR(unknown.capability().mean, 93.0, 0.5);
}

TEST(NormalLaw, AgreesWithTheErrorFunction)
{
    for (double z = -8.0; z <= 8.0; z += 0.0371)
        EXPECT_NEAR(normalBelow(z), 0.5 * std::erfc(-z / std::sqrt(2.0)), 2e-14) << z;
    for (const double p : {1e-6, 0.001, 0.05, 0.1, 0.5, 0.8, 0.975, 0.9999})
        EXPECT_NEAR(normalBelow(normalPoint(p)), p, 1e-13) << p;
}

TEST(FixedExp, AgreesWithTheLibrary)
{
    for (double x = -600.0; x <= 600.0; x += 0.731)
        EXPECT_NEAR(fixedExp(x) / std::exp(x), 1.0, 2e-15) << x;
    for (double x = 1e-8; x < 1e8; x *= 1.37)
        EXPECT_NEAR(fixedLog(x), std::log(x), 1e-15 * (1.0 + std::abs(std::log(x)))) << x;
    EXPECT_EQ(fixedPow(0.0, 0.25), 0.0);
}

TEST(AgeingCurves, StartAtNothingAndReachOneAtOneLife)
{
    for (const AgeingCurve& curve : kAgeingCurves) {
        EXPECT_NEAR(curveAt(curve, 0.0), 0.0, 1e-12);
        EXPECT_NEAR(curveAt(curve, 1.0), 1.0, 1e-12);
        double last = 0.0;
        for (double u = 0.05; u < 10.0; u += 0.05) {
            EXPECT_GE(curveAt(curve, u), last - 1e-12);
            last = curveAt(curve, u);
        }
        if (curve.convex()) {
            EXPECT_NEAR(curveAt(curve, 2.0) - curveAt(curve, 1.9), curveAt(curve, 1.5) - curveAt(curve, 1.4), 1e-9);  // straight beyond 1.3
        }
    }
}

}  // namespace
}  // namespace halfcell::core::outlook
