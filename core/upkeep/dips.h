#pragma once

#include "core/fleet/plant.h"

#include <string>
#include <vector>

namespace halfcell::core {

/// The standards a task dips into, in the order of the dips, as keys: a check in pH 7 and the process side, two points as 7,
/// side, 7 again; a process range that reaches more than a pH to both sides of 7 takes both sides (7, 4, 10, 7 with 10 last of
/// the three, since alkaline bottles spoil). ORP takes the redox standards the shop keeps, two at most. The family (7.00 or
/// 6.86 ...) is the one the shop keeps lots of, else the technical one.
[[nodiscard]] std::vector<std::string> dipsFor(const Plant& plant, TaskKind task, SensorKind kind, const Point* point);

/// "pH 7.00", "redox standard light", "pH 4.20" for `value:4.20`; the key itself for a shop's own standard.
[[nodiscard]] std::string standardWords(std::string_view standard);

}  // namespace halfcell::core
