#pragma once

#include <QTableView>

namespace halfcell::app {

/// A read-only table of the Cabinet: whole rows, no grid, the last column takes what is left. Rows are as high as the scale
/// asks, whenever it changes. GUI thread only.
class PageTable : public QTableView {
    Q_OBJECT
public:
    PageTable(QAbstractItemModel* model, const QString& name, const QString& accessible, QWidget* parent);

    /// Columns as wide as what stands in them from now on. Where that is more than the table has, the widest give way first
    /// and the last column keeps a quarter.
    void fitColumns();

    void reset() override;

protected:
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    void setRowHeight();

    bool m_fits = false;
};

}  // namespace halfcell::app
