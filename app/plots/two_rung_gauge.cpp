#include "app/plots/two_rung_gauge.h"

#include "app/plots/grammar.h"
#include "app/plots/panel_scale.h"
#include "app/style/figures.h"
#include "app/style/marks.h"

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QString mvText(double mv)
{
    return figureText(mv, 0, Sign::Always);
}

constexpr double kRungHalf = 0.12;  // of a column: half the length of the expected rung

}  // namespace

struct TwoRungGauge::Pieces {
    QCPAxisRect* rect = nullptr;
    LinesPiece* lines = nullptr;
    WordsPiece* words = nullptr;
    MarksPiece* marks = nullptr;
    RingPiece* rings = nullptr;
    QSharedPointer<QCPAxisTickerText> columns, mvTicks;
};

TwoRungGauge::TwoRungGauge(QWidget* parent) : PlotBase(parent), m_pieces(std::make_unique<Pieces>())
{
    setNames(u"plot.gauge.rungs"_s, tr("Expected against read, millivolts"));
    QCustomPlot& plot = canvas();
    m_pieces->rect = addPanel(plot, 0);
    m_pieces->lines = new LinesPiece(&plot, ink(), m_pieces->rect);
    m_pieces->words = new WordsPiece(&plot, ink(), m_pieces->rect);
    m_pieces->marks = new MarksPiece(&plot, ink(), m_pieces->rect);
    m_pieces->rings = new RingPiece(&plot, ink(), m_pieces->rect);
    m_pieces->columns.reset(new QCPAxisTickerText);
    QCPAxis* bottom = m_pieces->rect->axis(QCPAxis::atBottom);
    bottom->setTicker(m_pieces->columns);
    bottom->grid()->setVisible(false);
    QCPAxis* left = m_pieces->rect->axis(QCPAxis::atLeft);
    m_pieces->mvTicks.reset(new QCPAxisTickerText);
    left->setTicker(m_pieces->mvTicks);
    m_pieces->words->setTitle(tr("Expected against read, mV"));
}

TwoRungGauge::~TwoRungGauge() = default;

void TwoRungGauge::setSeries(GaugeSeries series)
{
    m_series = std::move(series);
    m_stops.clear();
    m_columns.clear();
    for (const core::Phase phase : {core::Phase::AsFound, core::Phase::AfterClean, core::Phase::AsLeft})
        for (std::size_t r = 0; r < m_series.rungs.size(); ++r)
            for (std::size_t i = 0; i < m_series.rungs[r].readings.size(); ++i)
                if (m_series.rungs[r].readings[i].phase == phase) {
                    m_stops.push_back({r, i});
                    if (m_columns.empty() || m_columns.back() != phase)
                        m_columns.push_back(phase);
                }
    seriesChanged();
}

double TwoRungGauge::columnOf(core::Phase phase) const
{
    return 1.0 + static_cast<double>(std::find(m_columns.begin(), m_columns.end(), phase) - m_columns.begin());
}

void TwoRungGauge::restyle()
{
    dressCanvas(canvas(), ink());
    m_pieces->marks->setDiameter(10.0);
    fill();
}

void TwoRungGauge::fill()
{
    double low = 0, high = 0;
    bool any = false;
    const auto take = [&](double mv) {
        low = any ? std::min(low, mv) : mv;
        high = any ? std::max(high, mv) : mv;
        any = true;
    };
    std::vector<LinesPiece::Line> lines;
    std::vector<WordsPiece::Word> words;
    std::vector<MarksPiece::Mark> marks;
    for (const Rung& rung : m_series.rungs) {
        take(rung.expectedMv);
        LinesPiece::Line expected;
        expected.from = QPointF(-kRungHalf, rung.expectedMv);
        expected.to = QPointF(kRungHalf, rung.expectedMv);
        expected.width = 2.0;
        lines.push_back(expected);
        words.push_back({QPointF(-kRungHalf, rung.expectedMv), mvText(rung.expectedMv), Qt::AlignLeft, 0.0, Weight::Regular, Role::Ink1});
        words.push_back({QPointF(-kRungHalf, rung.expectedMv), rung.standard, Qt::AlignRight, 12.0, Weight::Regular, Role::Ink2});
        QPointF from(kRungHalf, rung.expectedMv);
        for (const RungReading& reading : rung.readings) {
            take(reading.mv);
            const QPointF to(columnOf(reading.phase), reading.mv);
            MarksPiece::Mark mark;
            mark.key = to.x();
            mark.value = to.y();
            mark.low = to.y() - reading.expanded.value_or(0.0);
            mark.high = to.y() + reading.expanded.value_or(0.0);
            mark.whisker = true;
            mark.phase = reading.phase;
            mark.superseded = reading.superseded;
            marks.push_back(mark);
            words.push_back({to, mvText(reading.mv) + u"   "_s + mvText(reading.mv - rung.expectedMv), Qt::AlignRight, 0.0, Weight::Regular,
                             Role::Ink1});
            if (reading.superseded)
                continue;
            LinesPiece::Line stroke;
            stroke.from = from;
            stroke.to = to;
            stroke.width = 1.0;
            lines.push_back(stroke);
            from = to;
        }
    }
    if (!any)
        high = 300.0;
    const double pad = std::max((high - low) * 0.15, 20.0);
    QMap<double, QString> names{{0.0, tr("expected")}};
    for (std::size_t i = 0; i < m_columns.size(); ++i)
        names.insert(1.0 + static_cast<double>(i), phaseWord(m_columns[i]));
    m_pieces->columns->setTicks(names);
    m_pieces->rect->axis(QCPAxis::atBottom)->setRange(-0.6, std::max<double>(1.0, static_cast<double>(m_columns.size())) + 0.8);
    m_pieces->rect->axis(QCPAxis::atLeft)->setRange(low - pad, high + pad);
    QMap<double, QString> ticks;
    for (const PanelTick& tick : plainTicks(low - pad, high + pad, 5, true))
        ticks.insert(tick.at, tick.label);
    m_pieces->mvTicks->setTicks(ticks);
    m_pieces->rect->setAutoMargins(QCP::msLeft | QCP::msBottom);
    m_pieces->rect->setMargins(QMargins(0, static_cast<int>(ink().px(kTitleRoom)), static_cast<int>(ink().px(8)), 0));
    m_pieces->lines->setLines(std::move(lines));
    m_pieces->words->setWords(std::move(words));
    m_pieces->marks->setMarks(std::move(marks));
    drawLater();
}

void TwoRungGauge::showStop(std::optional<int> stop)
{
    std::vector<QPointF> rings;
    if (stop && *stop < stopCount()) {
        const RungReading& reading = at(m_stops[static_cast<std::size_t>(*stop)]);
        rings.emplace_back(columnOf(reading.phase), reading.mv);
    }
    m_pieces->rings->setAt(std::move(rings));
}

std::optional<int> TwoRungGauge::stopAt(const QPointF& pixel) const
{
    std::optional<int> nearest;
    double best = 24.0;  // px, the least target
    for (int i = 0; i < stopCount(); ++i) {
        const RungReading& reading = at(m_stops[static_cast<std::size_t>(i)]);
        const double dx = m_pieces->rect->axis(QCPAxis::atBottom)->coordToPixel(columnOf(reading.phase)) - pixel.x();
        const double dy = m_pieces->rect->axis(QCPAxis::atLeft)->coordToPixel(reading.mv) - pixel.y();
        if (std::hypot(dx, dy) < best) {
            best = std::hypot(dx, dy);
            nearest = i;
        }
    }
    return nearest;
}

QString TwoRungGauge::figureAt(int stop) const
{
    return at(m_stops[static_cast<std::size_t>(stop)]).figure;
}

QString TwoRungGauge::readoutAt(int stop) const
{
    const Stop& s = m_stops[static_cast<std::size_t>(stop)];
    const Rung& rung = m_series.rungs[s.rung];
    const RungReading& reading = at(s);
    QString text = tr("%1, %2: read %3%4 mV, expected %5, off by %6 mV")
                       .arg(rung.standard, phaseWord(reading.phase), mvText(reading.mv),
                            reading.expanded ? u' ' + uncertaintyText(*reading.expanded, 0) : QString(), mvText(rung.expectedMv),
                            mvText(reading.mv - rung.expectedMv));
    if (!reading.detail.isEmpty())
        text += u"; "_s + reading.detail;
    if (reading.superseded)
        text += tr("; corrected");
    return text;
}

QString TwoRungGauge::composeSummary() const
{
    if (!m_series.summary.isEmpty())
        return m_series.summary;
    if (m_stops.empty())
        return tr("No reading yet.");
    QStringList parts;
    for (int i = 0; i < stopCount(); ++i)
        parts.append(readoutAt(i));
    return parts.join(u"; "_s);
}

PlotTable TwoRungGauge::table() const
{
    PlotTable table;
    table.head = {u"standard"_s, u"phase"_s, u"expected_mv"_s, u"read_mv"_s, u"expanded_uncertainty_mv"_s, u"off_mv"_s, u"state"_s, u"detail"_s};
    for (const Rung& rung : m_series.rungs) {
        if (rung.readings.empty())
            table.rows.push_back({textCell(rung.standard), {}, numberCell(rung.expectedMv, 0, true), {}, {}, {}, {}, {}});
        for (const RungReading& reading : rung.readings) {
            const auto key = core::keyOf(reading.phase);
            table.rows.push_back({textCell(rung.standard), {QString::fromUtf8(key.data(), static_cast<qsizetype>(key.size())), phaseWord(reading.phase)},
                                  numberCell(rung.expectedMv, 0, true), numberCell(reading.mv, 0, true), numberCell(reading.expanded, 0, false),
                                  numberCell(reading.mv - rung.expectedMv, 0, true), textCell(reading.superseded ? u"corrected"_s : QString()),
                                  textCell(reading.detail)});
        }
    }
    return table;
}

}  // namespace halfcell::app
