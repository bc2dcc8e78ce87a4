#pragma once

#include "app/cli/context.h"
#include "core/rules/assess.h"
#include "core/rules/good_enough.h"
#include "core/review/review.h"
#include "core/rounds/plan.h"
#include "core/upkeep/due.h"
#include "core/working/working.h"

#include <span>

/// How values look in JSON answers (the names are the public contract's).
namespace halfcell::app {

[[nodiscard]] Json jsonOf(const std::optional<double>& value);
[[nodiscard]] Json jsonOf(const core::Finding& finding);
[[nodiscard]] Json jsonOf(std::span<const core::Finding> findings);
[[nodiscard]] Json jsonOf(const core::WorkingStep& step);
/// All workings as one list of steps, each with its figure.
[[nodiscard]] Json workingJson(std::span<const core::Working> working);
/// One set of `calc`.
[[nodiscard]] Json setJson(std::string_view id, const core::PhaseFigures& figures, const core::Assessment& assessment,
                           const core::GoodEnough& goodEnough);
/// One sensor of `assess`.
[[nodiscard]] Json sensorJson(const core::Assessment& assessment, std::optional<std::int64_t> nextDue,
                              const core::GoodEnough& goodEnough);
[[nodiscard]] Json jsonOf(const core::DueTask& task);
[[nodiscard]] Json jsonOf(const core::WeekPlan& plan);
[[nodiscard]] Json jsonOf(const core::Review& review);
/// A day number as a date, null when absent.
[[nodiscard]] Json dayJson(std::optional<std::int64_t> day);

}  // namespace halfcell::app
