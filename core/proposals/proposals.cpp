#include "core/proposals/proposals.h"

#include "core/quantity/golden_section.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace halfcell::core {
namespace {

constexpr std::array kGrid{1.0, 2.0, 4.0, 8.0, 13.0, 26.0, 52.0};
constexpr double kSixty = 0.7083 / 2.0;  // half the chi-square point of 60 %, one degree of freedom
constexpr double kFlatShape = 0.5;       // the chance of being out hardly rises with the interval (our choice)
constexpr double kFlatGain = 2.0;        // nats by which that must explain the results better than a steady rate
constexpr double kLongestFactor = 2.0;   // of the longest interval seen, without outs

double normalCdf(double z)
{
    return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

std::vector<IntervalLife> livesOf(std::span<const IntervalCount> counts)
{
    std::vector<IntervalLife> lives;
    for (const IntervalCount& c : counts) {
        if (c.in > 0.0)
            lives.push_back({.entry = 0.0, .lower = c.weeks, .upper = std::nullopt, .weight = c.in});
        if (c.out > 0.0)
            lives.push_back({.entry = 0.0, .lower = 0.0, .upper = c.weeks, .weight = c.out});
    }
    return lives;
}

/// Integral of 1 - R from 0 to t (Simpson).
template <class R>
double outWeeks(double t, const R& reliability)
{
    constexpr int kPanels = 64;
    const double h = t / kPanels;
    double sum = 1.0 - reliability(0.0) + 1.0 - reliability(t);
    for (int i = 1; i < kPanels; ++i)
        sum += (i % 2 == 1 ? 4.0 : 2.0) * (1.0 - reliability(h * i));
    return sum * h / 3.0;
}

template <class R>
double costOf(double weeks, const R& reliability, const IntervalCosts& c)
{
    return (c.calibration + c.handling + c.outPerWeek * outWeeks(weeks, reliability)) / weeks;
}

/// Interval limits where the profile likelihood of the interval for the target falls by half the chi-square point.
void limitsOf(std::span<const IntervalLife> lives, double target, ReliabilityFit& fit)
{
    const double k = -std::log(target);
    const auto scaleFor = [&](double interval, double shape) { return interval / std::pow(k, 1.0 / shape); };
    const auto profile = [&](double interval) {
        if (fit.exponential)
            return weibullLogLikelihood(lives, 1.0, scaleFor(interval, 1.0));
        const auto f = [&](double x) { return weibullLogLikelihood(lives, std::exp(x), scaleFor(interval, std::exp(x))); };
        return f(goldenSectionMaximum(f, -3.0, 3.0, 1e-9));
    };
    const double least = fit.logLikelihood - kSixty;
    const auto edge = [&](double direction) {
        double inside = std::log(fit.interval), outside = inside;
        for (int i = 0; i < 200; ++i) {
            outside += direction * 0.1;
            if (profile(std::exp(outside)) < least)
                break;
            inside = outside;
        }
        for (int i = 0; i < 60; ++i) {
            const double middle = 0.5 * (inside + outside);
            (profile(std::exp(middle)) < least ? outside : inside) = middle;
        }
        return std::exp(0.5 * (inside + outside));
    };
    fit.lower = edge(-1.0);
    fit.upper = edge(1.0);
}

}  // namespace

double snappedInterval(double weeks)
{
    double best = kGrid.front();
    for (const double g : kGrid)
        if (g <= weeks * (1.0 + 1e-9))
            best = g;
    return best;
}

double Staircase::take(double error, double tolerance, double defaultInterval, std::optional<double> legal)
{
    diagnose = false;
    if (std::abs(error) > tolerance) {
        easyPasses = 0;
        ++outs;
        interval *= outs >= 2 ? 0.5 : 0.6;
        diagnose = outs >= 2;
    } else {
        outs = 0;
        easyPasses = std::abs(error) < 0.5 * tolerance ? easyPasses + 1 : 0;
        if (easyPasses >= 2) {
            interval = std::min(interval * 1.5, 2.0 * defaultInterval);
            easyPasses = 0;
        }
    }
    if (legal)
        interval = std::min(interval, *legal);
    return interval;
}

double ControlChart::inTolerance(double weeks, double tolerance) const
{
    const double mean = bias + drift * weeks, sd = std::sqrt(scatter * scatter + wander * weeks);
    return normalCdf((tolerance - mean) / sd) - normalCdf((-tolerance - mean) / sd);
}

double ControlChart::interval(double tolerance, double reliability, double most) const
{
    if (inTolerance(0.0, tolerance) < reliability)
        return 0.0;
    // The chance may rise first where the bias drifts towards zero; the first fall below counts.
    double t = 0.0;
    const double step = most / 2000.0;
    while (t < most && inTolerance(t + step, tolerance) >= reliability)
        t += step;
    if (t >= most)
        return most;
    double low = t, high = t + step;
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (inTolerance(middle, tolerance) >= reliability ? low : high) = middle;
    }
    return low;
}

Result<ControlChart> fitControlChart(std::span<const TimedError> errors, double groupDrift, double groupDriftSd)
{
    constexpr std::size_t kMost = 12, kLeast = 5;
    if (errors.size() < kLeast)
        return failure(Errc::TooFewReadings, "a control chart needs five as-found errors", "keep the table's interval until then");
    const auto used = errors.last(std::min(errors.size(), kMost));
    ControlChart best;
    double bestValue = -1e300;
    for (double s0 = 0.005; s0 < 0.3; s0 *= 1.15)
        for (const double q : {0.0, 1e-5, 3e-5, 1e-4, 2e-4, 4e-4, 9e-4, 2e-3, 4e-3, 8e-3}) {
            double w = 0.0, wt = 0.0, wtt = 0.0, we = 0.0, wte = 0.0;
            for (const TimedError& x : used) {
                const double a = 1.0 / (s0 * s0 + q * x.weeks + x.u * x.u);
                w += a;
                wt += a * x.weeks;
                wtt += a * x.weeks * x.weeks;
                we += a * x.error;
                wte += a * x.weeks * x.error;
            }
            const double p = 1.0 / (groupDriftSd * groupDriftSd);
            wtt += p;
            wte += p * groupDrift;
            const double det = w * wtt - wt * wt;
            const double d = (w * wte - wt * we) / det, b = (we - wt * d) / w;
            double value = -0.5 * p * (d - groupDrift) * (d - groupDrift);
            for (const TimedError& x : used) {
                const double v = s0 * s0 + q * x.weeks + x.u * x.u, r = x.error - b - d * x.weeks;
                value -= 0.5 * (std::log(v) + r * r / v);
            }
            if (value > bestValue) {
                bestValue = value;
                best = {b, d, s0, q};
            }
        }
    return best;
}

double ReliabilityFit::reliabilityAt(double weeks) const
{
    return weeks > 0.0 ? std::exp(-std::pow(weeks / scale, shape)) : 1.0;
}

Result<ReliabilityFit> fitReliability(std::span<const IntervalCount> counts, double target, std::optional<bool> freeShape)
{
    if (!(target > 0.0 && target < 1.0))
        return failure(Errc::BadInput, "the reliability target must lie between 0 and 1");
    double in = 0.0, out = 0.0, weeks = 0.0, longest = 0.0;
    std::size_t distinct = 0;
    for (const IntervalCount& c : counts) {
        if (!(c.weeks > 0.0) || c.in < 0.0 || c.out < 0.0)
            return failure(Errc::BadInput, "intervals must be positive and counts not negative");
        in += c.in;
        out += c.out;
        weeks += c.weeks * (c.in + c.out);
        if (c.in + c.out > 0.0) {
            longest = std::max(longest, c.weeks);
            ++distinct;
        }
    }
    constexpr double kLeast = 5.0, kLeastWithoutOuts = 12.0;
    if (in + out < kLeast)
        return failure(Errc::TooFewReadings, fmt::format("{:.0f} as-found results, {:.0f} needed", in + out, kLeast),
                       "keep the table's interval until then");
    ReliabilityFit fit;
    if (out <= 0.0) {
        if (in < kLeastWithoutOuts)
            return failure(Errc::TooFewReadings, fmt::format("{:.0f} results, all in tolerance; {:.0f} needed", in, kLeastWithoutOuts),
                           "keep the table's interval until then");
        fit.lower = std::min(-std::log(target) * weeks / kSixty, kLongestFactor * longest);
        fit.interval = fit.lower;
        fit.scale = fit.interval / -std::log(target);
        return fit;
    }
    const auto lives = livesOf(counts);
    const auto plain = fitWeibullIntervals(lives, 0.6, {}, 1.0);
    if (!plain)
        return std::unexpected(plain.error());
    fit.scale = plain->scale;
    fit.logLikelihood = plain->logLikelihood;
    const bool mayFree = distinct >= 3 && out >= 4.0;
    if (freeShape.value_or(mayFree)) {
        const auto free = fitWeibullIntervals(lives, 0.6);
        // Akaike: the second parameter must be worth more than one nat.
        if (free && (freeShape.value_or(false) || free->logLikelihood - 1.0 > plain->logLikelihood)) {
            fit.exponential = false;
            fit.shape = free->shape;
            fit.scale = free->scale;
            fit.logLikelihood = free->logLikelihood;
        }
    }
    fit.interval = fit.scale * std::pow(-std::log(target), 1.0 / fit.shape);
    limitsOf(lives, target, fit);
    return fit;
}

double intervalCost(double weeks, const ReliabilityFit& fit, const IntervalCosts& costs)
{
    return costOf(
        weeks, [&](double t) { return fit.reliabilityAt(t); }, costs);
}

double MemberFit::reliabilityAt(double weeks) const
{
    double sum = 0.0;
    for (const auto& [scale, weight] : nodes)
        sum += weight * (weeks > 0.0 ? std::exp(-std::pow(weeks / scale, shape)) : 1.0);
    return sum;
}

double intervalCost(double weeks, const MemberFit& fit, const IntervalCosts& costs)
{
    return costOf(
        weeks, [&](double t) { return fit.reliabilityAt(t); }, costs);
}

MemberFit memberFit(const ReliabilityFit& group, std::span<const IntervalCount> own, double tau)
{
    // Fifteen points and weights for exp(-x^2) (Gauss and Hermite; Abramowitz and Stegun's table by symmetry).
    static constexpr double kX[8] = {0.0,
                                     0.565069583255576,
                                     1.136115585210921,
                                     1.719992575186489,
                                     2.325732486173858,
                                     2.967166927905603,
                                     3.669950373404453,
                                     4.499990707309392};
    static constexpr double kW[8] = {0.564100308726418,   0.412028687498899,   0.158488915795936,   0.0307800338725461,
                                     2.77806884291277e-3, 1.00004441232500e-4, 1.05911554771107e-6, 1.52247580425352e-9};
    MemberFit fit;
    fit.shape = group.shape;
    const auto lives = livesOf(own);
    double sum = 0.0, first = 0.0, second = 0.0, largest = -1e300;
    std::vector<std::pair<double, double>> logs;
    for (int i = -7; i <= 7; ++i) {
        const double x = i < 0 ? -kX[-i] : kX[i], w = kW[std::abs(i)];
        const double lnScale = std::log(group.scale) + std::sqrt(2.0) * tau * x;
        const double log = std::log(w) + (lives.empty() ? 0.0 : weibullLogLikelihood(lives, group.shape, std::exp(lnScale)));
        logs.emplace_back(lnScale, log);
        largest = std::max(largest, log);
    }
    for (const auto& [lnScale, log] : logs) {
        const double w = std::exp(log - largest);
        sum += w;
        first += w * lnScale;
        second += w * lnScale * lnScale;
        fit.nodes.emplace_back(std::exp(lnScale), w);
    }
    for (auto& [scale, weight] : fit.nodes)
        weight /= sum;
    fit.lnScale = first / sum;
    fit.sd = std::sqrt(std::max(0.0, second / sum - fit.lnScale * fit.lnScale));
    return fit;
}

std::string_view proposalWayKey(ProposalWay way)
{
    switch (way) {
    case ProposalWay::Leave: return "leave";
    case ProposalWay::Lengthen: return "lengthen";
    case ProposalWay::Shorten: return "shorten";
    case ProposalWay::Abstain: break;
    }
    return "not_enough_data";
}

namespace {

/// Whether being out comes nearly as often after short intervals as after long ones.
bool atAnyInterval(std::span<const IntervalCount> counts)
{
    const auto lives = livesOf(counts);
    const auto flat = fitWeibullIntervals(lives, 0.95, {}, kFlatShape), steady = fitWeibullIntervals(lives, 0.95, {}, 1.0);
    return flat && steady && flat->logLikelihood > steady->logLikelihood + kFlatGain;
}

}  // namespace

IntervalProposal proposeInterval(std::span<const IntervalCount> counts, const ProposalRequest& request)
{
    IntervalProposal p;
    p.current = request.current;
    p.proposed = request.current;
    p.evidence.assign(counts.begin(), counts.end());
    const auto fit = fitReliability(counts, request.target);
    if (!fit) {
        p.why = fit.error().detail + "; the table's interval stays";
        if (request.legal && p.proposed > *request.legal) {
            p.proposed = *request.legal;
            p.why = fit.error().detail + fmt::format("; the legal maximum is {:.1f} weeks and is never passed", *request.legal);
        }
        return p;
    }
    p.fit = *fit;
    double wanted = request.current;
    p.way = ProposalWay::Leave;
    std::string why =
        fmt::format("{:.1f} weeks lies within what the results allow for {:.0f} % in tolerance ({:.1f} to {})", request.current,
                    100.0 * request.target, fit->lower, fit->upper ? fmt::format("{:.1f}", *fit->upper) : "no upper limit");
    if (request.current < fit->lower) {
        wanted = fit->lower;
        p.way = ProposalWay::Lengthen;
        why = fmt::format("the results allow {:.1f} weeks at least for {:.0f} % in tolerance", fit->lower, 100.0 * request.target);
    } else if (fit->upper && request.current > *fit->upper) {
        wanted = fit->interval;
        p.way = ProposalWay::Shorten;
        why = fmt::format("the results allow {:.1f} weeks at most for {:.0f} % in tolerance; {:.1f} is the best guess", *fit->upper,
                          100.0 * request.target, fit->interval);
    }
    if (p.way == ProposalWay::Shorten && atAnyInterval(counts)) {
        p.way = ProposalWay::Leave;
        wanted = request.current;
        why = "out of tolerance nearly as often after short intervals as after long ones: the interval is not the cause; look at the "
              "standards, the cleaning and the entries";
    } else if (p.way == ProposalWay::Shorten && fit->interval < kGrid.front()) {
        why += "; even the shortest round falls short of it, so look for the cause too";
    }
    if (request.costs) {
        double least = 1e300;
        for (const double g : kGrid)
            if (const double c = intervalCost(g, *fit, *request.costs); c < least) {
                least = c;
                p.cheapest = g;
            }
        if (*p.cheapest < wanted && p.way != ProposalWay::Leave) {
            wanted = std::max(*p.cheapest, p.way == ProposalWay::Lengthen ? request.current : 0.0);
            why += fmt::format("; {:.0f} weeks costs least", *p.cheapest);
        }
    }
    if (p.way != ProposalWay::Leave)
        p.proposed = snappedInterval(wanted);
    // Snapping down must not turn a lengthening into a shortening.
    if (p.way == ProposalWay::Lengthen && p.proposed <= request.current) {
        p.proposed = request.current;
        p.way = ProposalWay::Leave;
        why += ", but not the next round length";
    }
    // Nor may the shortest round turn a shortening into a lengthening.
    if (p.way == ProposalWay::Shorten && p.proposed >= request.current) {
        p.proposed = request.current;
        p.way = ProposalWay::Leave;
        why += ", but no round is shorter: look for the cause instead";
    }
    if (request.legal && p.proposed > *request.legal) {
        p.proposed = *request.legal;
        p.way = p.proposed < request.current   ? ProposalWay::Shorten
                : p.proposed > request.current ? ProposalWay::Lengthen
                                               : ProposalWay::Leave;
        why += fmt::format("; the legal maximum is {:.1f} weeks and is never passed", *request.legal);
    }
    if (request.seen < 0.6)
        why += fmt::format("; only {:.0f} % of the visits have an as-found reading, so the sample is selective", 100.0 * request.seen);
    p.why = why;
    return p;
}

}  // namespace halfcell::core
