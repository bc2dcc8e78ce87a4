#include "tests/app/bench/bench_fixture.h"

namespace halfcell::test {

using namespace core;
using namespace app::bench;

namespace {

Instant at(const char* text)
{
    return parseInstant(text).value();
}

Reading reading(const Instant& when, Phase phase, const char* standard, double mv, double temp, double wait, const char* lot)
{
    Reading r;
    r.when = when;
    r.phase = phase;
    r.standard = standard;
    r.lot = lot;
    r.mv = mv;
    r.temp_degc = temp;
    r.temp_source = TemperatureSource::Measured;
    r.wait_s = wait;
    r.recorded = when;
    return r;
}

Point point(const char* tag, const char* area, const char* description, LoopClass loop)
{
    Point p;
    p.tag = tag;
    p.site = "Cinder Lane";
    p.area = area;
    p.description = description;
    p.loop_class = loop;
    p.recorded = at("2025-01-01");
    return p;
}

Placement placement(const char* serial, const char* place)
{
    Placement p;
    p.serial = serial;
    p.place = place;
    p.from = at("2025-09-28");
    p.recorded = p.from;
    return p;
}

Lot lot(const char* name, const char* standard, const char* opened)
{
    Lot l;
    l.lot = name;
    l.standard = standard;
    l.received = at("2025-11-01");
    l.opened = at(opened);
    l.recorded = at("2025-11-01");
    return l;
}

}  // namespace

Instant testNow()
{
    return at("2026-03-02T08:12:00+01:00");
}

Records benchRecords()
{
    const auto begin = at("2025-01-01");
    Records r;
    Site site;
    site.site = "Cinder Lane";
    site.recorded = begin;
    r.sites.push_back(site);

    Point loop = point(kTag, "Neutralisation", "Neutralisation tank 2", LoopClass::Control);
    loop.application = "plating";
    loop.ph_low = 8.8;
    loop.ph_high = 10.0;
    loop.temp_degc = 35.0;
    loop.tolerance_ph = 0.20;
    loop.hazards = {"caustic", "cyanide"};
    loop.location = "Ladder behind tank 2";
    loop.phone = "ext. 117";
    loop.grab_quality = GrabQuality::Clean;
    Point orp = point("AE-4102", "Pool", "Main pool ORP", LoopClass::Indication);
    orp.application = "pool";
    orp.tolerance_mv = 30.0;
    Point plain = point("AE-5001", "Rinse", "Rinse tank", LoopClass::Indication);
    plain.ph_low = 5.0;
    plain.ph_high = 6.0;
    plain.tolerance_ph = 0.3;
    r.points = {loop, orp, plain};

    const auto model = [&](const char* name, SensorKind kind, ReferenceDesign reference, Sensing sensing, const char* fill) {
        Model m;
        m.model = name;
        m.kind = kind;
        m.reference = reference;
        m.sensing = sensing;
        m.reference_fill = fill;
        m.interchange = name;
        m.recorded = begin;
        r.models.push_back(m);
    };
    model("G2", SensorKind::Ph, ReferenceDesign::DoubleGel, Sensing::Bulb, "3M KCl");
    model("G1", SensorKind::Ph, ReferenceDesign::SingleGel, Sensing::Bulb, "3M KCl");
    model("R3", SensorKind::Orp, ReferenceDesign::DoubleRefillable, Sensing::Platinum, "3M KCl");
    const auto sensor = [&](const char* serial, const char* name, const char* place) {
        Sensor s;
        s.serial = serial;
        s.model = name;
        s.recorded = begin;
        r.sensors.push_back(s);
        r.placements.push_back(placement(serial, place));
    };
    sensor(kSerial, "G2", kTag);
    sensor(kSpare, "G2", "shelf");
    sensor(kPlainSerial, "G1", "AE-5001");
    sensor(kOrpSerial, "R3", "AE-4102");

    r.lots = {lot("B7-2231", "ph7.00", "2026-02-18"), lot("B10-0874", "ph10.01", "2026-02-21"), lot("B10-0850", "ph10.01", "2026-01-27"),
              lot("B4-1120", "ph4.01", "2026-02-10")};
    Equipment meter;
    meter.equipment = "H3";
    meter.kind = EquipmentKind::Meter;
    meter.recorded = begin;
    Equipment thermometer = meter;
    thermometer.equipment = "C2";
    thermometer.kind = EquipmentKind::Thermometer;
    r.equipment = {meter, thermometer};
    Person t1;
    t1.person = "T1";
    t1.recorded = begin;
    r.people.push_back(t1);

    // 16 February: left at about 97 % with t90 22 s.
    Visit last;
    last.visit = "2026-02-16-AE-3107";
    last.when = at("2026-02-16T09:20:00+01:00");
    last.serial = kSerial;
    last.tag = kTag;
    last.person = "T1";
    last.reason = VisitReason::Routine;
    last.recorded = last.when;
    last.readings = {reading(last.when, Phase::AsFound, "ph7.00", -12, 19.0, 120, "B7-2231"), reading(last.when, Phase::AsFound, "ph10.01", -178, 19.0, 120, "B10-0850"),
                     reading(last.when, Phase::AsLeft, "ph7.00", -10, 19.0, 60, "B7-2231"), reading(last.when, Phase::AsLeft, "ph10.01", -181, 19.0, 75, "B10-0850")};
    for (Reading& q : last.readings)
        if (q.phase == Phase::AsLeft)
            q.t90_s = 22.0;
    r.visits.push_back(last);
    return r;
}

Hand::Hand(const std::string& serial) : m_plant(Plant::asKnown(benchRecords(), testNow())), m_rules(RuleSet::shipped())
{
    m_standards = StandardsBook::with(m_plant.records().standards, m_plant.records().lots);
    m_hand = sensorInHand(m_plant, serial, m_standards, m_rules);
}

// --- the hand --------------------------------------------------------------------------------------------------------

Typist::Typist(std::shared_ptr<const SensorInHand> hand, SerialSeen seen)
{
    VisitDraft draft = BenchModel::freshDraft(*hand, "visit-1", testNow(), "T1");
    draft.serialSeen = seen;
    m_model = std::make_unique<BenchModel>(std::move(draft), std::move(hand));
    m_moment = {testNow(), 1000.0, "T1"};
    m_model->begin(m_moment);
}

Outcome Typist::type(const std::string& digits)
{
    m_model->type(m_model->stop(), digits);
    return {};
}

Outcome Typist::enter()
{
    ++m_keys;
    return m_model->enter(m_moment);
}

Outcome Typist::space()
{
    ++m_keys;
    return m_model->space(m_moment);
}

Outcome Typist::press(char key)
{
    if (key < '0' || key > '9')
        ++m_keys;
    return m_model->press(key, m_moment);
}

Outcome Typist::take(const std::string& digits)
{
    type(digits);
    return enter();
}

void Typist::wait(double seconds)
{
    m_moment.clock += seconds;
    m_moment.now.utcSeconds += static_cast<std::int64_t>(seconds);
}

}  // namespace halfcell::test
