#include "core/rules/rule_set.h"

#include "tests/core/rules/shop.h"

#include <gtest/gtest.h>

#include <map>

/// What the designs forbid, and the cautions. The table below is common practice (known from memory), written out here apart from the
/// rule data: Y yes, L limited, N no, . says nothing (the other half decides).
namespace halfcell::core::test {

namespace {

using Offer = DesignAllows::Offer;

// Columns: acid, detergent, alcohol, enzyme, thiourea, hypochlorite, clear junction, scrape, rehydrate, refill, bridge, regenerate, polish,
// Rg, Rref.
constexpr ActionKey kColumns[] = {
    ActionKey::CleanAcid,         ActionKey::CleanDetergent,  ActionKey::CleanAlcohol,   ActionKey::CleanEnzyme, ActionKey::CleanThiourea,
    ActionKey::CleanHypochlorite, ActionKey::ClearJunction,   ActionKey::ScrapeJunction, ActionKey::Rehydrate,   ActionKey::RefillReference,
    ActionKey::ReplaceBridge,     ActionKey::RegenerateGlass, ActionKey::PolishMetal};
const std::map<ReferenceDesign, std::string> kReference{
    {ReferenceDesign::SingleGel, "YYYYLLLNYNNL. Y"},          {ReferenceDesign::DoubleGel, "YYYYYLLNYNNL. Y"},
    {ReferenceDesign::DoubleRefillable, "YYYYYLYLYYNY. Y"},   {ReferenceDesign::LiquidRefillable, "YYYYYYYLYYNY. Y"},
    {ReferenceDesign::PolymerOpen, "YYLYNLNNYNNL. Y"},        {ReferenceDesign::LargeJunction, "YYYYLLLYYLLL. Y"},
    {ReferenceDesign::DifferentialBridge, "YYYYNLNNYYYL. L"},
};
const std::map<Sensing, std::string> kSensing{
    {Sensing::Bulb, "YYYY.Y..Y..YNY "},        {Sensing::Flat, "YYYY.Y..Y..LNY "},  {Sensing::Hardened, "YYYY.Y..Y..LNY "},
    {Sensing::HfResistant, "YYYY.Y..Y..NNY "}, {Sensing::Isfet, "LYYL.LNNN.NNNNY"}, {Sensing::Antimony, "LYYLNN.NN..NYNY"},
    {Sensing::Platinum, "YYYY.L..N..NYNY"},    {Sensing::Gold, "YYYY.N..N..NYNY"},
};

Offer both(char a, char b)
{
    if (a == 'N' || b == 'N')
        return Offer::No;
    return a == 'L' || b == 'L' ? Offer::Limited : Offer::Yes;
}

}  // namespace

TEST(Design, NothingForbiddenIsOfferedInAnyCombination)
{
    const auto& rules = RuleSet::shipped();
    int combinations = 0;
    for (const auto& [reference, r] : kReference)
        for (const auto& [sensing, s] : kSensing) {
            Model model;
            model.reference = reference;
            model.sensing = sensing;
            model.kind = isMetal(sensing) ? SensorKind::Orp : SensorKind::Ph;
            for (std::size_t i = 0; i < std::size(kColumns); ++i) {
                const auto allowed = rules.allows(model, kColumns[i]);
                EXPECT_EQ(allowed.offer, both(r[i], s[i])) << keyOf(reference) << ' ' << keyOf(sensing) << ' ' << keyOf(kColumns[i]);
                EXPECT_TRUE(allowed.offer == Offer::Yes || !allowed.why.empty()) << keyOf(reference) << ' ' << keyOf(kColumns[i]);
                ++combinations;
            }
            EXPECT_EQ(rules.allowsTest(model, "glass_resistance"), isGlass(sensing));
            EXPECT_TRUE(rules.allowsTest(model, "reference_resistance"));
            EXPECT_EQ(rules.allows(model, ActionKey::Adjust).offer == Offer::No, isMetal(sensing)) << "ORP is checked, not adjusted";
            EXPECT_EQ(rules.allows(model, ActionKey::Replace).offer, Offer::Yes);
        }
    EXPECT_EQ(combinations, 7 * 8 * 13);
}

TEST(Design, NoFindingOffersWhatTheDesignForbids)
{
    // Every design under every kind of trouble.
    for (const auto& [reference, r] : kReference)
        for (const auto& [sensing, s] : kSensing) {
            if (isMetal(sensing))
                continue;
            const State troubles[] = {{.efficiency = 60, .offset = -3, .t90 = 200, .wait = 450},
                                      {.efficiency = 75, .offset = 70},
                                      {.efficiency = 78, .offset = -62},
                                      {.efficiency = 3, .offset = 1}};
            for (const auto& trouble : troubles) {
                Shop shop;
                shop.model.reference = reference;
                shop.model.sensing = sensing;
                shop.point.hazards = {"cyanide"};
                shop.wellBefore(3);
                auto& v = shop.visit(100);
                Shop::state(v, Phase::AsFound, trouble);
                auto& k = Shop::check(v);
                k.reference_kohm = 300.0;
                k.dry_hours = 30.0;
                k.coating = 3.0;
                k.coating_kind = CoatingKind::Slime;
                const auto a = shop.assess();
                for (const auto& f : a.findings) {
                    EXPECT_TRUE(!f.action || RuleSet::shipped().allowsAt(shop.model, *f.action, &shop.point).offer != Offer::No)
                        << keyOf(reference) << ' ' << keyOf(sensing) << ' ' << keyOf(f.code);
                    EXPECT_TRUE(!f.next_test || RuleSet::shipped().allowsTest(shop.model, f.next_test->test));
                }
                for (const auto action : a.actionOrder)
                    EXPECT_NE(RuleSet::shipped().allowsAt(shop.model, action, &shop.point).offer, Offer::No) << keyOf(action);
                EXPECT_FALSE(offers(a, ActionKey::CleanHypochlorite)) << "never on cyanide duty";
            }
        }
}

TEST(Design, ForbiddenActionsSayWhy)
{
    Model model;
    model.reference = ReferenceDesign::DoubleGel;
    model.sensing = Sensing::Bulb;
    EXPECT_NE(RuleSet::shipped().allows(model, ActionKey::RefillReference).why.find("sealed"), std::string::npos);
    EXPECT_NE(RuleSet::shipped().allows(model, ActionKey::PolishMetal).why.find("glass"), std::string::npos);
    Model unknown;
    EXPECT_EQ(RuleSet::shipped().allows(unknown, ActionKey::RefillReference).offer, Offer::Limited);
}

TEST(Design, AdoptedRulesMayPermitOrpAdjustment)
{
    Model orp;
    orp.kind = SensorKind::Orp;
    orp.reference = ReferenceDesign::DoubleGel;
    orp.sensing = Sensing::Platinum;
    const auto rules = RuleSet::parse("[rules]\nname = \"ours\"\nversion = 1\nbase = \"shipped\"\n[permissions]\norp_adjustment = true\n");
    ASSERT_TRUE(rules);
    EXPECT_EQ(rules->allows(orp, ActionKey::Adjust).offer, Offer::Yes);
    EXPECT_EQ(RuleSet::shipped().allows(orp, ActionKey::Adjust).offer, Offer::No);
}

TEST(Design, EveryActionHasItsLetter)
{
    const auto& rules = RuleSet::shipped();
    const std::map<char, ActionKey> letters{{'D', ActionKey::CleanDetergent},  {'L', ActionKey::CleanAlcohol},
                                            {'A', ActionKey::CleanAcid},       {'E', ActionKey::CleanEnzyme},
                                            {'T', ActionKey::CleanThiourea},   {'H', ActionKey::CleanHypochlorite},
                                            {'J', ActionKey::ClearJunction},   {'C', ActionKey::ScrapeJunction},
                                            {'O', ActionKey::Condition},       {'W', ActionKey::Rehydrate},
                                            {'F', ActionKey::RefillReference}, {'B', ActionKey::ReplaceBridge},
                                            {'G', ActionKey::RegenerateGlass}, {'P', ActionKey::PolishMetal},
                                            {'M', ActionKey::DryConnector},    {'R', ActionKey::Rewire},
                                            {'S', ActionKey::Standardise},     {'U', ActionKey::Adjust},
                                            {'X', ActionKey::Replace},         {'Z', ActionKey::Scrap}};
    for (const auto& [letter, action] : letters) {
        EXPECT_EQ(rules.actionByLetter(letter), action);
        EXPECT_EQ(rules.action(action).letter, letter);
        EXPECT_GT(rules.action(action).minutes, 0);
    }
    EXPECT_EQ(rules.actionByLetter('a'), ActionKey::CleanAcid);
    EXPECT_FALSE(rules.actionByLetter('Q'));
    const auto& bridge = rules.action(ActionKey::ReplaceBridge).renews;
    EXPECT_NE(std::find(bridge.begin(), bridge.end(), "cell_solution"), bridge.end()) << "a new bridge always takes fresh cell solution";
}

namespace {
std::vector<std::string> keys(const std::vector<Caution>& cautions)
{
    std::vector<std::string> out;
    for (const auto& c : cautions)
        out.push_back(c.key);
    return out;
}
bool asks(const std::vector<Caution>& cautions, std::string_view key)
{
    return std::any_of(cautions.begin(), cautions.end(), [&](const Caution& c) { return c.key == key && !c.question.empty(); });
}
bool holdsKey(const std::vector<Caution>& cautions, std::string_view key)
{
    return std::any_of(cautions.begin(), cautions.end(), [&](const Caution& c) { return c.key == key; });
}
Visit after(ActionKey action, Text agent = {})
{
    Visit v;
    v.when = at(0);
    Shop::act(v, action, std::move(agent));
    return v;
}
}  // namespace

TEST(Cautions, AcidAfterHypochloriteAndTheReverseAreInterlocked)
{
    const auto& rules = RuleSet::shipped();
    EXPECT_TRUE(asks(rules.cautionsFor(ActionKey::CleanAcid, "", nullptr, after(ActionKey::CleanHypochlorite)), "acid_after_hypochlorite"));
    EXPECT_TRUE(asks(rules.cautionsFor(ActionKey::CleanHypochlorite, "", nullptr, after(ActionKey::CleanAcid)), "hypochlorite_after_acid"));
    EXPECT_FALSE(holdsKey(rules.cautionsFor(ActionKey::CleanAcid, "", nullptr, Visit{}), "acid_after_hypochlorite"));
    EXPECT_TRUE(asks(rules.cautionsFor(ActionKey::CleanAcid, "", nullptr, Visit{}), "acid"));
}

TEST(Cautions, FollowTheAgentNotTheLetter)
{
    const auto& rules = RuleSet::shipped();
    const auto bleached = after(ActionKey::CleanDetergent, "detergent, then bleach 1 in 50");
    // Every step whose recipe holds acid counts as acid.
    for (const auto action : {ActionKey::CleanAcid, ActionKey::CleanEnzyme, ActionKey::CleanThiourea, ActionKey::RegenerateGlass,
                              ActionKey::Condition, ActionKey::Rehydrate})
        EXPECT_TRUE(asks(rules.cautionsFor(action, "", nullptr, bleached), "acid_after_hypochlorite")) << keyOf(action);
    EXPECT_FALSE(holdsKey(rules.cautionsFor(ActionKey::Condition, "pH 7 buffer", nullptr, bleached), "acid_after_hypochlorite"))
        << "conditioning in pH 7 holds no acid";
    EXPECT_TRUE(asks(rules.cautionsFor(ActionKey::CleanDetergent, "citric acid", nullptr, bleached), "acid_after_hypochlorite"));
    EXPECT_TRUE(holdsKey(rules.cautionsFor(ActionKey::CleanDetergent, "Javel water", nullptr, Visit{}), "hypochlorite"));
}

TEST(Cautions, AcidOnCyanideAndSulfideLines)
{
    const auto& rules = RuleSet::shipped();
    Point cyanide, sulfide;
    cyanide.hazards = {"caustic", "cyanide"};
    sulfide.hazards = {"sulfide"};
    const auto a = rules.cautionsFor(ActionKey::CleanAcid, "", &cyanide, Visit{});
    ASSERT_FALSE(a.empty());
    EXPECT_EQ(a.front().key, "cyanide_line") << "the most dangerous first";
    EXPECT_FALSE(a.front().question.empty());
    EXPECT_TRUE(asks(rules.cautionsFor(ActionKey::CleanEnzyme, "", &sulfide, Visit{}), "sulfide_line"));
    EXPECT_TRUE(keys(rules.cautionsFor(ActionKey::CleanDetergent, "", &cyanide, Visit{})).empty());
    Model gel;
    gel.reference = ReferenceDesign::DoubleGel;
    gel.sensing = Sensing::Bulb;
    EXPECT_EQ(rules.allowsAt(gel, ActionKey::CleanHypochlorite, &cyanide).offer, Offer::No);
}

TEST(Cautions, RedoxStandards)
{
    const auto& rules = RuleSet::shipped();
    Visit zobell;
    zobell.when = at(0);
    Shop::read(zobell, Phase::AsFound, "zobell", 220);
    EXPECT_TRUE(holdsKey(rules.cautionsForStandard("zobell", Visit{}), "zobell"));
    EXPECT_FALSE(asks(rules.cautionsForStandard("zobell", Visit{}), "zobell")) << "alone it is a reminder";
    EXPECT_TRUE(asks(rules.cautionsFor(ActionKey::CleanAcid, "", nullptr, zobell), "zobell"));
    EXPECT_TRUE(asks(rules.cautionsForStandard("light", zobell), "zobell"));
    EXPECT_TRUE(asks(rules.cautionsForStandard("zobell", after(ActionKey::CleanAcid)), "zobell"));
    EXPECT_TRUE(holdsKey(rules.cautionsForStandard("quinhydrone_ph4", Visit{}), "quinhydrone"));
    EXPECT_TRUE(rules.cautionsForStandard("ph7.00", Visit{}).empty());
}

TEST(Cautions, BeforeItLeavesTheProcess)
{
    Point point;
    point.loop_class = LoopClass::Control;
    point.hazards = {"hot", "acid"};
    const auto c = RuleSet::shipped().cautionsForWithdrawal(&point);
    EXPECT_TRUE(asks(c, "loop_in_manual"));
    EXPECT_TRUE(asks(c, "hot_or_pressurised"));
    point.loop_class = LoopClass::Indication;
    EXPECT_FALSE(holdsKey(RuleSet::shipped().cautionsForWithdrawal(&point), "loop_in_manual"));
}

TEST(Cautions, EveryOneEndsBySayingWhatComesFirst)
{
    for (const char* key :
         {"acid", "acid_after_hypochlorite", "hypochlorite_after_acid", "hypochlorite", "cyanide_line", "sulfide_line", "thiourea",
          "solvent", "warm_kcl", "regenerate", "broken_glass", "zobell", "light", "quinhydrone", "hot_or_pressurised"}) {
        const auto c = RuleSet::shipped().caution(key);
        ASSERT_TRUE(c) << key;
        EXPECT_TRUE(c->text.ends_with("come first.")) << key;
    }
}

}  // namespace halfcell::core::test
