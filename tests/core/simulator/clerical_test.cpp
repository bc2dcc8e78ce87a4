#include "plant_of_tests.h"

#include "core/fleet/columns.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

/// Entry errors happen at the rates that the plant is built with (assumed after trade experience); counted over the demo plant
/// within four binomial standard deviations.
namespace halfcell::core {
namespace {

void expectRate(std::size_t count, std::size_t trials, double low, double high)
{
    const auto n = static_cast<double>(trials);
    const auto x = static_cast<double>(count);
    EXPECT_GT(x, n * low - 4.0 * std::sqrt(n * low * (1.0 - low)));
    EXPECT_LT(x, n * high + 4.0 * std::sqrt(n * high * (1.0 - high)));
}

struct Counts {
    std::size_t visits = 0, pointVisits = 0, fields = 0, negative = 0, readings = 0, withTemperature = 0, cleaning = 0, rounds = 0;
};

Counts counts()
{
    Counts c;
    std::set<std::string> rounds;
    for (const Visit& visit : demoPlant().records.visits) {
        if (visit.visit.ends_with("-again"))
            continue;
        ++c.visits;
        c.pointVisits += visit.tag ? 1 : 0;
        if (visit.round)
            rounds.insert(*visit.round);
        c.cleaning += visit.reason == VisitReason::Routine && visit.tag && !visit.actions.empty() ? 1 : 0;
        for (const Reading& reading : visit.readings) {
            if (!reading.mv)
                continue;
            ++c.readings;
            c.fields += 1U + (reading.temp_degc.has_value() ? 1U : 0U) + (reading.wait_s.has_value() ? 1U : 0U) + (reading.t90_s.has_value() ? 1U : 0U);
            c.negative += *reading.mv < 0.0 ? 1 : 0;
            c.withTemperature += reading.temp_degc.has_value() ? 1 : 0;
        }
    }
    c.rounds = rounds.size();
    return c;
}

TEST(Clerical, SlipsOfTheDigits)
{
    // 0.7 % of the numeric fields; one slip in five or so gives the same number again and is none.
    expectRate(faultsOf(demoPlant(), "digit_slip").size(), counts().fields, 0.0050, 0.0070);
}

TEST(Clerical, LostSigns)
{
    expectRate(faultsOf(demoPlant(), "lost_sign").size(), counts().negative, 0.0038, 0.0040);
}

TEST(Clerical, WrongSerials)
{
    // 1 % of the visits to points, fewer where an area has no second sensor of the kind.
    expectRate(faultsOf(demoPlant(), "wrong_serial").size(), counts().pointVisits, 0.0070, 0.0100);
    int contradicting = 0;
    for (const TruthFault& fault : faultsOf(demoPlant(), "wrong_serial")) {
        const Visit& visit = *visitOf(demoPlant(), fault.visit);
        contradicting += fault.serial != visit.serial ? 1 : 0;
    }
    EXPECT_GT(contradicting, 10);
}

TEST(Clerical, DatesADayLate)
{
    expectRate(faultsOf(demoPlant(), "date_next_day").size(), counts().visits, 0.0250, 0.0300);
}

TEST(Clerical, EnteredTwice)
{
    const auto twice = faultsOf(demoPlant(), "duplicate_entry");
    expectRate(twice.size(), counts().pointVisits, 0.0045, 0.0050);
    for (const TruthFault& fault : twice) {
        const Visit* copy = visitOf(demoPlant(), fault.visit);
        const Visit* first = visitOf(demoPlant(), fault.visit.substr(0, fault.visit.rfind("-again")));
        ASSERT_NE(first, nullptr);
        ASSERT_EQ(copy->readings.size(), first->readings.size());
        for (std::size_t i = 0; i < first->readings.size(); ++i)
            EXPECT_EQ(copy->readings[i].mv, first->readings[i].mv);
    }
}

TEST(Clerical, StandardsExchanged)
{
    // 0.2 % of the visits, seen only where pH 4 or pH 10 was read.
    const std::size_t n = faultsOf(demoPlant(), "standards_exchanged").size();
    EXPECT_GE(n, 2U);
    expectRate(n, counts().visits, 0.0008, 0.0020);
}

TEST(Clerical, TemperaturesMissing)
{
    const Counts c = counts();
    const double missing = 1.0 - static_cast<double>(c.withTemperature) / static_cast<double>(c.readings);
    EXPECT_GT(missing, 0.09);   // 15 % where it counts least, fewer in what is left behind
    EXPECT_LT(missing, 0.19);
}

TEST(Clerical, AsFoundMissingAndCleanedBefore)
{
    const Counts c = counts();
    expectRate(faultsOf(demoPlant(), "as_found_missing").size(), c.cleaning, 0.22, 0.37);
    expectRate(faultsOf(demoPlant(), "cleaned_before_found").size(), c.cleaning, 0.10, 0.22);
}

TEST(Clerical, BottlesMixedUpInAFewRounds)
{
    // 0.3 % of the rounds beside the planned one.
    std::set<std::string> rounds;
    for (const TruthFault& fault : faultsOf(demoPlant(), "wrong_standard")) {
        const Visit* visit = visitOf(demoPlant(), fault.visit);
        if (visit->round && std::ranges::any_of(visit->readings, [](const Reading& r) { return r.standard == "ph7.00"; }))
            rounds.insert(*visit->round);
    }
    EXPECT_GE(rounds.size(), 1U);
    EXPECT_LE(rounds.size(), 30U);
}

TEST(Clerical, CorrectionsReplay)
{
    int applied = 0;
    for (const Correction& correction : demoPlant().records.corrections) {
        Visit visit = *visitOf(demoPlant(), correction.visit);
        const auto done = applyCorrection(visit, correction);
        EXPECT_TRUE(done) << correction.visit << " " << correction.field << " " << (done ? "" : done.error().detail);
        applied += done ? 1 : 0;
    }
    EXPECT_GE(applied, 10);
}

}  // namespace
}  // namespace halfcell::core
