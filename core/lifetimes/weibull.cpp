#include "core/lifetimes/weibull.h"

#include "core/lifetimes/risk_table.h"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace halfcell::core {
namespace {

/// Log ages about their centre, so that the powers stay near 1 whatever the unit.
struct Prepared {
    struct Term {
        double logAge, weight;
    };
    std::vector<Term> exits, entries;
    double ended = 0.0;          ///< sum of d
    double endedLog = 0.0;       ///< sum of d * centred ln t
    double lives = 0.0;
    double centre = 0.0;
    std::optional<ShapePrior> prior;
};

Prepared prepare(std::span<const LifeRecord> lives, const std::optional<ShapePrior>& prior)
{
    Prepared p;
    p.prior = prior;
    p.exits.reserve(lives.size());
    double sum = 0.0;
    for (const LifeRecord& l : lives) {
        const double logAge = std::log(l.exit);
        p.exits.push_back({logAge, l.weight});
        sum += l.weight * logAge;
        p.lives += l.weight;
        if (l.failed) {
            p.ended += l.weight;
            p.endedLog += l.weight * logAge;
        }
        if (l.entry > 0.0)
            p.entries.push_back({std::log(l.entry), l.weight});
    }
    p.centre = sum / p.lives;
    for (Prepared::Term& t : p.exits)
        t.logAge -= p.centre;
    for (Prepared::Term& t : p.entries)
        t.logAge -= p.centre;
    p.endedLog -= p.ended * p.centre;
    return p;
}

/// Log-likelihood in a = ln shape, c = ln scale - centre, with gradient and Hessian.
struct Value {
    double lnL = 0.0;
    double ga = 0.0, gc = 0.0;
    double haa = 0.0, hac = 0.0, hcc = 0.0;
};

Value evaluate(const Prepared& p, double a, double c)
{
    const double shape = std::exp(a);
    // S0 = sum w e^x, S1 = sum w x e^x, S2 = sum w x^2 e^x with x = shape (ln t - c); entries count against.
    double s0 = 0.0, s1 = 0.0, s2 = 0.0;
    const auto add = [&](const std::vector<Prepared::Term>& terms, double sign) {
        double t0 = 0.0, t1 = 0.0, t2 = 0.0;
        for (const Prepared::Term& t : terms) {
            const double x = shape * (t.logAge - c);
            const double e = t.weight * std::exp(x);
            t0 += e;
            t1 += e * x;
            t2 += e * x * x;
        }
        s0 += sign * t0;
        s1 += sign * t1;
        s2 += sign * t2;
    };
    add(p.exits, 1.0);
    add(p.entries, -1.0);
    Value v;
    const double linear = shape * (p.endedLog - p.ended * c);  // sum d x
    // The density of t itself: the ages are in the units given, hence - sum d ln t = - (endedLog + ended centre).
    v.lnL = p.ended * a + linear - p.endedLog - p.ended * p.centre - s0;
    v.ga = p.ended + linear - s1;
    v.gc = shape * (s0 - p.ended);
    v.haa = linear - s1 - s2;
    v.hac = shape * (s0 + s1 - p.ended);
    v.hcc = -shape * shape * s0;
    if (p.prior) {
        const double z = (a - std::log(p.prior->median)) / p.prior->sigma;
        v.lnL -= 0.5 * z * z;
        v.ga -= z / p.prior->sigma;
        v.haa -= 1.0 / (p.prior->sigma * p.prior->sigma);
    }
    return v;
}

struct Peak {
    double a = 0.0, c = 0.0;
    Value value;
    int iterations = 0;
};

/// Newton with halving; `hold` keeps one coordinate where it is.
enum class Hold { None, Shape, Scale };

Result<Peak> climb(const Prepared& p, double a, double c, Hold hold)
{
    Peak peak{a, c, evaluate(p, a, c), 0};
    for (; peak.iterations < 100; ++peak.iterations) {
        const Value& v = peak.value;
        double da = 0.0, dc = 0.0;
        if (hold == Hold::Shape) {
            dc = v.hcc < 0.0 ? -v.gc / v.hcc : v.gc;
        } else if (hold == Hold::Scale) {
            da = v.haa < 0.0 ? -v.ga / v.haa : v.ga;
        } else {
            const double det = v.haa * v.hcc - v.hac * v.hac;
            if (det > 0.0 && v.haa < 0.0) {
                da = -(v.hcc * v.ga - v.hac * v.gc) / det;
                dc = -(v.haa * v.gc - v.hac * v.ga) / det;
            } else {
                // Not concave here: uphill along the axes, each by its own curvature.
                da = v.ga / std::max(std::abs(v.haa), 1.0);
                dc = v.gc / std::max(std::abs(v.hcc), 1.0);
            }
        }
        const double largest = std::max(std::abs(da), std::abs(dc));
        if (largest < 1e-11)
            return peak;
        double share = largest > 2.0 ? 2.0 / largest : 1.0;
        bool moved = false;
        for (int halving = 0; halving < 60; ++halving, share *= 0.5) {
            const Value next = evaluate(p, peak.a + share * da, peak.c + share * dc);
            if (std::isfinite(next.lnL) && next.lnL >= peak.value.lnL - 1e-13 * std::max(1.0, std::abs(peak.value.lnL))) {
                peak.a += share * da;
                peak.c += share * dc;
                peak.value = next;
                moved = true;
                break;
            }
        }
        if (!moved || share * largest < 1e-11) {
            ++peak.iterations;
            return peak;  // no further gain to rounding
        }
    }
    return failure(Errc::NoConvergence, "the Weibull fit did not settle in 100 steps", "look at the ages: one far from the rest may be a mistake");
}

/// Start: shape from the spread of the log ages at an end (pi / sqrt 6 of a Gumbel law), scale from the likelihood at it.
std::pair<double, double> start(std::span<const LifeRecord> lives, const Prepared& p)
{
    const double mean = p.endedLog / p.ended;
    double variance = 0.0;
    for (std::size_t i = 0; i < lives.size(); ++i)
        if (lives[i].failed)
            variance += lives[i].weight * (p.exits[i].logAge - mean) * (p.exits[i].logAge - mean);
    variance /= p.ended;
    const double shape = variance > 0.0 ? std::clamp(1.2825498301618641 / std::sqrt(variance), 0.2, 20.0) : 2.0;
    double sum = 0.0;
    for (const Prepared::Term& t : p.exits)
        sum += t.weight * std::exp(shape * t.logAge);
    for (const Prepared::Term& t : p.entries)
        sum -= t.weight * std::exp(shape * t.logAge);
    const double c = sum > 0.0 ? std::log(sum / p.ended) / shape : mean;
    return {std::log(shape), c};
}

}  // namespace

double WeibullFit::survival(double t) const
{
    return t <= 0.0 ? 1.0 : std::exp(-std::pow(t / scale, shape));
}

double WeibullFit::quantile(double p) const
{
    return scale * std::pow(-std::log1p(-p), 1.0 / shape);
}

double weibullLogLikelihood(std::span<const LifeRecord> lives, double shape, double scale)
{
    double lnL = 0.0;
    for (const LifeRecord& l : lives) {
        const double x = shape * std::log(l.exit / scale);
        double term = -std::exp(x);
        if (l.failed)
            term += std::log(shape / scale) + x - std::log(l.exit / scale);
        if (l.entry > 0.0)
            term += std::exp(shape * std::log(l.entry / scale));
        lnL += l.weight * term;
    }
    return lnL;
}

Result<WeibullFit> fitWeibull(std::span<const LifeRecord> lives, double confidence, std::optional<ShapePrior> prior)
{
    if (!(confidence > 0.0 && confidence < 1.0))
        return failure(Errc::BadInput, fmt::format("the confidence {} must lie between 0 and 1", confidence), "give it as a fraction: 0.95");
    if (prior && !(prior->median > 0.0 && prior->sigma > 0.0))
        return failure(Errc::BadInput, "the belief about the shape needs a positive median and sigma", "2 and 0.4 are usual");
    if (const auto ok = checkLives(lives); !ok)
        return std::unexpected(ok.error());
    std::optional<double> first;
    bool different = false;
    for (const LifeRecord& l : lives) {
        if (!l.failed)
            continue;
        if (!first)
            first = l.exit;
        different = different || l.exit != *first;
    }
    if (!first)
        return failure(Errc::TooFewReadings, "no life has ended yet: there is nothing to fit", "wait for the first ends");
    const bool someBeyond = std::ranges::any_of(lives, [&](const LifeRecord& l) { return l.exit > *first; });
    if (!different && !someBeyond && !prior)
        return failure(Errc::TooFewReadings, "all lives ended at one age: the shape has no upper limit", "record ends at different ages");
    const Prepared p = prepare(lives, prior);
    const auto [a0, c0] = start(lives, p);
    const auto peak = climb(p, a0, c0, Hold::None);
    if (!peak)
        return std::unexpected(peak.error());
    const Value& v = peak->value;
    const double det = v.haa * v.hcc - v.hac * v.hac;
    if (!(det > 0.0) || !(v.haa < 0.0))
        return failure(Errc::NoConvergence, "the likelihood has no peak", "too few ends at different ages");
    WeibullFit fit;
    fit.shape = std::exp(peak->a);
    fit.scale = std::exp(peak->c + p.centre);
    fit.logLikelihood = v.lnL;
    if (prior) {
        const double z = (peak->a - std::log(prior->median)) / prior->sigma;
        fit.logLikelihood += 0.5 * z * z;
    }
    fit.ended = p.ended;
    fit.lives = p.lives;
    fit.iterations = peak->iterations;
    fit.confidence = confidence;
    fit.priorUsed = prior.has_value();
    fit.seLogShape = std::sqrt(-v.hcc / det);
    fit.seLogScale = std::sqrt(-v.haa / det);
    fit.correlation = v.hac / det / (fit.seLogShape * fit.seLogScale);
    const double z = boost::math::quantile(boost::math::normal_distribution<>(), 0.5 * (1.0 + confidence));
    fit.shapeWald = {fit.shape * std::exp(-z * fit.seLogShape), fit.shape * std::exp(z * fit.seLogShape)};
    fit.scaleWald = {fit.scale * std::exp(-z * fit.seLogScale), fit.scale * std::exp(z * fit.seLogScale)};
    return fit;
}

Result<WeibullProfile> profileLimits(std::span<const LifeRecord> lives, const WeibullFit& fit, std::optional<ShapePrior> prior)
{
    if (const auto ok = checkLives(lives); !ok)
        return std::unexpected(ok.error());
    const Prepared p = prepare(lives, prior);
    const double a = std::log(fit.shape), c = std::log(fit.scale) - p.centre;
    const double target = evaluate(p, a, c).lnL - 0.5 * boost::math::quantile(boost::math::chi_squared_distribution<>(1.0), fit.confidence);
    // From the peak outwards: step until the profile is below the target, then halve the bracket (regula falsi is not needed,
    // each step restarts the climb from the one before).
    const auto limit = [&](Hold hold, double direction, double se) -> Result<double> {
        const double centre = hold == Hold::Shape ? a : c;
        double otherNow = hold == Hold::Shape ? c : a;
        double inside = centre, outside = centre;
        const auto profile = [&](double x) -> Result<double> {
            const auto peak = hold == Hold::Shape ? climb(p, x, otherNow, hold) : climb(p, otherNow, x, hold);
            if (!peak)
                return std::unexpected(peak.error());
            otherNow = hold == Hold::Shape ? peak->c : peak->a;
            return peak->value.lnL;
        };
        double step = std::max(se, 1e-6);
        for (int i = 0;; ++i) {
            if (i == 60)
                return failure(Errc::NoConvergence, "the profile likelihood has no limit on this side", "too few ends");
            outside = inside + direction * step;
            const auto value = profile(outside);
            if (!value)
                return std::unexpected(value.error());
            if (*value < target)
                break;
            inside = outside;
            step *= 1.5;
        }
        for (int i = 0; i < 80 && std::abs(outside - inside) > 1e-12; ++i) {
            const double middle = 0.5 * (inside + outside);
            const auto value = profile(middle);
            if (!value)
                return std::unexpected(value.error());
            (*value < target ? outside : inside) = middle;
        }
        const double x = 0.5 * (inside + outside);
        return hold == Hold::Shape ? std::exp(x) : std::exp(x + p.centre);
    };
    WeibullProfile result;
    const auto shapeLow = limit(Hold::Shape, -1.0, fit.seLogShape), shapeHigh = limit(Hold::Shape, 1.0, fit.seLogShape);
    const auto scaleLow = limit(Hold::Scale, -1.0, fit.seLogScale), scaleHigh = limit(Hold::Scale, 1.0, fit.seLogScale);
    for (const auto* r : {&shapeLow, &shapeHigh, &scaleLow, &scaleHigh})
        if (!*r)
            return std::unexpected(r->error());
    result.shape = {*shapeLow, *shapeHigh};
    result.scale = {*scaleLow, *scaleHigh};
    return result;
}

}  // namespace halfcell::core
