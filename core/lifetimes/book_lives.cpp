#include "core/lifetimes/book_lives.h"

#include <algorithm>

namespace halfcell::core {
namespace {

bool isPoint(std::string_view place)
{
    return place != kShelf && place != kSoak && place != kBench && place != kQuarantine && place != kScrap;
}

bool sudden(RemovalReason reason)
{
    return reason == RemovalReason::Broken || reason == RemovalReason::Wet || reason == RemovalReason::Cable ||
           reason == RemovalReason::TemperatureElement;
}

}  // namespace

EndCause endCauseOf(RemovalReason reason)
{
    switch (reason) {
    case RemovalReason::Slope:
    case RemovalReason::Slow: return EndCause::Glass;
    case RemovalReason::Offset:
    case RemovalReason::Junction:
    case RemovalReason::Poisoned: return EndCause::Reference;
    case RemovalReason::Broken: return EndCause::Breakage;
    case RemovalReason::Wet:
    case RemovalReason::Cable:
    case RemovalReason::TemperatureElement:
    case RemovalReason::Erratic: return EndCause::Electrical;
    case RemovalReason::PreEmptive:
    case RemovalReason::Rotation: return EndCause::Planned;
    case RemovalReason::Unknown:
    case RemovalReason::Lost: return EndCause::Unknown;
    }
    return EndCause::Unknown;
}

std::string_view endCauseKey(EndCause cause)
{
    switch (cause) {
    case EndCause::Glass: return "glass";
    case EndCause::Reference: return "reference";
    case EndCause::Breakage: return "breakage";
    case EndCause::Electrical: return "electrical";
    case EndCause::Planned: return "planned";
    case EndCause::Unknown: return "unknown";
    }
    return "unknown";
}

std::vector<BookLife> livesOf(const Plant& plant)
{
    std::vector<BookLife> lives;
    for (const SensorHistory& history : plant.histories()) {
        double age = 0.0;
        bool first = true;
        for (std::size_t i = 0; i < history.placements.size(); ++i) {
            const Placement& p = *history.placements[i];
            if (!isPoint(p.place))
                continue;
            const Point* point = plant.point(p.place);
            if (first) {
                if (p.entry_age_days)
                    age = *p.entry_age_days;
                else if (history.sensor->first_wet)
                    age = std::max(0.0, daysBetween(*history.sensor->first_wet, p.from));
                first = false;
            }
            const Instant end = p.to ? std::min(*p.to, plant.asOf()) : plant.asOf();
            const double days = daysBetween(p.from, end);
            if (days <= 0.0)
                continue;
            BookLife life;
            life.serial = history.sensor->serial;
            life.model = history.sensor->model;
            life.application = point && point->application ? *point->application : std::string();
            life.site = point ? point->site : std::string();
            life.entry_days = age;
            life.exit_days = age + days;
            // It ended here unless it went on at a point afterwards.
            const bool goesOn = std::any_of(history.placements.begin() + static_cast<std::ptrdiff_t>(i) + 1, history.placements.end(),
                                            [](const Placement* later) { return isPoint(later->place); });
            if (p.to && *p.to <= plant.asOf() && p.reason_removed && !goesOn) {
                life.removed = true;
                life.reason = p.reason_removed;
                if (sudden(*p.reason_removed)) {
                    std::optional<Instant> alive;
                    for (const Visit* v : history.visits)
                        if (v->when >= p.from && daysBetween(v->when, end) > 0.5 && !v->readings.empty())
                            alive = v->when;
                    const double at = age + (alive ? daysBetween(p.from, *alive) : 0.0);
                    if (life.exit_days - at > 0.1 * life.exit_days)
                        life.aliveAt_days = std::max(at, life.entry_days);
                }
            }
            age = life.exit_days;
            // The same sensor going on in the same application is one life.
            if (!lives.empty() && lives.back().serial == life.serial && lives.back().application == life.application &&
                lives.back().site == life.site && !lives.back().removed && lives.back().exit_days == life.entry_days) {
                const double entry = lives.back().entry_days;
                lives.back() = life;
                lives.back().entry_days = entry;
            } else {
                lives.push_back(std::move(life));
            }
        }
    }
    return lives;
}

LifeRecord recordOf(const BookLife& life, bool plannedIsEnd)
{
    LifeRecord r{.entry = life.entry_days, .exit = life.exit_days, .failed = false, .weight = 1.0, .cause = 0};
    if (life.removed && life.reason) {
        const EndCause cause = endCauseOf(*life.reason);
        if (cause != EndCause::Planned || plannedIsEnd) {
            r.failed = true;
            r.cause = static_cast<int>(cause);
        }
    }
    return r;
}

IntervalLife intervalOf(const BookLife& life)
{
    const LifeRecord r = recordOf(life);
    IntervalLife out{.entry = r.entry, .lower = r.exit, .upper = std::nullopt, .weight = 1.0};
    if (r.failed) {
        out.upper = r.exit;
        if (life.aliveAt_days)
            out.lower = *life.aliveAt_days;
    }
    return out;
}

}  // namespace halfcell::core
