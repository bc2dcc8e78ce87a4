#include "app/cabinet/audit_lines.h"

#include "app/style/figures.h"

#include <QFont>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

AuditModel::AuditModel(Kind kind, QObject* parent) : QAbstractTableModel(parent), m_kind(kind)
{
    switch (kind) {
    case Kind::Changes: m_heads = {tr("Written"), tr("Who"), tr("Sensor, key"), tr("Field"), tr("Before"), tr("After"), tr("Why")}; break;
    case Kind::Journal: m_heads = {tr("Entry"), tr("Written"), tr("Who"), tr("Kind"), tr("Sensor, key"), tr("Record")}; break;
    case Kind::Standing:
        m_heads = {tr("Kind"), tr("Sensor, key"), tr("Place"), tr("What"), tr("Since, due"), tr("Latest"), tr("State"), tr("Why")};
        break;
    }
}

void AuditModel::setLines(std::vector<AuditLine> lines)
{
    beginResetModel();
    m_lines = std::move(lines);
    sift();
    endResetModel();
}

void AuditModel::setStanding(std::vector<StandingLine> lines)
{
    beginResetModel();
    m_standing = std::move(lines);
    sift();
    endResetModel();
}

void AuditModel::setFilter(const AuditFilter& filter)
{
    if (m_filter == filter)
        return;
    beginResetModel();
    m_filter = filter;
    sift();
    endResetModel();
}

void AuditModel::sift()
{
    m_shown.clear();
    for (std::size_t i = 0; i < m_lines.size(); ++i)
        if (passes(m_lines[i], m_filter))
            m_shown.push_back(i);
    for (std::size_t i = 0; i < m_standing.size(); ++i)
        if (passes(m_standing[i], m_filter))
            m_shown.push_back(i);
}

const AuditLine* AuditModel::line(int row) const
{
    return m_kind != Kind::Standing && row >= 0 && row < rowCount() ? &m_lines[m_shown[static_cast<std::size_t>(row)]] : nullptr;
}

QString AuditModel::serialOf(int row) const
{
    if (row < 0 || row >= rowCount())
        return {};
    const std::size_t at = m_shown[static_cast<std::size_t>(row)];
    return m_kind == Kind::Standing ? m_standing[at].serial : m_lines[at].serial;
}

int AuditModel::total() const
{
    return static_cast<int>(m_lines.size() + m_standing.size());
}

int AuditModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_shown.size());
}

int AuditModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_heads.size());
}

QString AuditModel::cell(std::size_t row, int column) const
{
    if (m_kind == Kind::Standing) {
        const StandingLine& l = m_standing[row];
        const QString* cells[] = {&l.group, &l.subject, &l.place, &l.what, &l.due, &l.latest, &l.state, &l.why};
        return *cells[column];
    }
    const AuditLine& l = m_lines[row];
    const auto who = [&l] { return l.who.isEmpty() ? tr("nobody named") : l.who; };
    if (m_kind == Kind::Changes)
        switch (column) {
        case 0: return auditTime(l.when);
        case 1: return who();
        case 2: return l.subject;
        case 3: return l.field;
        case 4: return l.before;
        case 5: return l.after;
        default: return l.text;
        }
    switch (column) {
    case 0: return countText(l.entry);
    case 1: return auditTime(l.when);
    case 2: return who();
    case 3: return l.what;
    case 4: return l.subject;
    default: return l.text;
    }
}

QVariant AuditModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid() || index.row() >= rowCount() || index.column() >= columnCount())
        return {};
    const std::size_t row = m_shown[static_cast<std::size_t>(index.row())];
    switch (role) {
    case Qt::DisplayRole:
    case Qt::ToolTipRole: return cell(row, index.column());
    case Qt::AccessibleTextRole: return u"%1: %2"_s.arg(m_heads[index.column()], cell(row, index.column()));
    case Qt::TextAlignmentRole:
        if (m_kind == Kind::Journal && index.column() == 0)
            return static_cast<int>(Qt::AlignRight | Qt::AlignVCenter);
        return {};
    case Qt::FontRole:
        // What no longer counts is struck through; the reason says so in words.
        if (m_kind == Kind::Changes && !m_lines[row].counts) {
            QFont font;
            font.setStrikeOut(true);
            return font;
        }
        return {};
    default: return {};
    }
}

QVariant AuditModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal || section < 0 || section >= m_heads.size())
        return {};
    if (role == Qt::DisplayRole)
        return m_heads[section];
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>((m_kind == Kind::Journal && section == 0 ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignVCenter);
    return {};
}

}  // namespace halfcell::app
