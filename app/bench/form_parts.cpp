#include "app/bench/form_parts.h"

#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"

#include <QFontMetrics>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>
#include <utility>

namespace halfcell::app::bench {

QLabel* formLabel(const QString& text, TextRole role, Role ink, QWidget* parent, Weight weight)
{
    auto* label = new QLabel(text, parent);
    label->setTextFormat(Qt::PlainText);
    setTextRole(label, role, weight);
    setInk(label, ink);
    return label;
}

QLabel* wrappedLine(const QString& text, TextRole role, QWidget* parent, Role ink, Weight weight)
{
    auto* label = new WrappedLabel(text, parent);
    label->setTextFormat(Qt::PlainText);
    setTextRole(label, role, weight);
    setInk(label, ink);
    return label;
}

QLabel* wrappedLine(const QString& text, QWidget* parent, Role ink)
{
    return wrappedLine(text, TextRole::Body, parent, ink);
}

void setInk(QLabel* label, Role ink)
{
    label->setForegroundRole(ink == Role::Ink1   ? QPalette::WindowText
                             : ink == Role::Ink2 ? QPalette::BrightText
                                                 : QPalette::PlaceholderText);
}

QLabel* partHead(const QString& text, QWidget* parent)
{
    return formLabel(text, TextRole::Hint, Role::Ink2, parent, Weight::Heavy);
}

// --- notes -----------------------------------------------------------------------------------------------------------

NoteLine::NoteLine(QWidget* parent) : WrappedLabel({}, parent)
{
    setTextFormat(Qt::PlainText);
    setTextRole(this, TextRole::Hint);
    const Metrics metrics = Metrics::of(this);
    setContentsMargins(metrics.grid(3), metrics.grid(1), 0, metrics.grid(1));
    hide();
}

void NoteLine::show(const QString& text, bool asks)
{
    if (asks != m_asks) {
        m_asks = asks;
        setTextRole(this, TextRole::Hint, asks ? Weight::Heavy : Weight::Regular);
    }
    setText(text);
    setAccessibleName(text);
    setVisible(!text.isEmpty());
    update();
}

void NoteLine::paintEvent(QPaintEvent* event)
{
    WrappedLabel::paintEvent(event);
    QPainter painter(this);
    const Palette colors = Palette::of(palette());
    const Metrics metrics = Metrics::of(this);
    painter.fillRect(QRect(0, metrics.px(3), metrics.px(m_asks ? 4 : 2), height() - metrics.px(6)),
                     colors[m_asks ? Role::Ink1 : Role::Edge]);
}

// --- choices ---------------------------------------------------------------------------------------------------------

KeyStrip::KeyStrip(std::vector<Choice> choices, QWidget* parent) : QAbstractButton(parent), m_choices(std::move(choices))
{
    setFocusPolicy(Qt::StrongFocus);
    setTextRole(this, m_choices.front().boxed ? TextRole::Field : TextRole::Body);
}

void KeyStrip::setChosen(int index)
{
    if (m_chosen == index)
        return;
    m_chosen = index;
    setAccessibleDescription(index >= 0 ? m_choices[static_cast<std::size_t>(index)].words : tr("not chosen"));
    update();
}

QRect KeyStrip::cell(int index) const
{
    const Metrics metrics = Metrics::of(this);
    const QFontMetrics text(font());
    int x = 0;
    for (int i = 0;; ++i) {
        const Choice& choice = m_choices[static_cast<std::size_t>(i)];
        const int width = choice.boxed ? metrics.field() : text.horizontalAdvance(choice.words) + metrics.grid(4);
        if (i == index)
            return {x, (height() - metrics.field()) / 2, width, metrics.field()};
        x += width + metrics.grid(1);
    }
}

QSize KeyStrip::sizeHint() const
{
    const QRect last = cell(static_cast<int>(m_choices.size()) - 1);
    return {last.right() + 1, Metrics::of(this).field()};
}

void KeyStrip::paintEvent(QPaintEvent*)
{
    const Palette colors = Palette::of(palette());
    QPainter painter(this);
    for (int i = 0; i < static_cast<int>(m_choices.size()); ++i) {
        const Choice& choice = m_choices[static_cast<std::size_t>(i)];
        const QRect box = cell(i);
        const bool on = i == m_chosen;
        QFont face = font();
        face.setBold(on || choice.boxed);
        painter.setFont(face);
        if (on)
            painter.fillRect(box, colors[Role::Ink1]);
        else if (choice.boxed)
            painter.fillRect(box, colors[Role::Well]);
        if (choice.boxed || on) {
            painter.setPen(colors[on ? Role::Ink1 : Role::Edge]);
            painter.drawRect(box.adjusted(0, 0, -1, -1));
        }
        painter.setPen(on ? colors[Role::Ground] : isEnabled() ? colors[Role::Ink1] : colors[Role::Ink3]);
        painter.drawText(box, Qt::AlignCenter, choice.boxed ? QString(choice.key) : choice.words);
    }
}

void KeyStrip::mouseReleaseEvent(QMouseEvent* event)
{
    for (int i = 0; i < static_cast<int>(m_choices.size()); ++i)
        if (cell(i).contains(event->position().toPoint())) {
            Q_EMIT picked(m_choices[static_cast<std::size_t>(i)].key);
            return;
        }
}

void KeyStrip::keyPressEvent(QKeyEvent* event)
{
    event->ignore();  // the ladder gives every key to the presenter
}

void KeyStrip::focusInEvent(QFocusEvent* event)
{
    QAbstractButton::focusInEvent(event);
    if (event->reason() != Qt::ActiveWindowFocusReason)
        Q_EMIT focused();
}

// --- figures ---------------------------------------------------------------------------------------------------------

QString figureHtml(const Shown& figure, const Palette& palette)
{
    if (!figure.value)
        return {};
    QString html;
    if (!figure.lead.isEmpty())
        html += figure.lead.toHtmlEscaped() + QStringLiteral("&nbsp;");
    html += QStringLiteral("<b>%1</b>").arg(figureText(*figure.value, figure.decimals, figure.sign ? Sign::Always : Sign::WhenNegative));
    html += QStringLiteral("<span style='color:%1'>").arg(palette[Role::Ink3].name());
    if (figure.expanded)
        html += QStringLiteral("&nbsp;") + uncertaintyText(*figure.expanded, figure.decimals);
    if (!figure.unit.isEmpty())
        html += QStringLiteral("&nbsp;") + figure.unit.toHtmlEscaped();
    return html + QStringLiteral("</span>");
}

}  // namespace halfcell::app::bench
