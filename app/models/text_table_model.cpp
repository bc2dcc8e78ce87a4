#include "app/models/text_table_model.h"

namespace halfcell::app {

TextTableModel::TextTableModel(QStringList heads, QObject* parent) : QAbstractTableModel(parent), m_heads(std::move(heads)) {}

void TextTableModel::setRows(std::vector<QStringList> rows)
{
    beginResetModel();
    m_rows = std::move(rows);
    endResetModel();
}

void TextTableModel::setTable(QStringList heads, std::vector<QStringList> rows)
{
    beginResetModel();
    m_heads = std::move(heads);
    m_rows = std::move(rows);
    endResetModel();
}

int TextTableModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

int TextTableModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_heads.size());
}

QVariant TextTableModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid() || index.row() >= rowCount() || index.column() >= columnCount())
        return {};
    const QStringList& row = m_rows[static_cast<std::size_t>(index.row())];
    const QString text = index.column() < row.size() ? row[index.column()] : QString();
    switch (role) {
    case Qt::DisplayRole:
    case Qt::ToolTipRole:
        return text;
    case Qt::AccessibleTextRole:
        return m_heads[index.column()] + QStringLiteral(": ") + text;
    default:
        return {};
    }
}

QVariant TextTableModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal || section < 0 || section >= m_heads.size())
        return {};
    if (role == Qt::DisplayRole)
        return m_heads[section];
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>(Qt::AlignLeft | Qt::AlignVCenter);
    return {};
}

}  // namespace halfcell::app
