#pragma once

#include "core/simulator/attend.h"

#include <map>
#include <set>
#include <vector>

/// What happens in the plant beside wear: the shutdowns, mix-ups and faults that are put in on purpose, planned before the
/// history begins so that each is there at every seed.
namespace halfcell::core::simulation {

/// Something that happens to the sensor at a point before it is next visited.
struct Incident {
    enum class Kind { Sulfide, Breakage, WetConnector, Rotation, Input } kind = Kind::Breakage;
    std::int64_t day = 0;
    std::size_t point = 0;
    bool done = false;
};

/// An area drained for some days.
struct Shutdown {
    std::size_t area = 0;
    std::int64_t from = 0, to = 0;
};

/// Two sensors of one site change places and nobody writes it down.
struct SilentMove {
    std::int64_t day = 0, found = 0;   ///< `found` 0: never noticed
    std::size_t a = 0, b = 0;          ///< points
    bool done = false, noticed = false;
};

/// The state in which a sensor is to stand at the end, so that there is one of every kind to find.
struct Ending {
    enum class Kind {
        ReversedLeads, Broken, WetConnector, WornOut, WornLow, Depleted, Filmed, Cell, Clogged, RedoxFar, RedoxNear, RedoxFilmed, Ground, Poisoned, Etched
    } kind = Kind::Broken;
    std::size_t point = 0;
    std::int64_t visitDay = 0;
    bool done = false;
};

struct Events {
    std::vector<Incident> incidents;
    std::vector<Shutdown> shutdowns;
    std::vector<SilentMove> moves;
    std::vector<Ending> endings;
    std::set<std::pair<std::int64_t, std::size_t>> mixUps;         ///< day, area: pH 6.86 in the 7.00 beaker
    std::set<std::pair<std::int64_t, std::size_t>> deadBottle;     ///< pH 10 past its life
    std::set<std::pair<std::int64_t, std::size_t>> noTemperature;  ///< a hot day without a thermometer
    std::size_t otherFillPoint = 0;    ///< gets an ORP sensor filled otherwise than ordered
    std::int64_t otherFillDay = 0;
    bool otherFillDone = false;
    std::size_t doublePoint = 0;       ///< two sensors recorded there at the end
    std::size_t heldPoint = 0;         ///< loop left in manual at the end
    std::size_t emptyPoint = 0;        ///< its sensor breaks on the last round, and no spare is fitted yet
};

/// Nobody walks a round over the winter holidays.
[[nodiscard]] bool holidays(std::int64_t day);

[[nodiscard]] Events planEvents(Workshop& shop);

/// The day of an area's last round before the end.
[[nodiscard]] std::int64_t lastRoundDay(const Workshop& shop, std::size_t area);

/// Lets what is due by `day` happen.
void applyEvents(Workshop& shop, Events& events, std::int64_t day);
/// Slow faults that must reach their end state begin well before it.
void prepareEndings(Workshop& shop, Events& events, std::int64_t day);
/// Puts the sensor into its end state just before its last visit; says what that visit may do.
[[nodiscard]] Task endingTask(Workshop& shop, Ending& ending);
/// After the last round: the loop left in manual, the sensor recorded at two places, spares in soak and on the bench.
void lastDay(Workshop& shop, Events& events);

}  // namespace halfcell::core::simulation
