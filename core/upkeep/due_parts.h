#pragma once

#include "core/upkeep/drift.h"
#include "core/upkeep/due.h"
#include "core/upkeep/last_done.h"
#include "core/upkeep/risk.h"
#include "core/upkeep/window.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

/// The parts of `dueTasks`. Internal to core/upkeep.
namespace halfcell::core::upkeep {

/// Everything the triggers of one sensor look at.
struct SensorContext {
    const Plant& plant;
    const SensorHistory& history;
    std::span<const VisitFigures> figures;
    const RuleSet& rules;
    const Assessment* assessment = nullptr;
    Standing standing = {};
    LastDone last = {};
    SensorKind kind = SensorKind::Ph;
    std::int64_t today = 0;
    /// Work waited until this day: the sensor came here, or its season began.
    std::int64_t resume = 0;
    bool suspended = false;  ///< the season has not begun: nothing is due before `resume`
    std::string application = {};
    std::string loopClass = {};  ///< key, or "unknown"
    double consequencePerWeek = 0.0;
    double hazardPerDay = 0.0;             ///< sudden failure
    double outProbability = 0.4;           ///< p*: a task falls due when the chance of being out reaches this
    std::optional<Trend> efficiency = {};  ///< of the clean efficiencies; absent: too few
    double efficiencyLimit = 80.0;         ///< maintenance limit of the profile
    std::vector<Shift> shifts = {};        ///< as found against as left before
    std::optional<double> tolerance = {};  ///< pH or mV
    OutRisk risk = {};                     ///< t = 0 today
    WindowSettings window = {};
};
/// Whether the sensor's design allows the action at all.
[[nodiscard]] inline bool allowed(const SensorContext& c, ActionKey action)
{
    return c.history.model && c.rules.allows(*c.history.model, action).offer != DesignAllows::Offer::No;
}

[[nodiscard]] SensorContext contextOf(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures,
                                      const Assessment* assessment, const RuleSet& rules);

/// A task before its window is drawn.
struct Draft {
    TaskKind task = TaskKind::Check;
    std::vector<Trigger> triggers;
    double interval_days = 0.0;
    std::optional<std::int64_t> notAfter;  ///< a limit of the part itself: latest is cut here
    double priority = 0.0;
    std::vector<WorkingStep> working;
};
/// The draft of a task, made if it is not there yet.
[[nodiscard]] Draft& draftOf(std::vector<Draft>& drafts, TaskKind task);
/// Adds a trigger with its step of the working.
void addTrigger(Draft& draft, Trigger trigger, SourceClass sourceClass);

void addCalendar(const SensorContext& context, std::vector<Draft>& drafts);
void addConditions(const SensorContext& context, std::vector<Draft>& drafts);
void addFindings(const SensorContext& context, std::vector<Draft>& drafts);
void addShelf(const SensorContext& context, std::vector<Draft>& drafts);

/// A draft with its window, minutes, materials and priority.
[[nodiscard]] DueTask finish(const SensorContext& context, Draft draft);

/// Bottles and instruments.
void addLots(const Plant& plant, const RuleSet& rules, std::vector<DueTask>& tasks);
void addEquipment(const Plant& plant, const RuleSet& rules, std::vector<DueTask>& tasks);

/// Tasks of one sensor that one visit covers become one, if their windows meet; every trigger is kept.
[[nodiscard]] std::vector<DueTask> mergeTasks(std::vector<DueTask> tasks, std::int64_t today);
/// True if a visit for `larger` does `smaller` as well.
[[nodiscard]] bool covers(TaskKind larger, TaskKind smaller);

/// "every 28 days, drinking water" for a line of the interval tables.
[[nodiscard]] std::string ruleWords(const TaskRule& rule);
/// Materials of a task on this sensor, in words.
[[nodiscard]] std::vector<std::string> materialsOf(const SensorContext& context, TaskKind task);

}  // namespace halfcell::core::upkeep
