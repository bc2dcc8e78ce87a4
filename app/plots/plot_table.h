#pragma once

#include <QAbstractTableModel>
#include <QString>

#include <optional>
#include <vector>

/// The table twin of a plot: the same rows that are drawn, for eyes, readers and files.
namespace halfcell::app {

struct PlotCell {
    QString file = {};    ///< as in the CSV: point as decimal sign, ASCII minus, ISO times in UTC
    QString screen = {};  ///< as on screen; empty: the file's text
    bool operator==(const PlotCell&) const = default;
};

struct PlotTable {
    std::vector<QString> head = {};                ///< column names as in the file (snake_case with the unit)
    std::vector<std::vector<PlotCell>> rows = {};
    bool operator==(const PlotTable&) const = default;
};

/// RFC 4180 text: UTF-8, CRLF, quotes where needed.
[[nodiscard]] QByteArray toCsv(const PlotTable& table);

/// A cell for a number: shortest round-trip text for the file, fixed decimals on screen; empty for none.
[[nodiscard]] PlotCell numberCell(std::optional<double> value, int decimals, bool sign);
/// A cell for a moment: ISO in UTC for the file, local time on screen.
[[nodiscard]] PlotCell timeCell(qint64 utcSeconds);
[[nodiscard]] PlotCell textCell(const QString& text);
/// "2 Mar 2026 08:44" in local time.
[[nodiscard]] QString momentText(qint64 utcSeconds);
/// "2 Mar 2026" in local time.
[[nodiscard]] QString dayText(qint64 utcSeconds);

/// Read-only model over a PlotTable. GUI thread only.
class PlotTableModel : public QAbstractTableModel {
    Q_OBJECT
public:
    using QAbstractTableModel::QAbstractTableModel;

    void setTable(PlotTable table);
    [[nodiscard]] const PlotTable& table() const { return m_table; }
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role = Qt::DisplayRole) const override;

private:
    PlotTable m_table;
};

}  // namespace halfcell::app
