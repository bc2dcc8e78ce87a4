#pragma once

#include "app/style/type.h"

#include <QAccessible>
#include <QHeaderView>
#include <QLabel>
#include <QPushButton>
#include <QTableView>

/// The few shapes the Cabinet's pages share.
namespace halfcell::app {

/// A heading over a part of a page.
inline QLabel* headingLabel(const QString& text, QWidget* parent)
{
    auto* label = new QLabel(text, parent);
    setTextRole(label, TextRole::Finding, Weight::Heavy);
    return label;
}

/// A sentence that may be long: wraps, can be selected, keeps its room.
inline QLabel* sentenceLabel(const QString& text, QWidget* parent)
{
    auto* label = new QLabel(text, parent);
    label->setWordWrap(true);
    label->setTextInteractionFlags(Qt::TextSelectableByMouse);
    setTextRole(label, TextRole::Body);
    return label;
}

/// Has what a label now says read out.
inline void speak(QLabel* label)
{
    QAccessibleEvent alert(label, QAccessible::Alert);
    QAccessible::updateAccessibility(&alert);
}

/// A read-only table: whole rows, no grid, fixed row height, last column stretched.
inline QTableView* readOnlyTable(QAbstractItemModel* model, const QString& name, const QString& accessible, QWidget* parent)
{
    auto* view = new QTableView(parent);
    view->setObjectName(name);
    view->setAccessibleName(accessible);
    view->setModel(model);
    view->setEditTriggers(QAbstractItemView::NoEditTriggers);
    view->setSelectionBehavior(QAbstractItemView::SelectRows);
    view->setSelectionMode(QAbstractItemView::SingleSelection);
    view->setShowGrid(false);
    view->setTabKeyNavigation(false);
    view->setWordWrap(false);
    view->setTextElideMode(Qt::ElideMiddle);
    view->verticalHeader()->hide();
    view->horizontalHeader()->setStretchLastSection(true);
    view->horizontalHeader()->setHighlightSections(false);
    return view;
}

}  // namespace halfcell::app
