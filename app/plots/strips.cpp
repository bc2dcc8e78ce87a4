#include "app/plots/strips.h"

#include "app/style/efficiency_rule.h"

#include <algorithm>
#include <array>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

DidPiece::DidPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect) : GrammarPiece(plot, ink, rect, true, u"main"_s) {}

double DidPiece::widthOf(const DidMark& mark, const QFontMetricsF& metrics) const
{
    double width = 0;
    for (const DidStep& step : mark.steps)
        width += metrics.horizontalAdvance(step.letter) + m_ink.px(step.renewed ? 7 : 3);
    return width;
}

void DidPiece::draw(QCPPainter* painter)
{
    const QRectF area = box();
    const QFont font = m_ink.font(TextRole::Axis, Weight::Heavy);
    const QFontMetricsF metrics(font);
    const double lineHeight = metrics.height() - 1;
    const double tick = m_ink.px(5);
    std::array<double, 2> freeFrom{area.left() - 1e6, area.left() - 1e6};
    painter->setFont(font);
    for (const DidMark& mark : m_marks) {
        const double x = xAt(static_cast<double>(mark.utc));
        if (x < area.left() || x > area.right() || mark.steps.empty())
            continue;
        painter->setPen(QPen(m_ink[Role::Edge], 1.0));
        painter->drawLine(QPointF(x, area.bottom() - tick), QPointF(x, area.bottom()));
        const double width = widthOf(mark, metrics);
        const double left = std::clamp(x - width / 2.0, area.left() + 1, std::max(area.left() + 1, area.right() - width));
        const auto line = std::find_if(freeFrom.begin(), freeFrom.end(), [&](double end) { return left >= end + m_ink.px(2); });
        if (line == freeFrom.end())
            continue;
        *line = left + width;
        const double bottom = area.bottom() - tick - static_cast<double>(line - freeFrom.begin()) * lineHeight;
        double at = left;
        for (const DidStep& step : mark.steps) {
            const double own = metrics.horizontalAdvance(step.letter);
            const double pad = m_ink.px(step.renewed ? 3.5 : 1.5);
            const double baseline = bottom - m_ink.px(3);
            if (step.renewed) {
                const double air = m_ink.px(2);
                painter->setPen(QPen(m_ink[Role::Ink1], 1.0));
                painter->drawRect(QRectF(at + 0.5, baseline - metrics.capHeight() - air, own + 2 * pad - 1, metrics.capHeight() + 2 * air));
            }
            painter->setPen(QPen(m_ink[Role::Ink1]));
            painter->drawText(QPointF(at + pad, baseline), step.letter);
            at += own + 2 * pad;
        }
    }
}

WherePiece::WherePiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect) : GrammarPiece(plot, ink, rect, true, u"main"_s) {}

void WherePiece::draw(QCPPainter* painter)
{
    const QRectF area = box();
    const QFont font = m_ink.font(TextRole::Axis);
    const QFontMetricsF metrics(font);
    for (const PlacementBar& bar : m_bars) {
        const double from = std::max(xAt(static_cast<double>(bar.from)), area.left());
        const double to = std::min(xAt(bar.to ? static_cast<double>(*bar.to) : m_until), area.right());
        if (to <= from)
            continue;
        const QRectF body(QPointF(from + 0.5, area.top() + 1.5), QPointF(to - 0.5, area.bottom() - 1.5));
        painter->setPen(QPen(m_ink[Role::Edge], 1.0));
        painter->setBrush(m_ink[Role::Well]);
        painter->drawRect(body);
        painter->setBrush(Qt::NoBrush);
        if (bar.shelf)
            paintHatching(*painter, body, m_ink[Role::Edge], m_ink.px(6));
        const double room = body.width() - m_ink.px(10);
        if (room < metrics.horizontalAdvance(u"MM"_s))
            continue;
        const QString text = metrics.elidedText(bar.place, Qt::ElideMiddle, room);
        const double width = metrics.horizontalAdvance(text);
        const QRectF patch(body.left() + m_ink.px(4), body.top() + 1, width + m_ink.px(4), body.height() - 2);
        painter->fillRect(patch, m_ink[Role::Well]);
        painter->setFont(font);
        painter->setPen(QPen(m_ink[Role::Ink1]));
        painter->drawText(QPointF(patch.left() + m_ink.px(2), patch.center().y() + (metrics.ascent() - metrics.descent()) / 2.0), text);
    }
}

StripNamePiece::StripNamePiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect, const QString& name)
    : GrammarPiece(plot, ink, rect, false, u"main"_s), m_name(name)
{
}

void StripNamePiece::draw(QCPPainter* painter)
{
    const QFont font = m_ink.font(TextRole::Axis);
    const QFontMetricsF metrics(font);
    painter->setFont(font);
    painter->setPen(QPen(m_ink[Role::Ink2]));
    painter->drawText(QPointF(box().left() - metrics.horizontalAdvance(m_name) - m_ink.px(8),
                              box().center().y() + (metrics.ascent() - metrics.descent()) / 2.0),
                      m_name);
}

}  // namespace halfcell::app
