#include "app/plots/sparkline.h"

#include "app/style/figures.h"

#include <QCoreApplication>
#include <QPainter>
#include <QPainterPath>

#include <algorithm>

namespace halfcell::app {

void paintSparkline(QPainter& painter, const QRectF& box, const Sparkline& line, const Palette& palette, bool quiet)
{
    if (line.points.empty() || line.to <= line.from || line.high <= line.low)
        return;
    const double radius = 2.5;
    const QRectF inner = box.adjusted(0, radius, -radius, -radius);
    const auto place = [&](const Sparkline::Point& p) {
        const double x = double(p.utc - line.from) / double(line.to - line.from);
        const double y = (p.value - line.low) / (line.high - line.low);
        return QPointF(inner.left() + std::clamp(x, 0.0, 1.0) * inner.width(), inner.bottom() - std::clamp(y, 0.0, 1.0) * inner.height());
    };
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    const QColor ink = palette[quiet ? Role::Ink2 : Role::Ink1];
    painter.setPen(QPen(ink, 1.0));
    painter.setBrush(Qt::NoBrush);
    QPainterPath path;
    bool drawing = false;
    for (const Sparkline::Point& p : line.points) {
        if (p.utc < line.from)
            continue;
        if (drawing && p.joined)
            path.lineTo(place(p));
        else
            path.moveTo(place(p));
        drawing = true;
    }
    painter.drawPath(path);
    painter.setPen(Qt::NoPen);
    painter.setBrush(ink);
    painter.drawEllipse(place(line.points.back()), radius, radius);
    painter.restore();
}

QString sparklineWords(const Sparkline& line, int decimals)
{
    if (line.points.empty())
        return QCoreApplication::translate("halfcell", "no as-left values");
    const auto value = [&](const Sparkline::Point& p) { return figureText(p.value, decimals, Sign::WhenNegative); };
    if (line.points.size() == 1)
        return QCoreApplication::translate("halfcell", "one as-left value, %1").arg(value(line.points.front()));
    return QCoreApplication::translate("halfcell", "%1 as-left values, %2 to %3")
        .arg(QString::number(line.points.size()), value(line.points.front()), value(line.points.back()));
}

}  // namespace halfcell::app
