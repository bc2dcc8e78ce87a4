#include "app/register/register_delegate.h"

#include "app/style/figure_painter.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QPainter>

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr FigureColumn kEfficiencyColumn{.integers = 3, .decimals = 1, .uncertaintyIntegers = 2, .uncertaintyDecimals = 1};
constexpr FigureColumn kOffsetColumn{.integers = 3, .sign = true, .decimals = 1};
constexpr FigureColumn kSecondsColumn{.integers = 3, .decimals = 0};
constexpr double kPadding = 8.0;
constexpr double kRuleHeight = 12.0;

void drawWords(QPainter& painter, const QRectF& box, const QString& text, const QFont& font, const QColor& ink, Qt::Alignment side)
{
    painter.setFont(font);
    painter.setPen(ink);
    const QFontMetricsF metrics(font);
    painter.drawText(box, static_cast<int>(side | Qt::AlignVCenter), metrics.elidedText(text, Qt::ElideMiddle, box.width()));
}

}  // namespace

RegisterDelegate::RegisterDelegate(const RegisterModel& model, QObject* parent) : QStyledItemDelegate(parent), m_model(model) {}

int RegisterDelegate::widthOf(RegisterModel::Column column)
{
    switch (column) {
    case RegisterModel::Signal: return 180;
    case RegisterModel::Point: return 76;
    case RegisterModel::Sensor: return 78;
    case RegisterModel::Kind: return 48;
    case RegisterModel::Efficiency: return 184;
    case RegisterModel::Offset: return 76;
    case RegisterModel::T90: return 52;
    case RegisterModel::AsLeft: return 96;
    case RegisterModel::WhatNext: return 120;
    case RegisterModel::Due: return 88;
    case RegisterModel::PlaceColumn: return 156;
    case RegisterModel::Class: return 92;
    default: return 52;
    }
}

void RegisterDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    const Metrics metrics = Metrics::of(option.widget);
    const Palette palette = Palette::of(option.palette);
    const double pad = kPadding * metrics.scale;
    const QRectF cell = option.rect;
    const RegisterRow* row = m_model.rowAt(index.row());
    painter->save();
    if (row == nullptr) {
        painter->fillRect(option.rect, palette[Role::Raised]);
        drawWords(*painter, cell.adjusted(pad, 0, -pad, 0), index.data().toString(), fontOf(TextRole::Hint, Weight::Heavy, metrics.scale),
                  palette[Role::Ink1], Qt::AlignLeft);
        painter->restore();
        return;
    }
    paintItemGround(*painter, option, index);
    painter->setPen(QPen(palette[Role::Rule], 1.0));
    painter->drawLine(QPointF(cell.left(), cell.bottom() + 0.5), QPointF(cell.right() + 1, cell.bottom() + 0.5));
    const QColor ink = palette[row->quiet() ? Role::Ink2 : Role::Ink1];
    const QFont body = fontOf(TextRole::Body, Weight::Regular, metrics.scale);
    const QRectF inner = cell.adjusted(pad, 0, -pad, 0);
    const bool sensor = row->kind == RowKind::Sensor;
    switch (index.column()) {
    case RegisterModel::Signal: {
        const double side = metrics.mark();
        const QRectF mark(inner.left() + pad / 2.0, cell.center().y() - side / 2.0, side, side);
        if (sensor)
            paintSignal(*painter, mark, row->condition, palette);
        drawWords(*painter, inner.adjusted(pad / 2.0 + side + pad, 0, 0, 0), row->signalWords, body, ink, Qt::AlignLeft);
        break;
    }
    case RegisterModel::Sensor:
        drawWords(*painter, inner, index.data().toString(), sensor ? fontOf(TextRole::InlineSerial, Weight::Regular, metrics.scale) : body,
                  sensor ? ink : palette[Role::Ink1], Qt::AlignLeft);
        break;
    case RegisterModel::Efficiency: {
        if (sensor && !row->efficiency.value) {
            drawWords(*painter, inner, row->efficiency.reason, body, palette[Role::Ink3], Qt::AlignLeft);
            break;
        }
        const double room = kEfficiencyRuleWidth * metrics.scale;
        // A span has its word before it and no rule behind it.
        const double shift = row->efficiency.lead.isEmpty() ? 0.0 : 3.0 * pad;
        paintFigure(*painter, cell.adjusted(0, 0, shift - (room + pad), 0), row->efficiency, kEfficiencyColumn, TextRole::Body,
                    metrics.scale, palette);
        if (row->rule)
            paintEfficiencyRule(
                *painter,
                QRectF(inner.right() - room, cell.center().y() - kRuleHeight * metrics.scale / 2.0, room, kRuleHeight * metrics.scale),
                *row->rule, palette);
        break;
    }
    case RegisterModel::Offset: paintFigure(*painter, cell, row->offset, kOffsetColumn, TextRole::Body, metrics.scale, palette); break;
    case RegisterModel::T90: paintFigure(*painter, cell, row->t90, kSecondsColumn, TextRole::Body, metrics.scale, palette); break;
    case RegisterModel::AsLeft:
        paintSparkline(*painter, inner.adjusted(0, 4 * metrics.scale, 0, -4 * metrics.scale), row->spark, palette, row->quiet());
        break;
    case RegisterModel::Due: drawWords(*painter, inner, index.data().toString(), body, ink, Qt::AlignRight); break;
    default: drawWords(*painter, inner, index.data().toString(), body, ink, Qt::AlignLeft); break;
    }
    painter->restore();
}

QSize RegisterDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    const Metrics metrics = Metrics::of(option.widget);
    return {metrics.px(widthOf(static_cast<RegisterModel::Column>(index.column()))), metrics.row()};
}

void PlaceDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    const Metrics metrics = Metrics::of(option.widget);
    const Palette palette = Palette::of(option.palette);
    // The ground spans the column's whole width, indentation included.
    QStyleOptionViewItem whole = option;
    whole.rect.setLeft(0);
    paintItemGround(*painter, whole, index);
    painter->save();
    const QRectF row = whole.rect;
    const double gutter = metrics.px(36);
    if (const int need = index.data(PlacesModel::kNeedRole).toInt(); need > 0)
        drawWords(*painter, QRectF(row.left() + metrics.px(4), row.top(), gutter - metrics.px(12), row.height()), QString::number(need),
                  fontOf(TextRole::Body, Weight::Heavy, metrics.scale), palette[Role::Ink1], Qt::AlignRight);
    const double indent = index.parent().isValid() ? metrics.px(14) : 0.0;
    const double count = metrics.px(40);
    const bool chosen = option.state & QStyle::State_Selected;
    drawWords(*painter, QRectF(row.left() + gutter + indent, row.top(), row.width() - gutter - indent - count, row.height()),
              index.data().toString(), fontOf(TextRole::Body, chosen ? Weight::Heavy : Weight::Regular, metrics.scale), palette[Role::Ink1],
              Qt::AlignLeft);
    drawWords(*painter, QRectF(row.right() - count, row.top(), count - metrics.px(8), row.height()),
              countText(index.data(PlacesModel::kCountRole).toInt()), fontOf(TextRole::Body, Weight::Regular, metrics.scale),
              palette[Role::Ink3], Qt::AlignRight);
    painter->restore();
}

QSize PlaceDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    Q_UNUSED(index);
    const Metrics metrics = Metrics::of(option.widget);
    return {metrics.leftColumn(), metrics.row()};
}

}  // namespace halfcell::app
