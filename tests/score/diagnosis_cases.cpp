#include "tests/score/diagnosis_cases.h"

#include "core/electrochemistry/nernst.h"
#include "core/electrochemistry/standards.h"
#include "core/rules/rule_set.h"
#include "core/simulator/catalogue.h"
#include "core/simulator/state.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace halfcell::score {

namespace {

using namespace core;
using simulation::Generator;
using simulation::ModelSpec;
using simulation::State;
using simulation::Surroundings;
using simulation::Traits;

constexpr double kDaysPerMonth = 365.25 / 12.0;
constexpr int kSensors = 8;

/// What the round shares without anybody knowing.
struct Shared {
    enum class Kind { None, Wrong, Stale, Temperature } kind = Kind::None;
    bool neutralBottle = true;  ///< wrong: the 7.00 beaker holds 6.86, else the 10.01 beaker holds 9.18
    double stalePh = 0.0;       ///< an alkaline bottle so much too low
    double trueTemp = 20.0;     ///< of all standards of the day
};

/// One sensor in the making.
struct Patient {
    std::string cause;
    const ModelSpec* spec = nullptr;
    const simulation::Application* application = nullptr;
    Traits traits;
    State now;
    Surroundings around;
    double ageMonths = 0.0;
    std::vector<std::string> standards;
    // What the cause does to the readings beside the state.
    double factor = 1.0;    ///< on the slope and the offset (shunt)
    double addPct = 0.0;    ///< efficiency
    double addMv = 0.0;     ///< offset
    bool replaced = false;  ///< slope and offset are those below, whatever the state
    double pct = 0.0, mv = 0.0;
    double glassFactor = 1.0, extraNoise = 1.0;
    bool hit = false;        ///< by the round's shared cause
    double waitRatio = 0.0;  ///< fixed wait / t90 if above 0
    double thermometerOff = 0.0;
    double groundMv = 0.0;
    bool dried = false;
    double dryHours = 0.0;
};

double standardPh(const std::string& key, double temp)
{
    return StandardsBook::shipped().ph(key, {}, Celsius(temp))->value;
}

/// Age of the state `monthsAgo`: everything that only grows had less time.
State stateBefore(const Patient& p, double monthsAgo, Generator& random)
{
    State s = p.now;
    const double share = std::clamp(1.0 - monthsAgo / std::max(p.ageMonths, 0.1), 0.0, 1.0);
    s.age *= share;
    s.poison *= share;
    s.chloride = 1.0 - std::pow(1.0 - p.now.chloride, share);
    s.etch *= share;
    s.film = random.uniform(0.0, 0.15);  // as left: cleaned
    s.clog = std::min(p.now.clog, random.uniform(0.0, 1.3));
    s.dry = 0.0;
    return s;
}

void sicken(Patient& p, double amplitude, Generator& random)
{
    const auto u = [&](double a, double b) { return random.uniform(a, b); };
    const auto& c = p.cause;
    auto& s = p.now;
    if (c == "film") {
        s.film = std::min(1.5, u(0.45, 1.4) * amplitude);
    } else if (c == "glass_aged") {
        s.age = u(0.75, 1.3) * std::min(amplitude, 1.2);
    } else if (c == "glass_etched") {
        const double e = u(0.5, 1.1);
        p.addPct -= e * u(5, 16) * amplitude;
        p.glassFactor = std::max(0.05, 1.0 - 0.8 * e);
    } else if (c == "glass_dry") {
        const double h = u(0.3, 1.0);
        s.dry = h;
        p.addPct -= h * u(2, 28) * amplitude - 20.0 * h * 0.0;
        p.addMv += random.normal(0.0, 18.0 * h * amplitude);
        p.dried = true;
        p.dryHours = random.chance(0.45) ? u(4, 24) : u(25, 200);
    } else if (c == "junction_clogged") {
        s.clog = u(1.9, 3.6);
    } else if (c == "junction_blocked") {
        s.clog = u(3.6, 5.5);
        p.addPct += random.normal(-8.0, 10.0) * amplitude;
        p.addMv += random.normal(0.0, 35.0) * amplitude;
        p.extraNoise = 4.0;
        if (random.chance(0.4)) {
            p.dried = true;
            p.dryHours = random.chance(0.4) ? u(4, 24) : u(25, 200);
        }
    } else if (c == "electrolyte_diluted") {
        s.chloride = u(0.5, 0.85);
    } else if (c == "reference_poisoned") {
        s.poison = u(0.93, 1.4);
    } else if (c == "cell_contaminated") {
        s.chloride = std::max(s.chloride, u(0.5, 0.95));
        p.addMv += (random.chance(0.5) ? 1.0 : -1.0) * u(15, 70) * amplitude;
    } else if (c == "bridge_exhausted") {
        s.clog = u(2.2, 4.2);
        p.extraNoise = 1.2;
    } else if (c == "glass_shunted") {
        p.extraNoise = 1.8;
        p.factor = u(0.15, 0.88);
        p.glassFactor = u(0.02, 0.35);
    } else if (c == "glass_broken") {
        p.replaced = true;
        p.pct = random.normal(3.0, 5.0);
        p.mv = random.normal(0.0, 28.0);
        p.glassFactor = u(0.003, 0.06);
    } else if (c == "short_circuit") {
        p.replaced = true;
        p.pct = random.normal(0.0, 0.3);
        p.mv = random.normal(0.0, 1.0);
        p.glassFactor = 0.005;
    } else if (c == "open_circuit") {
        p.replaced = true;
        p.pct = random.normal(10.0, 70.0);
        p.mv = random.normal(0.0, 110.0);
        p.glassFactor = 12.0;
        p.extraNoise = 40.0;
    } else if (c == "leads_reversed") {
        p.factor = -1.0;
    } else if (c == "temperature_element") {
        p.thermometerOff = (random.chance(0.5) ? 1.0 : -1.0) * u(6, 45);
    } else if (c == "ground_loop") {
        p.groundMv = (random.chance(0.5) ? 1.0 : -1.0) * u(15, 70) * amplitude;
        p.extraNoise = 3.0;
    } else if (c == "read_too_soon") {
        p.waitRatio = u(0.4, 1.3);
    }
}

/// A reading of the state in a standard at the day's true temperature, after a wait from the reading before.
struct Bench {
    double slopePct = 98.0, alkalinePct = 98.0, offset = 0.0, t90 = 20.0, wait = 90.0;
};

Bench benchOf(const Patient& p, const State& s, bool today, Generator& random)
{
    Bench b;
    b.slopePct = simulation::trueEfficiency(s, p.traits, *p.spec);
    b.alkalinePct = simulation::alkalineEfficiency(s, p.traits, *p.spec);
    if (s.dry > 0.0) {  // the loss by drying is drawn with its own size
        b.slopePct /= 1.0 - 0.2 * s.dry;
        b.alkalinePct /= 1.0 - 0.2 * s.dry;
    }
    b.offset = simulation::trueOffset(s, p.traits, *p.spec, p.around);
    b.t90 = simulation::trueResponse(s, p.traits, *p.spec, 20.0);
    if (today) {
        b.slopePct = p.factor * (b.slopePct + p.addPct);
        b.alkalinePct = p.factor * (b.alkalinePct + p.addPct);
        b.offset = std::fabs(p.factor) < 1.0 ? p.factor * (b.offset + p.addMv) : b.offset + p.addMv;
        if (p.replaced) {
            b.slopePct = b.alkalinePct = p.pct;
            b.offset = p.mv;
        }
    }
    const double noise = random.normal(0.0, 1.0);  // one visit's bottles, person and zero
    b.slopePct += noise;
    b.alkalinePct += noise;
    b.offset += random.normal(0.0, 3.0);
    b.wait = 90.0 * random.lognormal(0.5);
    // Who sees it creep waits, up to a point.
    if (b.wait < 2.2 * b.t90 && random.chance(0.9))
        b.wait = std::min(random.uniform(2.0, 3.0) * b.t90, 420.0 * random.lognormal(0.3));
    if (today && p.waitRatio > 0.0)
        b.wait = p.waitRatio * b.t90;
    return b;
}

void addReadings(Visit& v, const Patient& p, const Bench& b, Phase phase, const Shared& shared, bool today, double trueTemp,
                 Generator& random)
{
    const bool hit = today && p.hit;
    const bool assumed = (hit && shared.kind == Shared::Kind::Temperature) || (p.thermometerOff == 0.0 && random.chance(0.10));
    const double element = today ? p.thermometerOff : 0.0;
    const double shownTemp = element != 0.0 ? std::clamp(std::round(10.0 * (trueTemp + element)) / 10.0, 0.5, 49.5)
                             : assumed      ? 25.0
                                            : std::round(10.0 * (trueTemp + random.normal(0.0, 0.3))) / 10.0;
    // Where nobody measured on an ordinary day, the shop is near 25 all the same.
    const double realTemp = assumed && !(hit && shared.kind == Shared::Kind::Temperature) ? 25.0 + random.normal(0.0, 1.5) : trueTemp;
    const bool tellsT90 = random.chance(0.85), tellsWait = random.chance(0.7);
    double last = 0.0, patience = 1.0;
    bool first = true;
    for (const auto& standard : p.standards) {
        double ph = standardPh(standard, realTemp);
        if (hit && shared.kind == Shared::Kind::Wrong) {
            if (shared.neutralBottle && standard == "ph7.00")
                ph = standardPh("ph6.86", realTemp);
            if (!shared.neutralBottle && standard == "ph10.01")
                ph = standardPh("ph9.18", realTemp);
        }
        if (hit && shared.kind == Shared::Kind::Stale && standard == "ph10.01")
            ph -= shared.stalePh;
        const double pct = ph > 7.5 ? b.alkalinePct : b.slopePct;
        double e = b.offset - pct / 100.0 * nernstSlopeUnchecked(realTemp + 273.15) * (ph - 7.0) + random.normal(0.0, 0.4);
        // Each further dip is given a little longer.
        if (!first)
            e = e + (last - e) * std::pow(10.0, -b.wait * patience / b.t90);
        patience *= first ? 1.0 : 1.4;
        last = e;
        Reading r;
        r.when = v.when;
        r.recorded = v.recorded;
        r.phase = phase;
        r.standard = standard;
        r.lot = standard == "ph7.00" ? "B7" : standard == "ph4.01" ? "B4" : "B10";
        r.mv = std::round(10.0 * e) / 10.0;
        r.temp_degc = shownTemp;
        if (!assumed || random.chance(0.4))
            r.temp_source = element != 0.0 ? TemperatureSource::Sensor : assumed ? TemperatureSource::Guessed : TemperatureSource::Measured;
        if (tellsWait)
            r.wait_s = std::round(b.wait);
        if (tellsT90)
            r.t90_s = std::max(1.0, std::round(b.t90 * random.lognormal(0.15)));
        v.readings.push_back(std::move(r));
        first = false;
    }
}

void slip(Visit& v, Generator& random)
{
    auto& r = v.readings[static_cast<std::size_t>(random.below(static_cast<int>(v.readings.size())))];
    const double which = random.uniform();
    if (which < 0.40) {
        static constexpr std::array kSlips{10.0, 20.0, 30.0, 50.0, 80.0, 100.0};
        *r.mv += (random.chance(0.5) ? 1.0 : -1.0) * kSlips[static_cast<std::size_t>(random.below(6))];
    } else if (which < 0.60) {
        auto& far = *std::max_element(v.readings.begin(), v.readings.end(),
                                      [](const Reading& a, const Reading& b) { return std::fabs(*a.mv) < std::fabs(*b.mv); });
        far.mv = -*far.mv;
    } else if (which < 0.75) {
        for (auto& x : v.readings)
            if (x.standard == "ph7.00")
                x.mv = -*x.mv;
    } else if (which < 0.90) {
        std::swap(v.readings.front().mv, v.readings.back().mv);
    } else {
        for (auto& x : v.readings)
            x.temp_degc = *x.temp_degc + (random.chance(0.5) ? 10.0 : -10.0);
    }
}

/// Tests and looks of today, where somebody made them.
void addChecks(Visit& v, const Patient& p, const Bench& b, const Shared& shared, Generator& random)
{
    Check k;
    k.when = v.when;
    k.recorded = v.recorded;
    const auto& s = p.now;
    const auto odds = [&](bool is, double ifSo, double ifNot) { return random.chance(is ? ifSo : ifNot); };
    const auto comparison = [&](bool changes) { return changes ? Comparison::Changes : Comparison::Same; };
    if (random.chance(0.8)) {
        k.coating = std::clamp(std::round(2.6 * s.film + random.normal(0.15, 0.55) + (s.clog > 1.8 ? 0.6 : 0.0)), 0.0, 4.0);
        if (s.film > 0.4 && random.chance(0.6)) {
            const double w = random.uniform(0.0, 100.0);
            const auto& a = *p.application;
            const int kind = w < a.scale ? 0 : w < a.scale + a.grease ? 1 : w < a.scale + a.grease + a.protein ? 2 : 3;
            k.coating_kind = static_cast<CoatingKind>(kind);
        }
    }
    if (random.chance(0.8))
        k.dry_hours = p.dried && random.chance(0.9) ? std::round(p.dryHours) : random.chance(0.03) ? 8.0 : 0.0;
    if (random.chance(0.55))
        k.noise_mv = 0.8 * random.lognormal(0.5) * p.extraNoise * (1.0 + 0.7 * std::max(0.0, s.clog - 1.3));
    if (random.chance(0.45)) {
        k.glass_mohm = simulation::glassResistance(s, p.traits, *p.spec, 20.0) * p.glassFactor * random.lognormal(0.2);
        k.glass_temp_degc = 20.0;
    }
    if (random.chance(0.40))
        k.reference_kohm = simulation::referenceResistance(s, p.traits) * random.lognormal(0.2);
    if (random.chance(0.2))
        k.hysteresis_mv = std::fabs(random.normal(0.0, 1.5)) + 1.6 * s.film + 1.3 * s.age + 1.6 * std::max(0.0, s.clog - 1.3) + 4.0 * s.dry;
    if (random.chance(0.08))
        k.dilution_ph = 7.06 + random.normal(0.0, 0.02) + random.normal(0.0, 0.07 * std::max(0.0, s.clog - 1.3));
    if (random.chance(0.10))
        k.stir_ph = std::fabs(random.normal(0.0, 0.025)) + 0.045 * std::max(0.0, s.clog - 1.3) + 0.02 * s.film;
    if (random.chance(0.10)) {
        const double now = std::pow(10.0, -b.wait / b.t90), later = std::pow(10.0, -(b.wait + 180.0) / b.t90);
        k.reread_pct = 100.0 * (now - later) + random.normal(0.0, 0.8) + (p.cause == "entry_error" && random.chance(0.7) ? 15.0 : 0.0);
    }
    if (random.chance(0.08))
        k.second_bottle = comparison(odds(p.hit && (shared.kind == Shared::Kind::Wrong || shared.kind == Shared::Kind::Stale), 0.93, 0.04));
    if (random.chance(0.05))
        k.cable = comparison(
            odds(p.cause == "glass_shunted" || p.cause == "short_circuit" || p.cause == "open_circuit" || p.cause == "leads_reversed", 0.7,
                 0.03));
    if (random.chance(0.05))
        k.short_open = comparison(odds(p.cause == "glass_shunted" || p.cause == "short_circuit", 0.3, 0.02));
    if (random.chance(0.06))
        k.earth_wire = comparison(odds(p.cause == "ground_loop", 0.91, 0.04));
    if (random.chance(0.15))
        k.thermometer_off_k = p.thermometerOff != 0.0 ? p.thermometerOff : random.normal(0.0, 0.45);
    v.checks.push_back(std::move(k));
}

/// The loop was last adjusted to the sensor as it was left.
void addGrab(Visit& v, const Patient& p, const Bench& now, const Bench& stored, double quality, Generator& random)
{
    Grab g;
    g.when = v.when;
    g.recorded = v.recorded;
    const double ph = p.around.processPh, t = p.around.processTemp;
    const double k = nernstSlopeUnchecked(t + 273.15), kSeen = nernstSlopeUnchecked(t + p.thermometerOff + 273.15);
    const double slope = (ph > 7.0 ? now.alkalinePct : now.slopePct) / 100.0;
    const double junction = p.now.clog > 1.5 ? random.normal(0.0, 16.0 * p.now.clog) : 0.0;  // in the process it shows
    const double e = now.offset + p.groundMv + junction + simulation::processExtra(p.now, p.traits) - slope * k * (ph - 7.0);
    const double lag = p.now.film > 0.4 ? random.normal(0.0, 0.12 * p.now.film) : 0.0;
    const double loop = 7.0 - (e - stored.offset) / (stored.slopePct / 100.0 * kSeen) + lag;
    g.loop_ph = std::clamp(std::round(100.0 * loop) / 100.0, 0.0, 14.0);
    g.grab_ph = std::round(100.0 * (ph + random.normal(0.0, quality))) / 100.0;
    v.grabs.push_back(std::move(g));
}

Visit visitAt(const std::string& key, const std::string& serial, const std::string& tag, const Instant& when)
{
    Visit v;
    v.visit = key;
    v.when = v.recorded = when;
    v.serial = serial;
    v.tag = tag;
    return v;
}

const ModelSpec& specOf(Generator& random)
{
    const double w = random.uniform();
    const char* model = w < 0.15 ? "K1" : w < 0.60 ? "K7" : w < 0.80 ? "R4" : "M2";
    return simulation::modelSpecs()[simulation::modelIndex(model)];
}

/// A cause of the sensor's own, from the priors of its circumstances.
std::string ownCause(const Patient& p, bool complaint, const Mix& mix, const std::vector<double>& perturbation, Generator& random)
{
    const auto& tables = RuleSet::shipped().diagnosisTables();
    diagnosis::Setting setting;
    setting.application = std::string(p.application->key);
    setting.reference = p.spec->reference;
    setting.sensing = p.spec->sensing;
    setting.ageMonths = p.ageMonths;
    setting.complaint = complaint;
    setting.round = {1.0, 0.0, 0.0, 0.0};
    auto prior = diagnosis::priorOf(tables.ph.network, tables.prior, setting);
    double sum = 0.0;
    for (std::size_t m = 0; m < prior.size(); ++m) {
        prior[m] *= perturbation[m];
        if (mix.faultRich && tables.ph.network.causes[m].key == "healthy")
            prior[m] *= 0.25;
        sum += prior[m];
    }
    double at = random.uniform(0.0, sum);
    for (std::size_t m = 0; m < prior.size(); ++m) {
        at -= prior[m];
        if (at < 0.0)
            return tables.ph.network.causes[m].key;
    }
    return "healthy";
}

}  // namespace

LabelledRound makeRound(Generator& random, const Mix& mix, int number)
{
    LabelledRound round;
    const auto today = *parseInstant("2027-03-01T09:00:00Z");
    round.asOf = addDays(today, 1.0);
    Shared shared;
    const double which = random.uniform();
    if (which < mix.wrongStandard)
        shared.kind = Shared::Kind::Wrong;
    else if (which < mix.wrongStandard + mix.staleStandard)
        shared.kind = Shared::Kind::Stale;
    else if (which < mix.wrongStandard + mix.staleStandard + mix.temperatureIgnored)
        shared.kind = Shared::Kind::Temperature;
    shared.neutralBottle = random.chance(0.7);
    shared.stalePh = 3.0 * random.uniform(0.02, 0.09);
    shared.trueTemp = random.uniform(17.0, 24.0);
    if (shared.kind == Shared::Kind::Temperature)
        shared.trueTemp = random.chance(0.3) ? random.uniform(32.0, 42.0) : random.uniform(3.0, 14.0);

    Site site;
    site.site = "Cinder Lane";
    site.recorded = addDays(today, -4000.0);
    round.records.sites.push_back(site);
    std::vector<double> perturbation;
    for (std::size_t m = 0; m < RuleSet::shipped().diagnosisTables().ph.network.causes.size(); ++m)
        perturbation.push_back(mix.perturbed > 0.0 ? random.lognormal(mix.perturbed) : 1.0);
    for (const auto& spec : simulation::modelSpecs())
        round.records.models.push_back(simulation::modelRecord(spec, site.recorded));

    for (int i = 0; i < kSensors; ++i) {
        Patient p;
        const auto all = simulation::applications();
        p.application = &all[static_cast<std::size_t>(random.below(static_cast<int>(all.size())))];
        p.spec = &specOf(random);
        const auto& duty = RuleSet::shipped().diagnosisTables().prior.duties.find(p.application->key)->second;
        p.ageMonths = random.uniform(0.5, 1.2 * duty.lifeMonths);
        p.traits = simulation::newTraits(*p.spec, 1.0, 0.0, random);
        p.around.rates = simulation::ratesFor(*p.application, p.spec->reference, p.spec->sensing, p.application->temp_degc, false, false);
        p.around.processPh = random.uniform(4.0, 10.5);
        p.around.processTemp = p.application->temp_degc;
        const bool complaint = random.chance(mix.complaints);
        p.standards = random.chance(0.45)  ? std::vector<std::string>{"ph7.00", "ph4.01", "ph10.01"}
                      : random.chance(0.5) ? std::vector<std::string>{"ph7.00", "ph4.01"}
                                           : std::vector<std::string>{"ph7.00", "ph10.01"};

        // Background of any sensor of this age.
        p.now.age = std::min(0.65, 0.4 * p.ageMonths / duty.lifeMonths * random.lognormal(0.3));
        p.now.film = random.uniform(0.0, 0.4);
        p.now.clog = random.uniform(0.0, 1.3);
        p.now.chloride = random.uniform(0.0, 0.45) * std::min(1.0, duty.chloride * p.ageMonths / 0.6);
        if (p.spec->reference == ReferenceDesign::DifferentialBridge)
            p.now.chloride *= 0.5;
        else if (p.spec->reference == ReferenceDesign::DoubleRefillable)
            p.now.chloride *= 0.3;
        p.now.poison = duty.poisonMonths ? random.uniform(0.0, 0.8) : 0.1;
        p.now.filmMv = random.normal(0.0, 8.0);

        // What the shared cause can reach, it reaches nine times in ten.
        const bool alkaline = std::find(p.standards.begin(), p.standards.end(), "ph10.01") != p.standards.end();
        const bool reachable = shared.kind == Shared::Kind::Temperature || (shared.kind == Shared::Kind::Stale && alkaline) ||
                               (shared.kind == Shared::Kind::Wrong && (shared.neutralBottle || alkaline));
        p.hit = reachable && random.chance(0.9);
        if (p.hit)
            p.cause = shared.kind == Shared::Kind::Wrong   ? "wrong_standard"
                      : shared.kind == Shared::Kind::Stale ? "stale_standard"
                                                           : "temperature_ignored";
        else
            p.cause = ownCause(p, complaint, mix, perturbation, random);
        if (p.cause != "healthy" && random.chance(0.12)) {
            const int other = random.below(3);
            if (other == 0)
                p.now.film = random.uniform(0.4, 1.0);
            else if (other == 1)
                p.now.age = random.uniform(0.65, 1.0);
            else
                p.now.clog = random.uniform(1.5, 2.6);
        }
        sicken(p, mix.amplitude, random);

        const auto serial = fmt::format("S{}-{}", number, i), tag = fmt::format("AE-{}{}", number, i);
        Point point;
        point.tag = tag;
        point.site = site.site;
        point.application = std::string(p.application->key);
        point.loop_class = LoopClass::Control;
        point.ph_low = p.around.processPh - 0.5;
        point.ph_high = p.around.processPh + 0.5;
        point.temp_degc = p.around.processTemp;
        const bool pure = p.application->key == "pure_water", dirty = p.application->harshness != simulation::Harshness::Clean;
        point.grab_quality = pure ? GrabQuality::Pure : dirty ? GrabQuality::Dirty : GrabQuality::Clean;
        point.recorded = site.recorded;
        round.records.points.push_back(point);
        Sensor sensor;
        sensor.serial = serial;
        sensor.model = std::string(p.spec->model);
        const auto start = addDays(today, -p.ageMonths * kDaysPerMonth);
        sensor.first_wet = start;
        sensor.recorded = site.recorded;
        round.records.sensors.push_back(sensor);
        Placement placement;
        placement.serial = serial;
        placement.place = tag;
        placement.from = placement.recorded = start;
        round.records.placements.push_back(placement);

        // A new sensor's first visit, then the last half year, four weeks apart.
        Bench stored;
        std::vector<double> monthsAgo{p.ageMonths - 0.01};
        for (int back = 6; back >= 1; --back)
            if (0.92 * back < p.ageMonths - 0.4)
                monthsAgo.push_back(0.92 * back);
        for (std::size_t n = 0; n < monthsAgo.size(); ++n) {
            if (n > 0 && random.chance(0.12))
                continue;  // a visit without figures
            const auto before = stateBefore(p, monthsAgo[n], random);
            auto v = visitAt(fmt::format("{}-{}", serial, n), serial, tag, addDays(today, -monthsAgo[n] * kDaysPerMonth));
            stored = benchOf(p, before, false, random);
            addReadings(v, p, stored, Phase::AsLeft, {}, false, random.uniform(17.0, 24.0), random);
            if (n == 0 && random.chance(0.7)) {
                Check k;
                k.when = k.recorded = v.when;
                k.glass_mohm = simulation::glassResistance(before, p.traits, *p.spec, 20.0) * random.lognormal(0.15);
                k.glass_temp_degc = 20.0;
                v.checks.push_back(std::move(k));
            }
            round.records.visits.push_back(std::move(v));
        }
        auto v = visitAt(fmt::format("{}-today", serial), serial, tag, addDays(today, 0.01 * i));
        v.round = fmt::format("R{}", number);
        v.person = "K. Amsel";
        v.reason = complaint ? VisitReason::Complaint : VisitReason::Routine;
        const auto bench = benchOf(p, p.now, true, random);
        addReadings(v, p, bench, Phase::AsFound, shared, true, shared.trueTemp, random);
        if (p.cause == "entry_error")
            slip(v, random);
        addChecks(v, p, bench, shared, random);
        if (random.chance(0.55))
            addGrab(v, p, bench, stored, pure ? 0.2 : dirty ? 0.12 : 0.05, random);
        round.records.visits.push_back(std::move(v));
        round.labels.push_back({serial, p.cause});
    }
    return round;
}

}  // namespace halfcell::score
