#pragma once

#include "core/fleet/records.h"

#include <string>
#include <string_view>
#include <vector>

/// The invented utility: four sites, their areas and measuring points.
namespace halfcell::core::simulation {

/// A measuring point as laid out: the record of the shop and what only the process knows.
struct PointPlan {
    Point record;
    std::size_t model = 0;         ///< index into modelSpecs()
    int site = 0, area = 0;        ///< area counts over all sites
    double ph = 7.0;               ///< true process value, middle of its range
    double orp_mv = 300.0;         ///< true process potential on the hydrogen scale
    double temp = 20.0;
    bool fluoride = false, cyanide = false, sulfide = false, outdoors = false;
    bool hold = false;             ///< the loop is put in manual before a visit
};

struct AreaPlan {
    std::string name;
    int site = 0;
    int weekday = 1;               ///< ISO day of its weekly round
    int person = 0;                ///< index of its usual technician
    std::vector<std::size_t> points;  ///< in walking order
};

struct Layout {
    std::vector<Site> sites;
    std::vector<AreaPlan> areas;
    std::vector<PointPlan> points;
};

/// Lays out about `points` measuring points (90 is the plant as drawn; more repeats its trains under new tags, fewer
/// takes an even share of every area).
[[nodiscard]] Layout layOut(int points, const Instant& recorded);

}  // namespace halfcell::core::simulation
