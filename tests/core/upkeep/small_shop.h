#pragma once

#include "core/fleet/plant.h"
#include "core/rules/assess.h"

#include <string>
#include <vector>

/// A small invented shop for the planning rooms: points, sensors and visits are added one by one; figures and judgements are
/// set by hand, so that what is tested here does not depend on the calculation.
namespace halfcell::core::shop {

inline Instant at(const std::string& text)
{
    return *parseInstant(text);
}
inline std::int64_t day(const std::string& text)
{
    return dayNumber(at(text));
}

struct Shop {
    Records records;

    Shop()
    {
        records.sites.push_back({.site = "Saltmarsh", .note = {}, .recorded = at("2020-01-01")});
        addModel("K7", SensorKind::Ph, ReferenceDesign::DoubleGel, Sensing::Bulb, 250.0, "12 mm");
    }
    Model& addModel(const std::string& key, SensorKind kind, ReferenceDesign reference, Sensing sensing, std::optional<double> price,
                    const std::string& interchange)
    {
        Model model;
        model.model = key;
        model.kind = kind;
        model.reference = reference;
        model.sensing = sensing;
        model.price = price;
        model.interchange = interchange;
        model.lead_time_days = 42.0;
        model.recorded = at("2020-01-01");
        records.models.push_back(model);
        return records.models.back();
    }
    Point& addPoint(const std::string& tag, const std::string& application = "drinking_water", LoopClass loopClass = LoopClass::Control)
    {
        Point point;
        point.tag = tag;
        point.site = "Saltmarsh";
        point.area = "Filters";
        point.application = application;
        point.loop_class = loopClass;
        point.ph_low = 6.5;
        point.ph_high = 7.5;
        point.recorded = at("2020-01-01");
        records.points.push_back(point);
        return records.points.back();
    }
    Sensor& addSensor(const std::string& serial, const std::string& model = "K7")
    {
        Sensor sensor;
        sensor.serial = serial;
        sensor.model = model;
        sensor.recorded = at("2020-01-01");
        records.sensors.push_back(sensor);
        return records.sensors.back();
    }
    Placement& place(const std::string& serial, const std::string& where, const std::string& from, const std::string& to = {})
    {
        Placement p;
        p.serial = serial;
        p.place = where;
        p.from = at(from);
        if (!to.empty())
            p.to = at(to);
        p.recorded = p.from;
        records.placements.push_back(p);
        return records.placements.back();
    }
    Visit& addVisit(const std::string& serial, const std::string& tag, const std::string& when)
    {
        Visit visit;
        visit.visit = serial + " " + when;
        visit.when = at(when);
        visit.serial = serial;
        visit.tag = tag;
        visit.recorded = visit.when;
        records.visits.push_back(visit);
        return records.visits.back();
    }
    /// Two readings in pH 7 and 4 (one phase), exact for the efficiency and offset given.
    static void read(Visit& visit, Phase phase, double efficiency_pct = 96.0, double offset_mv = 0.0)
    {
        for (const auto& [standard, ph] : {std::pair{"ph7.00", 7.0}, std::pair{"ph4.01", 4.0}}) {
            Reading r;
            r.when = visit.when;
            r.recorded = visit.when;
            r.phase = phase;
            r.standard = standard;
            r.mv = offset_mv - efficiency_pct / 100.0 * 59.159349685 * (ph - 7.0);
            r.temp_degc = 25.0;
            visit.readings.push_back(r);
        }
    }
    static void act(Visit& visit, ActionKey key)
    {
        Action a;
        a.when = visit.when;
        a.recorded = visit.when;
        a.step = static_cast<int>(visit.actions.size()) + 1;
        a.action = key;
        visit.actions.push_back(a);
    }
    /// A full calibration: as found and as left.
    Visit& calibrate(const std::string& serial, const std::string& tag, const std::string& when, double found = 96.0, double left = 96.0)
    {
        Visit& visit = addVisit(serial, tag, when);
        read(visit, Phase::AsFound, found);
        read(visit, Phase::AsLeft, left);
        return visit;
    }
    Person& addPerson(const std::string& key, std::vector<std::string> skills = {})
    {
        Person person;
        person.person = key;
        person.skills = std::move(skills);
        person.recorded = at("2020-01-01");
        records.people.push_back(person);
        return records.people.back();
    }
    Lot& addLot(const std::string& key, const std::string& standard)
    {
        Lot lot;
        lot.lot = key;
        lot.standard = standard;
        lot.recorded = at("2020-01-01");
        records.lots.push_back(lot);
        return records.lots.back();
    }
    [[nodiscard]] Plant known(const std::string& asOf) const { return Plant::asKnown(records, *parseInstant(asOf, DateMeans::EndOfDay)); }
};

/// Figures straight from the readings above (efficiency from the two millivolts), without the room that fits lines.
inline std::vector<std::vector<VisitFigures>> figuresOf(const Plant& plant)
{
    std::vector<std::vector<VisitFigures>> all;
    for (const SensorHistory& history : plant.histories()) {
        all.emplace_back();
        for (const Visit* visit : history.visits) {
            VisitFigures figures;
            figures.visit = visit;
            figures.when = visit->when;
            for (const Phase phase : {Phase::AsFound, Phase::AfterClean, Phase::AsLeft}) {
                std::optional<double> seven, four;
                for (const Reading& r : visit->readings)
                    if (r.phase == phase)
                        (r.standard == "ph7.00" ? seven : four) = r.mv;
                if (!seven || !four)
                    continue;
                PhaseFigures f;
                f.phase = phase;
                f.when = visit->when;
                f.offset_mv = *seven;
                f.u_offset_mv = 1.0;
                f.efficiency_pct = 100.0 * (*four - *seven) / (3.0 * 59.159349685);
                f.u_efficiency_pct = 0.7;
                figures.phases.push_back(f);
            }
            if (!figures.phases.empty())
                all.back().push_back(figures);
        }
    }
    return all;
}

/// Every sensor judged normal by its last figures.
inline std::vector<Assessment> judgements(const Plant& plant, const std::vector<std::vector<VisitFigures>>& figures)
{
    std::vector<Assessment> all;
    for (std::size_t i = 0; i < plant.histories().size(); ++i) {
        Assessment a;
        a.serial = plant.histories()[i].sensor->serial;
        a.neverMeasured = figures[i].empty();
        if (!figures[i].empty()) {
            const VisitFigures& last = figures[i].back();
            a.measured = last.when;
            a.figures = *last.lastState();
            a.phase = last.lastState()->phase;
            a.signal = Signal::Normal;
            a.verdict = Verdict::Leave;
        }
        all.push_back(a);
    }
    return all;
}

}  // namespace halfcell::core::shop
