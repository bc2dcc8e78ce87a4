#include "app/cabinet/refused_model.h"

#include "app/panels/plain_words.h"

#include <limits>

namespace halfcell::app {

void RefusedModel::setReport(std::shared_ptr<const db::ImportReport> report)
{
    beginResetModel();
    m_report = std::move(report);
    endResetModel();
}

const db::Refusal* RefusedModel::refusalAt(int row) const
{
    return row >= 0 && row < rowCount() ? &m_report->refused[static_cast<std::size_t>(row)] : nullptr;
}

int RefusedModel::rowCount(const QModelIndex& parent) const
{
    if (parent.isValid() || !m_report)
        return 0;
    return static_cast<int>(std::min<std::size_t>(m_report->refused.size(), std::numeric_limits<int>::max()));
}

int RefusedModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : Columns;
}

QVariant RefusedModel::data(const QModelIndex& index, int role) const
{
    const db::Refusal* refusal = index.isValid() ? refusalAt(index.row()) : nullptr;
    if (refusal == nullptr || (role != Qt::DisplayRole && role != Qt::ToolTipRole && role != Qt::AccessibleTextRole))
        return {};
    QString text;
    switch (index.column()) {
    case File: text = plain(refusal->file); break;
    case Line: text = refusal->line > 0 ? QString::number(refusal->line) : tr("whole file"); break;
    case Field: text = plain(refusal->field); break;
    case Value: text = plain(refusal->value); break;
    case Why: text = screenWords(refusal->reason); break;
    case Remedy: text = screenWords(refusal->remedy); break;
    default: return {};
    }
    return role == Qt::AccessibleTextRole
               ? headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString() + QStringLiteral(": ") + text
               : text;
}

QVariant RefusedModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal)
        return {};
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>(Qt::AlignLeft | Qt::AlignVCenter);
    if (role != Qt::DisplayRole)
        return {};
    switch (section) {
    case File: return tr("File");
    case Line: return tr("Line");
    case Field: return tr("Field");
    case Value: return tr("Value");
    case Why: return tr("Why");
    case Remedy: return tr("Remedy");
    default: return {};
    }
}

}  // namespace halfcell::app
