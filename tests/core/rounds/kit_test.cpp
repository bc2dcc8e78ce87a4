#include "core/rounds/plan.h"

#include "tests/core/rounds/worked_week.h"
#include "tests/core/upkeep/small_shop.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace halfcell::core {
namespace {

using namespace shop;
using worked::kWeek;

double amountOf(const std::vector<KitLine>& kit, std::string_view item)
{
    double sum = 0.0;
    for (const KitLine& line : kit)
        if (line.item == item)
            sum += line.amount;
    return sum;
}

WeekPlan planOf(std::vector<Job> jobs, const std::vector<std::pair<std::string, std::int64_t>>& laid)
{
    WeekPlan plan;
    plan.week = kWeek;
    plan.jobs = std::move(jobs);
    for (const auto& [key, offset] : laid)
        plan.planned.push_back({key, mondayOf(kWeek) + offset, {"T1"}, 1});
    return plan;
}

TEST(Kit, VolumesOfTheWorkedExample)
{
    // J1 and J4 in two points (7, 4, 7), J2 and J7 checks (7, 4); {J2, J4} on one day, {J1, J7} on the next: 750 and 600 mL.
    auto jobs = worked::jobs();
    for (const std::size_t i : {0U, 3U})
        jobs[i].standards = {"ph7.00", "ph4.01", "ph7.00"};
    for (const std::size_t i : {1U, 6U})
        jobs[i].standards = {"ph7.00", "ph4.01"};
    const WeekPlan plan = planOf(jobs, {{"J2", 0}, {"J4", 0}, {"J1", 1}, {"J7", 1}});
    const auto kit = kitFor(plan, Shop{}.known("2026-03-01"), RuleSet::shipped());
    EXPECT_NEAR(amountOf(kit, "ph7.00"), 750.0, 1e-9);
    EXPECT_NEAR(amountOf(kit, "ph4.01"), 600.0, 1e-9);
    EXPECT_NEAR(amountOf(kit, "rinse water"), 1000.0, 1e-9);
    for (const KitLine& line : kit) {
        EXPECT_EQ(line.person, "T1");
        EXPECT_GT(line.amount, 0.0);
    }
}

TEST(Kit, TakesALotThatIsStillGoodOnTheDay)
{
    auto jobs = std::vector<Job>{worked::job("J1", "N", 20, 100)};
    jobs[0].standards = {"ph7.00"};
    const WeekPlan plan = planOf(jobs, {{"J1", 2}});  // Wednesday 4 March
    const auto lotOf = [&](const Shop& s) {
        const auto kit = kitFor(plan, s.known("2026-03-01"), RuleSet::shipped());
        return std::ranges::find(kit, "ph7.00", &KitLine::item)->lot;
    };
    Shop s;
    EXPECT_EQ(lotOf(s), "");
    s.addLot("expired", "ph7.00").expires = at("2026-03-03");
    s.addLot("open too long", "ph7.00").opened = at("2025-11-01");
    s.addLot("thrown away", "ph7.00").discarded = at("2026-02-01");
    s.addLot("not here yet", "ph7.00").received = at("2026-03-10");
    s.addLot("other", "ph4.01").opened = at("2026-02-01");
    EXPECT_EQ(lotOf(s), "");
    s.addLot("closed", "ph7.00").expires = at("2027-01-01");
    EXPECT_EQ(lotOf(s), "closed");
    s.addLot("opened late", "ph7.00").opened = at("2026-02-20");
    s.addLot("opened early", "ph7.00").opened = at("2026-01-10");
    EXPECT_EQ(lotOf(s), "opened early") << "open ones first, and of those the one to use up first";
    // Good to the last day.
    s.addLot("ends that day", "ph7.00").opened = at("2025-12-04");
    EXPECT_EQ(lotOf(s), "ends that day");
}

TEST(Kit, BringsWhatTheTasksNeed)
{
    Shop s;
    s.addModel("M2", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 600.0, "1 inch");
    s.addModel("R2", SensorKind::Ph, ReferenceDesign::LiquidRefillable, Sensing::Bulb, 300.0, "12 mm").reference_fill = "3M KCl";
    s.addPoint("A");
    s.addPoint("B");
    s.addPoint("C");
    s.addSensor("M2-1", "M2");
    s.addSensor("R2-1", "R2");
    s.addSensor("K7-1", "K7");
    auto jobs = std::vector<Job>{worked::job("A", "N", 20, 1), worked::job("B", "N", 20, 1), worked::job("C", "N", 20, 1)};
    jobs[0].serial = "M2-1";
    jobs[0].tasks = {TaskKind::ReplaceBridge};
    jobs[1].serial = "R2-1";
    jobs[1].tasks = {TaskKind::RefillReference, TaskKind::Clean};
    jobs[2].serial = "K7-1";
    jobs[2].tasks = {TaskKind::Replace};
    const auto kit = kitFor(planOf(jobs, {{"A", 0}, {"B", 0}, {"C", 0}}), s.known("2026-03-01"), RuleSet::shipped());
    EXPECT_EQ(amountOf(kit, "salt bridge"), 1.0);
    EXPECT_EQ(amountOf(kit, "cell solution"), 30.0);
    EXPECT_EQ(amountOf(kit, "electrolyte 3M KCl"), 10.0);
    EXPECT_EQ(amountOf(kit, "cleaner"), 50.0);
    EXPECT_EQ(amountOf(kit, "spare 12 mm"), 2.0) << "one for sure, a little for the refill, rounded up";
    EXPECT_EQ(amountOf(kit, "O-ring"), 2.0);
    EXPECT_EQ(amountOf(kit, "rinse water"), 750.0);
}

TEST(Kit, OfAnEmptyPlanIsEmpty)
{
    EXPECT_TRUE(kitFor(WeekPlan{}, Shop{}.known("2026-03-01"), RuleSet::shipped()).empty());
}

}  // namespace
}  // namespace halfcell::core
