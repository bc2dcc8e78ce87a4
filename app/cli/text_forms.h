#pragma once

#include "core/rules/assess.h"
#include "core/review/review.h"
#include "core/rounds/plan.h"
#include "core/upkeep/due.h"

#include <iosfwd>
#include <span>
#include <string>
#include <string_view>

/// How answers look as text for people: 80 columns, units and signs shown, one finding a line with its reason.
namespace halfcell::app {

/// "92.1 +-2.0 %" (k = 2), or the reason why there is none.
[[nodiscard]] std::string withUncertainty(const std::optional<double>& value, const std::optional<double>& u, int decimals,
                                          std::string_view unit, bool sign);
/// Wraps text at 80 columns with a hanging indent.
void writeWrapped(std::ostream& out, std::string_view text, std::size_t firstIndent, std::size_t indent);
/// Columns shown wide enough for UTF-8 text.
[[nodiscard]] std::string padded(std::string_view text, std::size_t width);
void writeFindings(std::ostream& out, std::span<const core::Finding> findings);
void writeSet(std::ostream& out, std::string_view id, const core::PhaseFigures& figures, const core::Assessment& assessment);
void writeWorking(std::ostream& out, std::span<const core::WorkingStep> steps);
void writeDue(std::ostream& out, std::span<const core::DueTask> tasks);
void writePlan(std::ostream& out, const core::WeekPlan& plan);
void writeReview(std::ostream& out, const core::Review& review);
/// The signal word, or "not enough data".
[[nodiscard]] std::string signalWords(const std::optional<core::Signal>& signal);

}  // namespace halfcell::app
