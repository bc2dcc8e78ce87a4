#include "tests/core/upkeep/due_shop.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace halfcell::core {
namespace {

using namespace shop;

TEST(Shelf, ASpareIsCheckedAndItsCapRefilledEveryNinetyDays)
{
    Shop s;
    s.addSensor("K7-9").bought = at("2025-10-01");
    s.place("K7-9", "shelf", "2025-12-01");
    const auto tasks = due(s, "2026-03-02", "2026-03-02");
    const DueTask* cap = find(tasks, TaskKind::StorageSolution);
    const DueTask* check = find(tasks, TaskKind::ShelfCheck);
    ASSERT_TRUE(cap && check);
    EXPECT_EQ(cap->due, day("2026-03-01"));
    EXPECT_EQ(check->due, day("2026-03-01"));
    EXPECT_TRUE(cap->tag.empty());
    EXPECT_EQ(cap->priority, 0.0);
    EXPECT_EQ(tasks.size(), 2U);
    EXPECT_TRUE(due(s, "2026-02-01", "2026-02-20").empty());
}

TEST(Shelf, AnOldSpareIsTestedBeforeUse)
{
    Shop s;
    s.addSensor("K7-9").bought = at("2024-02-01");
    s.place("K7-9", "shelf", "2026-01-20");
    const auto tasks = due(s, "2026-03-02", "2026-03-02");
    const DueTask* check = find(tasks, TaskKind::ShelfCheck);
    ASSERT_TRUE(check);
    EXPECT_NE(check->why.find("24 months old"), std::string::npos);
    EXPECT_NE(check->why.find("test before use"), std::string::npos);
    // Tested since it turned old: only the ordinary check is left.
    s.calibrate("K7-9", "", "2026-02-20");
    EXPECT_FALSE(find(due(s, "2026-03-02", "2026-03-02"), TaskKind::ShelfCheck));
}

TEST(Shelf, TheShelfDateCounts)
{
    Shop s;
    s.addSensor("K7-9").shelf_expires = at("2026-02-10");
    s.place("K7-9", "shelf", "2026-01-20");
    const auto tasks = due(s, "2026-03-02", "2026-03-02");
    const DueTask* check = find(tasks, TaskKind::ShelfCheck);
    ASSERT_TRUE(check);
    EXPECT_EQ(check->due, day("2026-02-10"));
}

TEST(Lots, EndByOpenLifeOrLabelWhicheverIsFirst)
{
    Shop s;
    Lot& seven = s.addLot("B7-1", "ph7.00");
    seven.opened = at("2026-01-01");
    Lot& ten = s.addLot("B10-1", "ph10.01");
    ten.opened = at("2026-01-01");
    Lot& labelled = s.addLot("B7-2", "ph7.00");
    labelled.opened = at("2026-01-01");
    labelled.expires = at("2026-01-20");
    Lot& closed = s.addLot("B7-3", "ph7.00");
    closed.expires = at("2027-06-30");
    Lot& gone = s.addLot("B7-4", "ph7.00");
    gone.opened = at("2025-01-01");
    gone.discarded = at("2025-03-01");
    s.addLot("bare", "ph7.00");
    const auto tasks = due(s, "2026-03-02", "2026-12-31");
    EXPECT_EQ(find(tasks, TaskKind::Lot, "B7-1")->due, day("2026-04-01"));
    EXPECT_EQ(find(tasks, TaskKind::Lot, "B10-1")->due, day("2026-01-31"));
    EXPECT_EQ(find(tasks, TaskKind::Lot, "B7-2")->due, day("2026-01-20"));
    EXPECT_EQ(find(tasks, TaskKind::Lot, "B7-2")->triggers.size(), 2U);
    EXPECT_FALSE(find(tasks, TaskKind::Lot, "B7-3"));
    EXPECT_FALSE(find(tasks, TaskKind::Lot, "B7-4"));
    EXPECT_FALSE(find(tasks, TaskKind::Lot, "bare"));
    EXPECT_TRUE(find(tasks, TaskKind::Lot, "B7-1")->serial.empty());
}

TEST(Equipment, FallsDueByItsRecordOrAYearAfterItsCheck)
{
    Shop s;
    const auto add = [&](const char* key, std::optional<Instant> checked, std::optional<Instant> dueAt) {
        s.records.equipment.push_back({.equipment = key, .kind = EquipmentKind::Meter, .checked = checked, .error = {}, .due = dueAt, .note = {},
                                       .recorded = at("2020-01-01")});
    };
    add("H1", at("2025-03-10"), std::nullopt);
    add("H2", at("2025-03-10"), at("2026-09-01"));
    add("H3", std::nullopt, std::nullopt);
    const auto tasks = due(s, "2026-03-02", "2026-12-31");
    EXPECT_EQ(find(tasks, TaskKind::Equipment, "H1")->due, day("2026-03-10"));
    EXPECT_EQ(find(tasks, TaskKind::Equipment, "H2")->due, day("2026-09-01"));
    EXPECT_EQ(find(tasks, TaskKind::Equipment, "H3")->due, day("2026-03-02"));
}

}  // namespace
}  // namespace halfcell::core
