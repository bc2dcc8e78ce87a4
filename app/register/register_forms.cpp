#include "app/register/register_forms.h"

#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QAbstractItemView>
#include <QComboBox>
#include <QCompleter>
#include <QCoreApplication>
#include <QGridLayout>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QLabel* titleLabel(const QString& name, QWidget* parent)
{
    auto* label = new QLabel(parent);
    label->setObjectName(name);
    label->setTextFormat(Qt::PlainText);
    label->setWordWrap(true);
    setTextRole(label, TextRole::Field, Weight::Heavy);
    return label;
}

QLabel* noteLabel(const QString& name, QWidget* parent)
{
    auto* label = new QLabel(parent);
    label->setObjectName(name);
    label->setTextFormat(Qt::PlainText);
    label->setWordWrap(true);
    label->hide();
    setTextRole(label, TextRole::Body, Weight::Heavy);
    return label;
}

/// A label above its field, as its buddy.
QLabel* addField(QGridLayout* grid, int column, const QString& label, QWidget* field, const QString& name)
{
    auto* words = new QLabel(label, field->parentWidget());
    words->setBuddy(field);
    setTextRole(words, TextRole::Hint);
    field->setObjectName(name);
    QString plainLabel = label;
    field->setAccessibleName(plainLabel.remove(u'&'));
    if (auto* box = qobject_cast<QComboBox*>(field)) {
        box->view()->setObjectName(name + u".list"_s);
        box->view()->setAccessibleName(QCoreApplication::translate("halfcell", "Choices of %1").arg(plainLabel));
    }
    grid->addWidget(words, 0, column);
    grid->addWidget(field, 1, column);
    return words;
}

QComboBox* choiceBox(QWidget* parent)
{
    auto* box = new QComboBox(parent);
    box->setEditable(true);
    box->setInsertPolicy(QComboBox::NoInsert);
    box->completer()->setCompletionMode(QCompleter::PopupCompletion);
    box->completer()->setFilterMode(Qt::MatchContains);
    box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    box->setMinimumContentsLength(12);
    return box;
}

void fill(QComboBox* box, const std::vector<PlaceChoice>& places)
{
    box->clear();
    for (const PlaceChoice& place : places)
        box->addItem(place.words, place.place);
    box->setCurrentIndex(-1);
    box->clearEditText();
}

/// The place chosen, or what was typed.
QString placeIn(const QComboBox* box)
{
    const int at = box->findText(box->currentText(), Qt::MatchFixedString);
    return at >= 0 ? box->itemData(at).toString() : box->currentText();
}

void sayIn(QLabel* note, const QString& sentence)
{
    note->setText(sentence);
    note->setVisible(!sentence.isEmpty());
}

/// Enter in a field that has no popup open asks; Esc closes.
template <class Ask, class Close>
bool formKey(QKeyEvent* event, Ask ask, Close close)
{
    if (event->key() == Qt::Key_Escape) {
        close();
        return true;
    }
    if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) {
        ask();
        return true;
    }
    return false;
}

/// An editable combo box keeps Enter and Esc to itself; here they belong to the form.
template <class Ask, class Close>
bool boxKey(QEvent* event, Ask ask, Close close)
{
    return event->type() == QEvent::KeyPress && formKey(static_cast<QKeyEvent*>(event), ask, close);
}

}  // namespace

MoveForm::MoveForm(QWidget* parent)
    : QWidget(parent), m_title(titleLabel(u"register.move.title"_s, this)), m_place(choiceBox(this)), m_when(new QLineEdit(this)),
      m_reasonLabel(nullptr), m_reason(new QComboBox(this)), m_note(noteLabel(u"register.move.note"_s, this))
{
    setObjectName(u"register.move.form"_s);
    setAccessibleName(tr("Move a sensor"));
    setSurface(this, Role::Sheet);
    m_when->setPlaceholderText(tr("now"));
    m_reason->addItem(tr("choose"));
    for (const auto& [reason, words] : removalReasons())
        m_reason->addItem(words, static_cast<int>(reason));
    auto* move = new QPushButton(tr("&Move"), this);
    move->setObjectName(u"register.move.ok"_s);
    setPrimary(move);
    auto* cancel = new QPushButton(tr("Close (Esc)"), this);
    cancel->setObjectName(u"register.move.cancel"_s);
    auto* grid = new QGridLayout;
    addField(grid, 0, tr("&To"), m_place, u"register.move.place"_s);
    addField(grid, 1, tr("&When"), m_when, u"register.move.when"_s);
    m_reasonLabel = addField(grid, 2, tr("&Reason removed"), m_reason, u"register.move.reason"_s);
    grid->setColumnStretch(0, 3);
    grid->setColumnStretch(1, 2);
    grid->setColumnStretch(2, 2);
    auto* buttons = new QHBoxLayout;
    buttons->addWidget(move);
    buttons->addWidget(cancel);
    buttons->addStretch(1);
    auto* column = new QVBoxLayout(this);
    column->addWidget(m_title);
    column->addLayout(grid);
    column->addWidget(m_note);
    column->addLayout(buttons);
    column->addStretch(1);
    m_place->installEventFilter(this);
    connect(move, &QPushButton::clicked, this, &MoveForm::ask);
    connect(cancel, &QPushButton::clicked, this, &MoveForm::closed);
}

void MoveForm::open(const QString& serial, const QString& from, bool leavesPoint, const std::vector<PlaceChoice>& places)
{
    m_serial = serial;
    m_title->setText(from.isEmpty() ? tr("Move %1").arg(serial) : tr("Move %1, now at %2").arg(serial, from));
    fill(m_place, places);
    m_when->clear();
    m_reason->setCurrentIndex(0);
    m_reason->setVisible(leavesPoint);
    m_reasonLabel->setVisible(leavesPoint);
    say({});
    m_place->setFocus(Qt::OtherFocusReason);
}

void MoveForm::say(const QString& sentence)
{
    sayIn(m_note, sentence);
}

void MoveForm::ask()
{
    std::optional<core::RemovalReason> reason;
    if (m_reason->currentIndex() > 0)
        reason = static_cast<core::RemovalReason>(m_reason->currentData().toInt());
    Q_EMIT moveAsked(m_serial, placeIn(m_place), m_when->text(), reason);
}

bool MoveForm::eventFilter(QObject* watched, QEvent* event)
{
    return boxKey(
               event, [this] { ask(); }, [this] { Q_EMIT closed(); }) ||
           QWidget::eventFilter(watched, event);
}

void MoveForm::keyPressEvent(QKeyEvent* event)
{
    if (!formKey(
            event, [this] { ask(); }, [this] { Q_EMIT closed(); }))
        QWidget::keyPressEvent(event);
}

NewSensorForm::NewSensorForm(QWidget* parent)
    : QWidget(parent), m_serial(new QLineEdit(this)), m_model(choiceBox(this)), m_place(choiceBox(this)), m_when(new QLineEdit(this)),
      m_note(noteLabel(u"register.new.note"_s, this))
{
    setObjectName(u"register.new.form"_s);
    setAccessibleName(tr("New sensor"));
    setSurface(this, Role::Sheet);
    auto* title = titleLabel(u"register.new.title"_s, this);
    title->setText(tr("New sensor"));
    m_when->setPlaceholderText(tr("now"));
    auto* add = new QPushButton(tr("&Add"), this);
    add->setObjectName(u"register.new.ok"_s);
    setPrimary(add);
    auto* cancel = new QPushButton(tr("Close (Esc)"), this);
    cancel->setObjectName(u"register.new.cancel"_s);
    auto* grid = new QGridLayout;
    addField(grid, 0, tr("&Serial"), m_serial, u"register.new.serial"_s);
    addField(grid, 1, tr("M&odel"), m_model, u"register.new.model"_s);
    addField(grid, 2, tr("&Place"), m_place, u"register.new.place"_s);
    addField(grid, 3, tr("Si&nce"), m_when, u"register.new.when"_s);
    auto* buttons = new QHBoxLayout;
    buttons->addWidget(add);
    buttons->addWidget(cancel);
    buttons->addStretch(1);
    auto* column = new QVBoxLayout(this);
    column->addWidget(title);
    column->addLayout(grid);
    column->addWidget(m_note);
    column->addLayout(buttons);
    column->addStretch(1);
    m_model->installEventFilter(this);
    m_place->installEventFilter(this);
    connect(add, &QPushButton::clicked, this, &NewSensorForm::ask);
    connect(cancel, &QPushButton::clicked, this, &NewSensorForm::closed);
}

void NewSensorForm::open(const std::vector<PlaceChoice>& places, const QStringList& models)
{
    fill(m_place, places);
    m_place->setCurrentIndex(0);  // the shelf
    m_model->clear();
    m_model->addItems(models);
    m_model->setCurrentIndex(-1);
    m_model->clearEditText();
    m_serial->clear();
    m_when->clear();
    say({});
    m_serial->setFocus(Qt::OtherFocusReason);
}

void NewSensorForm::say(const QString& sentence)
{
    sayIn(m_note, sentence);
}

void NewSensorForm::ask()
{
    Q_EMIT addAsked(m_serial->text(), m_model->currentText(), placeIn(m_place), m_when->text());
}

bool NewSensorForm::eventFilter(QObject* watched, QEvent* event)
{
    return boxKey(
               event, [this] { ask(); }, [this] { Q_EMIT closed(); }) ||
           QWidget::eventFilter(watched, event);
}

void NewSensorForm::keyPressEvent(QKeyEvent* event)
{
    if (!formKey(
            event, [this] { ask(); }, [this] { Q_EMIT closed(); }))
        QWidget::keyPressEvent(event);
}

}  // namespace halfcell::app
