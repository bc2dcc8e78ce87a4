#pragma once

#include "core/fleet/plant.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>

namespace halfcell::core {

/// What a visit did, in terms of tasks: the readings, grabs and actions decide, not the reason given.
[[nodiscard]] bool visitDid(const Visit& visit, TaskKind task, SensorKind kind);

/// The day each task was last done on a sensor (visits, legacy records and part records). A check stands in two standards
/// (one redox standard for ORP); a calibration is a check as left, or one with an adjustment; a service cleans, renews or
/// conditions, and checks.
struct LastDone {
    std::map<TaskKind, std::int64_t> day;
    [[nodiscard]] std::optional<std::int64_t> of(TaskKind task) const;
};
[[nodiscard]] LastDone lastDone(const SensorHistory& history);

/// Where a sensor stands at a moment. A sensor without any placement is taken to be where its last visit says.
struct Standing {
    enum class Kind { Nowhere, AtPoint, Shelf, OutOfService, Scrapped };
    Kind kind = Kind::Nowhere;
    std::string tag;
    const Point* point = nullptr;
    std::int64_t since = 0;
    const Placement* placement = nullptr;
};
[[nodiscard]] Standing standingOf(const Plant& plant, const SensorHistory& history);

/// Days since the sensor first went into service (or was first wet), with the age it had when the book began; from its first
/// visit if no placement is known.
[[nodiscard]] double serviceAgeDays(const Plant& plant, const SensorHistory& history);

/// A point's season: in use from `season_from` to `season_to`, both included, every year (MM-DD) or once (dates).
struct SeasonState {
    bool inSeason = true;
    std::optional<std::int64_t> start;   ///< of the season that holds the day, else of the next; absent without a season
};
[[nodiscard]] SeasonState seasonAt(const Point& point, std::int64_t day);

}  // namespace halfcell::core
