#pragma once

#include "app/register/places_model.h"
#include "app/register/register_row.h"

#include <QAbstractTableModel>

#include <memory>
#include <optional>
#include <vector>

namespace halfcell::app {

/// Which rows are shown. Every part that hides rows is a sentence in the shop line.
struct RegisterFilter {
    Place place = {};
    std::optional<Need> need = {};
    bool overdue = false;
    QString text = {};      ///< any fragment of tag, serial, place, signal, verdict
    bool operator==(const RegisterFilter&) const = default;
};

/// The Register's table: own list of indices over the rows, filtered by a folded key and sorted by number, replaced in
/// one reset. New figures change in place; rows never move by themselves: `waitingMoves` says how many would, `resort`
/// moves them. GUI thread only.
class RegisterModel : public QAbstractTableModel {
    Q_OBJECT
public:
    enum Column { Signal, Point, Sensor, Kind, Efficiency, Offset, T90, AsLeft, WhatNext, Due, PlaceColumn, Class, By, kColumnCount };
    enum Role {
        kRawRole = Qt::UserRole + 1,  ///< the number a column sorts on; invalid where there is none
        kKeyRole,                     ///< the row's stable key
        kGroupRole                    ///< true for the head of a group
    };
    using Rows = std::shared_ptr<const std::vector<RegisterRow>>;

    explicit RegisterModel(QObject* parent = nullptr);

    /// Takes new rows. Lines on screen keep their place; a row that is gone goes, a new one stands at the end.
    void setRows(Rows rows);
    [[nodiscard]] const std::vector<RegisterRow>& rows() const { return *m_rows; }
    void setFilter(RegisterFilter filter);
    [[nodiscard]] const RegisterFilter& filter() const { return m_filter; }
    /// Sorts on a column's number (words where it has none); without a column as first seen.
    void sortBy(std::optional<Column> column, Qt::SortOrder order);
    [[nodiscard]] std::optional<Column> sortColumn() const { return m_sortColumn; }
    [[nodiscard]] Qt::SortOrder sortOrder() const { return m_sortOrder; }
    /// Rows under a head for each area.
    void setGrouped(bool grouped);
    [[nodiscard]] bool grouped() const { return m_grouped; }
    /// How many lines would stand elsewhere, come or go if the list were sorted and filtered now.
    [[nodiscard]] int waitingMoves() const { return m_waiting; }
    void resort();

    /// The row of a line; nullptr for the head of a group.
    [[nodiscard]] const RegisterRow* rowAt(int line) const;
    /// The line of a row's key; -1 if it is not shown.
    [[nodiscard]] int lineOf(const QString& key) const;
    /// Serials in the order shown, for paging through Records.
    [[nodiscard]] QStringList serials() const;
    /// The figure of a cell, if the column shows one.
    [[nodiscard]] const Figure* figureAt(const QModelIndex& index) const;
    /// Key of the figure a column shows for a row (efficiency_pct, span_pct ...); empty if none.
    [[nodiscard]] static QString figureKey(Column column, const RegisterRow& row);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role = Qt::DisplayRole) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    void sort(int column, Qt::SortOrder order = Qt::AscendingOrder) override;

Q_SIGNALS:
    void waitingMovesChanged(int moves);

private:
    struct Line {
        int row = -1;      ///< -1: the head of a group
        QString group = {};
        bool operator==(const Line&) const = default;
    };
    [[nodiscard]] bool passes(const RegisterRow& row) const;
    [[nodiscard]] std::vector<Line> arranged() const;
    [[nodiscard]] bool before(const RegisterRow& a, const RegisterRow& b) const;
    void rearrange();
    void countWaiting();
    [[nodiscard]] QVariant display(const RegisterRow& row, Column column) const;
    [[nodiscard]] static std::optional<double> raw(const RegisterRow& row, Column column);

    Rows m_rows;
    std::vector<Line> m_lines;
    RegisterFilter m_filter;
    QString m_foldedText;
    std::optional<Column> m_sortColumn;
    Qt::SortOrder m_sortOrder = Qt::AscendingOrder;
    bool m_grouped = false;
    bool m_first = true;
    int m_waiting = 0;
};

}  // namespace halfcell::app
