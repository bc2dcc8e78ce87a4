#pragma once

#include "core/fleet/records.h"
#include "core/rules/rule_set.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace halfcell::app::bench {

/// What a person carries on a round: the bottle of each standard, the meter, the thermometer. Chosen once, changed with
/// Ctrl+B; remembered for each person.
struct RoundKit {
    std::map<std::string, std::string> lots;   ///< standard -> lot
    std::string meter, thermometer;
    [[nodiscard]] std::string lotOf(const std::string& standard) const;
    bool operator==(const RoundKit&) const = default;
};

/// Bottles of a standard that are open or could be opened, the one opened last first.
[[nodiscard]] std::vector<const core::Lot*> bottlesOf(const core::Records& reference, const std::string& standard, const core::Instant& now);
/// The bottle that would be taken if nobody says: the one opened last that is still within its life. nullptr if none.
[[nodiscard]] const core::Lot* usualBottle(const core::Records& reference, const core::RuleSet& rules, const std::string& standard, const core::Instant& now);

/// Reads and writes the kit of a person in the user's settings.
[[nodiscard]] RoundKit rememberedKit(const std::string& person);
void rememberKit(const std::string& person, const RoundKit& kit);

}  // namespace halfcell::app::bench
