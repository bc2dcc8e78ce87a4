#pragma once

#include "core/proposals/book_proposals.h"

#include <nlohmann/json.hpp>

#include <iosfwd>
#include <span>

/// Interval proposals as JSON and as words.
namespace halfcell::app {

/// {`intervals`[]: `application`, `design`, `loop_class`, `sensors`, `results`, `left_out`, `without_as_found`, `target`, `current_days`,
/// `proposed_days`, `way` (leave, lengthen, shorten, not_enough_data), `legal_days`, `lower_days`, `upper_days`, `why`, `source`,
/// `evidence`[] {`weeks`, `in`, `out`}; `interval_rules`: the lines that adopt them, null where nothing changes}.
[[nodiscard]] nlohmann::ordered_json intervalsJson(std::span<const core::BookProposal> proposals);
/// What would change, each with its evidence, and how to adopt it; the others in one line.
void writeIntervals(std::ostream& out, std::span<const core::BookProposal> proposals);

}  // namespace halfcell::app
