#include "core/simulator/visit_draft.h"

#include "core/simulator/calendar.h"
#include "core/simulator/treatment.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace halfcell::core::simulation {

VisitDraft::VisitDraft(Workshop& shop, Round& round, std::size_t point, std::size_t recordedProbe, std::size_t physical, VisitReason reason,
                       std::int64_t seconds)
    : m_shop(shop), m_round(round), m_point(point), m_recorded(recordedProbe), m_physical(physical), m_hasPoint(true), m_seconds(seconds)
{
    begin(reason);
}

VisitDraft::VisitDraft(Workshop& shop, Round& round, std::size_t probeIndex, VisitReason reason, std::int64_t seconds)
    : m_shop(shop), m_round(round), m_recorded(probeIndex), m_physical(probeIndex), m_seconds(seconds)
{
    begin(reason);
}

void VisitDraft::begin(VisitReason reason)
{
    visit.visit = m_shop.visitKey(m_round.day, point() ? point()->record.tag : recorded().serial);
    visit.when = now();
    visit.serial = recorded().serial;
    if (point())
        visit.tag = point()->record.tag;
    visit.person = habit().person;
    visit.reason = reason;
    if (!m_round.key.empty())
        visit.round = m_round.key;

    const Application& application = applicationOf(point() ? point()->record.application.value_or("") : "drinking_water");
    const int roll = m_shop.technical.below(100);
    m_film = roll < application.scale                                              ? FindingCode::FilmScale
             : roll < application.scale + application.grease                       ? FindingCode::FilmGrease
             : roll < application.scale + application.grease + application.protein ? FindingCode::FilmProtein
                                                                                   : FindingCode::Biofilm;
    Probe& p = probe();
    if (!orp() && point())
        m_previousMv = trueEfficiency(p.state, p.traits, model()) / 100.0 * idealSlope(20.0) * (7.0 - point()->ph);
    else if (point())
        m_previousMv = point()->orp_mv - referenceMv(model().fill, 20.0);

    const State& s = p.state;
    m_truth = {.visit = visit.visit, .serial = p.serial, .age = roundTo(s.age, 1e-4), .film = roundTo(s.film, 1e-4),
               .chloride_lost = roundTo(s.chloride, 1e-4), .poison = roundTo(s.poison, 1e-4), .junction = roundTo(s.clog, 1e-4),
               .dehydration = roundTo(s.dry, 1e-4), .wet = s.leakMohm > 0.0 ? roundTo(s.leakMohm, 0.1) : 0.0, .metal_film = roundTo(s.metal, 1e-4),
               .true_efficiency_pct = roundTo(trueEfficiency(s, p.traits, model()), 1e-3),
               .true_offset_mv = roundTo(trueOffset(s, p.traits, model(), p.surroundings), 1e-3),
               .true_t90_s = roundTo(trueResponse(s, p.traits, model(), 25.0), 1e-2)};
    noteTruth();
}

Instant VisitDraft::now() const
{
    return localTime(m_round.day, m_seconds);
}

void VisitDraft::noteTruth()
{
    const Probe& p = probe();
    const State& s = p.state;
    const bool differential = isDifferential(model().reference);
    if (m_recorded != m_physical) {
        fault("moved_without_record");
        fault("wrong_sensor");
    }
    switch (s.fault) {
    case Fault::Broken: fault("glass_broken"); break;
    case Fault::Reversed: fault("leads_reversed"); break;
    case Fault::Short: fault("short_circuit"); break;
    case Fault::Open: fault("open_circuit"); break;
    case Fault::TemperatureElement: fault("temperature_element"); break;
    case Fault::None: break;
    }
    if (s.leakMohm > 0.0)
        fault("glass_shunted");
    if (s.groundMv != 0.0)
        fault("ground_loop");
    if (orp()) {
        if (s.metal >= 0.5)
            fault("metal_filmed");
        if (std::abs(s.metalMv) > 25.0)
            fault("metal_poisoned");
        if (p.otherFill)
            fault("wrong_standard");
    } else {
        if (s.film >= 0.6)
            fault(keyOf(m_film));
        if (isGlass(model().sensing)) {
            if (s.age >= 0.9)
                fault("glass_aged");
            if (s.etch >= 0.4)
                fault("glass_etched");
            if (s.dry >= 0.3)
                fault("glass_dry");
        }
        if (model().sensing == Sensing::Isfet && std::abs(s.wander) > 15.0)
            fault("gate_worn");
    }
    if (differential) {
        if (s.chloride >= 0.6)
            fault("cell_contaminated");
        if (s.clog >= 2.2)
            fault("bridge_exhausted");
    } else {
        if (s.chloride >= 0.72)
            fault("electrolyte_diluted");
        if (s.clog >= 3.6)
            fault("junction_blocked");
        else if (s.clog >= 2.2)
            fault("junction_clogged");
    }
    if (s.poison >= 0.95)
        fault("reference_poisoned");
}

void VisitDraft::fault(std::string_view code)
{
    if (std::ranges::find(m_codes, code) == m_codes.end())
        m_codes.emplace_back(code);
}

std::vector<std::string_view> VisitDraft::standards(bool third)
{
    const std::string_view application = point() && point()->record.application ? std::string_view(*point()->record.application) : "";
    if (orp()) {
        if (application == "plating" || application == "wastewater" || application == "scrubber")
            return {"quinhydrone_ph7", "quinhydrone_ph4"};
        return {"zobell", "quinhydrone_ph7"};
    }
    const double ph = point() ? point()->ph : 6.5;
    const bool acid = ph < 7.0 || model().sensing == Sensing::Antimony;
    std::vector<std::string_view> list{"ph7.00", acid ? "ph4.01" : "ph10.01"};
    if (third && model().sensing != Sensing::Antimony)
        list.emplace_back(acid ? "ph10.01" : "ph4.01");
    return list;
}

TemperatureEntry VisitDraft::temperatureEntry(double forget)
{
    Generator& people = m_shop.people;
    TemperatureEntry entry;
    if (m_round.temperatureIgnored) {
        entry.value = 25.0;
        fault("temperature_ignored");
        return entry;
    }
    if (people.chance(habit().temperatureMissing * forget)) {
        if (people.chance(0.4))
            entry.source = TemperatureSource::Absent;
        fault("temperature_missing");
        return entry;
    }
    const double temp = orp() ? clamp(m_round.bufferTemp, 10.0, 29.0) : m_round.bufferTemp;
    if (people.chance(habit().temperatureGuessed)) {
        entry.value = temp > 22.0 ? 25.0 : 20.0;
        if (people.chance(0.65))
            entry.source = TemperatureSource::Guessed;
        return entry;
    }
    const double step = habit().wholeDegrees ? 1.0 : 0.1;
    if (!orp() && people.chance(0.12)) {
        entry.value = roundTo(temp + probe().state.thermometerOff + people.normal(0.0, 0.3), step);
        entry.source = TemperatureSource::Sensor;
        return entry;
    }
    entry.value = roundTo(temp + m_shop.staff.thermometer(m_round.thermometer).error + people.normal(0.0, 0.2), step);
    entry.measured = true;
    if (people.chance(0.85))
        entry.source = TemperatureSource::Measured;
    return entry;
}

Observed VisitDraft::read(Phase phase, const std::vector<std::string_view>& list, double forget)
{
    const TemperatureEntry entry = temperatureEntry(forget);
    bool later = false;
    for (const std::string_view standard : list) {
        const double before = m_previousMv;
        const auto same = [&](const Reading& r) { return r.phase == phase && r.standard == standard; };
        const int dip = 1 + static_cast<int>(std::ranges::count_if(visit.readings, same));
        double trueMv = 0.0;
        Reading reading = takeReading(m_shop, m_round, probe(), {phase, standard, entry, later, dip, phase == Phase::AsLeft ? std::max(stays, 0.85) : stays}, m_previousMv, m_seconds, trueMv);
        const double temp = m_round.bufferTemp;
        const double response = trueResponse(probe().state, probe().traits, model(), temp);
        if (reading.wait_s.has_value() && *reading.wait_s < response && std::abs(trueMv - before) > 20.0)
            m_tooSoon = true;
        if (m_round.mixedUp && standard == "ph7.00")
            fault("wrong_standard");
        if (m_round.deadBottle && standard == "ph10.01")
            fault("stale_standard");
        visit.readings.push_back(std::move(reading));
        later = true;
    }
    if (m_tooSoon)
        fault("read_too_soon");
    return workOut(visit.readings, phase, model(), 20.0, recorded().baselineOffset.value_or(0.0));
}

void VisitDraft::skip(Phase phase, std::string_view why)
{
    Reading reading;
    reading.phase = phase;
    reading.standard = orp() ? "zobell" : "ph7.00";
    reading.why_missing = std::string(why);
    reading.when = now();
    visit.readings.push_back(std::move(reading));
}

void VisitDraft::startHold()
{
    if (!point() || !point()->hold)
        return;
    m_seconds += 60 + m_shop.people.below(180);
    Hold hold;
    hold.point = point()->record.tag;
    hold.from = now();
    hold.person = habit().person;
    hold.recorded = hold.from;
    m_hold = m_shop.out.records.holds.size();
    m_shop.out.records.holds.push_back(hold);
    if (m_shop.people.chance(0.88))
        visit.manual_from = hold.from;
    m_seconds += 120;
}

void VisitDraft::endHold()
{
    if (!m_hold || holdStays)
        return;
    m_seconds += 120 + m_shop.people.below(300);
    Hold& hold = m_shop.out.records.holds[*m_hold];
    hold.to = now();
    hold.closed_by = habit().person;
    hold.closed_how = HoldClosed::Auto;
    if (m_shop.people.chance(0.012)) {
        hold.closed_how = HoldClosed::HandedToControlRoom;
        hold.note = "control room keeps it in manual";
    }
    if (visit.manual_from && m_shop.people.chance(0.93))
        visit.auto_at = hold.to;
}

void VisitDraft::remark(std::string_view text)
{
    if (visit.remark)
        *visit.remark += "; " + std::string(text);
    else
        visit.remark = std::string(text);
}

void VisitDraft::finish()
{
    endHold();
    std::string jotted;
    if (!quiet && m_shop.people.chance(habit().remarks))
        jotted = jotting(probe(), visit, m_film, m_shop.people);
    if (!jotted.empty())
        remark(jotted);
    // Paper is typed in the afternoon, sometimes the next morning.
    std::int64_t paperDay = m_round.day;
    const bool night = m_seconds > 17 * 3600;
    std::int64_t paperTime = std::max<std::int64_t>(15 * 3600 + 600 + m_shop.people.below(2400), m_seconds + 300);
    if (night || (!quiet && m_round.day + 1 < m_shop.untilDay && m_shop.people.chance(habit().paperNextDay))) {
        ++paperDay;
        paperTime = 7 * 3600 + 900 + m_shop.people.below(1800);
    }
    visit.recorded = localTime(paperDay, paperTime);
    for (std::size_t i = 0; i < m_codes.size(); ++i)
        m_shop.noteFault(visit.visit, visit.serial, m_codes[i]);
    m_truth.true_efficiency_after_pct = roundTo(trueEfficiency(probe().state, probe().traits, model()), 1e-3);
    m_shop.out.states.push_back(m_truth);
    if (!quiet)
        makeClericalErrors(m_shop, m_round, visit);
    const auto stamp = [&](auto& rows) {
        for (auto& row : rows)
            row.recorded = visit.recorded;
    };
    stamp(visit.readings);
    stamp(visit.grabs);
    stamp(visit.checks);
    stamp(visit.actions);
    std::optional<Visit> copy;
    if (!quiet)
        copy = doubleEntry(m_shop, visit);
    m_shop.out.records.visits.push_back(std::move(visit));
    if (copy)
        m_shop.out.records.visits.push_back(std::move(*copy));
}

}  // namespace halfcell::core::simulation
