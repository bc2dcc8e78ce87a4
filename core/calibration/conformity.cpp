#include "core/calibration/conformity.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core {

namespace {

double phi(double z)
{
    return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

/// Quantile of the normal distribution by bisection; p in (0, 1).
double quantile(double p)
{
    double low = -10.0, high = 10.0;
    for (int i = 0; i < 80; ++i) {
        const double mid = 0.5 * (low + high);
        (phi(mid) < p ? low : high) = mid;
    }
    return 0.5 * (low + high);
}

}  // namespace

double probabilityInside(double y, double u, double low, double high)
{
    return phi((high - y) / u) - phi((low - y) / u);
}

Estimate combined(const Estimate& reading, const Estimate& forecast)
{
    const double a = 1.0 / (reading.u * reading.u), b = 1.0 / (forecast.u * forecast.u);
    return {(reading.value * a + forecast.value * b) / (a + b), 1.0 / std::sqrt(a + b)};
}

Conformity conformityOf(double error, double u, double tolerance, double accepted, const std::string& unit)
{
    Conformity c;
    c.probability = probabilityInside(error, u, -tolerance, tolerance);
    const double guard = quantile(accepted) * u;
    c.accept = std::max(0.0, tolerance - guard);
    c.reject = tolerance + guard;
    using enum Conformity::Decision;
    c.decision = 2.0 * u > tolerance               ? CannotDecide
                 : c.probability >= accepted       ? Inside
                 : c.probability <= 1.0 - accepted ? Outside
                                                   : Undecided;
    const auto figures = fmt::format("{} {} with an uncertainty of {} (95 %), {} is allowed; inside with {} %", formatSigned(error, 2),
                                     unit, formatFixed(2.0 * u, 2), formatFixed(tolerance, 2), formatFixed(100.0 * c.probability, 0));
    switch (c.decision) {
    case Inside: c.sentence = "Good enough here: " + figures + "."; break;
    case Outside: c.sentence = "Not good enough here: " + figures + "."; break;
    case Undecided:
        c.sentence =
            fmt::format("Undecided: {}, {} % is asked. Read again with a fresh standard.", figures, formatFixed(100.0 * accepted, 0));
        break;
    case CannotDecide: c.sentence = fmt::format("This check cannot decide: {}.", figures); break;
    }
    return c;
}

}  // namespace halfcell::core
