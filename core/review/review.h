#pragma once

#include "core/rules/assess.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace halfcell::core {

enum class OptionKind { Run, Service, Same, Change };
template <>
std::span<const KeyEntry<OptionKind>> keyEntries();

/// One way to go on with a sensor.
struct ReviewOption {
    OptionKind option = OptionKind::Run;
    std::optional<double> cost_per_month;   ///< absent where a price is not known
    std::optional<double> ci_low, ci_high;  ///< 90 %
    double probability_best = 0.0;
    double price = 0.0;  ///< money asked now
    std::string design;  ///< model bought, for same and change
};

struct Assumption {
    std::string what;
    double value = 0.0;
    std::string unit, source;
    bool assumed = false;
    SourceClass sourceClass = SourceClass::Record;
};

struct ReviewCase {
    std::string serial, tag, site;
    std::string loop_class;
    std::vector<ReviewOption> options;
    std::optional<OptionKind> recommended;  ///< absent when there is too little to say
    std::optional<double> break_even_price;
    bool closeCall = false;
    bool terminal = false;  ///< a terminal rule holds; cost is not asked
    std::string why;        ///< "68.9 % after cleaning"
    std::string sentence;   ///< the advice in words
    std::string abstained;  ///< reason, empty if not
    std::vector<Assumption> assumptions;
    std::vector<WorkingStep> working;
};

struct SpareType {
    std::string interchange;
    int inUse = 0, ready = 0;
    double expectedDemand = 0.0;
    int hold = 0, order = 0;
    double lead_time_days = 0.0;
    std::string note;
};

struct FleetFigures {
    /// Visits of the last 365 days: as found within the point's tolerance of where the visit before left it (decided by the
    /// class's share of conformity; undecided ones are counted apart, not judged).
    long asFoundInTolerance = 0, asFoundJudged = 0, visitsWithoutAsFound = 0;
    long asFoundUndecided = 0;
    double share = 0.0, shareLower = 0.0, shareUpper = 1.0;          ///< exact limits
    long replacements = 0;                                           ///< sensors taken out of a point for good, last 365 days
    std::vector<std::pair<std::string, long>> replacementsByReason;  ///< reason key ("unknown" if none), most frequent first
};

struct Review {
    std::vector<ReviewCase> cases;  ///< ranked: terminal first, then saving of acting, most first
    std::vector<SpareType> spares;
    FleetFigures fleet;
    std::optional<double> budget;
    std::vector<std::string> withinBudget;  ///< serials chosen under the budget, exact knapsack
    double asked = 0.0, saving = 0.0, savingBound = 0.0;
};

/// Options per sensor with expected cost per month from age, trend and prices (decision method 4 as a monthly chain with
/// the shipped rates), ranked. Deterministic.
[[nodiscard]] Review reviewFleet(const Plant& plant, std::span<const Assessment> assessments,
                                 std::span<const std::vector<VisitFigures>> figures, const RuleSet& rules, std::optional<double> budget);

}  // namespace halfcell::core
