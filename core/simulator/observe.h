#pragma once

#include "core/fleet/records.h"
#include "core/simulator/workshop.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// From the hidden state to what a meter shows and a technician writes down.
namespace halfcell::core::simulation {

/// pH of a fresh, errorless standard at a temperature (shipped tables, linear; clamped to their ends).
[[nodiscard]] double standardPh(std::string_view standard, double temp);
/// Potential against hydrogen of a redox standard at a temperature.
[[nodiscard]] double standardRedox(std::string_view standard, double temp);
/// Potential of a reference filling against hydrogen; a differential reference counts as 150 mV.
[[nodiscard]] double referenceMv(std::string_view fill, double temp);

/// What a perfect meter reads once everything has settled: pH sensor in a solution of that pH.
[[nodiscard]] double phPotential(const Probe& probe, const ModelSpec& model, double ph, double temp, bool inProcess, Generator& random);
/// ORP sensor in a solution of that potential against hydrogen.
[[nodiscard]] double orpPotential(const Probe& probe, const ModelSpec& model, double hydrogenMv, double temp, bool inProcess, Generator& random);

/// What is shared by all sensors of one round: person, instruments, bottles, weather.
struct Round {
    std::int64_t day = 0;
    std::size_t person = 0;            ///< index into Staff::technicians
    std::string key;                   ///< `2026-W10/14`; empty off the rounds
    std::string meter, thermometer;
    double bufferTemp = 20;            ///< true
    double portableBias = 0;           ///< pH of that day's grabs
    double redoxError = 0;             ///< mV of the day's freshly made quinhydrone
    bool mixedUp = false;              ///< the pH 7.00 beaker holds 6.86
    bool deadBottle = false;           ///< pH 10 long past it
    bool temperatureIgnored = false;   ///< nobody measured; 25 written
    int dips = 0;
};

/// A technician's own view of a phase, from the figures as read.
struct Observed {
    std::optional<double> efficiency, offset, response, span, spread;
    [[nodiscard]] bool dead() const { return spread && *spread < 25.0; }
    [[nodiscard]] bool reversed() const { return efficiency && *efficiency < -50.0; }
};

/// How the temperature of a phase comes to be written down.
struct TemperatureEntry {
    std::optional<double> value;
    std::optional<TemperatureSource> source;
    bool measured = false;
};

/// Takes one reading. `previousMv` is what the sensor showed before (it approaches from there) and is updated; `seconds`
/// is the clock and moves on.
struct DipRequest {
    Phase phase = Phase::AsFound;
    std::string_view standard;
    TemperatureEntry temperature;
    bool later = false;                ///< not the first of the phase: temperature carried
    int dip = 1;
    double stays = 0.6;                ///< chance that somebody sees it creep and waits it out
};
[[nodiscard]] Reading takeReading(Workshop& shop, Round& round, const Probe& probe, const DipRequest& request, double& previousMv, std::int64_t& seconds,
                                  double& trueMv);

/// Efficiency, offset, response and span as somebody would work them out from these readings on the spot.
[[nodiscard]] Observed workOut(std::span<const Reading> readings, Phase phase, const ModelSpec& model, double usualTemp, double orpBaseline);

}  // namespace halfcell::core::simulation
