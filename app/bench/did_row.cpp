#include "app/bench/did_row.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/say.h"
#include "app/style/metrics.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QFontMetrics>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>

namespace halfcell::app::bench {

using namespace core;

DidRow::DidRow(BenchPresenter& presenter, QWidget* parent) : QAbstractButton(parent), m_presenter(presenter)
{
    setObjectName(QStringLiteral("bench.did.steps"));
    setFocusPolicy(Qt::StrongFocus);
    setTextRole(this, TextRole::Body);
    setAccessibleName(tr("Did, one letter for each step"));
    QSizePolicy policy(QSizePolicy::Preferred, QSizePolicy::Minimum);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
    refresh();
}

void DidRow::refresh()
{
    const VisitDraft& draft = m_presenter.model().draft();
    const RuleSet& rules = *m_presenter.model().hand().rules;
    QStringList parts;
    int number = 0;
    for (const Step& step : draft.steps) {
        const ActionRule& rule = rules.action(step.action);
        QString words = QStringLiteral("%1\u00A0%2\u00A0%3")
                            .arg(++number)
                            .arg(QChar::fromLatin1(rule.letter))
                            .arg(QString::fromStdString(rule.name).replace(u' ', QChar::Nbsp));
        if (!step.strength.empty() && step.action == ActionKey::CleanAcid)
            words += QChar::Nbsp + QString::fromStdString(step.strength).replace(u' ', QChar::Nbsp);
        if (step.started)
            words += tr(", running");
        else if (!step.minutes.empty())
            words += tr(", %1\u00A0min").arg(QString::fromStdString(step.minutes));
        if (!step.newSerial.empty())
            words += tr(" by\u00A0%1").arg(QString::fromStdString(step.newSerial));
        if (step.reason)
            words += QStringLiteral(" (") + spelled(wordsOf(*step.reason)) + u')';
        parts << words;
    }
    m_steps = parts.join(QStringLiteral("     "));
    const bool here = m_presenter.model().stop().kind == StopKind::Did;
    m_hint = draft.steps.empty() ? (here ? tr("the letter of the step before it is done; Enter: nothing (more) done") : tr("nothing yet"))
             : here              ? tr("next letter · Space or digits: minutes · F3 tests · Enter ends")
                                 : QString();
    setAccessibleDescription(m_steps.isEmpty() ? m_hint : m_steps);
    updateGeometry();
    update();
}

QRect DidRow::textBox(int width) const
{
    const Metrics metrics = Metrics::of(this);
    return {metrics.grid(2), metrics.grid(1), std::max(width - metrics.grid(4), metrics.px(100)), 100000};
}

int DidRow::heightForWidth(int width) const
{
    const Metrics metrics = Metrics::of(this);
    const QFontMetrics face(font());
    const QRect box = textBox(width);
    int height = metrics.grid(2);
    if (!m_steps.isEmpty())
        height += face.boundingRect(box, Qt::TextWordWrap, m_steps).height();
    if (!m_hint.isEmpty())
        height += face.height();
    return std::max(height, metrics.field());
}

QSize DidRow::sizeHint() const
{
    return {Metrics::of(this).px(300), heightForWidth(width())};
}

QSize DidRow::minimumSizeHint() const
{
    return {Metrics::of(this).px(120), Metrics::of(this).field()};
}

void DidRow::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    const Palette colors = Palette::of(palette());
    QRect box = textBox(width());
    const QFontMetrics face(font());
    if (m_steps.isEmpty())
        box.setTop((height() - face.height()) / 2);
    else {
        painter.setPen(colors[Role::Ink1]);
        painter.drawText(box, Qt::TextWordWrap, m_steps);
        box.setTop(box.top() + face.boundingRect(box, Qt::TextWordWrap, m_steps).height());
    }
    painter.setPen(colors[Role::Ink3]);
    painter.drawText(box, Qt::AlignTop | Qt::AlignLeft, face.elidedText(m_hint, Qt::ElideRight, box.width()));
}

void DidRow::keyPressEvent(QKeyEvent* event)
{
    event->ignore();  // the ladder gives every key to the presenter
}

void DidRow::focusInEvent(QFocusEvent* event)
{
    QAbstractButton::focusInEvent(event);
    if (event->reason() != Qt::ActiveWindowFocusReason)
        m_presenter.goTo({StopKind::Did});
}

void DidRow::mousePressEvent(QMouseEvent* event)
{
    setFocus(Qt::MouseFocusReason);
    event->accept();
}

}  // namespace halfcell::app::bench
