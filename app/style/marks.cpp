#include "app/style/marks.h"

#include <QCoreApplication>
#include <QPainter>
#include <QPixmapCache>

#include <algorithm>
#include <array>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr double kGrid = 16.0;

QPainterPath line(double x1, double y1, double x2, double y2)
{
    QPainterPath path(QPointF(x1, y1));
    path.lineTo(x2, y2);
    return path;
}

QPainterPath polygon(std::initializer_list<QPointF> points)
{
    QPainterPath path;
    path.addPolygon(QPolygonF(QList<QPointF>(points)));
    path.closeSubpath();
    return path;
}

QPainterPath circle(QPointF centre, double radius)
{
    QPainterPath path;
    path.addEllipse(centre, radius, radius);
    return path;
}

std::vector<MarkPiece> normal()
{
    return {{line(3, 8, 13, 8), std::nullopt, Role::Ink3, 1.5}};
}

std::vector<MarkPiece> maintenanceRequired()
{
    QPainterPath half(QPointF(3, 5.5));
    half.arcTo(QRectF(3, 0.5, 10, 10), 180, 180);  // counter-clockwise through the bottom
    half.closeSubpath();
    return {{half, Role::Maintenance, Role::Ink1, 1.25}, {line(1, 5.5, 15, 5.5), std::nullopt, Role::Ink1, 2.0}};
}

std::vector<MarkPiece> outOfSpecification()
{
    return {{line(1, 9.5, 15, 9.5), std::nullopt, Role::Ink1, 1.25},
            {line(1, 14, 15, 14), std::nullopt, Role::Ink1, 1.25},
            {circle({8, 4.2}, 3.3), Role::Spec, Role::Ink1, 1.25}};
}

std::vector<MarkPiece> functionCheck()
{
    QPainterPath gap;
    gap.addRect(QRectF(5.5, 2.25, 5, 11.5));
    return {{gap, Role::Check, Role::Check, 0.0},
            {line(0.5, 8, 5, 8), std::nullopt, Role::Ink1, 1.5},
            {line(11, 8, 15.5, 8), std::nullopt, Role::Ink1, 1.5},
            {line(5.5, 1.5, 5.5, 14.5), std::nullopt, Role::Ink1, 1.5},
            {line(10.5, 1.5, 10.5, 14.5), std::nullopt, Role::Ink1, 1.5}};
}

std::vector<MarkPiece> failureMark()
{
    return {{polygon({{1, 1}, {8.6, 1}, {5.4, 13}, {1, 13}}), Role::Failure, Role::Ink1, 1.25},
            {polygon({{11, 3}, {15, 3}, {15, 15}, {7.8, 15}}), Role::Failure, Role::Ink1, 1.25}};
}

std::vector<MarkPiece> notEnoughData()
{
    std::vector<MarkPiece> pieces;
    for (const double x : {3.0, 8.0, 13.0})
        pieces.push_back({circle({x, 8}, 1.4), std::nullopt, Role::Ink3, 0.8});
    return pieces;
}

std::size_t indexOf(Condition condition)
{
    return condition ? static_cast<std::size_t>(*condition) : 5U;
}

}  // namespace

const std::vector<MarkPiece>& markOf(Condition condition)
{
    static const std::array<std::vector<MarkPiece>, 6> kMarks{normal(),        maintenanceRequired(), outOfSpecification(),
                                                              functionCheck(), failureMark(),         notEnoughData()};
    return kMarks[indexOf(condition)];
}

void paintSignal(QPainter& painter, const QRectF& box, Condition condition, const Palette& palette)
{
    const double side = std::min(box.width(), box.height());
    const double unit = side / kGrid;
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.translate(box.center().x() - side / 2.0, box.center().y() - side / 2.0);
    painter.scale(unit, unit);
    for (const MarkPiece& piece : markOf(condition)) {
        // Below 16 px the pen keeps its width in px, so that outlines do not fade.
        QPen pen(palette[piece.ink], piece.width / std::min(unit, 1.0));
        pen.setCapStyle(Qt::FlatCap);
        pen.setJoinStyle(Qt::MiterJoin);
        painter.setPen(piece.width > 0.0 ? pen : QPen(Qt::NoPen));
        painter.setBrush(piece.fill ? QBrush(palette[*piece.fill]) : QBrush(Qt::NoBrush));
        painter.drawPath(piece.path);
    }
    painter.restore();
}

QPixmap signalPixmap(Condition condition, int size, double devicePixelRatio, const Palette& palette)
{
    const QString key = u"halfcell-signal-%1-%2-%3-%4-%5"_s.arg(indexOf(condition))
                            .arg(size)
                            .arg(devicePixelRatio)
                            .arg(palette[Role::Ink1].rgba())
                            .arg(palette[Role::Maintenance].rgba());
    QPixmap pixmap;
    if (QPixmapCache::find(key, &pixmap))
        return pixmap;
    const int device = static_cast<int>(std::ceil(size * devicePixelRatio));
    pixmap = QPixmap(device, device);
    pixmap.setDevicePixelRatio(devicePixelRatio);
    pixmap.fill(Qt::transparent);
    QPainter painter(&pixmap);
    paintSignal(painter, QRectF(0, 0, size, size), condition, palette);
    painter.end();
    QPixmapCache::insert(key, pixmap);
    return pixmap;
}

QString signalWord(Condition condition)
{
    if (!condition)
        return QCoreApplication::translate("halfcell", "not enough data");
    switch (*condition) {
    case core::Signal::Normal: return QCoreApplication::translate("halfcell", "normal");
    case core::Signal::MaintenanceRequired: return QCoreApplication::translate("halfcell", "Maintenance required");
    case core::Signal::OutOfSpecification: return QCoreApplication::translate("halfcell", "Out of specification");
    case core::Signal::FunctionCheck: return QCoreApplication::translate("halfcell", "Function check");
    case core::Signal::Failure: return QCoreApplication::translate("halfcell", "Failure");
    }
    return {};
}

QString signalSpoken(Condition condition)
{
    QString word = signalWord(condition);
    if (!word.isEmpty())
        word[0] = word.at(0).toLower();
    return word;
}

int signalOrder(Condition condition)
{
    if (!condition)
        return 4;
    switch (*condition) {
    case core::Signal::Failure: return 0;
    case core::Signal::FunctionCheck: return 1;
    case core::Signal::OutOfSpecification: return 2;
    case core::Signal::MaintenanceRequired: return 3;
    case core::Signal::Normal: return 5;
    }
    return 5;
}

void paintPhase(QPainter& painter, const QPointF& centre, double diameter, core::Phase phase, bool corrected, const QColor& ink,
                const QColor& ground)
{
    const double width = std::max(1.25, diameter * 0.17);
    const double radius = (diameter - width) / 2.0;
    const QRectF box(centre.x() - radius, centre.y() - radius, 2.0 * radius, 2.0 * radius);
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(QPen(ink, width));
    painter.setBrush(phase == core::Phase::AsLeft ? ink : ground);
    painter.drawEllipse(box);
    if (phase == core::Phase::AfterClean) {
        painter.setPen(Qt::NoPen);
        painter.setBrush(ink);
        painter.drawChord(box, 180 * 16, 180 * 16);
    }
    if (corrected) {
        const double reach = diameter / 2.0 + 3.0;
        const double d = reach * std::sqrt(0.5);
        painter.setPen(QPen(ground, 3.0));  // a gap on both sides, so that the stroke is seen on a full mark too
        painter.drawLine(centre + QPointF(-d, d), centre + QPointF(d, -d));
        painter.setPen(QPen(ink, 1.0));
        painter.drawLine(centre + QPointF(-d, d), centre + QPointF(d, -d));
    }
    painter.restore();
}

int phasePixmapSide(double diameter)
{
    return static_cast<int>(std::ceil(diameter + 8.0));
}

QPixmap phasePixmap(double diameter, core::Phase phase, bool corrected, double devicePixelRatio, const QColor& ink,
                    const QColor& ground)
{
    const int side = phasePixmapSide(diameter);
    const int device = static_cast<int>(std::ceil(side * devicePixelRatio));
    QPixmap pixmap(device, device);
    pixmap.setDevicePixelRatio(devicePixelRatio);
    pixmap.fill(Qt::transparent);
    QPainter painter(&pixmap);
    paintPhase(painter, QPointF(side / 2.0, side / 2.0), diameter, phase, corrected, ink, ground);
    return pixmap;
}

QString phaseWord(core::Phase phase)
{
    switch (phase) {
    case core::Phase::AsFound: return QCoreApplication::translate("halfcell", "as found");
    case core::Phase::AfterClean: return QCoreApplication::translate("halfcell", "after cleaning");
    case core::Phase::AsLeft: return QCoreApplication::translate("halfcell", "as left");
    }
    return {};
}

}  // namespace halfcell::app
