#pragma once

#include "core/simulator/visit_draft.h"

namespace halfcell::core::simulation {

/// What a visit to a point is meant to be.
struct Task {
    enum class Job { Verify, Clean, Calibrate } job = Job::Verify;
    VisitReason reason = VisitReason::Routine;
    bool grab = false;
    /// Readings are taken and nothing is cured: parts, a spare or approval are awaited.
    enum class Restraint { None, FoundOnly, CleanOnly } restraint = Restraint::None;
    bool holdStays = false;
    double dryDays = 0;            ///< the line had been drained for so long
};

/// One visit to the sensor at a point, in trade order: hold, grab, as found (dirty), test what is odd, clean, after
/// cleaning, renew what the readings ask for, adjust, as left; a sensor that failed twice is replaced by a spare that
/// fits. `seconds` is the clock of the day and moves on. The technician acts on what was read, not on the truth.
void attendPoint(Workshop& shop, Round& round, std::size_t point, const Task& task, std::int64_t& seconds);

/// Fits a ready spare to an empty point, with its first readings. False if there is none.
bool fillPoint(Workshop& shop, Round& round, std::size_t point, std::int64_t& seconds);

/// Bench work on a sensor that is not at a point: incoming check, shelf check, or service after removal. Decides where it
/// goes next.
void workOnBench(Workshop& shop, Round& round, std::size_t probe, std::int64_t& seconds);

/// A round's (or a day's) shared things for a person.
[[nodiscard]] Round openRound(Workshop& shop, std::int64_t day, std::size_t person, bool outdoors);

}  // namespace halfcell::core::simulation
