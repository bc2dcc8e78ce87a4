#include "tests/core/rules/failure_rows.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <iostream>

/// Signature in, mode out: one test per row. A mode of the likelihood tables must be among the first two by probability, or, where
/// a rule overrides what is dangerous to miss, among the first two shown; a code that only a rule knows is raised with a reason.
/// Each row prints its probability: `core_rules_tests --gtest_filter='Rows/*'` lists them.
namespace halfcell::core::test {

namespace {

const std::vector<Row>& rows()
{
    static const std::vector<Row> all = [] {
        auto list = sensorRows();
        for (const auto& more : {imitatorRows(), otherRows()})
            list.insert(list.end(), more.begin(), more.end());
        return list;
    }();
    return all;
}

std::string nameOfRow(const ::testing::TestParamInfo<std::size_t>& info)
{
    return rows()[info.param].id;
}

/// What is listed: the probability, how many are likelier and the place among the findings shown.
std::string line(const Row& row, const Finding& f, std::size_t likelier, std::size_t place)
{
    return fmt::format("{:5} {:20} {}, shown {}", row.id, keyOf(row.code),
                       f.probability ? fmt::format("probability {:.3f}, {} likelier", *f.probability, likelier) : std::string("by rule"),
                       place + 1);
}

}  // namespace

class FailureModes : public ::testing::TestWithParam<std::size_t> {};

TEST_P(FailureModes, SignatureInModeOut)
{
    const auto& row = rows()[GetParam()];
    Shop shop;
    row.signature(shop);
    const auto a = shop.assess();
    const auto* f = find(a, row.code);
    ASSERT_TRUE(f) << row.id << ": " << a.sentence;
    EXPECT_TRUE(std::any_of(f->because.begin(), f->because.end(), [](const Because& b) { return b.side == Because::Side::For; })) << row.id;
    EXPECT_TRUE(!f->action || RuleSet::shipped().allows(shop.model, *f->action).offer != DesignAllows::Offer::No);
    std::size_t likelier = 0, place = 0;
    for (const auto& other : a.findings) {
        if (&other != f && other.probability.value_or(0.0) > f->probability.value_or(0.0))
            ++likelier;
        if (&other < f)
            ++place;
    }
    const auto text = line(row, *f, likelier, place);
    std::cout << text << '\n';
    RecordProperty("row", text);
    EXPECT_EQ(row.byRule, !f->probability.has_value()) << text;
    EXPECT_TRUE(row.byRule || likelier < 2 || place < 2) << text << ": " << a.sentence;
}

INSTANTIATE_TEST_SUITE_P(Rows, FailureModes, ::testing::Range<std::size_t>(0, rows().size()), nameOfRow);

}  // namespace halfcell::core::test
