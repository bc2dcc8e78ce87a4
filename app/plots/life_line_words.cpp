// What a life line says: readout, summary, table.
#include "app/plots/life_line_plot.h"
#include "app/style/figures.h"
#include "app/style/marks.h"
#include "core/quantity/instant.h"

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QString monthsText(double days)
{
    constexpr double kDaysPerMonth = 365.2425 / 12.0;
    if (days < 14.0)
        return LifeLinePlot::tr("%1 days").arg(std::lround(std::max(1.0, days)));
    return LifeLinePlot::tr("%1 months").arg(figureText(days / kDaysPerMonth, 1, Sign::WhenNegative));
}

QString count(std::size_t n, const QString& one, const QString& many)
{
    return n == 1 ? one : many.arg(n);
}

QString valueText(const LifeLinePanel& panel, double value)
{
    return figureText(value, panel.decimals, panel.sign ? Sign::Always : Sign::WhenNegative);
}

QString pointText(const LifeLinePanel& panel, const PhasePoint& p)
{
    QString text = phaseWord(p.phase) + u' ' + valueText(panel, p.value);
    if (p.expanded)
        text += u' ' + uncertaintyText(*p.expanded, panel.decimals);
    if (!panel.unit.isEmpty())
        text += u' ' + panel.unit;
    if (p.superseded)
        text += LifeLinePlot::tr(" (corrected%1)").arg(p.reason.isEmpty() ? QString() : u": "_s + p.reason);
    else if (p.leftOut)
        text += LifeLinePlot::tr(" (left out%1)").arg(p.reason.isEmpty() ? QString() : u": "_s + p.reason);
    return text;
}

}  // namespace

QString LifeLinePlot::readoutAt(int stop) const
{
    const Stop& at = m_stops[static_cast<std::size_t>(stop)];
    QStringList parts;
    for (std::size_t i = 0; i < panels().size(); ++i) {
        const LifeLinePanel& panel = panels()[i];
        QStringList values;
        for (const PhasePoint& p : panel.points)
            if (drawn(p) && atStop(p, at))
                values.append(pointText(panel, p));
        if (!values.isEmpty())
            parts.append(panel.title + u": "_s + values.join(u", "_s));
    }
    QString text = momentText(at.utc) + u"  "_s + parts.join(u"; "_s);
    for (const VisitWords& words : m_series.visits) {
        if (words.visit != at.visit || at.visit.isEmpty())
            continue;
        if (!words.note.isEmpty())
            text += u"; "_s + words.note;
        if (!words.person.isEmpty())
            text += tr("; by %1").arg(words.person);
        if (!words.lots.isEmpty())
            text += tr("; lots %1").arg(words.lots);
    }
    if (!at.visit.isEmpty())
        text += tr("  Enter opens the visit");
    if (!figureAt(stop).isEmpty())
        text += tr(", Ctrl+E its working");
    return text;
}

QString LifeLinePlot::composeSummary() const
{
    if (!m_series.summary.isEmpty())
        return m_series.summary;
    if (m_stops.empty() || panels().empty())
        return tr("No visit yet.");
    const LifeLinePanel& panel = panels().front();
    QStringList parts;
    const double days = static_cast<double>(m_stops.back().utc - m_stops.front().utc) / 86400.0;
    parts.append(count(m_stops.size(), tr("one visit"), tr("%1 visits in %2").arg(u"%1"_s, monthsText(days))));
    std::vector<double> left, found;
    for (const PhasePoint& p : panel.points) {
        if (p.superseded || p.leftOut || !drawn(p))
            continue;
        if (p.phase == core::Phase::AsLeft)
            left.push_back(p.value);
        else if (p.phase == core::Phase::AsFound)
            found.push_back(p.value);
    }
    if (left.size() == 1)
        parts.append(tr("as left %1").arg(valueText(panel, left.front())));
    else if (!left.empty())
        parts.append(tr("as left %1 to %2").arg(valueText(panel, left.front()), valueText(panel, left.back())));
    if (!found.empty())
        parts.append(tr("as found down to %1").arg(valueText(panel, *std::min_element(found.begin(), found.end()))));
    std::size_t renewed = 0;
    for (const DidMark& mark : m_series.did)
        renewed += static_cast<std::size_t>(std::count_if(mark.steps.begin(), mark.steps.end(), [](const DidStep& s) { return s.renewed; }));
    parts.append(renewed == 0 ? tr("nothing renewed") : count(renewed, tr("one part renewed"), tr("%1 parts renewed")));
    if (panel.fan.empty())
        parts.append(tr("no outlook"));
    else
        parts.append(tr("fan to %1 weeks").arg(std::lround(static_cast<double>(panel.fan.back().utc - m_series.now) / (7.0 * 86400.0))));
    QString text = panel.title.isEmpty() ? parts.join(u"; "_s) : panel.title + u": "_s + parts.join(u"; "_s);
    if (!m_series.restated.isEmpty() && !m_ghostGone)
        text += u"; "_s + m_series.restated;
    return text;
}

PlotTable LifeLinePlot::table() const
{
    PlotTable table;
    table.head = {u"when"_s, u"kind"_s,  u"panel"_s, u"unit"_s,  u"phase"_s, u"value"_s, u"expanded_uncertainty"_s, u"p10"_s, u"p25"_s, u"p50"_s,
                  u"p75"_s,  u"p90"_s,   u"state"_s, u"visit"_s, u"person"_s, u"lots"_s, u"note"_s};
    const auto row = [&](std::vector<PlotCell> cells) {
        cells.resize(table.head.size());
        table.rows.push_back(std::move(cells));
    };
    const auto inView = [&](std::int64_t utc) { return utc >= m_from && utc <= m_to; };
    const std::size_t shownPanels = m_compact ? std::min<std::size_t>(1, panels().size()) : panels().size();
    for (std::size_t i = 0; i < shownPanels; ++i) {
        const LifeLinePanel& panel = panels()[i];
        const auto number = [&](double v) { return numberCell(v, panel.decimals, panel.sign); };
        for (const PhasePoint& p : panel.points) {
            if (!drawn(p) || !inView(p.utc))
                continue;
            const auto words = std::find_if(m_series.visits.begin(), m_series.visits.end(),
                                            [&](const VisitWords& w) { return !p.visit.isEmpty() && w.visit == p.visit; });
            const bool known = words != m_series.visits.end();
            QString state = p.superseded ? u"corrected"_s : p.leftOut ? u"left out"_s : QString();
            if (!p.reason.isEmpty() && !state.isEmpty())
                state += u": "_s + p.reason;
            row({timeCell(p.utc), textCell(u"reading"_s), textCell(panel.key), textCell(panel.unit),
                 {QString::fromUtf8(core::keyOf(p.phase).data(), static_cast<qsizetype>(core::keyOf(p.phase).size())), phaseWord(p.phase)},
                 number(p.value), numberCell(p.expanded, panel.decimals, false), {}, {}, {}, {}, {}, textCell(state), textCell(p.visit),
                 textCell(known ? words->person : QString()), textCell(known ? words->lots : QString()), textCell(known ? words->note : QString())});
        }
        for (const FanPoint& p : panel.fan)
            if (inView(p.utc))
                row({timeCell(p.utc), textCell(u"outlook"_s), textCell(panel.key), textCell(panel.unit), {}, {}, {}, number(p.p10), number(p.p25),
                     number(p.p50), number(p.p75), number(p.p90)});
        for (const PlotLimit& limit : panel.limits)
            row({{}, textCell(u"limit"_s), textCell(panel.key), textCell(panel.unit), {}, number(limit.value), {}, {}, {}, {}, {}, {}, {}, {}, {}, {},
                 textCell(limit.name)});
    }
    if (m_compact)
        return table;
    for (const DidMark& mark : m_series.did) {
        if (!inView(mark.utc))
            continue;
        QStringList steps;
        for (const DidStep& step : mark.steps)
            steps.append(step.words.isEmpty() ? step.letter : step.letter + u' ' + step.words);
        row({timeCell(mark.utc), textCell(u"did"_s), {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, textCell(steps.join(u", "_s))});
    }
    for (const PlacementBar& bar : m_series.where) {
        const qint64 to = bar.to.value_or(m_series.now);
        if (to < m_from || bar.from > m_to)
            continue;
        row({timeCell(bar.from), textCell(u"placement"_s), {}, {}, {}, {}, {}, {}, {}, {}, {}, {},
             bar.to ? textCell(u"to "_s + timeCell(*bar.to).file) : textCell(u"still there"_s), {}, {}, {}, textCell(bar.place)});
    }
    return table;
}

}  // namespace halfcell::app
