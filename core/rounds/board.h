#pragma once

#include "core/rounds/plan.h"

#include <cstddef>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::core {

/// Minutes to open an area; none for work in the shop itself (no area).
[[nodiscard]] double areaSetupMinutes(const PlanSettings& settings, std::string_view area);
/// The capacity's working day before the wrench-time share was taken: soaks run in this time.
[[nodiscard]] double dayLength(const Capacity& capacity, const PlanSettings& settings);
[[nodiscard]] bool hasSkills(const Capacity& capacity, const Job& job);
/// The second of two people stays outside and calls for help: of the job's skills only `confined` is asked of them.
[[nodiscard]] bool canAttend(const Capacity& capacity, const Job& job);
/// True where a job may lie on a day: inside its window.
[[nodiscard]] bool inWindow(const Job& job, std::int64_t day);

/// The week board while it is filled: minutes used and areas opened per person and day.
class Board {
public:
    Board(std::span<const Capacity> capacities, const PlanSettings& settings);

    /// A place for a job: one capacity, or two on the same day for two people (the first has all the skills).
    struct Place {
        std::vector<std::size_t> slots;   ///< indices into capacities
        double added = 0.0;               ///< minutes of all people together, with set-ups
    };
    /// Every place with the skills in the window; `within` keeps to the minutes that are left.
    [[nodiscard]] std::vector<Place> placesFor(const Job& job, bool within) const;
    [[nodiscard]] double addedMinutes(const Job& job, std::size_t slot) const;
    [[nodiscard]] bool fits(const Job& job, std::size_t slot) const;
    void put(const Job& job, const Place& place);
    [[nodiscard]] double left(std::size_t slot) const;
    [[nodiscard]] std::vector<DayLoad> loads() const;
    [[nodiscard]] double minutesUsed() const;
    [[nodiscard]] std::span<const Capacity> capacities() const { return m_capacities; }
    [[nodiscard]] const PlanSettings& settings() const { return m_settings; }
    /// Which constraint keeps a job off the board, in words.
    [[nodiscard]] std::string whyNot(const Job& job) const;

private:
    std::span<const Capacity> m_capacities;
    const PlanSettings& m_settings;
    std::vector<double> m_used;
    std::vector<std::vector<std::string>> m_areas;   ///< in the order they were opened
};

/// Loads, order within each day, unplanned list and objective of a plan whose `jobs` and `planned` (key, day, people) stand.
void settle(WeekPlan& plan, std::span<const Capacity> capacities, const PlanSettings& settings);

}  // namespace halfcell::core
