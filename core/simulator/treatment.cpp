#include "core/simulator/treatment.h"

#include <algorithm>

namespace halfcell::core::simulation {

void cleanWith(State& state, const ModelSpec& model, ActionKey action, bool right, Generator& random)
{
    if (action == ActionKey::CleanThiourea) {
        state.film *= 0.5;
        state.clog *= random.uniform(0.2, 0.6);
        if (state.poison < 1.0) {
            state.poison = std::max(0.0, state.poison - 0.05);
            if (state.poison < 0.9)
                state.poison *= random.uniform(0.90, 0.97);
        }
        return;
    }
    if (action == ActionKey::ClearJunction) {
        state.clog *= random.uniform(0.3, 0.7);
        return;
    }
    if (action == ActionKey::ScrapeJunction) {
        state.clog = std::min(state.clog, 0.05 + 0.1 * random.uniform());
        return;
    }
    if (action == ActionKey::PolishMetal) {
        state.metal *= random.uniform(0.02, 0.10);
        state.metalMv *= random.uniform(0.05, 0.3);
        state.film *= random.uniform(0.02, 0.15);
        return;
    }
    if (right) {
        state.film *= random.uniform(0.05, 0.25);
        state.clog *= random.uniform(0.5, 0.85);
        state.metal *= random.uniform(0.15, 0.5);
    } else {
        state.film *= random.uniform(0.5, 0.9);
        state.clog *= random.uniform(0.8, 1.0);
        state.metal *= random.uniform(0.6, 0.95);
    }
    state.filmMv = random.normal(0.0, 8.0);       // each new film has its own sign
    if (action == ActionKey::CleanAcid)
        state.wander += random.normal(0.0, 0.8);  // what is left of the unsettled zero
    if (isGlass(model.sensing))
        state.age += 0.0005;                      // wiping
}

void refill(State& state, const ModelSpec& model)
{
    state.chloride = model.reference == ReferenceDesign::DifferentialBridge ? 0.02 : 0.05;
    state.slowPoisonWeeks = 3.0 * kWeeksPerMonth;
    state.clog *= 0.7;
}

void renewBridge(State& state, Generator& random)
{
    state.chloride = 0.0;
    state.poison = std::min(state.poison, 0.1);
    state.clog = 0.05;
    state.wander += random.normal(0.0, 1.0);
}

void rehydrate(State& state, Generator& random)
{
    state.dry *= random.uniform(0.1, 0.3);
    state.clog *= 0.9;
}

void regenerate(State& state, Generator& random)
{
    if (state.regenerations >= 2)
        return;
    const double gain = random.uniform(0.05, 0.2) * (state.regenerations == 0 ? 1.0 : 0.5);
    state.age = std::max(0.0, state.age - gain);
    state.film *= 0.2;
    state.dry *= 0.3;
    state.ageing *= 1.25;
    ++state.regenerations;
}

void dryOut(State& state, double days, Generator& random)
{
    state.dry = std::min(1.0, 0.55 + 0.08 * days);
    state.age += random.uniform(0.01, 0.03) * std::min(days, 5.0);
    state.clog = std::min(5.0, state.clog + 0.2);
}

}  // namespace halfcell::core::simulation
