#include "app/bench/phase_head.h"

#include "app/bench/form_parts.h"
#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/status_label.h"

#include <QEvent>
#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QTextDocument>

namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr double kCoverage = 2.0;

std::optional<double> expanded(const std::optional<double>& u)
{
    return u ? std::optional(kCoverage * *u) : std::nullopt;
}

}  // namespace

PhaseHead::PhaseHead(std::optional<Phase> phase, const QString& title, QWidget* parent) : QWidget(parent)
{
    const Metrics metrics = Metrics::of(this);
    setSurface(this, Role::Raised);
    m_row = new QHBoxLayout(this);
    m_row->setContentsMargins(metrics.grid(3), 0, metrics.grid(2), 0);
    m_row->setSpacing(metrics.spacing());
    if (phase)
        m_row->addWidget(new PhaseLabel(*phase, this));
    m_title = formLabel(title, TextRole::Body, Role::Ink1, this, Weight::Heavy);
    m_row->addWidget(m_title);
    m_row->addStretch(1);
    m_figures = new QLabel(this);
    m_figures->setTextFormat(Qt::RichText);
    setTextRole(m_figures, TextRole::Body);
    m_row->addWidget(m_figures);
}

QSize PhaseHead::sizeHint() const
{
    return {QWidget::sizeHint().width(), Metrics::of(this).row()};
}

void PhaseHead::setTitle(const QString& title)
{
    m_title->setText(title);
}

void PhaseHead::addBeside(QWidget* widget)
{
    m_row->insertWidget(m_row->indexOf(m_title) + 1, widget);
}

void PhaseHead::showFigures(const LivePhase& live)
{
    m_live.figures = live.figures;
    m_any = live.any();
    compose();
}

QString PhaseHead::figuresText() const
{
    QTextDocument document;
    document.setHtml(m_figures->text());
    return document.toPlainText().replace(QChar::Nbsp, u' ');
}

void PhaseHead::compose()
{
    if (!m_any) {
        m_figures->clear();
        m_figures->setAccessibleName({});
        return;
    }
    const Palette colors = Palette::of(palette());
    const PhaseFigures& f = m_live.figures;
    QStringList parts;
    const auto add = [&](const Shown& shown) {
        if (shown.value)
            parts << figureHtml(shown, colors);
    };
    if (f.kind == SensorKind::Ph) {
        add({.value = f.efficiency_pct, .expanded = expanded(f.u_efficiency_pct), .decimals = 1, .unit = QStringLiteral("%")});
        add({.value = f.offset_mv, .expanded = expanded(f.u_offset_mv), .decimals = 1, .sign = true, .unit = tr("mV")});
        add({.value = f.t90_s, .decimals = 0, .unit = tr("s"), .lead = tr("t90")});
    } else {
        add({.value = f.offset_mv, .expanded = expanded(f.u_offset_mv), .decimals = 0, .sign = true, .unit = tr("mV"), .lead = tr("offset")});
        add({.value = f.span_pct, .expanded = expanded(f.u_span_pct), .decimals = 0, .unit = QStringLiteral("%"), .lead = tr("span")});
    }
    m_figures->setText(parts.join(QStringLiteral("&nbsp;&nbsp;&nbsp; ")));
    m_figures->setAccessibleName(figuresText());
}

void PhaseHead::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange && m_figures)
        compose();
}

void PhaseHead::paintEvent(QPaintEvent* event)
{
    QWidget::paintEvent(event);
    QPainter painter(this);
    painter.fillRect(QRect(0, 0, Metrics::of(this).selectionBar(), height()), Palette::of(palette())[Role::Ink1]);
}

}  // namespace halfcell::app::bench
