#pragma once

#include "core/simulator/state.h"

namespace halfcell::core::simulation {

/// What an action does to a sensor. Factors are drawn per action; "right" says whether the cleaner suits the film. The
/// offset settles for hours after a clean: a share of that is left in `wander`.
void cleanWith(State& state, const ModelSpec& model, ActionKey action, bool right, Generator& random);
/// Fresh electrolyte; with it protection from poison for three months, and for a differential sensor fresh cell solution.
void refill(State& state, const ModelSpec& model);
/// New bridge with new cell solution.
void renewBridge(State& state, Generator& random);
/// A night in soak.
void rehydrate(State& state, Generator& random);
/// Acid and alkali cycling of tired glass; the second time half as good, no third.
void regenerate(State& state, Generator& random);
/// The line was drained for some days.
void dryOut(State& state, double days, Generator& random);

}  // namespace halfcell::core::simulation
