#include "app/plots/slope_plot.h"

#include "app/plots/grammar.h"
#include "app/plots/panel_scale.h"
#include "app/style/figures.h"
#include "app/style/marks.h"

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr double kNeutral = 7.0;

QString mvText(double mv, int decimals = 0)
{
    return figureText(mv, decimals, Sign::Always);
}

Qt::PenStyle styleOf(const SlopeLine& line)
{
    if (line.earlier)
        return Qt::DotLine;
    switch (line.phase) {
    case core::Phase::AsFound: return Qt::DashDotLine;
    case core::Phase::AfterClean: return Qt::SolidLine;
    case core::Phase::AsLeft: return Qt::SolidLine;
    }
    return Qt::SolidLine;
}

double widthOf(const SlopeLine& line)
{
    return !line.earlier && line.phase == core::Phase::AsLeft ? 2.0 : 1.0;
}

}  // namespace

struct ReadingsPlot::Pieces {
    QCPAxisRect* rect = nullptr;
    LinesPiece* lines = nullptr;
    MarksPiece* marks = nullptr;
    WordsPiece* words = nullptr;
    RingPiece* rings = nullptr;
    QSharedPointer<QCPAxisTickerText> phTicks, mvTicks;
    std::vector<WordsPiece::Word> placed;
};

SlopePlot::SlopePlot(QWidget* parent) : ReadingsPlot(parent, false)
{
    setNames(u"plot.slope.line"_s, tr("Slope line, millivolts against pH"));
}

Magnifier::Magnifier(QWidget* parent) : ReadingsPlot(parent, true)
{
    setNames(u"plot.magnifier.line"_s, tr("Magnifier, millivolts off the ideal line"));
}

ReadingsPlot::ReadingsPlot(QWidget* parent, bool magnified) : PlotBase(parent), m_magnified(magnified), m_pieces(std::make_unique<Pieces>())
{
    QCustomPlot& plot = canvas();
    m_pieces->rect = addPanel(plot, 0);
    m_pieces->lines = new LinesPiece(&plot, ink(), m_pieces->rect);
    m_pieces->words = new WordsPiece(&plot, ink(), m_pieces->rect);
    m_pieces->marks = new MarksPiece(&plot, ink(), m_pieces->rect);
    m_pieces->rings = new RingPiece(&plot, ink(), m_pieces->rect);
    m_pieces->phTicks.reset(new QCPAxisTickerText);
    m_pieces->mvTicks.reset(new QCPAxisTickerText);
    m_pieces->rect->axis(QCPAxis::atBottom)->setTicker(m_pieces->phTicks);
    m_pieces->rect->axis(QCPAxis::atLeft)->setTicker(m_pieces->mvTicks);
    m_pieces->words->setTitle(magnified ? tr("Off the ideal line, mV against pH") : tr("Slope line, mV against pH"));
}

ReadingsPlot::~ReadingsPlot() = default;

void ReadingsPlot::setSeries(SlopeSeries series)
{
    m_series = std::move(series);
    seriesChanged();
}

double ReadingsPlot::shownValue(const SlopePoint& point) const
{
    return m_magnified ? point.mv - point.idealMv : point.mv;
}

double ReadingsPlot::lineAt(const SlopeLine& line, double ph) const
{
    const double mv = line.offsetMv - line.slopeMvPerPh * (ph - kNeutral);
    return m_magnified ? mv + m_series.idealSlopeMvPerPh * (ph - kNeutral) : mv;
}

void ReadingsPlot::restyle()
{
    dressCanvas(canvas(), ink());
    m_pieces->marks->setDiameter(m_magnified ? 10.0 : 8.0);
    fill();
}

void ReadingsPlot::fill()
{
    double left = kNeutral, right = kNeutral;
    double low = 0.0, high = 0.0;
    for (const SlopePoint& point : m_series.points) {
        left = std::min(left, point.ph);
        right = std::max(right, point.ph);
        const double spread = m_magnified ? point.expanded.value_or(0.0) : 0.0;
        low = std::min(low, shownValue(point) - spread);
        high = std::max(high, shownValue(point) + spread);
    }
    // One pH unit of room on both sides, for the values beside the marks.
    left -= 1.0;
    right += 1.0;
    if (!m_magnified && m_series.points.empty()) {
        low = -m_series.idealSlopeMvPerPh * (right - kNeutral);
        high = m_series.idealSlopeMvPerPh * (kNeutral - left);
    }
    const double least = m_magnified ? 20.0 : 60.0;
    double pad = std::max((high - low) * (m_magnified ? 0.25 : 0.12), (least - (high - low)) / 2.0);
    pad = std::max(pad, m_magnified ? 4.0 : 10.0);
    low -= pad;
    high += pad;
    const auto ticks = [](double from, double to, int most, bool sign) {
        QMap<double, QString> texts;
        for (const PanelTick& tick : plainTicks(from, to, most, sign))
            texts.insert(tick.at, tick.label);
        return texts;
    };
    m_pieces->phTicks->setTicks(ticks(left, right, 6, false));
    m_pieces->mvTicks->setTicks(ticks(low, high, 5, true));
    m_pieces->rect->setAutoMargins(QCP::msLeft | QCP::msBottom);
    m_pieces->rect->setMargins(QMargins(0, static_cast<int>(ink().px(kTitleRoom)), static_cast<int>(ink().px(8)), 0));
    m_pieces->rect->axis(QCPAxis::atBottom)->setRange(left, right);
    m_pieces->rect->axis(QCPAxis::atLeft)->setRange(low, high);
    fillMarks();
    fillLines(left, right, low, high);
    m_pieces->words->setWords(m_pieces->placed);
    drawLater();
}

void ReadingsPlot::fillMarks()
{
    std::vector<MarksPiece::Mark> marks;
    std::vector<WordsPiece::Word>& words = m_pieces->placed;
    words.clear();
    double middle = 0;
    for (const SlopePoint& point : m_series.points)
        middle += point.ph / static_cast<double>(m_series.points.size());
    // The phase done last is written first, so that its values keep their place where they would meet others.
    for (auto point = m_series.points.rbegin(); point != m_series.points.rend(); ++point) {
        const double value = shownValue(*point);
        MarksPiece::Mark mark;
        mark.key = point->ph;
        mark.value = value;
        mark.low = value - point->expanded.value_or(0.0);
        mark.high = value + point->expanded.value_or(0.0);
        mark.phase = point->phase;
        mark.superseded = point->superseded;
        mark.leftOut = point->leftOut;
        mark.whisker = m_magnified;
        marks.push_back(mark);
        if (m_magnified && !point->leftOut && !point->superseded)
            words.push_back({QPointF(point->ph, value), mvText(value), point->ph < middle ? Qt::AlignLeft : Qt::AlignRight, 0.0,
                             Weight::Regular, Role::Ink1});
    }
    m_pieces->marks->setMarks(std::move(marks));
}

void ReadingsPlot::fillLines(double left, double right, double low, double high)
{
    std::vector<WordsPiece::Word>& words = m_pieces->placed;
    std::vector<LinesPiece::Line> lines;
    const double k = m_series.idealSlopeMvPerPh;
    const auto ideal = [&](double ph) { return m_magnified ? 0.0 : -k * (ph - kNeutral); };
    lines.push_back({QPointF(left, ideal(left)), QPointF(right, ideal(right)), Qt::DashLine, 1.0, Role::Ink2});
    QStringList names{tr("ideal at %1 °C, %2 mV/pH")
                          .arg(figureText(m_series.idealTemperature, 1, Sign::WhenNegative), figureText(k, 2, Sign::WhenNegative))};
    for (const SlopeLine& line : m_series.lines) {
        lines.push_back({QPointF(left, lineAt(line, left)), QPointF(right, lineAt(line, right)), styleOf(line), widthOf(line),
                         line.earlier ? Role::Ink3 : Role::Ink1});
        if (!line.name.isEmpty())
            names.append(line.name);
    }
    if (m_magnified) {
        // The marks say which line is whose; the ideal one is named at its left end.
        words.push_back({QPointF(left, 0.0), tr("ideal"), Qt::AlignRight, 10.0, Weight::Regular, Role::Ink2});
    } else {
        // The lines fall to the right: right of their upper ends is free ground, where the names stand one under the other.
        const double step = (high - low) * 0.12;
        double y = high - step * 0.7;
        for (const QString& name : names) {
            double x = left;
            for (const LinesPiece::Line& line : lines)
                if (const double rise = line.to.y() - line.from.y(); rise < 0)
                    x = std::max(x, line.from.x() + (y - step * 0.5 - line.from.y()) / rise * (right - left));
            words.push_back({QPointF(x, y), name, Qt::AlignRight, 0.0, Weight::Regular, Role::Ink2});
            y -= step;
        }
    }
    if (m_magnified && m_series.processPh && *m_series.processPh > left && *m_series.processPh < right) {
        lines.push_back({QPointF(*m_series.processPh, high), QPointF(*m_series.processPh, high - (high - low) * 0.08), Qt::SolidLine, 1.0,
                         Role::Ink1});
        words.push_back({QPointF(*m_series.processPh, high - (high - low) * 0.05),
                         tr("process %1").arg(figureText(*m_series.processPh, 1, Sign::WhenNegative)), Qt::AlignLeft, 0.0, Weight::Regular,
                         Role::Ink2});
    }
    m_pieces->lines->setLines(std::move(lines));
}

void ReadingsPlot::showStop(std::optional<int> stop)
{
    std::vector<QPointF> rings;
    if (stop && *stop < stopCount()) {
        const SlopePoint& point = m_series.points[static_cast<std::size_t>(*stop)];
        if (!point.leftOut)
            rings.emplace_back(point.ph, shownValue(point));
    }
    m_pieces->rings->setAt(std::move(rings));
}

std::optional<int> ReadingsPlot::stopAt(const QPointF& pixel) const
{
    const QCPAxis* x = m_pieces->rect->axis(QCPAxis::atBottom);
    const QCPAxis* y = m_pieces->rect->axis(QCPAxis::atLeft);
    std::optional<int> nearest;
    double best = 24.0;  // px, the least target
    for (int i = 0; i < stopCount(); ++i) {
        const SlopePoint& point = m_series.points[static_cast<std::size_t>(i)];
        const double distance = std::hypot(x->coordToPixel(point.ph) - pixel.x(), y->coordToPixel(shownValue(point)) - pixel.y());
        if (distance < best) {
            best = distance;
            nearest = i;
        }
    }
    return nearest;
}

QString ReadingsPlot::figureAt(int stop) const
{
    return m_series.points[static_cast<std::size_t>(stop)].figure;
}

QString ReadingsPlot::readoutAt(int stop) const
{
    const SlopePoint& p = m_series.points[static_cast<std::size_t>(stop)];
    QString text = p.standard + u", "_s + phaseWord(p.phase) + u": "_s + mvText(p.mv)
                   + (p.expanded ? u' ' + uncertaintyText(*p.expanded, 1) : QString()) + u" mV"_s;
    text += tr("; pH %1 there, ideal %2 mV, off by %3 mV")
                .arg(figureText(p.ph, 3, Sign::WhenNegative), mvText(p.idealMv, 1), mvText(p.mv - p.idealMv, 1));
    if (!p.detail.isEmpty())
        text += u"; "_s + p.detail;
    if (p.superseded)
        text += tr("; corrected");
    if (p.leftOut)
        text += tr("; left out of the fit");
    if (!p.reason.isEmpty())
        text += u": "_s + p.reason;
    return text;
}

QString ReadingsPlot::composeSummary() const
{
    if (!m_series.summary.isEmpty())
        return m_series.summary;
    if (m_series.points.empty())
        return tr("No reading yet.");
    QStringList parts;
    for (const SlopePoint& p : m_series.points)
        if (!p.leftOut && !p.superseded)
            parts.append(tr("%1 in %2, %3, %4 off the ideal line").arg(mvText(p.mv), p.standard, phaseWord(p.phase), mvText(p.mv - p.idealMv, 1)));
    return parts.join(u"; "_s);
}

PlotTable ReadingsPlot::table() const
{
    PlotTable table;
    table.head = {u"phase"_s,  u"standard"_s,       u"ph"_s,    u"mv"_s,     u"expanded_uncertainty_mv"_s, u"ideal_mv"_s,
                  u"off_mv"_s, u"slope_mv_per_ph"_s, u"state"_s, u"detail"_s};
    const auto phaseCell = [](core::Phase phase) {
        const auto key = core::keyOf(phase);
        return PlotCell{QString::fromUtf8(key.data(), static_cast<qsizetype>(key.size())), phaseWord(phase)};
    };
    for (const SlopePoint& p : m_series.points) {
        QString state = p.superseded ? u"corrected"_s : p.leftOut ? u"left out"_s : QString();
        if (!p.reason.isEmpty() && !state.isEmpty())
            state += u": "_s + p.reason;
        table.rows.push_back({phaseCell(p.phase), textCell(p.standard), numberCell(p.ph, 3, false), numberCell(p.mv, 0, true),
                              numberCell(p.expanded, 1, false), numberCell(p.idealMv, 1, true), numberCell(p.mv - p.idealMv, 1, true), {},
                              textCell(state), textCell(p.detail)});
    }
    for (const SlopeLine& line : m_series.lines)
        table.rows.push_back({phaseCell(line.phase), textCell(line.earlier ? u"earlier line"_s : u"line"_s), numberCell(kNeutral, 0, false),
                              numberCell(line.offsetMv, 1, true), {}, {}, {}, numberCell(line.slopeMvPerPh, 2, false), {}, textCell(line.name)});
    return table;
}

}  // namespace halfcell::app
