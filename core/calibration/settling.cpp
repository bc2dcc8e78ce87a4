#include "core/calibration/settling.h"

#include "core/quantity/golden_section.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace halfcell::core {

namespace {

constexpr double kLeastScatterMv = 0.05;
constexpr std::size_t kLeastPoints = 5;

struct AtTau {
    double settled = 0.0, rest = 0.0, squares = 0.0;
};

AtTau fitAt(std::span<const SettlePoint> series, double tau)
{
    double n = 0.0, mx = 0.0, my = 0.0;
    for (const auto& p : series) {
        mx += std::exp(-p.seconds / tau);
        my += p.mv;
        n += 1.0;
    }
    mx /= n;
    my /= n;
    double sxx = 0.0, sxy = 0.0, syy = 0.0;
    for (const auto& p : series) {
        const double x = std::exp(-p.seconds / tau) - mx, y = p.mv - my;
        sxx += x * x;
        sxy += x * y;
        syy += y * y;
    }
    const double slope = sxx > 0.0 ? sxy / sxx : 0.0;
    return {my - slope * mx, -slope, std::max(0.0, syy - slope * sxy)};
}

}  // namespace

Result<SettleFit> fitSettling(std::span<const SettlePoint> series)
{
    if (series.size() < kLeastPoints)
        return failure(Errc::TooFewReadings, "a settle series needs five readings or more", "note it every ten seconds");
    double before = -HUGE_VAL;
    for (const auto& p : series) {
        if (!std::isfinite(p.seconds) || !std::isfinite(p.mv) || p.seconds < 0.0 || p.seconds <= before)
            return failure(Errc::BadInput, "seconds of a settle series start at 0 and ascend", "check the times");
        before = p.seconds;
    }
    const double span = series.back().seconds - series.front().seconds;
    // tau between a fiftieth and five times the span: outside, the series does not tell it.
    constexpr double kLow = 0.02, kHigh = 5.0;
    constexpr int kGrid = 60;
    double least = HUGE_VAL;
    int at = 0;
    const auto tauOf = [&](double step) { return span * kLow * std::pow(kHigh / kLow, step / kGrid); };
    for (int i = 0; i <= kGrid; ++i)
        if (const double s = fitAt(series, tauOf(i)).squares; s < least) {
            least = s;
            at = i;
        }
    if (at == 0 || at == kGrid)
        return failure(Errc::NoConvergence, "the series does not bend: settled from the start, or still far from it", "go on reading");
    const double best =
        tauOf(goldenSectionMaximum([&](double step) { return -fitAt(series, tauOf(step)).squares; }, at - 1.0, at + 1.0, 1e-9));
    const auto fit = fitAt(series, best);
    SettleFit result;
    result.settled_mv = fit.settled;
    result.t90_s = std::log(10.0) * best;
    result.toCome_mv = fit.settled - series.back().mv;
    result.scatter_mv = std::max(kLeastScatterMv, std::sqrt(fit.squares / (static_cast<double>(series.size()) - 3.0)));
    Eigen::Matrix3d information = Eigen::Matrix3d::Zero();
    for (const auto& p : series) {
        const double e = std::exp(-p.seconds / best);
        const Eigen::Vector3d j(1.0, -e, -fit.rest * e * p.seconds / (best * best));
        information += j * j.transpose();
    }
    const Eigen::Matrix3d covariance = result.scatter_mv * result.scatter_mv * information.inverse();
    result.u_settled_mv = std::sqrt(std::max(0.0, covariance(0, 0)));
    result.u_t90_s = std::log(10.0) * std::sqrt(std::max(0.0, covariance(2, 2)));
    constexpr double kTells = 2.0;
    if (!std::isfinite(result.u_t90_s) || result.u_t90_s * kTells > result.t90_s)
        return failure(Errc::NoConvergence, "the bend is lost in the scatter: the response cannot be told", "go on reading");
    return result;
}

Result<SettledPrediction> predictSettled(double before_mv, double read_mv, double wait_s, double t90_s, double u_t90_s, double u_read_mv)
{
    if (!std::isfinite(before_mv) || !std::isfinite(read_mv) || !(wait_s > 0.0 && t90_s > 0.0 && u_t90_s >= 0.0 && u_read_mv >= 0.0) ||
        !std::isfinite(wait_s) || !std::isfinite(t90_s) || !std::isfinite(u_t90_s) || !std::isfinite(u_read_mv))
        return failure(Errc::BadInput, "wait and t90 are positive", "check the seconds");
    const double left = std::pow(10.0, -wait_s / t90_s), made = 1.0 - left;
    constexpr double kLeastMade = 1.0 / 3.0;
    if (made < kLeastMade)
        return failure(Errc::OutOfRange, "too soon to tell: most of the step was still to come", "read again");
    SettledPrediction p;
    const double step = (read_mv - before_mv) / made;
    p.settled_mv = before_mv + step;
    p.short_mv = p.settled_mv - read_mv;
    p.missing_pct = 100.0 * left;
    // d settled / d t90 = step/made * d left/d t90; d left/d t90 = left ln10 wait / t90^2. Both readings carry u_read.
    const double perT90 = step / made * left * std::log(10.0) * wait_s / (t90_s * t90_s);
    p.u_settled_mv = std::hypot(perT90 * u_t90_s, u_read_mv / made, u_read_mv * left / made);
    return p;
}

}  // namespace halfcell::core
