#pragma once

#include "core/fleet/records.h"

#include <cstdint>
#include <string>
#include <vector>

namespace halfcell::core {

/// What the simulated plant should be.
struct SimulationSettings {
    std::uint64_t seed = 1;
    double years = 2.5;
    int sensors = 120;             ///< in service and spare; scrapped ones come on top
    Instant until;                 ///< history ends at the end of this day
};

/// Hidden truth of one sensor at one visit.
struct TruthState {
    std::string visit, serial;
    double age = 0, film = 0, chloride_lost = 0, poison = 0, junction = 0, dehydration = 0, wet = 0, metal_film = 0;
    double true_efficiency_pct = 0, true_offset_mv = 0, true_t90_s = 0;
};

/// A fault that was put in, at the visit where it can be seen.
struct TruthFault {
    std::string visit, serial, code;   ///< finding codes, plus moved_without_record, clerical codes
};

struct SimulatedPlant {
    Records records;
    std::vector<TruthState> states;
    std::vector<TruthFault> faults;
};

/// Builds the plant. Same settings, same bytes, on any machine: own generator and distributions, no library math whose
/// last digit may differ reaches a record unrounded.
[[nodiscard]] SimulatedPlant simulatePlant(const SimulationSettings& settings);

}  // namespace halfcell::core
