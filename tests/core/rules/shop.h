#pragma once

#include "core/electrochemistry/nernst.h"
#include "core/rules/assess.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

/// A small shop for the rules' tests: one site, one point, one sensor, visits added by day. Millivolts come from the electrode
/// equation and the shipped tables, so that a wanted efficiency and offset are met exactly.
namespace halfcell::core::test {

inline Instant at(double day)
{
    return addDays(*parseInstant("2026-01-05T08:00:00Z"), day);
}

inline double mvFor(const std::string& standard, double efficiency, double offset, double temp = 25.0)
{
    const auto ph = StandardsBook::shipped().ph(standard, {}, Celsius(temp));
    return offset - efficiency / 100.0 * nernstSlopeUnchecked(temp + 273.15) * (ph->value - 7.0);
}

/// What a visit is made of: efficiency, offset and t90 of a phase, in pH 7.00 and pH 4.01 unless said.
struct State {
    double efficiency = 97.0, offset = 0.0;
    double t90 = 20.0, wait = 120.0, temp = 25.0;
    std::vector<std::string> standards{"ph7.00", "ph4.01"};
};

class Shop {
public:
    Shop()
    {
        Site site;
        site.site = "Upper Wexmoor Waterworks";
        records.sites.push_back(site);
        point.tag = "AE-1203";
        point.site = site.site;
        point.loop_class = LoopClass::Control;
        model.model = "K7";
        model.kind = SensorKind::Ph;
        model.reference = ReferenceDesign::DoubleGel;
        model.sensing = Sensing::Bulb;
        model.reference_fill = "3M KCl";
        sensor.serial = "K7-0001";
        sensor.model = "K7";
        placement.serial = sensor.serial;
        placement.place = point.tag;
        placement.from = at(-30);
        placement.recorded = at(-30);
    }

    Visit& visit(double day)
    {
        Visit v;
        v.visit = "V" + std::to_string(++m_count);
        v.when = at(day);
        v.recorded = v.when;
        v.serial = sensor.serial;
        v.tag = point.tag;
        records.visits.push_back(std::move(v));
        return records.visits.back();
    }
    static void read(Visit& v, Phase phase, const std::string& standard, double mv, double temp = 25.0, double wait = 120.0,
                     double t90 = 20.0)
    {
        Reading r;
        r.when = v.when;
        r.recorded = v.when;
        r.phase = phase;
        r.standard = standard;
        r.mv = mv;
        r.temp_degc = temp;
        r.temp_source = TemperatureSource::Measured;
        r.wait_s = wait;
        r.t90_s = t90;
        v.readings.push_back(std::move(r));
    }
    static void state(Visit& v, Phase phase, const State& s)
    {
        for (const auto& standard : s.standards)
            read(v, phase, standard, mvFor(standard, s.efficiency, s.offset, s.temp), s.temp, s.wait, s.t90);
    }
    static void act(Visit& v, ActionKey action, Text agent = {})
    {
        Action a;
        a.when = v.when;
        a.recorded = v.when;
        a.step = static_cast<int>(v.actions.size()) + 1;
        a.action = action;
        a.agent = std::move(agent);
        v.actions.push_back(std::move(a));
    }
    static Check& check(Visit& v)
    {
        if (v.checks.empty()) {
            Check k;
            k.when = v.when;
            k.recorded = v.when;
            v.checks.push_back(k);
        }
        return v.checks.front();
    }
    /// As-found visits in order, one a month, of a sensor that was well.
    void wellBefore(int months, const State& s = {})
    {
        for (int i = 0; i < months; ++i) {
            auto each = s;
            each.offset += 0.1 * i;  // no two visits read alike to the digit
            state(visit(30.0 * i), Phase::AsLeft, each);
        }
    }

    [[nodiscard]] Plant plant(double asOf = 1000) const
    {
        Records all = records;
        all.points.push_back(point);
        all.models.push_back(model);
        all.sensors.push_back(sensor);
        all.placements.push_back(placement);
        return Plant::asKnown(std::move(all), at(asOf));
    }
    [[nodiscard]] Assessment assess(double asOf = 1000, const RuleSet& rules = RuleSet::shipped()) const
    {
        const auto p = plant(asOf);
        const auto standards = StandardsBook::with(p.records().standards, p.records().lots);
        const auto* history = p.history(sensor.serial);
        const auto figures = figuresOfHistory(p, *history, standards, rules);
        return core::assess(p, *history, figures, standards, rules);
    }

    Records records;
    Point point;
    Model model;
    Sensor sensor;
    Placement placement;

private:
    int m_count = 0;
};

inline const Finding* find(const Assessment& a, FindingCode code)
{
    for (const auto& f : a.findings)
        if (f.code == code)
            return &f;
    return nullptr;
}
inline bool has(const Assessment& a, FindingCode code)
{
    return find(a, code) != nullptr;
}
inline bool says(const Finding& f, Because::Side side, std::string_view text)
{
    return std::any_of(f.because.begin(), f.because.end(),
                       [&](const Because& b) { return b.side == side && b.text.find(text) != std::string::npos; });
}
inline bool offers(const Assessment& a, ActionKey action)
{
    return std::find(a.actionOrder.begin(), a.actionOrder.end(), action) != a.actionOrder.end() ||
           std::any_of(a.findings.begin(), a.findings.end(), [&](const Finding& f) { return f.action == action; });
}

/// `calc`: a set without a book.
inline Assessment calc(const std::vector<std::tuple<std::string, double, double>>& readings, SensorKind kind = SensorKind::Ph,
                       const std::string& fill = {}, double wait = 60, double t90 = 20)
{
    Visit v;
    v.visit = "calc";
    v.when = at(0);
    for (const auto& [standard, mv, temp] : readings)
        Shop::read(v, Phase::AsFound, standard, mv, temp, wait, t90);
    FigureContext context;
    context.standards = &StandardsBook::shipped();
    context.kind = kind;
    context.reference_fill = fill;
    context.budget = RuleSet::shipped().budget();
    const auto figures = figuresOf(v, Phase::AsFound, context);
    return assessSet(v, Phase::AsFound, kind, fill, figures, StandardsBook::shipped(), RuleSet::shipped());
}

/// A visit with the sensor well before and this state as found on day 100.
inline Visit& sick(Shop& shop, const State& s, int monthsBefore = 3)
{
    shop.wellBefore(monthsBefore);
    auto& v = shop.visit(100);
    Shop::state(v, Phase::AsFound, s);
    return v;
}

}  // namespace halfcell::core::test
