#pragma once

#include "core/outlook/model.h"
#include "core/outlook/replay.h"
#include "core/outlook/series.h"

#include <functional>
#include <optional>

namespace halfcell::core::outlook {

/// How much work a learning is allowed.
struct LearnSettings {
    std::size_t sensorsPerGroup = 12;  ///< evenly drawn over the group; the others still teach the rounds
    int sharesPasses = 3;              ///< of lives and curves, before and after the ladders
    bool ladders = true;               ///< false: keep the scatter and noise numbers of `start` or the defaults
    unsigned threads = 1;
    std::function<bool(double)> progress = {};  ///< fraction; false stops (Errc::Cancelled)
};

/// Learns the numbers of fleet and groups from everything recorded up to `cut`. `start`: an earlier model of the same shop,
/// whose numbers are then only moved by a step each. A pure function of its arguments; the number of threads changes no byte.
[[nodiscard]] Result<Model> learn(const Shop& shop, const Instant& cut, const LearnSettings& settings = {}, const Model* start = nullptr);

/// Groups and pooling without learning: the defaults of the rule set's usual lives.
[[nodiscard]] Model defaultModel(const Shop& shop, const Instant& cut);

/// Replays everything up to the model's cut twice, so that the rounds' shared errors are those of the final numbers.
void settleRounds(const Shop& shop, Model& model, unsigned threads);

}  // namespace halfcell::core::outlook
