#pragma once

#include "core/quantity/instant.h"

#include <string>

namespace halfcell::db {

/// A UUID of version 7 (RFC 9562) for a visit: the moment in milliseconds, then a counter, then random bits. Keys made by
/// one process ascend strictly, whatever the clock does (keys in order keep inserts at the end of the tree: random ones
/// cost twice as much). Any thread.
[[nodiscard]] std::string newVisitKey(const core::Instant& now);

}  // namespace halfcell::db
