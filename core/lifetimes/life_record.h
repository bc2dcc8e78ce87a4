#pragma once

namespace halfcell::core {

/// One life, or several alike: watched from `entry` (age when it came into view; 0 = from new) to `exit`, ended there
/// (`failed`) or still going on. `weight` counts equal lives. Ages in any unit, the same throughout.
struct LifeRecord {
    double entry = 0.0;
    double exit = 0.0;
    bool failed = false;
    double weight = 1.0;
    int cause = 0;              ///< of the end, for cumulative incidence; ignored elsewhere
};

}  // namespace halfcell::core
