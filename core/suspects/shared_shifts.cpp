#include "core/suspects/shared_shifts.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace halfcell::core {
namespace {

constexpr std::size_t kLeastReadings = 12, kLearnFrom = 60, kLeastSensors = 3, kLeastDates = 2;
constexpr double kPriorLnSd = 1.0;
constexpr double kFlat = 1e-9;  // precision of a fixed effect

struct Level {
    SharedFactor factor;
    std::string id;
    std::vector<std::size_t> readings;
    std::size_t sensors = 0, dates = 0;
    std::int64_t first = 0, last = 0;
    std::vector<std::string> alike;
    bool fixed = false;
    [[nodiscard]] bool testable() const { return sensors >= kLeastSensors && (factor == SharedFactor::Day || dates >= kLeastDates); }
};

/// Mixed model through the normal equations of its levels: A = Z'Z / noise^2 + 1 / sd^2.
class Mixed {
public:
    Mixed(std::span<const SharedReading> readings, const std::vector<Level>& levels) : m_readings(readings), m_levels(levels)
    {
        const auto n = static_cast<Eigen::Index>(levels.size());
        m_cross = Eigen::MatrixXd::Zero(n, n);
        m_sum = Eigen::VectorXd::Zero(n);
        std::vector<std::vector<Eigen::Index>> of(readings.size());
        for (std::size_t l = 0; l < levels.size(); ++l)
            for (const std::size_t r : levels[l].readings)
                of[r].push_back(static_cast<Eigen::Index>(l));
        for (std::size_t r = 0; r < readings.size(); ++r) {
            m_squares += readings[r].innovation * readings[r].innovation;
            for (const Eigen::Index a : of[r]) {
                m_sum(a) += readings[r].innovation;
                for (const Eigen::Index b : of[r])
                    m_cross(a, b) += 1.0;
            }
        }
    }

    [[nodiscard]] Eigen::VectorXd precisions(const double* sd) const
    {
        Eigen::VectorXd d(static_cast<Eigen::Index>(m_levels.size()));
        for (std::size_t l = 0; l < m_levels.size(); ++l) {
            const double s = sd[static_cast<std::size_t>(m_levels[l].factor)];
            d(static_cast<Eigen::Index>(l)) = m_levels[l].fixed ? kFlat : 1.0 / (s * s);
        }
        return d;
    }

    /// ln of the likelihood of the innovations, constants left out.
    [[nodiscard]] double logLikelihood(const double* sd, double noise) const
    {
        const double e2 = noise * noise;
        const Eigen::VectorXd d = precisions(sd);
        Eigen::MatrixXd a = m_cross / e2;
        a.diagonal() += d;
        const Eigen::LLT<Eigen::MatrixXd> llt(a);
        const Eigen::VectorXd b = m_sum / e2;
        const Eigen::VectorXd x = llt.solve(b);
        double lnDet = 2.0 * llt.matrixL().toDenseMatrix().diagonal().array().log().sum() - d.array().log().sum();
        lnDet += static_cast<double>(m_readings.size()) * std::log(e2);
        return -0.5 * (lnDet + m_squares / e2 - b.dot(x));
    }

    struct Solved {
        Eigen::VectorXd mean;
        Eigen::MatrixXd cov;
        Eigen::VectorXd precision;
    };
    [[nodiscard]] Solved solve(const double* sd, double noise) const
    {
        const double e2 = noise * noise;
        Solved s;
        s.precision = precisions(sd);
        Eigen::MatrixXd a = m_cross / e2;
        a.diagonal() += s.precision;
        const Eigen::LLT<Eigen::MatrixXd> llt(a);
        s.cov = llt.solve(Eigen::MatrixXd::Identity(a.rows(), a.cols()));
        s.mean = s.cov * (m_sum / e2);
        return s;
    }

private:
    std::span<const SharedReading> m_readings;
    const std::vector<Level>& m_levels;
    Eigen::MatrixXd m_cross;
    Eigen::VectorXd m_sum;
    double m_squares = 0.0;
};

std::vector<Level> levelsOf(std::span<const SharedReading> readings)
{
    std::map<std::pair<std::size_t, std::string>, Level> byKey;
    for (std::size_t r = 0; r < readings.size(); ++r)
        for (std::size_t f = 0; f < kSharedFactors; ++f)
            if (!readings[r].level[f].empty()) {
                Level& level = byKey[{f, readings[r].level[f]}];
                level.factor = static_cast<SharedFactor>(f);
                level.id = readings[r].level[f];
                level.readings.push_back(r);
            }
    std::vector<Level> levels;
    for (auto& [key, level] : byKey) {
        std::set<std::string> sensors;
        std::set<std::int64_t> dates;
        for (const std::size_t r : level.readings) {
            sensors.insert(readings[r].sensor);
            dates.insert(readings[r].date);
        }
        level.sensors = sensors.size();
        level.dates = dates.size();
        level.first = *dates.begin();
        level.last = *dates.rbegin();
        // The same readings as an earlier level: one of the two, both named.
        const auto same = std::ranges::find_if(levels, [&](const Level& l) { return l.readings == level.readings; });
        if (same != levels.end()) {
            same->alike.push_back(std::string(sharedFactorKey(level.factor)) + " " + level.id);
            continue;
        }
        levels.push_back(std::move(level));
    }
    return levels;
}

/// Sds by climbing the likelihood with log-normal priors, a step at a time.
void learnSds(const Mixed& model, const SharedSettings& settings, double* sd, double& noise)
{
    double x[kSharedFactors + 1], prior[kSharedFactors + 1];
    for (std::size_t f = 0; f < kSharedFactors; ++f)
        prior[f] = x[f] = std::log(settings.sd[f]);
    prior[kSharedFactors] = x[kSharedFactors] = std::log(settings.noise);
    const auto value = [&](const double* at) {
        double s[kSharedFactors], penalty = 0.0;
        for (std::size_t f = 0; f < kSharedFactors; ++f)
            s[f] = std::exp(at[f]);
        for (std::size_t f = 0; f <= kSharedFactors; ++f)
            penalty += 0.5 * (at[f] - prior[f]) * (at[f] - prior[f]) / (kPriorLnSd * kPriorLnSd);
        return model.logLikelihood(s, std::exp(at[kSharedFactors])) - penalty;
    };
    double best = value(x);
    for (double step = 0.5; step > 0.06; step *= 0.5)
        for (int sweep = 0; sweep < 2; ++sweep)
            for (std::size_t f = 0; f <= kSharedFactors; ++f)
                for (const double d : {step, -step}) {
                    const double was = x[f];
                    x[f] += d;
                    // A handful of levels says little about their spread: never below the shipped one, or chance looks like a cause.
                    if (f < kSharedFactors)
                        x[f] = std::max(x[f], prior[f]);
                    if (const double v = value(x); v > best)
                        best = v;
                    else
                        x[f] = was;
                }
    for (std::size_t f = 0; f < kSharedFactors; ++f)
        sd[f] = std::exp(x[f]);
    noise = std::exp(x[kSharedFactors]);
}

}  // namespace

std::string_view sharedFactorKey(SharedFactor f)
{
    switch (f) {
    case SharedFactor::Lot: return "lot";
    case SharedFactor::Meter: return "meter";
    case SharedFactor::Person: return "person";
    case SharedFactor::Day: return "day";
    }
    return "";
}

SharedResult sharedShifts(std::span<const SharedReading> given, const SharedSettings& settings)
{
    SharedResult result;
    std::copy(std::begin(settings.sd), std::end(settings.sd), std::begin(result.sd));
    result.noise = settings.noise;
    // A fixed order, so that the order given does not matter.
    std::vector<SharedReading> readings(given.begin(), given.end());
    std::ranges::stable_sort(readings, [](const SharedReading& a, const SharedReading& b) {
        return std::tie(a.date, a.sensor, a.innovation, a.level[0], a.level[1], a.level[2]) <
               std::tie(b.date, b.sensor, b.innovation, b.level[0], b.level[1], b.level[2]);
    });
    if (readings.size() < kLeastReadings) {
        result.abstained = "fewer than twelve readings with a forecast";
        return result;
    }
    std::vector<Level> levels = levelsOf(readings);
    std::size_t perFactor[kSharedFactors] = {};
    for (const Level& l : levels)
        ++perFactor[static_cast<std::size_t>(l.factor)];
    if (std::ranges::all_of(perFactor, [](std::size_t n) { return n <= 1; })) {
        result.abstained = "one lot, meter, person and day only: nothing to compare";
        return result;
    }
    const Mixed model(readings, levels);
    if (settings.learnSds && readings.size() >= kLearnFrom)
        learnSds(model, settings, result.sd, result.noise);
    for (;;) {
        const Mixed::Solved solved = model.solve(result.sd, result.noise);
        std::vector<SharedShift> tested;
        std::vector<std::size_t> place;
        for (std::size_t l = 0; l < levels.size(); ++l) {
            const Level& level = levels[l];
            if (level.fixed || !level.testable())
                continue;
            const auto i = static_cast<Eigen::Index>(l);
            // This level as a fixed effect, all others random: its prior precision taken out of the normal equations.
            const double var = solved.cov(i, i), keep = 1.0 - var * solved.precision(i);
            if (!(keep > 1e-9))
                continue;
            SharedShift s;
            s.factor = level.factor;
            s.id = level.id;
            s.shift = solved.mean(i) / keep;
            s.u = std::sqrt(var / keep);
            s.shrunken = solved.mean(i);
            s.shrunkenU = std::sqrt(var);
            s.p = std::erfc(std::abs(s.shift) / s.u / std::sqrt(2.0));
            s.readings = level.readings.size();
            s.sensors = level.sensors;
            s.first = level.first;
            s.last = level.last;
            s.alike = level.alike;
            tested.push_back(std::move(s));
            place.push_back(l);
        }
        if (result.accepted.empty())
            result.levels = tested.size();
        if (tested.empty())
            break;
        std::size_t best = 0;
        for (std::size_t i = 1; i < tested.size(); ++i)
            if (tested[i].p < tested[best].p)
                best = i;
        const double m = static_cast<double>(tested.size()), k = static_cast<double>(result.accepted.size());
        for (SharedShift& s : tested)
            s.q = std::min(1.0, s.p * m / (k + 1.0));
        const SharedShift chosen = tested[best];
        result.tested = std::move(tested);
        std::ranges::stable_sort(result.tested, {}, &SharedShift::p);
        if (chosen.q > settings.q)
            break;
        result.accepted.push_back(chosen);
        levels[place[best]].fixed = true;
    }
    return result;
}

}  // namespace halfcell::core
