#pragma once

#include "app/style/type.h"

#include <QAbstractItemView>
#include <QComboBox>
#include <QCompleter>
#include <QCoreApplication>
#include <QGridLayout>
#include <QLabel>
#include <QSignalBlocker>

#include <utility>
#include <vector>

/// Fields with their words above them, as the import page has many.
namespace halfcell::app {

/// Puts a field into a grid with its label above it, as its buddy; the label without its mnemonic is the accessible name.
inline QLabel* fieldAbove(QGridLayout* grid, int row, int column, const QString& label, QWidget* field, const QString& name, int span = 1)
{
    auto* words = new QLabel(label, field->parentWidget());
    words->setBuddy(field);
    setTextRole(words, TextRole::Hint);
    field->setObjectName(name);
    QString said = label;
    said.remove(QLatin1Char('&'));
    field->setAccessibleName(said);
    if (auto* box = qobject_cast<QComboBox*>(field)) {
        box->view()->setObjectName(name + QStringLiteral(".list"));
        box->view()->setAccessibleName(QCoreApplication::translate("halfcell", "Choices of %1").arg(said));
        box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
        box->setMinimumContentsLength(5);
    }
    grid->addWidget(words, 2 * row, column, 1, span);
    grid->addWidget(field, 2 * row + 1, column, 1, span);
    return words;
}

/// A box one can type into to find a choice; what is typed is never added.
inline QComboBox* typedChoice(QWidget* parent)
{
    auto* box = new QComboBox(parent);
    box->setEditable(true);
    box->setInsertPolicy(QComboBox::NoInsert);
    box->completer()->setCompletionMode(QCompleter::PopupCompletion);
    box->completer()->setFilterMode(Qt::MatchContains);
    return box;
}

/// Sets the choices and the chosen one without a word to those who listen.
inline void setChoices(QComboBox* box, const std::vector<std::pair<QString, QString>>& choices, const QString& chosen)
{
    const QSignalBlocker quiet(box);
    box->clear();
    for (const auto& [words, key] : choices)
        box->addItem(words, key);
    box->setCurrentIndex(box->findData(chosen));
}

}  // namespace halfcell::app
