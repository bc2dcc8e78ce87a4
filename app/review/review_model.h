#pragma once

#include "app/review/review_presenter.h"

#include <QAbstractTableModel>

#include <vector>

namespace halfcell::app {

/// The ranked list. Figures go out under FigureDelegate::kFigureRole. GUI thread only.
class ReviewModel : public QAbstractTableModel {
    Q_OBJECT
public:
    enum Column { Sensor, Point, Class, Run, Service, Same, Change, Best, Sure, Asks, PaysBelow, Why, ColumnCount };

    explicit ReviewModel(QObject* parent = nullptr) : QAbstractTableModel(parent) {}
    /// Of the serials' type; the view's scale.
    void setScale(double scale) { m_scale = scale; }
    void setRows(std::vector<ReviewRow> rows);
    [[nodiscard]] const ReviewRow* row(int index) const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    std::vector<ReviewRow> m_rows;
    double m_scale = 1.0;
};

}  // namespace halfcell::app
