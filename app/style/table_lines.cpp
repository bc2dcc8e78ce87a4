#include "app/style/table_lines.h"

#include <QHeaderView>
#include <QTableView>

namespace halfcell::app {

void standAsLines(QTableView& view)
{
    view.setEditTriggers(QAbstractItemView::NoEditTriggers);
    view.setSelectionBehavior(QAbstractItemView::SelectRows);
    view.setSelectionMode(QAbstractItemView::SingleSelection);
    view.setShowGrid(false);
    view.setTabKeyNavigation(false);
    view.setWordWrap(false);
    view.verticalHeader()->hide();
    view.horizontalHeader()->setHighlightSections(false);
}

}  // namespace halfcell::app
