#include "app/plots/curve_plot.h"

#include "app/plots/grammar.h"
#include "app/plots/panel_scale.h"
#include "app/style/figures.h"

#include <QKeyEvent>

#include <algorithm>
#include <array>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

/// Curves differ by their dashes, never by hue.
constexpr std::array<Qt::PenStyle, 5> kCurveStyles = {Qt::SolidLine, Qt::DashLine, Qt::DotLine, Qt::DashDotLine, Qt::DashDotDotLine};

Qt::PenStyle styleOfCurve(std::size_t curve)
{
    return kCurveStyles[curve % kCurveStyles.size()];
}

}  // namespace

struct CurvePlot::Pieces {
    QCPAxisRect* rect = nullptr;
    QCPAxisRect* below = nullptr;  ///< the rows of words
    LinesPiece* lines = nullptr;
    MarksPiece* marks = nullptr;
    WordsPiece* words = nullptr;
    WordsPiece* rowWords = nullptr;
    RingPiece* rings = nullptr;
    QCPMarginGroup* margins = nullptr;
    QSharedPointer<QCPAxisTickerText> xTicks, yTicks, rowTicks;
};

CurvePlot::CurvePlot(QWidget* parent) : PlotBase(parent), m_pieces(std::make_unique<Pieces>())
{
    QCustomPlot& plot = canvas();
    m_pieces->rect = addPanel(plot, 0);
    m_pieces->below = addPanel(plot, 1);
    m_pieces->margins = new QCPMarginGroup(&plot);
    m_pieces->lines = new LinesPiece(&plot, ink(), m_pieces->rect);
    m_pieces->words = new WordsPiece(&plot, ink(), m_pieces->rect);
    m_pieces->marks = new MarksPiece(&plot, ink(), m_pieces->rect);
    m_pieces->rings = new RingPiece(&plot, ink(), m_pieces->rect);
    m_pieces->rowWords = new WordsPiece(&plot, ink(), m_pieces->below);
    m_pieces->xTicks.reset(new QCPAxisTickerText);
    m_pieces->yTicks.reset(new QCPAxisTickerText);
    m_pieces->rowTicks.reset(new QCPAxisTickerText);
    m_pieces->rect->axis(QCPAxis::atBottom)->setTicker(m_pieces->xTicks);
    m_pieces->rect->axis(QCPAxis::atLeft)->setTicker(m_pieces->yTicks);
    m_pieces->below->axis(QCPAxis::atLeft)->setTicker(m_pieces->rowTicks);
    m_pieces->below->axis(QCPAxis::atBottom)->setVisible(false);
    for (QCPAxisRect* rect : {m_pieces->rect, m_pieces->below})
        rect->setMarginGroup(QCP::msLeft | QCP::msRight, m_pieces->margins);
}

CurvePlot::~CurvePlot() = default;

void CurvePlot::setSeries(CurveSeries series)
{
    m_series = std::move(series);
    m_stops.clear();
    for (std::size_t c = 0; c < m_series.curves.size(); ++c)
        for (std::size_t p = 0; p < m_series.curves[c].points.size(); ++p)
            m_stops.push_back({c, p});
    seriesChanged();
}

const CurvePoint& CurvePlot::pointOf(int stop) const
{
    const Stop& at = m_stops[static_cast<std::size_t>(stop)];
    return m_series.curves[at.curve].points[at.point];
}

QString CurvePlot::shown(double y) const
{
    return figureText(y * m_series.yScale, m_series.yDecimals, Sign::WhenNegative) +
           (m_series.yUnit.isEmpty() ? QString() : u' ' + m_series.yUnit);
}

void CurvePlot::restyle()
{
    dressCanvas(canvas(), ink());
    const auto ticks = [](double from, double to, double scale, int most) {
        QMap<double, QString> texts;
        for (const PanelTick& tick : plainTicks(from * scale, to * scale, most, false))
            texts.insert(tick.at / scale, tick.label);
        return texts;
    };
    m_pieces->xTicks->setTicks(ticks(0.0, m_series.xTo, 1.0, 8));
    m_pieces->yTicks->setTicks(ticks(m_series.yFrom, m_series.yTo, m_series.yScale, 6));
    QCPAxisRect& rect = *m_pieces->rect;
    rect.setAutoMargins(QCP::msLeft | QCP::msBottom);
    rect.setMargins(QMargins(0, static_cast<int>(ink().px(kTitleRoom)), static_cast<int>(ink().px(12)), 0));
    rect.axis(QCPAxis::atBottom)->setRange(0.0, m_series.xTo);
    rect.axis(QCPAxis::atLeft)->setRange(m_series.yFrom, m_series.yTo);
    m_pieces->words->setTitle(m_series.title);
    fillCurves();
    fillRows();
    drawLater();
}

void CurvePlot::fillCurves()
{
    std::vector<LinesPiece::Line> lines;
    std::vector<MarksPiece::Mark> marks;
    std::vector<WordsPiece::Word> words;
    if (m_series.diagonal)
        lines.push_back({QPointF(0.0, m_series.yFrom), QPointF(m_series.xTo, m_series.yTo), Qt::DashLine, 1.0, Role::Ink2});
    const double tick = (m_series.yTo - m_series.yFrom) * 0.02;
    for (std::size_t c = 0; c < m_series.curves.size(); ++c) {
        const Curve& curve = m_series.curves[c];
        const Qt::PenStyle style = styleOfCurve(c);
        double x = 0.0, y = curve.start;
        std::optional<double> lower, upper;
        const auto level = [&](double to) {
            lines.push_back({QPointF(x, y), QPointF(to, y), style, 1.5, Role::Ink1});
            // The band of the one curve that is looked at alone; with several it would hide them.
            if (m_series.curves.size() == 1 && lower && upper)
                for (const double edge : {*lower, *upper})
                    lines.push_back({QPointF(x, edge), QPointF(to, edge), Qt::DotLine, 1.0, Role::Ink3});
        };
        for (const CurvePoint& point : curve.points) {
            if (curve.shape == Curve::Shape::Steps) {
                if (point.x > curve.until)
                    break;
                level(point.x);
                lines.push_back({QPointF(point.x, y), QPointF(point.x, point.y), style, 1.5, Role::Ink1});
            } else {
                if (&point != curve.points.data())
                    lines.push_back({QPointF(x, y), QPointF(point.x, point.y), style, 1.0, Role::Ink1});
                marks.push_back({.key = point.x,
                                 .value = point.y,
                                 .low = point.lower.value_or(point.y),
                                 .high = point.upper.value_or(point.y),
                                 .phase = core::Phase::AsFound,
                                 .whisker = true});
            }
            x = point.x;
            y = point.y;
            lower = point.lower;
            upper = point.upper;
        }
        if (curve.shape == Curve::Shape::Steps) {
            level(std::max(x, curve.until));
            x = std::max(x, curve.until);
            for (const double at : curve.ticks) {
                if (at > curve.until)
                    continue;
                double value = curve.start;
                for (const CurvePoint& point : curve.points)
                    if (point.x <= at)
                        value = point.y;
                lines.push_back({QPointF(at, value - tick), QPointF(at, value + tick), Qt::SolidLine, 1.0, Role::Ink2});
            }
        }
        if (!curve.name.isEmpty() && (!curve.points.empty() || curve.until > 0.0))
            words.push_back(
                {QPointF(x, y), curve.name, x > m_series.xTo * 0.6 ? Qt::AlignLeft : Qt::AlignRight, 10.0, Weight::Regular, Role::Ink2});
    }
    m_pieces->lines->setLines(std::move(lines));
    m_pieces->marks->setMarks(std::move(marks));
    m_pieces->words->setWords(std::move(words));
}

void CurvePlot::fillRows()
{
    const double count = static_cast<double>(m_series.rows.size());
    const int height = static_cast<int>(std::ceil(ink().px(18.0) * count));
    QCPAxisRect& below = *m_pieces->below;
    below.setVisible(count > 0);
    below.setMinimumSize(QSize(10, height));
    below.setMaximumSize(QSize(QWIDGETSIZE_MAX, height));
    below.setAutoMargins(QCP::msLeft);
    below.setMargins(QMargins(0, 0, static_cast<int>(ink().px(12)), 0));
    below.axis(QCPAxis::atBottom)->setRange(0.0, m_series.xTo);
    below.axis(QCPAxis::atBottom)->grid()->setVisible(false);
    QCPAxis& left = *below.axis(QCPAxis::atLeft);
    left.setRange(count, 0.0);
    left.setRangeReversed(false);
    left.grid()->setVisible(false);
    left.setBasePen(Qt::NoPen);
    left.setTickPen(Qt::NoPen);
    QMap<double, QString> names;
    std::vector<WordsPiece::Word> words;
    for (std::size_t row = 0; row < m_series.rows.size(); ++row) {
        const double y = count - static_cast<double>(row) - 0.5;
        names.insert(y, m_series.rows[row].name);
        for (const auto& [x, text] : m_series.rows[row].words)
            words.push_back({QPointF(x, y), text, Qt::AlignHCenter, 0.0, Weight::Regular, Role::Ink2});
    }
    left.setRange(0.0, std::max(count, 1.0));
    m_pieces->rowTicks->setTicks(names);
    m_pieces->rowWords->setWords(std::move(words));
}

QString CurvePlot::readoutAt(int stop) const
{
    const Stop& at = m_stops[static_cast<std::size_t>(stop)];
    const CurvePoint& point = pointOf(stop);
    QString text = m_series.curves[at.curve].name;
    if (!text.isEmpty())
        text += u": "_s;
    text += tr("%1 at %2 %3").arg(shown(point.y), figureText(point.x, 1, Sign::WhenNegative), m_series.xWord);
    if (point.lower && point.upper)
        text += tr(" (95 %: %1 to %2)").arg(shown(*point.lower), shown(*point.upper));
    if (!point.words.isEmpty())
        text += u"; "_s + point.words;
    return text;
}

void CurvePlot::showStop(std::optional<int> stop)
{
    std::vector<QPointF> rings;
    if (stop && *stop < stopCount())
        rings.emplace_back(pointOf(*stop).x, pointOf(*stop).y);
    m_pieces->rings->setAt(std::move(rings));
}

std::optional<int> CurvePlot::stopAt(const QPointF& pixel) const
{
    const QCPAxis* x = m_pieces->rect->axis(QCPAxis::atBottom);
    const QCPAxis* y = m_pieces->rect->axis(QCPAxis::atLeft);
    std::optional<int> nearest;
    double best = 24.0;  // px, the least target
    for (int i = 0; i < stopCount(); ++i) {
        const double distance = std::hypot(x->coordToPixel(pointOf(i).x) - pixel.x(), y->coordToPixel(pointOf(i).y) - pixel.y());
        if (distance < best) {
            best = distance;
            nearest = i;
        }
    }
    return nearest;
}

QString CurvePlot::figureAt(int stop) const
{
    return pointOf(stop).figure;
}

bool CurvePlot::wantsKey(const QKeyEvent& event) const
{
    return event.modifiers() == Qt::NoModifier && (event.key() == Qt::Key_Up || event.key() == Qt::Key_Down);
}

bool CurvePlot::takeKey(QKeyEvent& event)
{
    if (!wantsKey(event) || m_stops.empty())
        return false;
    const int step = event.key() == Qt::Key_Down ? 1 : -1;
    if (!cursor()) {
        setCursor(0);
        return true;
    }
    const std::size_t curve = m_stops[static_cast<std::size_t>(*cursor())].curve;
    const double x = pointOf(*cursor()).x;
    // The nearest point of the next curve that has any.
    std::optional<int> best;
    std::optional<std::size_t> next;
    for (int i = step > 0 ? 0 : stopCount() - 1; i >= 0 && i < stopCount(); i += step) {
        const std::size_t c = m_stops[static_cast<std::size_t>(i)].curve;
        if ((step > 0 && c <= curve) || (step < 0 && c >= curve))
            continue;
        if (next && c != *next)
            break;
        next = c;
        if (!best || std::abs(pointOf(i).x - x) < std::abs(pointOf(*best).x - x))
            best = i;
    }
    if (best)
        setCursor(best);
    return true;
}

PlotTable CurvePlot::table() const
{
    PlotTable table;
    table.head = {u"curve"_s, m_series.xName, m_series.yName, u"lower_95"_s, u"upper_95"_s, u"detail"_s};
    // The file has the values themselves, the screen what is shown of them.
    const auto cell = [&](std::optional<double> value) {
        PlotCell made = numberCell(value, 6, false);
        made.screen = value ? shown(*value) : QString();
        return made;
    };
    for (const Curve& curve : m_series.curves)
        for (const CurvePoint& p : curve.points)
            table.rows.push_back(
                {textCell(curve.name), numberCell(p.x, 1, false), cell(p.y), cell(p.lower), cell(p.upper), textCell(p.words)});
    for (const Curve& curve : m_series.curves)
        for (const double at : curve.ticks)
            table.rows.push_back({textCell(curve.name), numberCell(at, 1, false), {}, {}, {}, textCell(u"went on"_s)});
    for (const CurveRow& row : m_series.rows)
        for (const auto& [x, text] : row.words)
            table.rows.push_back({textCell(row.name), numberCell(x, 1, false), {}, {}, {}, textCell(text)});
    return table;
}

}  // namespace halfcell::app
