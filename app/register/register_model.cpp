#include "app/register/register_model.h"

#include "app/panels/plain_words.h"
#include "app/style/figure_painter.h"

#include <algorithm>
#include <map>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

bool isFigureColumn(int column)
{
    return column == RegisterModel::Efficiency || column == RegisterModel::Offset || column == RegisterModel::T90;
}

QString groupOf(const RegisterRow& row)
{
    if (!row.store.isEmpty())
        return placeWord(row.store.toStdString());
    return row.area.isEmpty() ? row.site : row.site + u", "_s + row.area;
}

}  // namespace

RegisterModel::RegisterModel(QObject* parent) : QAbstractTableModel(parent), m_rows(std::make_shared<const std::vector<RegisterRow>>()) {}

bool RegisterModel::passes(const RegisterRow& row) const
{
    if (!m_filter.place.holds(row))
        return false;
    if (m_filter.need && row.need != *m_filter.need)
        return false;
    // A count of the shop line is a count of sensors; empty points belong to none of them.
    if (m_filter.need && row.kind == RowKind::EmptyPoint)
        return false;
    if (m_filter.overdue && !row.overdue)
        return false;
    return m_foldedText.isEmpty() || row.folded.contains(m_foldedText);
}

std::optional<double> RegisterModel::raw(const RegisterRow& row, Column column)
{
    switch (column) {
    case Signal: return static_cast<double>(row.rank);
    case Efficiency: return row.efficiency.value;
    case Offset: return row.offset.value;
    case T90: return row.t90.value;
    case AsLeft: return row.spark.points.empty() ? std::nullopt : std::optional(row.spark.points.back().value);
    case Due: return row.due ? std::optional(static_cast<double>(*row.due)) : std::nullopt;
    default: return std::nullopt;
    }
}

bool RegisterModel::before(const RegisterRow& a, const RegisterRow& b) const
{
    if (!m_sortColumn)
        return firstSeenBefore(a, b);
    const bool numeric = isFigureColumn(*m_sortColumn) || *m_sortColumn == Signal || *m_sortColumn == AsLeft || *m_sortColumn == Due;
    const bool descending = m_sortOrder == Qt::DescendingOrder;
    if (numeric) {
        const auto x = raw(a, *m_sortColumn);
        const auto y = raw(b, *m_sortColumn);
        // What is not known stands last, whichever way the column is sorted.
        if (x.has_value() != y.has_value())
            return x.has_value();
        if (x && *x != *y)
            return descending ? *x > *y : *x < *y;
    } else {
        const QString x = display(a, *m_sortColumn).toString();
        const QString y = display(b, *m_sortColumn).toString();
        if (x.isEmpty() != y.isEmpty())
            return y.isEmpty();
        if (const int order = QString::compare(x, y, Qt::CaseInsensitive); order != 0)
            return descending ? order > 0 : order < 0;
    }
    return firstSeenBefore(a, b);
}

std::vector<RegisterModel::Line> RegisterModel::arranged() const
{
    std::vector<int> order;
    order.reserve(m_rows->size());
    for (std::size_t i = 0; i < m_rows->size(); ++i)
        if (passes((*m_rows)[i]))
            order.push_back(static_cast<int>(i));
    const auto row = [this](int i) -> const RegisterRow& { return (*m_rows)[static_cast<std::size_t>(i)]; };
    std::ranges::stable_sort(order, [&](int a, int b) { return before(row(a), row(b)); });
    std::vector<Line> lines;
    lines.reserve(order.size());
    if (!m_grouped) {
        for (const int i : order)
            lines.push_back({i, {}});
        return lines;
    }
    // Groups stand in the order of their most urgent row.
    std::vector<QString> groups;
    std::map<QString, std::vector<int>> inGroup;
    for (const int i : order) {
        const QString group = groupOf(row(i));
        if (!inGroup.contains(group))
            groups.push_back(group);
        inGroup[group].push_back(i);
    }
    for (const QString& group : groups) {
        lines.push_back({-1, group});
        for (const int i : inGroup[group])
            lines.push_back({i, group});
    }
    return lines;
}

void RegisterModel::rearrange()
{
    beginResetModel();
    m_lines = arranged();
    endResetModel();
    countWaiting();
}

void RegisterModel::countWaiting()
{
    int moves = 0;
    if (const auto wanted = arranged(); wanted != m_lines) {
        // Rows that stay in order relative to each other need not move: all but the longest ascending run.
        std::map<int, int> place;
        for (std::size_t i = 0; i < wanted.size(); ++i)
            if (wanted[i].row >= 0)
                place.emplace(wanted[i].row, static_cast<int>(i));
        std::vector<int> tails;
        int shown = 0, gone = 0;
        for (const Line& line : m_lines) {
            if (line.row < 0)
                continue;
            const auto at = place.find(line.row);
            if (at == place.end()) {
                ++gone;
                continue;
            }
            ++shown;
            const auto tail = std::ranges::lower_bound(tails, at->second);
            if (tail == tails.end())
                tails.push_back(at->second);
            else
                *tail = at->second;
        }
        const int coming = static_cast<int>(place.size()) - shown;
        moves = shown - static_cast<int>(tails.size()) + gone + coming;
    }
    if (moves == m_waiting)
        return;
    m_waiting = moves;
    Q_EMIT waitingMovesChanged(moves);
}

void RegisterModel::setRows(Rows rows)
{
    if (m_first || m_rows->empty()) {
        m_first = false;
        m_rows = std::move(rows);
        rearrange();
        return;
    }
    std::map<QString, int> at;
    for (std::size_t i = 0; i < rows->size(); ++i)
        at.emplace((*rows)[i].key, static_cast<int>(i));
    // Lines whose row is gone go first, from the end.
    for (int line = static_cast<int>(m_lines.size()) - 1; line >= 0; --line) {
        const int row = m_lines[static_cast<std::size_t>(line)].row;
        if (row < 0 || at.contains((*m_rows)[static_cast<std::size_t>(row)].key))
            continue;
        beginRemoveRows({}, line, line);
        m_lines.erase(m_lines.begin() + line);
        endRemoveRows();
    }
    const Rows old = std::exchange(m_rows, std::move(rows));
    std::map<QString, bool> known;
    for (const RegisterRow& row : *old)
        known.emplace(row.key, true);
    std::vector<int> changed;
    for (std::size_t line = 0; line < m_lines.size(); ++line) {
        int& row = m_lines[line].row;
        if (row < 0)
            continue;
        const RegisterRow& before = (*old)[static_cast<std::size_t>(row)];
        row = at.at(before.key);
        if ((*m_rows)[static_cast<std::size_t>(row)] != before)
            changed.push_back(static_cast<int>(line));
    }
    for (const int line : changed)
        Q_EMIT dataChanged(index(line, 0), index(line, kColumnCount - 1));
    std::vector<Line> added;
    for (std::size_t i = 0; i < m_rows->size(); ++i)
        if (!known.contains((*m_rows)[i].key) && passes((*m_rows)[i]))
            added.push_back({static_cast<int>(i), m_grouped ? groupOf((*m_rows)[i]) : QString()});
    if (!added.empty()) {
        const int first = static_cast<int>(m_lines.size());
        beginInsertRows({}, first, first + static_cast<int>(added.size()) - 1);
        m_lines.insert(m_lines.end(), added.begin(), added.end());
        endInsertRows();
    }
    countWaiting();
}

void RegisterModel::setFilter(RegisterFilter filter)
{
    if (filter == m_filter)
        return;
    m_filter = std::move(filter);
    m_foldedText = foldedKey(m_filter.text);
    rearrange();
}

void RegisterModel::sortBy(std::optional<Column> column, Qt::SortOrder order)
{
    m_sortColumn = column;
    m_sortOrder = order;
    rearrange();
}

void RegisterModel::sort(int column, Qt::SortOrder order)
{
    sortBy(column >= 0 && column < kColumnCount ? std::optional(static_cast<Column>(column)) : std::nullopt, order);
}

void RegisterModel::setGrouped(bool grouped)
{
    if (grouped == m_grouped)
        return;
    m_grouped = grouped;
    rearrange();
}

void RegisterModel::resort()
{
    rearrange();
}

const RegisterRow* RegisterModel::rowAt(int line) const
{
    if (line < 0 || line >= static_cast<int>(m_lines.size()))
        return nullptr;
    const int row = m_lines[static_cast<std::size_t>(line)].row;
    return row < 0 ? nullptr : &(*m_rows)[static_cast<std::size_t>(row)];
}

int RegisterModel::lineOf(const QString& key) const
{
    for (int line = 0; line < static_cast<int>(m_lines.size()); ++line)
        if (const RegisterRow* row = rowAt(line); row != nullptr && row->key == key)
            return line;
    return -1;
}

QStringList RegisterModel::serials() const
{
    QStringList list;
    for (int line = 0; line < static_cast<int>(m_lines.size()); ++line)
        if (const RegisterRow* row = rowAt(line); row != nullptr && row->kind == RowKind::Sensor)
            list.append(row->serial);
    return list;
}

const Figure* RegisterModel::figureAt(const QModelIndex& index) const
{
    const RegisterRow* row = index.isValid() ? rowAt(index.row()) : nullptr;
    if (row == nullptr || row->kind != RowKind::Sensor)
        return nullptr;
    switch (index.column()) {
    case Efficiency: return &row->efficiency;
    case Offset: return &row->offset;
    case T90: return &row->t90;
    default: return nullptr;
    }
}

QString RegisterModel::figureKey(Column column, const RegisterRow& row)
{
    switch (column) {
    case Efficiency: return row.sensorKind == core::SensorKind::Orp ? u"span_pct"_s : u"efficiency_pct"_s;
    case Offset: return u"offset_mv"_s;
    case T90: return u"t90_s"_s;
    default: return {};
    }
}

int RegisterModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
}

int RegisterModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(kColumnCount);
}

Qt::ItemFlags RegisterModel::flags(const QModelIndex& index) const
{
    if (!index.isValid())
        return Qt::NoItemFlags;
    return rowAt(index.row()) == nullptr ? Qt::ItemFlags(Qt::ItemIsEnabled) : Qt::ItemIsEnabled | Qt::ItemIsSelectable;
}

QVariant RegisterModel::display(const RegisterRow& row, Column column) const
{
    if (row.kind != RowKind::Sensor) {
        switch (column) {
        case Signal: return row.signalWords;
        case Point: return row.tag;
        case Sensor: return row.note;
        default: return QString();
        }
    }
    switch (column) {
    case Signal: return row.signalWords;
    case Point: return row.tag.isEmpty() ? row.placeWords : row.tag;
    case Sensor: return row.serial;
    case Kind: return row.kindWords;
    case Efficiency: return screenText(row.efficiency);
    case Offset: return screenText(row.offset);
    case T90: return screenText(row.t90);
    case AsLeft: return sparklineWords(row.spark);
    case WhatNext: return row.next;
    case Due: return row.dueWords;
    case PlaceColumn: return row.placeWords;
    case Class: return row.classWords;
    case By: return row.by;
    case kColumnCount: break;
    }
    return {};
}

QVariant RegisterModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid() || index.row() >= rowCount())
        return {};
    const RegisterRow* row = rowAt(index.row());
    if (row == nullptr) {
        const QString& group = m_lines[static_cast<std::size_t>(index.row())].group;
        if (role == kGroupRole)
            return true;
        return (role == Qt::DisplayRole && index.column() == Signal) || role == Qt::AccessibleTextRole ? QVariant(group) : QVariant();
    }
    const auto column = static_cast<Column>(index.column());
    switch (role) {
    case Qt::DisplayRole: return display(*row, column);
    case Qt::ToolTipRole: return column == AsLeft || column == Signal ? row->sentence : display(*row, column).toString();
    case Qt::AccessibleTextRole: return column == Signal ? QVariant(row->spoken) : display(*row, column);
    case Qt::AccessibleDescriptionRole: return row->sentence;
    case kRawRole: {
        const auto number = raw(*row, column);
        return number ? QVariant(*number) : QVariant();
    }
    case kKeyRole: return row->key;
    case kGroupRole: return false;
    case FigureDelegate::kFigureRole: {
        const Figure* figure = figureAt(index);
        return figure != nullptr ? QVariant::fromValue(*figure) : QVariant();
    }
    default: return {};
    }
}

QVariant RegisterModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal || section < 0 || section >= kColumnCount)
        return {};
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>((section == Offset || section == T90 || section == Due ? Qt::AlignRight : Qt::AlignLeft) |
                                Qt::AlignVCenter);
    if (role != Qt::DisplayRole)
        return {};
    switch (section) {
    case Signal: return tr("Signal");
    case Point: return tr("Point");
    case Sensor: return tr("Sensor");
    case Kind: return tr("Kind");
    case Efficiency: return tr("Efficiency %");
    case Offset: return tr("Offset mV");
    case T90: return tr("t90 s");
    case AsLeft: return tr("As left, 12 mo");
    case WhatNext: return tr("What next");
    case Due: return tr("Due");
    case PlaceColumn: return tr("Place");
    case Class: return tr("Class");
    default: return tr("By");
    }
}

}  // namespace halfcell::app
