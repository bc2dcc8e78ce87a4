#include "app/frame/scan_watch.h"

#include <QAbstractSpinBox>
#include <QApplication>
#include <QComboBox>
#include <QKeyEvent>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QTextCursor>
#include <QTextEdit>

#include <algorithm>

namespace halfcell::app {

namespace {

/// The line edit a widget types into, if there is one.
QLineEdit* lineOf(QWidget* widget)
{
    if (auto* line = qobject_cast<QLineEdit*>(widget))
        return line;
    if (auto* combo = qobject_cast<QComboBox*>(widget))
        return combo->lineEdit();
    if (qobject_cast<QAbstractSpinBox*>(widget) != nullptr)
        return widget->findChild<QLineEdit*>();
    return nullptr;
}

QVariant stateOf(QWidget* widget)
{
    if (const auto* own = dynamic_cast<const ScanRestorable*>(widget))
        return own->stateBeforeScan();
    if (const QLineEdit* line = lineOf(widget))
        return QVariantList{line->text(), line->cursorPosition(), line->selectionStart(), line->selectedText().size()};
    if (const auto* plain = qobject_cast<const QPlainTextEdit*>(widget))
        return QVariantList{plain->toPlainText(), plain->textCursor().position(), plain->textCursor().anchor()};
    if (const auto* rich = qobject_cast<const QTextEdit*>(widget))
        return QVariantList{rich->toPlainText(), rich->textCursor().position(), rich->textCursor().anchor()};
    return {};
}

void restoreLine(QLineEdit& line, const QVariantList& state)
{
    const QString text = state.at(0).toString();
    if (line.text() != text) {
        // Through insert, so that those who listen to edits hear that the text is back.
        line.selectAll();
        line.insert(text);
        if (line.text() != text)  // a validator or mask would not have it typed
            line.setText(text);
    }
    const int selected = state.at(3).toInt();
    if (selected > 0)
        line.setSelection(state.at(2).toInt(), selected);
    else
        line.setCursorPosition(state.at(1).toInt());
}

template <class Edit>
void restoreEdit(Edit& edit, const QVariantList& state)
{
    const QString text = state.at(0).toString();
    if (edit.toPlainText() != text) {
        QTextCursor all = edit.textCursor();
        all.select(QTextCursor::Document);
        all.insertText(text);
    }
    QTextCursor cursor = edit.textCursor();
    cursor.setPosition(state.at(2).toInt());
    cursor.setPosition(state.at(1).toInt(), QTextCursor::KeepAnchor);
    edit.setTextCursor(cursor);
}

void putBack(QWidget* widget, const QVariant& state)
{
    if (auto* own = dynamic_cast<ScanRestorable*>(widget))
        own->restoreAfterScan(state);
    else if (QLineEdit* line = lineOf(widget))
        restoreLine(*line, state.toList());
    else if (auto* plain = qobject_cast<QPlainTextEdit*>(widget))
        restoreEdit(*plain, state.toList());
    else if (auto* rich = qobject_cast<QTextEdit*>(widget))
        restoreEdit(*rich, state.toList());
}

}  // namespace

ScanWatch::ScanWatch(QObject* parent) : QObject(parent)
{
    m_clock.start();
    m_now = [this] { return m_clock.elapsed(); };
    qApp->installEventFilter(this);
}

void ScanWatch::setLimits(int leastCharacters, int longestGapMs)
{
    m_least = qBound(2, leastCharacters, 64);
    m_gapMs = qBound(5, longestGapMs, 500);
}

void ScanWatch::remember(QWidget* field)
{
    if (field == nullptr)
        return;
    const bool known = std::any_of(m_snapshots.begin(), m_snapshots.end(), [&](const Snapshot& s) { return s.field == field; });
    if (known)
        return;
    if (const QVariant state = stateOf(field); state.isValid())
        m_snapshots.append({field, state});
}

void ScanWatch::restore()
{
    const QList<Snapshot> snapshots = std::exchange(m_snapshots, {});
    for (const Snapshot& snapshot : snapshots)
        if (snapshot.field)
            putBack(snapshot.field, snapshot.state);
    if (m_focusBefore && m_focusBefore->isVisible() && QApplication::focusWidget() != m_focusBefore)
        m_focusBefore->setFocus(Qt::OtherFocusReason);
}

bool ScanWatch::closes(const QKeyEvent& key, bool late)
{
    if (key.key() != Qt::Key_Return && key.key() != Qt::Key_Enter)
        return false;
    return !late && m_burst.size() >= m_least && !(key.modifiers() & ~Qt::KeypadModifier);
}

bool ScanWatch::eventFilter(QObject* watched, QEvent* event)
{
    if (event->type() != QEvent::KeyPress || !m_active || watched != QApplication::focusWidget())
        return QObject::eventFilter(watched, event);
    const auto& key = static_cast<const QKeyEvent&>(*event);
    if (key.key() == Qt::Key_Shift)
        return QObject::eventFilter(watched, event);
    const qint64 now = key.timestamp() != 0 ? static_cast<qint64>(key.timestamp()) : m_now();
    const bool late = now - m_last >= m_gapMs || now < m_last;
    m_last = now;
    if (closes(key, late)) {
        const QString burst = std::exchange(m_burst, QString());
        restore();
        Q_EMIT scanned(burst.trimmed());
        return true;
    }
    const QString text = key.text();
    const bool plain = !text.isEmpty() && text.at(0).isPrint() && !key.isAutoRepeat() &&
                       !(key.modifiers() & (Qt::ControlModifier | Qt::AltModifier | Qt::MetaModifier));
    if (!plain) {
        m_burst.clear();
        m_snapshots.clear();
        return QObject::eventFilter(watched, event);
    }
    auto* field = qobject_cast<QWidget*>(watched);
    if (late || m_burst.isEmpty()) {
        m_burst.clear();
        m_snapshots.clear();
        m_focusBefore = field;
        for (const auto& kept : m_kept)
            remember(kept);
    }
    remember(field);
    m_burst += text;
    return QObject::eventFilter(watched, event);
}

}  // namespace halfcell::app
