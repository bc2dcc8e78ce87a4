#include "app/bench/readings_panel.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/form_parts.h"
#include "app/bench/settle_view.h"
#include "app/bench/test_panel.h"
#include "app/panels/plain_words.h"
#include "app/plots/slope_plot.h"
#include "app/plots/two_rung_gauge.h"
#include "app/style/figures.h"
#include "app/style/metrics.h"
#include "core/rules/test_words.h"

#include <QLabel>
#include <QTextDocument>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>

namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr std::size_t kFindingsShown = 3;
constexpr std::size_t kReasonsShown = 2;

QString plain(const QString& html)
{
    QTextDocument document;
    document.setHtml(html);
    return document.toPlainText().replace(QChar::Nbsp, u' ');
}

/// The words under a plot come first: it takes what they leave, down to its least height.
void leaveRoom(QWidget* plot, int least)
{
    plot->setMinimumHeight(least);
    plot->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Ignored);
}

}  // namespace

ReadingsPanel::ReadingsPanel(BenchPresenter& presenter, QWidget* parent) : QWidget(parent), m_presenter(presenter)
{
    setObjectName(QStringLiteral("bench.readings.panel"));
    const Metrics metrics = Metrics::of(this);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(metrics.grid(3), metrics.grid(3), metrics.grid(3), metrics.grid(3));
    column->setSpacing(metrics.grid(1));
    m_common = new NoteLine(this);
    m_common->setObjectName(QStringLiteral("bench.readings.common"));
    column->addWidget(m_common);
    m_evidence = wrappedLine({}, TextRole::Hint, this, Role::Ink2);
    m_evidence->setObjectName(QStringLiteral("bench.readings.common.evidence"));
    column->addWidget(m_evidence);
    const QString serial = QString::fromStdString(presenter.model().draft().serial);
    if (presenter.model().draft().kind == SensorKind::Orp) {
        column->addWidget(partHead(tr("Expected against read, mV"), this));
        m_gauge = new TwoRungGauge(this);
        m_gauge->setNames(QStringLiteral("bench.readings.gauge"), tr("Expected and read potential of %1").arg(serial));
        leaveRoom(m_gauge, metrics.px(200));
        column->addWidget(m_gauge, 3);
    } else {
        m_slope = new SlopePlot(this);
        m_slope->setNames(QStringLiteral("bench.readings.slope"), tr("Slope line of %1").arg(serial));
        m_slope->setReadoutShown(false);
        leaveRoom(m_slope, metrics.px(104));
        column->addWidget(m_slope, 1);
        m_magnifier = new Magnifier(this);
        m_magnifier->setNames(QStringLiteral("bench.readings.magnifier"), tr("Millivolts off the ideal line of %1").arg(serial));
        leaveRoom(m_magnifier, metrics.px(168));
        column->addWidget(m_magnifier, 2);
    }
    m_settle = new SettleView(presenter, this);
    column->addWidget(m_settle);
    column->addWidget(partHead(tr("What the readings say"), this));
    m_sentence = wrappedLine({}, TextRole::Body, this, Role::Ink1);
    m_sentence->setObjectName(QStringLiteral("bench.readings.sentence"));
    column->addWidget(m_sentence);
    m_findings = new WrappedLabel({}, this);
    m_findings->setObjectName(QStringLiteral("bench.readings.findings"));
    m_findings->setTextFormat(Qt::RichText);
    setTextRole(m_findings, TextRole::Body);
    column->addWidget(m_findings);
    m_next = wrappedLine({}, TextRole::Body, this, Role::Ink2);
    m_next->setObjectName(QStringLiteral("bench.readings.next"));
    column->addWidget(m_next);
    m_fitness = wrappedLine({}, TextRole::Body, this, Role::Ink1);
    m_fitness->setObjectName(QStringLiteral("bench.readings.fitness"));
    column->addWidget(m_fitness);
    column->addStretch(0);
    connect(&presenter, &BenchPresenter::liveChanged, this, &ReadingsPanel::refresh);
    connect(&presenter, &BenchPresenter::formChanged, m_settle, &SettleView::refresh);
    refresh();
}

void ReadingsPanel::refresh()
{
    if (!m_presenter.hasVisit())
        return;
    const LiveReadings& live = m_presenter.live();
    const SensorInHand& hand = m_presenter.model().hand();
    if (m_gauge) {
        auto series = gaugeSeriesOf(live, hand);
        if (!(series == m_gauge->series()))
            m_gauge->setSeries(std::move(series));
    } else {
        auto series = slopeSeriesOf(live, hand);
        if (!(series == m_slope->series())) {
            m_slope->setSeries(series);
            m_magnifier->setSeries(std::move(series));
        }
    }
    showCommon();
    m_fitness->setText(live.fitness);
    m_fitness->setVisible(!live.fitness.isEmpty());
    showFindings();
}

void ReadingsPanel::showCommon()
{
    const auto& common = m_presenter.live().common;
    m_evidence->setVisible(common.has_value());
    if (!common) {
        m_common->show({}, false);
        m_evidence->clear();
        return;
    }
    QString text = tr("%1 (%2). Question the bottle, thermometer and meter before any sensor: read again in a fresh bottle, with a "
                      "thermometer in it. Ctrl+B chooses the bottle.")
                       .arg(toScreen(QString::fromStdString(common->text)), probabilityText(common->probability));
    if (common->holdsBack)
        text += u' ' + tr("What is found on this sensor is held back until the bottle is cleared.");
    m_common->show(text, true);
    constexpr std::size_t kMembersShown = 6;
    QStringList members;
    for (const RoundShare& m : common->members) {
        if (static_cast<std::size_t>(members.size()) == kMembersShown)
            break;
        members << tr("%1 %2 %, %3 mV")
                       .arg(QString::fromStdString(m.serial), figureText(m.efficiency_pct, 1, Sign::Always),
                            figureText(m.offset_mv, 0, Sign::Always));
    }
    if (common->members.size() > kMembersShown)
        members << tr("%1 more").arg(common->members.size() - kMembersShown);
    m_evidence->setText(tr("Against what was expected: %1").arg(members.join(QStringLiteral(" · "))));
}

void ReadingsPanel::showFindings()
{
    const LiveReadings& live = m_presenter.live();
    const Palette colors = Palette::of(palette());
    m_sentence->setText(live.findings.empty() ? tr("Nothing yet: the first reading with its temperature.") : live.sentence);
    QString html;
    for (std::size_t i = 0; i < std::min(kFindingsShown, live.findings.size()); ++i) {
        const Finding& finding = live.findings[i];
        html += QStringLiteral("<p style='margin:0 0 2px 0'><b>%1</b>").arg(QString::fromStdString(finding.title).toHtmlEscaped());
        if (finding.probability)
            html += QStringLiteral(" &nbsp;%1").arg(probabilityText(*finding.probability));
        std::size_t reasons = 0;
        for (const Because& b : finding.because) {
            if (b.side != Because::Side::For && b.side != Because::Side::Against)
                continue;
            if (reasons++ == kReasonsShown)
                break;
            QString words = toScreen(QString::fromStdString(b.text)).toHtmlEscaped();
            if (b.side == Because::Side::Against)
                words = tr("against: %1").arg(words);
            html += QStringLiteral("<br><span style='color:%1'>%2</span>").arg(colors[Role::Ink2].name(), words);
        }
        html += QStringLiteral("</p>");
    }
    const auto asking = std::ranges::find_if(live.findings, [](const Finding& f) { return f.next_test.has_value(); });
    m_next->setVisible(asking != live.findings.end());
    if (asking != live.findings.end()) {
        const NextTest& next = *asking->next_test;
        QString words = tr("To tell more: %1, %2 min, tells %3.")
                            .arg(screenWords(testWords(next.test)), QString::number(std::lround(next.minutes)), screenWords(next.splits));
        if (isOnPanel(next.test))
            words += u' ' + tr("F3 shows how.");
        m_next->setText(words);
    }
    m_findings->setText(html);
    m_findings->setVisible(!html.isEmpty());
}

QString ReadingsPanel::findingsText() const
{
    return plain(m_findings->text());
}

QString ReadingsPanel::commonText() const
{
    return m_common->text();
}

QString ReadingsPanel::evidenceText() const
{
    return m_evidence->text();
}

QString ReadingsPanel::fitnessText() const
{
    return m_fitness->text();
}

}  // namespace halfcell::app::bench
