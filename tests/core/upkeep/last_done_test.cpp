#include "core/upkeep/last_done.h"

#include "core/upkeep/dips.h"

#include "tests/core/upkeep/small_shop.h"

#include <gtest/gtest.h>

namespace halfcell::core {
namespace {

using namespace shop;

TEST(LastDone, ReadingsAndActionsDecide)
{
    Visit visit;
    visit.when = at("2026-02-16");
    EXPECT_FALSE(visitDid(visit, TaskKind::Verify, SensorKind::Ph));
    Shop::read(visit, Phase::AsFound);
    EXPECT_TRUE(visitDid(visit, TaskKind::Verify, SensorKind::Ph));
    EXPECT_TRUE(visitDid(visit, TaskKind::Check, SensorKind::Ph));
    EXPECT_FALSE(visitDid(visit, TaskKind::Calibrate, SensorKind::Ph));
    Shop::act(visit, ActionKey::Adjust);
    EXPECT_TRUE(visitDid(visit, TaskKind::Calibrate, SensorKind::Ph));
    EXPECT_FALSE(visitDid(visit, TaskKind::Clean, SensorKind::Ph));
    Shop::act(visit, ActionKey::CleanAcid);
    EXPECT_TRUE(visitDid(visit, TaskKind::Clean, SensorKind::Ph));
    EXPECT_FALSE(visitDid(visit, TaskKind::Service, SensorKind::Ph));
    Shop::act(visit, ActionKey::ReplaceBridge);
    EXPECT_TRUE(visitDid(visit, TaskKind::Service, SensorKind::Ph));
    EXPECT_TRUE(visitDid(visit, TaskKind::RefillReference, SensorKind::Ph));
}

TEST(LastDone, TwoDipsInOneStandardAreNoCheckButOneRedoxStandardIs)
{
    Visit visit;
    Shop::read(visit, Phase::AsFound);
    for (Reading& r : visit.readings)
        r.standard = "ph7.00";
    EXPECT_FALSE(visitDid(visit, TaskKind::Check, SensorKind::Ph));
    EXPECT_TRUE(visitDid(visit, TaskKind::Check, SensorKind::Orp));
    visit.readings.front().mv.reset();
    visit.readings.back().mv.reset();
    EXPECT_FALSE(visitDid(visit, TaskKind::Check, SensorKind::Orp));
}

TEST(LastDone, CountsPartsAndLegacyRecords)
{
    Shop s;
    s.addPoint("AE-1");
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2025-01-01");
    s.records.parts.push_back({.serial = "K7-1", .part = Part::Bridge, .from = at("2025-04-20"), .to = {}, .lot = {}, .recorded = at("2025-04-20")});
    s.records.legacy.push_back({.serial = "K7-1", .when = at("2025-03-01"), .phase = Phase::AsLeft, .efficiency_pct = 97.0, .offset_mv = 1.0,
                                .t90_s = {}, .person = {}, .note = {}, .recorded = at("2025-03-01")});
    const Plant plant = s.known("2026-03-02");
    const LastDone last = lastDone(*plant.history("K7-1"));
    EXPECT_EQ(last.of(TaskKind::ReplaceBridge), day("2025-04-20"));
    EXPECT_EQ(last.of(TaskKind::Calibrate), day("2025-03-01"));
    EXPECT_FALSE(last.of(TaskKind::Clean));
}

TEST(Standing, KnowsWhereASensorIs)
{
    Shop s;
    s.addPoint("AE-1");
    for (const char* serial : {"a", "b", "c", "d", "e"})
        s.addSensor(serial);
    s.place("a", "AE-1", "2025-01-01");
    s.place("b", "shelf", "2025-01-01");
    s.place("c", "AE-1", "2024-01-01", "2025-01-01");
    s.place("d", "scrap", "2025-01-01");
    s.addVisit("e", "AE-1", "2025-05-01");
    const Plant plant = s.known("2026-03-02");
    EXPECT_EQ(standingOf(plant, *plant.history("a")).kind, Standing::Kind::AtPoint);
    EXPECT_EQ(standingOf(plant, *plant.history("a")).since, day("2025-01-01"));
    EXPECT_EQ(standingOf(plant, *plant.history("b")).kind, Standing::Kind::Shelf);
    EXPECT_EQ(standingOf(plant, *plant.history("c")).kind, Standing::Kind::Nowhere);
    EXPECT_EQ(standingOf(plant, *plant.history("d")).kind, Standing::Kind::Scrapped);
    // No placement on record: where its visits say.
    EXPECT_EQ(standingOf(plant, *plant.history("e")).tag, "AE-1");
}

TEST(Season, OfEveryYearAndOverNewYear)
{
    Point pool;
    pool.season_from = "05-01";
    pool.season_to = "09-30";
    EXPECT_TRUE(seasonAt(pool, day("2026-05-01")).inSeason);
    EXPECT_TRUE(seasonAt(pool, day("2026-09-30")).inSeason);
    EXPECT_FALSE(seasonAt(pool, day("2026-10-01")).inSeason);
    EXPECT_EQ(seasonAt(pool, day("2026-10-01")).start, day("2027-05-01"));
    EXPECT_EQ(seasonAt(pool, day("2026-07-01")).start, day("2026-05-01"));
    pool.season_from = "11-15";
    pool.season_to = "02-28";
    EXPECT_TRUE(seasonAt(pool, day("2026-01-10")).inSeason);
    EXPECT_EQ(seasonAt(pool, day("2026-01-10")).start, day("2025-11-15"));
    EXPECT_FALSE(seasonAt(pool, day("2026-03-02")).inSeason);
    pool.season_from.reset();
    EXPECT_TRUE(seasonAt(pool, day("2026-03-02")).inSeason);
}

TEST(Dips, FollowTheTaskTheProcessAndTheShopsBottles)
{
    Shop s;
    Point& point = s.addPoint("AE-1");
    const Plant empty = s.known("2026-03-02");
    using List = std::vector<std::string>;
    EXPECT_EQ(dipsFor(empty, TaskKind::Check, SensorKind::Ph, &point), (List{"ph7.00", "ph4.01"}));
    EXPECT_EQ(dipsFor(empty, TaskKind::Calibrate, SensorKind::Ph, &point), (List{"ph7.00", "ph4.01", "ph7.00"}));
    point.ph_low = 8.0;
    point.ph_high = 9.0;
    EXPECT_EQ(dipsFor(empty, TaskKind::Check, SensorKind::Ph, &point), (List{"ph7.00", "ph10.01"}));
    point.ph_low = 4.5;
    EXPECT_EQ(dipsFor(empty, TaskKind::Calibrate, SensorKind::Ph, &point), (List{"ph7.00", "ph4.01", "ph10.01", "ph7.00"}));
    EXPECT_EQ(dipsFor(empty, TaskKind::GrabCheck, SensorKind::Ph, &point), List{});
    EXPECT_EQ(dipsFor(empty, TaskKind::Check, SensorKind::Orp, &point), List{"zobell"});
    s.addLot("L1", "light");
    s.addLot("S1", "ph6.86");
    const Plant stocked = s.known("2026-03-02");
    EXPECT_EQ(dipsFor(stocked, TaskKind::Check, SensorKind::Orp, &point), List{"light"});
    EXPECT_EQ(dipsFor(stocked, TaskKind::Check, SensorKind::Ph, nullptr).front(), "ph6.86");
}

TEST(Dips, HaveWords)
{
    EXPECT_EQ(standardWords("ph10.01"), "pH 10.01");
    EXPECT_EQ(standardWords("value:4.20"), "pH 4.20");
    EXPECT_EQ(standardWords("own borax"), "own borax");
}

}  // namespace
}  // namespace halfcell::core
