#pragma once

#include "core/fleet/records.h"
#include "core/simulator/generator.h"

#include <string>
#include <vector>

/// Labelled rounds for scoring the diagnosis: eight sensors each, with a history and one visit today whose hidden cause is
/// known. The hidden state is turned into readings by the simulator's own equations; what people do and write (waits, missing
/// fields, slips) is drawn here. Nothing is taken from the demo plant.
namespace halfcell::score {

/// How a set of rounds is drawn.
struct Mix {
    double wrongStandard = 0.012, staleStandard = 0.02, temperatureIgnored = 0.05;  ///< of rounds
    double complaints = 0.15;
    double perturbed = 0.0;  ///< sd of ln of each cause's weight
    double amplitude = 1.0;  ///< on every fault's size
    bool faultRich = false;  ///< healthy a quarter as common
};

struct Label {
    std::string serial;
    std::string cause;  ///< key of the diagnosis' causes
};

struct LabelledRound {
    core::Records records;
    core::Instant asOf;
    std::vector<Label> labels;
};

[[nodiscard]] LabelledRound makeRound(core::simulation::Generator& random, const Mix& mix, int number);

}  // namespace halfcell::score
