#pragma once

#include "core/simulator/applications.h"
#include "core/simulator/catalogue.h"
#include "core/simulator/generator.h"

/// The hidden life of one sensor: what it was born with (traits), how it stands (state), how a week changes it and what
/// a perfect meter would read. Model and numbers: trade experience and assumption, not fitted to field data; the shape
/// (slope falls slowly, then faster; response and film exponential; poison hidden until it shows) follows published
/// descriptions of ageing.
namespace halfcell::core::simulation {

/// Born with; never changes.
struct Traits {
    double slope0 = 98.7;          ///< efficiency when new, %
    double offset0 = 0;            ///< mV at pH 7 when new (a differential sensor's own baseline included)
    double asymmetry = -6;         ///< mV per unit of glass age
    double junctionMv = 0;         ///< mV per ln-unit of clogging in the process; a third of it in a buffer
    double response = 1;           ///< multiplier on t90
    double glassMohm = 120, referenceKohm = 3;
    double age = 1, film = 1, chloride = 1, poison = 1, clog = 1;   ///< multipliers on the rates
    double dryMv = 0;              ///< offset while dry
    double isopotential = 6.8;
};

/// Electrical or mechanical fault, if any.
enum class Fault { None, Broken, Reversed, Short, Open, TemperatureElement };

struct State {
    double age = 0;                ///< glass; 1 is about the end of useful life
    double film = 0;               ///< on glass; 1 = needs cleaning now
    double chloride = 0;           ///< share of chloride lost; differential: of the cell's buffer capacity
    double poison = 0;             ///< dose at the reference element; 1 = exhausted
    double clog = 0;               ///< ln-units of the reference resistance
    double dry = 0;                ///< 0 wet, 1 dry
    double wander = 0;             ///< mV
    double metal = 0;              ///< film on metal
    double metalMv = 0;            ///< poisoned metal: its own mV in every standard
    double filmMv = 0;             ///< mV per unit of the present film
    double etch = 0;               ///< thinning of the glass, 0 to 1
    double leakMohm = 0;           ///< wet connector; 0 = dry
    double groundMv = 0;           ///< ground loop in the process
    double thermometerOff = 0;     ///< of the sensor's own element, K
    Fault fault = Fault::None;
    int regenerations = 0;
    double ageing = 1;             ///< multiplier since a regeneration
    double slowPoisonWeeks = 0;    ///< left of the protection by a fresh outer chamber
    double weeksWet = 0;
};

/// Where it is fitted.
struct Surroundings {
    Rates rates;
    double processPh = 7;
    double processTemp = 20;
    double siteAge = 1, siteFilm = 1;   ///< shared by all sensors of a site
};

[[nodiscard]] Traits newTraits(const ModelSpec& model, double lotAge, double lotOffset, Generator& random);

/// Moves the state on by some weeks in the process (no sudden faults; those are drawn by the caller).
void evolve(State& state, const Traits& traits, const ModelSpec& model, const Surroundings& surroundings, double weeks, Generator& random);
/// The same on the shelf: slow ageing, a little drying.
void evolveOnShelf(State& state, const Traits& traits, double weeks, Generator& random);

/// Efficiency, %, on the acid side of pH 7; film included.
[[nodiscard]] double trueEfficiency(const State& state, const Traits& traits, const ModelSpec& model);
/// Efficiency of the alkaline leg: 1.5 % less per unit of glass age.
[[nodiscard]] double alkalineEfficiency(const State& state, const Traits& traits, const ModelSpec& model);
/// Offset at pH 7 in a buffer, mV.
[[nodiscard]] double trueOffset(const State& state, const Traits& traits, const ModelSpec& model, const Surroundings& surroundings);
/// What the process adds to it: the rest of the junction term and a ground loop.
[[nodiscard]] double processExtra(const State& state, const Traits& traits);
/// t90, s, at a temperature.
[[nodiscard]] double trueResponse(const State& state, const Traits& traits, const ModelSpec& model, double temp);
/// Glass resistance, megaohm, at a temperature.
[[nodiscard]] double glassResistance(const State& state, const Traits& traits, const ModelSpec& model, double temp);
/// Reference resistance, kiloohm.
[[nodiscard]] double referenceResistance(const State& state, const Traits& traits);
/// Theoretical slope at a temperature, mV per pH.
[[nodiscard]] double idealSlope(double temp);

}  // namespace halfcell::core::simulation
