#pragma once

#include "core/working/working.h"

#include <QString>

#include <optional>
#include <vector>

/// The working of one figure, ready to show: what stands in the panel, what is copied, what a reader hears. The same
/// steps as on the command line.
namespace halfcell::app {

struct WorkingPage {
    QString figure = {};                               ///< key of the figure
    QString title = {};                                ///< "Efficiency, as found, 2 Mar 2026: 92.1 ±2.0 %"
    QString stamp = {};                                ///< "engine 1.0, rules default@1"
    QString missing = {};                              ///< why there are no steps ("no millivolts were recorded")
    std::vector<core::WorkingStep> steps = {};
    QString earlierTitle = {};                         ///< what it was before a correction restated it
    std::vector<core::WorkingStep> earlier = {};
    std::vector<core::WorkingStep> judged = {};        ///< the limits it was compared with
    QString visit = {};                                ///< key of the visit the readings belong to

    /// A figure may be shown only with steps, or with a reason why there are none.
    [[nodiscard]] bool complete() const { return !steps.empty() || !missing.isEmpty(); }
    bool operator==(const WorkingPage&) const = default;
};

/// A number of a step: five digits that count, or all of them; true minus, the locale's decimal sign.
[[nodiscard]] QString workingNumber(double value, bool full);
/// "(−13 − −176) / …" is not attempted: an input reads "E1 = −13 mV, pH 7.00".
[[nodiscard]] QString inputWords(const core::WorkingInput& input, bool full);
/// "= 0.92101 (reading, pH 7.00)" or the text of a step that has no number.
[[nodiscard]] QString resultWords(const core::WorkingStep& step, bool full);
/// "table of the lot (record)".
[[nodiscard]] QString sourceWords(const core::WorkingStep& step);

/// For the clipboard: ASCII minus, one step a paragraph.
[[nodiscard]] QString plainWorking(const WorkingPage& page, bool full);

struct WorkingInk {
    QString ink1, ink2, ink3, rule;   ///< colour names
    int body = 14, hint = 13;         ///< px
};
/// For the panel. Inputs that are readings are links "reading:as_found/ph7.00/1".
[[nodiscard]] QString workingHtml(const WorkingPage& page, bool full, const WorkingInk& ink);

}  // namespace halfcell::app
