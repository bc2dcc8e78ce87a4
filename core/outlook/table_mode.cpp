#include "core/outlook/table_mode.h"

#include "core/outlook/fixed_exp.h"
#include "core/outlook/in_ranges.h"
#include "core/quantity/median.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace halfcell::core::outlook {
namespace {

constexpr double kPriorLifeSd = 0.4, kPriorLifeWeight = 2.0, kCurveFloor = 0.15, kLeastGain = 2.0;
constexpr std::array kScatter{0.003, 0.006, 0.0125, 0.025, 0.05, 0.1};  // of the loss, squared
constexpr std::array kLossNoise{0.0003, 0.001, 0.003, 0.01, 0.03};      // of the loss
constexpr std::array kWander{1e-5, 1e-4, 1e-3, 1e-2};                   // of the loss squared

struct Unit {
    std::string name;
    std::vector<TableRow> rows;  ///< by time, values falling
};

Result<std::vector<Unit>> unitsOf(std::span<const TableRow> rows, bool rising)
{
    std::vector<Unit> units;
    std::map<std::string, std::size_t> index;
    for (const TableRow& row : rows) {
        if (!std::isfinite(row.time) || !std::isfinite(row.value)) {
            Error error{.code = Errc::BadInput, .detail = "time and value must be finite numbers", .remedy = "leave out the row"};
            error.line = row.line;
            return std::unexpected(error);
        }
        const auto [it, fresh] = index.try_emplace(row.unit, units.size());
        if (fresh)
            units.push_back({row.unit, {}});
        TableRow falling = row;
        falling.value = rising ? -row.value : row.value;
        units[it->second].rows.push_back(falling);
    }
    for (Unit& u : units) {
        std::ranges::stable_sort(u.rows, {}, &TableRow::time);
        for (std::size_t i = 1; i < u.rows.size(); ++i)
            if (u.rows[i].time == u.rows[i - 1].time) {
                Error error{.code = Errc::BadInput,
                            .detail = fmt::format("unit {} has two values at time {:g}", u.name, u.rows[i].time),
                            .field = "time",
                            .remedy = "keep one of them, or their mean"};
                error.line = u.rows[i].line;
                return std::unexpected(error);
            }
    }
    return units;
}

AgeingFilter filterOf(const Unit& unit, const FleetNumbers& fleet, const GroupNumbers& group, bool skipFirst)
{
    AgeingFilter filter(fleet, group, true);
    for (std::size_t i = skipFirst ? 1 : 0; i < unit.rows.size(); ++i) {
        filter.moveTo(unit.rows[i].time - unit.rows.front().time);
        filter.takeReading({.value = unit.rows[i].value});
    }
    return filter;
}

class TableLearner {
public:
    TableLearner(const std::vector<Unit>& units, FleetNumbers fleet, bool skipFirst, unsigned threads)
        : m_units(units), m_fleet(fleet), m_skipFirst(skipFirst), m_threads(threads)
    {
    }
    void run();
    [[nodiscard]] const FleetNumbers& fleet() const { return m_fleet; }
    [[nodiscard]] const GroupNumbers& group() const { return m_group; }
    [[nodiscard]] std::size_t taught() const { return m_chosen.size(); }

private:
    double pass();
    void shares(int times);
    template <std::size_t N, class Set>
    void ladder(const std::array<double, N>& values, double& present, const Set& set);

    const std::vector<Unit>& m_units;
    FleetNumbers m_fleet;
    GroupNumbers m_group;
    bool m_skipFirst;
    unsigned m_threads;
    std::vector<std::size_t> m_chosen;
    struct Taught {
        double log = 0.0, lnLife = 0.0, var = 0.0;
        std::array<double, kCurves> curves{};
    };
    std::vector<Taught> m_taught;
    double m_startLnLife = 0.0;
    double m_scatter = 0.0125, m_lossNoise = 0.003, m_wander = 1e-3;
};

double TableLearner::pass()
{
    inRanges(m_chosen.size(), m_threads, [&](std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) {
            const AgeingFilter f = filterOf(m_units[m_chosen[i]], m_fleet, m_group, m_skipFirst);
            const MeanVar life = f.lnLife();
            m_taught[i] = {f.logLikelihood(), life.mean, life.var, f.curveWeights()};
        }
    });
    double sum = 0.0;
    for (const Taught& t : m_taught)
        sum += t.log;
    return sum;
}

void TableLearner::shares(int times)
{
    for (int step = 0; step < times; ++step) {
        pass();
        const double n = static_cast<double>(m_taught.size());
        double sum = m_startLnLife;
        std::array<double, kCurves> curves{};
        for (const Taught& t : m_taught) {
            sum += t.lnLife;
            for (std::size_t h = 0; h < kCurves; ++h)
                curves[h] += t.curves[h];
        }
        const double mu = sum / (n + 1.0);
        double spread = kPriorLifeWeight * kPriorLifeSd * kPriorLifeSd;
        for (const Taught& t : m_taught)
            spread += (t.lnLife - mu) * (t.lnLife - mu) + t.var;
        m_group.lnLifeMean = mu;
        m_group.lnLifeSd = std::sqrt(spread / (n + kPriorLifeWeight));
        double all = 0.0;
        for (double& c : curves)
            all += c += kCurveFloor;
        for (std::size_t h = 0; h < kCurves; ++h)
            m_group.curveShare[h] = curves[h] / all;
    }
}

template <std::size_t N, class Set>
void TableLearner::ladder(const std::array<double, N>& values, double& present, const Set& set)
{
    set(present);
    double best = present, bestLog = pass() + kLeastGain;
    for (const double value : values) {
        if (value == present)
            continue;
        set(value);
        if (const double log = pass(); log > bestLog) {
            best = value;
            bestLog = log;
        }
    }
    present = best;
    set(present);
}

void TableLearner::run()
{
    const double d = m_fleet.loss, start = m_fleet.levelMean;
    std::vector<double> lives;
    for (std::size_t i = 0; i < m_units.size(); ++i) {
        const Unit& u = m_units[i];
        if (u.rows.size() < (m_skipFirst ? 3U : 2U))
            continue;
        m_chosen.push_back(i);
        // Straight line through the start.
        double tt = 0.0, ty = 0.0;
        for (const TableRow& r : u.rows) {
            const double t = r.time - u.rows.front().time;
            tt += t * t;
            ty += t * (start - r.value);
        }
        const double last = u.rows.back().time - u.rows.front().time;
        const double rate = std::max(ty / tt, 0.02 * d / last);
        lives.push_back(fixedLog(d / rate));
    }
    m_taught.resize(m_chosen.size());
    if (m_chosen.empty())
        return;
    m_startLnLife = medianOf(lives);
    double mean = 0.0, sd = 0.0;
    const double n = static_cast<double>(lives.size());
    for (const double l : lives)
        mean += l / n;
    for (const double l : lives)
        sd += (l - mean) * (l - mean) / std::max(n - 1.0, 1.0);
    m_group.lnLifeMean = m_startLnLife;
    m_group.lnLifeSd = std::max(0.5, 1.5 * std::sqrt(sd));
    const auto scatter = [&](double v) { m_fleet.readingVar = v * v * d * d; };
    const auto lossNoise = [&](double v) { m_group.wander = v * d; };
    const auto wander = [&](double v) { m_group.wanderPerLife = v * d * d; };
    scatter(m_scatter);
    lossNoise(m_lossNoise);
    wander(m_wander);
    m_group.suddenPerLife = 0.01;
    shares(3);
    for (int round = 0; round < 2; ++round) {
        ladder(kScatter, m_scatter, scatter);
        ladder(kLossNoise, m_lossNoise, lossNoise);
        ladder(kWander, m_wander, wander);
        shares(4);
    }
}

std::vector<double> timesToShow(const TableSettings& settings, double last, double life)
{
    if (!settings.at.empty())
        return settings.at;
    return {last + 0.1 * life, last + 0.25 * life, last + 0.5 * life};
}

TableUnit unitOutlook(const Unit& unit, const AgeingFilter& filter, const TableSettings& settings, std::size_t least)
{
    TableUnit out;
    out.unit = unit.name;
    out.readings = unit.rows.size();
    out.lastTime = unit.rows.back().time;
    out.lastValue = settings.rising ? -unit.rows.back().value : unit.rows.back().value;
    const double limit = settings.rising ? -settings.limit : settings.limit;
    for (std::size_t i = 0; i < unit.rows.size(); ++i)
        if (unit.rows[i].value < limit) {
            if (i == 0) {
                out.observed = unit.rows[i].time;
            } else {
                const TableRow &a = unit.rows[i - 1], &b = unit.rows[i];
                out.observed = a.time + (a.value - limit) / (a.value - b.value) * (b.time - a.time);
            }
            break;
        }
    if (unit.rows.size() < least)
        out.abstained = fmt::format("not enough yet: {} reading{}; the range shown is that of all units", unit.rows.size(),
                                    unit.rows.size() == 1 ? "" : "s");
    else if (filter.badProbability() > 0.3)
        out.abstained = "the last reading does not fit the ones before: one more first";
    const double horizon = filter.horizonLimit();
    const CrossingCurve curve = crossingCurve(filter, limit, horizon, horizon / 200.0);
    for (const double at : timesToShow(settings, out.lastTime, horizon)) {
        TableForecast f;
        f.at = at;
        const double ahead = at - out.lastTime;
        if (ahead < 0.0)
            f.abstained = fmt::format("{:g} lies before the last reading at {:g}", at, out.lastTime);
        else if (ahead > horizon * (1.0 + 1e-9))
            f.abstained = fmt::format("{:g} is further than a usual life ({:.4g}) beyond the last reading", at, horizon);
        if (f.abstained.empty()) {
            const Mixture law = tableLaw(filter, ahead);
            for (std::size_t i = 0; i < kLevels.size(); ++i)
                f.q[i] = settings.rising ? -law.quantile(1.0 - kLevels[i]) : law.quantile(kLevels[i]);
            f.crossed = out.observed ? 1.0 : curve.at(ahead);
        }
        out.forecasts.push_back(f);
    }
    out.notBefore = out.lastTime + horizon;
    if (out.observed) {
        out.p10 = out.p50 = out.p90 = out.observed;
    } else if (out.abstained.empty()) {
        const auto when = [&](double p) -> std::optional<double> {
            const auto t = curve.when(p);
            return t ? std::optional(out.lastTime + *t) : std::nullopt;
        };
        out.p10 = when(0.1);
        out.p50 = when(0.5);
        out.p90 = when(0.9);
    }
    return out;
}

}  // namespace

FleetNumbers tableNumbers(double start, double loss)
{
    FleetNumbers fleet;
    fleet.loss = loss;
    fleet.levelMean = start;
    fleet.levelSd = 0.01 * loss;
    fleet.readingVar = 0.0125 * 0.0125 * loss * loss;
    fleet.badShare = 0.01;
    fleet.resetSd = 0.5 * loss;
    fleet.jumpMean = -0.5 * loss;
    fleet.jumpSd = 0.5 * loss;
    fleet.latticeStep = 0.05;
    fleet.horizonMost = 1e300;
    fleet.readTooSoon = false;
    return fleet;
}

AgeingFilter tableFilter(std::span<const TableRow> rows, const FleetNumbers& fleet, const GroupNumbers& group, double start, bool rising)
{
    AgeingFilter filter(fleet, group, true);
    for (const TableRow& row : rows) {
        filter.moveTo(row.time - start);
        filter.takeReading({.value = rising ? -row.value : row.value});
    }
    return filter;
}

Result<TableOutlook> tableOutlook(std::span<const TableRow> rows, const TableSettings& settings)
{
    auto units = unitsOf(rows, settings.rising);
    if (!units)
        return std::unexpected(units.error());
    if (units->empty())
        return failure(Errc::TooFewReadings, "the table has no rows", "give columns unit, time, value");
    std::vector<double> starts;
    for (const Unit& u : *units)
        starts.push_back(u.rows.front().value);
    const double start = medianOf(starts), limit = settings.rising ? -settings.limit : settings.limit;
    const double loss = start - limit;
    if (!(loss > 0.0)) {
        const double shown = settings.rising ? -start : start;
        Error error{.code = Errc::BadInput,
                    .detail = fmt::format("the limit {:g} does not lie {} the start {:g}", settings.limit,
                                          settings.rising ? "above" : "below", shown),
                    .field = "--limit",
                    .remedy = "check the limit, or whether the value falls or rises"};
        return std::unexpected(error);
    }
    TableOutlook out;
    out.knownStart = std::ranges::all_of(starts, [&](double s) { return s == start; });
    FleetNumbers fleet = tableNumbers(start, loss);
    if (!out.knownStart) {
        std::vector<double> off;
        for (const double s : starts)
            off.push_back(std::abs(s - start));
        fleet.levelSd = std::max(fleet.levelSd, 1.4826 * medianOf(off));
    }
    TableLearner learner(*units, fleet, out.knownStart, settings.threads);
    learner.run();
    if (learner.taught() == 0)
        return failure(Errc::TooFewReadings, "no unit has readings enough to learn from",
                       out.knownStart ? "give a unit two readings after its start" : "give a unit two readings");
    out.fleet = learner.fleet();
    out.group = learner.group();
    out.taught = learner.taught();
    for (const Unit& u : *units)
        out.units.push_back(unitOutlook(u, filterOf(u, out.fleet, out.group, out.knownStart), settings, out.knownStart ? 3 : 2));
    return out;
}

}  // namespace halfcell::core::outlook
