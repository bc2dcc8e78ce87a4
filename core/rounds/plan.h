#pragma once

#include "core/upkeep/due.h"

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace halfcell::core {

/// A job the planner can place: the tasks of one sensor or point that one visit covers.
struct Job {
    std::string key;                 ///< stable: tag or serial
    std::string tag, serial, area, site;
    std::vector<TaskKind> tasks;
    std::string why;
    double minutes = 0, elapsed_minutes = 0;
    double loss = 0;                 ///< if not done this week
    bool floor = false;
    std::int64_t earliest = 0, latest = 0;
    std::int64_t nextChance = 0;
    std::vector<std::string> skills; ///< needed
    int people = 1;                  ///< 2 where the hazard note says so (confined space)
    std::vector<std::string> materials;
    std::vector<std::string> standards;  ///< dips in order, for the kit
};

/// A person's capacity on a day.
struct Capacity {
    std::string person;
    std::int64_t day = 0;
    double minutes = 0;
    std::vector<std::string> skills;
};

struct PlannedJob {
    std::string key;
    std::int64_t day = 0;
    std::vector<std::string> people;
    int order = 0;                   ///< position within the day
};

struct UnplannedJob {
    std::string key;
    std::string why;                 ///< which constraint binds
    std::int64_t nextChance = 0;
};

struct DayLoad {
    std::int64_t day = 0;
    std::string person;
    double used = 0, capacity = 0;
    std::vector<std::pair<std::string, double>> areas;  ///< set-up minutes by area opened
};

struct KitLine {
    std::string person;
    std::int64_t day = 0;
    std::string item;                ///< "ph7.00", "clean_acid", "spare ...", "rinse water"
    double amount = 0;
    std::string unit;                ///< mL, pieces
    std::string lot;                 ///< still usable on that day
};

struct WeekPlan {
    IsoWeek week;
    std::vector<Job> jobs;
    std::vector<PlannedJob> planned;
    std::vector<UnplannedJob> unplanned;
    std::vector<DayLoad> loads;
    std::vector<KitLine> kit;
    double objective = 0.0;          ///< loss avoided minus lambda * minutes
    double bound = 0.0;              ///< no plan can be better
    double gap_pct = 0.0;
};

/// Planning figures that the rule set fixes.
struct PlanSettings {
    double lambdaPerMinute = 0.2;
    double wrenchTime = 0.65;
    std::map<std::string, double> areaSetup;   ///< minutes; default by `defaultSetup`
    double defaultSetup = 20.0;
    double defaultShift = 450.0;               ///< minutes of a shift where a person has none recorded
};

/// The planning figures of a rule set (plan.lambda, wrench_time, plan.area_setup, plan.shift_minutes; plan.area_setup.AREA for an
/// area of its own where the rule set names one).
[[nodiscard]] PlanSettings planSettings(const Plant& plant, const RuleSet& rules);

/// The jobs of a week out of the due tasks, one per sensor or point.
[[nodiscard]] std::vector<Job> jobsOfWeek(const Plant& plant, std::span<const DueTask> tasks, const IsoWeek& week, const RuleSet& rules);
/// The people's days of a week; `people` limits them to the first n (by key), 0 = all.
[[nodiscard]] std::vector<Capacity> capacitiesOfWeek(const Plant& plant, const IsoWeek& week, const PlanSettings& settings, int people = 0);
/// Greedy plan (floor jobs first, then (loss - lambda*d)/d, ties by earlier day, then key), deterministic. The bound is
/// the fractional (knapsack) relaxation over all capacity.
[[nodiscard]] WeekPlan planWeek(std::vector<Job> jobs, std::span<const Capacity> capacities, const PlanSettings& settings, const IsoWeek& week);
/// Buffers, cleaners and spares per person and day, with a usable lot each.
[[nodiscard]] std::vector<KitLine> kitFor(const WeekPlan& plan, const Plant& plant, const RuleSet& rules);
/// Recomputes loads, objective and unplanned reasons after a job was moved by hand. Errc::Conflict (in words) if the move
/// breaks a window, a skill or a person's day (not at work; a soak longer than the day). More minutes than the person has is
/// allowed and shows as a load above its capacity. An empty person takes the job off the board; a floor job stays on it.
[[nodiscard]] Result<WeekPlan> moveJob(const WeekPlan& plan, std::string_view key, std::int64_t day, std::string_view person,
                                       std::span<const Capacity> capacities, const PlanSettings& settings);

}  // namespace halfcell::core
