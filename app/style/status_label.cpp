#include "app/style/status_label.h"

#include "app/style/metrics.h"

#include <QFontMetrics>
#include <QPainter>

#include <algorithm>

namespace halfcell::app {

StatusLabel::StatusLabel(int size, QWidget* parent) : QWidget(parent), m_size(size)
{
    setCondition(m_condition);
}

void StatusLabel::setCondition(Condition condition)
{
    m_condition = condition;
    setAccessibleName(signalSpoken(condition));
    updateGeometry();
    update();
}

QSize StatusLabel::sizeHint() const
{
    const Metrics metrics = Metrics::of(this);
    const QFontMetrics text(font());
    const int mark = metrics.px(m_size);
    return {mark + metrics.spacing() + text.horizontalAdvance(signalWord(m_condition)) + 1, std::max(mark, text.height())};
}

void StatusLabel::paintEvent(QPaintEvent* event)
{
    Q_UNUSED(event);
    const Metrics metrics = Metrics::of(this);
    const Palette colors = Palette::of(palette());
    const int mark = metrics.px(m_size);
    QPainter painter(this);
    paintSignal(painter, QRectF(0, (height() - mark) / 2.0, mark, mark), m_condition, colors);
    painter.setPen(colors[m_condition && *m_condition != core::Signal::Normal ? Role::Ink1 : Role::Ink2]);
    painter.drawText(rect().adjusted(mark + metrics.spacing(), 0, 0, 0), Qt::AlignLeft | Qt::AlignVCenter, signalWord(m_condition));
}

PhaseLabel::PhaseLabel(core::Phase phase, QWidget* parent) : QWidget(parent), m_phase(phase)
{
    setAccessibleName(phaseWord(phase));
}

QSize PhaseLabel::sizeHint() const
{
    const int side = Metrics::of(this).mark();
    return {side, side};
}

void PhaseLabel::paintEvent(QPaintEvent* event)
{
    Q_UNUSED(event);
    const Palette colors = Palette::of(palette());
    QPainter painter(this);
    paintPhase(painter, QRectF(rect()).center(), Metrics::of(this).px(11), m_phase, false, colors[Role::Ink1], colors[Role::Well]);
}

}  // namespace halfcell::app
