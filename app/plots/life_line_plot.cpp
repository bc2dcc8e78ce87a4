#include "app/plots/life_line_plot.h"

#include "app/plots/calendar_ticker.h"
#include "app/plots/panel_scale.h"
#include "app/plots/strips.h"
#include "app/style/figures.h"

#include <QKeyEvent>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr qint64 kHourSeconds = 3600;
constexpr qint64 kDaySeconds = 24 * kHourSeconds;
constexpr double kDidHeight = 36.0, kWhereHeight = 22.0;  // px at scale 1
constexpr double kRowGap = 4.0;

}  // namespace

struct LifeLinePlot::Pieces {
    struct Panel {
        QCPAxisRect* rect = nullptr;
        LimitPiece* limits = nullptr;
        FanPiece* fan = nullptr;
        MarksPiece* marks = nullptr;
        WordsPiece* words = nullptr;
        RingPiece* rings = nullptr;
        QSharedPointer<QCPAxisTickerText> ticker;
    };
    std::vector<Panel> panels;
    QCPAxisRect* did = nullptr;
    QCPAxisRect* where = nullptr;
    DidPiece* didPiece = nullptr;
    WherePiece* wherePiece = nullptr;
    RulePiece* now = nullptr;
    RulePiece* cursor = nullptr;
    QSharedPointer<QCPAxisTickerText> timeTicker;
    QCPMarginGroup* margins = nullptr;
};

LifeLinePlot::LifeLinePlot(QWidget* parent) : PlotBase(parent), m_pieces(std::make_unique<Pieces>())
{
    setNames(u"plot.life.line"_s, tr("Life line"));
    canvas().setSelectionRectMode(QCP::srmCustom);
    connect(canvas().selectionRect(), &QCPSelectionRect::accepted, this, [this](const QRect& rect) {
        if (m_pieces->panels.empty() || rect.width() < 8)
            return;
        const QCPAxis* axis = m_pieces->panels.front().rect->axis(QCPAxis::atBottom);
        setSpan(std::llround(axis->pixelToCoord(rect.left())), std::llround(axis->pixelToCoord(rect.right())));
    });
    canvas().installEventFilter(this);
    build();
}

LifeLinePlot::~LifeLinePlot() = default;

const std::vector<LifeLinePanel>& LifeLinePlot::panels() const
{
    return m_raw && !m_series.rawPanels.empty() ? m_series.rawPanels : m_series.panels;
}

bool LifeLinePlot::drawn(const PhasePoint& point) const
{
    return m_shown[static_cast<std::size_t>(point.phase)];
}

bool LifeLinePlot::atStop(const PhasePoint& point, const Stop& stop) const
{
    return point.visit.isEmpty() ? point.utc == stop.utc : point.visit == stop.visit;
}

void LifeLinePlot::setSeries(LifeLineSeries series)
{
    const bool otherSensor = series.sensor != m_series.sensor;
    const qint64 oldAllFrom = m_allFrom, oldAllTo = m_allTo;
    m_series = std::move(series);
    m_ghostGone = false;
    m_panel = std::clamp(m_panel, 0, std::max(0, static_cast<int>(panels().size()) - 1));
    collectStops();
    wholeSpan();
    // Another sensor, or everything was in view: everything is in view again. Else the zoom stays.
    if (otherSensor || (m_from == oldAllFrom && m_to == oldAllTo)) {
        m_from = m_allFrom;
        m_to = m_allTo;
    }
    build();
    if (otherSensor)
        setCursor(std::nullopt);
    seriesChanged();
}

void LifeLinePlot::setCompact(bool compact)
{
    m_compact = compact;
    setReadoutShown(!compact);
    build();
    restyle();
}

void LifeLinePlot::collectStops()
{
    m_stops.clear();
    for (const LifeLinePanel& panel : panels())
        for (const PhasePoint& point : panel.points) {
            if (!drawn(point))
                continue;
            const auto known = std::find_if(m_stops.begin(), m_stops.end(), [&](const Stop& stop) { return atStop(point, stop); });
            if (known == m_stops.end())
                m_stops.push_back({point.utc, point.visit});
            else
                known->utc = std::max(known->utc, qint64(point.utc));
        }
    std::stable_sort(m_stops.begin(), m_stops.end(), [](const Stop& a, const Stop& b) { return a.utc < b.utc; });
}

void LifeLinePlot::wholeSpan()
{
    qint64 first = m_series.now, last = m_series.now, future = m_series.now;
    for (const auto* group : {&m_series.panels, &m_series.rawPanels})
        for (const LifeLinePanel& panel : *group) {
            for (const PhasePoint& point : panel.points) {
                first = std::min(first, qint64(point.utc));
                last = std::max(last, qint64(point.utc));
            }
            if (!panel.fan.empty())
                future = std::max(future, qint64(panel.fan.back().utc));
        }
    if (!m_series.where.empty())
        first = std::min(first, qint64(m_series.where.front().from));
    const qint64 past = std::max(last - first, 7 * kDaySeconds);
    const qint64 pad = past / 40;
    m_allFrom = std::min(first, last - 7 * kDaySeconds) - pad;
    // The future takes at most half the width.
    m_allTo = std::max(last + pad, std::min(future, m_series.now + (m_series.now - m_allFrom)));
}

void LifeLinePlot::build()
{
    QCustomPlot& plot = canvas();
    plot.plotLayout()->clear();
    delete m_pieces->now;
    delete m_pieces->cursor;
    delete m_pieces->margins;
    *m_pieces = Pieces{};
    m_pieces->margins = new QCPMarginGroup(&plot);
    m_pieces->timeTicker.reset(new QCPAxisTickerText);
    plot.plotLayout()->setRowSpacing(4);
    int row = 0;
    const auto addRect = [&]() {
        QCPAxisRect* rect = addPanel(plot, row++);
        rect->setMarginGroup(QCP::msLeft | QCP::msRight, m_pieces->margins);
        rect->axis(QCPAxis::atBottom)->setTicker(m_pieces->timeTicker);
        rect->axis(QCPAxis::atBottom)->setTickLabels(false);
        rect->axis(QCPAxis::atBottom)->setTicks(false);
        return rect;
    };
    std::size_t count = panels().size();
    if (m_compact)
        count = std::min<std::size_t>(count, 1);
    for (std::size_t i = 0; i < count; ++i) {
        Pieces::Panel panel;
        panel.rect = addRect();
        panel.ticker.reset(new QCPAxisTickerText);
        panel.rect->axis(QCPAxis::atLeft)->setTicker(panel.ticker);
        panel.limits = new LimitPiece(&plot, ink(), panel.rect);
        panel.fan = new FanPiece(&plot, ink(), panel.rect);
        panel.words = new WordsPiece(&plot, ink(), panel.rect);
        panel.marks = new MarksPiece(&plot, ink(), panel.rect);
        panel.rings = new RingPiece(&plot, ink(), panel.rect);
        m_pieces->panels.push_back(panel);
    }
    if (!m_compact && count > 0) {
        const auto strip = [&](const QString& name) {
            auto* rect = addRect();
            rect->axis(QCPAxis::atLeft)->setVisible(false);
            rect->axis(QCPAxis::atLeft)->grid()->setVisible(false);
            rect->axis(QCPAxis::atBottom)->grid()->setVisible(false);
            new StripNamePiece(&plot, ink(), rect, name);
            return rect;
        };
        m_pieces->did = strip(tr("Did"));
        m_pieces->didPiece = new DidPiece(&plot, ink(), m_pieces->did);
        m_pieces->where = strip(tr("Where"));
        m_pieces->wherePiece = new WherePiece(&plot, ink(), m_pieces->where);
    }
    if (count == 0)
        return;
    QCPAxisRect* lowest = m_pieces->where != nullptr ? m_pieces->where : m_pieces->panels.back().rect;
    lowest->axis(QCPAxis::atBottom)->setTickLabels(true);
    lowest->axis(QCPAxis::atBottom)->setTicks(true);
    m_pieces->now = new RulePiece(&plot, ink(), u"main"_s, Qt::SolidLine);
    m_pieces->now->setName(m_compact ? QString() : tr("now"));
    m_pieces->now->setSpan(m_pieces->panels.front().rect, lowest);
    m_pieces->cursor = new RulePiece(&plot, ink(), u"overlay"_s, Qt::DotLine);
    m_pieces->cursor->setSpan(m_pieces->panels.front().rect, lowest);
}

void LifeLinePlot::restyle()
{
    dressCanvas(canvas(), ink());
    canvas().selectionRect()->setPen(QPen(ink()[Role::Ink1], 1.0));
    canvas().selectionRect()->setBrush(Qt::NoBrush);
    canvas().plotLayout()->setRowSpacing(static_cast<int>(ink().px(kRowGap)));
    fill();
}

void LifeLinePlot::fill()
{
    if (m_pieces->panels.empty())
        return;
    for (std::size_t i = 0; i < m_pieces->panels.size(); ++i)
        fillPanel(i);
    double labels = 0, names = 0;
    for (const auto& panel : m_pieces->panels)
        labels = std::max(labels, panel.limits->labelWidth());
    if (m_pieces->did != nullptr) {
        m_pieces->didPiece->setMarks(m_series.did);
        m_pieces->wherePiece->setBars(m_series.where, static_cast<double>(m_series.now));
        for (auto [rect, height] : {std::pair{m_pieces->did, kDidHeight}, std::pair{m_pieces->where, kWhereHeight}}) {
            const int h = static_cast<int>(ink().px(height));
            rect->setMinimumSize(QSize(10, h));
            rect->setMaximumSize(QSize(QWIDGETSIZE_MAX, h));
            rect->setSizeConstraintRect(QCPLayoutElement::scrInnerRect);
        }
        const QFontMetricsF metrics(ink().font(TextRole::Axis));
        names = std::max(metrics.horizontalAdvance(tr("Did")), metrics.horizontalAdvance(tr("Where"))) + ink().px(12);
    }
    const int right = static_cast<int>(std::ceil(labels + ink().px(labels > 0 ? 10 : 4)));
    const auto margins = [&](QCPAxisRect* rect, bool lowest) {
        const bool strip = rect == m_pieces->did || rect == m_pieces->where;
        // Without a title there is still room for the upper half of a tick label.
        const double bare = std::ceil(QFontMetricsF(ink().font(TextRole::Axis)).height() / 2.0);
        const int top = strip ? 0 : static_cast<int>(m_compact ? bare : ink().px(kTitleRoom));
        rect->setAutoMargins(lowest ? QCP::msLeft | QCP::msBottom : QCP::MarginSides(QCP::msLeft));
        rect->setMargins(QMargins(0, top, right, 0));
        rect->setMinimumMargins(QMargins(static_cast<int>(names), 0, right, 0));
    };
    const QCPAxisRect* last = m_pieces->where != nullptr ? m_pieces->where : m_pieces->panels.back().rect;
    for (QCPAxisRect* rect : canvas().axisRects())
        margins(rect, rect == last);
    m_pieces->now->setAt(static_cast<double>(m_series.now));
    applySpan();
}

void LifeLinePlot::fillPanel(std::size_t index)
{
    const LifeLinePanel& panel = panels()[index];
    Pieces::Panel& piece = m_pieces->panels[index];
    const PanelRange range = rangeOf(panel, m_fixedScale);
    piece.rect->axis(QCPAxis::atLeft)->setRange(range.low, range.high);
    fillTicks(index);
    const Sign sign = panel.sign ? Sign::Always : Sign::WhenNegative;
    std::vector<LimitPiece::Line> limits;
    for (const PlotLimit& limit : panel.limits) {
        const int decimals = std::abs(limit.value - std::round(limit.value)) < 1e-9 ? 0 : 1;
        QString label = figureText(limit.value, decimals, sign);
        if (!limit.name.isEmpty())
            label += u' ' + limit.name;
        limits.push_back({toAxis(panel.scale, limit.value), limit.bad, limit.kind, limit.hatched, label});
    }
    piece.limits->setLines(std::move(limits));
    std::vector<FanPiece::Point> fan;
    for (const FanPoint& p : panel.fan)
        if (p.utc <= m_allTo)
            fan.push_back({static_cast<double>(p.utc), toAxis(panel.scale, p.p10), toAxis(panel.scale, p.p25), toAxis(panel.scale, p.p50),
                           toAxis(panel.scale, p.p75), toAxis(panel.scale, p.p90)});
    piece.fan->setPoints(std::move(fan));
    std::vector<MarksPiece::Mark> marks;
    int outside = 0;
    for (const PhasePoint& p : panel.points) {
        if (!drawn(p))
            continue;
        MarksPiece::Mark mark;
        mark.key = static_cast<double>(p.utc);
        mark.value = toAxis(panel.scale, p.value);
        mark.low = toAxis(panel.scale, p.value - p.expanded.value_or(0.0));
        mark.high = toAxis(panel.scale, p.value + p.expanded.value_or(0.0));
        mark.phase = p.phase;
        mark.joined = p.joined;
        mark.superseded = p.superseded;
        mark.leftOut = p.leftOut;
        outside += !p.leftOut && (mark.value < range.low || mark.value > range.high) ? 1 : 0;
        marks.push_back(mark);
    }
    // Whiskers of the last three figures that are in force.
    int whiskers = 3;
    for (auto mark = marks.rbegin(); mark != marks.rend() && whiskers > 0; ++mark)
        if (!mark->superseded && !mark->leftOut) {
            mark->whisker = true;
            --whiskers;
        }
    piece.marks->setMarks(std::move(marks));
    std::vector<QPointF> ghost;
    if (!m_ghostGone)
        for (const PhasePoint& p : panel.ghost)
            ghost.emplace_back(static_cast<double>(p.utc), toAxis(panel.scale, p.value));
    piece.marks->setGhost(std::move(ghost));
    QString title = panel.unit.isEmpty() ? panel.title : panel.title + u' ' + panel.unit;
    if (range.grown)
        title += tr(", axis from %1 to %2").arg(figureText(range.lowValue, 0, sign), figureText(range.highValue, 0, sign));
    if (panel.scale == PanelScale::LogAbove100 && range.highValue > 160.0)
        title += tr(", logarithmic above 100");
    if (outside == 1)
        title += tr(", one outside");
    else if (outside > 1)
        title += tr(", %1 outside").arg(outside);
    piece.words->setTitle(m_compact ? QString() : title);
}

void LifeLinePlot::fillTicks(std::size_t index)
{
    const LifeLinePanel& panel = panels()[index];
    const double room = (drawingHeight() - heightBesidePanels()) / static_cast<double>(m_pieces->panels.size());
    const double label = QFontMetricsF(ink().font(TextRole::Axis)).height();
    QMap<double, QString> ticks;
    for (const PanelTick& tick : ticksThatFit(panel, rangeOf(panel, m_fixedScale), std::max(room, 1.0), label))
        ticks.insert(tick.at, tick.label);
    m_pieces->panels[index].ticker->setTicks(ticks);
}

double LifeLinePlot::heightBesidePanels() const
{
    const QFontMetricsF axis(ink().font(TextRole::Axis));
    const auto panels = static_cast<double>(m_pieces->panels.size());
    const bool strips = m_pieces->did != nullptr;
    const double titles = panels * (m_compact ? std::ceil(axis.height() / 2.0) : ink().px(kTitleRoom));
    const double gaps = (panels - 1.0 + (strips ? 2.0 : 0.0)) * ink().px(kRowGap);
    return titles + gaps + (strips ? ink().px(kDidHeight + kWhereHeight) : 0.0) + axis.height() + ink().px(10);
}

QSize LifeLinePlot::minimumSizeHint() const
{
    const QSize least = PlotBase::minimumSizeHint();
    if (m_compact || m_pieces->panels.empty())
        return least;
    const double label = QFontMetricsF(ink().font(TextRole::Axis)).height();
    double tallest = 0.0;
    for (const LifeLinePanel& panel : panels()) {
        const PanelRange range = rangeOf(panel, m_fixedScale);
        const auto ticks = ticksOf(panel, range, 4);
        // Three labels need two distances between the outer ones.
        if (ticks.size() >= 2 && range.high > range.low)
            tallest = std::max(tallest, 2.0 * label * (range.high - range.low) / (ticks.back().at - ticks.front().at));
    }
    const double canvasHeight = heightBesidePanels() + static_cast<double>(m_pieces->panels.size()) * std::ceil(tallest);
    return {least.width(), static_cast<int>(std::ceil(canvasHeight)) + heightBesideCanvas()};
}

QStringList LifeLinePlot::tickLabels(std::size_t panel) const
{
    return panel < m_pieces->panels.size() ? QStringList(m_pieces->panels[panel].ticker->ticks().values()) : QStringList();
}

void LifeLinePlot::applySpan()
{
    for (QCPAxisRect* rect : canvas().axisRects())
        rect->axis(QCPAxis::atBottom)->setRange(static_cast<double>(m_from), static_cast<double>(m_to));
    if (m_pieces->where != nullptr)
        for (QCPAxisRect* rect : {m_pieces->did, m_pieces->where})
            rect->axis(QCPAxis::atLeft)->setRange(0, 1);
    applyTicks();
    drawLater();
}

void LifeLinePlot::applyTicks()
{
    const int widthLeft = std::max(200, width() - 120);
    const int most = std::max(2, static_cast<int>(widthLeft / ink().px(76)));
    QMap<double, QString> ticks;
    for (const CalendarTick& tick : calendarTicks(m_from, m_to, most))
        ticks.insert(static_cast<double>(tick.utc), tick.label);
    m_pieces->timeTicker->setTicks(ticks);
}

void LifeLinePlot::resizeEvent(QResizeEvent* event)
{
    PlotBase::resizeEvent(event);
    if (!m_pieces->panels.empty())
        applyTicks();
}

bool LifeLinePlot::eventFilter(QObject* watched, QEvent* event)
{
    // The readout and the scale change the canvas without the plot: what fits is told by its own height.
    if (watched == &canvas() && event->type() == QEvent::Resize)
        for (std::size_t i = 0; i < m_pieces->panels.size(); ++i)
            fillTicks(i);
    return PlotBase::eventFilter(watched, event);
}

void LifeLinePlot::setSpan(qint64 from, qint64 to)
{
    constexpr qint64 kShortest = 6 * kHourSeconds;
    const qint64 whole = m_allTo - m_allFrom;
    const qint64 width = std::clamp(to - from, std::min(kShortest, whole), whole);
    const qint64 middle = from + (to - from) / 2;
    m_from = std::clamp(middle - width / 2, m_allFrom, m_allTo - width);
    m_to = m_from + width;
    applySpan();
}

void LifeLinePlot::zoomBy(double factor)
{
    const auto stop = cursor();
    const qint64 middle = stop ? m_stops[static_cast<std::size_t>(*stop)].utc : m_from + (m_to - m_from) / 2;
    const auto half = static_cast<qint64>(static_cast<double>(m_to - m_from) * factor / 2.0);
    setSpan(middle - half, middle + half);
}

bool LifeLinePlot::zoomAll()
{
    if (m_from == m_allFrom && m_to == m_allTo)
        return false;
    m_from = m_allFrom;
    m_to = m_allTo;
    applySpan();
    return true;
}

void LifeLinePlot::showStop(std::optional<int> stop)
{
    if (m_pieces->panels.empty())
        return;
    const Stop* at = stop && *stop < stopCount() ? &m_stops[static_cast<std::size_t>(*stop)] : nullptr;
    m_pieces->cursor->setAt(at != nullptr ? std::optional(static_cast<double>(at->utc)) : std::nullopt);
    for (std::size_t i = 0; i < m_pieces->panels.size(); ++i) {
        const LifeLinePanel& panel = panels()[i];
        std::vector<QPointF> rings;
        if (at != nullptr && static_cast<int>(i) == m_panel)
            for (const PhasePoint& p : panel.points)
                if (drawn(p) && !p.leftOut && atStop(p, *at))
                    rings.emplace_back(static_cast<double>(p.utc), toAxis(panel.scale, p.value));
        m_pieces->panels[i].rings->setAt(std::move(rings));
    }
    // A stop out of view is brought into view.
    if (at != nullptr && (at->utc < m_from || at->utc > m_to)) {
        const qint64 width = m_to - m_from;
        setSpan(at->utc - width / 2, at->utc + width / 2);
    }
}

std::optional<int> LifeLinePlot::stopAt(const QPointF& pixel) const
{
    if (m_pieces->panels.empty() || m_stops.empty())
        return std::nullopt;
    const QCPAxis* axis = m_pieces->panels.front().rect->axis(QCPAxis::atBottom);
    constexpr double kNear = 24.0;  // px, the least target
    std::optional<int> nearest;
    double best = kNear;
    for (int i = 0; i < stopCount(); ++i) {
        const double distance = std::abs(axis->coordToPixel(static_cast<double>(m_stops[static_cast<std::size_t>(i)].utc)) - pixel.x());
        if (distance < best) {
            best = distance;
            nearest = i;
        }
    }
    return nearest;
}

QString LifeLinePlot::visitAt(int stop) const
{
    return m_stops[static_cast<std::size_t>(stop)].visit;
}

QString LifeLinePlot::figureAt(int stop) const
{
    if (m_panel >= static_cast<int>(panels().size()))
        return {};
    QString figure;
    for (const PhasePoint& p : panels()[static_cast<std::size_t>(m_panel)].points)
        if (drawn(p) && atStop(p, m_stops[static_cast<std::size_t>(stop)]) && !p.figure.isEmpty() && !p.superseded)
            figure = p.figure;  // the last phase of the visit
    return figure;
}

void LifeLinePlot::setPhaseShown(core::Phase phase, bool shown)
{
    m_shown[static_cast<std::size_t>(phase)] = shown;
    collectStops();
    seriesChanged();
}

void LifeLinePlot::setRawShown(bool raw)
{
    if (raw == m_raw || m_series.rawPanels.empty())
        return;
    m_raw = raw;
    m_panel = 0;
    collectStops();
    build();
    seriesChanged();
    Q_EMIT rawToggled(raw);
}

void LifeLinePlot::setFixedScale(bool fixed)
{
    if (fixed == m_fixedScale)
        return;
    m_fixedScale = fixed;
    restyle();
    Q_EMIT fixedScaleToggled(fixed);
}

bool LifeLinePlot::wantsKey(const QKeyEvent& event) const
{
    if ((event.modifiers() & ~Qt::KeypadModifier) != Qt::NoModifier)
        return false;
    switch (event.key()) {
    case Qt::Key_Up:
    case Qt::Key_Down:
    case Qt::Key_0:
    case Qt::Key_1:
    case Qt::Key_2:
    case Qt::Key_3:
    case Qt::Key_M: return true;
    case Qt::Key_R: return !m_series.rawPanels.empty();
    case Qt::Key_Escape: return !m_ghostGone && !m_series.restated.isEmpty();
    default: return false;
    }
}

bool LifeLinePlot::takeKey(QKeyEvent& event)
{
    if (!wantsKey(event))
        return false;
    const auto toggle = [this](core::Phase phase) { setPhaseShown(phase, !phaseShown(phase)); };
    switch (event.key()) {
    case Qt::Key_Up:
    case Qt::Key_Down: {
        const int last = std::max(0, static_cast<int>(m_pieces->panels.size()) - 1);
        m_panel = std::clamp(m_panel + (event.key() == Qt::Key_Down ? 1 : -1), 0, last);
        seriesChanged();
        Q_EMIT readoutChanged(readout());
        return true;
    }
    case Qt::Key_0: setFixedScale(!m_fixedScale); return true;
    case Qt::Key_1: toggle(core::Phase::AsFound); return true;
    case Qt::Key_2: toggle(core::Phase::AfterClean); return true;
    case Qt::Key_3: toggle(core::Phase::AsLeft); return true;
    case Qt::Key_M: {
        // All, then each phase alone, then all again.
        const int shown = static_cast<int>(std::count(m_shown.begin(), m_shown.end(), true));
        const auto first = std::find(m_shown.begin(), m_shown.end(), true) - m_shown.begin();
        const bool all = shown != 1 || first == 2;
        const auto next = shown == 3 ? 0 : first + 1;
        for (std::size_t i = 0; i < m_shown.size(); ++i)
            m_shown[i] = (all && shown != 3) || static_cast<std::ptrdiff_t>(i) == next;
        collectStops();
        seriesChanged();
        return true;
    }
    case Qt::Key_R: setRawShown(!m_raw); return true;
    case Qt::Key_Escape:
        m_ghostGone = true;
        restyle();
        return true;
    default: return false;
    }
}

}  // namespace halfcell::app
