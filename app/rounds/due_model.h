#pragma once

#include "app/rounds/rounds_presenter.h"

#include <QAbstractTableModel>

#include <vector>

namespace halfcell::app {

/// The due list: group heads and lines. GUI thread only.
class DueModel : public QAbstractTableModel {
    Q_OBJECT
public:
    enum Column { Point, Task, Why, Minutes, ColumnCount };

    /// Of the heads' type; the view's scale.
    void setScale(double scale) { m_scale = scale; }
    explicit DueModel(QObject* parent = nullptr) : QAbstractTableModel(parent) {}
    void setLines(std::vector<DueLine> lines);
    /// The line of a row; nullptr for a group head.
    [[nodiscard]] const DueLine* line(int row) const;
    /// The row of a job on the board; -1 if none.
    [[nodiscard]] int rowOf(const std::string& jobKey) const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    double m_scale = 1.0;
    struct Row {
        QString head;  ///< a group head; empty for a line
        DueLine line;
    };
    std::vector<Row> m_rows;
};

}  // namespace halfcell::app
