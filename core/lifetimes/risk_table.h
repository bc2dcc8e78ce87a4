#pragma once

#include "core/lifetimes/life_record.h"
#include "core/quantity/result.h"

#include <span>
#include <vector>

namespace halfcell::core {

/// What happened at one age: how many were in view just before (entry < age <= exit), how many ended, how many left alive.
struct RiskRow {
    double time = 0.0;
    double atRisk = 0.0;
    double ended = 0.0;
    double left = 0.0;
};

/// One row for each age at which somebody ended or left, ascending. Errc::TooFewReadings without records; Errc::BadInput for an
/// age or a count that is not finite, not 0 <= entry < exit, or a weight that is not positive.
/// Cost: a few passes over the records (radix sort on the bits of the ages; they are positive, so bits order as numbers do).
[[nodiscard]] Result<std::vector<RiskRow>> riskTable(std::span<const LifeRecord> lives);

/// Checks records as riskTable does.
[[nodiscard]] Result<void> checkLives(std::span<const LifeRecord> lives);

}  // namespace halfcell::core
