#include "core/simulator/observe.h"

#include "core/electrochemistry/reference_electrode.h"
#include "core/electrochemistry/standards.h"
#include "core/simulator/calendar.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core::simulation {
namespace {

constexpr double kDifferentialReference = 150.0;  // a cell against hydrogen; each sensor has its own baseline beside it
constexpr double kMixedPotential = 330.0;         // where a filmed metal stays, against hydrogen

/// Linear between the rows of a table, its ends beyond them.
double between(const std::vector<std::pair<double, double>>& rows, double x)
{
    if (rows.empty())
        return 0.0;
    if (x <= rows.front().first)
        return rows.front().second;
    for (std::size_t i = 1; i < rows.size(); ++i)
        if (x <= rows[i].first) {
            const double share = (x - rows[i - 1].first) / (rows[i].first - rows[i - 1].first);
            return rows[i - 1].second + share * (rows[i].second - rows[i - 1].second);
        }
    return rows.back().second;
}

double faulty(const Probe& probe, double mv, Generator& random)
{
    switch (probe.state.fault) {
    case Fault::Broken: return 0.03 * mv + random.normal(0.0, 1.5);
    case Fault::Reversed: return -mv;
    case Fault::Short: return random.normal(0.0, 0.2);
    case Fault::Open: return random.normal(0.0, 260.0);
    case Fault::None:
    case Fault::TemperatureElement: break;
    }
    return mv;
}

}  // namespace

double standardPh(std::string_view standard, double temp)
{
    static const auto table = [](std::string_view key) { return StandardsBook::shipped().table(key); };
    static const auto ph4 = table("ph4.01"), ph686 = table("ph6.86"), ph7 = table("ph7.00"), ph10 = table("ph10.01");
    if (standard == "ph4.01")
        return between(ph4, temp);
    if (standard == "ph6.86")
        return between(ph686, temp);
    if (standard == "ph7.00")
        return between(ph7, temp);
    return between(ph10, temp);
}

double standardRedox(std::string_view standard, double temp)
{
    const auto value = StandardsBook::shipped().redox(standard, "", Celsius(temp));
    return value ? value->value : 430.0;
}

double referenceMv(std::string_view fill, double temp)
{
    if (fill == "differential")
        return kDifferentialReference;
    const auto value = referencePotential(fill, Celsius(temp));
    return value ? value->e.value() : 209.0;
}

double phPotential(const Probe& probe, const ModelSpec& model, double ph, double temp, bool inProcess, Generator& random)
{
    const State& s = probe.state;
    const double k = idealSlope(temp);
    const double efficiency = ph > 7.0 ? alkalineEfficiency(s, probe.traits, model) : trueEfficiency(s, probe.traits, model);
    double mv = trueOffset(s, probe.traits, model, probe.surroundings) + efficiency / 100.0 * k * (7.0 - ph);
    if (inProcess) {
        mv += processExtra(s, probe.traits);
        // Isopotential shift: 0.0034 pH per kelvin and pH unit, against buffers at 20 degC.
        mv += k * 0.0034 * (temp - 20.0) * (probe.traits.isopotential - 7.0);
    }
    if (s.leakMohm > 0.0 && isGlass(model.sensing)) {
        State dryState = s;
        dryState.leakMohm = 0.0;
        mv *= s.leakMohm / (s.leakMohm + glassResistance(dryState, probe.traits, model, temp));
    }
    return faulty(probe, mv, random);
}

double orpPotential(const Probe& probe, const ModelSpec& model, double hydrogenMv, double temp, bool inProcess, Generator& random)
{
    const State& s = probe.state;
    const double seen = kMixedPotential + (hydrogenMv - kMixedPotential) * (1.0 - 0.4 * std::min(s.metal, 1.0)) + s.metalMv;
    const std::string_view fill = probe.otherFill ? std::string_view("1M KCl") : model.fill;
    double mv = seen - referenceMv(fill, temp) + trueOffset(s, probe.traits, model, probe.surroundings);
    if (inProcess)
        mv += processExtra(s, probe.traits);
    if (s.leakMohm > 0.0)
        mv *= 0.9;
    return faulty(probe, mv, random);
}

Reading takeReading(Workshop& shop, Round& round, const Probe& probe, const DipRequest& request, double& previousMv, std::int64_t& seconds, double& trueMv)
{
    Generator& random = shop.technical;
    const Habit& habit = shop.staff.technicians[round.person];
    const ModelSpec& model = shop.modelOf(probe);
    const bool orp = model.kind == SensorKind::Orp;
    const double temp = orp ? clamp(round.bufferTemp, 10.0, 29.0) : round.bufferTemp;

    Reading reading;
    reading.phase = request.phase;
    reading.standard = std::string(request.standard);
    reading.dip = request.dip;
    const Bottle* bottle = shop.lots.inUse(request.standard, round.day);
    if (bottle && !shop.people.chance(1.0 - habit.notesLot))
        reading.lot = bottle->lot;
    ++round.dips;
    const double carry = random.normal(0.0, 0.004 + 0.0002 * round.dips);   // pH, grows along the round
    double final = 0.0;
    if (orp) {
        const double error = request.standard == "zobell" ? (bottle ? bottle->error : 0.0) : round.redoxError;
        final = orpPotential(probe, model, standardRedox(request.standard, temp) + error, temp, false, random);
    } else {
        std::string_view content = request.standard;
        if (round.mixedUp && content == "ph7.00")
            content = "ph6.86";
        double ph = standardPh(content, temp) + carry;
        if (bottle)
            ph += bottle->error + bottle->perDay * static_cast<double>(round.day - bottle->opened);
        if (round.deadBottle && request.standard == "ph10.01")
            ph -= 0.28;
        final = phPotential(probe, model, ph, temp, false, random);
        final += habit.slopePct / 100.0 * idealSlope(temp) * (7.0 - ph);
    }
    const double response = trueResponse(probe.state, probe.traits, model, temp);
    double wait = 90.0 * habit.patience * random.lognormal(0.5);
    // Most people see a needle that still creeps and stay a while longer.
    const double stays = wait < response ? std::max(request.stays, 0.9) : request.stays;
    if (wait < 2.0 * response && random.chance(stays))
        wait = std::min(2.2 * response * random.lognormal(0.15), request.stays < 1.0 ? 600.0 : 900.0);
    wait = std::max(roundTo(wait, wait < 40.0 ? 1.0 : 5.0), 15.0);
    trueMv = final - (final - previousMv) * fixedExp(-2.302585 * wait / response);
    previousMv = trueMv;

    const Meter& meter = shop.staff.meter(round.meter);
    const double shown = trueMv + meter.zeroMv + habit.offsetMv + random.normal(0.0, meter.resolution < 1.0 ? 0.15 : 0.4);
    reading.mv = clamp(roundTo(shown, meter.resolution), -1999.0, 1999.0);
    if (request.temperature.value) {
        reading.temp_degc = *request.temperature.value;
        reading.temp_source = request.later && request.temperature.source ? std::optional(TemperatureSource::Carried) : request.temperature.source;
    } else if (request.temperature.source) {
        reading.temp_source = request.temperature.source;
    }
    seconds += 25 + static_cast<std::int64_t>(wait);
    if (shop.people.chance(habit.notesWait))
        reading.wait_s = wait;
    else if (shop.people.chance(0.1))
        reading.wait_s = NoAnswer::NotDone;
    if (request.later && shop.people.chance(habit.notesResponse)) {
        const double watched = roundTo(std::min(response * random.lognormal(0.12), 900.0), habit.responseStep);
        if (probe.state.fault == Fault::None || probe.state.fault == Fault::TemperatureElement)
            reading.t90_s = std::max(watched, habit.responseStep);
        else
            reading.t90_s = NoAnswer::NotPossible;
    }
    if (shop.people.chance(0.5))
        reading.settled = wait >= 1.8 * response;
    if (shop.people.chance(0.8))
        reading.meter = round.meter;
    if (request.temperature.measured && shop.people.chance(0.75))
        reading.thermometer = round.thermometer;
    reading.when = localTime(round.day, seconds);
    return reading;
}

Observed workOut(std::span<const Reading> readings, Phase phase, const ModelSpec& model, double usualTemp, double orpBaseline)
{
    Observed seen;
    std::optional<double> firstMv, firstX, lastMv, lastX;
    double lowest = 1e9, highest = -1e9;
    for (const Reading& reading : readings) {
        if (reading.phase != phase || !reading.mv)
            continue;
        const double temp = reading.temp_degc.has_value() ? *reading.temp_degc : usualTemp;
        double x = 0.0;
        if (model.kind == SensorKind::Ph)
            x = idealSlope(temp) * (7.0 - standardPh(reading.standard, temp));
        else
            x = standardRedox(reading.standard, clamp(temp, 9.0, 30.0)) - referenceMv(model.fill, clamp(temp, 9.0, 30.0)) + orpBaseline;
        if (!firstMv) {
            firstMv = *reading.mv;
            firstX = x;
        } else if (std::abs(x - *firstX) > 40.0) {
            lastMv = *reading.mv;
            lastX = x;
        }
        lowest = std::min(lowest, *reading.mv);
        highest = std::max(highest, *reading.mv);
        if (reading.t90_s.has_value())
            seen.response = std::max(seen.response.value_or(0.0), *reading.t90_s);
    }
    if (!firstMv)
        return seen;
    if (model.kind == SensorKind::Orp) {
        seen.offset = *firstMv - *firstX;
        if (lastMv) {
            seen.offset = 0.5 * (*seen.offset + *lastMv - *lastX);
            seen.span = 100.0 * (*lastMv - *firstMv) / (*lastX - *firstX);
            seen.spread = highest - lowest;
        }
        return seen;
    }
    double s = 1.0;
    if (lastMv) {
        s = (*lastMv - *firstMv) / (*lastX - *firstX);
        seen.efficiency = 100.0 * s;
        seen.spread = highest - lowest;
    }
    seen.offset = *firstMv - s * *firstX;
    return seen;
}

}  // namespace halfcell::core::simulation
