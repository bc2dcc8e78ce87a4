#include "app/frame/scan_watch.h"

#include <QApplication>
#include <QKeyEvent>
#include <QLineEdit>

namespace halfcell::app {

ScanWatch::ScanWatch(QObject* parent) : QObject(parent)
{
    qApp->installEventFilter(this);
}

void ScanWatch::setLimits(int leastCharacters, int longestGapMs)
{
    m_least = qBound(2, leastCharacters, 64);
    m_gapMs = qBound(5, longestGapMs, 500);
}

void ScanWatch::begin(QLineEdit* field)
{
    m_burst.clear();
    m_field = field;
    if (field != nullptr) {
        m_before = field->text();
        m_cursorBefore = field->cursorPosition();
    }
}

bool ScanWatch::eventFilter(QObject* watched, QEvent* event)
{
    if (event->type() != QEvent::KeyPress || !m_active || watched != QApplication::focusWidget())
        return QObject::eventFilter(watched, event);
    const auto* key = static_cast<QKeyEvent*>(event);
    const bool tooLate = !m_clock.isValid() || m_clock.restart() > m_gapMs;
    if (!m_clock.isValid())
        m_clock.start();
    if (key->key() == Qt::Key_Return || key->key() == Qt::Key_Enter) {
        const QString burst = std::exchange(m_burst, QString());
        if (tooLate || burst.size() < m_least || key->modifiers().testFlag(Qt::ControlModifier))
            return QObject::eventFilter(watched, event);
        if (m_field) {
            m_field->setText(m_before);
            m_field->setCursorPosition(m_cursorBefore);
        }
        Q_EMIT scanned(burst.trimmed());
        return true;
    }
    const QString text = key->text();
    const bool plain = !text.isEmpty() && text.at(0).isPrint() && !(key->modifiers() & (Qt::ControlModifier | Qt::AltModifier | Qt::MetaModifier));
    if (!plain) {
        if (key->key() != Qt::Key_Shift)
            m_burst.clear();
        return QObject::eventFilter(watched, event);
    }
    if (tooLate || m_burst.isEmpty())
        begin(qobject_cast<QLineEdit*>(watched));
    m_burst += text;
    return QObject::eventFilter(watched, event);
}

}  // namespace halfcell::app
