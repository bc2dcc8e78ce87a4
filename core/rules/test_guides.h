#pragma once

#include "core/rules/rule_set.h"

#include <string>
#include <vector>

/// Tests made by hand, step by step, as the rule set has them: what is needed, what is done, and what the result means.
namespace halfcell::core {

struct TestGuide {
    struct Outcome {
        std::string reads, means;
        bool operator==(const Outcome&) const = default;
    };
    std::string key, title;
    std::string column;  ///< where the result is written down
    double minutes = 0.0;
    std::vector<std::string> needs, steps, cautions;
    std::vector<Outcome> outcomes;  ///< the good one first
    std::string source;
    SourceClass sourceClass = SourceClass::CommonPractice;
    bool operator==(const TestGuide&) const = default;
};

/// The guides of a rule set in their order; those shipped where a stored set is older than the guides. Reads the set's text: for a
/// question now and then, not for a loop.
[[nodiscard]] std::vector<TestGuide> testGuides(const RuleSet& rules);

}  // namespace halfcell::core
