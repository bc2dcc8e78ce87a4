#include "core/upkeep/intervals.h"

#include <boost/math/distributions/beta.hpp>
#include <fmt/format.h>

#include <cmath>

namespace halfcell::core {
namespace {

bool isShare(double x)
{
    return x > 0.0 && x < 1.0;
}

std::unexpected<Error> badTarget(double target)
{
    return failure(Errc::BadInput, fmt::format("the reliability target {} must lie between 0 and 1", target), "give it as a fraction: 0.9");
}

/// d lnL / d rate of results of an exponential life, each known only at the end of its interval. Falls as the rate grows.
double slopeOfLogLikelihood(std::span<const IntervalResult> results, double rate)
{
    double slope = 0.0;
    for (const IntervalResult& r : results) {
        slope -= static_cast<double>(r.in) * r.length;
        if (r.out > 0)
            slope += static_cast<double>(r.out) * r.length / std::expm1(rate * r.length);
    }
    return slope;
}

}  // namespace

Result<BinomialLimits> clopperPearson(long x, long n, double confidence)
{
    if (n < 1 || x < 0 || x > n)
        return failure(Errc::BadInput, fmt::format("{} of {} is not a count of cases", x, n), "give 0 <= x <= n with n at least 1");
    if (!isShare(confidence))
        return failure(Errc::BadInput, fmt::format("the confidence {} must lie between 0 and 1", confidence), "give it as a fraction: 0.95");
    const double tail = 0.5 * (1.0 - confidence);
    const double k = static_cast<double>(x), rest = static_cast<double>(n - x);
    BinomialLimits limits;
    if (x > 0)
        limits.lower = boost::math::quantile(boost::math::beta_distribution<>(k, rest + 1.0), tail);
    if (x < n)
        limits.upper = boost::math::quantile(boost::math::complement(boost::math::beta_distribution<>(k + 1.0, rest), tail));
    return limits;
}

Result<double> controlChartInterval(double tolerance, double expandedU, double bias, double driftPerDay)
{
    if (!(tolerance > 0.0) || !(expandedU >= 0.0) || !std::isfinite(tolerance) || !std::isfinite(expandedU) || !std::isfinite(bias))
        return failure(Errc::BadInput, "tolerance must be positive and its uncertainty not negative", "check the figures");
    if (!std::isfinite(driftPerDay) || driftPerDay == 0.0)
        return failure(Errc::OutOfRange, "without drift there is no interval from it", "keep the interval of the tables");
    const double room = tolerance - expandedU - std::abs(bias);
    if (room <= 0.0)
        return failure(Errc::OutOfRange, "bias and uncertainty already fill the tolerance", "this check cannot decide: widen the tolerance or improve the reading");
    return room / std::abs(driftPerDay);
}

Result<double> exponentialInterval(double ratePerDay, double reliabilityTarget)
{
    if (!isShare(reliabilityTarget))
        return badTarget(reliabilityTarget);
    if (!(ratePerDay > 0.0) || !std::isfinite(ratePerDay))
        return failure(Errc::BadInput, fmt::format("the rate {} per day must be positive", ratePerDay), "without failures there is no rate");
    return -std::log(reliabilityTarget) / ratePerDay;
}

Result<double> exponentialIntervalFromResults(std::span<const IntervalResult> results, double reliabilityTarget)
{
    if (!isShare(reliabilityTarget))
        return badTarget(reliabilityTarget);
    long in = 0, out = 0;
    double longest = 0.0;
    for (const IntervalResult& r : results) {
        if (!(r.length > 0.0) || !std::isfinite(r.length) || r.in < 0 || r.out < 0)
            return failure(Errc::BadInput, "an interval must be longer than nothing and its counts not negative", "check the table of results");
        in += r.in;
        out += r.out;
        longest = std::max(longest, r.length);
    }
    if (out == 0)
        return failure(Errc::TooFewReadings, "no result was out of tolerance: the rate has no upper limit", "keep the interval of the tables");
    if (in == 0)
        return failure(Errc::OutOfRange, "every result was out of tolerance: the rate has no upper limit", "shorten the interval and diagnose first");
    // The slope runs from +infinity at rate 0 to a negative number, so it has one root: bracket it, then halve.
    double low = 0.0, high = 1.0 / longest;
    while (slopeOfLogLikelihood(results, high) > 0.0)
        high *= 2.0;
    for (int i = 0; i < 200 && high - low > 1e-16 * high; ++i) {
        const double middle = 0.5 * (low + high);
        (slopeOfLogLikelihood(results, middle) > 0.0 ? low : high) = middle;
    }
    return exponentialInterval(0.5 * (low + high), reliabilityTarget);
}

Result<double> simpleResponseShortening(double lengthening, double reliabilityTarget)
{
    if (!isShare(reliabilityTarget))
        return badTarget(reliabilityTarget);
    if (!(lengthening > 0.0) || !std::isfinite(lengthening))
        return failure(Errc::BadInput, "the share by which a pass lengthens must be positive", "0.1 lengthens by a tenth");
    // (1 + a)^R (1 - b)^(1 - R) = 1: no drift when passes come with probability R.
    return 1.0 - std::pow(1.0 + lengthening, -reliabilityTarget / (1.0 - reliabilityTarget));
}

std::pair<double, double> incrementalResponse(double interval, double step, double reliabilityTarget, bool inTolerance, bool sameAsBefore)
{
    // In tolerance the interval grows by D(1 - R), out of tolerance it shrinks by D R: no drift at R. The step is halved
    // each time the outcome changes.
    const double now = sameAsBefore ? step : 0.5 * step;
    const double change = inTolerance ? now * (1.0 - reliabilityTarget) : -now * reliabilityTarget;
    return {interval * (1.0 + change), now};
}

Result<double> intervalTestLength(double interval, double observedReliability, double reliabilityTarget)
{
    if (!isShare(reliabilityTarget))
        return badTarget(reliabilityTarget);
    if (!isShare(observedReliability))
        return failure(Errc::OutOfRange, fmt::format("an observed reliability of {} gives no interval", observedReliability),
                       "it must lie between 0 and 1, both left out");
    if (!(interval > 0.0) || !std::isfinite(interval))
        return failure(Errc::BadInput, "the interval must be positive", "give it in days");
    return interval * std::log(reliabilityTarget) / std::log(observedReliability);
}

}  // namespace halfcell::core
