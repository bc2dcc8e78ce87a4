#pragma once

#include "core/electrochemistry/standards.h"
#include "core/fleet/records.h"

namespace halfcell::core {

/// The reading a differential ORP sensor is judged by ever after: the first one, at a known temperature and in a standard of the book, of
/// the state in which this visit (its first) left it. nullptr if the visit has none. Points into `visit`.
[[nodiscard]] const Reading* orpBaseline(const Visit& visit, const StandardsBook& standards);

}  // namespace halfcell::core
