#pragma once

#include "core/effects/effects.h"
#include "core/lifetimes/life_groups.h"
#include "core/outlook/outlook.h"
#include "core/outlook/score.h"
#include "core/overview/overview.h"
#include "core/suspects/suspects.h"

#include <memory>

namespace halfcell::app {

/// What the shop's own past says: forecasts walked through it with their score, what services brought, what moved many sensors
/// alike. Belongs to one overview, which it keeps alive. Immutable; shared.
struct Evidence {
    std::shared_ptr<const core::Overview> overview;
    core::outlook::BookOutlook book;
    core::outlook::Score score;
    core::ServiceList services;
    core::Suspects suspects;
};

/// The outlook of one sensor and its past outlooks whose outcome is known.
struct SensorEvidence {
    std::shared_ptr<const Evidence> evidence;
    core::outlook::SensorOutlook ahead;              ///< first at its next due visit, then at the usual horizons
    std::vector<core::outlook::SensorForecast> fan;  ///< from now on, dense enough to draw
    std::vector<core::outlook::PastForecast> issued;
};

}  // namespace halfcell::app
