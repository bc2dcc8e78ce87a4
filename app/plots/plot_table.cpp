#include "app/plots/plot_table.h"

#include "app/style/figures.h"
#include "core/quantity/instant.h"
#include "core/quantity/number.h"

#include <QDateTime>
#include <QLocale>

#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

QString quoted(const QString& text)
{
    if (!text.contains(u',') && !text.contains(u'"') && !text.contains(u'\n') && !text.contains(u'\r'))
        return text;
    QString inner = text;
    inner.replace(u"\""_s, u"\"\""_s);
    return u'"' + inner + u'"';
}

}  // namespace

QByteArray toCsv(const PlotTable& table)
{
    QString text;
    const auto line = [&](const auto& cells, const auto& textOf) {
        bool first = true;
        for (const auto& cell : cells) {
            if (!first)
                text += u',';
            first = false;
            text += quoted(textOf(cell));
        }
        text += u"\r\n"_s;
    };
    line(table.head, [](const QString& name) { return name; });
    for (const auto& row : table.rows)
        line(row, [](const PlotCell& cell) { return cell.file; });
    return text.toUtf8();
}

PlotCell numberCell(std::optional<double> value, int decimals, bool sign)
{
    if (!value || !std::isfinite(*value))
        return {};
    return {QString::fromStdString(core::formatNumber(*value)),
            figureText(*value, decimals, sign ? Sign::Always : Sign::WhenNegative)};
}

QString momentText(qint64 utcSeconds)
{
    return QLocale().toString(QDateTime::fromSecsSinceEpoch(utcSeconds), u"d MMM yyyy HH:mm"_s);
}

QString dayText(qint64 utcSeconds)
{
    return QLocale().toString(QDateTime::fromSecsSinceEpoch(utcSeconds), u"d MMM yyyy"_s);
}

PlotCell timeCell(qint64 utcSeconds)
{
    return {QString::fromStdString(core::formatInstant(core::Instant{utcSeconds, 0})), momentText(utcSeconds)};
}

PlotCell textCell(const QString& text)
{
    return {text, {}};
}

void PlotTableModel::setTable(PlotTable table)
{
    beginResetModel();
    m_table = std::move(table);
    endResetModel();
}

int PlotTableModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_table.rows.size());
}

int PlotTableModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_table.head.size());
}

QVariant PlotTableModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid() || (role != Qt::DisplayRole && role != Qt::AccessibleTextRole && role != Qt::ToolTipRole))
        return {};
    const PlotCell& cell = m_table.rows[static_cast<std::size_t>(index.row())][static_cast<std::size_t>(index.column())];
    return cell.screen.isEmpty() ? cell.file : cell.screen;
}

QVariant PlotTableModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole)
        return {};
    QString words = m_table.head[static_cast<std::size_t>(section)];
    words.replace(u'_', u' ');
    return words;
}

}  // namespace halfcell::app
