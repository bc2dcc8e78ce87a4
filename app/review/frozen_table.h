#pragma once

#include <QTableView>

class QFrame;

namespace halfcell::app {

/// A wide table whose first columns stay while the rest scrolls sideways. They are drawn once more over its left edge, only
/// while there is something to scroll; keys, selection and focus are those of the table. GUI thread only.
class FrozenTable : public QTableView {
    Q_OBJECT
public:
    FrozenTable(int columns, const QString& name, QWidget* parent = nullptr);

    void setModel(QAbstractItemModel* model) override;
    /// Whether the first columns stand over the table now.
    [[nodiscard]] bool isFrozen() const;
    /// Px the staying columns take.
    [[nodiscard]] int frozenWidth() const;
    void scrollTo(const QModelIndex& index, ScrollHint hint = EnsureVisible) override;

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    void updateGeometries() override;

private:
    void layFrozen();

    int m_columns;
    QTableView* m_frozen;
    QFrame* m_edge;
};

}  // namespace halfcell::app
