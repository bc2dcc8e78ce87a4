#include "core/simulator/state.h"

#include "core/electrochemistry/nernst.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core::simulation {
namespace {

constexpr double kNernst25 = 59.16;
constexpr double kPoisonMv = 150.0;       // full excursion when the element is exhausted; 60 to 250 seen
constexpr double kPoisonWidth = 0.06;
constexpr double kNewResponse = 15.0;     // s, bulb in buffers at 25 degC
constexpr double kMetalResponse = 10.0;   // s, metal in a strong standard
constexpr double kGlassKelvin = 7700.0;   // ln of the glass resistance against 1/T

bool agesLikeGlass(Sensing s)
{
    return isGlass(s);
}

}  // namespace

Traits newTraits(const ModelSpec& model, double lotAge, double lotOffset, Generator& random)
{
    Traits t;
    t.slope0 = random.normal(98.7, 0.6);
    t.offset0 = random.normal(0.0, 5.0) + lotOffset;
    t.asymmetry = random.normal(-6.0, 8.0);
    t.junctionMv = random.normal(0.0, 5.0);
    t.response = random.lognormal(0.2);
    t.glassMohm = 120.0 * random.lognormal(0.35);
    t.referenceKohm = 3.0 * random.lognormal(0.4);
    t.age = random.lognormal(0.30) * lotAge;
    t.film = random.lognormal(0.40);
    t.chloride = random.lognormal(0.35);
    t.poison = random.lognormal(0.45);
    t.clog = random.lognormal(0.45);
    t.dryMv = random.normal(0.0, 25.0);
    t.isopotential = random.normal(6.8, 0.5);
    const DesignFactors design = designFactors(model.reference, model.sensing, 25.0);
    t.glassMohm *= design.resistance;
    t.response *= design.response;
    if (model.reference == ReferenceDesign::DifferentialBridge)
        t.offset0 += random.normal(0.0, 6.0);       // two glasses: a baseline of its own
    if (isMetal(model.sensing)) {
        t.asymmetry = 0.0;                          // no glass
        t.offset0 = random.normal(0.0, 4.0) + 0.5 * lotOffset;
    }
    if (model.sensing == Sensing::Antimony) {
        t.slope0 = random.normal(92.0, 1.5);        // 50 to 57 mV/pH, individual
        t.offset0 += random.normal(0.0, 6.0);
    }
    return t;
}

void evolve(State& state, const Traits& traits, const ModelSpec& model, const Surroundings& surroundings, double weeks, Generator& random)
{
    const Rates& r = surroundings.rates;
    state.weeksWet += weeks;
    const double ageStep = traits.age * surroundings.siteAge * r.age * state.ageing * weeks;
    state.age = std::min(state.age + ageStep, 3.0);
    if (surroundings.processPh > 10.5 && agesLikeGlass(model.sensing))
        state.etch = std::min(0.9, state.etch + 0.25 * ageStep);
    state.film = std::min(1.5, state.film + traits.film * surroundings.siteFilm * r.film * weeks);
    if (isMetal(model.sensing))
        state.metal = std::min(1.5, state.metal + 0.5 * traits.film * surroundings.siteFilm * r.film * weeks);
    state.clog = std::min(5.0, state.clog + traits.clog * surroundings.siteFilm * r.clog * weeks);
    state.chloride = 1.0 - (1.0 - state.chloride) * fixedExp(-traits.chloride * r.chloride * weeks);
    const double slow = std::min(weeks, state.slowPoisonWeeks);
    state.slowPoisonWeeks -= slow;
    state.poison = std::min(2.0, state.poison + r.poison / traits.poison * (weeks - 0.5 * slow));
    // Back in the wet, dehydration decays within hours.
    state.dry = weeks > 0.2 ? 0.0 : state.dry;
    const double sd = (model.sensing == Sensing::Isfet ? 1.2 : 0.6) * std::sqrt(weeks);
    state.wander += random.normal(0.0, sd);
}

void evolveOnShelf(State& state, const Traits& traits, double weeks, Generator& random)
{
    // Two years on the shelf cost about a tenth of the glass (makers give 12 to 24 months without loss).
    state.age = std::min(3.0, state.age + 0.001 * traits.age * weeks);
    state.wander += random.normal(0.0, 0.2 * std::sqrt(weeks));
}

double trueEfficiency(const State& state, const Traits& traits, const ModelSpec& model)
{
    const double a = state.age;
    double s = traits.slope0 - 3.0 * a - 9.0 * a * a * a;
    s *= 1.0 - 0.03 * std::min(state.film, 1.0);
    s *= 1.0 - 0.2 * state.dry;
    if (model.reference == ReferenceDesign::DifferentialBridge)
        s *= 1.0 - 0.25 * state.chloride * state.chloride;
    return std::max(s, 0.0);
}

double alkalineEfficiency(const State& state, const Traits& traits, const ModelSpec& model)
{
    return std::max(0.0, trueEfficiency(state, traits, model) - (agesLikeGlass(model.sensing) ? 1.5 * state.age : 0.0));
}

double trueOffset(const State& state, const Traits& traits, const ModelSpec& model, const Surroundings& surroundings)
{
    double e = traits.offset0 + traits.asymmetry * state.age + state.wander + state.filmMv * std::min(state.film, 1.5) +
               traits.junctionMv * state.clog / 3.0 + traits.dryMv * state.dry;
    if (model.reference == ReferenceDesign::DifferentialBridge) {
        // The cell drifts towards the process pH once its buffer capacity goes: acid process, cell pH down, offset down.
        const double cellShift = (surroundings.processPh - 7.0) * 0.30 * state.chloride * state.chloride;
        e += kNernst25 * cellShift;
    } else {
        e += kNernst25 * fixedLog10(std::max(1e-3, 1.0 - state.chloride));
    }
    e += kPoisonMv / (1.0 + fixedExp(-(state.poison - 1.0) / kPoisonWidth));
    return e;
}

double processExtra(const State& state, const Traits& traits)
{
    return traits.junctionMv * state.clog * (2.0 / 3.0) + state.groundMv;
}

double trueResponse(const State& state, const Traits& traits, const ModelSpec& model, double temp)
{
    const double cold = fixedPow2((25.0 - temp) / 15.0);
    if (isMetal(model.sensing))
        return kMetalResponse * traits.response * fixedExp(3.5 * std::min(state.metal, 1.5)) * cold;
    double exponent = 1.9 * state.age + 3.0 * state.film + 3.0 * state.dry;
    if (state.clog > 1.5)
        exponent += 0.5 * (state.clog - 1.5);   // a clogged bridge slows the response (common practice)
    return kNewResponse * traits.response * fixedExp(std::min(exponent, 7.0)) * cold;
}

double glassResistance(const State& state, const Traits& traits, const ModelSpec& model, double temp)
{
    if (!isGlass(model.sensing))
        return 0.0;
    if (state.fault == Fault::Broken)
        return 1.0 + 0.02 * traits.glassMohm / 3.0;
    if (state.fault == Fault::Short)
        return 0.1;
    const double r = traits.glassMohm * (1.0 + state.age) * (1.0 + 2.0 * state.dry) * (1.0 - 0.7 * state.etch) *
                     fixedExp(kGlassKelvin * (1.0 / (temp + 273.15) - 1.0 / 298.15));
    if (state.leakMohm > 0.0)
        return r * state.leakMohm / (r + state.leakMohm);
    return r;
}

double referenceResistance(const State& state, const Traits& traits)
{
    return traits.referenceKohm * fixedExp(state.clog) * (state.dry > 0.7 ? 100.0 : 1.0);
}

double idealSlope(double temp)
{
    return nernstSlopeUnchecked(temp + 273.15);
}

}  // namespace halfcell::core::simulation
