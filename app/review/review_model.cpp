#include "app/review/review_model.h"

#include "app/style/figure_painter.h"
#include "app/style/type.h"

namespace halfcell::app {

void ReviewModel::setRows(std::vector<ReviewRow> rows)
{
    beginResetModel();
    m_rows = std::move(rows);
    endResetModel();
}

const ReviewRow* ReviewModel::row(int index) const
{
    return index >= 0 && index < rowCount() ? &m_rows[static_cast<std::size_t>(index)] : nullptr;
}

int ReviewModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

int ReviewModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : ColumnCount;
}

QVariant ReviewModel::data(const QModelIndex& index, int role) const
{
    const ReviewRow* r = index.isValid() ? row(index.row()) : nullptr;
    if (r == nullptr)
        return {};
    const auto figureOf = [r](int column) -> const Figure* {
        switch (column) {
        case Run:
        case Service:
        case Same:
        case Change: return &r->options[static_cast<std::size_t>(column - Run)];
        case Sure: return &r->sure;
        case Asks: return &r->asks;
        case PaysBelow: return &r->paysBelow;
        default: return nullptr;
        }
    };
    if (const Figure* figure = figureOf(index.column())) {
        if (role == FigureDelegate::kFigureRole)
            return QVariant::fromValue(*figure);
        if (role == Qt::DisplayRole)
            return screenText(*figure);
        if (role == Qt::TextAlignmentRole)
            return static_cast<int>(Qt::AlignRight | Qt::AlignVCenter);
        return {};
    }
    if (role == Qt::ToolTipRole)
        return tr("%1 at %2, %3\nBest: %4\nWhy: %5").arg(r->serial, r->tag, r->loopClass, r->best, r->why);
    if (role == Qt::DisplayRole) {
        switch (index.column()) {
        case Sensor: return r->serial;
        case Point: return r->tag;
        case Class: return r->loopClass;
        case Best: return r->best;
        case Why: return r->why;
        default: return {};
        }
    }
    if (role == Qt::FontRole && index.column() == Sensor)
        return fontOf(TextRole::InlineSerial, Weight::Regular, m_scale);
    if (role == Qt::AccessibleTextRole)
        return tr("%1 at %2, %3, best: %4, because %5").arg(r->serial, r->tag, r->loopClass, r->best, r->why);
    return {};
}

QVariant ReviewModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal)
        return {};
    const bool figure = section >= Run && section <= Change;
    const bool number = figure || section == Sure || section == Asks || section == PaysBelow;
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>((number ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignVCenter);
    if (role == Qt::ToolTipRole && figure)
        return tr("Cost a month, spread over the next 12 months");
    if (role != Qt::DisplayRole)
        return {};
    switch (section) {
    case Sensor: return tr("Sensor");
    case Point: return tr("Point");
    case Class: return tr("Class");
    case Run: return tr("run /mo");
    case Service: return tr("service /mo");
    case Same: return tr("same /mo");
    case Change: return tr("change /mo");
    case Best: return tr("Best");
    case Sure: return tr("sure %");
    case Asks: return tr("asks");
    case PaysBelow: return tr("pays below");
    case Why: return tr("Why");
    default: return {};
    }
}

}  // namespace halfcell::app
