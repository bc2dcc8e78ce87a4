#include "core/lifetimes/kaplan_meier.h"

#include "core/lifetimes/risk_table.h"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <Eigen/Dense>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace halfcell::core {
namespace {

/// Where a falling step function first comes to 0.5; the middle of a piece that lies at 0.5 exactly.
template <class Value>
std::optional<double> crossing(const std::vector<SurvivalStep>& steps, Value value)
{
    constexpr double kTolerance = 1e-10;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const double s = value(steps[i]);
        if (s > 0.5 + kTolerance)
            continue;
        if (s > 0.5 - kTolerance && i + 1 < steps.size())
            return 0.5 * (steps[i].time + steps[i + 1].time);
        return steps[i].time;
    }
    return std::nullopt;
}

}  // namespace

double SurvivalCurve::survivalAt(double time) const
{
    double s = 1.0;
    for (const SurvivalStep& step : steps) {
        if (step.time > time)
            break;
        s = step.survival;
    }
    return s;
}

double SurvivalCurve::drawnUntil(double least) const
{
    double until = lastTime;
    for (auto step = steps.rbegin(); step != steps.rend() && step->atRisk < least; ++step)
        until = step->time;
    return until;
}

Result<SurvivalCurve> kaplanMeier(std::span<const LifeRecord> lives, double confidence)
{
    if (!(confidence > 0.0 && confidence < 1.0))
        return failure(Errc::BadInput, fmt::format("the confidence {} must lie between 0 and 1", confidence), "give it as a fraction: 0.95");
    const auto rows = riskTable(lives);
    if (!rows)
        return std::unexpected(rows.error());
    const double z = boost::math::quantile(boost::math::normal_distribution<>(), 0.5 * (1.0 + confidence));
    SurvivalCurve curve;
    curve.confidence = confidence;
    curve.lastTime = rows->back().time;
    for (const LifeRecord& l : lives)
        curve.lives += l.weight;
    curve.steps.reserve(rows->size());
    double survival = 1.0, greenwood = 0.0;
    for (const RiskRow& row : *rows) {
        if (row.ended <= 0.0)
            continue;
        curve.ended += row.ended;
        SurvivalStep step;
        step.time = row.time;
        step.atRisk = row.atRisk;
        step.ended = row.ended;
        // Weights that add up to all at risk up to rounding end the curve.
        const double rest = row.atRisk - row.ended;
        if (rest <= 1e-12 * row.atRisk) {
            if (survival > 0.0 && row.time < curve.lastTime && curve.note.empty())
                curve.note = fmt::format("at {:g} all in view had ended; those who came into view later say nothing about the curve", row.time);
            survival = 0.0;
        } else {
            survival *= rest / row.atRisk;
            greenwood += row.ended / (row.atRisk * rest);
        }
        step.survival = survival;
        if (survival > 0.0) {
            const double root = std::sqrt(greenwood);
            step.standardError = survival * root;
            const double logS = std::log(survival);
            // S^exp(+-z sd(log(-log S))); the two exponents are each other's inverse.
            const double spread = std::exp(z * root / -logS);
            step.lower = std::exp(logS * spread);
            step.upper = std::exp(logS / spread);
        } else {
            step.lower = step.upper = 0.0;
        }
        curve.steps.push_back(step);
    }
    curve.median = crossing(curve.steps, [](const SurvivalStep& s) { return s.survival; });
    curve.medianLower = crossing(curve.steps, [](const SurvivalStep& s) { return s.survival > 0.0 ? s.lower : 1.0; });
    curve.medianUpper = crossing(curve.steps, [](const SurvivalStep& s) { return s.survival > 0.0 ? s.upper : 1.0; });
    return curve;
}

std::vector<double> atRisk(std::span<const LifeRecord> lives, std::span<const double> ages)
{
    std::vector<double> counts(ages.size(), 0.0);
    for (std::size_t i = 0; i < ages.size(); ++i)
        for (const LifeRecord& l : lives)
            if ((l.entry < ages[i] || (l.entry <= 0.0 && ages[i] <= 0.0)) && ages[i] <= l.exit)
                counts[i] += l.weight;
    return counts;
}

Result<LogRank> logRank(std::span<const LifeRecord> lives, std::span<const int> group)
{
    if (lives.size() != group.size())
        return failure(Errc::BadInput, fmt::format("{} lives but {} group labels", lives.size(), group.size()), "give one label for each life");
    const auto all = riskTable(lives);
    if (!all)
        return std::unexpected(all.error());
    LogRank test;
    const std::set<int> labels(group.begin(), group.end());
    test.groups.assign(labels.begin(), labels.end());
    const std::size_t g = test.groups.size();
    if (g < 2)
        return failure(Errc::TooFewReadings, "one group alone compares with nothing", "give two groups or more");
    // At risk and ended by group, at the ages at which anybody ended.
    std::vector<std::vector<RiskRow>> tables;
    std::vector<std::vector<LifeRecord>> members(g);
    for (std::size_t i = 0; i < lives.size(); ++i)
        members[static_cast<std::size_t>(std::ranges::lower_bound(test.groups, group[i]) - test.groups.begin())].push_back(lives[i]);
    std::vector<double> ages;
    for (const RiskRow& row : *all)
        if (row.ended > 0.0)
            ages.push_back(row.time);
    const auto k = static_cast<Eigen::Index>(g);
    Eigen::VectorXd observed = Eigen::VectorXd::Zero(k), expected = Eigen::VectorXd::Zero(k);
    Eigen::MatrixXd variance = Eigen::MatrixXd::Zero(k, k);
    std::vector<std::vector<double>> risk(g), ended(g, std::vector<double>(ages.size(), 0.0));
    for (std::size_t j = 0; j < g; ++j) {
        risk[j] = atRisk(members[j], ages);
        for (const LifeRecord& l : members[j])
            if (l.failed)
                ended[j][static_cast<std::size_t>(std::ranges::lower_bound(ages, l.exit) - ages.begin())] += l.weight;
    }
    for (std::size_t i = 0; i < ages.size(); ++i) {
        double n = 0.0, d = 0.0;
        for (std::size_t j = 0; j < g; ++j) {
            n += risk[j][i];
            d += ended[j][i];
        }
        const double tied = n > 1.0 ? d * (n - d) / (n - 1.0) : 0.0;  // hypergeometric variance with ties
        for (std::size_t a = 0; a < g; ++a) {
            const auto ra = static_cast<Eigen::Index>(a);
            observed(ra) += ended[a][i];
            expected(ra) += d * risk[a][i] / n;
            for (std::size_t b = 0; b < g; ++b)
                variance(ra, static_cast<Eigen::Index>(b)) += tied * (risk[a][i] / n) * ((a == b ? 1.0 : 0.0) - risk[b][i] / n);
        }
    }
    test.observed.assign(observed.data(), observed.data() + k);
    test.expected.assign(expected.data(), expected.data() + k);
    for (Eigen::Index a = 0; a < k; ++a) {
        test.covariance.emplace_back();
        for (Eigen::Index b = 0; b < k; ++b)
            test.covariance.back().push_back(variance(a, b));
    }
    // The rows add up to nothing: leave the last group out.
    const Eigen::Index m = k - 1;
    const Eigen::VectorXd difference = (observed - expected).head(m);
    const Eigen::FullPivLU<Eigen::MatrixXd> lu(variance.topLeftCorner(m, m));
    if (!lu.isInvertible())
        return failure(Errc::NoConvergence, "the groups were never in view together: they can't be compared", "compare groups of like ages");
    test.chiSquare = difference.dot(lu.solve(difference));
    test.degrees = static_cast<int>(m);
    test.p = boost::math::cdf(boost::math::complement(boost::math::chi_squared_distribution<>(static_cast<double>(m)), std::max(0.0, test.chiSquare)));
    return test;
}

IncidenceStep Incidence::at(double time) const
{
    IncidenceStep now;
    now.byCause.assign(causes.size(), 0.0);
    for (const IncidenceStep& step : steps) {
        if (step.time > time)
            break;
        now = step;
    }
    now.time = time;
    return now;
}

Result<Incidence> cumulativeIncidence(std::span<const LifeRecord> lives)
{
    const auto rows = riskTable(lives);
    if (!rows)
        return std::unexpected(rows.error());
    std::map<double, std::map<int, double>> ends;
    std::set<int> labels;
    for (const LifeRecord& l : lives)
        if (l.failed) {
            ends[l.exit][l.cause] += l.weight;
            labels.insert(l.cause);
        }
    Incidence incidence;
    incidence.causes.assign(labels.begin(), labels.end());
    std::vector<double> sums(labels.size(), 0.0);
    double survival = 1.0;
    for (const RiskRow& row : *rows) {
        if (row.ended <= 0.0)
            continue;
        const double before = survival;
        for (const auto& [cause, d] : ends[row.time])
            sums[static_cast<std::size_t>(std::ranges::lower_bound(incidence.causes, cause) - incidence.causes.begin())] += before * d / row.atRisk;
        const double rest = row.atRisk - row.ended;
        survival = rest <= 1e-12 * row.atRisk ? 0.0 : survival * rest / row.atRisk;
        incidence.steps.push_back({row.time, survival, sums});
    }
    return incidence;
}

}  // namespace halfcell::core
