#pragma once

#include "core/overview/overview.h"
#include "core/rounds/plan.h"

#include <QString>

#include <filesystem>

namespace halfcell::app {

/// Writes one sheet per person and day of the plan as PDF: A4 landscape, black ink only, 8 lines a page, boxes to write
/// in, in the order the Bench asks for them, with the last figures, the expected millivolts and the hazards of each line.
/// Returns the number of pages; Errc::CannotWrite if the file cannot be written.
[[nodiscard]] core::Result<int> writeRoundSheets(const core::WeekPlan& plan, const core::Overview& overview,
                                                 const std::filesystem::path& file, const QString& printedBy,
                                                 const std::filesystem::path& book);

}  // namespace halfcell::app
