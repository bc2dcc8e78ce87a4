#pragma once

#include "core/overview/overview.h"
#include "db/values/book_types.h"
#include "db/stores/figure_store.h"

#include <cstddef>
#include <vector>

/// What the book stores of what core works out: the latest state of a sensor and the figures of each visit. Values in,
/// values out; the stores keep them.
namespace halfcell::db {

/// The latest states of all sensors of an overview, by serial.
[[nodiscard]] std::vector<LatestState> latestStatesOf(const core::Overview& overview);

/// The figures of one sensor's visits (not of legacy records), by visit and phase.
[[nodiscard]] std::vector<StoredFigures> storedFiguresOf(const core::Overview& overview, std::size_t sensor);

/// The records of one sensor alone: enough for its figures and its judgement. `all` holds small tables of the whole shop.
[[nodiscard]] core::Records aloneWith(const core::Records& all, std::string_view serial);

}  // namespace halfcell::db
