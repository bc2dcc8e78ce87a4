#pragma once

#include "app/cli/context.h"
#include "core/rules/good_enough.h"

#include <iosfwd>

/// Response and fitness of a sensor, in JSON and for people: how its readings settled, and whether it is good enough here.
namespace halfcell::app {

[[nodiscard]] Json settlingJson(const core::PhaseFigures& figures);
/// Null with its reason beside it where nothing is decided.
[[nodiscard]] Json goodEnoughJson(const core::GoodEnough& answer);
/// One line per reading that was taken too soon or whose series was noted.
void writeSettling(std::ostream& out, const core::PhaseFigures& figures, std::size_t indent);

/// How offset and efficiency will have moved by that day, from the outlook of the whole book; nothing where it abstains.
[[nodiscard]] std::optional<core::ExpectedDrift> driftUntil(const core::Overview& overview, std::string_view serial, std::int64_t day);

}  // namespace halfcell::app
