#include "core/outlook/learning.h"

#include "core/outlook/fixed_exp.h"
#include "core/outlook/in_ranges.h"
#include "core/outlook/normal_law.h"
#include "core/quantity/median.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace halfcell::core::outlook {
namespace {

constexpr double kLifeFactor = 1.15;  // time to lose 10 % over the usual life of a sensor (our choice)
constexpr double kWeeksPerMonth = 4.345;
constexpr double kPriorLifeSd = 0.4, kPriorLifeWeight = 2.0;
constexpr double kCurvePull = 4.0, kCurveFloor = 0.05;
constexpr double kBorrowed = 5.0;          // sensors' worth of the rest of the fleet in a group's choice
constexpr double kLeastGain = 2.0;         // nats; smaller gains keep the present value
constexpr std::size_t kLeastReadings = 3;  // of a sensor that teaches
constexpr std::size_t kLeastMembers = 3;   // of a group that stands alone
constexpr std::size_t kLeastPairs = 30;    // of wait and response
constexpr std::size_t kMostPairs = 1200;   // of wait and response looked at for how people wait
constexpr double kWaitsGain = 6.0;         // nats for the three numbers more of "until the display stands"
constexpr double kCoarse = 0.25;           // lattice while learning: twice the step, half the work

constexpr std::array kScatter{0.16, 0.36, 0.64, 1.21, 2.25};
constexpr std::array kShared{0.05, 0.2, 0.35, 0.5};
constexpr std::array kResponseAge{0.0, 0.6, 1.2, 1.8, 2.4};
constexpr std::array kResponseVar{0.0025, 0.01, 0.04, 0.1225};
constexpr std::array kSudden{0.01, 0.05, 0.15, 0.4, 1.0};
constexpr std::array kWander{0.1, 0.5, 2.0, 6.0};
constexpr std::array kLossNoise{0.01, 0.03, 0.1, 0.3};
constexpr std::array kMemory{0.5, 1.0, 2.0};

/// What one sensor gave in one pass.
struct Taught {
    double logLikelihood = 0.0, lnLife = 0.0, lnLifeVar = 0.0;
    std::array<double, kCurves> curves{};
    std::vector<Innovation> innovations;
};

class Learner {
public:
    Learner(const Shop& shop, const Instant& cut, const LearnSettings& settings, const Model* start)
        : m_shop(shop), m_cut(cut), m_settings(settings), m_start(start), m_model(defaultModel(shop, cut))
    {
    }

    Result<Model> run();

private:
    void choose();
    void simpleNumbers();
    void inherit();
    bool step();
    void pass();
    void settle();
    void shares();
    template <std::size_t N, class Set>
    void fleetLadder(const std::array<double, N>& values, double present, bool newRounds, const Set& set);
    template <std::size_t N, class Get, class Set>
    void groupLadder(const std::array<double, N>& values, const Get& get, const Set& set);
    [[nodiscard]] std::vector<double> groupLogs() const;
    [[nodiscard]] double total() const;
    void offsets();
    [[nodiscard]] std::size_t groupOfSeries(std::size_t s) const { return m_group[s]; }

    const Shop& m_shop;
    Instant m_cut;
    const LearnSettings& m_settings;
    const Model* m_start;
    Model m_model;
    std::vector<std::size_t> m_chosen, m_group;  // series indices; effective group of each
    std::vector<Taught> m_taught;
    double m_done = 0.0, m_steps = 60.0;
    bool m_stopped = false;
};

std::optional<std::size_t> homeGroup(const Series& series, const Instant& cut)
{
    std::optional<std::size_t> last;
    for (const SeriesVisit& v : series.visits)
        if (v.when <= cut && v.efficiency_pct)
            last = v.group;
    return last;
}

void Learner::choose()
{
    std::map<std::size_t, std::vector<std::size_t>> byGroup;
    for (std::size_t s = 0; s < m_shop.series.size(); ++s) {
        const Series& series = m_shop.series[s];
        if (series.kind != SensorKind::Ph || series.cleanReadings(m_cut) < kLeastReadings)
            continue;
        byGroup[m_model.groupOf[*homeGroup(series, m_cut)]].push_back(s);
    }
    for (const auto& [group, members] : byGroup) {
        m_model.groups[group].sensors = members.size();
        const std::size_t take = std::min(members.size(), m_settings.sensorsPerGroup);
        for (std::size_t i = 0; i < take; ++i) {
            m_chosen.push_back(members[i * members.size() / take]);
            m_group.push_back(group);
        }
    }
    m_taught.resize(m_chosen.size());
}

/// Log-likelihood of waits: ln w ~ N(A + B ln r, sd), for a share of the readings at least ln r + N(settle, sd): the density of the
/// larger of the two.
double lnWaits(const std::vector<std::pair<double, double>>& pairs, const FleetNumbers& f)
{
    double sum = 0.0;
    for (const auto& [lnR, lnW] : pairs) {
        const double clock = (lnW - f.waitA - f.waitB * lnR) / f.waitSd, settled = (lnW - lnR - f.settleLn) / f.settleSd;
        const double byClock = normalDensity(clock) / f.waitSd;
        const double larger = byClock * normalBelow(settled) + normalDensity(settled) / f.settleSd * normalBelow(clock);
        sum += fixedLog(std::max(1e-12, (1.0 - f.settleShare) * byClock + f.settleShare * larger));
    }
    return sum;
}

/// Do people wait by the clock, or until the display stands? Both, in shares that are sought here; the straight line through
/// (ln t90, ln wait) stays where that explains the waits no better.
void learnWaits(const std::vector<std::pair<double, double>>& all, FleetNumbers& fleet)
{
    std::vector<std::pair<double, double>> pairs;
    const std::size_t take = std::min(all.size(), kMostPairs);
    for (std::size_t i = 0; i < take; ++i)
        pairs.push_back(all[i * all.size() / take]);
    FleetNumbers best = fleet;
    best.waitB = 0.0;
    std::vector<double> waits;
    for (const auto& [lnR, lnW] : pairs)
        waits.push_back(lnW);
    best.waitA = medianOf(waits);
    best.settleShare = 0.5;
    struct Axis {
        double FleetNumbers::*number;
        double step, least, most;
    };
    std::array<Axis, 5> axes{{{&FleetNumbers::waitA, 0.4, 0.0, 9.0},
                              {&FleetNumbers::waitSd, 0.2, 0.1, 1.5},
                              {&FleetNumbers::settleLn, 0.4, -1.0, 3.0},
                              {&FleetNumbers::settleSd, 0.1, 0.1, 1.0},
                              {&FleetNumbers::settleShare, 0.2, 0.0, 1.0}}};
    double top = lnWaits(pairs, best);
    for (int halving = 0; halving < 5; ++halving) {
        for (bool moved = true; moved;) {
            moved = false;
            for (const Axis& axis : axes)
                for (const double way : {-1.0, 1.0}) {
                    FleetNumbers tried = best;
                    tried.*axis.number = std::clamp(best.*axis.number + way * axis.step, axis.least, axis.most);
                    if (const double t = lnWaits(pairs, tried); t > top + 1e-6) {
                        top = t;
                        best = tried;
                        moved = true;
                    }
                }
        }
        for (Axis& axis : axes)
            axis.step *= 0.5;
    }
    FleetNumbers line = fleet;
    line.settleShare = 0.0;
    if (top > lnWaits(pairs, line) + kWaitsGain)
        fleet = best;
}

/// Medians of early readings, and how long people wait for a slow sensor.
void Learner::simpleNumbers()
{
    FleetNumbers& fleet = m_model.fleet;
    std::vector<double> levels, responses;
    std::vector<std::pair<double, double>> pairs;
    std::size_t waits = 0, t90s = 0;
    for (const Series& s : m_shop.series) {
        std::size_t early = 0;
        for (const SeriesVisit& v : s.visits) {
            if (v.when > m_cut)
                break;
            if (s.kind != SensorKind::Ph)
                continue;
            waits += v.wait_s ? 1 : 0;
            t90s += v.t90_s ? 1 : 0;
            if (v.wait_s && v.t90_s)
                pairs.emplace_back(fixedLog(*v.t90_s), fixedLog(*v.wait_s));
            const double usual = m_shop.groups[v.group].usualLifeMonths * kWeeksPerMonth;
            if (!s.knownStart || v.weeks > 0.15 * usual || !v.efficiency_pct || early >= 3)
                continue;
            ++early;
            levels.push_back(*v.efficiency_pct);
            if (v.t90_s)
                responses.push_back(fixedLog(*v.t90_s) - lnColdResponse(v.temp_c.value_or(20.0)));
        }
    }
    if (levels.size() >= 10)
        fleet.levelMean = medianOf(levels);
    if (responses.size() >= 10)
        fleet.lnResponseMean = medianOf(responses);
    fleet.readTooSoon = waits + t90s > 0;
    if (pairs.size() >= kLeastPairs) {
        double mx = 0.0, my = 0.0;
        for (const auto& [x, y] : pairs) {
            mx += x;
            my += y;
        }
        const double n = static_cast<double>(pairs.size());
        mx /= n;
        my /= n;
        double xx = 0.0, xy = 0.0, yy = 0.0;
        for (const auto& [x, y] : pairs) {
            xx += (x - mx) * (x - mx);
            xy += (x - mx) * (y - my);
            yy += (y - my) * (y - my);
        }
        fleet.waitB = xx > 0.0 ? std::clamp(xy / xx, 0.0, 1.0) : 0.0;
        fleet.waitA = my - fleet.waitB * mx;
        fleet.waitSd = std::clamp(std::sqrt(std::max(0.0, yy - fleet.waitB * xy) / n), 0.1, 1.5);
        learnWaits(pairs, fleet);
    }
    // Too soon a reading shows a lower level than the sensor has; the early medians are lifted by what is missed.
    if (fleet.readTooSoon) {
        const MeanVar fresh{fleet.lnResponseMean, fleet.lnResponseSd * fleet.lnResponseSd};
        fleet.levelMean = std::min(100.0, fleet.levelMean / (1.0 - tooSoonOf(fleet, {}, {}, {}, fresh).mean));
    }
}

void Learner::inherit()
{
    if (!m_start)
        return;
    const FleetNumbers& old = m_start->fleet;
    FleetNumbers& fleet = m_model.fleet;
    fleet.readingVar = old.readingVar;
    fleet.sharedSd = old.sharedSd;
    fleet.responseVar = old.responseVar;
    for (std::size_t g = 0; g < m_shop.groups.size() && g < m_start->groupOf.size(); ++g) {
        GroupModel& group = m_model.groups[m_model.groupOf[g]];
        const GroupModel& was = m_start->of(g);
        group.level = was.level;
        group.offset = was.offset;
    }
}

bool Learner::step()
{
    ++m_done;
    if (m_settings.progress && !m_stopped)
        m_stopped = !m_settings.progress(std::min(1.0, m_done / m_steps));
    return !m_stopped;
}

void Learner::pass()
{
    if (!step())
        return;
    ++m_model.passes;
    Model coarse = m_model;
    coarse.fleet.latticeStep = kCoarse;
    inRanges(m_chosen.size(), m_settings.threads, [&](std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) {
            const Series& series = m_shop.series[m_chosen[i]];
            const Replay r = replay(series, coarse, m_cut);
            Taught& t = m_taught[i];
            t.logLikelihood = r.level.logLikelihood();
            const MeanVar life = r.level.lnLife();
            t.lnLife = life.mean;
            t.lnLifeVar = life.var;
            t.curves = r.level.curveWeights();
            t.innovations.clear();
            for (const ReplayedVisit& v : r.taken)
                if (const auto round = series.visits[v.visit].round)
                    t.innovations.push_back({*round, v.taken.innovation, v.taken.innovationVar});
        }
    });
}

void Learner::settle()
{
    std::vector<Innovation> all;
    for (const Taught& t : m_taught)
        all.insert(all.end(), t.innovations.begin(), t.innovations.end());
    m_model.rounds = roundShifts(m_shop, m_model.fleet, std::move(all));
}

void Learner::shares()
{
    std::array<double, kCurves> fleet{};
    double n = 0.0;
    for (const Taught& t : m_taught) {
        for (std::size_t h = 0; h < kCurves; ++h)
            fleet[h] += t.curves[h];
        n += 1.0;
    }
    for (double& f : fleet)
        f = (f + 1.0 / static_cast<double>(kCurves)) / (n + 1.0);
    for (std::size_t g = 0; g < m_model.groups.size(); ++g) {
        GroupModel& group = m_model.groups[g];
        double sum = 0.0, count = 0.0;
        std::array<double, kCurves> curves{};
        for (std::size_t i = 0; i < m_chosen.size(); ++i)
            if (m_group[i] == g) {
                sum += m_taught[i].lnLife;
                count += 1.0;
                for (std::size_t h = 0; h < kCurves; ++h)
                    curves[h] += m_taught[i].curves[h];
            }
        const double mu = (sum + group.defaultLnLife) / (count + 1.0);
        double spread = kPriorLifeWeight * kPriorLifeSd * kPriorLifeSd;
        for (std::size_t i = 0; i < m_chosen.size(); ++i)
            if (m_group[i] == g)
                spread += (m_taught[i].lnLife - mu) * (m_taught[i].lnLife - mu) + m_taught[i].lnLifeVar;
        group.level.lnLifeMean = mu;
        group.level.lnLifeSd = std::sqrt(spread / (count + kPriorLifeWeight));
        double all = 0.0;
        for (std::size_t h = 0; h < kCurves; ++h) {
            curves[h] += kCurvePull * fleet[h] + kCurveFloor;
            all += curves[h];
        }
        for (std::size_t h = 0; h < kCurves; ++h)
            group.level.curveShare[h] = curves[h] / all;
    }
}

double Learner::total() const
{
    double sum = 0.0;
    for (const Taught& t : m_taught)
        sum += t.logLikelihood;
    for (const RoundShift& r : m_model.rounds)
        sum += r.logTerm;
    return sum;
}

std::vector<double> Learner::groupLogs() const
{
    std::vector<double> logs(m_model.groups.size(), 0.0);
    for (std::size_t i = 0; i < m_chosen.size(); ++i)
        logs[m_group[i]] += m_taught[i].logLikelihood;
    return logs;
}

/// Neighbours of the present value when an earlier model is at hand, else all.
template <std::size_t N>
std::vector<double> triedValues(const std::array<double, N>& values, double present, bool neighboursOnly)
{
    std::size_t nearest = 0;
    for (std::size_t i = 1; i < N; ++i)
        if (std::abs(values[i] - present) < std::abs(values[nearest] - present))
            nearest = i;
    std::vector<double> tried;
    for (std::size_t i = 0; i < N; ++i)
        if (!neighboursOnly || (i + 1 >= nearest && i <= nearest + 1))
            tried.push_back(values[i]);
    return tried;
}

template <std::size_t N, class Set>
void Learner::fleetLadder(const std::array<double, N>& values, double present, bool newRounds, const Set& set)
{
    const std::vector<RoundShift> rounds = m_model.rounds;
    const auto judged = [&](double value) {
        set(m_model.fleet, value);
        if (newRounds)
            settle();
        pass();
        return total();
    };
    double best = present, bestTotal = judged(present) + kLeastGain;
    std::vector<RoundShift> bestRounds = m_model.rounds;
    for (const double value : triedValues(values, present, m_start != nullptr)) {
        if (value == present || m_stopped)
            continue;
        m_model.rounds = rounds;
        if (const double t = judged(value); t > bestTotal) {
            best = value;
            bestTotal = t;
            bestRounds = m_model.rounds;
        }
    }
    set(m_model.fleet, best);
    m_model.rounds = bestRounds;
}

template <std::size_t N, class Get, class Set>
void Learner::groupLadder(const std::array<double, N>& values, const Get& get, const Set& set)
{
    const std::size_t groups = m_model.groups.size();
    std::vector<double> present(groups), count(groups, 0.0);
    double n = 0.0;
    for (std::size_t g = 0; g < groups; ++g)
        present[g] = get(m_model.groups[g].level);
    for (const std::size_t g : m_group) {
        count[g] += 1.0;
        n += 1.0;
    }
    // Every group at the same value, so that groups can lend to each other.
    std::vector<double> tried;
    std::vector<std::vector<double>> logs;
    for (const double value : values) {
        if (m_start && std::ranges::none_of(present, [&](double p) {
                const auto near = triedValues(values, p, true);
                return std::ranges::find(near, value) != near.end();
            }))
            continue;
        for (GroupModel& g : m_model.groups)
            set(g.level, value);
        pass();
        tried.push_back(value);
        logs.push_back(groupLogs());
    }
    for (std::size_t g = 0; g < groups; ++g) {
        const auto gain = [&](std::size_t i) {
            double all = 0.0;
            for (const double l : logs[i])
                all += l;
            const double rest = n - count[g];
            return logs[i][g] + (rest > 0.0 ? kBorrowed * (all - logs[i][g]) / rest : 0.0);
        };
        std::size_t best = 0;
        for (std::size_t i = 1; i < tried.size(); ++i)
            if (gain(i) > gain(best))
                best = i;
        std::size_t was = best;
        for (std::size_t i = 0; i < tried.size(); ++i)
            if (tried[i] == present[g])
                was = i;
        set(m_model.groups[g].level, gain(best) > gain(was) + kLeastGain ? tried[best] : tried[was]);
    }
}

/// Drift and scatter of the offset per group.
void Learner::offsets()
{
    struct Choice {
        double r, q, qd;
    };
    std::vector<Choice> choices;
    for (const double r : {4.0, 9.0, 16.0})
        for (const double q : {0.1, 0.36, 1.0, 2.5})
            for (const double qd : {0.0, 1e-4, 1e-3})
                choices.push_back({r, q, qd});
    std::vector<std::vector<std::size_t>> members(m_model.groups.size());
    for (std::size_t s = 0; s < m_shop.series.size(); ++s) {
        const Series& series = m_shop.series[s];
        std::size_t n = 0, group = 0;
        for (const SeriesVisit& v : series.visits)
            if (v.when <= m_cut && v.offset_mv) {
                ++n;
                group = v.group;
            }
        if (n >= kLeastReadings)
            members[m_model.groupOf[group]].push_back(s);
    }
    inRanges(m_model.groups.size(), m_settings.threads, [&](std::size_t first, std::size_t last) {
        for (std::size_t g = first; g < last; ++g) {
            auto& own = members[g];
            const std::size_t take = std::min(own.size(), m_settings.sensorsPerGroup);
            std::vector<std::size_t> chosen;
            for (std::size_t i = 0; i < take; ++i)
                chosen.push_back(own[i * own.size() / take]);
            const auto filtered = [&](const Series& series, const OffsetNumbers& numbers) {
                OffsetFilter f(numbers, series.knownStart, 0.0);
                for (const SeriesVisit& v : series.visits) {
                    if (v.when > m_cut)
                        break;
                    if (!v.offset_mv && v.offsetEventVar <= 0.0)
                        continue;
                    f.moveTo(v.weeks);
                    f.event(v.offsetEventVar);
                    if (v.offset_mv)
                        f.takeReading(*v.offset_mv, 0.0);
                }
                return f;
            };
            OffsetNumbers best = m_model.groups[g].offset;
            double bestLog = -1e300;
            for (const Choice& c : choices) {
                OffsetNumbers numbers = m_model.groups[g].offset;
                numbers.readingVar = c.r;
                numbers.wander = c.q;
                numbers.driftWander = c.qd;
                double log = 0.0;
                for (const std::size_t s : chosen)
                    log += filtered(m_shop.series[s], numbers).logLikelihood();
                if (log > bestLog) {
                    bestLog = log;
                    best = numbers;
                }
            }
            for (int step = 0; step < 3; ++step) {
                double sum = 2.0 * -0.3, n = 2.0, spread = 0.0;
                std::vector<std::pair<double, double>> drifts;
                for (const std::size_t s : chosen) {
                    const OffsetFilter f = filtered(m_shop.series[s], best);
                    drifts.emplace_back(f.drift(), f.driftVar());
                    sum += f.drift();
                    n += 1.0;
                }
                best.driftMean = sum / n;
                spread = 2.0 * 0.09;
                for (const auto& [d, v] : drifts)
                    spread += (d - best.driftMean) * (d - best.driftMean) + v;
                best.driftVar = std::clamp(spread / n, 0.005, 4.0);
            }
            m_model.groups[g].offset = best;
        }
    });
}

Result<Model> Learner::run()
{
    choose();
    simpleNumbers();
    inherit();
    m_model.rounds = freshRounds(m_shop, m_model.fleet);
    if (!m_chosen.empty()) {
        for (int i = 0; i < m_settings.sharesPasses && !m_stopped; ++i) {
            pass();
            settle();
            shares();
        }
        if (m_settings.ladders && !m_stopped) {
            FleetNumbers& fleet = m_model.fleet;
            fleetLadder(kShared, fleet.sharedSd, true, [](FleetNumbers& f, double v) { f.sharedSd = v; });
            fleetLadder(kScatter, fleet.readingVar, false, [](FleetNumbers& f, double v) { f.readingVar = v; });
            groupLadder(
                kResponseAge, [](const GroupNumbers& g) { return g.responseAge; }, [](GroupNumbers& g, double v) { g.responseAge = v; });
            fleetLadder(kResponseVar, fleet.responseVar, false, [](FleetNumbers& f, double v) { f.responseVar = v; });
            groupLadder(
                kSudden, [](const GroupNumbers& g) { return g.suddenPerLife; }, [](GroupNumbers& g, double v) { g.suddenPerLife = v; });
            groupLadder(
                kWander, [](const GroupNumbers& g) { return g.wanderPerLife; }, [](GroupNumbers& g, double v) { g.wanderPerLife = v; });
            groupLadder(
                kLossNoise, [](const GroupNumbers& g) { return g.wander; }, [](GroupNumbers& g, double v) { g.wander = v; });
            groupLadder(
                kMemory, [](const GroupNumbers& g) { return g.memory; }, [](GroupNumbers& g, double v) { g.memory = v; });
        }
        for (int i = 0; i < m_settings.sharesPasses && !m_stopped; ++i) {
            pass();
            settle();
            shares();
        }
    }
    if (!m_stopped)
        offsets();
    if (m_settings.progress)
        m_stopped = !m_settings.progress(1.0) || m_stopped;
    if (m_stopped)
        return failure(Errc::Cancelled, "stopped while learning the outlook");
    settleRounds(m_shop, m_model, m_settings.threads);
    return std::move(m_model);
}

}  // namespace

Model defaultModel(const Shop& shop, const Instant& cut)
{
    Model model;
    model.cut = cut;
    std::vector<std::size_t> members(shop.groups.size(), 0);
    for (const Series& s : shop.series) {
        if (s.kind != SensorKind::Ph)
            continue;
        if (const auto home = homeGroup(s, cut))
            ++members[*home];
    }
    std::map<std::pair<std::string, std::string>, std::size_t> byModel;
    std::map<std::string, std::size_t> byApplication;
    for (std::size_t g = 0; g < shop.groups.size(); ++g) {
        byModel[{shop.groups[g].model, shop.groups[g].application}] += members[g];
        byApplication[shop.groups[g].application] += members[g];
    }
    std::map<std::string, std::size_t> made;
    const auto shown = [](const std::string& text) { return text.empty() ? std::string("other uses") : text; };
    for (std::size_t g = 0; g < shop.groups.size(); ++g) {
        const GroupKey& key = shop.groups[g];
        Pooling pooling = Pooling::Everything;
        std::string words = "all sensors";
        if (members[g] >= kLeastMembers) {
            pooling = Pooling::ModelApplicationSite;
            words = fmt::format("{} in {} at {}", key.model, shown(key.application), key.site.empty() ? "no site" : key.site);
        } else if (byModel[{key.model, key.application}] >= kLeastMembers) {
            pooling = Pooling::ModelApplication;
            words = fmt::format("{} in {}, all sites", key.model, shown(key.application));
        } else {
            pooling = Pooling::Application;
            words = fmt::format("all models in {}", shown(key.application));
        }
        const auto [it, fresh] = made.try_emplace(words, model.groups.size());
        if (fresh) {
            GroupModel group;
            group.words = words;
            group.pooling = pooling;
            group.defaultLnLife = fixedLog(kLifeFactor * std::max(key.usualLifeMonths, 0.5) * kWeeksPerMonth);
            group.level.lnLifeMean = group.defaultLnLife;
            model.groups.push_back(group);
        }
        model.groups[it->second].members += members[g];
        model.groupOf.push_back(it->second);
    }
    model.rounds = freshRounds(shop, model.fleet);
    return model;
}

void settleRounds(const Shop& shop, Model& model, unsigned threads)
{
    for (int sweep = 0; sweep < 2; ++sweep) {
        std::vector<std::vector<Innovation>> found(shop.series.size());
        inRanges(shop.series.size(), threads, [&](std::size_t first, std::size_t last) {
            for (std::size_t s = first; s < last; ++s) {
                const Series& series = shop.series[s];
                if (series.kind != SensorKind::Ph)
                    continue;
                const Replay r = replay(series, model, model.cut);
                for (const ReplayedVisit& v : r.taken)
                    if (const auto round = series.visits[v.visit].round)
                        found[s].push_back({*round, v.taken.innovation, v.taken.innovationVar});
            }
        });
        std::vector<Innovation> all;
        for (const auto& f : found)
            all.insert(all.end(), f.begin(), f.end());
        model.rounds = roundShifts(shop, model.fleet, std::move(all));
    }
}

Result<Model> learn(const Shop& shop, const Instant& cut, const LearnSettings& settings, const Model* start)
{
    return Learner(shop, cut, settings, start).run();
}

}  // namespace halfcell::core::outlook
