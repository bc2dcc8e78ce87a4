#include "tests/score/outlook_fleets.h"

#include "core/simulator/generator.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <tuple>

namespace halfcell::score {
namespace {

using core::outlook::LevelEvent;
using core::outlook::Series;
using core::outlook::SeriesVisit;
using core::simulation::Generator;

enum class Shape { Straight, Approach, Steps, LateBreak, Wandering, SShaped };

struct GroupPlan {
    const char *application, *model;
    std::size_t site, points;
    double everyWeeks, usualMonths;
    double processC, glass, film, hotCycles, poisonMonths, breakYear;  // rates of A
    Shape shape;                                                       // of B
};

// Usual lives and rates: common practice and assumption, as in the plant simulator.
constexpr std::array<GroupPlan, 8> kGroups{{
    {"wastewater", "P1", 0, 50, 4, 24, 18, 1.0, 0.15, 0, 40, 0.08, Shape::Straight},
    {"wastewater", "P1", 1, 25, 4, 24, 18, 1.0, 0.15, 0, 40, 0.08, Shape::LateBreak},
    {"neutralisation", "P2", 2, 30, 2, 8, 35, 3.0, 0.12, 0, 24, 0.10, Shape::Approach},
    {"neutralisation", "P2", 0, 16, 2, 8, 35, 3.0, 0.12, 0, 24, 0.10, Shape::Steps},
    {"cooling", "P1", 2, 40, 4, 20, 32, 1.1, 0.06, 0, 60, 0.04, Shape::Wandering},
    {"pool", "P3", 1, 20, 6, 24, 28, 1.0, 0.08, 0, 999, 0.03, Shape::SShaped},
    {"drinking_water", "P1", 3, 15, 10, 30, 15, 1.0, 0.03, 0, 999, 0.03, Shape::Steps},
    {"food_cip", "P2", 3, 8, 1, 6, 40, 1.0, 0.10, 5, 24, 0.10, Shape::LateBreak},
}};
constexpr std::size_t kSites = 4, kPeople = 5, kRoundMost = 12;
constexpr double kWeeksPerMonth = 4.345, kWeeksPerYear = 52.18;
constexpr double kRunOn = 60.0;  // weeks the truth is kept after the book's end

struct Truth {
    std::vector<double> capability, lnResponse;  // weekly by age
};

struct Sensor {
    std::size_t series = 0;
    double born = 0.0, end = 1e9;  // weeks of the book; end: sudden
    double film = 0.0, filmRate = 1.0, leak = 0.0, lastVisit = 0.0;
    double offset = 0.0, offsetDrift = 0.0;
    int low = 0;
    std::vector<double> dryWeeks;
    std::size_t drySeen = 0;
};

struct PointState {
    std::size_t group = 0, other = 0;
    double moveWeek = 1e9;
    bool teaches = false;
    std::optional<Sensor> sensor;
    [[nodiscard]] std::size_t groupAt(double week) const { return week < moveWeek ? group : other; }
};

struct RoundName {
    std::int64_t day;
    std::size_t site, lot;
    auto operator<=>(const RoundName&) const = default;
};

class Maker {
public:
    explicit Maker(const FleetSettings& settings) : m_settings(settings), m_random(settings.seed, 4242) {}
    Fleet make();

private:
    void newSensor(PointState& point, double week, bool first);
    Truth truthOf(const PointState& point, Sensor& sensor);
    void oneRound(std::size_t group, double week, const std::vector<std::size_t>& members);
    void readOne(PointState& point, double week, const RoundName& round, double shared, std::size_t person, SeriesVisit& out);
    void finish();

    const FleetSettings& m_settings;
    Generator m_random;
    Fleet m_fleet;
    std::vector<PointState> m_points;
    std::vector<Truth> m_truths;
    std::vector<std::vector<std::optional<RoundName>>> m_roundNames;  // per series and visit
    std::array<double, kSites> m_siteAge{}, m_siteFilm{};
    std::array<double, kGroups.size()> m_life{};  // B: weeks to lose 10 %
    std::array<double, kPeople> m_habit{}, m_patience{};
    std::map<std::pair<std::size_t, std::size_t>, double> m_lots;
};

/// The state of one glass, moved on by a week at a time, whatever group it stands in.
Truth Maker::truthOf(const PointState& point, Sensor& sensor)
{
    Truth truth;
    const double own = m_random.lognormal(0.30) * m_random.lognormal(0.10), best = m_random.normal(98.7, 0.6);
    const double lnFast = std::log(15.0) + m_random.normal(0.0, 0.2);
    const double breakAt = m_random.uniform(0.6, 1.3), depth = 14.0 * m_random.lognormal(0.2), steep = m_random.uniform(0.10, 0.20);
    const double dryRate = 0.25 / kWeeksPerYear;
    const auto weeks = static_cast<std::size_t>(std::ceil(m_fleet.weeks + kRunOn - sensor.born));
    double a = 0.0, u = 0.0, loss = 0.0, walk = 0.0;
    for (std::size_t k = 0; k <= weeks; ++k) {
        const double week = sensor.born + static_cast<double>(k);
        const std::size_t g = point.groupAt(week);
        const GroupPlan& plan = kGroups[g];
        double scar = 0.0;
        const bool shut =
            m_settings.shutdownWeek >= 0.0 && plan.site == 0 && week >= m_settings.shutdownWeek && week < m_settings.shutdownWeek + 1.0;
        if (shut || (m_settings.kind != FleetKind::Still && m_random.chance(dryRate))) {
            scar = m_random.uniform(0.01, 0.03) * m_random.uniform(1.0, 5.0);
            if (week > 0.0)
                sensor.dryWeeks.push_back(week);
        }
        double drop = 0.0, lnSlow = 0.0;
        switch (m_settings.kind) {
        case FleetKind::Ageing:
            drop = 3.0 * a + 9.0 * a * a * a;
            lnSlow = 1.9 * a;
            a += scar + own * m_siteAge[plan.site] *
                            (plan.glass / (kWeeksPerMonth * 36.0) * std::exp2((plan.processC - 25.0) / 22.0) + 0.006 * plan.hotCycles);
            break;
        case FleetKind::OtherShapes: {
            const double step = own * m_siteAge[plan.site] / m_life[g];
            lnSlow = 0.2 * u;
            switch (kGroups[point.group].shape) {
            case Shape::Straight: drop = 10.0 * u; break;
            case Shape::Approach: drop = depth * (1.0 - std::exp(-1.25 * u)); break;
            case Shape::LateBreak: drop = 1.5 * u + (u > breakAt ? 30.0 * (u - breakAt) : 0.0); break;
            case Shape::SShaped: drop = 12.0 / (1.0 + std::exp(-(u - 0.9) / steep)); break;
            case Shape::Steps:
                drop = loss;
                if (m_random.chance(4.0 * step))
                    loss += 2.5 * m_random.lognormal(0.4);
                break;
            case Shape::Wandering: {
                drop = loss;
                const double keep = std::exp(-3.0 / m_life[g]);
                walk = keep * walk + m_random.normal(0.0, 0.8 * std::sqrt(1.0 - keep * keep));
                loss += 10.0 * step * std::exp(walk - 0.32);
                break;
            }
            }
            u += step + scar;
            break;
        }
        case FleetKind::Still: break;
        }
        truth.capability.push_back(best - drop);
        truth.lnResponse.push_back(lnFast + lnSlow);
    }
    return truth;
}

void Maker::newSensor(PointState& point, double week, bool first)
{
    Sensor sensor;
    const GroupPlan& plan = kGroups[point.groupAt(week)];
    const bool known = !first || m_random.chance(0.5);
    const double life = plan.usualMonths * kWeeksPerMonth;
    sensor.born = first ? -std::floor(m_random.uniform(0.0, 0.7) * life) : week;
    sensor.lastVisit = std::max(sensor.born, 0.0);
    sensor.filmRate = m_random.lognormal(0.40);
    sensor.offset = m_random.normal(0.0, 5.0);
    sensor.offsetDrift = -0.25 * m_random.lognormal(0.35);
    const double breakWeeks = -std::log(1.0 - m_random.uniform()) * kWeeksPerYear / (plan.breakYear + 0.05);
    const double poisonWeeks = plan.poisonMonths * kWeeksPerMonth * m_random.lognormal(0.45);
    sensor.end = std::max(0.0, sensor.born) + breakWeeks;
    if (m_settings.kind == FleetKind::Ageing)
        sensor.end = std::min(sensor.end, std::max(3.0, sensor.born + poisonWeeks));
    sensor.series = m_fleet.shop.series.size();
    m_truths.push_back(truthOf(point, sensor));
    Series series;
    series.serial = "S" + std::to_string(10000 + sensor.series);
    series.site = "site " + std::to_string(plan.site);
    series.application = plan.application;
    series.model = plan.model;
    series.knownStart = known;
    series.inService = true;
    series.groupNow = point.groupAt(week);
    const core::Instant start = m_fleet.at(known ? sensor.born : 0.0);
    series.clock.push_back({.utcSeconds = start.utcSeconds, .weeks = 0.0, .rate = 1.0});
    m_fleet.shop.series.push_back(std::move(series));
    m_fleet.bornWeek.push_back(sensor.born);
    m_fleet.teaches.push_back(point.teaches);
    m_roundNames.emplace_back();
    point.sensor = std::move(sensor);
}

double interpolated(const std::vector<double>& weekly, double age)
{
    const double place = std::clamp(age, 0.0, static_cast<double>(weekly.size() - 1));
    const auto i = std::min(static_cast<std::size_t>(place), weekly.size() - 2);
    return weekly[i] + (place - static_cast<double>(i)) * (weekly[i + 1] - weekly[i]);
}

/// What is written after cleaning, and how it came about.
void Maker::readOne(PointState& point, double week, const RoundName& round, double shared, std::size_t person, SeriesVisit& out)
{
    Sensor& s = *point.sensor;
    const GroupPlan& plan = kGroups[point.groupAt(week)];
    s.film += plan.film * s.filmRate * m_siteFilm[plan.site] * (week - s.lastVisit);
    s.film *= m_random.chance(0.9) ? m_random.uniform(0.05, 0.25) : m_random.uniform(0.5, 0.9);
    s.film = std::min(s.film, 0.6);  // cleaned again where it still shows
    const double since = week - s.lastVisit;
    s.lastVisit = week;
    if (s.leak <= 0.0 && m_random.chance(0.03 * since / kWeeksPerYear))
        s.leak = 9.0 * m_random.lognormal(0.5);
    else if (s.leak > 0.0 && m_random.chance(0.6)) {
        s.leak = 0.0;
        out.events.push_back(LevelEvent::Rewired);
    }
    while (s.drySeen < s.dryWeeks.size() && s.dryWeeks[s.drySeen] <= week) {
        if (m_random.chance(0.8))
            out.events.push_back(LevelEvent::Rehydrated);
        ++s.drySeen;
    }
    const Truth& truth = m_truths[s.series];
    const double temp = m_random.normal(20.0, 4.0);
    const double lnT90 = interpolated(truth.lnResponse, week - s.born) + 3.0 * s.film + std::log(2.0) * (25.0 - temp) / 15.0;
    const double t90 = std::exp(lnT90);
    double wait = 90.0 * m_patience[person] * m_random.lognormal(0.5);
    if (!m_random.chance(0.3))
        wait = std::max(wait, 2.2 * t90 * m_random.lognormal(0.2));
    const double clean = interpolated(truth.capability, week - s.born) * (1.0 - 0.03 * std::min(s.film, 1.0)) - s.leak;
    double seen = clean * (1.0 - std::exp(-2.303 * wait / t90)) + shared + m_habit[person] + m_random.normal(0.0, 0.65);
    s.offset += m_random.normal(0.0, 0.6 * std::sqrt(std::max(since, 0.1)));
    const double offset = s.offset + s.offsetDrift * (week - std::max(s.born, 0.0)) + m_random.normal(0.0, 2.0);
    const double t90Seen = std::exp(lnT90 + m_random.normal(0.0, 0.12)) + m_random.normal(0.0, 1.0);
    // Entry errors.
    const bool spoilt = m_random.chance(2.0 * 0.004) || m_random.chance(0.002);
    if (m_random.chance(2.0 * 0.007)) {
        constexpr std::array<double, 3> kDigit{0.56, 5.6, 56.0};
        const double size = kDigit[static_cast<std::size_t>(m_random.below(3))] * static_cast<double>(1 + m_random.below(9));
        seen += m_random.chance(0.5) ? size : -size;
    }
    const bool warm = !m_random.chance(0.15), timed = !m_random.chance(0.4), waited = !m_random.chance(0.3),
               nextDay = m_random.chance(0.03);
    out.when = core::addDays(m_fleet.begin, 7.0 * week + (nextDay ? 1.0 : 0.0));
    out.group = point.groupAt(week);
    if (warm)
        out.temp_c = std::round(temp + m_random.normal(0.0, 0.5));
    if (timed)
        out.t90_s = std::max(1.0, std::round(t90Seen));
    if (waited)
        out.wait_s = std::max(5.0, std::round(wait / 5.0) * 5.0);
    out.offset_mv = std::round(offset * 10.0) / 10.0;
    out.u_efficiency_pct = 0.7;
    if (!warm) {
        out.withoutTemperature = true;
        out.leftOut = "no temperature of the standard";
    } else if (spoilt || seen > core::outlook::kMostEfficiency || seen < 10.0) {
        out.leftOut = "no slope of a sensor";
    } else {
        out.efficiency_pct = std::max(core::outlook::kLeastEfficiency, std::round(seen * 10.0) / 10.0);
    }
    if (out.efficiency_pct && !nextDay)
        m_roundNames[s.series].push_back(round);
    else
        m_roundNames[s.series].push_back(std::nullopt);
    // A shop retires on two low calibrations in a row, on a slow sensor, or when it breaks.
    const bool poor = (out.efficiency_pct && *out.efficiency_pct < 85.0) || (out.t90_s && *out.t90_s > 180.0);
    s.low = poor ? s.low + 1 : out.efficiency_pct ? 0 : s.low;
}

void Maker::oneRound(std::size_t group, double week, const std::vector<std::size_t>& members)
{
    const std::size_t site = kGroups[group].site;
    const auto lot = static_cast<std::size_t>(week / 26.0);
    const auto [it, fresh] = m_lots.try_emplace({site, lot}, 0.0);
    if (fresh)
        it->second = m_random.normal(0.0, 0.54);  // two standards known to 0.02 pH, three units apart
    double shared = it->second + m_random.normal(0.0, 0.25);
    if (m_random.chance(0.003))
        shared += m_random.chance(0.5) ? 4.7 : -4.7;  // 6.86 taken for 7.00
    const std::size_t person = m_random.chance(0.7) ? site : static_cast<std::size_t>(m_random.below(static_cast<int>(kPeople)));
    const RoundName round{core::dayNumber(m_fleet.at(week)), site, lot};
    std::vector<std::pair<std::size_t, SeriesVisit>> read;
    for (const std::size_t p : members) {
        PointState& point = m_points[p];
        if (week >= point.sensor->end || point.sensor->low >= 2) {
            m_fleet.shop.series[point.sensor->series].scrapped = m_fleet.at(week);
            m_fleet.shop.series[point.sensor->series].inService = false;
            newSensor(point, week, false);
        }
        if (m_random.chance(0.05))
            continue;
        SeriesVisit visit;
        readOne(point, week, round, shared, person, visit);
        visit.visit = "V" + std::to_string(p) + "-" + std::to_string(static_cast<int>(week * 10.0));
        read.emplace_back(point.sensor->series, std::move(visit));
    }
    // A serial written under another's reading.
    for (std::size_t i = 0; i + 1 < read.size(); ++i)
        if (m_random.chance(0.005)) {
            std::swap(read[i].second.efficiency_pct, read[i + 1].second.efficiency_pct);
            std::swap(read[i].second.t90_s, read[i + 1].second.t90_s);
            std::swap(read[i].second.offset_mv, read[i + 1].second.offset_mv);
        }
    for (auto& [s, visit] : read) {
        Series& series = m_fleet.shop.series[s];
        visit.weeks = series.weeksAt(visit.when);
        const bool twice = m_random.chance(0.005);
        series.visits.push_back(visit);
        if (twice) {
            series.visits.push_back(visit);
            m_roundNames[s].push_back(m_roundNames[s].back());
        }
    }
}

/// Rounds in order of day, site and lot, each with the last of the same bottles; visits in order of time.
void Maker::finish()
{
    std::map<RoundName, std::size_t> index;
    for (const auto& names : m_roundNames)
        for (const auto& name : names)
            if (name)
                index[*name] = 0;
    std::map<std::pair<std::size_t, std::size_t>, std::size_t> last;
    for (auto& [name, place] : index) {
        place = m_fleet.shop.rounds.size();
        core::outlook::RoundKey key;
        key.site = "site " + std::to_string(name.site);
        key.day = name.day;
        key.bottles = "L" + std::to_string(name.site) + "-" + std::to_string(name.lot);
        if (const auto it = last.find({name.site, name.lot}); it != last.end())
            key.before = it->second;
        last[{name.site, name.lot}] = place;
        m_fleet.shop.rounds.push_back(std::move(key));
    }
    core::outlook::Shop& shop = m_fleet.shop;
    shop.first = shop.last = m_fleet.begin;
    for (std::size_t s = 0; s < shop.series.size(); ++s) {
        auto& visits = shop.series[s].visits;
        for (std::size_t v = 0; v < visits.size(); ++v) {
            if (m_roundNames[s][v])
                visits[v].round = index[*m_roundNames[s][v]];
            shop.last = std::max(shop.last, visits[v].when);
        }
        std::ranges::stable_sort(visits, {}, &SeriesVisit::when);
        m_fleet.capability.push_back(m_truths[s].capability);
    }
}

Fleet Maker::make()
{
    m_fleet.begin = core::startOfDay(19000);
    for (std::size_t i = 0; i < kSites; ++i) {
        m_siteAge[i] = m_random.lognormal(0.20);
        m_siteFilm[i] = m_random.lognormal(0.25);
    }
    for (std::size_t i = 0; i < kPeople; ++i) {
        m_habit[i] = m_random.normal(0.0, 0.4);
        m_patience[i] = m_random.lognormal(0.3);
    }
    for (std::size_t g = 0; g < kGroups.size(); ++g) {
        m_life[g] = 1.15 * kGroups[g].usualMonths * kWeeksPerMonth * m_random.lognormal(0.35);
        m_fleet.shop.groups.push_back({.model = kGroups[g].model,
                                       .application = kGroups[g].application,
                                       .site = "site " + std::to_string(kGroups[g].site),
                                       .usualLifeMonths = kGroups[g].usualMonths});
    }
    for (std::size_t g = 0; g < kGroups.size(); ++g)
        for (std::size_t p = 0; p < kGroups[g].points; ++p) {
            PointState point;
            point.group = g;
            point.teaches = p % 2 == 0;
            if (m_settings.movedShare > 0.0 && m_random.chance(m_settings.movedShare)) {
                point.other = (g + 1 + static_cast<std::size_t>(m_random.below(static_cast<int>(kGroups.size()) - 1))) % kGroups.size();
                point.moveWeek = std::floor(m_random.uniform(60.0, 240.0));
            }
            m_points.push_back(point);
        }
    for (PointState& point : m_points)
        newSensor(point, 0.0, true);
    // Every group's rounds in time; a dozen sensors a day.
    struct Due {
        double week;
        std::size_t group, part;
        auto operator<=>(const Due&) const = default;
    };
    std::vector<Due> due;
    for (std::size_t g = 0; g < kGroups.size(); ++g)
        for (double week = m_random.uniform(0.2, 1.0) * kGroups[g].everyWeeks; week < m_fleet.weeks; week += kGroups[g].everyWeeks)
            for (std::size_t part = 0; part < 6; ++part)
                due.push_back({std::floor(7.0 * week + static_cast<double>(part)) / 7.0, g, part});
    std::ranges::sort(due);
    for (const Due& d : due) {
        std::vector<std::size_t> members;
        std::size_t seen = 0;
        for (std::size_t p = 0; p < m_points.size(); ++p)
            if (m_points[p].groupAt(d.week) == d.group && seen++ / kRoundMost == d.part)
                members.push_back(p);
        if (!members.empty() && d.week < m_fleet.weeks)
            oneRound(d.group, d.week, members);
    }
    finish();
    return std::move(m_fleet);
}

}  // namespace

double Fleet::truth(std::size_t series, double week) const
{
    return std::max(70.0, interpolated(capability[series], week - bornWeek[series]));
}

Fleet makeFleet(const FleetSettings& settings)
{
    return Maker(settings).make();
}

}  // namespace halfcell::score
