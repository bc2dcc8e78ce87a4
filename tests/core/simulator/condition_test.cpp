#include "plant_of_tests.h"

#include "core/simulator/observe.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>
#include <string>

/// How the demo plant stands on its last day, by the common-practice limits worked out by hand from each sensor's last
/// readings: most in order, and one of every kind to find.
namespace halfcell::core {
namespace {

using simulation::modelIndex;
using simulation::modelSpecs;

enum class Stand { Normal, Maintenance, OutOfSpecification, Failure, NoData };

Stand standOf(const Visit& visit, const simulation::ModelSpec& model)
{
    Phase last = Phase::AsFound;
    for (const Reading& reading : visit.readings)
        if (reading.mv && last < reading.phase)
            last = reading.phase;
    for (const Reading& reading : visit.readings)
        if (reading.phase == last && reading.mv && !reading.temp_degc.has_value())
            return Stand::NoData;
    const auto seen = simulation::workOut(visit.readings, last, model, 20.0, 0.0);
    if (model.kind == SensorKind::Orp) {
        if (model.fill == "differential" || !seen.offset)
            return Stand::Normal;
        const double off = std::abs(*seen.offset), span = seen.span.value_or(100.0);
        if (span < 40.0)
            return Stand::Failure;
        if (off > 40.0 || span < 80.0)
            return Stand::OutOfSpecification;
        return off > 20.0 || span < 90.0 ? Stand::Maintenance : Stand::Normal;
    }
    if (!seen.efficiency)
        return Stand::NoData;
    const double s = *seen.efficiency;
    if (s < 25.0)
        return Stand::Failure;
    if (s < 70.0 || s > 105.0)
        return Stand::OutOfSpecification;
    if (s < 80.0 || s > 103.0 || std::abs(*seen.offset) > 50.0 || seen.response.value_or(0.0) > 120.0)
        return Stand::Maintenance;
    return Stand::Normal;
}

std::map<Stand, int> stands(const SimulatedPlant& plant)
{
    std::map<std::string, const Visit*> last;
    for (const Visit& visit : plant.records.visits)
        for (const Reading& reading : visit.readings)
            if (reading.mv)
                last[visit.serial] = &visit;
    std::map<std::string, std::string> place;
    for (const Placement& row : plant.records.placements)
        if (!row.to)
            place[row.serial] = row.place;
    std::map<Stand, int> count;
    for (const Sensor& sensor : plant.records.sensors) {
        if (place[sensor.serial] == kScrap)
            continue;
        const auto it = last.find(sensor.serial);
        ++count[it == last.end() ? Stand::NoData : standOf(*it->second, modelSpecs()[modelIndex(sensor.model)])];
    }
    return count;
}

TEST(Condition, MostSensorsAreInOrderAndSomeOfEachSortAreNot)
{
    for (const std::uint64_t seed : {1U, 2U, 3U}) {
        const SimulatedPlant plant = simulatePlant(demoSettings(seed));
        auto count = stands(plant);
        const int judged = 120 - count[Stand::NoData];
        EXPECT_GE(count[Stand::Normal] * 100, judged * 76) << seed;
        EXPECT_LE(count[Stand::Normal] * 100, judged * 93) << seed;
        EXPECT_GE(count[Stand::Failure], 2) << seed;
        EXPECT_GE(count[Stand::OutOfSpecification], 2) << seed;
        EXPECT_GE(count[Stand::Maintenance], 4) << seed;
        EXPECT_GE(count[Stand::NoData], 1) << seed;
        EXPECT_LE(count[Stand::NoData], 22) << seed;
    }
}

TEST(Condition, EveryKindOfFaultCanBeFoundInTheLastFortnight)
{
    const Instant from = addDays(demoSettings().until, -15.0);
    std::set<std::string> codes;
    for (const TruthFault& fault : demoPlant().faults)
        if (const Visit* visit = visitOf(demoPlant(), fault.visit); visit && from < visit->when)
            codes.insert(fault.code);
    for (const char* code : {"glass_broken", "leads_reversed", "glass_shunted", "glass_aged", "electrolyte_diluted", "reference_poisoned",
                             "cell_contaminated", "bridge_exhausted", "ground_loop", "wrong_standard"})
        EXPECT_TRUE(codes.contains(code)) << code;
    EXPECT_TRUE(codes.contains("film_scale") || codes.contains("film_grease") || codes.contains("film_protein") || codes.contains("biofilm"));
}

TEST(Condition, TruthAgreesWithWhatIsRead)
{
    // As-left readings of sound sensors scatter about the true figures by what bottles, people and meters add.
    std::map<std::string, const TruthState*> truth;
    for (const TruthState& state : demoPlant().states)
        truth[state.visit] = &state;
    double sum = 0, square = 0;
    int n = 0;
    for (const Visit& visit : demoPlant().records.visits) {
        const auto it = truth.find(visit.visit);
        if (it == truth.end() || !visit.actions.empty() || it->second->serial != visit.serial)
            continue;
        std::string_view model;
        for (const Sensor& sensor : demoPlant().records.sensors)
            if (sensor.serial == visit.serial)
                model = sensor.model;
        if (modelSpecs()[modelIndex(model)].kind != SensorKind::Ph || it->second->true_t90_s > 40.0)
            continue;
        const auto seen = simulation::workOut(visit.readings, Phase::AsFound, modelSpecs()[modelIndex(model)], 20.0, 0.0);
        if (!seen.efficiency || std::abs(*seen.efficiency - it->second->true_efficiency_pct) > 8.0)
            continue;
        const double d = *seen.efficiency - it->second->true_efficiency_pct;
        sum += d;
        square += d * d;
        ++n;
    }
    ASSERT_GT(n, 60);
    EXPECT_NEAR(sum / n, -0.5, 1.2);
    EXPECT_LT(std::sqrt(square / n), 2.6);
}

}  // namespace
}  // namespace halfcell::core
