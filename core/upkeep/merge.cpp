#include "core/upkeep/due_parts.h"

#include <algorithm>

namespace halfcell::core::upkeep {

bool covers(TaskKind larger, TaskKind smaller)
{
    using enum TaskKind;
    const auto oneOf = [smaller](std::initializer_list<TaskKind> kinds) { return std::ranges::find(kinds, smaller) != kinds.end(); };
    switch (larger) {
    case Replace: return oneOf({Fault, Service, ReplaceBridge, RefillReference, Calibrate, Clean, Check, Verify});
    case Service: return oneOf({RefillReference, Calibrate, Clean, Check, Verify});
    case ReplaceBridge: return oneOf({RefillReference, Calibrate, Check, Verify});
    case Calibrate: return oneOf({Check, Verify});
    case Fault: return oneOf({Check, Verify});
    case Check: return oneOf({Verify});
    case GrabCheck: return oneOf({Verify});
    default: return false;
    }
}

namespace {

bool namesATask(std::string_view why)
{
    return std::ranges::any_of(keyEntries<TaskKind>(), [why](const auto& entry) {
        return why.starts_with(entry.words) && why.substr(entry.words.size()).starts_with(": ");
    });
}

/// Takes `smaller` into `larger`: the earlier day counts, every trigger stays and says which task it was of.
void absorb(DueTask& larger, DueTask smaller)
{
    for (Trigger& t : smaller.triggers)
        if (!namesATask(t.why))
            t.why = std::string(wordsOf(smaller.task)) + ": " + t.why;
    larger.due = std::min(larger.due, smaller.due);
    larger.earliest = std::min(larger.earliest, larger.due - 1);
    larger.latest = std::max(larger.due, std::min(larger.latest, smaller.latest));
    if (smaller.floor) {
        larger.floor = std::min(larger.floor.value_or(*smaller.floor), *smaller.floor);
        larger.latest = std::min(larger.latest, std::max(larger.due, *larger.floor));
    }
    larger.cannotSlip = larger.cannotSlip || smaller.cannotSlip;
    larger.priority = std::max(larger.priority, smaller.priority);
    larger.triggers.insert(larger.triggers.end(), std::make_move_iterator(smaller.triggers.begin()), std::make_move_iterator(smaller.triggers.end()));
    sortTriggers(larger.triggers);
    larger.why = larger.triggers.front().why;
    for (std::string& material : smaller.materials)
        if (std::ranges::find(larger.materials, material) == larger.materials.end() && larger.task != TaskKind::Replace)
            larger.materials.push_back(std::move(material));
    for (WorkingStep& step : smaller.working)
        if (step.formula.empty())  // the loss is computed once for the task
            larger.working.push_back(std::move(step));
}

}  // namespace

std::vector<DueTask> mergeTasks(std::vector<DueTask> tasks, std::int64_t today)
{
    // Largest first, so that a check goes into the service and not into a calibration that the service takes in itself.
    static constexpr TaskKind kOrder[] = {TaskKind::Replace, TaskKind::Service, TaskKind::ReplaceBridge, TaskKind::Calibrate,
                                          TaskKind::Fault, TaskKind::Check, TaskKind::GrabCheck};
    const auto meets = [today](const DueTask& a, const DueTask& b) {
        // What is overdue can be done on any day from today on.
        return std::max(a.earliest, b.earliest) <= std::min(std::max(a.latest, today), std::max(b.latest, today));
    };
    std::vector<bool> gone(tasks.size(), false);
    for (const TaskKind kind : kOrder)
        for (std::size_t i = 0; i < tasks.size(); ++i) {
            if (gone[i] || tasks[i].task != kind)
                continue;
            for (std::size_t j = 0; j < tasks.size(); ++j) {
                if (i == j || gone[j] || !covers(kind, tasks[j].task) || !meets(tasks[i], tasks[j]))
                    continue;
                absorb(tasks[i], std::move(tasks[j]));
                gone[j] = true;
            }
        }
    std::vector<DueTask> merged;
    for (std::size_t i = 0; i < tasks.size(); ++i)
        if (!gone[i])
            merged.push_back(std::move(tasks[i]));
    return merged;
}

}  // namespace halfcell::core::upkeep
