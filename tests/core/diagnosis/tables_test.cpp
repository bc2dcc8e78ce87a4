#include "tests/core/diagnosis/example.h"

#include <gtest/gtest.h>

/// The tables as rule data: shipped ones hold together, a shop can change them, a mistake is named with its line.
namespace halfcell::core::diagnosis::test {

namespace {

std::string own(const std::string& changes)
{
    return "[rules]\nname = \"own\"\nversion = 3\nbase = \"shipped\"\n" + changes;
}

}  // namespace

TEST(DiagnosisTables, ShippedOnesHoldTogether)
{
    const auto& tables = RuleSet::shipped().diagnosisTables();
    EXPECT_TRUE(consistent(tables).has_value());
    EXPECT_EQ(tables.ph.network.causes.size(), 23u);
    for (const auto* kind : {&tables.ph, &tables.orp})
        for (const auto& o : kind->network.observables)
            EXPECT_EQ(o.likelihood.size(), kind->network.causes.size()) << o.key;
}

TEST(DiagnosisTables, AShopMayChangeALine)
{
    const auto set = RuleSet::parse(own("[observable.coat.percent]\nfilm = [5, 25, 70]\n[diagnosis]\nfold_below = 0.1\n"));
    ASSERT_TRUE(set) << set.error().detail;
    const auto& n = set->diagnosisTables().ph.network;
    EXPECT_DOUBLE_EQ(n.observables[n.observable("coat").value()].likelihood[cause("film")][2], 0.70);
    EXPECT_DOUBLE_EQ(n.observables[n.observable("coat").value()].likelihood[cause("healthy")][0], 0.81) << "the rest is the shipped one";
    EXPECT_DOUBLE_EQ(set->diagnosisTables().ph.advice.foldBelow, 0.1);
    EXPECT_EQ(set->id(), "own@3");
    const auto again = RuleSet::parse(set->text());
    ASSERT_TRUE(again) << again.error().detail << again.error().field;
    EXPECT_DOUBLE_EQ(again->diagnosisTables().ph.advice.foldBelow, 0.1) << "the stored text is the whole set";
}

TEST(DiagnosisTables, MistakesAreNamed)
{
    const auto refused = [](const std::string& changes) {
        const auto set = RuleSet::parse(own(changes));
        return set ? Error{.code = Errc::Internal, .detail = "taken"} : set.error();
    };
    const auto sum = refused("[observable.coat.percent]\nfilm = [5, 25, 60]\n");
    EXPECT_EQ(sum.field, "observable.coat.percent.film");
    EXPECT_EQ(sum.line, 6u);
    EXPECT_NE(sum.detail.find("90.0 %, not 100"), std::string::npos) << sum.detail;
    EXPECT_NE(refused("[observable.coat.percent]\nfilm = [0, 30, 70]\n").detail.find("below 1 %"), std::string::npos);
    EXPECT_NE(refused("[observable.coat.percent]\nfilm = [30, 70]\n").detail.find("need 3 figures"), std::string::npos);
    EXPECT_NE(refused("[observable.coat.percent]\nrust = [10, 20, 70]\n").detail.find("no cause"), std::string::npos);
    EXPECT_NE(refused("[observable.eff]\nedges = [1, 2]\n").detail.find("need 5 edges"), std::string::npos);
    EXPECT_NE(
        refused("[diagnosis.round]\nprior = { none = 0.9, wrong_standard = 0.01, stale_standard = 0.02, temperature_ignored = 0.04 }\n")
            .detail.find("add up to 1"),
        std::string::npos);
    EXPECT_NE(refused("[diagnosis]\nexponent = 3\n").detail.find("between 0.5 and 1.5"), std::string::npos);
}

TEST(DiagnosisTables, ASetOlderThanTheDiagnosisTakesTheShippedOnes)
{
    std::string text = RuleSet::shipped().text();
    text.resize(text.find("\n# Diagnosis: which cause"));
    const auto set = RuleSet::parse(text);
    ASSERT_TRUE(set) << set.error().detail;
    EXPECT_EQ(set->diagnosisTables().ph.network.causes.size(), 23u);
}

}  // namespace halfcell::core::diagnosis::test
