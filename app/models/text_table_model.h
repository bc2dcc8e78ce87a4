#pragma once

#include <QAbstractTableModel>
#include <QString>
#include <QStringList>

#include <vector>

namespace halfcell::app {

/// A table of ready texts: columns with heads, rows replaced as a whole. For pages that only show (previews, refusals,
/// the journal). GUI thread only.
class TextTableModel : public QAbstractTableModel {
    Q_OBJECT
public:
    explicit TextTableModel(QStringList heads, QObject* parent = nullptr);

    void setRows(std::vector<QStringList> rows);
    /// Other columns too.
    void setTable(QStringList heads, std::vector<QStringList> rows);
    [[nodiscard]] const std::vector<QStringList>& rows() const { return m_rows; }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    QStringList m_heads;
    std::vector<QStringList> m_rows;
};

}  // namespace halfcell::app
