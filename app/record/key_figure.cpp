#include "app/record/key_figure.h"

#include "app/style/figure_painter.h"
#include "app/style/metrics.h"
#include "app/style/palette.h"
#include "app/style/type.h"

#include <QApplication>
#include <QClipboard>
#include <QFontMetricsF>
#include <QKeyEvent>
#include <QPainter>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

KeyFigureButton::KeyFigureButton(QWidget* parent) : QAbstractButton(parent)
{
    setFocusPolicy(Qt::StrongFocus);
    setSizePolicy(QSizePolicy::Maximum, QSizePolicy::Fixed);
}

void KeyFigureButton::setKeyFigure(const KeyFigure& figure)
{
    m_figure = figure;
    setObjectName(u"record.head."_s + figure.key);
    setAccessibleName(figure.label);
    setAccessibleDescription(spokenText(figure.figure));
    setToolTip(tr("Ctrl+E: its working"));
    updateGeometry();
    update();
}

KeyFigureButton::Words KeyFigureButton::words() const
{
    const Figure& f = m_figure.figure;
    if (!f.value)
        return {QString(), f.reason};
    QString rest = f.expanded ? uncertaintyText(*f.expanded, f.decimals) : QString();
    if (!f.unit.isEmpty())
        rest += (rest.isEmpty() ? QString() : u" "_s) + f.unit;
    return {figureText(*f.value, f.decimals, f.sign), rest};
}

QSize KeyFigureButton::sizeHint() const
{
    const Metrics metrics = Metrics::of(this);
    const Words text = words();
    const QFontMetricsF label(fontOf(TextRole::Hint, Weight::Regular, metrics.scale));
    const QFontMetricsF value(fontOf(TextRole::KeyFigure, Weight::Heavy, metrics.scale));
    const QFontMetricsF rest(fontOf(TextRole::Body, Weight::Regular, metrics.scale));
    const double lower = value.horizontalAdvance(text.value) + metrics.px(6) + rest.horizontalAdvance(text.rest);
    return {static_cast<int>(std::ceil(std::max(label.horizontalAdvance(m_figure.label), lower))) + metrics.px(4),
            static_cast<int>(std::ceil(label.height() + value.height()))};
}

void KeyFigureButton::paintEvent(QPaintEvent* event)
{
    Q_UNUSED(event);
    const Metrics metrics = Metrics::of(this);
    const Palette colors = Palette::of(palette());
    const Words text = words();
    const QFont label = fontOf(TextRole::Hint, Weight::Regular, metrics.scale);
    const QFont value = fontOf(TextRole::KeyFigure, Weight::Heavy, metrics.scale);
    const QFont rest = fontOf(TextRole::Body, Weight::Regular, metrics.scale);
    QPainter painter(this);
    painter.setFont(label);
    painter.setPen(colors[Role::Ink2]);
    const double top = QFontMetricsF(label).ascent();
    painter.drawText(QPointF(0, top), m_figure.label);
    const double baseline = QFontMetricsF(label).height() + QFontMetricsF(value).ascent();
    double x = 0;
    if (!text.value.isEmpty()) {
        painter.setPen(colors[Role::Ink1]);
        x = paintFigureText(painter, QPointF(0, baseline), text.value, value, measureFigures(value)) + metrics.px(6);
    }
    painter.setFont(rest);
    painter.setPen(colors[Role::Ink3]);
    painter.drawText(QPointF(x, baseline), text.rest);
}

void KeyFigureButton::keyPressEvent(QKeyEvent* event)
{
    const bool working = event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter ||
                         (event->key() == Qt::Key_E && event->modifiers() == Qt::ControlModifier);
    if (working)
        Q_EMIT clicked();
    else if (event->matches(QKeySequence::Copy))
        QApplication::clipboard()->setText(copyText(m_figure.figure));
    else if (event->key() == Qt::Key_C && event->modifiers() == (Qt::ControlModifier | Qt::ShiftModifier))
        QApplication::clipboard()->setText(copyFullText(m_figure.figure, QString()));
    else
        QAbstractButton::keyPressEvent(event);
}

}  // namespace halfcell::app
