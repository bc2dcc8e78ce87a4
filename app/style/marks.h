#pragma once

#include "app/style/palette.h"
#include "core/fleet/keys.h"

#include <QPainterPath>
#include <QPixmap>
#include <QPointF>
#include <QRectF>
#include <QString>

#include <optional>
#include <vector>

class QPainter;

/// The drawn marks: five condition signals in the words of NAMUR NE 107, "not enough data", and the three phases of a
/// reading. All are paths on a 16 x 16 grid, drawn at 14, 16, 24 and 48 px; shapes differ without hue, and a mark
/// always stands beside its word.
namespace halfcell::app {

/// A condition signal; absent means not enough data (three hollow dots).
using Condition = std::optional<core::Signal>;

/// One piece of a mark, on the 16 x 16 grid.
struct MarkPiece {
    QPainterPath path;
    std::optional<Role> fill;  ///< absent: hollow
    Role ink = Role::Ink1;
    double width = 1.25;       ///< pen width on the grid
};

/// The drawing of a signal, pieces in drawing order.
[[nodiscard]] const std::vector<MarkPiece>& markOf(Condition condition);
/// Draws a signal into a square (or the largest square in the middle of `box`).
void paintSignal(QPainter& painter, const QRectF& box, Condition condition, const Palette& palette);
/// The same as a picture for views and menus; `size` in logical px.
[[nodiscard]] QPixmap signalPixmap(Condition condition, int size, double devicePixelRatio, const Palette& palette);

/// The word beside the mark: "Failure", "Out of specification", "normal" (lower case: in order), "not enough data".
[[nodiscard]] QString signalWord(Condition condition);
/// The word for speech and the middle of a sentence: "failure", "out of specification".
[[nodiscard]] QString signalSpoken(Condition condition);
/// How urgent a signal is in the order shipped with the rule set: failure 0, function check 1, out of specification 2,
/// maintenance required 3, not enough data 4, normal 5.
[[nodiscard]] int signalOrder(Condition condition);

/// A reading's mark: hollow circle as found, lower half filled after cleaning, full as left. A corrected (superseded)
/// one is crossed by a thin stroke. `ground` fills the hollow part, so that lines end at the mark.
void paintPhase(QPainter& painter, const QPointF& centre, double diameter, core::Phase phase, bool corrected, const QColor& ink,
                const QColor& ground);
/// The same as a picture, with room for the stroke: its side is `phasePixmapSide(diameter)` logical px.
[[nodiscard]] QPixmap phasePixmap(double diameter, core::Phase phase, bool corrected, double devicePixelRatio, const QColor& ink,
                                  const QColor& ground);
[[nodiscard]] int phasePixmapSide(double diameter);
/// "as found", "after cleaning", "as left".
[[nodiscard]] QString phaseWord(core::Phase phase);

}  // namespace halfcell::app
