#include "app/plots/grammar.h"

#include "app/style/efficiency_rule.h"
#include "app/style/marks.h"

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

void dressAxis(QCPAxis& axis, const PlotInk& ink)
{
    const QPen pen(ink[Role::Edge], 1.0);
    axis.setBasePen(pen);
    axis.setTickPen(pen);
    axis.setSubTickPen(pen);
    axis.setTickLabelColor(ink[Role::Ink2]);
    axis.setTickLabelFont(ink.font(TextRole::Axis));
    axis.setLabelColor(ink[Role::Ink2]);
    axis.setLabelFont(ink.font(TextRole::Axis));
    axis.setTickLengthIn(0);
    axis.setTickLengthOut(static_cast<int>(ink.px(4)));
    axis.setTickLabelPadding(static_cast<int>(ink.px(4)));
    axis.setSubTicks(false);
    // On paper all ink is black: a grid could not be told from limits there.
    axis.grid()->setPen(ink.palette.scheme() == Scheme::Paper ? QPen(Qt::NoPen) : QPen(ink[Role::Rule], 1.0));
    axis.grid()->setSubGridVisible(false);
    axis.grid()->setZeroLinePen(Qt::NoPen);
    axis.grid()->setAntialiased(false);
}

QPen flatPen(const QColor& color, double width, Qt::PenStyle style = Qt::SolidLine)
{
    QPen pen(color, width, style);
    pen.setCapStyle(Qt::FlatCap);
    return pen;
}

}  // namespace

void dressCanvas(QCustomPlot& plot, const PlotInk& ink)
{
    plot.setBackground(QBrush(ink[ink.ground]));
    for (QCPAxisRect* rect : plot.axisRects())
        dressAxisRect(*rect, ink);
}

void dressAxisRect(QCPAxisRect& rect, const PlotInk& ink)
{
    rect.setBackground(QBrush(ink[Role::Well]));
    for (QCPAxis* axis : rect.axes())
        dressAxis(*axis, ink);
}

QCPAxisRect* addPanel(QCustomPlot& plot, int row)
{
    auto* rect = new QCPAxisRect(&plot, true);
    plot.plotLayout()->addElement(row, 0, rect);
    rect->setLayer(u"background"_s);
    for (QCPAxis* axis : rect->axes()) {
        axis->setLayer(u"axes"_s);
        axis->grid()->setLayer(u"grid"_s);
        axis->setVisible(axis->axisType() == QCPAxis::atBottom || axis->axisType() == QCPAxis::atLeft);
    }
    return rect;
}

GrammarPiece::GrammarPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect, bool clipped, const QString& layer)
    : QCPLayerable(plot, layer, rect), m_ink(ink), m_rect(rect), m_clipped(clipped)
{
    // A piece goes with its panel.
    if (rect != nullptr)
        setParent(rect);
}

QRect GrammarPiece::clipRect() const
{
    return m_clipped && m_rect != nullptr ? m_rect->rect() : mParentPlot->viewport();
}

LimitPiece::LimitPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect) : GrammarPiece(plot, ink, rect, false, u"grid"_s) {}

double LimitPiece::labelWidth() const
{
    const QFontMetricsF metrics(m_ink.font(TextRole::Axis));
    double width = 0;
    for (const Line& line : m_lines)
        width = std::max(width, metrics.horizontalAdvance(line.label));
    return width;
}

void LimitPiece::draw(QCPPainter* painter)
{
    const QRectF area = box();
    const QFont font = m_ink.font(TextRole::Axis);
    const QFontMetricsF metrics(font);
    double lowestFree = area.bottom() + metrics.height() / 2.0;
    // From the bottom up, so that labels of near limits are pushed apart.
    std::vector<const Line*> order;
    for (const Line& line : m_lines)
        order.push_back(&line);
    std::sort(order.begin(), order.end(), [](const Line* a, const Line* b) { return a->at < b->at; });
    for (const Line* line : order) {
        const double y = yAt(line->at);
        const double edge = std::clamp(y, area.top(), area.bottom());
        if (line->hatched) {
            const QRectF bad = line->bad == BadSide::Below ? QRectF(QPointF(area.left(), edge), area.bottomRight())
                                                           : QRectF(area.topLeft(), QPointF(area.right(), edge));
            paintHatching(*painter, bad, m_ink[Role::Edge], m_ink.px(7));
        }
        if (y < area.top() || y > area.bottom())
            continue;
        painter->setPen(flatPen(m_ink[Role::Ink2], m_ink.px(1.0), line->kind == LimitKind::Maintenance ? Qt::DashLine : Qt::SolidLine));
        painter->drawLine(QPointF(area.left(), y), QPointF(area.right(), y));
        if (line->label.isEmpty())
            continue;
        const double half = metrics.height() / 2.0;
        const double middle = std::min(y, lowestFree - half);
        lowestFree = middle - half;
        painter->setFont(font);
        painter->setPen(QPen(m_ink[Role::Ink2]));
        painter->drawText(QPointF(area.right() + m_ink.px(6), middle + (metrics.ascent() - metrics.descent()) / 2.0), line->label);
    }
}

FanPiece::FanPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect) : GrammarPiece(plot, ink, rect, true, u"main"_s) {}

void FanPiece::draw(QCPPainter* painter)
{
    if (m_points.size() < 2)
        return;
    const auto band = [&](double Point::*low, double Point::*high) {
        QPolygonF shape;
        for (const Point& p : m_points)
            shape.append(QPointF(xAt(p.key), yAt(p.*high)));
        for (auto p = m_points.rbegin(); p != m_points.rend(); ++p)
            shape.append(QPointF(xAt(p->key), yAt((*p).*low)));
        return shape;
    };
    const QPen outline(m_ink[Role::Edge], 1.0);
    painter->setPen(outline);
    painter->setBrush(m_ink[Role::Fan80]);
    painter->drawPolygon(band(&Point::p10, &Point::p90));
    painter->setBrush(m_ink[Role::Fan50]);
    painter->drawPolygon(band(&Point::p25, &Point::p75));
    painter->setBrush(Qt::NoBrush);
    QPolygonF median;
    for (const Point& p : m_points)
        median.append(QPointF(xAt(p.key), yAt(p.p50)));
    painter->setPen(flatPen(m_ink[Role::Ink1], 1.0, Qt::DashLine));
    painter->drawPolyline(median);
}

MarksPiece::MarksPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect) : GrammarPiece(plot, ink, rect, false, u"main"_s) {}

void MarksPiece::draw(QCPPainter* painter)
{
    painter->setClipRect(box().adjusted(-m_ink.px(6), -m_ink.px(2), m_ink.px(6), m_ink.px(2)));
    if (m_ghost.size() > 1) {
        painter->setPen(flatPen(m_ink[Role::Ink3], 1.0, Qt::DotLine));
        for (std::size_t i = 1; i < m_ghost.size(); ++i)
            painter->drawLine(QPointF(xAt(m_ghost[i - 1].x()), yAt(m_ghost[i - 1].y())), QPointF(xAt(m_ghost[i].x()), yAt(m_ghost[i].y())));
    }
    painter->setPen(flatPen(m_ink[Role::Ink1], 1.0));
    const Mark* last = nullptr;
    for (const Mark& mark : m_marks) {
        if (mark.phase != core::Phase::AsLeft || mark.superseded || mark.leftOut)
            continue;
        if (last != nullptr && mark.joined)
            painter->drawLine(QPointF(xAt(last->key), yAt(last->value)), QPointF(xAt(mark.key), yAt(mark.value)));
        last = &mark;
    }
    drawWhiskers(painter);
    // As found first, so that a full mark at the same place lies on top.
    for (const core::Phase phase : {core::Phase::AsFound, core::Phase::AfterClean, core::Phase::AsLeft})
        for (const Mark& mark : m_marks)
            if (mark.phase == phase)
                drawMark(painter, mark);
}

void MarksPiece::drawWhiskers(QCPPainter* painter) const
{
    painter->setPen(flatPen(m_ink[Role::Ink1], m_ink.px(1.25)));
    const double cap = m_ink.px(3);
    for (const Mark& mark : m_marks) {
        if (!mark.whisker || mark.leftOut || !(mark.high > mark.low))
            continue;
        const double x = xAt(mark.key);
        for (const double end : {yAt(mark.low), yAt(mark.high)}) {
            painter->drawLine(QPointF(x, yAt(mark.value)), QPointF(x, end));
            painter->drawLine(QPointF(x - cap, end), QPointF(x + cap, end));
        }
    }
}

void MarksPiece::drawMark(QCPPainter* painter, const Mark& mark)
{
    const double x = xAt(mark.key);
    const QRectF area = box();
    if (x < area.left() - m_ink.px(4) || x > area.right() + m_ink.px(4))
        return;
    const QColor ink = m_ink[Role::Ink1];
    if (mark.leftOut) {
        const double r = m_ink.px(3.5);
        const QPointF at(x, area.bottom() - r - m_ink.px(1));
        painter->setPen(QPen(ink, 1.25));
        painter->drawLine(at + QPointF(-r, -r), at + QPointF(r, r));
        painter->drawLine(at + QPointF(-r, r), at + QPointF(r, -r));
        return;
    }
    const double y = yAt(mark.value);
    if (y < area.top() - m_ink.px(2) || y > area.bottom() + m_ink.px(2)) {
        // Off a fixed scale: an arrow head at the edge it left by.
        const bool above = y < area.top();
        const double edge = above ? area.top() + m_ink.px(5) : area.bottom() - m_ink.px(5);
        const double d = m_ink.px(4) * (above ? -1.0 : 1.0);
        painter->setPen(Qt::NoPen);
        painter->setBrush(ink);
        painter->drawPolygon(QPolygonF({{x - m_ink.px(4), edge - d / 2}, {x + m_ink.px(4), edge - d / 2}, {x, edge + d / 2}}));
        painter->setBrush(Qt::NoBrush);
        return;
    }
    const double diameter = m_ink.px(m_diameter);
    if (exporting(*painter)) {
        paintPhase(*painter, QPointF(x, y), diameter, mark.phase, mark.superseded, ink, m_ink[Role::Well]);
        return;
    }
    const double ratio = mParentPlot->bufferDevicePixelRatio();
    if (m_pixmapInk != ink.rgba() || m_pixmapScale != diameter * ratio) {
        m_pixmaps.clear();
        m_pixmapInk = ink.rgba();
        m_pixmapScale = diameter * ratio;
    }
    QPixmap& pixmap = m_pixmaps[{static_cast<int>(mark.phase), mark.superseded}];
    if (pixmap.isNull())
        pixmap = phasePixmap(diameter, mark.phase, mark.superseded, ratio, ink, m_ink[Role::Well]);
    const double side = phasePixmapSide(diameter);
    painter->drawPixmap(QPointF(x - side / 2.0, y - side / 2.0), pixmap);
}

LinesPiece::LinesPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect) : GrammarPiece(plot, ink, rect, true, u"main"_s) {}

void LinesPiece::draw(QCPPainter* painter)
{
    for (const Line& line : m_lines) {
        painter->setPen(flatPen(m_ink[line.ink], m_ink.px(line.width), line.style));
        painter->drawLine(QPointF(xAt(line.from.x()), yAt(line.from.y())), QPointF(xAt(line.to.x()), yAt(line.to.y())));
    }
}

WordsPiece::WordsPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect) : GrammarPiece(plot, ink, rect, false, u"main"_s) {}

void WordsPiece::draw(QCPPainter* painter)
{
    const QRectF area = box();
    if (!m_title.isEmpty()) {
        const QFont font = m_ink.font(TextRole::Axis, Weight::Heavy);
        painter->setFont(font);
        painter->setPen(QPen(m_ink[Role::Ink2]));
        painter->drawText(QPointF(area.left(), area.top() - QFontMetricsF(font).descent() - m_ink.px(1)), m_title);
    }
    std::vector<QRectF> taken;
    for (const Word& word : m_words) {
        const QFont font = m_ink.font(TextRole::Axis, word.weight);
        const QFontMetricsF metrics(font);
        const double width = metrics.horizontalAdvance(word.text);
        const QPointF at(xAt(word.at.x()), yAt(word.at.y()) - m_ink.px(word.up));
        const double gap = m_ink.px(8);
        QRectF patch(at.x(), at.y() - metrics.height() / 2.0, width + m_ink.px(4), metrics.height());
        if (word.side & Qt::AlignRight)
            patch.moveLeft(at.x() + gap);
        else if (word.side & Qt::AlignHCenter)
            patch.moveLeft(std::clamp(at.x() - patch.width() / 2.0, area.left(), std::max(area.left(), area.right() - patch.width())));
        else
            patch.moveRight(at.x() - gap);
        if (!area.contains(patch) || std::any_of(taken.begin(), taken.end(), [&](const QRectF& other) { return other.intersects(patch); }))
            continue;
        taken.push_back(patch);
        painter->fillRect(patch, m_ink[Role::Well]);
        painter->setFont(font);
        painter->setPen(QPen(m_ink[word.ink]));
        painter->drawText(QPointF(patch.left() + m_ink.px(2), patch.top() + metrics.ascent()), word.text);
    }
}

RulePiece::RulePiece(QCustomPlot* plot, const PlotInk& ink, const QString& layer, Qt::PenStyle style)
    : GrammarPiece(plot, ink, nullptr, false, layer), m_style(style)
{
}

void RulePiece::setSpan(QCPAxisRect* top, QCPAxisRect* bottom)
{
    m_rect = top;
    m_bottom = bottom;
}

void RulePiece::draw(QCPPainter* painter)
{
    if (!m_key || m_rect == nullptr || m_bottom == nullptr)
        return;
    const double x = xAt(*m_key);
    if (x < box().left() - 0.5 || x > box().right() + 0.5)
        return;
    painter->setAntialiasing(false);
    painter->setPen(flatPen(m_ink[Role::Ink1], 1.0, m_style));
    painter->drawLine(QPointF(x, box().top()), QPointF(x, m_bottom->rect().bottom()));
    if (m_name.isEmpty())
        return;
    // The name stands above the uppermost panel.
    const QFont font = m_ink.font(TextRole::Axis, Weight::Heavy);
    const QFontMetricsF metrics(font);
    const double width = metrics.horizontalAdvance(m_name);
    painter->setAntialiasing(true);
    painter->setFont(font);
    painter->setPen(QPen(m_ink[Role::Ink1]));
    painter->drawText(QPointF(std::min(x - width / 2.0, box().right() - width), box().top() - metrics.descent() - m_ink.px(1)), m_name);
}

RingPiece::RingPiece(QCustomPlot* plot, const PlotInk& ink, QCPAxisRect* rect) : GrammarPiece(plot, ink, rect, true, u"overlay"_s) {}

void RingPiece::draw(QCPPainter* painter)
{
    painter->setBrush(Qt::NoBrush);
    painter->setPen(QPen(m_ink[Role::Ink1], m_ink.px(1.5)));
    for (const QPointF& at : m_at)
        painter->drawEllipse(QPointF(xAt(at.x()), yAt(at.y())), m_ink.px(7.5), m_ink.px(7.5));
}

}  // namespace halfcell::app
