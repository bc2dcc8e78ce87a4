#pragma once

#include "app/register/register_model.h"

#include <QStyledItemDelegate>

namespace halfcell::app {

/// Draws a row of the Register: mark and word, serials in mono, figures with the guilty one heavy, the small efficiency
/// rule, the twelve months' line. Rows in order are drawn in ink2. GUI thread only.
class RegisterDelegate : public QStyledItemDelegate {
    Q_OBJECT
public:
    explicit RegisterDelegate(const RegisterModel& model, QObject* parent = nullptr);

    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;

    /// Width of a column in px at scale 1.
    [[nodiscard]] static int widthOf(RegisterModel::Column column);

private:
    const RegisterModel& m_model;
};

/// Draws a place of the left column: how many need someone (heavy), its name, its count.
class PlaceDelegate : public QStyledItemDelegate {
    Q_OBJECT
public:
    using QStyledItemDelegate::QStyledItemDelegate;
    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;
};

}  // namespace halfcell::app
