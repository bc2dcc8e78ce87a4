#pragma once

#include "app/panels/working_page.h"
#include "app/presenters/shop.h"

#include <string_view>

/// From a figure on screen to its working. Every figure that is shown has one; what has no millivolts says so.
namespace halfcell::app {

/// Working of one figure of one phase. `earlier`: the figures of the same phase as first written, when a correction
/// restated them; nullptr otherwise.
[[nodiscard]] WorkingPage figureWorking(const Dossier& dossier, const core::VisitFigures& visit, const core::PhaseFigures& phase,
                                        std::string_view key, const core::PhaseFigures* earlier = nullptr);

/// Working of a figure of the latest state, as the Register and the head of the Record show it. For `in_service` the
/// placements it is counted from.
[[nodiscard]] WorkingPage latestWorking(const Dossier& dossier, std::string_view key, const core::Instant& now);

/// Months spent at measuring points until `now`.
[[nodiscard]] double monthsInService(const core::SensorHistory& history, const core::Instant& now);

}  // namespace halfcell::app
