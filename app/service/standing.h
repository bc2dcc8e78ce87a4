#pragma once

#include "core/fleet/plant.h"

#include <vector>

/// What stood open in the shop at a moment: the same for the command line (`history --standing`) and the Audit page.
namespace halfcell::app {

/// A bottle that had been opened and not been discarded.
struct OpenBottle {
    const core::Lot* lot = nullptr;
    bool expired = false;  ///< its date had passed
};
/// Bottles open at a moment, in the order of the plant. Pointers into the plant.
[[nodiscard]] std::vector<OpenBottle> bottlesOpenAt(const core::Plant& plant, const core::Instant& moment);

/// An instrument with its certificate as it stood.
struct InstrumentStanding {
    const core::Equipment* equipment = nullptr;
    bool overdue = false;  ///< the next check was due before the moment
};
/// Instruments known at a moment, in the order of the plant. Pointers into the plant.
[[nodiscard]] std::vector<InstrumentStanding> instrumentsAt(const core::Plant& plant, const core::Instant& moment);

}  // namespace halfcell::app
