#pragma once

#include <QFont>

class QWidget;

/// Type: one family for words and figures, one for serials and lots, seven sizes, two weights.
///
/// Lato is used because its figures, plus, minus, plus-minus and figure space have one width in both weights, so that
/// columns hold without font features. Whether that is so on this machine is measured (`measureFigures`); where it is
/// not, figures are set one by one in a cell of the widest.
namespace halfcell::app {

enum class TextRole {
    Serial,        ///< 24 px, monospaced: the serial at the head of a page
    KeyFigure,     ///< 22 px
    Field,         ///< 16 px
    Finding,       ///< 15 px
    Body,          ///< 14 px
    Hint,          ///< 13 px
    Axis,          ///< 12 px, nothing is smaller
    InlineSerial   ///< 13 px monospaced: serials and lots inside rows (0/O and 1/l/I differ)
};

enum class Weight { Regular, Heavy };

/// Size in px at scale 1.
[[nodiscard]] int pixelSize(TextRole role);
/// The font of a role; `scale` is the user's own (1.0 to 2.0), apart from the screen's.
[[nodiscard]] QFont fontOf(TextRole role, Weight weight = Weight::Regular, double scale = 1.0);

/// Widths of what figures are made of, in px.
struct FigureWidths {
    double cell = 0;      ///< the widest of 0-9 + U+2212 U+00B1 U+2007
    double point = 0;     ///< the decimal sign
    bool uniform = true;  ///< all of them equal: text can be drawn as it is
    bool operator==(const FigureWidths&) const = default;
};
[[nodiscard]] FigureWidths measureFigures(const QFont& font);

/// Gives a widget the font of a role, now and whenever the scale changes.
void setTextRole(QWidget* widget, TextRole role, Weight weight = Weight::Regular);
/// Sets the font of a widget that has been given a role; called by the style when it takes a widget on.
void applyTextRole(QWidget* widget, double scale);

}  // namespace halfcell::app
