#pragma once

#include "core/quantity/result.h"

#include <cstdint>
#include <span>
#include <string>
#include <vector>

/// What moved many sensors alike: bottle lots, meters, people, days as random effects on the innovations (reading less forecast),
/// each tested as a fixed effect with the others random, accepted one after the other under false-discovery control.
namespace halfcell::core {

enum class SharedFactor { Lot, Meter, Person, Day };
[[nodiscard]] std::string_view sharedFactorKey(SharedFactor f);
inline constexpr std::size_t kSharedFactors = 4;

/// One innovation with its levels; an empty text: not recorded.
struct SharedReading {
    std::string level[kSharedFactors];  ///< lot, meter, person, day
    std::string sensor;
    std::int64_t date = 0;
    double innovation = 0.0;
};

struct SharedShift {
    SharedFactor factor = SharedFactor::Lot;
    std::string id;
    double shift = 0.0, u = 0.0;             ///< as a fixed effect
    double shrunken = 0.0, shrunkenU = 0.0;  ///< as a random effect
    double p = 1.0, q = 1.0;
    std::size_t readings = 0, sensors = 0;
    std::int64_t first = 0, last = 0;
    std::vector<std::string> alike;  ///< levels that always occur with it: cannot be told apart
};

struct SharedSettings {
    double sd[kSharedFactors] = {2.0, 1.0, 0.7, 1.0};  ///< of the random effects, same unit as the innovations (mV here)
    double noise = 3.0;
    bool learnSds = true;  ///< from 60 readings on, log-normal priors about the above (sigma 1), never less
    double q = 0.10;
};

struct SharedResult {
    std::vector<SharedShift> accepted;            ///< in the order they were found
    std::vector<SharedShift> tested;              ///< all levels of the last step, by p
    std::size_t levels = 0;                       ///< tested in the first step
    double sd[kSharedFactors] = {}, noise = 0.0;  ///< used
    std::string abstained;
};

/// Levels with at least three sensors on two dates (a day: one date) are tested. Benjamini-Hochberg in forward steps: the smallest
/// p is accepted while q = min(1, p m / (k + 1)) <= settings.q, m levels left, k accepted; accepted levels stay as fixed effects.
/// Abstains with fewer than twelve readings or a single level of each factor. Order of readings does not matter.
[[nodiscard]] SharedResult sharedShifts(std::span<const SharedReading> readings, const SharedSettings& settings = {});

}  // namespace halfcell::core
