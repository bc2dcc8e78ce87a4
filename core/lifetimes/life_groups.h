#pragma once

#include "core/fleet/plant.h"
#include "core/lifetimes/book_lives.h"
#include "core/lifetimes/kaplan_meier.h"
#include "core/lifetimes/weibull.h"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The lives of a shop by groups, and what is said of a group: the same for the command line and the Lifetimes page.
namespace halfcell::core {

enum class LivesBy { Model, Application, Site, Design };
/// model, application, site, design.
[[nodiscard]] std::string_view livesByKey(LivesBy by);
[[nodiscard]] std::optional<LivesBy> livesByOf(std::string_view key);

/// Lives that are counted together, in both forms.
struct LifeGroup {
    std::string name;                                                     ///< for people; "all" without a key
    std::vector<std::pair<std::string, std::optional<std::string>>> key;  ///< what they have in common; absent: not recorded
    std::vector<LifeRecord> records;
    std::vector<IntervalLife> intervals;
    std::map<int, std::string> causes;  ///< names of the records' causes
};
/// Sorted by key. Planned removals are censored.
[[nodiscard]] std::vector<LifeGroup> lifeGroupsOf(const Plant& plant, std::span<const LivesBy> by);

/// What is known of a group, and of what is not, why.
struct LifeSummary {
    double lives = 0.0, ended = 0.0;
    SurvivalCurve curve;
    std::string curveMissing;   ///< why the curve is not shown; empty: it is
    std::string medianMissing;  ///< likewise for its median
    std::optional<WeibullFit> fit;
    std::optional<WeibullProfile> profile;
    std::string fitMissing;
    bool shapePrior = false;             ///< with few ends the shape leans on a usual one
    std::optional<Incidence> incidence;  ///< only with a curve
};
/// `usualLives`: ages are those of sensors, so a usual shape may be leant on. Needs kCurveLeastLives lives and one end for a curve,
/// kMedianLeastEnds for a median, three different ages at an end for a Weibull fit (ten ends without the prior: our choice).
/// Errc as kaplanMeier.
[[nodiscard]] Result<LifeSummary> summaryOf(const LifeGroup& group, bool usualLives);

/// Log-rank test over the groups with at least kMedianLeastEnds ends; absent with fewer than two such groups.
[[nodiscard]] std::optional<LogRank> comparisonOf(std::span<const LifeGroup> groups);

}  // namespace halfcell::core
