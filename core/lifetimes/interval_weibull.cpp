#include "core/lifetimes/interval_weibull.h"

#include "core/quantity/golden_section.h"

#include <boost/math/distributions/chi_squared.hpp>

#include <algorithm>
#include <cmath>

namespace halfcell::core {
namespace {

struct Point {
    double lnShape = 0.0, lnScale = 0.0;
};

Result<void> check(std::span<const IntervalLife> lives)
{
    bool ended = false;
    for (const IntervalLife& l : lives) {
        const double upper = l.upper.value_or(l.lower);
        if (!std::isfinite(l.entry) || !std::isfinite(l.lower) || !std::isfinite(upper) || l.entry < 0.0 || l.lower < l.entry ||
            upper < l.lower)
            return failure(Errc::BadInput, "ages must be finite, with 0 <= entry <= lower <= upper", "check entry and end of each life");
        if (!(l.weight > 0.0) || !std::isfinite(l.weight))
            return failure(Errc::BadInput, "a count must be positive", "leave out lives with count 0");
        if (l.upper && upper == 0.0)
            return failure(Errc::BadInput, "a life that ended at age 0 has no length", "leave it out and count it apart");
        ended = ended || l.upper.has_value();
    }
    if (!ended)
        return failure(Errc::TooFewReadings, "no life has ended yet", "wait for the first ends");
    return {};
}

class Objective {
public:
    Objective(std::span<const IntervalLife> lives, std::optional<ShapePrior> prior) : m_lives(lives), m_prior(prior) {}

    [[nodiscard]] double operator()(const Point& p) const
    {
        double value = weibullLogLikelihood(m_lives, std::exp(p.lnShape), std::exp(p.lnScale));
        if (m_prior) {
            const double d = (p.lnShape - std::log(m_prior->median)) / m_prior->sigma;
            value -= 0.5 * d * d;
        }
        return value;
    }

    /// The scale that fits best for a shape (golden section on its logarithm, the likelihood has one hill there).
    [[nodiscard]] double bestScale(double lnShape, double around) const
    {
        return best([&](double x) { return (*this)({lnShape, x}); }, around);
    }
    [[nodiscard]] double bestShape(double lnScale, double around) const
    {
        return best([&](double x) { return (*this)({x, lnScale}); }, around);
    }

private:
    template <class F>
    static double best(const F& f, double around)
    {
        double low = around - 1.0, high = around + 1.0;
        // Widen until the top lies inside.
        for (int i = 0; i < 60 && f(low) > f(low + 0.5); ++i)
            low -= 1.0;
        for (int i = 0; i < 60 && f(high) > f(high - 0.5); ++i)
            high += 1.0;
        return goldenSectionMaximum(f, low, high, 1e-9);
    }

    std::span<const IntervalLife> m_lives;
    std::optional<ShapePrior> m_prior;
};

struct Derivatives {
    double g1, g2, h11, h12, h22;
};

Derivatives derivativesAt(const Objective& f, const Point& p)
{
    constexpr double h = 1e-4;
    const double f0 = f(p);
    const double a = f({p.lnShape + h, p.lnScale}), b = f({p.lnShape - h, p.lnScale});
    const double c = f({p.lnShape, p.lnScale + h}), d = f({p.lnShape, p.lnScale - h});
    const double pp = f({p.lnShape + h, p.lnScale + h}), mm = f({p.lnShape - h, p.lnScale - h});
    const double pm = f({p.lnShape + h, p.lnScale - h}), mp = f({p.lnShape - h, p.lnScale + h});
    return {(a - b) / (2 * h), (c - d) / (2 * h), (a - 2 * f0 + b) / (h * h), (pp + mm - pm - mp) / (4 * h * h),
            (c - 2 * f0 + d) / (h * h)};
}

}  // namespace

double weibullLogLikelihood(std::span<const IntervalLife> lives, double shape, double scale)
{
    double sum = 0.0;
    const auto hazard = [&](double t) { return t > 0.0 ? std::pow(t / scale, shape) : 0.0; };
    for (const IntervalLife& l : lives) {
        double term = 0.0;
        if (!l.upper)
            term = -hazard(l.lower);
        else if (*l.upper == l.lower)
            term = std::log(shape / scale) + (shape - 1.0) * std::log(l.lower / scale) - hazard(l.lower);
        else
            // ln(S(l) - S(u)) = -H(l) + ln(1 - exp(H(l) - H(u)))
            term = -hazard(l.lower) + std::log(std::max(-std::expm1(hazard(l.lower) - hazard(*l.upper)), 1e-300));
        sum += l.weight * (term + hazard(l.entry));
    }
    return sum;
}

Result<WeibullFit> fitWeibullIntervals(std::span<const IntervalLife> lives, double confidence, std::optional<ShapePrior> prior,
                                       std::optional<double> shape)
{
    if (const auto fine = check(lives); !fine)
        return std::unexpected(fine.error());
    if (!(confidence > 0.0 && confidence < 1.0))
        return failure(Errc::BadInput, "the confidence must lie between 0 and 1");
    const Objective f(lives, prior);
    double total = 0.0, ended = 0.0, longest = 0.0, n = 0.0;
    for (const IntervalLife& l : lives) {
        total += l.weight * l.upper.value_or(l.lower);
        ended += l.upper ? l.weight : 0.0;
        longest = std::max(longest, l.upper.value_or(l.lower));
        n += l.weight;
    }
    Point p{shape ? std::log(*shape) : 0.0, std::log(std::max(total / std::max(ended, 1.0), 0.5 * longest))};
    p.lnScale = f.bestScale(p.lnShape, p.lnScale);
    WeibullFit fit;
    fit.confidence = confidence;
    fit.priorUsed = prior.has_value();
    if (!shape) {
        constexpr int kMost = 200;
        double value = f(p);
        for (fit.iterations = 0; fit.iterations < kMost; ++fit.iterations) {
            const Derivatives d = derivativesAt(f, p);
            const double det = d.h11 * d.h22 - d.h12 * d.h12;
            Point step;
            if (d.h11 < 0.0 && det > 0.0)
                step = {-(d.h22 * d.g1 - d.h12 * d.g2) / det, -(d.h11 * d.g2 - d.h12 * d.g1) / det};
            else
                step = {0.1 * d.g1 / (1.0 + std::abs(d.g1)), 0.1 * d.g2 / (1.0 + std::abs(d.g2))};
            const double size = std::max(std::abs(step.lnShape), std::abs(step.lnScale));
            if (size > 1.0) {
                step.lnShape /= size;
                step.lnScale /= size;
            }
            double share = 1.0, next = value;
            Point q = p;
            for (int half = 0; half < 40; ++half, share *= 0.5) {
                q = {p.lnShape + share * step.lnShape, p.lnScale + share * step.lnScale};
                next = f(q);
                if (next >= value)
                    break;
            }
            const bool settled = share * size < 1e-9 || next - value < 1e-13 * (1.0 + std::abs(value));
            if (next >= value) {
                p = q;
                value = next;
            }
            if (settled)
                break;
        }
        if (fit.iterations == kMost || std::abs(p.lnShape) > 6.0)
            return failure(Errc::NoConvergence, "the likelihood has no top: the ends are too few or too alike",
                           "wait for more ends, or fix the shape");
        // The last digits by coordinates: the differences of the Newton steps are good to six.
        for (int i = 0; i < 3; ++i) {
            p.lnScale = f.bestScale(p.lnShape, p.lnScale);
            p.lnShape = f.bestShape(p.lnScale, p.lnShape);
        }
    }
    fit.shape = std::exp(p.lnShape);
    fit.scale = std::exp(p.lnScale);
    fit.logLikelihood = weibullLogLikelihood(lives, fit.shape, fit.scale);
    fit.ended = ended;
    fit.lives = n;
    const Derivatives d = derivativesAt(f, p);
    const double det = d.h11 * d.h22 - d.h12 * d.h12;
    if (!shape && det > 0.0) {
        fit.seLogShape = std::sqrt(std::max(0.0, -d.h22 / det));
        fit.seLogScale = std::sqrt(std::max(0.0, -d.h11 / det));
        fit.correlation = fit.seLogShape > 0.0 && fit.seLogScale > 0.0 ? d.h12 / det / (fit.seLogShape * fit.seLogScale) : 0.0;
    } else if (shape && d.h22 < 0.0) {
        fit.seLogScale = std::sqrt(-1.0 / d.h22);
    }
    const double z = std::sqrt(quantile(boost::math::chi_squared(1.0), confidence));
    fit.shapeWald = {fit.shape * std::exp(-z * fit.seLogShape), fit.shape * std::exp(z * fit.seLogShape)};
    fit.scaleWald = {fit.scale * std::exp(-z * fit.seLogScale), fit.scale * std::exp(z * fit.seLogScale)};
    return fit;
}

Result<WeibullProfile> profileLimits(std::span<const IntervalLife> lives, const WeibullFit& fit, std::optional<ShapePrior> prior)
{
    const Objective f(lives, prior);
    const Point top{std::log(fit.shape), std::log(fit.scale)};
    const double target = f(top) - 0.5 * quantile(boost::math::chi_squared(1.0), fit.confidence);
    const auto limit = [&](double from, double direction, const auto& profile) -> Result<double> {
        double inside = from, outside = from, step = 0.1;
        for (int i = 0; i < 60; ++i, step *= 1.5) {
            outside = from + direction * step;
            if (profile(outside) < target)
                break;
            inside = outside;
            if (step > 40.0)
                return failure(Errc::NoConvergence, "the profile likelihood has no limit on one side", "wait for more ends");
        }
        for (int i = 0; i < 60; ++i) {
            const double middle = 0.5 * (inside + outside);
            (profile(middle) < target ? outside : inside) = middle;
        }
        return std::exp(0.5 * (inside + outside));
    };
    const auto ofShape = [&](double x) { return f({x, f.bestScale(x, top.lnScale)}); };
    const auto ofScale = [&](double x) { return f({f.bestShape(x, top.lnShape), x}); };
    WeibullProfile profile;
    for (const auto& [place, from, direction, isShape] :
         {std::tuple{&profile.shape.lower, top.lnShape, -1.0, true}, std::tuple{&profile.shape.upper, top.lnShape, 1.0, true},
          std::tuple{&profile.scale.lower, top.lnScale, -1.0, false}, std::tuple{&profile.scale.upper, top.lnScale, 1.0, false}}) {
        const auto found = isShape ? limit(from, direction, ofShape) : limit(from, direction, ofScale);
        if (!found)
            return std::unexpected(found.error());
        *place = *found;
    }
    return profile;
}

}  // namespace halfcell::core
