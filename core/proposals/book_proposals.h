#pragma once

#include "core/fleet/plant.h"
#include "core/proposals/proposals.h"
#include "core/rules/assess.h"

#include <span>
#include <string>
#include <vector>

/// Interval proposals for a whole book: what the as-found results of each kind of duty say about how often it is calibrated. They
/// are for a person to approve, by adopting a rule set that says so; nothing is changed here.
namespace halfcell::core {

/// One line of the interval tables: application and reference design.
struct BookProposal {
    std::string application;           ///< a key or the book's own text; empty: none recorded
    std::string design;                ///< key of the reference design; empty: not recorded
    std::string loopClass;             ///< the most demanding of its points: key, or "unknown"
    std::size_t sensors = 0;           ///< that gave a result
    std::size_t results = 0;           ///< as-found results judged against the point's tolerance
    std::size_t leftOut = 0;           ///< cleaned before they were read, read within three days, or without a tolerance to judge by
    std::size_t withoutFound = 0;      ///< visits without an as-found reading
    double target = 0.80;              ///< share to be found in tolerance, of that class
    double current_days = 0.0;         ///< of the rule set
    double proposed_days = 0.0;        ///< equal to current_days unless way says otherwise
    std::optional<double> legal_days;  ///< shortest legal maximum of the points
    std::string source;                ///< of the present interval
    IntervalProposal proposal;         ///< weeks; the evidence, the fit, the rule in words
};

/// Share to be found in tolerance, by loop class (our choice): indication and unknown 0.80, control 0.85, alarm and quality 0.90,
/// permit 0.95, interlock 0.99.
[[nodiscard]] double reliabilityTarget(std::string_view loopClass);

/// Proposals for the calibration interval, by application and design (in that order). An as-found error is the shift
/// since the sensor was last left, at the middle of the point's process range; an undecided result enters with its chance to be in
/// tolerance. `figures` is parallel to plant.histories(). Groups whose rule set has no calibration interval are left out.
[[nodiscard]] std::vector<BookProposal> proposalsOf(const Plant& plant, std::span<const std::vector<VisitFigures>> figures,
                                                    const RuleSet& rules);

/// The lines of a rule set that adopt the proposals which change something, under `[rules]` with `base = "shipped"` or in the shop's
/// own set, application by application; empty where nothing changes.
[[nodiscard]] std::string ruleTextOf(std::span<const BookProposal> proposals);

}  // namespace halfcell::core
