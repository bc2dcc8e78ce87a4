#pragma once

#include "db/exchange/exchange.h"

#include <QAbstractTableModel>

#include <memory>

namespace halfcell::app {

/// Refused rows, each with line, field, value, why and remedy. Texts are made as they are shown: there may be a million. GUI thread only.
class RefusedModel : public QAbstractTableModel {
    Q_OBJECT
public:
    enum Column { File, Line, Field, Value, Why, Remedy, Columns };
    explicit RefusedModel(QObject* parent = nullptr) : QAbstractTableModel(parent) {}

    /// Shows the refusals of a report, which stays alive as long; nullptr: none.
    void setReport(std::shared_ptr<const db::ImportReport> report);
    [[nodiscard]] const db::Refusal* refusalAt(int row) const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    std::shared_ptr<const db::ImportReport> m_report;
};

}  // namespace halfcell::app
