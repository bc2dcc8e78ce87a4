#pragma once

#include "core/rounds/plan.h"

#include <QString>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace halfcell::app {

/// The week's board as the view draws it: people by days, each cell with its capacity, the set-up of the areas opened
/// and the jobs in order. A plain value made from a plan.
struct BoardJob {
    std::string key;
    QString label;  ///< tag without its letters if it can be told apart, else the whole
    QString words;  ///< what is done, for the read-out and speech
    double minutes = 0;
    bool floor = false;
};

struct BoardCell {
    double capacity = 0, used = 0;
    std::vector<std::pair<QString, double>> setups;  ///< area, minutes
    std::vector<BoardJob> jobs;
    [[nodiscard]] double over() const { return used > capacity ? used - capacity : 0.0; }
};

struct Board {
    std::vector<std::int64_t> days;
    std::vector<QString> people;
    std::vector<std::vector<BoardCell>> cells;  ///< [person][day]

    [[nodiscard]] static Board of(const core::WeekPlan& plan);
    /// Where a job is: person, day, place; nullopt if it is not planned.
    struct Place {
        std::size_t person = 0, day = 0, job = 0;
        bool operator==(const Place&) const = default;
    };
    [[nodiscard]] std::optional<Place> find(const std::string& key) const;
    /// The load of a cell in words: "305 of 312 min", "17 min over".
    [[nodiscard]] static QString loadText(const BoardCell& cell);
    /// The same in a narrow column: "80/100", "17 over".
    [[nodiscard]] static QString shortLoadText(const BoardCell& cell);
};

/// "Mon 2 Mar" from a day number.
[[nodiscard]] QString dayText(std::int64_t day);
/// The tasks of a job in words: "calibrate, clean".
[[nodiscard]] QString tasksText(const core::Job& job);

}  // namespace halfcell::app
