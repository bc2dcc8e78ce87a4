#include "core/upkeep/due_parts.h"

#include "tests/core/upkeep/due_shop.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

namespace halfcell::core {
namespace {

using shop::day;
using shop::find;

TEST(Merge, LosesNoTrigger)
{
    using namespace upkeep;
    const auto task = [](TaskKind kind, const char* date, const char* why) {
        DueTask t;
        t.serial = "x";
        t.task = kind;
        t.due = day(date);
        t.earliest = t.due - 7;
        t.latest = t.due + 5;
        t.triggers.push_back({.kind = Trigger::Kind::Calendar, .day = t.due, .why = why, .source = {}});
        t.why = why;
        return t;
    };
    const std::vector<DueTask> tasks{task(TaskKind::Verify, "2026-03-01", "v"),    task(TaskKind::Check, "2026-03-03", "k"),
                                     task(TaskKind::Service, "2026-03-05", "s"),   task(TaskKind::Clean, "2026-03-02", "c"),
                                     task(TaskKind::ReplaceBridge, "2026-03-04", "b"), task(TaskKind::Calibrate, "2026-05-01", "far")};
    const auto merged = mergeTasks(tasks, day("2026-03-01"));
    std::multiset<std::string> before, after;
    for (const DueTask& t : tasks)
        before.insert(t.why);
    for (const DueTask& t : merged)
        for (const Trigger& trigger : t.triggers)
            after.insert(trigger.why.substr(trigger.why.rfind(' ') + 1));
    EXPECT_EQ(before, after);
    // Service takes clean, check and verify; the bridge stays its own task; the far calibration keeps its day.
    ASSERT_EQ(merged.size(), 3U);
    EXPECT_EQ(find(merged, TaskKind::Service)->due, day("2026-03-01"));
    EXPECT_TRUE(find(merged, TaskKind::ReplaceBridge));
    EXPECT_EQ(find(merged, TaskKind::Calibrate)->due, day("2026-05-01"));
    EXPECT_TRUE(covers(TaskKind::Calibrate, TaskKind::Check));
    EXPECT_TRUE(covers(TaskKind::Service, TaskKind::Clean));
    EXPECT_FALSE(covers(TaskKind::Check, TaskKind::Calibrate));
    EXPECT_FALSE(covers(TaskKind::Service, TaskKind::ReplaceBridge));
}

TEST(Merge, WhatWasFoundLeadsWhatWasExpectedOnTheSameDay)
{
    std::vector<Trigger> triggers;
    for (const auto kind : {Trigger::Kind::Calendar, Trigger::Kind::Condition, Trigger::Kind::Finding, Trigger::Kind::Floor})
        triggers.push_back({.kind = kind, .day = 100, .why = {}, .source = {}});
    triggers.push_back({.kind = Trigger::Kind::Calendar, .day = 99, .why = {}, .source = {}});
    sortTriggers(triggers);
    EXPECT_EQ(triggers[0].day, 99);
    EXPECT_EQ(triggers[1].kind, Trigger::Kind::Floor);
    EXPECT_EQ(triggers[2].kind, Trigger::Kind::Finding);
    EXPECT_EQ(triggers[3].kind, Trigger::Kind::Condition);
    EXPECT_EQ(triggers[4].kind, Trigger::Kind::Calendar);
}

}  // namespace
}  // namespace halfcell::core
