#pragma once

#include <optional>
#include <string>
#include <vector>

/// Explanations as data. Every computed figure carries the steps that led to it, so that an auditor can redo it by hand
/// and a trainee can learn from it. The screens, the command line and paper render the same steps.
namespace halfcell::core {

/// How far a source can be trusted.
enum class SourceClass { Law, Standard, Maker, CommonPractice, Memory, Assumed, Record, Computed };

/// The words for a source class ("law of nature or regulation" is Law: a closed formula or a legal text).
[[nodiscard]] const char* sourceClassWords(SourceClass c);

struct WorkingInput {
    std::string name;                 ///< as it stands in the formula: "T", "E1"
    std::optional<double> value;      ///< full precision
    std::string unit;
    std::string text;                 ///< shown instead of or after the value ("lot B7-2231")
    std::string readingRef;           ///< "as_found/ph7.00/1" when the input is a raw reading, else empty
    bool operator==(const WorkingInput&) const = default;
};

struct WorkingStep {
    std::string step;                 ///< what is done: "slope of an ideal sensor at 19.0 degC"
    std::string formula;              ///< "k = ln 10 * R * T / F"
    std::vector<WorkingInput> inputs;
    std::optional<double> result;     ///< full precision; absent where the step is a statement
    std::string unit;
    std::string text;                 ///< a result in words
    std::string source;               ///< "CODATA 2018", "table of the lot", "default@1"
    SourceClass sourceClass = SourceClass::Computed;
    bool operator==(const WorkingStep&) const = default;
};

/// The working of one figure: `figure` is its key (efficiency_pct, offset_mv, ...).
struct Working {
    std::string figure;
    std::vector<WorkingStep> steps;
    bool operator==(const Working&) const = default;
};

}  // namespace halfcell::core
