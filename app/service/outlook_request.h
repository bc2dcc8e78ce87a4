#pragma once

#include "core/outlook/outlook.h"
#include "core/overview/overview.h"

#include <vector>

/// How the outlook is asked for: the same for the command line and the Record.
namespace halfcell::app {

/// Forecasts after so many weeks each (above 0), against the maintenance limits of each sensor's profile, up to its next due
/// visit. What it asks is asked of the overview, which must outlive it.
[[nodiscard]] core::outlook::OutlookRequest outlookRequest(const core::Overview& overview, const core::Instant& asOf,
                                                           std::vector<double> weeks);

}  // namespace halfcell::app
