#pragma once

#include "app/cabinet/page_table.h"
#include "app/presenters/import_source.h"

#include <QWidget>

#include <memory>
#include <vector>

class QLabel;

namespace halfcell::app {

class RefusedModel;
class TextTableModel;

/// The first lines of a file before and after, side by side, and every refused row with line, field, value, why and remedy. A line chosen
/// on one side is chosen on the others. GUI thread only.
class ImportPreviewView : public QWidget {
    Q_OBJECT
public:
    explicit ImportPreviewView(QWidget* parent = nullptr);

    /// The file as it is; nothing of what becomes of it is known yet.
    void showBefore(const db::TableLook& look);
    /// What becomes of it; tables of our own have no before.
    void showAfter(const ImportCount& count);
    void showRefused(std::shared_ptr<const db::ImportReport> report);
    /// Counting anew: what becomes of it is not known.
    void clearAfter();
    void clear();

    [[nodiscard]] QTableView* beforeView() const { return m_before; }
    [[nodiscard]] QTableView* afterView() const { return m_after; }
    [[nodiscard]] QTableView* refusedView() const { return m_refused; }

private:
    void build();
    void fit(QTableView* view) const;
    void choose(QTableView* from, std::size_t line);

    TextTableModel* m_beforeModel = nullptr;
    TextTableModel* m_afterModel = nullptr;
    RefusedModel* m_refusedModel = nullptr;
    QWidget* m_beforePart = nullptr;
    QTableView* m_before = nullptr;
    QTableView* m_after = nullptr;
    PageTable* m_refused = nullptr;
    QLabel* m_refusedHead = nullptr;
    std::vector<std::size_t> m_beforeLines, m_afterLines;  ///< of the file, by row
    bool m_choosing = false;
};

}  // namespace halfcell::app
