#include "plant_of_tests.h"

#include "core/simulator/catalogue.h"
#include "core/simulator/plant_rows.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

namespace halfcell::core {
namespace {

int unscrapped(const Records& r)
{
    int n = 0;
    for (const Placement& row : r.placements)
        n += !row.to && row.place != kScrap ? 1 : 0;
    return n;
}

TEST(DemoPlant, HasTheSizeAskedFor)
{
    const Records& r = demoPlant().records;
    EXPECT_EQ(r.sites.size(), 4U);
    EXPECT_EQ(r.points.size(), 90U);
    EXPECT_EQ(unscrapped(r), 120);
    std::set<std::string> areas;
    for (const Point& point : r.points)
        areas.insert(point.site + "/" + *point.area);
    EXPECT_GE(areas.size(), 6U);
    EXPECT_EQ(std::ranges::count_if(r.lots, [](const Lot& lot) { return lot.standard.starts_with("ph") && lot.opened; }), 40);
    EXPECT_GE(r.people.size(), 6U);
    EXPECT_GE(r.corrections.size(), 5U);
    EXPECT_FALSE(r.legacy.empty());
    std::set<std::pair<std::string, std::int64_t>> weeks;
    const std::int64_t until = dayNumber(demoSettings().until);
    for (const Visit& visit : r.visits)
        weeks.insert({"", (until - dayNumber(visit.when)) / 7});
    EXPECT_GE(weeks.size(), 128U);   // weekly rounds over thirty months, less the holidays
    const double months = daysBetween(r.visits.front().when, r.visits.back().when) / 30.44;
    EXPECT_GT(months, 29.0);
    EXPECT_LT(months, 30.5);
}

TEST(DemoPlant, CoversEveryDesign)
{
    std::set<ReferenceDesign> references;
    std::set<Sensing> sensing;
    std::set<std::string> used;
    const Records& r = demoPlant().records;
    for (const Sensor& sensor : r.sensors)
        used.insert(sensor.model);
    for (const Model& model : r.models)
        if (used.contains(model.model)) {
            references.insert(*model.reference);
            sensing.insert(*model.sensing);
        }
    EXPECT_EQ(references.size(), keyEntries<ReferenceDesign>().size());
    EXPECT_EQ(sensing.size(), keyEntries<Sensing>().size());
}

TEST(DemoPlant, LayoutNamesOnlyKnownModelsAndNoTagTwice)
{
    std::set<std::pair<int, int>> tags;
    for (const auto& row : simulation::pointRows()) {
        EXPECT_EQ(simulation::modelSpecs()[simulation::modelIndex(row.model)].model, row.model) << row.description;
        EXPECT_TRUE(tags.insert({row.area, row.number}).second) << row.description;
        EXPECT_LT(row.low, row.high);
    }
}

TEST(DemoPlant, RefersOnlyToWhatItHolds)
{
    const Records& r = demoPlant().records;
    std::set<std::string> sites, tags, models, serials, lots, people, equipment;
    for (const Site& row : r.sites)
        EXPECT_TRUE(sites.insert(row.site).second);
    for (const Point& row : r.points) {
        EXPECT_TRUE(tags.insert(row.tag).second);
        EXPECT_TRUE(sites.contains(row.site));
    }
    for (const Model& row : r.models)
        EXPECT_TRUE(models.insert(row.model).second);
    for (const Sensor& row : r.sensors) {
        EXPECT_TRUE(serials.insert(row.serial).second);
        EXPECT_TRUE(models.contains(row.model));
    }
    for (const Lot& row : r.lots)
        EXPECT_TRUE(lots.insert(row.lot).second);
    for (const Person& row : r.people)
        people.insert(row.person);
    for (const Equipment& row : r.equipment)
        equipment.insert(row.equipment);
    const std::set<std::string, std::less<>> places{"shelf", "soak", "bench", "quarantine", "scrap"};
    for (const Placement& row : r.placements) {
        EXPECT_TRUE(serials.contains(row.serial));
        EXPECT_TRUE(tags.contains(row.place) || places.contains(row.place)) << row.place;
    }
    for (const PartRecord& row : r.parts)
        EXPECT_TRUE(serials.contains(row.serial));
    for (const Hold& row : r.holds) {
        EXPECT_TRUE(tags.contains(row.point));
        EXPECT_TRUE(!row.to || row.from < *row.to);
    }
    std::set<std::string> visits;
    for (const Visit& visit : r.visits) {
        EXPECT_TRUE(visits.insert(visit.visit).second) << visit.visit;
        EXPECT_TRUE(serials.contains(visit.serial));
        EXPECT_TRUE(!visit.tag || tags.contains(*visit.tag));
        EXPECT_TRUE(people.contains(*visit.person));
        std::set<std::tuple<Phase, std::string, int>> dips;
        for (const Reading& reading : visit.readings) {
            EXPECT_TRUE(dips.insert({reading.phase, reading.standard, reading.dip}).second) << visit.visit;
            EXPECT_TRUE(!reading.lot || lots.contains(*reading.lot));
            EXPECT_TRUE(!reading.meter || equipment.contains(*reading.meter));
            EXPECT_TRUE(!reading.thermometer || equipment.contains(*reading.thermometer));
            EXPECT_TRUE(reading.mv.has_value() || reading.why_missing.has_value()) << visit.visit;
            EXPECT_EQ(reading.recorded, visit.recorded);
        }
        for (std::size_t i = 0; i < visit.actions.size(); ++i)
            EXPECT_EQ(visit.actions[i].step, static_cast<int>(i) + 1);
        EXPECT_LE(visit.grabs.size(), 1U);
        EXPECT_LE(visit.checks.size(), 1U);
    }
    for (const TruthState& row : demoPlant().states) {
        EXPECT_TRUE(visits.contains(row.visit));
        EXPECT_TRUE(serials.contains(row.serial));
    }
    for (const TruthFault& row : demoPlant().faults) {
        EXPECT_TRUE(visits.contains(row.visit)) << row.visit;
        EXPECT_TRUE(serials.contains(row.serial));
    }
}

TEST(DemoPlant, EndsOnItsDay)
{
    const Instant until = demoSettings().until;
    const Records& r = demoPlant().records;
    for (const Visit& visit : r.visits) {
        EXPECT_LE(visit.when, until);
        EXPECT_LE(visit.recorded, until);
        for (const Reading& reading : visit.readings)
            EXPECT_LE(reading.when, until);
    }
    for (const Placement& row : r.placements) {
        EXPECT_LE(row.from, until);
        EXPECT_LE(row.recorded, until);
    }
    for (const Correction& row : r.corrections)
        EXPECT_LE(row.recorded, until);
    for (const Sensor& row : r.sensors)
        EXPECT_LE(row.recorded, until);
}

TEST(DemoPlant, ASensorIsAtOnePlaceAtATime)
{
    const Records& r = demoPlant().records;
    std::set<std::string> scrapped;
    for (std::size_t i = 0; i < r.placements.size(); ++i) {
        const Placement& row = r.placements[i];
        if (row.to) {
            EXPECT_LE(row.from, *row.to) << row.serial;
        }
        if (i == 0 || r.placements[i - 1].serial != row.serial)
            continue;
        const Placement& before = r.placements[i - 1];
        ASSERT_TRUE(before.to) << row.serial;
        EXPECT_LE(*before.to, row.from) << row.serial;
        EXPECT_NE(before.place, kScrap) << row.serial;
        if (before.place.starts_with("AE-")) {
            EXPECT_TRUE(before.reason_removed) << row.serial << " left " << before.place;
        }
    }
}

TEST(DemoPlant, OnePointHoldsTwoSensorsAndOneNone)
{
    const Records& r = demoPlant().records;
    std::map<std::string, int> now;
    for (const Point& point : r.points)
        now[point.tag] = 0;
    for (const Placement& row : r.placements)
        if (!row.to && row.place.starts_with("AE-"))
            ++now[row.place];
    EXPECT_EQ(std::ranges::count_if(now, [](const auto& p) { return p.second == 2; }), 1);
    EXPECT_GE(std::ranges::count_if(now, [](const auto& p) { return p.second == 0; }), 1);
    EXPECT_LE(std::ranges::count_if(now, [](const auto& p) { return p.second == 0; }), 3);
    // Over the whole history no other point is held by two at once (a swap found later overlaps by its uncertainty only).
    std::map<std::string, std::vector<const Placement*>> byTag;
    for (const Placement& row : r.placements)
        if (row.place.starts_with("AE-"))
            byTag[row.place].push_back(&row);
    int doubled = 0;
    for (auto& [tag, rows] : byTag) {
        std::ranges::sort(rows, {}, [](const Placement* p) { return p->from; });
        for (std::size_t i = 1; i < rows.size(); ++i)
            doubled += !rows[i - 1]->to || rows[i]->from < *rows[i - 1]->to ? 1 : 0;
    }
    EXPECT_EQ(doubled, 1);
}

TEST(DemoPlant, RowsStandInCanonicalOrder)
{
    const Records& r = demoPlant().records;
    EXPECT_TRUE(std::ranges::is_sorted(r.points, {}, &Point::tag));
    EXPECT_TRUE(std::ranges::is_sorted(r.sensors, {}, &Sensor::serial));
    EXPECT_TRUE(std::ranges::is_sorted(r.lots, {}, &Lot::lot));
    EXPECT_TRUE(std::ranges::is_sorted(r.visits, [](const Visit& a, const Visit& b) { return std::tie(a.when, a.visit) < std::tie(b.when, b.visit); }));
    std::set<std::tuple<std::string, std::string, std::int64_t>> keys;
    for (const Placement& row : r.placements)
        EXPECT_TRUE(keys.insert({row.serial, row.place, row.from.utcSeconds}).second) << row.serial;
    keys.clear();
    for (const PartRecord& row : r.parts)
        EXPECT_TRUE(keys.insert({row.serial, std::string(keyOf(row.part)), row.from.utcSeconds}).second) << row.serial;
    keys.clear();
    for (const Hold& row : r.holds)
        EXPECT_TRUE(keys.insert({row.point, "", row.from.utcSeconds}).second) << row.point;
}

TEST(DemoPlant, SameSettingsGiveTheSamePlant)
{
    const SimulatedPlant again = simulatePlant(demoSettings());
    EXPECT_TRUE(again.records == demoPlant().records);
    ASSERT_EQ(again.faults.size(), demoPlant().faults.size());
    for (std::size_t i = 0; i < again.faults.size(); ++i) {
        EXPECT_EQ(again.faults[i].visit, demoPlant().faults[i].visit);
        EXPECT_EQ(again.faults[i].code, demoPlant().faults[i].code);
    }
    ASSERT_EQ(again.states.size(), demoPlant().states.size());
    for (std::size_t i = 0; i < again.states.size(); ++i)
        EXPECT_EQ(again.states[i].true_offset_mv, demoPlant().states[i].true_offset_mv);
}

TEST(DemoPlant, AnotherSeedGivesAnotherHistory)
{
    const SimulatedPlant other = simulatePlant(demoSettings(2));
    EXPECT_FALSE(other.records.visits == demoPlant().records.visits);
    EXPECT_EQ(unscrapped(other.records), 120);
    EXPECT_EQ(other.records.points.size(), 90U);
}

TEST(DemoPlant, Shrinks)
{
    SimulationSettings small = demoSettings(4);
    small.sensors = 30;
    small.years = 0.5;
    const SimulatedPlant little = simulatePlant(small);
    EXPECT_EQ(unscrapped(little.records), 30);
    EXPECT_EQ(little.records.sites.size(), 4U);
    EXPECT_GT(little.records.visits.size(), 100U);
}

TEST(DemoPlant, MakesATinyPlantToo)
{
    for (const int n : {1, 6, 17}) {
        SimulationSettings tiny = demoSettings(8);
        tiny.sensors = n;
        tiny.years = 0.6;
        EXPECT_EQ(unscrapped(simulatePlant(tiny).records), n);
    }
}

TEST(DemoPlant, KeysAreDatedByTheSimulatedDay)
{
    int matching = 0, all = 0;
    for (const Visit& visit : demoPlant().records.visits) {
        ++all;
        matching += visit.visit.starts_with(formatDate(visit.when)) ? 1 : 0;
        EXPECT_EQ(visit.visit.substr(0, 2), "20");
    }
    EXPECT_GT(matching, all * 94 / 100);   // the rest was dated a day late by hand
}

}  // namespace
}  // namespace halfcell::core
