#include "app/style/figure_painter.h"

#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QFontMetricsF>
#include <QPainter>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr double kPadding = 8.0;        // right and left of a cell, two steps of the grid
constexpr double kUncertaintyGap = 8.0;

bool isFigureCharacter(QChar c)
{
    return c.isDigit() || c == u'+' || c == QChar(0x2212) || c == QChar(0x00B1) || c == QChar(0x2007);
}

/// Position of the decimal sign of the locale in a figure's text, or its length.
qsizetype pointAt(const QString& text, const QLocale& locale)
{
    const qsizetype at = text.indexOf(locale.decimalPoint());
    return at < 0 ? text.size() : at;
}

}  // namespace

double figureTextWidth(const QString& text, const QFont& font, const FigureWidths& widths)
{
    const QFontMetricsF metrics(font);
    if (widths.uniform)
        return metrics.horizontalAdvance(text);
    double width = 0;
    for (const QChar c : text)
        width += isFigureCharacter(c) ? widths.cell : metrics.horizontalAdvance(c);
    return width;
}

double paintFigureText(QPainter& painter, const QPointF& baseline, const QString& text, const QFont& font, const FigureWidths& widths)
{
    painter.setFont(font);
    if (widths.uniform) {
        painter.drawText(baseline, text);
        return QFontMetricsF(font).horizontalAdvance(text);
    }
    const QFontMetricsF metrics(font);
    double x = baseline.x();
    for (const QChar c : text) {
        const double own = metrics.horizontalAdvance(c);
        const double cell = isFigureCharacter(c) ? widths.cell : own;
        painter.drawText(QPointF(x + (cell - own) / 2.0, baseline.y()), QString(c));
        x += cell;
    }
    return x - baseline.x();
}

FigureExtent extentOf(const FigureColumn& column, TextRole role, double scale)
{
    // The heavy weight is the wider one where they differ.
    const FigureWidths heavy = measureFigures(fontOf(role, Weight::Heavy, scale));
    const FigureWidths plain = measureFigures(fontOf(role, Weight::Regular, scale));
    const double cell = std::max(heavy.cell, plain.cell);
    const double point = std::max(heavy.point, plain.point);
    FigureExtent extent;
    extent.before = cell * (column.integers + (column.sign ? 1 : 0));
    extent.after = column.decimals > 0 ? point + cell * column.decimals : 0.0;
    if (column.uncertaintyIntegers > 0)
        extent.uncertainty = kUncertaintyGap * scale + cell * (1 + column.uncertaintyIntegers)
                             + (column.uncertaintyDecimals > 0 ? point + cell * column.uncertaintyDecimals : 0.0);
    return extent;
}

void paintFigure(QPainter& painter, const QRectF& cell, const Figure& figure, const FigureColumn& column, TextRole role, double scale,
                 const Palette& palette, const QLocale& locale)
{
    const QFont font = fontOf(role, figure.guilty ? Weight::Heavy : Weight::Regular, scale);
    const QFontMetricsF metrics(font);
    const FigureExtent extent = extentOf(column, role, scale);
    const double right = cell.right() - kPadding * scale;
    const double baseline = cell.center().y() + (metrics.ascent() - metrics.descent()) / 2.0;
    painter.save();
    if (!figure.value) {
        const double valueRight = right - extent.uncertainty;
        const double room = valueRight - cell.left() - kPadding * scale;
        painter.setPen(palette[Role::Ink3]);
        painter.setFont(font);
        QString reason = figure.reason;
        // A reason may use the uncertainty's room: there is no uncertainty beside it.
        const double whole = right - cell.left() - kPadding * scale;
        const bool fits = metrics.horizontalAdvance(reason) <= room;
        reason = metrics.elidedText(reason, Qt::ElideMiddle, fits ? room : whole);
        painter.drawText(QPointF((fits ? valueRight : right) - metrics.horizontalAdvance(reason), baseline), reason);
        painter.restore();
        return;
    }
    const FigureWidths widths = measureFigures(font);
    const QString text = figureText(*figure.value, figure.decimals, figure.sign, locale);
    const double pointX = right - extent.uncertainty - extent.after;
    const double before = figureTextWidth(text.left(pointAt(text, locale)), font, widths);
    painter.setPen(palette[figure.quiet && !figure.guilty ? Role::Ink2 : Role::Ink1]);
    paintFigureText(painter, QPointF(pointX - before, baseline), text, font, widths);
    if (!figure.lead.isEmpty()) {
        const QString lead = figure.lead + u' ';
        painter.drawText(QPointF(pointX - before - metrics.horizontalAdvance(lead), baseline), lead);
    }
    if (figure.expanded && extent.uncertainty > 0) {
        const QFont plain = fontOf(role, Weight::Regular, scale);
        const FigureWidths plainWidths = measureFigures(plain);
        const QString spread = uncertaintyText(*figure.expanded, figure.decimals, locale);
        const double uncertaintyPoint =
            right - (column.uncertaintyDecimals > 0 ? plainWidths.point + plainWidths.cell * column.uncertaintyDecimals : 0.0);
        const double width = figureTextWidth(spread.left(pointAt(spread, locale)), plain, plainWidths);
        painter.setPen(palette[Role::Ink3]);
        paintFigureText(painter, QPointF(uncertaintyPoint - width, baseline), spread, plain, plainWidths);
    }
    painter.restore();
}

FigureDelegate::FigureDelegate(FigureColumn column, TextRole role, QObject* parent)
    : QStyledItemDelegate(parent), m_column(column), m_role(role)
{
}

void FigureDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    const QVariant value = index.data(kFigureRole);
    if (!value.canConvert<Figure>()) {
        QStyledItemDelegate::paint(painter, option, index);
        return;
    }
    paintItemGround(*painter, option, index);
    paintFigure(*painter, option.rect, value.value<Figure>(), m_column, m_role, Metrics::of(option.widget).scale,
                Palette::of(option.palette), QLocale());
}

QSize FigureDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    const Metrics metrics = Metrics::of(option.widget);
    double width = extentOf(m_column, m_role, metrics.scale).total();
    if (const QVariant value = index.data(kFigureRole); value.canConvert<Figure>() && !value.value<Figure>().value)
        width = std::max(width, QFontMetricsF(fontOf(m_role, Weight::Regular, metrics.scale)).horizontalAdvance(value.value<Figure>().reason));
    return {static_cast<int>(std::ceil(width + 2.0 * kPadding * metrics.scale)), metrics.row()};
}

}  // namespace halfcell::app
