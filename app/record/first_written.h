#pragma once

#include "app/presenters/shop.h"

#include <memory>
#include <string_view>
#include <vector>

namespace halfcell::app {

/// The figures as they were before corrections restated them: what the crossed marks of the life line show. Holds its own
/// plant; immutable; shared.
struct FirstWritten {
    std::unique_ptr<const core::Plant> plant;
    std::vector<core::VisitFigures> figures;   ///< oldest first, with working

    /// The phase of a visit as first written; nullptr if the visit was not corrected or had no such phase.
    [[nodiscard]] const core::PhaseFigures* phase(std::string_view visit, core::Phase phase) const;
};

/// nullptr when nothing was corrected. Takes as long as the dossier itself: call it off the GUI thread.
[[nodiscard]] std::shared_ptr<const FirstWritten> firstWritten(const Dossier& dossier);

}  // namespace halfcell::app
