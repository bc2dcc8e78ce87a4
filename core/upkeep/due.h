#pragma once

#include "core/fleet/plant.h"
#include "core/rules/assess.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace halfcell::core {

/// One trigger of a task. The earliest wins and is the task's why; all are kept.
struct Trigger {
    enum class Kind { Calendar, InUse, Condition, Finding, Floor };
    Kind kind = Kind::Calendar;
    std::int64_t day = 0;         ///< day number (UTC)
    std::string why;              ///< "28 days after 16 Feb (rule drinking_water calibrate)"
    std::string source;
};

/// Work that is due.
struct DueTask {
    std::string serial;           ///< empty for lot and equipment tasks
    std::string tag;              ///< empty on shelf or bench
    std::string site;
    std::string subject;          ///< lot or equipment key where serial is empty
    TaskKind task = TaskKind::Check;
    std::int64_t due = 0, earliest = 0, latest = 0;   ///< day numbers; earliest < due <= latest <= floor
    std::optional<std::int64_t> floor;
    std::string why;
    std::vector<Trigger> triggers;
    double priority = 0.0;        ///< expected loss of missing this chance, currency units; floors rank above all
    bool cannotSlip = false;      ///< a legal floor ends before the next chance
    double minutes = 0.0, elapsed_minutes = 0.0;
    std::vector<std::string> materials;
    std::vector<WorkingStep> working;
};

/// Everything due by `until` (day number, inclusive), sorted: floors, then priority, then date, serial, task.
/// Tasks that one visit covers are merged (calibrate includes check; service includes clean), keeping every why.
/// Sensors on the shelf get storage and shelf checks; scrapped ones none; an empty point none.
[[nodiscard]] std::vector<DueTask> dueTasks(const Plant& plant, std::span<const Assessment> assessments,
                                            std::span<const std::vector<VisitFigures>> figures, const RuleSet& rules, std::int64_t until);

/// The earliest due day of a sensor, for the fleet list.
[[nodiscard]] std::optional<std::int64_t> nextDue(std::span<const DueTask> tasks, std::string_view serial);

}  // namespace halfcell::core
