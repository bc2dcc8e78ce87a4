#include "app/record/visit_view.h"
#include "app/style/ink_style.h"
#include "app/style/type.h"

#include <QAbstractItemView>
#include <QComboBox>
#include <QGridLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

CorrectForm::CorrectForm(QWidget* parent)
    : QWidget(parent), m_label(new QLabel(this)), m_old(new QLabel(this)), m_new(new QLineEdit(this)), m_why(new QComboBox(this)),
      m_note(new QLabel(this))
{
    setObjectName(u"record.correct.form"_s);
    setAccessibleName(tr("Correct a record"));
    setSurface(this, Role::Sheet);
    m_label->setObjectName(u"record.correct.label"_s);
    m_label->setTextFormat(Qt::PlainText);
    setTextRole(m_label, TextRole::Body, Weight::Heavy);
    m_old->setObjectName(u"record.correct.old"_s);
    m_old->setTextFormat(Qt::PlainText);
    setTextRole(m_old, TextRole::Field);
    m_new->setObjectName(u"record.correct.new"_s);
    m_new->setAccessibleName(tr("New value"));
    m_why->setObjectName(u"record.correct.why"_s);
    m_why->setAccessibleName(tr("Why"));
    m_why->setEditable(true);
    m_why->setInsertPolicy(QComboBox::NoInsert);
    m_why->addItems(correctionReasons());
    m_why->view()->setObjectName(u"record.correct.why.list"_s);
    m_why->view()->setAccessibleName(tr("Reasons"));
    m_why->installEventFilter(this);
    m_note->setObjectName(u"record.correct.note"_s);
    m_note->setTextFormat(Qt::PlainText);
    m_note->setWordWrap(true);
    setTextRole(m_note, TextRole::Body, Weight::Heavy);
    auto* correct = new QPushButton(tr("Co&rrect"), this);
    correct->setObjectName(u"record.correct.ok"_s);
    setPrimary(correct);
    auto* close = new QPushButton(tr("Close (Esc)"), this);
    close->setObjectName(u"record.correct.close"_s);
    const auto hint = [this](const QString& text, QWidget* buddy) {
        auto* label = new QLabel(text, this);
        label->setBuddy(buddy);
        setTextRole(label, TextRole::Hint);
        return label;
    };
    auto* grid = new QGridLayout;
    grid->addWidget(hint(tr("stands there"), nullptr), 0, 0);
    grid->addWidget(hint(tr("&new"), m_new), 0, 1);
    grid->addWidget(hint(tr("&why"), m_why), 0, 2);
    grid->addWidget(m_old, 1, 0);
    grid->addWidget(m_new, 1, 1);
    grid->addWidget(m_why, 1, 2);
    grid->addWidget(correct, 1, 3);
    grid->addWidget(close, 1, 4);
    grid->setColumnStretch(1, 1);
    grid->setColumnStretch(2, 2);
    auto* column = new QVBoxLayout(this);
    column->addWidget(m_label);
    column->addLayout(grid);
    column->addWidget(m_note);
    connect(correct, &QPushButton::clicked, this, &CorrectForm::ask);
    connect(close, &QPushButton::clicked, this, &CorrectForm::closed);
}

void CorrectForm::open(const QString& label, const VisitCell& cell)
{
    m_label->setText(tr("Correct %1. The old value stays in the history.").arg(label));
    m_old->setText(cell.screen.isEmpty() ? tr("nothing") : cell.screen);
    // Struck only now: the font of the role is set when the style takes the label on.
    QFont struck = m_old->font();
    struck.setStrikeOut(true);
    m_old->setFont(struck);
    m_old->setAccessibleName(tr("Old value %1").arg(m_old->text()));
    m_new->setText(cell.screen);
    m_new->selectAll();
    m_why->setCurrentIndex(-1);
    m_why->clearEditText();
    say({});
    m_new->setFocus(Qt::OtherFocusReason);
}

void CorrectForm::say(const QString& sentence)
{
    m_note->setText(sentence);
    m_note->setVisible(!sentence.isEmpty());
}

void CorrectForm::ask()
{
    Q_EMIT correctAsked(m_new->text(), m_why->currentText());
}

bool CorrectForm::eventFilter(QObject* watched, QEvent* event)
{
    // An editable combo box keeps Enter and Esc to itself; here they belong to the form.
    if (event->type() == QEvent::KeyPress) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        if (key == Qt::Key_Return || key == Qt::Key_Enter) {
            ask();
            return true;
        }
        if (key == Qt::Key_Escape) {
            Q_EMIT closed();
            return true;
        }
    }
    return QWidget::eventFilter(watched, event);
}

void CorrectForm::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape) {
        Q_EMIT closed();
    } else if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) {
        if (m_new->hasFocus())
            m_why->setFocus(Qt::TabFocusReason);
        else
            ask();
    } else {
        QWidget::keyPressEvent(event);
    }
}

}  // namespace halfcell::app
