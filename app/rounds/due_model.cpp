#include "app/rounds/due_model.h"

#include "app/style/figures.h"
#include "app/style/type.h"

namespace halfcell::app {

void DueModel::setLines(std::vector<DueLine> lines)
{
    beginResetModel();
    m_rows.clear();
    QString group;
    for (DueLine& line : lines) {
        if (line.group != group) {
            group = line.group;
            m_rows.push_back({group, {}});
        }
        m_rows.push_back({{}, std::move(line)});
    }
    endResetModel();
}

const DueLine* DueModel::line(int row) const
{
    if (row < 0 || row >= rowCount() || !m_rows[static_cast<std::size_t>(row)].head.isEmpty())
        return nullptr;
    return &m_rows[static_cast<std::size_t>(row)].line;
}

int DueModel::rowOf(const std::string& jobKey) const
{
    for (std::size_t i = 0; i < m_rows.size(); ++i)
        if (m_rows[i].head.isEmpty() && m_rows[i].line.jobKey == jobKey)
            return static_cast<int>(i);
    return -1;
}

int DueModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

int DueModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : ColumnCount;
}

QVariant DueModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid() || index.row() >= rowCount())
        return {};
    const Row& row = m_rows[static_cast<std::size_t>(index.row())];
    if (!row.head.isEmpty()) {
        if (role == Qt::DisplayRole && index.column() == Point)
            return row.head;
        if (role == Qt::FontRole)
            return fontOf(TextRole::Hint, Weight::Heavy, m_scale);
        if (role == Qt::AccessibleTextRole)
            return row.head;
        return {};
    }
    const DueLine& l = row.line;
    if (role == Qt::DisplayRole) {
        switch (index.column()) {
        case Point: return l.tag.isEmpty() ? l.serial : l.tag;
        case Task: return l.task;
        case Why: return l.why;
        case Minutes: return figureText(l.minutes, 0, Sign::WhenNegative);
        default: return {};
        }
    }
    if (role == Qt::TextAlignmentRole && index.column() == Minutes)
        return static_cast<int>(Qt::AlignRight | Qt::AlignVCenter);
    if (role == Qt::ToolTipRole)
        return tr("%1  %2\n%3\nDue %4, latest %5. %6").arg(l.tag, l.serial, l.allWhys, l.due, l.latest, l.materials);
    if (role == Qt::AccessibleTextRole)
        return tr("%1, %2, %3, because %4, %5 minutes, latest %6")
            .arg(l.tag, l.serial, l.task, l.why)
            .arg(l.minutes, 0, 'f', 0)
            .arg(l.latest);
    return {};
}

QVariant DueModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal)
        return {};
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>((section == Minutes ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignVCenter);
    if (role != Qt::DisplayRole)
        return {};
    switch (section) {
    case Point: return tr("Point");
    case Task: return tr("Task");
    case Why: return tr("Due and why");
    case Minutes: return tr("min");
    default: return {};
    }
}

}  // namespace halfcell::app
