#include "app/style/focus_ring.h"

#include "app/style/metrics.h"
#include "app/style/palette.h"

#include <QAbstractButton>
#include <QAbstractItemView>
#include <QAbstractSlider>
#include <QAbstractSpinBox>
#include <QApplication>
#include <QComboBox>
#include <QEvent>
#include <QLineEdit>
#include <QPainter>
#include <QPlainTextEdit>
#include <QTextEdit>

namespace halfcell::app {

FocusRing::FocusRing(QWidget* window) : QWidget(window), m_window(window)
{
    setAttribute(Qt::WA_TransparentForMouseEvents);
    setAttribute(Qt::WA_NoSystemBackground);
    setFocusPolicy(Qt::NoFocus);
    hide();
    connect(qApp, &QApplication::focusChanged, this, [this](QWidget*, QWidget* now) { follow(now); });
    if (QWidget* now = QApplication::focusWidget())
        follow(now);
}

bool FocusRing::wantsRing(const QWidget* widget)
{
    if (widget == nullptr || qobject_cast<const QAbstractItemView*>(widget) != nullptr || widget->property(kOwnFocus).toBool())
        return false;
    return qobject_cast<const QAbstractButton*>(widget) != nullptr || qobject_cast<const QLineEdit*>(widget) != nullptr
           || qobject_cast<const QAbstractSpinBox*>(widget) != nullptr || qobject_cast<const QComboBox*>(widget) != nullptr
           || qobject_cast<const QAbstractSlider*>(widget) != nullptr || qobject_cast<const QPlainTextEdit*>(widget) != nullptr
           || qobject_cast<const QTextEdit*>(widget) != nullptr;
}

void FocusRing::follow(QWidget* widget)
{
    for (const auto& watched : m_watched)
        if (watched)
            watched->removeEventFilter(this);
    m_watched.clear();
    m_target = nullptr;
    if (widget != nullptr && widget->window() == m_window && wantsRing(widget)) {
        m_target = widget;
        for (QWidget* w = widget; w != nullptr && w != m_window; w = w->parentWidget()) {
            w->installEventFilter(this);
            m_watched.append(w);
        }
    }
    place();
}

void FocusRing::place()
{
    if (!m_target || !m_target->isVisible()) {
        hide();
        return;
    }
    const Metrics metrics = Metrics::of(m_target);
    const int reach = metrics.focusGap() + metrics.focusWidth();
    QRect box(m_target->mapTo(m_window, QPoint(0, 0)), m_target->size());
    box.adjust(-reach, -reach, reach, reach);
    // Nothing is drawn where the control itself is scrolled out of sight.
    QRect visible = m_window->rect();
    for (const QWidget* w = m_target->parentWidget(); w != nullptr && w != m_window; w = w->parentWidget()) {
        const QRect part(w->mapTo(m_window, QPoint(0, 0)), w->size());
        visible &= part.adjusted(-reach, -reach, reach, reach);
    }
    if ((box & visible).isEmpty()) {
        hide();
        return;
    }
    setGeometry(box);
    QRegion ring(rect());
    ring -= rect().adjusted(metrics.focusWidth(), metrics.focusWidth(), -metrics.focusWidth(), -metrics.focusWidth());
    setMask(ring & visible.translated(-box.topLeft()));
    raise();
    show();
    update();
}

bool FocusRing::eventFilter(QObject* watched, QEvent* event)
{
    switch (event->type()) {
    case QEvent::Move:
    case QEvent::Resize:
    case QEvent::Show:
    case QEvent::Hide:
    case QEvent::StyleChange: place(); break;
    default: break;
    }
    return QWidget::eventFilter(watched, event);
}

void FocusRing::paintEvent(QPaintEvent* event)
{
    Q_UNUSED(event);
    QPainter painter(this);
    painter.fillRect(rect(), Palette::of(m_window->palette())[Role::Ink1]);
}

}  // namespace halfcell::app
