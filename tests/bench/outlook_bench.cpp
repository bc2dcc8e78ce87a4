#include "core/lifetimes/kaplan_meier.h"
#include "core/lifetimes/weibull.h"
#include "core/outlook/fixed_exp.h"
#include "core/outlook/in_ranges.h"
#include "core/outlook/outlook.h"
#include "core/overview/overview.h"
#include "core/simulator/simulate.h"
#include "db/book/book.h"
#include "tests/bench/interleaved.h"

#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <memory>
#include <thread>
#include <vector>

// What a forecast costs: the filters against the same arithmetic in bare loops (G10), the fleet on two threads (G11), a night's new
// visits and one sensor's refresh against reading their rows, and the lifetimes against sorting the ages (G21, G22).
// HALFCELL_BENCH_SENSORS sets the fleet (1,000 if not set; 10,000 for the size the goal was set with), 10 years of visits each.
namespace halfcell {
namespace {

using namespace core;
using namespace core::outlook;
using bench::ratioToFloor;

double uniform(std::uint64_t& state)
{
    state = state * 6364136223846793005U + 1442695040888963407U;
    return static_cast<double>(state >> 11U) * 0x1.0p-53;
}

// --- one filter ------------------------------------------------------------------------------------------------------

struct Timed {
    double week = 0.0, value = 0.0;
};

std::vector<Timed> readings(std::size_t n)
{
    std::vector<Timed> list(n);
    std::uint64_t state = 7;
    double week = 0.0;
    for (Timed& t : list) {
        week += 3.0 + 2.0 * uniform(state);
        t = {week, 99.0 - 0.03 * week + 2.0 * (uniform(state) - 0.5)};
    }
    return list;
}

/// The arithmetic of one visit on every node, over plain arrays and with nothing else around it: time passes, the curves are worked
/// out anew, a reading is weighed in four ways, the weights are made to add up.
class BareNodes {
public:
    explicit BareNodes(const FleetNumbers& fleet, const GroupNumbers& group) : m_fleet(fleet), m_group(group)
    {
        const double life = fixedExp(group.lnLifeMean);
        m_life = life;
        for (std::size_t h = 0; h < kCurves; ++h) {
            if (!(group.curveShare[h] > 0.0))
                continue;
            m_first[h] = m_s.size();
            for (std::int64_t k = -100; k <= 100; ++k) {
                const double d = static_cast<double>(k) * fleet.latticeStep / group.lnLifeSd;
                if (std::abs(d) > 3.6)
                    continue;
                m_inverse.push_back(1.0 / (life * fixedExp(d * group.lnLifeSd)));
                m_prior.push_back(fixedLog(group.curveShare[h]) - 0.5 * d * d);
                m_s.push_back(fleet.levelMean);
            }
            m_count[h] = m_s.size() - m_first[h];
        }
        const std::size_t n = m_s.size();
        m_v.assign(n, fleet.levelSd * fleet.levelSd);
        for (auto* a : {&m_u, &m_lnU, &m_c, &m_fresh, &m_w, &m_like, &m_bads})
            a->assign(n, 0.0);
        m_lnW = m_prior;
    }
    [[nodiscard]] std::size_t nodes() const { return m_s.size(); }

    double visit(double dt, double t, double seen)
    {
        const std::size_t n = m_s.size();
        // The ages are the same on every curve: as many as there are lives.
        const std::size_t lives = m_count[0] != 0 ? m_count[0] : n;
        for (std::size_t i = 0; i < lives; ++i) {
            m_u[i] = t * m_inverse[i];
            m_lnU[i] = fixedLog(m_u[i]);
        }
        for (std::size_t h = 0; h < kCurves; ++h)
            if (m_count[h] != 0)
                curveOver(kAgeingCurves[h], m_fleet.loss, m_u.data(), m_lnU.data(), &m_fresh[m_first[h]], m_count[h]);
        const double q = m_group.wanderPerLife * dt / m_life, lambda = fixedExp(-0.693 * dt / (m_group.memory * m_life));
        for (std::size_t i = 0; i < n; ++i) {
            m_v[i] += m_group.wander * (m_fresh[i] - m_c[i]) + q;
            m_c[i] = m_fresh[i];
            m_lnW[i] = lambda * m_lnW[i] + (1.0 - lambda) * m_prior[i];
        }
        normalise();
        const double r = m_fleet.readingVar, bad = m_fleet.badFactor * r, j2 = m_fleet.jumpSd * m_fleet.jumpSd,
                     o2 = m_fleet.resetSd * m_fleet.resetSd, jump = m_fleet.jumpMean;
        const double p2 = m_fleet.badShare, p3 = 0.01, p4 = m_fleet.resetShare, p1 = 1.0 - p2 - p3 - p4;
        double* const s = m_s.data();
        double* const v = m_v.data();
        const double* const c = m_c.data();
        double* const like = m_like.data();
        double* const bads = m_bads.data();
        double* const lnW = m_lnW.data();
        for (std::size_t i = 0; i < n; ++i) {
            const double e = seen - (s[i] - c[i]), e3 = e - jump;
            const double v3 = v[i] + j2, v4 = v[i] + o2, s1 = v[i] + r, s2 = v[i] + bad, s3 = v3 + r, s4 = v4 + r, e2 = -0.5 * e * e;
            const double l1 = p1 * fixedExp(e2 / s1) / std::sqrt(6.2832 * s1), l2 = p2 * fixedExp(e2 / s2) / std::sqrt(6.2832 * s2);
            const double l3 = p3 * fixedExp(-0.5 * e3 * e3 / s3) / std::sqrt(6.2832 * s3);
            const double l4 = p4 * fixedExp(e2 / s4) / std::sqrt(6.2832 * s4);
            const double sum = l1 + l2 + l3 + l4, l = sum > 1e-290 ? sum : 1e-290, inverse = 1.0 / l;
            const double g1 = v[i] / s1, g2 = v[i] / s2, g3 = v3 / s3, g4 = v4 / s4;
            const double d1 = g1 * e, d2 = g2 * e, d3 = jump + g3 * e3, d4 = g4 * e;
            const double q1 = l1 * inverse, q2 = l2 * inverse, q3 = l3 * inverse, q4 = l4 * inverse;
            const double d = q1 * d1 + q2 * d2 + q3 * d3 + q4 * d4;
            const double u1 = v[i] * (1.0 - g1) + (d1 - d) * (d1 - d), u2 = v[i] * (1.0 - g2) + (d2 - d) * (d2 - d);
            const double u3 = v3 * (1.0 - g3) + (d3 - d) * (d3 - d), u4 = v4 * (1.0 - g4) + (d4 - d) * (d4 - d);
            s[i] += d;
            v[i] = q1 * u1 + q2 * u2 + q3 * u3 + q4 * u4;
            like[i] = l;
            bads[i] = q2;
            lnW[i] += fixedLog(l);
        }
        normalise();
        double capability = 0.0, second = 0.0, o = 0.0;
        for (std::size_t i = 0; i < n; ++i) {
            const double m = s[i] - c[i];
            capability += m_w[i] * m;
            second += m_w[i] * (v[i] + m * m);
            o += m_w[i] * bads[i];
        }
        return capability + 0.0 * (second + o);
    }

private:
    void normalise()
    {
        const std::size_t n = m_lnW.size();
        const double largest = *std::ranges::max_element(m_lnW);
        double sum = 0.0;
        for (std::size_t i = 0; i < n; ++i) {
            m_lnW[i] -= largest;
            m_w[i] = fixedExp(m_lnW[i]);
        }
        for (std::size_t i = 0; i < n; ++i)
            sum += m_w[i];
        const double inverse = 1.0 / sum, lnSum = fixedLog(sum);
        for (std::size_t i = 0; i < n; ++i) {
            m_w[i] *= inverse;
            m_lnW[i] -= lnSum;
        }
    }

    FleetNumbers m_fleet;
    GroupNumbers m_group;
    double m_life = 1.0;
    std::size_t m_first[kCurves] = {}, m_count[kCurves] = {};
    std::vector<double> m_inverse, m_prior, m_s, m_v, m_u, m_lnU, m_c, m_fresh, m_w, m_like, m_bads, m_lnW;
};

void levelVisit(benchmark::State& state)
{
    const FleetNumbers fleet;
    const GroupNumbers group;
    constexpr std::size_t kVisits = 400;
    const auto list = readings(kVisits);
    std::size_t bareNodes = 0, nodes = 0;
    // Both are brought to the same number of nodes: the cost of a visit is a cost per node.
    std::vector<double> ratios;
    const auto bare = [&] {
        BareNodes b(fleet, group);
        bareNodes = b.nodes();
        double last = 0.0, sum = 0.0;
        for (const Timed& t : list) {
            sum += b.visit(t.week - last, t.week, t.value);
            last = t.week;
        }
        benchmark::DoNotOptimize(sum);
    };
    const auto filter = [&] {
        AgeingFilter f(fleet, group, true);
        nodes = f.nodes();
        double sum = 0.0;
        for (const Timed& t : list) {
            f.moveTo(t.week);
            LevelReading r;
            r.value = t.value;
            sum += f.takeReading(r).badProbability;
        }
        benchmark::DoNotOptimize(sum);
    };
    bare();
    filter();
    for ([[maybe_unused]] auto round : state) {
        const double floor = bench::secondsOf(bare) / static_cast<double>(bareNodes);
        const double taken = bench::secondsOf(filter);
        state.SetIterationTime(taken);
        ratios.push_back(taken / static_cast<double>(nodes) / floor);
    }
    std::ranges::sort(ratios);
    state.counters["ratio"] = ratios[ratios.size() / 2];
    state.counters["least"] = ratios.front();
    state.counters["most"] = ratios.back();
    state.counters["goal"] = 1.5;
    state.counters["nodes"] = static_cast<double>(nodes);
    state.counters["ns_a_node"] = 1e9 * bench::secondsOf(filter) / static_cast<double>(nodes * kVisits);
}

/// The offset filter of a fleet (level, drift and their covariance, three ways of taking a reading) against the same in plain doubles.
void offsetFleet(benchmark::State& state)
{
    constexpr std::size_t kSensors = 2000, kVisits = 260;
    const OffsetNumbers numbers;
    std::vector<double> week(kVisits), value(kVisits);
    std::uint64_t random = 11;
    for (std::size_t i = 0; i < kVisits; ++i) {
        week[i] = static_cast<double>(i + 1);
        value[i] = -5.0 + 6.0 * (uniform(random) - 0.5);
    }
    ratioToFloor(
        state, 1.5,
        [&] {
            double total = 0.0;
            for (std::size_t s = 0; s < kSensors; ++s) {
                double level = numbers.levelMean, drift = numbers.driftMean, p00 = numbers.levelVar, p01 = 0.0, p11 = numbers.driftVar;
                double t = 0.0, bad = 0.0, lnLike = 0.0;
                for (std::size_t i = 0; i < kVisits; ++i) {
                    const double dt = week[i] - t;
                    t = week[i];
                    level += drift * dt;
                    p00 += 2.0 * dt * p01 + dt * dt * p11 + numbers.wander * dt;
                    p01 += dt * p11;
                    const double r = numbers.readingVar, jump = 0.003 + 0.3 * bad, e = value[i] - level;
                    const double add[3] = {0.0, 0.0, 1600.0}, var[3] = {r, 36.0 * r, r},
                                 prior[3] = {0.97 * (1.0 - jump), 0.03, 0.97 * jump};
                    double like[3], sum = 0.0;
                    for (int k = 0; k < 3; ++k) {
                        const double w = p00 + add[k] + var[k];
                        like[k] = prior[k] * fixedExp(-0.5 * e * e / w) / std::sqrt(6.283185307179586 * w);
                        sum += like[k];
                    }
                    double l[3], d[3], a[3], b[3], c[3], meanL = 0.0, meanD = 0.0;
                    for (int k = 0; k < 3; ++k) {
                        const double before = p00 + add[k], g0 = before / (before + var[k]), g1 = p01 / (before + var[k]),
                                     w = like[k] / sum;
                        l[k] = level + g0 * e;
                        d[k] = drift + g1 * e;
                        a[k] = before * (1.0 - g0);
                        b[k] = p01 * (1.0 - g0);
                        c[k] = p11 - g1 * p01;
                        meanL += w * l[k];
                        meanD += w * d[k];
                    }
                    p00 = p01 = p11 = 0.0;
                    for (int k = 0; k < 3; ++k) {
                        const double w = like[k] / sum, dl = l[k] - meanL, dd = d[k] - meanD;
                        p00 += w * (a[k] + dl * dl);
                        p01 += w * (b[k] + dl * dd);
                        p11 += w * (c[k] + dd * dd);
                    }
                    level = meanL;
                    drift = meanD;
                    bad = like[1] / sum;
                    lnLike += fixedLog(sum);
                }
                total += level + lnLike;
            }
            benchmark::DoNotOptimize(total);
        },
        [&] {
            double total = 0.0;
            for (std::size_t s = 0; s < kSensors; ++s) {
                OffsetFilter f(numbers, true, 0.0);
                for (std::size_t i = 0; i < kVisits; ++i) {
                    f.moveTo(week[i]);
                    f.takeReading(value[i], 0.0);
                }
                total += f.level() + f.logLikelihood();
            }
            benchmark::DoNotOptimize(total);
        });
}

// --- a shop ----------------------------------------------------------------------------------------------------------

struct Shopful {
    Instant until = *parseInstant("2026-03-02", DateMeans::EndOfDay);
    std::unique_ptr<Overview> overview;
    BookOutlook book;
    std::filesystem::path file;
    std::size_t fleet = 1000;

    Shopful()
    {
        if (const char* wanted = std::getenv("HALFCELL_BENCH_SENSORS"))
            fleet = static_cast<std::size_t>(std::max(100, std::atoi(wanted)));
        SimulatedPlant plant = simulatePlant({.seed = 31, .years = 10.0, .sensors = 100, .until = until});
        std::string name = (std::filesystem::temp_directory_path() / "halfcell-bench-XXXXXX").string();
        file = std::filesystem::path(::mkdtemp(name.data())) / "book";
        {
            const db::BookStamp stamp{.person = "T1", .now = until};
            auto made = db::Book::create(file, stamp);
            if (!made || !made->add(plant.records, stamp) || !made->refreshLatest({}, until))
                std::exit(1);
        }
        overview = std::make_unique<Overview>(overviewOf(std::move(plant.records), RuleSet::shipped(), until));
        WalkSettings settings;
        settings.forecasts = false;
        auto walked = bookOutlook(*overview->plant, overview->figures, overview->rules, settings);
        if (!walked)
            std::exit(1);
        book = std::move(*walked);
        std::size_t visits = 0;
        for (const Series& s : book.shop.series)
            visits += s.visits.size();
        std::cerr << "shop: " << book.shop.series.size() << " sensors, " << visits << " visits; fleet " << fleet << '\n';
    }
    Shopful(const Shopful&) = delete;
    Shopful& operator=(const Shopful&) = delete;
    ~Shopful()
    {
        std::error_code ec;
        std::filesystem::remove_all(file.parent_path(), ec);
    }
    static Shopful& instance()
    {
        static Shopful shop;
        return shop;
    }
    const Series& series(std::size_t i) const { return book.shop.series[i % book.shop.series.size()]; }
};

// G11: every sensor of a fleet replayed on two threads, against one.
void replayOnTwo(benchmark::State& state)
{
    const Shopful& shop = Shopful::instance();
    std::vector<double> one(shop.fleet), two(shop.fleet);
    const auto run = [&](unsigned threads, std::vector<double>& out) {
        inRanges(shop.fleet, threads, [&](std::size_t first, std::size_t last) {
            for (std::size_t i = first; i < last; ++i)
                out[i] = replay(shop.series(i), shop.book.walk.model, shop.until).level.capability().mean;
        });
    };
    ratioToFloor(
        state, 1.0 / 1.8, [&] { run(1, one); }, [&] { run(2, two); });
    state.counters["same"] = one == two ? 1.0 : 0.0;
    state.counters["faster"] = 1.0 / state.counters["ratio"];
}

/// A night's 5,000 new visits taken by filters that stand where they stood, against reading as many visits' rows from the book.
void nightlyVisits(benchmark::State& state)
{
    const Shopful& shop = Shopful::instance();
    const auto reader = db::Book::open(shop.file, db::OpenMode::ReadOnly);
    if (!reader)
        std::exit(1);
    constexpr std::size_t kVisits = 5000, kEach = 10;
    struct Waiting {
        std::size_t series, next;
        Replay before;
    };
    std::vector<Waiting> waiting;
    for (std::size_t i = 0; waiting.size() * kEach < kVisits; ++i) {
        const Series& s = shop.series(i);
        if (s.visits.size() <= 2 * kEach) {
            if (i > 100 * shop.book.shop.series.size())
                std::exit(1);
            continue;
        }
        std::size_t next = 0;
        Replay before = startOf(s, shop.book.walk.model);
        replayOn(before, s, shop.book.walk.model, next, s.visits[s.visits.size() - kEach - 1].when);
        waiting.push_back({i % shop.book.shop.series.size(), next, std::move(before)});
    }
    std::vector<std::string> serials;
    for (const Waiting& w : waiting)
        serials.push_back(shop.book.shop.series[w.series].serial);
    ratioToFloor(
        state, 0.0,
        [&] {
            std::size_t visits = 0;
            for (const std::string& serial : serials) {
                if (visits >= kVisits)
                    break;
                visits += reader->loadSensorRecords(serial)->visits.size();
            }
            benchmark::DoNotOptimize(visits);
        },
        [&] {
            double sum = 0.0;
            for (const Waiting& w : waiting) {
                Replay now = w.before;
                std::size_t next = w.next;
                replayOn(now, shop.book.shop.series[w.series], shop.book.walk.model, next, shop.until);
                sum += now.level.capability().mean;
            }
            benchmark::DoNotOptimize(sum);
        });
}

/// One sensor's outlook worked out anew from its figures, against reading its rows.
void oneRefresh(benchmark::State& state)
{
    const Shopful& shop = Shopful::instance();
    const auto reader = db::Book::open(shop.file, db::OpenMode::ReadOnly);
    if (!reader)
        std::exit(1);
    std::size_t longest = 0;
    for (std::size_t i = 0; i < shop.book.shop.series.size(); ++i)
        if (shop.book.shop.series[i].kind == SensorKind::Ph &&
            shop.book.shop.series[i].visits.size() > shop.book.shop.series[longest].visits.size())
            longest = i;
    const std::string serial = shop.book.shop.series[longest].serial;
    OutlookRequest request;
    request.limit = [](const Series&) { return 85.0; };
    request.offsetLimit = [](const Series&) { return 50.0; };
    request.working = false;
    ratioToFloor(
        state, 0.0,
        [&] {
            for (int i = 0; i < 10; ++i)
                benchmark::DoNotOptimize(reader->loadSensorRecords(serial)->visits.size());
        },
        [&] {
            for (int i = 0; i < 10; ++i)
                benchmark::DoNotOptimize(outlookOf(shop.book, longest, request).forecasts.size());
        });
    state.counters["visits"] = static_cast<double>(shop.book.shop.series[longest].visits.size());
}

// --- lifetimes -------------------------------------------------------------------------------------------------------

std::vector<LifeRecord> lives(std::size_t n)
{
    std::vector<LifeRecord> list(n);
    std::uint64_t state = 3;
    for (LifeRecord& l : list) {
        const double end = 100.0 * std::pow(-std::log(1.0 - uniform(state)), 0.5), censored = 160.0 * uniform(state);
        l.exit = std::max(0.01, std::min(end, censored));
        l.failed = end < censored;
    }
    return list;
}

template <class Work>
void againstSorting(benchmark::State& state, double goal, Work work)
{
    const auto records = lives(10'000);
    std::vector<double> ages, sorted;
    for (const LifeRecord& l : records)
        ages.push_back(l.exit);
    constexpr int kTimes = 20;
    ratioToFloor(
        state, goal,
        [&] {
            for (int i = 0; i < kTimes; ++i) {
                sorted = ages;
                std::sort(sorted.begin(), sorted.end());
                benchmark::DoNotOptimize(sorted.data());
            }
        },
        [&] {
            for (int i = 0; i < kTimes; ++i)
                benchmark::DoNotOptimize(work(records));
        });
}

void weibull(benchmark::State& state)
{
    againstSorting(state, 1.5, [](const std::vector<LifeRecord>& records) { return fitWeibull(records)->shape; });
}

void productLimit(benchmark::State& state)
{
    againstSorting(state, 1.6, [](const std::vector<LifeRecord>& records) { return kaplanMeier(records)->steps.size(); });
}

BENCHMARK(levelVisit)->Name("visit_on_the_nodes")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK(offsetFleet)->Name("G10_offset_fleet")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK(replayOnTwo)->Name("G11_two_threads")->UseManualTime()->Iterations(5)->Unit(benchmark::kMillisecond);
BENCHMARK(nightlyVisits)->Name("nightly_5000_visits")->UseManualTime()->Iterations(5)->Unit(benchmark::kMillisecond);
BENCHMARK(oneRefresh)->Name("one_sensor_refresh")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK(weibull)->Name("G21_weibull")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);
BENCHMARK(productLimit)->Name("G22_kaplan_meier")->UseManualTime()->Iterations(9)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace halfcell

BENCHMARK_MAIN();
