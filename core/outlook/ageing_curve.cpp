#include "core/outlook/ageing_curve.h"

#include "core/outlook/fixed_exp.h"

#include <algorithm>

namespace halfcell::core::outlook {
namespace {

/// Value and slope where a convex curve goes straight.
struct Straight {
    double value, slope;
};

Straight straightOf(const AgeingCurve& c)
{
    if (c.power) {
        const double value = fixedPow(kStraightFrom, c.shape);
        return {value, c.shape * value / kStraightFrom};
    }
    const double whole = fixedExp(c.shape) - 1.0, at = fixedExp(c.shape * kStraightFrom);
    return {(at - 1.0) / whole, c.shape * at / whole};
}

}  // namespace

double curveAt(const AgeingCurve& curve, double u)
{
    const double lnU = fixedLog(u);
    double out = 0.0;
    curveOver(curve, 1.0, &u, &lnU, &out, 1);
    return out;
}

void curveOver(const AgeingCurve& curve, double scale, const double* u, const double* lnU, double* out, std::size_t n)
{
    const bool convex = curve.convex();
    const double bend = convex ? kStraightFrom : kFlatFrom;
    const double lnBend = fixedLog(bend);
    const Straight beyond = convex ? straightOf(curve) : Straight{0.0, 0.0};
    const double slope = scale * beyond.slope;
    if (curve.power) {
        const double g = curve.shape;
        for (std::size_t i = 0; i < n; ++i) {
            const double l = lnU[i] < lnBend ? lnU[i] : lnBend;
            const double over = u[i] > bend ? u[i] - bend : 0.0;
            const double value = scale * fixedExp(g * l) + slope * over;
            out[i] = u[i] > 0.0 ? value : 0.0;
        }
    } else {
        const double k = curve.shape, share = scale / (fixedExp(k) - 1.0);
        for (std::size_t i = 0; i < n; ++i) {
            const double x = u[i] < bend ? u[i] : bend;
            const double over = u[i] > bend ? u[i] - bend : 0.0;
            out[i] = share * (fixedExp(k * x) - 1.0) + slope * over;
        }
    }
}

}  // namespace halfcell::core::outlook
