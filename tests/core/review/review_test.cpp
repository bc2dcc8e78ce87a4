#include "core/review/review.h"

#include "tests/core/review/small_fleet.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core {
namespace {

using namespace shop;

TEST(Review, OfAnEmptyShop)
{
    const Review review = Fleet(Shop{}).review(1000.0);
    EXPECT_TRUE(review.cases.empty());
    EXPECT_TRUE(review.spares.empty());
    EXPECT_EQ(review.asked, 0.0);
    EXPECT_EQ(review.fleet.asFoundJudged, 0);
}

TEST(Review, AHealthySensorRunsOn)
{
    Shop s;
    add(s, "K7-1", "AE-1", {98, 98, 97.8, 98.1, 98});
    const Review review = Fleet(s).review();
    const ReviewCase& c = caseOf(review, "K7-1");
    EXPECT_EQ(c.recommended, OptionKind::Run);
    EXPECT_FALSE(c.closeCall);
    EXPECT_FALSE(c.terminal);
    EXPECT_TRUE(c.abstained.empty());
    EXPECT_EQ(c.why, "98.0 %, steady");
    ASSERT_EQ(c.options.size(), 3U) << "no other model fits";
    EXPECT_GT(option(c, OptionKind::Run)->probability_best, 0.9);
    EXPECT_EQ(option(c, OptionKind::Run)->price, 0.0);
    EXPECT_EQ(option(c, OptionKind::Same)->price, 250.0);
    EXPECT_EQ(option(c, OptionKind::Same)->design, "K7");
    EXPECT_EQ(review.asked, 0.0);
    EXPECT_FALSE(c.working.empty());
    EXPECT_FALSE(c.sentence.empty());
}

TEST(Review, AWornSensorIsReplaced)
{
    Shop s;
    add(s, "K7-1", "AE-1", {92, 89, 86, 83, 80, 77});
    const Review review = Fleet(s).review();
    const ReviewCase& c = caseOf(review, "K7-1");
    ASSERT_TRUE(c.recommended) << c.sentence;
    EXPECT_EQ(*c.recommended, OptionKind::Same);
    EXPECT_GT(review.saving, 0.0);
    EXPECT_EQ(review.asked, 250.0);
    EXPECT_LT(*option(c, OptionKind::Same)->cost_per_month, *option(c, OptionKind::Run)->cost_per_month);
    ASSERT_TRUE(c.break_even_price);
    EXPECT_GT(*c.break_even_price, 250.0);
}

TEST(Review, ChancesSumToOneAndTheBandHoldsTheMean)
{
    Shop s;
    add(s, "K7-1", "AE-1", {96, 95, 93, 91, 89});
    s.addModel("L5", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 330.0, "12 mm");
    const Review review = Fleet(s).review();
    const ReviewCase& c = caseOf(review, "K7-1");
    ASSERT_EQ(c.options.size(), 4U);
    double sum = 0.0;
    for (const ReviewOption& o : c.options) {
        sum += o.probability_best;
        ASSERT_TRUE(o.cost_per_month && o.ci_low && o.ci_high);
        EXPECT_LE(*o.ci_low, *o.cost_per_month + 1e-9);
        EXPECT_GE(*o.ci_high, *o.cost_per_month - 1e-9);
    }
    EXPECT_NEAR(sum, 1.0, 1e-9);
    EXPECT_EQ(option(c, OptionKind::Change)->design, "L5");
    EXPECT_EQ(option(c, OptionKind::Change)->price, 330.0);
}

TEST(Review, ChangeTakesAModelThatFitsInKindAndInterchange)
{
    Shop s;
    add(s, "K7-1", "AE-1", {96, 95, 94, 93});
    s.addModel("R9", SensorKind::Orp, ReferenceDesign::DoubleGel, Sensing::Platinum, 100.0, "12 mm");
    s.addModel("M2", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 100.0, "1 inch");
    EXPECT_FALSE(option(caseOf(Fleet(s).review(), "K7-1"), OptionKind::Change));
    s.addModel("X dear", SensorKind::Ph, ReferenceDesign::SingleGel, Sensing::Bulb, 900.0, "12 mm");
    s.addModel("X good", SensorKind::Ph, ReferenceDesign::DoubleRefillable, Sensing::Bulb, 300.0, "12 mm");
    const Review review = Fleet(s).review();
    EXPECT_EQ(option(caseOf(review, "K7-1"), OptionKind::Change)->design, "X good");
}

TEST(Review, ChangeStaysWithWhatThePointCanBear)
{
    Shop s;
    add(s, "K7-1", "AE-1", {96, 95, 94, 93});
    s.addModel("A3", SensorKind::Ph, ReferenceDesign::DoubleRefillable, Sensing::Antimony, 50.0, "12 mm");
    s.addModel("F8", SensorKind::Ph, ReferenceDesign::DoubleGel, Sensing::HfResistant, 60.0, "12 mm");
    s.addModel("S3", SensorKind::Ph, ReferenceDesign::DoubleRefillable, Sensing::Isfet, 70.0, "12 mm");
    EXPECT_FALSE(option(caseOf(Fleet(s).review(), "K7-1"), OptionKind::Change));
    s.addModel("K7 hard", SensorKind::Ph, ReferenceDesign::DoubleGel, Sensing::Hardened, 900.0, "12 mm");
    EXPECT_EQ(option(caseOf(Fleet(s).review(), "K7-1"), OptionKind::Change)->design, "K7 hard");
    s.records.points[0].hazards = {"fluoride"};
    const Review review = Fleet(s).review();
    const std::string design = option(caseOf(review, "K7-1"), OptionKind::Change)->design;
    EXPECT_TRUE(design == "F8" || design == "A3") << design;
}

TEST(Review, AReversibleFaultIsServicedNotReplaced)
{
    Shop s;
    s.addModel("M2", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 720.0, "dip tube");
    add(s, "M2-1", "AE-1", {97, 97, 97, 97}, "M2");
    Fleet fleet(s);
    Assessment& a = fleet.assessments[0];
    a.signal = Signal::MaintenanceRequired;
    a.figures->t90_s = 180.0;  // out of limits by response alone
    a.verdict = Verdict::ReplaceBridge;
    Finding finding;
    finding.code = FindingCode::BridgeExhausted;
    finding.title = "Used-up bridge";
    a.findings.push_back(finding);
    const Review review = fleet.review();
    const ReviewCase& c = caseOf(review, "M2-1");
    EXPECT_EQ(c.recommended, OptionKind::Service) << c.sentence;
    EXPECT_LT(*option(c, OptionKind::Service)->cost_per_month, *option(c, OptionKind::Same)->cost_per_month);
    EXPECT_TRUE(std::ranges::any_of(c.assumptions, [](const Assumption& x) { return x.value == 0.95 && x.assumed; }));
    // A verdict that doubts the reading gives no advice on money.
    a.verdict = Verdict::CheckStandards;
    const Review doubt = fleet.review();
    EXPECT_FALSE(caseOf(doubt, "M2-1").recommended);
    EXPECT_NE(caseOf(doubt, "M2-1").abstained.find("fresh standards"), std::string::npos);
}

TEST(Review, ATerminalRuleGoesFirstAndCostIsNotAsked)
{
    Shop s;
    add(s, "K7-1", "AE-1", {98, 98, 98, 98});
    add(s, "K7-2", "AE-2", {92, 89, 86, 83, 80});
    Fleet fleet(s);
    fleet.assessments[0].verdict = Verdict::Replace;
    fleet.assessments[0].signal = Signal::Failure;
    Finding finding;
    finding.title = "Same millivolts in all standards after the wiring check";
    fleet.assessments[0].findings.push_back(finding);
    const Review review = fleet.review();
    EXPECT_EQ(review.cases.front().serial, "K7-1");
    const ReviewCase& c = review.cases.front();
    EXPECT_TRUE(c.terminal);
    EXPECT_EQ(c.recommended, OptionKind::Same);
    EXPECT_EQ(c.sentence, "Same millivolts in all standards after the wiring check: replace it; cost is not asked.");
    EXPECT_FALSE(option(c, OptionKind::Run));
    EXPECT_FALSE(option(c, OptionKind::Service));
    EXPECT_FALSE(option(c, OptionKind::Same)->cost_per_month);
    // Must-do items come before everything else under a budget.
    const Review tight = fleet.review(260.0);
    EXPECT_EQ(tight.withinBudget, (std::vector<std::string>{"K7-1"}));
}

TEST(Review, WithoutAWiringCheckThereIsNoAdvice)
{
    Shop s;
    add(s, "K7-1", "AE-1", {98, 98, 98, 98});
    Fleet fleet(s);
    fleet.assessments[0].verdict = Verdict::CheckWiring;
    fleet.assessments[0].signal = Signal::Failure;
    const Review review = fleet.review();
    const ReviewCase& c = caseOf(review, "K7-1");
    EXPECT_FALSE(c.recommended);
    EXPECT_NE(c.abstained.find("wiring"), std::string::npos);
}

TEST(Review, ThinDataIsSaidAndTheDefaultAnswerShown)
{
    Shop s;
    add(s, "K7-1", "AE-1", {96, 91});
    const Review review = Fleet(s).review();
    const ReviewCase& c = caseOf(review, "K7-1");
    EXPECT_FALSE(c.recommended);
    EXPECT_EQ(c.abstained, "not enough yet: 2 clean efficiencies as left (3 needed) and 0 ended lives of this design and application (5 needed)");
    EXPECT_FALSE(c.options.empty());
    EXPECT_TRUE(option(c, OptionKind::Run)->cost_per_month);
    // Five ended lives of its kind are enough.
    for (int i = 0; i < 5; ++i) {
        const std::string serial = "old-" + std::to_string(i);
        s.addSensor(serial);
        s.place(serial, "AE-1", "2023-01-01", "2024-0" + std::to_string(i + 1) + "-01").reason_removed = RemovalReason::Slope;
    }
    EXPECT_TRUE(caseOf(Fleet(s).review(), "K7-1").recommended);
}

TEST(Review, ANeverMeasuredSensorAbstains)
{
    Shop s;
    s.addPoint("AE-1");
    s.addSensor("K7-1");
    s.place("K7-1", "AE-1", "2026-01-01");
    const Review review = Fleet(s).review();
    EXPECT_EQ(caseOf(review, "K7-1").abstained, "never measured");
    EXPECT_FALSE(caseOf(review, "K7-1").recommended);
}

TEST(Review, WithoutAPriceBreakEvenOnly)
{
    Shop s;
    s.records.models[0].price.reset();
    add(s, "K7-1", "AE-1", {92, 89, 86, 83, 80, 77});
    const Review review = Fleet(s).review();
    const ReviewCase& c = caseOf(review, "K7-1");
    EXPECT_FALSE(c.recommended);
    ASSERT_TRUE(c.break_even_price);
    EXPECT_FALSE(option(c, OptionKind::Same)->cost_per_month);
    EXPECT_TRUE(c.sentence.starts_with("Break-even only: a new one pays below ")) << c.sentence;
    EXPECT_TRUE(std::ranges::any_of(c.assumptions, [](const Assumption& a) { return a.what == "price of K7" && a.assumed; }));
    // The price paid for this very sensor is a price.
    s.records.sensors[0].price = 240.0;
    EXPECT_TRUE(caseOf(Fleet(s).review(), "K7-1").recommended);
}

TEST(Review, BreakEvenIsThePriceAtWhichBuyingTies)
{
    Shop s;
    add(s, "K7-1", "AE-1", {96, 95, 93, 91, 89});
    s.addModel("L5", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 330.0, "12 mm");
    const Review review = Fleet(s).review();
    const ReviewCase& c = caseOf(review, "K7-1");
    ASSERT_TRUE(c.break_even_price);
    const double cheapest = std::min(*option(c, OptionKind::Run)->cost_per_month, *option(c, OptionKind::Service)->cost_per_month);
    const ReviewOption* bought = *option(c, OptionKind::Same)->cost_per_month < *option(c, OptionKind::Change)->cost_per_month
                                     ? option(c, OptionKind::Same)
                                     : option(c, OptionKind::Change);
    // A unit of price is a unit of Q, spread over the annuity of twelve months.
    const double annuity = (1.0 - std::pow(0.995, 12)) / 0.005;
    EXPECT_NEAR(*bought->cost_per_month + (*c.break_even_price - bought->price) / annuity, cheapest, 1e-9);
}

TEST(Review, APermitSensorThatIsOutMayNotRunOn)
{
    Shop s;
    add(s, "K7-1", "AE-1", {84, 82, 80, 78});
    s.records.points[0].loop_class = LoopClass::Permit;
    EXPECT_FALSE(option(caseOf(Fleet(s).review(), "K7-1"), OptionKind::Run));
    s.records.points[0].loop_class = LoopClass::Indication;
    EXPECT_TRUE(option(caseOf(Fleet(s).review(), "K7-1"), OptionKind::Run));
}

TEST(Review, ACloseCallPrefersWhatCanBeUndone)
{
    Shop s;
    s.addModel("L5", SensorKind::Ph, ReferenceDesign::DifferentialBridge, Sensing::Bulb, 330.0, "12 mm");
    int i = 0;
    for (double e = 93.0; e >= 84.0; e -= 0.5, ++i)
        add(s, "K7-" + std::to_string(10 + i), "AE-" + std::to_string(10 + i), {e + 0.9, e + 0.6, e + 0.3, e});
    const Review review = Fleet(s).review();
    bool seen = false;
    for (const ReviewCase& c : review.cases) {
        if (!c.closeCall)
            continue;
        seen = true;
        double best = 0.0;
        OptionKind cheapest = OptionKind::Run;
        double cost = 1e300;
        for (const ReviewOption& o : c.options)
            if (*o.cost_per_month < cost) {
                cost = *o.cost_per_month;
                cheapest = o.option;
                best = o.probability_best;
            }
        EXPECT_LT(best, 0.60);
        EXPECT_LE(static_cast<int>(*c.recommended), static_cast<int>(cheapest));
    }
    EXPECT_TRUE(seen) << "somewhere between run on and replace there is a close call";
}

TEST(Review, RanksBySavingAndMoreConsequenceNeverSavesLess)
{
    Shop s;
    add(s, "K7-1", "AE-1", {92, 89, 86, 83, 80, 77});
    add(s, "K7-2", "AE-2", {92, 89, 86, 83, 80, 77});
    add(s, "K7-3", "AE-3", {98, 98, 98, 98});
    s.records.points[1].consequence_per_week = 400.0;
    const Review review = Fleet(s).review();
    ASSERT_EQ(review.cases.size(), 3U);
    EXPECT_EQ(review.cases[0].serial, "K7-2");
    EXPECT_EQ(review.cases[1].serial, "K7-1");
    EXPECT_EQ(review.cases[2].serial, "K7-3");
}

TEST(Review, UnderABudgetNeverAsksForMore)
{
    Shop s;
    for (int i = 0; i < 6; ++i)
        add(s, "K7-" + std::to_string(i), "AE-" + std::to_string(i), {92, 89, 86, 83, 80.0 - i, 77.0 - i});
    double before = 0.0;
    for (const double budget : {0.0, 100.0, 260.0, 700.0, 2000.0}) {
        const Review review = Fleet(s).review(budget);
        EXPECT_LE(review.asked, budget);
        EXPECT_LE(review.saving, review.savingBound + 1e-9);
        EXPECT_GE(review.saving, before);
        before = review.saving;
        EXPECT_EQ(review.budget, budget);
    }
}

TEST(Review, AssumptionsNameTheirSourceAndTheRecordGoesBeforeTheDefault)
{
    Shop s;
    add(s, "K7-1", "AE-1", {98, 98, 98, 98});
    const auto consequence = [](const Review& r) {
        return *std::ranges::find_if(r.cases[0].assumptions, [](const Assumption& a) { return a.what.starts_with("consequence"); });
    };
    const Assumption assumed = consequence(Fleet(s).review());
    EXPECT_TRUE(assumed.assumed);
    EXPECT_EQ(assumed.value, 50.0);
    s.records.points[0].consequence_per_week = 80.0;
    const Assumption recorded = consequence(Fleet(s).review());
    EXPECT_FALSE(recorded.assumed);
    EXPECT_EQ(recorded.value, 80.0);
    const Review again = Fleet(s).review();
    for (const Assumption& a : again.cases[0].assumptions)
        EXPECT_FALSE(a.source.empty()) << a.what;
}

TEST(Review, OrpIsJudgedByOffset)
{
    Shop s;
    s.addModel("R9", SensorKind::Orp, ReferenceDesign::DoubleGel, Sensing::Platinum, 300.0, "12 mm");
    add(s, "R9-1", "AE-1", {100, 100, 100, 100}, "R9");
    Fleet fleet(s);
    for (auto& visit : fleet.figures[0])
        for (PhaseFigures& f : visit.phases) {
            f.kind = SensorKind::Orp;
            f.efficiency_pct.reset();
        }
    fleet.assessments[0].kind = SensorKind::Orp;
    fleet.assessments[0].figures->kind = SensorKind::Orp;
    fleet.assessments[0].figures->efficiency_pct.reset();
    fleet.assessments[0].figures->offset_mv = 3.0;
    EXPECT_EQ(caseOf(fleet.review(), "R9-1").recommended, OptionKind::Run);
    fleet.assessments[0].figures->offset_mv = 70.0;
    fleet.assessments[0].signal = Signal::OutOfSpecification;
    const Review out = fleet.review();
    EXPECT_NE(caseOf(out, "R9-1").recommended, OptionKind::Run);
    EXPECT_EQ(caseOf(out, "R9-1").why.substr(0, 15), "offset +70.0 mV");
}

}  // namespace
}  // namespace halfcell::core
