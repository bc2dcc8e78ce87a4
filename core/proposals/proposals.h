#pragma once

#include "core/lifetimes/interval_weibull.h"
#include "core/quantity/result.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// How often to check or calibrate: four methods that propose an interval from as-found results, each with its evidence, for a
/// person to approve. Nothing here ever goes past a legal maximum. Weeks throughout.
namespace halfcell::core {

/// The plan uses these only (rounds are weekly): the largest not above an interval; the shortest if none is.
[[nodiscard]] double snappedInterval(double weeks);

/// Staircase: two passes in a row with |error| below half the tolerance lengthen by half (to twice the default at most), one out
/// shortens to 0.6, a second out in a row to half and asks for a diagnosis. The real-valued interval is kept, the plan snaps it.
struct Staircase {
    double interval = 4.0;
    int easyPasses = 0, outs = 0;
    bool diagnose = false;
    /// Takes one as-found error; returns the new interval.
    double take(double error, double tolerance, double defaultInterval, std::optional<double> legal = {});
};

/// Control chart: the as-found error after t weeks ~ N(b + d t, s0^2 + q t).
struct ControlChart {
    double bias = 0.0, drift = 0.0, scatter = 0.045, wander = 0.0009;  ///< b, d per week, s0, q per week
    /// P(|error| <= tolerance) after t weeks.
    [[nodiscard]] double inTolerance(double weeks, double tolerance) const;
    /// Largest t with that chance at least `reliability`, not beyond `most`; 0 where even a fresh one misses it.
    [[nodiscard]] double interval(double tolerance, double reliability, double most) const;
};
/// One as-found error after so many weeks.
struct TimedError {
    double weeks = 0.0, error = 0.0, u = 0.0;
};
/// Fitted by weighted maximum likelihood (the last twelve), b and d by least squares given s0 and q, these on a grid; drift pulled to
/// `groupDrift` with `groupDriftSd`. Errc::TooFewReadings with fewer than five.
[[nodiscard]] Result<ControlChart> fitControlChart(std::span<const TimedError> errors, double groupDrift = 0.0, double groupDriftSd = 0.01);

/// As-found results at one interval: in and out of tolerance (undecided ones by their chances).
struct IntervalCount {
    double weeks = 0.0;
    double in = 0.0, out = 0.0;
};
/// Reliability target: the out-of-tolerance is only known to have happened inside its interval.
struct ReliabilityFit {
    double shape = 1.0, scale = 0.0, logLikelihood = 0.0;
    bool exponential = true;      ///< chosen by AIC over a free shape
    double interval = 0.0;        ///< for the target
    double lower = 0.0;           ///< profile limits, 60 % two-sided
    std::optional<double> upper;  ///< absent: no outs, nothing bounds it
    double reliabilityAt(double weeks) const;
};
/// Errc::TooFewReadings with fewer than five results, or no outs and fewer than twelve; Errc::BadInput for bad counts.
[[nodiscard]] Result<ReliabilityFit> fitReliability(std::span<const IntervalCount> counts, double target,
                                                    std::optional<bool> freeShape = {});

/// What one interval costs a week: [c_cal + p_h c_h + c_out * integral of (1 - R)] / I.
struct IntervalCosts {
    double calibration = 60.0, handling = 0.006 * 400.0, outPerWeek = 40.0;
};
[[nodiscard]] double intervalCost(double weeks, const ReliabilityFit& fit, const IntervalCosts& costs);
/// A member's posterior: ln scale ~ N(ln group scale, tau^2) by its own counts, 15 nodes (Gauss-Hermite).
struct MemberFit {
    double lnScale = 0.0, sd = 0.0;
    std::vector<std::pair<double, double>> nodes;  ///< scale, weight
    double shape = 1.0;
    [[nodiscard]] double reliabilityAt(double weeks) const;
};
[[nodiscard]] MemberFit memberFit(const ReliabilityFit& group, std::span<const IntervalCount> own, double tau = 0.35);
[[nodiscard]] double intervalCost(double weeks, const MemberFit& fit, const IntervalCosts& costs);

enum class ProposalWay { Leave, Lengthen, Shorten, Abstain };
/// leave, lengthen, shorten, not_enough_data.
[[nodiscard]] std::string_view proposalWayKey(ProposalWay way);
struct IntervalProposal {
    ProposalWay way = ProposalWay::Abstain;
    double current = 0.0;
    double proposed = 0.0;           ///< snapped; equal to current for Leave
    std::optional<double> cheapest;  ///< on the week grid
    std::vector<IntervalCount> evidence;
    std::optional<ReliabilityFit> fit;
    std::string why;  ///< the rule, in words
};
struct ProposalRequest {
    double current = 4.0, target = 0.85;
    std::optional<double> legal;  ///< never past it
    double seen = 0.0;            ///< share of visits with an as-found, 0 ... 1
    std::optional<IntervalCosts> costs;
};
/// Current inside the limits: leave; below the lower one: lengthen to it (never past twice the longest seen without outs); above the
/// upper one: shorten to the estimate. Then the stricter of that and the cheapest, never past the legal maximum, snapped.
[[nodiscard]] IntervalProposal proposeInterval(std::span<const IntervalCount> counts, const ProposalRequest& request);

}  // namespace halfcell::core
