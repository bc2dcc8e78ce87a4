#pragma once

#include "app/style/type.h"

#include <QAccessible>
#include <QLabel>
#include <QPushButton>

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

}  // namespace halfcell::app
