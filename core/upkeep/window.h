#pragma once

#include "core/upkeep/due.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>

/// From triggers to a window: when a task may be done, when it is due, how late it may be.
namespace halfcell::core {

/// "16 Feb 2026" of a day number.
[[nodiscard]] std::string dayWords(std::int64_t day);

/// Shares of the interval by which a task may be early or late (our choice; rule data `window.*`).
struct WindowSettings {
    double earlyShare = 0.25;
    double graceShare = 0.20;
    double graceDays = 14.0;
};
[[nodiscard]] WindowSettings windowSettings(const RuleSet& rules);

/// Days on which a task may be done: earliest < due <= latest, and latest never past the floor.
struct Window {
    std::int64_t earliest = 0, due = 0, latest = 0;
    std::optional<std::int64_t> floor;
    bool operator==(const Window&) const = default;
};

/// The window of a task: due is the earliest trigger; earliest lies a quarter of the interval (at least a day) before;
/// grace is the smaller of a fifth of the interval and 14 days, none when a floor decides. At least one trigger.
[[nodiscard]] Window windowOf(std::span<const Trigger> triggers, double intervalDays, const WindowSettings& settings);

/// The last day on which a round passes (1 = Monday ... 7 = Sunday) that lies within [earliest, due]; none: own visit.
[[nodiscard]] std::optional<std::int64_t> lastRoundDay(const Window& window, int isoWeekday);

/// True if the floor may pass before the round after the coming one: it lies before the end of the ISO week that follows the
/// week of `today`.
[[nodiscard]] bool floorCannotSlip(const std::optional<std::int64_t>& floor, std::int64_t today);

/// Puts the earliest trigger first and the others behind it by day; on one day a floor, a finding, a condition, a count of
/// use, the calendar; else as they came.
void sortTriggers(std::vector<Trigger>& triggers);

}  // namespace halfcell::core
