#pragma once

#include "app/style/type.h"

namespace halfcell::app {

/// The font of a role for PDF and SVG. Ligatures are off: a joined "ti" or "ff" has no letters of its own in the file,
/// so the word could not be found or copied.
[[nodiscard]] inline QFont paperFontOf(TextRole role, Weight weight = Weight::Regular, double scale = 1.0)
{
    QFont font = fontOf(role, weight, scale);
    font.setStyleStrategy(static_cast<QFont::StyleStrategy>(font.styleStrategy() | QFont::PreferNoShaping));
    return font;
}

}  // namespace halfcell::app
