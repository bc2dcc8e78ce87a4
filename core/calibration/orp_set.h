#pragma once

#include "core/calibration/phase_readings.h"

#include <optional>
#include <string>
#include <vector>

/// The readings of an ORP sensor in one phase with what was expected. Internal to core/calibration.
namespace halfcell::core::calibration {

struct OrpDip {
    TakenReading taken;
    StandardValue standard;                       ///< on the hydrogen scale
    std::optional<ReferencePotential> reference;  ///< absent for a differential reference
    double expected_mv = 0.0;
    double perKelvin = 0.0;  ///< change of the expected potential
    int lotGroup = 0;
};

/// Readings in one standard.
struct OrpLevel {
    std::vector<std::size_t> dips;
    double e_mv = 0.0, expected_mv = 0.0;  ///< plain means
    std::string words;
    double u_own_mv = 0.0, u_standard_mv = 0.0;  ///< of the mean
};

struct OrpSet {
    std::vector<OrpDip> dips;
    std::vector<OrpLevel> levels;  ///< by expected potential
    bool differential = false;
    /// Differential: what the first standard of the phase should give, and where that is from.
    std::optional<double> baseline_mv;
    double u_own_mv = 0.0, u_standard_mv = 0.0, u_reference_mv = 0.0, u_temperature_mv = 0.0;  ///< parts of the offset's u
};

void workOrp(const OrpSet& set, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures);

}  // namespace halfcell::core::calibration
