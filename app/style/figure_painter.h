#pragma once

#include "app/style/figures.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QRectF>
#include <QStyledItemDelegate>

class QPainter;

namespace halfcell::app {

/// The shape of a column of figures: how many digits stand before and after the decimal sign, and the room kept for
/// the uncertainty. Decimal signs of all rows stand in one line, whatever their own decimals.
struct FigureColumn {
    int integers = 3;              ///< digits before the decimal sign, without the sign
    bool sign = false;             ///< room for a sign
    int decimals = 1;              ///< digits after the decimal sign; 0: no decimal sign
    int uncertaintyIntegers = 0;   ///< digits before the decimal sign of ±U; 0 with no decimals: no room for it
    int uncertaintyDecimals = 0;
    bool operator==(const FigureColumn&) const = default;
};

/// Widths of a column in px: the value's part, and with the uncertainty.
struct FigureExtent {
    double before = 0;       ///< left of the decimal sign
    double after = 0;        ///< decimal sign and decimals
    double uncertainty = 0;  ///< gap and ±U
    [[nodiscard]] double total() const { return before + after + uncertainty; }
};
[[nodiscard]] FigureExtent extentOf(const FigureColumn& column, TextRole role, double scale);

/// Draws figures into the right-hand side of a cell: value (heavy if guilty), ±U in ink3, decimal signs aligned. A
/// reason is drawn in ink3, right-aligned with the value's part and elided in the middle if it is longer than the cell.
void paintFigure(QPainter& painter, const QRectF& cell, const Figure& figure, const FigureColumn& column, TextRole role, double scale,
                 const Palette& palette, const QLocale& locale = QLocale());

/// Draws text whose figures may not share one width: each character of a figure in a cell of the widest. Returns the
/// advance. Where the font's figures are uniform the text is drawn as it is.
double paintFigureText(QPainter& painter, const QPointF& baseline, const QString& text, const QFont& font, const FigureWidths& widths);
/// The advance of such a text.
[[nodiscard]] double figureTextWidth(const QString& text, const QFont& font, const FigureWidths& widths);

/// Item-view delegate for a column of figures. The model gives a Figure under `kFigureRole`; rows without one are drawn
/// as plain text. Selection and focus are drawn as everywhere (raised ground, 4 px ink bar, ring). GUI thread only.
class FigureDelegate : public QStyledItemDelegate {
    Q_OBJECT
public:
    static constexpr int kFigureRole = Qt::UserRole + 100;

    explicit FigureDelegate(FigureColumn column, TextRole role = TextRole::Body, QObject* parent = nullptr);

    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;

private:
    FigureColumn m_column;
    TextRole m_role;
};

}  // namespace halfcell::app
