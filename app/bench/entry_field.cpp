#include "app/bench/entry_field.h"

#include "app/bench/bench_presenter.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QApplication>
#include <QClipboard>
#include <QKeyEvent>
#include <QScopedValueRollback>

namespace halfcell::app::bench {

namespace {

bool isEditingKey(const QKeyEvent& event)
{
    switch (event.key()) {
    case Qt::Key_Left:
    case Qt::Key_Right:
    case Qt::Key_Home:
    case Qt::Key_End:
    case Qt::Key_Backspace:
    case Qt::Key_Delete: return true;
    default: break;
    }
    return event.matches(QKeySequence::Copy) || event.matches(QKeySequence::Cut) || event.matches(QKeySequence::SelectAll) ||
           event.matches(QKeySequence::Undo) || event.matches(QKeySequence::Redo);
}

}  // namespace

EntryField::EntryField(BenchPresenter& presenter, const Stop& stop, Mode mode, const NumberShape& shape, QWidget* parent)
    : QLineEdit(parent), m_presenter(presenter), m_stop(stop), m_mode(mode), m_shape(shape)
{
    setContextMenuPolicy(Qt::NoContextMenu);
    setDragEnabled(false);
    setAcceptDrops(false);
    setTextRole(this, TextRole::Field);
    if (mode == Mode::Number || mode == Mode::Time)
        setAlignment(Qt::AlignRight);
    connect(this, &QLineEdit::textEdited, this, [this] { takeOver(); });
    // Text that others put here (a scan taken out again) counts like typing.
    connect(this, &QLineEdit::textChanged, this, [this] {
        if (!m_setting)
            takeOver();
    });
}

void EntryField::takeOver()
{
    if (m_mode == Mode::Number) {
        QString plain = text();
        plain.replace(QChar(0x2212), QLatin1Char('-'));
        plain.replace(locale().decimalPoint(), QLatin1String("."));
        m_ascii = plain.toStdString();
    } else {
        m_ascii = text().toStdString();
    }
    m_presenter.type(m_stop, m_ascii);
}

void EntryField::setAscii(const std::string& ascii, int at)
{
    m_ascii = ascii;
    const QScopedValueRollback setting(m_setting, true);
    setText(m_mode == Mode::Number ? shownNumber(ascii, locale()) : QString::fromStdString(ascii));
    setCursorPosition(at);
}

void EntryField::showText(const std::string& ascii)
{
    if (m_ascii == ascii)
        return;
    setAscii(ascii, static_cast<int>(ascii.size()));
}

void EntryField::readAgain()
{
    selectAll();
}

void EntryField::setDigits(int digits)
{
    m_digits = digits;
    updateGeometry();
}

QSize EntryField::sizeHint() const
{
    const Metrics metrics = Metrics::of(this);
    const int width =
        m_digits > 0 ? static_cast<int>(measureFigures(font()).cell * m_digits) + metrics.grid(6) : QLineEdit::sizeHint().width();
    return {width, metrics.field()};
}

bool EntryField::typeCharacter(QChar key)
{
    const bool has = hasSelectedText();
    const int at = has ? selectionStart() : cursorPosition();
    const auto effect = typeInto(m_ascii, at, has ? static_cast<int>(selectedText().size()) : 0, key, m_shape, locale());
    if (effect.taken) {
        setAscii(effect.text, effect.cursor);
        m_presenter.type(m_stop, m_ascii);
        return true;
    }
    if (!effect.refused.isEmpty()) {
        m_presenter.refuse(effect.refused, m_stop);
        return true;
    }
    return false;
}

void EntryField::pasteNumber()
{
    const auto number = numberFrom(QApplication::clipboard()->text(), locale());
    if (!number) {
        m_presenter.refuse(QString::fromStdString(number.error().detail), m_stop);
        return;
    }
    setAscii(*number, static_cast<int>(number->size()));
    m_presenter.type(m_stop, m_ascii);
}

void EntryField::keyPressEvent(QKeyEvent* event)
{
    const bool control = event->modifiers() & (Qt::ControlModifier | Qt::AltModifier | Qt::MetaModifier);
    if ((event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) && !control) {
        if (event->modifiers() & Qt::ShiftModifier)
            m_presenter.back();
        else
            m_presenter.enter();
        return;
    }
    if (event->key() == Qt::Key_Up && !control) {
        m_presenter.up();
        return;
    }
    if (event->key() == Qt::Key_Down && !control) {
        focusNextChild();
        return;
    }
    if (event->matches(QKeySequence::Paste)) {
        if (m_mode == Mode::Number)
            pasteNumber();
        else
            QLineEdit::keyPressEvent(event);
        return;
    }
    if (isEditingKey(*event) || (m_mode == Mode::Words && !control)) {
        // What editing does not take (a Delete in the empty field) is nobody else's either, except keys without text.
        QLineEdit::keyPressEvent(event);
        return;
    }
    const QString typed = event->text();
    if (control || typed.isEmpty() || !typed.at(0).isPrint()) {
        event->ignore();
        return;
    }
    const QChar key = typed.at(0);
    if (m_presenter.asksByDigit() && m_presenter.press(key))
        return;
    if (key == u' ') {
        m_presenter.space();
        return;
    }
    switch (m_mode) {
    case Mode::Number:
        if (typeCharacter(key))
            return;
        break;
    case Mode::Time:
        if (key.isDigit() || key == u':') {
            QLineEdit::keyPressEvent(event);
            return;
        }
        break;
    case Mode::Serial:
        if (key != u'?') {
            QLineEdit::keyPressEvent(event);
            return;
        }
        break;
    case Mode::Words: break;
    }
    m_presenter.press(key);
}

bool EntryField::event(QEvent* event)
{
    // Digits, letters and Space are the field's, whatever shortcuts the window has without a modifier.
    if (event->type() == QEvent::ShortcutOverride) {
        const auto* key = static_cast<QKeyEvent*>(event);
        const QString typed = key->text();
        if (!(key->modifiers() & (Qt::ControlModifier | Qt::AltModifier)) && !typed.isEmpty() && typed.at(0).isPrint()) {
            event->accept();
            return true;
        }
    }
    return QLineEdit::event(event);
}

void EntryField::focusInEvent(QFocusEvent* event)
{
    QLineEdit::focusInEvent(event);
    if (event->reason() != Qt::ActiveWindowFocusReason && event->reason() != Qt::PopupFocusReason)
        m_presenter.goTo(m_stop);
    if (m_mode != Mode::Words && event->reason() != Qt::MouseFocusReason)
        selectAll();
}

void EntryField::changeEvent(QEvent* event)
{
    QLineEdit::changeEvent(event);
    if (event->type() == QEvent::LocaleChange && m_mode == Mode::Number)
        setAscii(m_ascii, cursorPosition());
    if (event->type() == QEvent::StyleChange || event->type() == QEvent::FontChange)
        updateGeometry();
}

}  // namespace halfcell::app::bench
