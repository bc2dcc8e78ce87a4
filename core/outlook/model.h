#pragma once

#include "core/outlook/offset_filter.h"
#include "core/outlook/parameters.h"
#include "core/outlook/series.h"

#include <cstddef>
#include <string>
#include <vector>

namespace halfcell::core::outlook {

/// Error shared by a round and its bottles, %, with its variance.
struct RoundShift {
    double shift = 0.0;
    double var = 0.0;
    double logTerm = 0.0;  ///< its part of the log-likelihood
    bool bad = false;      ///< "a wrong bottle on this round" won
    std::size_t members = 0;
};

/// How far a group had to be widened to hold enough sensors.
enum class Pooling { ModelApplicationSite, ModelApplication, Application, Everything };

/// What is known of a group.
struct GroupModel {
    GroupNumbers level;
    OffsetNumbers offset;
    std::size_t sensors = 0;  ///< that have taught it (three clean readings or more)
    std::size_t members = 0;  ///< ever in it
    Pooling pooling = Pooling::ModelApplicationSite;
    std::string words;           ///< "P9 in wastewater at Saltmarsh Reclamation Plant"
    double defaultLnLife = 4.6;  ///< before anything was learnt
};

/// Everything learnt from a shop up to a moment.
struct Model {
    FleetNumbers fleet;
    std::vector<GroupModel> groups;
    std::vector<std::size_t> groupOf;  ///< Shop::groups index -> groups index
    std::vector<RoundShift> rounds;    ///< parallel to Shop::rounds
    Instant cut;                       ///< nothing later was looked at
    std::size_t passes = 0;

    [[nodiscard]] const GroupModel& of(std::size_t shopGroup) const { return groups[groupOf[shopGroup]]; }
};

}  // namespace halfcell::core::outlook
