#include "core/rules/diagnosing.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"

#include <algorithm>
#include <array>
#include <cmath>

/// The sensors attended in one round, each against what was expected of it, and what a wrong bottle, an old one or an ignored
/// temperature would do to just its standards.
namespace halfcell::core::judging {

namespace {

using diagnosis::RoundMember;
using diagnosis::Shift;

constexpr double kRoundDays = 7.0;      ///< a round with a name of its own lasts at most so long (our choice)
constexpr std::size_t kLastStates = 3;  ///< as-left states that make the expectation
/// A sensor counts as shifted from here on (one spread of a sensor in order).
constexpr double kOwnShiftPct = 2.2, kOwnShiftMv = 5.0, kOwnShiftLegsPct = 3.0;

struct Expected {
    double efficiency_pct = 0.0, offset_mv = 0.0;
    std::optional<double> legs_pct = {};  ///< alkaline less acid leg
};

PhaseFigures quickFigures(const Case& c, const SensorHistory& history, const Visit& visit, Phase phase)
{
    FigureContext context;
    context.standards = c.standards;
    context.kind = history.model ? history.model->kind : SensorKind::Ph;
    context.budget = c.rules->budget();
    return figuresOf(visit, phase, context, false);
}

bool hasPhase(const Visit& v, Phase phase)
{
    return std::any_of(v.readings.begin(), v.readings.end(), [&](const Reading& r) { return r.phase == phase && r.mv; });
}

/// Mean of the last states before the visit, newer ones counting more.
template <class Next>
std::optional<Expected> expectedFrom(Next&& next)
{
    Expected e;
    double weights = 0.0, weight = 1.0, legs = 0.0, legWeights = 0.0;
    for (std::size_t n = 0; n < kLastStates; ++n) {
        const auto state = next();
        if (!state)
            break;
        e.efficiency_pct += weight * state->efficiency_pct;
        e.offset_mv += weight * state->offset_mv;
        if (state->legs_pct) {
            legs += weight * *state->legs_pct;
            legWeights += weight;
        }
        weights += weight;
        weight *= 0.6;
    }
    if (weights <= 0.0)
        return std::nullopt;
    e.efficiency_pct /= weights;
    e.offset_mv /= weights;
    if (legWeights > 0.0)
        e.legs_pct = legs / legWeights;
    return e;
}

std::optional<Expected> figuresAt(const PhaseFigures& p)
{
    if (!p.efficiency_pct || !p.offset_mv)
        return std::nullopt;
    Expected e{.efficiency_pct = *p.efficiency_pct, .offset_mv = *p.offset_mv};
    if (p.acid_leg_pct && p.alkaline_leg_pct)
        e.legs_pct = *p.alkaline_leg_pct - *p.acid_leg_pct;
    return e;
}

/// Efficiency and offset that dips of an ideal sensor would seem to give: true pH and temperature differ from those taken.
Shift seeming(const std::vector<Dip>& dips, const std::vector<std::pair<double, double>>& truth)
{
    double n = 0.0, mx = 0.0, my = 0.0;
    std::vector<std::pair<double, double>> xy;
    for (std::size_t i = 0; i < dips.size(); ++i) {
        const double e = -nernstSlopeUnchecked(truth[i].second + 273.15) * (truth[i].first - 7.0);
        xy.emplace_back(dips[i].x, e);
        mx += dips[i].x;
        my += e;
        n += 1.0;
    }
    mx /= n;
    my /= n;
    double sxx = 0.0, sxy = 0.0;
    for (const auto& [x, y] : xy) {
        sxx += (x - mx) * (x - mx);
        sxy += (x - mx) * (y - my);
    }
    if (sxx <= 0.0)
        return {};
    const double s = -sxy / sxx;
    Shift shift{.efficiency_pct = 100.0 * (s - 1.0), .offset_mv = my + s * mx};
    // Three standards: by how much the alkaline leg would seem longer than the acid one.
    std::vector<std::pair<double, double>> line = xy;
    std::sort(line.begin(), line.end());
    if (line.size() == 3 && line[1].first > line[0].first && line[2].first > line[1].first) {
        const auto leg = [&](std::size_t i) {
            return -100.0 * (line[i + 1].second - line[i].second) / (line[i + 1].first - line[i].first);
        };
        shift.legs_pct = leg(1) - leg(0);
    }
    return shift;
}

struct BottleMistake {
    const char* label;
    const char* bottle;
};
constexpr std::array<BottleMistake, 6> kBottleMistakes{{{"ph7.00", "ph6.86"},
                                                        {"ph6.86", "ph7.00"},
                                                        {"ph9.18", "ph10.01"},
                                                        {"ph10.01", "ph9.18"},
                                                        {"ph9.18", "ph10.01"},
                                                        {"ph10.01", "ph9.18"}}};
constexpr std::array kLostPh{0.04, 0.09, 0.15, 0.21};               ///< of an alkaline bottle that took up carbon dioxide
constexpr std::array kTrueTemps{0.0, 5.0, 10.0, 15.0, 35.0, 42.0};  ///< where 25 degC was taken
constexpr double kAlkalinePh = 8.0;

/// Lots of the standards used in the phase, by standard.
std::string lotOf(const Visit& v, Phase phase, const std::string& standard)
{
    for (const auto& r : v.readings)
        if (r.phase == phase && r.standard == standard && r.lot)
            return *r.lot;
    return {};
}

void exactShifts(const Case& c, const Visit& visit, Phase phase, const Visit& judged, Phase judgedPhase, RoundMember& m)
{
    const auto dips = dipsOf(visit, phase, *c.standards);
    if (dips.size() < 2 || !std::all_of(dips.begin(), dips.end(), [](const Dip& d) { return d.tempKnown; }))
        return;
    std::vector<std::pair<double, double>> plain;
    for (const auto& d : dips)
        plain.emplace_back(d.ph, d.temp_c);
    // A bottle of another lot is another bottle; a lot that was not written down may be the same.
    const auto shares = [&](const std::string& standard) {
        const auto mine = lotOf(judged, judgedPhase, standard), theirs = lotOf(visit, phase, standard);
        return mine.empty() || theirs.empty() || mine == theirs;
    };
    for (const auto& [label, bottle] : kBottleMistakes) {
        auto truth = plain;
        bool met = false;
        for (std::size_t i = 0; i < dips.size(); ++i)
            if (dips[i].standard == label && shares(dips[i].standard))
                if (const auto value = c.standards->ph(bottle, {}, Celsius(dips[i].temp_c))) {
                    truth[i].first = value->value;
                    met = true;
                }
        m.exact[0].push_back(met ? seeming(dips, truth) : Shift{});
    }
    for (const double lost : kLostPh) {
        auto truth = plain;
        bool met = false;
        for (std::size_t i = 0; i < dips.size(); ++i)
            if (dips[i].ph > kAlkalinePh && shares(dips[i].standard)) {
                truth[i].first -= lost;
                met = true;
            }
        m.exact[1].push_back(met ? seeming(dips, truth) : Shift{});
    }
    // Values of the labels typed for another temperature: what they are worth there is known.
    if (const auto label = labelValues(dips, *c.standards)) {
        auto truth = plain;
        for (std::size_t i = 0; i < dips.size(); ++i)
            truth[i].first = label->ph[i];
        m.exact[2].assign(kTrueTemps.size(), seeming(dips, truth));
        return;
    }
    // A temperature that nobody measured is written as a round 20 or 25.
    constexpr double kAsTyped = 0.05;
    const bool assumed = std::all_of(dips.begin(), dips.end(), [](const Dip& d) {
        return std::fabs(d.temp_c - 25.0) < kAsTyped || std::fabs(d.temp_c - 20.0) < kAsTyped;
    });
    for (const double t : kTrueTemps) {
        auto truth = plain;
        for (std::size_t i = 0; assumed && i < dips.size(); ++i)
            if (const auto value = c.standards->ph(dips[i].standard, {}, Celsius(t)))
                truth[i] = {value->value, t};
        m.exact[2].push_back(assumed ? seeming(dips, truth) : Shift{});
    }
}

std::optional<double> temperatureOf(const std::vector<Dip>& dips)
{
    double sum = 0.0, n = 0.0;
    for (const auto& d : dips)
        if (d.tempKnown) {
            sum += d.temp_c;
            n += 1.0;
        }
    return n > 0.0 ? std::optional(sum / n) : std::nullopt;
}

/// Of one day's standards, by the sensor's own thermometer where nobody wrote another down, and not a round guess.
bool byItsOwnThermometer(const Case& c, const std::vector<Dip>& dips)
{
    return std::all_of(dips.begin(), dips.end(), [&](const Dip& d) {
        const auto* r = readingAt(c.visit, d.index);
        const bool guess = std::fabs(d.temp_c - 25.0) < 0.05 || std::fabs(d.temp_c - 20.0) < 0.05;
        return r && !guess && (!r->temp_source || *r->temp_source == TemperatureSource::Sensor);
    });
}

std::optional<double> warmerThanTheRest(const Case& c, const std::vector<RoundMember>& members)
{
    const auto dips = dipsOf(*c.visit, c.state->phase, *c.standards);
    constexpr std::size_t kOthers = 3;  // our choice: a median of fewer says little
    std::vector<double> others;
    for (std::size_t i = 1; i < members.size(); ++i)
        if (members[i].temp_c)
            others.push_back(*members[i].temp_c);
    if (others.size() < kOthers || !members.front().temp_c || !byItsOwnThermometer(c, dips))
        return std::nullopt;
    const auto middle = others.begin() + static_cast<std::ptrdiff_t>(others.size() / 2);
    std::nth_element(others.begin(), middle, others.end());
    return *members.front().temp_c - *middle;
}

bool sameRound(const Visit& a, const Visit& b)
{
    if (a.round && b.round)
        return *a.round == *b.round && std::fabs(daysBetween(a.when, b.when)) <= kRoundDays;
    if (dayNumber(a.when) != dayNumber(b.when))
        return false;
    if (a.person && b.person && *a.person == *b.person)
        return true;
    for (const auto& r : a.readings)
        for (const auto& s : b.readings)
            if (r.lot && s.lot && *r.lot == *s.lot)
                return true;
    return !a.person && !b.person && !a.round && !b.round;
}

/// A sensor of the round and the visit it was read in.
struct Attended {
    RoundMember member;
    const Visit* visit = nullptr;
    Phase phase = Phase::AsFound;
};

std::optional<Attended> otherMember(const Case& c, const SensorHistory& history)
{
    const auto first = std::lower_bound(history.visits.begin(), history.visits.end(), c.visit->when,
                                        [](const Visit* v, const Instant& t) { return daysBetween(v->when, t) > kRoundDays; });
    for (auto at = first; at != history.visits.end() && daysBetween(c.visit->when, (*at)->when) <= kRoundDays; ++at) {
        const Visit& v = **at;
        if (v.when > c.until || !sameRound(*c.visit, v))
            continue;
        const auto phase = hasPhase(v, Phase::AsFound)      ? Phase::AsFound
                           : hasPhase(v, Phase::AfterClean) ? Phase::AfterClean
                                                            : Phase::AsLeft;
        const auto read = figuresAt(quickFigures(c, history, v, phase));
        if (!read)
            continue;
        auto before = at;
        const auto expected = expectedFrom([&]() -> std::optional<Expected> {
            while (before != history.visits.begin()) {
                --before;
                for (const auto p : {Phase::AsLeft, Phase::AfterClean, Phase::AsFound})
                    if (hasPhase(**before, p)) {
                        if (const auto f = figuresAt(quickFigures(c, history, **before, p)))
                            return f;
                        break;
                    }
            }
            return std::nullopt;
        });
        if (!expected)
            continue;
        RoundMember m;
        m.name = history.sensor ? history.sensor->serial : std::string();
        m.efficiency_pct = read->efficiency_pct - expected->efficiency_pct;
        m.offset_mv = read->offset_mv - expected->offset_mv;
        if (read->legs_pct)
            m.legs_pct = *read->legs_pct - expected->legs_pct.value_or(0.0);
        m.temp_c = temperatureOf(dipsOf(v, phase, *c.standards));
        exactShifts(c, v, phase, *c.visit, c.state->phase, m);
        return Attended{std::move(m), &v, phase};
    }
    return std::nullopt;
}

/// Whether two sensors stood in the same beakers: the same day, and no standard of the second from another bottle.
bool sameBeakers(const Visit& a, Phase phaseA, const Visit& b, Phase phaseB)
{
    if (dayNumber(a.when) != dayNumber(b.when))
        return false;
    bool shared = false;
    for (const auto& r : b.readings) {
        if (r.phase != phaseB || !r.mv)
            continue;
        const bool used = std::any_of(a.readings.begin(), a.readings.end(),
                                      [&](const Reading& s) { return s.phase == phaseA && s.mv && s.standard == r.standard; });
        const auto mine = lotOf(a, phaseA, r.standard), theirs = lotOf(b, phaseB, r.standard);
        if (used && !mine.empty() && !theirs.empty() && mine != theirs)
            return false;
        shared = shared || used;
    }
    return shared;
}

/// Numbers the sensors that stood in the same beakers as the one judged (the first), by time.
void putInOrder(const Case& c, std::vector<RoundMember>& members, const std::vector<Attended>& others)
{
    std::vector<std::pair<Instant, std::size_t>> byTime{{c.visit->when, 0}};
    for (std::size_t i = 0; i < others.size(); ++i)
        if (sameBeakers(*c.visit, c.state->phase, *others[i].visit, others[i].phase))
            byTime.emplace_back(others[i].visit->when, i + 1);
    std::stable_sort(byTime.begin(), byTime.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    const bool told =
        std::adjacent_find(byTime.begin(), byTime.end(), [](const auto& a, const auto& b) { return !(a.first < b.first); }) == byTime.end();
    for (std::size_t place = 0; told && place < byTime.size(); ++place)
        members[byTime[place].second].order = static_cast<double>(place);
}

}  // namespace

std::optional<RoundMember> ownMember(const Case& c)
{
    if (!c.plant || !c.history || !c.visit || c.kind != SensorKind::Ph)
        return std::nullopt;
    const auto read = figuresAt(*c.state);
    if (!read)
        return std::nullopt;
    auto at = c.past.size();
    const auto expected = expectedFrom([&]() -> std::optional<Expected> {
        while (at-- > 0)
            if (const auto* s = c.past[at]->lastState())
                if (const auto f = figuresAt(*s))
                    return f;
        at = 0;
        return std::nullopt;
    });
    if (!expected)
        return std::nullopt;
    RoundMember m;
    m.name = c.history && c.history->sensor ? c.history->sensor->serial : std::string();
    m.efficiency_pct = read->efficiency_pct - expected->efficiency_pct;
    m.offset_mv = read->offset_mv - expected->offset_mv;
    if (read->legs_pct)
        m.legs_pct = *read->legs_pct - expected->legs_pct.value_or(0.0);
    m.temp_c = temperatureOf(dipsOf(*c.visit, c.state->phase, *c.standards));
    exactShifts(c, *c.visit, c.state->phase, *c.visit, c.state->phase, m);
    return m;
}

std::optional<RoundEvidence> roundOf(const Case& c, const RoundMember& own)
{
    RoundEvidence e;
    e.members.push_back(own);
    std::vector<Attended> others;
    for (const auto& history : c.plant->histories())
        if (&history != c.history && history.model && history.model->kind == SensorKind::Ph)
            if (auto other = otherMember(c, history)) {
                e.members.push_back(other->member);
                others.push_back(*std::move(other));
            }
    if (e.members.size() < 2)
        return std::nullopt;
    putInOrder(c, e.members, others);
    const auto& tables = c.rules->diagnosisTables().round;
    e.found = diagnosis::weighRound(tables, e.members);
    e.warmer_k = warmerThanTheRest(c, e.members);
    const auto& self = e.members.front();
    if (e.found.likeliest) {
        const auto which = static_cast<std::size_t>(*e.found.likeliest);
        const double none = diagnosis::logLikelihood(tables, self, {});
        const std::vector<Shift> carried{Shift{-e.found.carryPct.value_or(0.0) * self.order.value_or(0.0), 0.0}};
        const auto& exact = e.found.carryPct ? carried : self.exact[which].empty() ? tables.shifts[which] : self.exact[which];
        for (const auto& shift : exact) {
            e.touched = e.touched || shift.efficiency_pct != 0.0 || shift.offset_mv != 0.0 || shift.legs_pct != 0.0;
            e.fits = e.fits || diagnosis::logLikelihood(tables, self, shift) > none;
        }
    }
    if (e.found.prompt) {
        std::size_t shifted = 0, bent = 0;
        double pct = 0.0, offset = 0.0, legs = 0.0;
        for (const auto& m : e.members) {
            const bool bends = m.legs_pct && std::fabs(*m.legs_pct) > kOwnShiftLegsPct;
            if (!bends && std::fabs(m.efficiency_pct) <= kOwnShiftPct && std::fabs(m.offset_mv) <= kOwnShiftMv)
                continue;
            ++shifted;
            pct += m.efficiency_pct;
            offset += m.offset_mv;
            bent += bends ? 1U : 0U;
            legs += bends ? *m.legs_pct : 0.0;
        }
        const auto n = static_cast<double>(std::max<std::size_t>(shifted, 1));
        e.text = fmt::format("{} of {} sensors of this round shifted together, by {} % and {} mV on average", shifted, e.members.size(),
                             formatSigned(pct / n, 1), formatSigned(offset / n, 0));
        if (bent > 1)
            e.text += fmt::format(", the alkaline leg of {} against the acid one by {} %", bent,
                                  formatSigned(legs / static_cast<double>(bent), 1));
        if (e.touched)
            e.text += fmt::format("; that fits {}", e.found.shift.words);
    }
    return e;
}

}  // namespace halfcell::core::judging
