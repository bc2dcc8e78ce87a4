#pragma once

#include "core/fleet/records.h"

#include <string>

/// Five pH sensors of one shop that were well, and rounds in which any bottle can stand in the beaker marked pH 7.00.
namespace halfcell::test {

inline constexpr int kRoundSensors = 5;

/// K7-1000 ...
[[nodiscard]] std::string roundSerial(int sensor);
/// Site, points AE-1200 ..., model, sensors and where they stand since `from`; no visits.
[[nodiscard]] core::Records roundShop(const core::Instant& from);
/// A visit in pH 7.00 and 4.01 at 21 degC, `inTheBeaker` (a key such as "ph6.86") being what the first beaker holds.
[[nodiscard]] core::Visit roundVisit(int sensor, const core::Instant& when, core::Phase phase, const char* inTheBeaker);
/// The millivolts that such a visit reads in one standard.
[[nodiscard]] double roundMv(int sensor, const char* bottle);

}  // namespace halfcell::test
