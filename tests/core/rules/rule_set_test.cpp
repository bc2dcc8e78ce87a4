#include "core/rules/rule_set.h"

#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

#include <fmt/format.h>

namespace halfcell::core::test {

namespace {
std::string overlay(const std::string& rest, const std::string& name = "ours")
{
    return "[rules]\nname = \"" + name + "\"\nversion = 2\nbase = \"shipped\"\n" + rest;
}
Error errorOf(const std::string& text)
{
    const auto parsed = RuleSet::parse(text);
    return parsed ? Error{.detail = "no error"} : parsed.error();
}
}  // namespace

TEST(RuleSet, ShippedDefaultsAreTheCommonOnes)
{
    const auto& rules = RuleSet::shipped();
    EXPECT_EQ(rules.id(), "default@1");
    const auto& p = rules.profile("default");
    // Common practice for process probes.
    EXPECT_EQ(p.efficiency_new_pct.value, 90);
    EXPECT_EQ(p.efficiency_maintenance_pct.value, 80);
    EXPECT_EQ(p.efficiency_use_pct.value, 70);
    EXPECT_EQ(p.efficiency_high_warn_pct.value, 103);
    EXPECT_EQ(p.efficiency_high_refuse_pct.value, 105);
    EXPECT_EQ(p.offset_maintenance_mv.value, 50);
    EXPECT_TRUE(std::isinf(p.offset_use_mv.value));
    EXPECT_EQ(p.t90_maintenance_s.value, 120);
    EXPECT_EQ(p.least_wait_s.value, 30);
    EXPECT_EQ(p.wait_per_t90.value, 2);
    EXPECT_EQ(p.orp_offset_maintenance_mv.value, 20);
    EXPECT_EQ(p.orp_offset_use_mv.value, 40);
    EXPECT_EQ(p.orp_span_maintenance_pct.value, 90);
    EXPECT_EQ(p.orp_span_use_pct.value, 80);
    EXPECT_EQ(p.orp_span_failure_pct.value, 40);
    EXPECT_EQ(p.efficiency_maintenance_pct.sourceClass, SourceClass::CommonPractice);
    // USGS TM 9-A6.4 (2021), 3.1 and 4.0.
    const auto& agency = rules.profile("agency");
    EXPECT_EQ(agency.efficiency_maintenance_pct.value, 95);
    EXPECT_EQ(agency.efficiency_high_refuse_pct.value, 101);
    EXPECT_EQ(agency.efficiency_use_pct.sourceClass, SourceClass::Standard);
    EXPECT_EQ(rules.profileNames(), (std::vector<std::string>{"default", "agency", "process"}));
    EXPECT_EQ(rules.signalOrder(), (std::vector{Signal::Failure, Signal::FunctionCheck, Signal::OutOfSpecification,
                                                Signal::MaintenanceRequired, Signal::Normal}));
    EXPECT_EQ(rules.openLifeDays("ph7.00"), 90);
    EXPECT_EQ(rules.openLifeDays("ph10.01"), 30);
    EXPECT_EQ(rules.openLifeDays("ph12.45"), 7);
    EXPECT_EQ(rules.openLifeDays("own-buffer"), 90);
    EXPECT_EQ(rules.number("labour_rate").value, 1);
    EXPECT_EQ(rules.number("consequence.interlock").value, 1000);
    EXPECT_EQ(rules.number("nothing of the kind").source, "not set");
}

TEST(RuleSet, BudgetDefaultsAreThoseOfTheCalculation)
{
    const BudgetDefaults& shipped = RuleSet::shipped().budget();
    const BudgetDefaults inCode;
    EXPECT_EQ(shipped.u_reading_mv, inCode.u_reading_mv);
    EXPECT_EQ(shipped.u_zero_mv, inCode.u_zero_mv);
    EXPECT_EQ(shipped.u_thermometer_guessed_k, inCode.u_thermometer_guessed_k);
    EXPECT_EQ(shipped.u_junction_pure_ph, inCode.u_junction_pure_ph);
}

TEST(RuleSet, NothingIsAssignedAsShippedAndAssignmentsGoModelClassSite)
{
    Model model;
    model.model = "K7";
    Point point;
    point.site = "Lantern Street Baths";
    point.loop_class = LoopClass::Permit;
    EXPECT_EQ(RuleSet::shipped().profileFor(&model, &point).name, "default");
    const auto text = overlay(
        "[[assign]]\nsite = \"Lantern Street Baths\"\nprofile = \"process\"\n[[assign]]\nloop_class = \"permit\"\nprofile = \"agency\"\n");
    const auto rules = RuleSet::parse(text);
    ASSERT_TRUE(rules) << rules.error().detail;
    EXPECT_EQ(rules->profileFor(&model, &point).name, "agency");
    point.loop_class = LoopClass::Control;
    EXPECT_EQ(rules->profileFor(&model, &point).name, "process");
    point.site = "Cinder Lane Plating Shop";
    EXPECT_EQ(rules->profileFor(&model, &point).name, "default");
    EXPECT_EQ(rules->profileFor(nullptr, nullptr).name, "default");
    const auto withModel = RuleSet::parse(text + "[[assign]]\nmodel = \"K7\"\nprofile = \"process\"\n");
    point.loop_class = LoopClass::Permit;
    EXPECT_EQ(withModel->profileFor(&model, &point).name, "process");
}

TEST(RuleSet, ProfilesChangeTheVerdict)
{
    Shop shop;
    Shop::state(shop.visit(0), Phase::AsLeft, {.efficiency = 90});
    EXPECT_EQ(shop.assess().signal, Signal::Normal);
    EXPECT_EQ(shop.assess().profile, "default");
    const auto process = RuleSet::parse(overlay("[[assign]]\nloop_class = \"control\"\nprofile = \"process\"\n"));
    const auto agency = RuleSet::parse(overlay("[[assign]]\nmodel = \"K7\"\nprofile = \"agency\"\n"));
    EXPECT_EQ(shop.assess(1000, *process).signal, Signal::MaintenanceRequired);
    EXPECT_EQ(shop.assess(1000, *process).profile, "process");
    EXPECT_EQ(shop.assess(1000, *agency).signal, Signal::OutOfSpecification) << "outside 95 to 101 %: do not use (USGS A6.4)";
}

TEST(RuleSet, TextIsTheWholeSetAndReadsBack)
{
    const auto rules = RuleSet::parse(overlay("[profile.default]\nefficiency_maintenance_pct = { value = 85, source = \"site rule\" }\n"));
    ASSERT_TRUE(rules) << rules.error().detail;
    EXPECT_EQ(rules->id(), "ours@2");
    EXPECT_EQ(rules->profile("default").efficiency_maintenance_pct.value, 85);
    EXPECT_EQ(rules->profile("default").efficiency_use_pct.value, 70) << "what is not said is taken from the shipped set";
    EXPECT_EQ(rules->text().find("base ="), std::string::npos);
    const auto again = RuleSet::parse(rules->text());
    ASSERT_TRUE(again) << again.error().detail;
    EXPECT_EQ(again->text(), rules->text());
    EXPECT_EQ(again->profile("default").efficiency_maintenance_pct.value, 85);
    const auto shipped = RuleSet::parse(RuleSet::shipped().text());
    ASSERT_TRUE(shipped);
    EXPECT_EQ(shipped->text(), RuleSet::shipped().text());
}

TEST(RuleSet, BadTextIsNamedByLine)
{
    const auto e = errorOf("[rules]\nname = \"x\"\nversion = \n");
    EXPECT_EQ(e.code, Errc::BadInput);
    EXPECT_EQ(e.line, 3u);
    EXPECT_FALSE(e.remedy.empty());
    EXPECT_NE(errorOf("name = 1").detail, "no error");
    EXPECT_FALSE(errorOf("").remedy.empty());
    EXPECT_EQ(errorOf("[rules]\nname = \"x\"\nversion = 1\n").field, "signals") << "a set without base must be whole";
}

struct BadCase {
    const char* what;
    const char* text;
    const char* field;
    std::size_t line;
    const char* detail;
};

class BadRules : public testing::TestWithParam<BadCase> {};

TEST_P(BadRules, NamesLineFieldAndRemedy)
{
    const auto e = errorOf(overlay(GetParam().text));
    EXPECT_EQ(e.code, Errc::BadInput);
    EXPECT_EQ(e.field, GetParam().field) << e.detail;
    EXPECT_EQ(e.line.value_or(0), GetParam().line);
    EXPECT_NE(e.detail.find(GetParam().detail), std::string::npos) << e.detail;
    EXPECT_FALSE(e.remedy.empty());
}

INSTANTIATE_TEST_SUITE_P(
    RuleSet, BadRules,
    testing::Values(
        BadCase{"use_above_maintenance", "[profile.default]\nefficiency_use_pct = { value = 85, source = \"x\" }\n",
                "profile.default.efficiency_use_pct", 6, "use (85) must lie below maintenance (80)"},
        BadCase{"maintenance_below_use", "[profile.default]\nefficiency_maintenance_pct = { value = 60, source = \"x\" }\n",
                "profile.default.efficiency_maintenance_pct", 6, "use (70) must lie below maintenance (60)"},
        BadCase{"misspelt_limit", "[profile.default]\nefficency_use_pct = { value = 65, source = \"x\" }\n",
                "profile.default.efficency_use_pct", 6, "no limit"},
        BadCase{"limit_as_text", "[profile.default]\nefficiency_use_pct = { value = \"65 %\", source = \"x\" }\n",
                "profile.default.efficiency_use_pct.value", 6, "a number is expected"},
        BadCase{"limit_without_source", "[profile.default]\nefficiency_use_pct = { value = 65 }\n",
                "profile.default.efficiency_use_pct.source", 6, "missing"},
        BadCase{"impossible_value", "[profile.default]\nefficiency_use_pct = { value = -5, source = \"x\" }\n",
                "profile.default.efficiency_use_pct", 6, "outside"},
        BadCase{"no_class", "[profile.default]\nefficiency_use_pct = { value = 65, source = \"x\", class = \"rumour\" }\n",
                "profile.default.efficiency_use_pct.class", 6, "rumour"},
        BadCase{"bridge_longer_than_a_year", "[intervals.cooling]\nreplace_bridge = { days = 400, design = \"differential_bridge\" }\n",
                "intervals.cooling.replace_bridge.days", 6, "at least yearly"},
        BadCase{"unknown_task", "[intervals.cooling]\nadmire = { days = 4 }\n", "intervals.cooling.admire", 6,
                "not one of the allowed words"},
        BadCase{"unknown_profile", "[[assign]]\nsite = \"Upper Wexmoor Waterworks\"\nprofile = \"strict\"\n", "assign[0].profile", 7,
                "no profile"},
        BadCase{"two_of_a_kind", "[[assign]]\nsite = \"a\"\nmodel = \"b\"\nprofile = \"default\"\n", "assign[0]", 5, "names one of"},
        BadCase{"unknown_table", "[limits]\nuse = 70\n", "limits", 5, "not known here"},
        BadCase{"signal_order", "[signals]\norder = [\"failure\", \"failure\"]\n", "signals.order", 6, "must stand in the order once"},
        BadCase{"letter_taken", "[[action]]\nkey = \"clean_acid\"\nletter = \"D\"\n", "action.clean_acid.letter", 7, "taken by"},
        BadCase{"caution_unknown", "[[action]]\nkey = \"clean_acid\"\ncautions = [\"acid\", \"beware\"]\n", "action.clean_acid.cautions", 7,
                "beware"}),
    [](const auto& i) { return std::string(i.param.what); });

TEST(RuleSet, IntervalsFollowApplicationAndDesign)
{
    const auto& rules = RuleSet::shipped();
    Model gel, differential, refillable, orp;
    gel.reference = ReferenceDesign::DoubleGel;
    gel.sensing = differential.sensing = refillable.sensing = Sensing::Bulb;
    differential.reference = ReferenceDesign::DifferentialBridge;
    refillable.reference = ReferenceDesign::LiquidRefillable;
    orp.kind = SensorKind::Orp;
    orp.reference = ReferenceDesign::DoubleRefillable;
    orp.sensing = Sensing::Platinum;
    const char* applications[] = {"drinking_water", "wastewater", "caustic",   "cooling",  "pure_water",   "bleach", "food",
                                  "pool",           "plating",    "flotation", "scrubber", "brewing hall", "*"};
    for (const auto* application : applications) {
        const auto bridge = rules.taskRule(TaskKind::ReplaceBridge, application, &differential);
        ASSERT_TRUE(bridge) << application;
        EXPECT_LE(bridge->interval_days, 365) << "at least yearly (common practice)";
        const auto refill = rules.taskRule(TaskKind::RefillReference, application, &differential);
        ASSERT_TRUE(refill) << application;
        EXPECT_LT(refill->interval_days, bridge->interval_days) << "not at every refill (common practice)";
        EXPECT_FALSE(rules.taskRule(TaskKind::ReplaceBridge, application, &gel)) << application;
        EXPECT_FALSE(rules.taskRule(TaskKind::RefillReference, application, &gel)) << application;
        EXPECT_FALSE(rules.taskRule(TaskKind::ReplaceBridge, application, &refillable)) << application;
        EXPECT_TRUE(rules.taskRule(TaskKind::RefillReference, application, &refillable)) << application;
        EXPECT_FALSE(rules.taskRule(TaskKind::Calibrate, application, &orp)) << "ORP is checked, not adjusted";
        EXPECT_TRUE(rules.taskRule(TaskKind::Check, application, &orp)) << application;
        for (const auto task : {TaskKind::Verify, TaskKind::Clean, TaskKind::Check, TaskKind::Calibrate, TaskKind::Service,
                                TaskKind::StorageSolution, TaskKind::ShelfCheck, TaskKind::Equipment}) {
            const auto rule = rules.taskRule(task, application, &gel);
            ASSERT_TRUE(rule) << application << ' ' << keyOf(task);
            EXPECT_FALSE(rule->source.empty());
        }
        EXPECT_GT(rules.lifeMonths(application).usual, 0);
    }
    EXPECT_EQ(rules.taskRule(TaskKind::Clean, "wastewater", &gel)->interval_days, 14);
    EXPECT_EQ(rules.taskRule(TaskKind::Clean, "wastewater", &orp)->interval_days, 7);
    EXPECT_EQ(rules.taskRule(TaskKind::StorageSolution, "wastewater", &gel)->interval_days, 90);
}

}  // namespace halfcell::core::test
