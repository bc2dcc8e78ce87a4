#pragma once

#include "app/presenters/shop.h"

#include <QString>

namespace halfcell::app {

/// What is known of the chain, in sentences: "18 204 entries, whole; checked 08:30 (2.1 s).", or the first entry that does not fit
/// and what to do.
[[nodiscard]] QString chainWords(const ChainState& chain);

}  // namespace halfcell::app
