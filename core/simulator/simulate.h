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

/// Hidden truth of one sensor at one visit, as it was when the visit began (before cleaning). Age 1 is about the end of useful
/// life, film 1 "needs cleaning now", chloride_lost and dehydration are shares, poison 1 an exhausted element, junction
/// ln-units of the reference resistance; wet is the leak of a wet connector in megaohm, 0 dry. The three figures are those
/// an errorless instrument would find, t90 at 25 degC. `serial` is the sensor that really hung there.
struct TruthState {
    std::string visit, serial;
    double age = 0, film = 0, chloride_lost = 0, poison = 0, junction = 0, dehydration = 0, wet = 0, metal_film = 0;
    double true_efficiency_pct = 0, true_offset_mv = 0, true_t90_s = 0;
    double true_efficiency_after_pct = 0;  ///< when the visit ended: what its actions bought is the difference
};

/// A fault that was put in or has grown, at a visit where it can be seen. Codes are those of the findings, beside them
/// moved_without_record and what went wrong on paper: as_found_missing cleaned_before_found digit_slip lost_sign
/// standards_exchanged wrong_serial date_next_day duplicate_entry (the last six with entry_error). `serial` is the one written
/// down; for wrong_sensor after wrong_serial the one that stands there wrongly.
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
