#include "tests/db/support/book_fixture.h"

namespace halfcell::db::testing {

using core::Phase;

core::Records smallShop()
{
    core::Records r;
    const core::Instant start = at("2025-01-01");
    core::Site site;
    site.site = "Saltmarsh";
    site.recorded = start;
    r.sites.push_back(site);
    for (const char* tag : {"AE-3107", "AE-3109"}) {
        core::Point point;
        point.tag = tag;
        point.site = "Saltmarsh";
        point.area = "Neutralisation";
        point.application = "wastewater";
        point.loop_class = core::LoopClass::Control;
        point.ph_low = 6.5;
        point.ph_high = 9.5;
        point.hazards = {"acid", "caustic"};
        point.recorded = start;
        r.points.push_back(point);
    }
    core::Model ph;
    ph.model = "K7";
    ph.reference = core::ReferenceDesign::DoubleGel;
    ph.sensing = core::Sensing::Bulb;
    ph.price = 240.0;
    ph.recorded = start;
    r.models.push_back(ph);
    core::Model orp;
    orp.model = "R2";
    orp.kind = core::SensorKind::Orp;
    orp.sensing = core::Sensing::Platinum;
    orp.reference_fill = "3M KCl";
    orp.recorded = start;
    r.models.push_back(orp);
    for (const char* serial : {"K7-0412", "K7-0431", "R2-0007"}) {
        core::Sensor sensor;
        sensor.serial = serial;
        sensor.model = std::string(serial).substr(0, 2);
        sensor.bought = at("2025-01-10");
        sensor.recorded = start;
        r.sensors.push_back(sensor);
    }
    const char* places[][2] = {{"K7-0412", "AE-3107"}, {"K7-0431", "shelf"}, {"R2-0007", "AE-3109"}};
    for (const auto& [serial, place] : places) {
        core::Placement placement;
        placement.serial = serial;
        placement.place = place;
        placement.from = at("2025-02-01T08:00:00+01:00");
        placement.recorded = placement.from;
        r.placements.push_back(placement);
    }
    core::PartRecord part;
    part.serial = "R2-0007";
    part.part = core::Part::Electrolyte;
    part.from = at("2025-02-01");
    part.lot = "E-1";
    part.recorded = part.from;
    r.parts.push_back(part);
    core::Lot lot;
    lot.lot = "B7-2231";
    lot.standard = "ph7.00";
    lot.received = at("2025-01-05");
    lot.certified_ph = 7.01;
    lot.u_ph = 0.01;
    lot.recorded = at("2025-01-05");
    r.lots.push_back(lot);
    core::StandardRow own;
    own.standard = "house9";
    own.temp_degc = 20.0;
    own.ph = 9.05;
    own.u = 0.02;
    own.recorded = start;
    r.standards.push_back(own);
    core::Equipment meter;
    meter.equipment = "H3";
    meter.error = 0.4;
    meter.recorded = start;
    r.equipment.push_back(meter);
    core::Person person;
    person.person = "T1";
    person.skills = {"ph", "orp"};
    person.days = {"mon", "tue"};
    person.minutes_per_day = 300.0;
    person.recorded = start;
    r.people.push_back(person);
    core::Hold hold;
    hold.point = "AE-3107";
    hold.from = at("2025-03-02T08:12:00Z");
    hold.person = "T1";
    hold.recorded = hold.from;
    r.holds.push_back(hold);
    core::Legacy legacy;
    legacy.serial = "K7-0412";
    legacy.when = at("2024-05-01");
    legacy.efficiency_pct = 96.5;
    legacy.offset_mv = -4.0;
    legacy.recorded = legacy.when;
    r.legacy.push_back(legacy);
    return r;
}

core::Visit ordinaryVisit(const std::string& key, const char* day)
{
    const std::string date(day);
    const auto time = [&](const char* clock) { return date + "T" + clock + "+01:00"; };
    core::Visit v;
    v.visit = key;
    v.when = at(time("08:44:00").c_str());
    v.recorded = v.when;
    v.serial = "K7-0412";
    v.person = "T1";
    v.reason = core::VisitReason::Routine;
    v.remark = "white coating, came off with acid";
    v.readings = {reading(time("08:45:00").c_str(), Phase::AsFound, "ph7.00", -13.0, 19.0),
                  reading(time("08:50:00").c_str(), Phase::AsFound, "ph10.01", -176.0, 19.0),
                  reading(time("09:10:00").c_str(), Phase::AsLeft, "ph7.00", -10.0, 19.2),
                  reading(time("09:15:00").c_str(), Phase::AsLeft, "ph10.01", -181.5, 19.2)};
    for (core::Reading& r : v.readings) {
        r.recorded = v.when;
        r.wait_s = 60.0;
        r.t90_s = core::NoAnswer::NotDone;
        r.temp_source = core::TemperatureSource::Measured;
        r.meter = "H3";
    }
    v.readings[0].lot = "B7-2231";
    for (int step = 1; step <= 2; ++step) {
        core::Action a;
        a.when = at(time("09:00:00").c_str());
        a.recorded = v.when;
        a.step = step;
        a.action = step == 1 ? core::ActionKey::CleanDetergent : core::ActionKey::CleanAcid;
        a.minutes = 6.0;
        v.actions.push_back(a);
    }
    core::Check check;
    check.when = v.when;
    check.recorded = v.when;
    check.coating = 2.0;
    check.coating_kind = core::CoatingKind::Hard;
    check.stir_ph = core::NoAnswer::NotPossible;
    v.checks.push_back(check);
    core::Grab grab;
    grab.when = v.when;
    grab.recorded = v.when;
    grab.loop_ph = 9.24;
    grab.grab_ph = 9.41;
    v.grabs.push_back(grab);
    return v;
}

}  // namespace halfcell::db::testing
