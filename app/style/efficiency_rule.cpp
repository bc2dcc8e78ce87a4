#include "app/style/efficiency_rule.h"

#include <QLineF>
#include <QList>
#include <QPainter>
#include <QPolygonF>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

void paintHatching(QPainter& painter, const QRectF& area, const QColor& ink, double spacing, double width)
{
    if (area.width() <= 0 || area.height() <= 0)
        return;
    painter.save();
    painter.setClipRect(area, Qt::IntersectClip);
    painter.setRenderHint(QPainter::Antialiasing);
    QPen pen(ink, width);
    pen.setCapStyle(Qt::FlatCap);
    painter.setPen(pen);
    QList<QLineF> strokes;
    // Strokes start on multiples of the spacing of one fixed diagonal, so that neighbouring areas continue each other.
    const double first = std::floor((area.left() + area.top()) / spacing) * spacing;
    for (double sum = first; sum <= area.right() + area.bottom() + spacing; sum += spacing)
        strokes.append(QLineF(sum - area.bottom(), area.bottom(), sum - area.top(), area.top()));
    painter.drawLines(strokes);
    painter.restore();
}

void paintEfficiencyRule(QPainter& painter, const QRectF& box, const EfficiencyRule& rule, const Palette& palette)
{
    const auto x = [&](double percent) {
        const double part = (percent - kEfficiencyRuleLow) / (kEfficiencyRuleHigh - kEfficiencyRuleLow);
        return box.left() + std::clamp(part, 0.0, 1.0) * box.width();
    };
    const double y = std::floor(box.center().y()) + 0.5;
    const double unit = box.width() / kEfficiencyRuleWidth;
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    if (rule.use > kEfficiencyRuleLow)
        paintHatching(painter, QRectF(QPointF(box.left(), y - 4.5 * unit), QPointF(x(rule.use), y + 4.5 * unit)), palette[Role::Edge],
                      4.0 * unit);
    painter.setPen(QPen(palette[Role::Edge], 1.0));
    painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y));
    painter.drawLine(QPointF(x(rule.maintenance), y - 4.5 * unit), QPointF(x(rule.maintenance), y + 4.5 * unit));
    if (rule.value) {
        const double at = x(*rule.value);
        if (rule.expanded) {
            painter.setPen(QPen(palette[Role::Ink1], 1.5));
            painter.drawLine(QPointF(x(*rule.value - *rule.expanded), y), QPointF(x(*rule.value + *rule.expanded), y));
        }
        painter.setPen(Qt::NoPen);
        painter.setBrush(palette[Role::Ink1]);
        const double r = 3.5 * unit;
        if (*rule.value < kEfficiencyRuleLow)
            painter.drawPolygon(QPolygonF({{box.left(), y}, {box.left() + 2 * r, y - r}, {box.left() + 2 * r, y + r}}));
        else if (*rule.value > kEfficiencyRuleHigh)
            painter.drawPolygon(QPolygonF({{box.right(), y}, {box.right() - 2 * r, y - r}, {box.right() - 2 * r, y + r}}));
        else
            painter.drawEllipse(QPointF(at, y), r, r);
    }
    painter.restore();
}

}  // namespace halfcell::app
