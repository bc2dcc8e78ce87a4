#pragma once

#include "core/quantity/result.h"

#include <span>
#include <vector>

namespace halfcell::core {

/// Chance of each number of events among independent ones with chances p (exact convolution): element k is P(k).
/// Errc::BadInput for a chance outside 0 to 1.
[[nodiscard]] Result<std::vector<double>> poissonBinomial(std::span<const double> p);

/// Chance that the demand is met by `spares` of which each works with probability 1 - dead on arrival.
[[nodiscard]] double serviceLevel(std::span<const double> demand, std::span<const double> deadOnArrival);

/// How many to hold: the smallest number, at least one, whose service level reaches `level`, the ones on the shelf being used
/// first with their own chances of being dead, further ones with `deadOnArrival`. Errc::NoConvergence if no number can.
/// Check: decision example of the trade notes: 4 spares, level 0.9810.
[[nodiscard]] Result<int> sparesToHold(std::span<const double> demand, double level, std::span<const double> onShelf, double deadOnArrival);

/// Expected number of demands that are not met.
[[nodiscard]] double expectedShort(std::span<const double> demand, std::span<const double> deadOnArrival);

}  // namespace halfcell::core
