#pragma once

#include "app/register/register_row.h"
#include "core/overview/overview.h"

namespace halfcell::app {

/// What the Register shows of the due work: expected loss, spares to be tested, who was there last, the next round.
/// Takes a while on a large shop: call it off the GUI thread.
[[nodiscard]] UpkeepOutline outlineOf(const core::Overview& overview, const core::Instant& now);

}  // namespace halfcell::app
