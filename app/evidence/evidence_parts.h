#pragma once

#include "app/panels/working_page.h"
#include "app/plots/plot_table.h"

#include <QString>
#include <QTableView>

class QLabel;

namespace halfcell::app {

class PlotBase;

/// A read-only table over rows that are also a file: whole rows, columns by what stands in them, Ctrl+C copies the row,
/// Ctrl+E asks for the working of the row, Ctrl+Shift+S for the file. GUI thread only.
class EvidenceTable : public QTableView {
    Q_OBJECT
public:
    EvidenceTable(const QString& name, const QString& accessible, QWidget* parent);

    /// `heads`: the words of the columns on screen.
    void setRows(PlotTable table, std::vector<QString> heads);
    [[nodiscard]] const PlotTable& rows() const { return m_table; }
    [[nodiscard]] int chosen() const;
    void choose(int row);

Q_SIGNALS:
    void chosenChanged(int row);
    void opened(int row);
    void workingAsked(int row);
    void exportAsked();

protected:
    void currentChanged(const QModelIndex& current, const QModelIndex& previous) override;
    void keyPressEvent(QKeyEvent* event) override;
    bool event(QEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void fit();

    PlotTable m_table;
    QAbstractTableModel* m_model;
};

/// A chance that may be very small: "0.015", "under 0.001"; and as a cell.
[[nodiscard]] QString chanceText(double p);
[[nodiscard]] PlotCell chanceCell(double p);

/// Heading and sentence of a page.
[[nodiscard]] QLabel* evidenceHeading(const QString& text, QWidget* parent);
[[nodiscard]] QLabel* evidenceSentence(const QString& name, QWidget* parent);

/// A step of a working: what is done, the formula, the result.
[[nodiscard]] core::WorkingStep evidenceStep(std::string step, std::string formula, std::vector<core::WorkingInput> inputs,
                                             std::optional<double> result, std::string unit, std::string source,
                                             core::SourceClass sourceClass);

}  // namespace halfcell::app
