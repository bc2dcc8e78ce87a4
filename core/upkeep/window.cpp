#include "core/upkeep/window.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <chrono>
#include <cmath>
#include <utility>

namespace halfcell::core {

std::string dayWords(std::int64_t day)
{
    static constexpr std::array<const char*, 12> kMonths{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const std::chrono::year_month_day date{std::chrono::sys_days{std::chrono::days{day}}};
    return fmt::format("{} {} {}", static_cast<unsigned>(date.day()), kMonths[static_cast<unsigned>(date.month()) - 1], static_cast<int>(date.year()));
}

WindowSettings windowSettings(const RuleSet& rules)
{
    WindowSettings settings;
    const auto take = [&rules](double& field, std::string_view key) {
        if (const double value = rules.number(key).value; value > 0.0)
            field = value;
    };
    take(settings.earlyShare, "window.early_share");
    take(settings.graceShare, "window.grace_share");
    take(settings.graceDays, "window.grace_days");
    return settings;
}

Window windowOf(std::span<const Trigger> triggers, double intervalDays, const WindowSettings& settings)
{
    assert(!triggers.empty());
    Window window;
    window.due = triggers.front().day;
    for (const Trigger& t : triggers) {
        window.due = std::min(window.due, t.day);
        if (t.kind == Trigger::Kind::Floor)
            window.floor = std::min(window.floor.value_or(t.day), t.day);
    }
    const double interval = std::max(intervalDays, 0.0);
    window.earliest = window.due - std::max<std::int64_t>(1, static_cast<std::int64_t>(settings.earlyShare * interval));
    const auto grace = static_cast<std::int64_t>(std::min(settings.graceShare * interval, settings.graceDays));
    window.latest = window.due + std::max<std::int64_t>(0, grace);
    if (window.floor)
        window.latest = std::min(window.latest, *window.floor);
    return window;
}

std::optional<std::int64_t> lastRoundDay(const Window& window, int isoWeekday_)
{
    for (std::int64_t day = window.due; day >= window.earliest && day > window.due - 7; --day)
        if (isoWeekday(day) == isoWeekday_)
            return day;
    return std::nullopt;
}

bool floorCannotSlip(const std::optional<std::int64_t>& floor, std::int64_t today)
{
    return floor && *floor < mondayOf(isoWeekOf(today)) + 14;
}

void sortTriggers(std::vector<Trigger>& triggers)
{
    std::ranges::stable_sort(triggers, [](const Trigger& a, const Trigger& b) {
        // A floor goes before what falls on the same day, since it cannot be moved; then what was found, then what is expected.
        const auto rank = [](const Trigger& t) {
            switch (t.kind) {
            case Trigger::Kind::Floor: return 0;
            case Trigger::Kind::Finding: return 1;
            case Trigger::Kind::Condition: return 2;
            case Trigger::Kind::InUse: return 3;
            case Trigger::Kind::Calendar: break;
            }
            return 4;
        };
        return std::pair(a.day, rank(a)) < std::pair(b.day, rank(b));
    });
}

}  // namespace halfcell::core
