#include "core/rules/rule_set.h"
#include "tests/fuzz/bytes_file.h"

using namespace halfcell;

/// The text of a rule set: refused with a reason, or taken.
int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const auto rules = core::RuleSet::parse(fuzz::textOf(data, size));
    fuzz::must(rules.has_value() || !rules.error().detail.empty());
    return 0;
}
