#include "tests/app/register/register_fixture.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace halfcell::app {
namespace {

using namespace Qt::Literals::StringLiterals;
using test::RegisterFixture;
using test::rowOf;

TEST(RegisterRow, FirstSeenIsBySignalThenTag)
{
    std::vector<std::string> order;
    const auto rows = RegisterFixture().rows();
    for (const RegisterRow& row : *rows)
        order.push_back(row.key.toStdString());
    EXPECT_THAT(order, ::testing::ElementsAre("K7-0388", "K7-0297", "M2-0118", "K7-0431", "K7-0466", "K7-0100", "K7-0470", "K7-0420",
                                              "K7-0421", "K7-0412"));
}

TEST(RegisterRow, ExpectedLossGoesBeforeTheTag)
{
    RegisterFixture fixture;
    fixture.outline.loss["K7-0431"] = 40.0;
    const auto rows = fixture.rows();
    EXPECT_EQ((*rows)[2].key, u"K7-0431"_s);
    EXPECT_EQ((*rows)[3].key, u"M2-0118"_s);
}

TEST(RegisterRow, TheGuiltyNumberIsTheOnlyHeavyOne)
{
    const auto rows = RegisterFixture().rows();
    const RegisterRow& worn = rowOf(*rows, u"K7-0297"_s);
    EXPECT_TRUE(worn.efficiency.guilty);
    EXPECT_FALSE(worn.offset.guilty);
    EXPECT_FALSE(worn.t90.guilty);
    const RegisterRow& shifted = rowOf(*rows, u"M2-0118"_s);
    EXPECT_FALSE(shifted.efficiency.guilty);
    EXPECT_TRUE(shifted.offset.guilty);
    for (const RegisterRow& row : *rows)
        if (row.condition == core::Signal::Normal) {
            EXPECT_FALSE(row.efficiency.guilty || row.offset.guilty || row.t90.guilty) << row.key.toStdString();
        }
}

TEST(RegisterRow, ReadsAsASentence)
{
    const auto rows = RegisterFixture().rows();
    EXPECT_EQ(rowOf(*rows, u"K7-0297"_s).spoken,
              u"AE-3109, K7-0297, pH, out of specification because efficiency 68.9 percent, replace, due 3 March"_s);
    EXPECT_EQ(rowOf(*rows, u"K7-0431"_s).spoken,
              u"AE-3111, K7-0431, pH, maintenance required because efficiency 78.2 percent, clean, overdue by 4 days"_s);
    EXPECT_EQ(rowOf(*rows, u"K7-0388"_s).spoken,
              u"AE-3203, K7-0388, ORP, failure because offset minus 212.0 millivolts, check wiring, due now"_s);
}

TEST(RegisterRow, UnknownIsAReasonNeverZero)
{
    const auto rows = RegisterFixture().rows();
    const RegisterRow& cold = rowOf(*rows, u"K7-0466"_s);
    EXPECT_FALSE(cold.efficiency.value.has_value());
    EXPECT_EQ(screenText(cold.efficiency), u"no temperature"_s);
    EXPECT_FALSE(cold.rule.has_value());
}

TEST(RegisterRow, AnOrpSensorShowsItsSpanAndNoRule)
{
    const auto rows = RegisterFixture().rows();
    const RegisterRow& orp = rowOf(*rows, u"K7-0388"_s);
    EXPECT_EQ(screenText(orp.efficiency), u"span 31 %"_s);
    EXPECT_FALSE(orp.rule.has_value());
    EXPECT_EQ(screenText(orp.offset), u"−212.0 ±3.4 mV"_s);
}

TEST(RegisterRow, TheRuleHasTheLimitsOfItsOwnProfile)
{
    const auto rows = RegisterFixture().rows();
    const auto& rule = rowOf(*rows, u"K7-0412"_s).rule;
    ASSERT_TRUE(rule.has_value());
    const core::LimitProfile& limits = core::RuleSet::shipped().profile("default");
    EXPECT_EQ(rule->use, limits.efficiency_use_pct.value);
    EXPECT_EQ(rule->maintenance, limits.efficiency_maintenance_pct.value);
}

TEST(RegisterRow, ADraftOrAHeldLoopShowsAsFunctionCheck)
{
    RegisterFixture fixture;
    {
        auto& row = fixture.drafts.emplace_back();
        row.id = "d1";
        row.serial = "K7-0412";
        row.tag = "AE-3107";
    }
    {
        auto& row = fixture.reference.holds.emplace_back();
        row.point = "AE-3102";
        row.from = test::registerNow();
    }
    const auto rows = fixture.rows();
    EXPECT_EQ(rowOf(*rows, u"K7-0412"_s).condition, core::Signal::FunctionCheck);
    EXPECT_EQ(rowOf(*rows, u"K7-0412"_s).need, Need::Now);
    EXPECT_EQ(rowOf(*rows, u"K7-0421"_s).condition, core::Signal::FunctionCheck);
    // A failure stays what it is: the rule set's order puts it first.
    {
        auto& row = fixture.drafts.emplace_back();
        row.id = "d2";
        row.serial = "K7-0388";
        row.tag = "AE-3203";
    }
    EXPECT_EQ(rowOf(*fixture.rows(), u"K7-0388"_s).condition, core::Signal::Failure);
    // Set aside, it waits on the Bench and nobody is on the sensor.
    fixture.drafts.clear();
    {
        auto& row = fixture.drafts.emplace_back();
        row.id = "d1";
        row.serial = "K7-0412";
        row.tag = "AE-3107";
        row.setAside = true;
    }
    EXPECT_EQ(rowOf(*fixture.rows(), u"K7-0412"_s).condition, core::Signal::Normal);
}

TEST(RegisterRow, AnEmptyPointIsARowOfItsOwnWithASpareThatFits)
{
    RegisterFixture fixture;
    {
        auto& row = fixture.reference.points.emplace_back();
        row.tag = "AE-3110";
        row.site = "Cinder Lane Plating Shop";
        row.area = "Neutralisation";
    }
    {
        auto& row = fixture.reference.sensors.emplace_back();
        row.serial = "K7-0001";
        row.model = "general";
    }
    {
        auto& row = fixture.reference.placements.emplace_back();
        row.serial = "K7-0001";
        row.place = "AE-3110";
        row.from = *core::parseInstant("2025-01-01");
        row.to = *core::parseInstant("2026-02-26T12:00:00Z");
        row.reason_removed = core::RemovalReason::Broken;
    }
    const RegisterRow& row = rowOf(*fixture.rows(), u"empty/AE-3110"_s);
    EXPECT_EQ(row.kind, RowKind::EmptyPoint);
    EXPECT_EQ(row.note, u"no sensor in place since 26 Feb (broken). Ready spare that fits: K7-0470"_s);
    // A spare to be tested first is none that is ready.
    fixture.outline.testBeforeUse.insert("K7-0470");
    EXPECT_EQ(rowOf(*fixture.rows(), u"empty/AE-3110"_s).note, u"no sensor in place since 26 Feb (broken). No ready spare fits."_s);
}

TEST(RegisterRow, TwoSensorsAtOnePointAreARowOfTheirOwn)
{
    RegisterFixture fixture;
    fixture.latest.push_back(test::stateOf("K7-0999", "AE-3111", core::Signal::Normal));
    fixture.latest.back().placedSince = *core::parseInstant("2026-02-14T12:00:00Z");
    const RegisterRow& row = rowOf(*fixture.rows(), u"two/AE-3111"_s);
    EXPECT_EQ(row.note, u"K7-0431 and K7-0999 both say they are at AE-3111 since 14 Feb. Which one is there?"_s);
    EXPECT_EQ(row.need, Need::Now);
}

TEST(RegisterRow, ASpareToBeTestedNeedsWorkThisWeek)
{
    RegisterFixture fixture;
    EXPECT_EQ(rowOf(*fixture.rows(), u"K7-0470"_s).need, Need::TooLittle);
    fixture.outline.testBeforeUse.insert("K7-0470");
    fixture.outline.shelfWhy["K7-0470"] = "dry-capped 26 months";
    const RegisterRow& row = rowOf(*fixture.rows(), u"K7-0470"_s);
    EXPECT_EQ(row.need, Need::Week);
    EXPECT_EQ(row.sentence, u"Test before use: dry-capped 26 months."_s);
}

}  // namespace
}  // namespace halfcell::app
