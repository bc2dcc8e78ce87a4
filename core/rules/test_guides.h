#pragma once

#include "core/fleet/records.h"
#include "core/rules/rule_set.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Tests made by hand, step by step, as the rule set has them: what is needed, what is done, and what the result means.
namespace halfcell::core {

struct TestGuide {
    /// One way the test can come out. A bound that is not given always holds.
    struct Outcome {
        std::string reads, means;
        std::optional<double> within, under;  ///< of the distance from `around`: at most, less than
        std::optional<double> below, above;   ///< of the result itself: less than, more than
        std::optional<Comparison> answer;     ///< where the result is an answer, not a number
        bool operator==(const Outcome&) const = default;
    };
    std::string key, title;
    std::string column;  ///< where the result is written down, in words
    double minutes = 0.0;
    std::vector<std::string> needs, steps, cautions;
    double around = 0.0;            ///< what a good result is measured from, in its unit
    std::vector<Outcome> outcomes;  ///< the good one first
    std::string source;
    SourceClass sourceClass = SourceClass::CommonPractice;
    bool operator==(const TestGuide&) const = default;
};

/// The guides of a rule set in their order, then those shipped that it does not have (a stored set may be older than a guide). Limits
/// named in them are the rule set's. Reads the set's text: for a question now and then, not for a loop.
[[nodiscard]] std::vector<TestGuide> testGuides(const RuleSet& rules);

/// Which way a test came out: the first outcome whose bounds all hold; null if none fits. `result` is in the unit of the guide's
/// column; of a glass resistance it is the ratio to its first value, both at 25 degC.
[[nodiscard]] const TestGuide::Outcome* outcomeOf(const TestGuide& guide, double result);
[[nodiscard]] const TestGuide::Outcome* outcomeOf(const TestGuide& guide, Comparison result);

/// Glass resistance at 25 degC over the first that these visits have, oldest first; absent where either lacks resistance or temperature.
[[nodiscard]] std::optional<double> glassRatioOf(const Check& check, const std::vector<const Visit*>& visits);

}  // namespace halfcell::core
