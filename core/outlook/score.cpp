#include "core/outlook/score.h"

#include "core/outlook/normal_law.h"
#include "core/quantity/median.h"

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace halfcell::core::outlook {
namespace {

constexpr std::size_t kLeastErrors = 20;  // of an application and horizon before its own spread is used
constexpr std::size_t kLeastScored = 10;
constexpr std::size_t kLeastVerdict = 30;

/// Index of a level among 5, 10 ... 95 %.
constexpr std::size_t at(int percent)
{
    return static_cast<std::size_t>(percent / 5 - 1);
}

/// Sums over the forecasts of one horizon, or of all.
struct Sums {
    std::size_t n = 0, in50 = 0, in80 = 0, in90 = 0;
    double crps = 0.0, crpsPairedLast = 0.0, crpsLast = 0.0, crpsPairedLine = 0.0, crpsLine = 0.0;
    std::size_t pairedLast = 0, pairedLine = 0;
    std::vector<double> errors, lastErrors;
    std::set<std::size_t> sensors;
};

HorizonScore scoreFrom(const Sums& s, double weeks, std::size_t chances, std::size_t abstained)
{
    HorizonScore h;
    h.weeks = weeks;
    h.n = s.n;
    h.sensors = s.sensors.size();
    h.abstainedShare = chances > 0 ? static_cast<double>(abstained) / static_cast<double>(chances) : 0.0;
    if (s.n == 0)
        return h;
    const double n = static_cast<double>(s.n);
    h.coverage50 = static_cast<double>(s.in50) / n;
    h.coverage80 = static_cast<double>(s.in80) / n;
    h.coverage90 = static_cast<double>(s.in90) / n;
    const double x = static_cast<double>(s.in80);
    if (s.in80 > 0)
        h.coverage80Lower = quantile(boost::math::beta_distribution<>(x, n - x + 1.0), 0.025);
    if (s.in80 < s.n)
        h.coverage80Upper = quantile(boost::math::beta_distribution<>(x + 1.0, n - x), 0.975);
    h.crps = s.crps / n;
    if (s.pairedLast >= kLeastScored && s.crpsLast > 0.0)
        h.skillLastValue = 1.0 - s.crpsPairedLast / s.crpsLast;
    if (s.pairedLine >= kLeastScored && s.crpsLine > 0.0)
        h.skillStraightLine = 1.0 - s.crpsPairedLine / s.crpsLine;
    h.medianAbsError = medianOf(s.errors);
    h.medianAbsErrorLastValue = medianOf(s.lastErrors);
    if (s.n < kLeastVerdict)
        h.verdict = "not enough yet";
    else if (h.coverage80Upper < 0.80)
        h.verdict = "too narrow";
    else if (h.coverage80Lower > 0.80)
        h.verdict = "too wide";
    else
        h.verdict = "honest";
    return h;
}

}  // namespace

std::array<double, kScoreLevels> quantilesOf(std::vector<double> errors, double centre)
{
    std::ranges::sort(errors);
    std::array<double, kScoreLevels> q{};
    for (std::size_t i = 0; i < kScoreLevels; ++i) {
        const double place = 0.05 * static_cast<double>(i + 1) * static_cast<double>(errors.size() - 1);
        const auto k = static_cast<std::size_t>(place);
        const double next = k + 1 < errors.size() ? errors[k + 1] : errors[k];
        q[i] = std::max(kLeastEfficiency, centre + errors[k] + (place - static_cast<double>(k)) * (next - errors[k]));
    }
    return q;
}

double crpsOfQuantiles(const std::array<double, kScoreLevels>& q, double outcome)
{
    double sum = 0.0;
    for (std::size_t i = 0; i < kScoreLevels; ++i) {
        const double tau = 0.05 * static_cast<double>(i + 1), d = outcome - q[i];
        sum += d >= 0.0 ? tau * d : (tau - 1.0) * d;
    }
    return 2.0 * sum / static_cast<double>(kScoreLevels);
}

double crpsOfNormal(double mean, double sd, double outcome)
{
    const double z = (outcome - mean) / sd;
    return sd * (z * (2.0 * normalBelow(z) - 1.0) + 2.0 * normalDensity(z) - 0.5641895835477563);
}

double crpsOfEnsemble(std::span<const double> members, double outcome)
{
    const double n = static_cast<double>(members.size());
    double first = 0.0, second = 0.0;
    for (const double x : members) {
        first += std::abs(x - outcome);
        for (const double y : members)
            second += std::abs(x - y);
    }
    return first / n - second / (2.0 * n * n);
}

BrierParts brierOf(std::span<const double> said, std::span<const bool> came, std::span<const std::size_t> bins)
{
    BrierParts parts;
    const double n = static_cast<double>(said.size());
    struct Bin {
        double n = 0.0, said = 0.0, came = 0.0;
    };
    std::map<std::size_t, Bin> byBin;
    double base = 0.0;
    for (std::size_t i = 0; i < said.size(); ++i) {
        const double y = came[i] ? 1.0 : 0.0;
        parts.score += (said[i] - y) * (said[i] - y) / n;
        base += y / n;
        Bin& b = byBin[bins[i]];
        b.n += 1.0;
        b.said += said[i];
        b.came += y;
    }
    for (const auto& [key, b] : byBin) {
        const double mean = b.said / b.n, share = b.came / b.n;
        parts.reliability += b.n / n * (mean - share) * (mean - share);
        parts.resolution += b.n / n * (share - base) * (share - base);
    }
    parts.uncertainty = base * (1.0 - base);
    parts.skill = parts.uncertainty > 0.0 ? 1.0 - parts.score / parts.uncertainty : 0.0;
    return parts;
}

Score scoreOf(const Shop& shop, const Walk& walk, std::size_t worst)
{
    Score score;
    score.origins = walk.origins.size();
    std::array<Sums, kBands> sums;
    Sums all;
    score.pit.resize(10);
    for (std::size_t i = 0; i < 10; ++i)
        score.pit[i] = {0.1 * static_cast<double>(i), 0.1 * static_cast<double>(i + 1), 0};
    // Errors of "it stays as it was", by application and horizon, known at each origin.
    struct Known {
        std::map<std::pair<std::string, std::size_t>, std::vector<double>> own;
        std::array<std::vector<double>, kBands> any;
    };
    std::map<std::int64_t, Known> knownAt;
    for (const Origin& origin : walk.origins) {
        Known& known = knownAt[origin.at.utcSeconds];
        for (const PastForecast& f : walk.past)
            if (f.outcomeAt <= origin.at) {
                known.own[{shop.groups[f.group].application, f.band}].push_back(f.outcome - f.lastValue);
                known.any[f.band].push_back(f.outcome - f.lastValue);
            }
    }
    std::vector<std::pair<double, std::size_t>> misses;
    for (std::size_t i = 0; i < walk.past.size(); ++i) {
        const PastForecast& f = walk.past[i];
        const double crps = crpsOfQuantiles(f.q, f.outcome);
        const Known& known = knownAt[f.origin.utcSeconds];
        const std::vector<double>* errors = nullptr;
        if (const auto it = known.own.find({shop.groups[f.group].application, f.band});
            it != known.own.end() && it->second.size() >= kLeastErrors)
            errors = &it->second;
        else if (known.any[f.band].size() >= kLeastErrors)
            errors = &known.any[f.band];
        const std::optional<double> last =
            errors ? std::optional(crpsOfQuantiles(quantilesOf(*errors, f.lastValue), f.outcome)) : std::nullopt;
        std::optional<double> line;
        if (f.line) {
            const boost::math::students_t t(f.lineT);
            std::array<double, kScoreLevels> q{};
            for (std::size_t k = 0; k < kScoreLevels; ++k)
                q[k] = std::clamp(*f.line + *f.lineSd * quantile(t, 0.05 * static_cast<double>(k + 1)), kLeastEfficiency, kMostEfficiency);
            line = crpsOfQuantiles(q, f.outcome);
        }
        for (Sums* s : {&sums[f.band], &all}) {
            ++s->n;
            s->in50 += f.outcome >= f.q[at(25)] && f.outcome <= f.q[at(75)] ? 1 : 0;
            s->in80 += f.outcome >= f.q[at(10)] && f.outcome <= f.q[at(90)] ? 1 : 0;
            s->in90 += f.outcome >= f.q[at(5)] && f.outcome <= f.q[at(95)] ? 1 : 0;
            s->crps += crps;
            if (last) {
                ++s->pairedLast;
                s->crpsPairedLast += crps;
                s->crpsLast += *last;
            }
            if (line) {
                ++s->pairedLine;
                s->crpsPairedLine += crps;
                s->crpsLine += *line;
            }
            s->errors.push_back(std::abs(f.outcome - f.q[at(50)]));
            s->lastErrors.push_back(std::abs(f.outcome - f.lastValue));
            s->sensors.insert(f.sensor);
        }
        std::size_t bin = 0;
        while (bin < 9 && f.outcome > f.q[2 * bin + 1])
            ++bin;
        ++score.pit[bin].n;
        const double width = std::max(f.q[at(90)] - f.q[at(10)], 0.1);
        const double off = std::max(f.q[at(10)] - f.outcome, f.outcome - f.q[at(90)]) / width;
        if (off > 0.0)
            misses.emplace_back(off, i);
    }
    std::size_t chances = 0, abstained = 0;
    for (std::size_t b = 0; b < kBands; ++b) {
        std::size_t c = 0, a = 0;
        for (const Origin& o : walk.origins) {
            c += o.chancesOf[b];
            a += o.abstainedOf[b];
        }
        chances += c;
        abstained += a;
        if (c > 0)
            score.horizons.push_back(scoreFrom(sums[b], kBandWeeks[b], c, a));
    }
    score.all = scoreFrom(all, 0.0, chances, abstained);
    std::ranges::stable_sort(misses, [](const auto& x, const auto& y) { return x.first > y.first; });
    for (std::size_t i = 0; i < misses.size() && i < worst; ++i) {
        const PastForecast& f = walk.past[misses[i].second];
        score.worst.push_back(
            {shop.series[f.sensor].serial, f.origin, f.outcomeAt, f.weeks, f.q[at(10)], f.q[at(50)], f.q[at(90)], f.outcome});
    }
    if (all.n < kLeastScored)
        score.abstained = "fewer than ten past forecasts have their outcome in the book: no score yet";
    return score;
}

}  // namespace halfcell::core::outlook
