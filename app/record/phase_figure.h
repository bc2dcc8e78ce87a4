#pragma once

#include "app/style/figures.h"
#include "core/calibration/figures.h"

#include <QString>

#include <string_view>
#include <vector>

/// The computed figures of a phase as screens show them. Keys are those of the working (efficiency_pct, offset_mv,
/// t90_s, span_pct).
namespace halfcell::app {

/// The figures shown of a sensor, in the order of the panels: efficiency or span, offset, response.
[[nodiscard]] const std::vector<std::string_view>& shownFigures(core::SensorKind kind);
/// "Efficiency", "Offset", "Response t90".
[[nodiscard]] QString figureName(std::string_view key);
/// Value with ±, decimals, sign and unit; or the reason why there is none. A phase without readings gives an empty figure.
[[nodiscard]] Figure phaseFigure(const core::PhaseFigures& phase, std::string_view key);

}  // namespace halfcell::app
