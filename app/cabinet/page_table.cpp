#include "app/cabinet/page_table.h"

#include "app/style/metrics.h"
#include "app/style/table_lines.h"

#include <QEvent>
#include <QHeaderView>

#include <algorithm>
#include <vector>

namespace halfcell::app {

PageTable::PageTable(QAbstractItemModel* model, const QString& name, const QString& accessible, QWidget* parent) : QTableView(parent)
{
    setObjectName(name);
    setAccessibleName(accessible);
    setModel(model);
    standAsLines(*this);
    setTextElideMode(Qt::ElideMiddle);
    setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    horizontalHeader()->setStretchLastSection(true);
    constexpr int kRowsMeasured = 200;  // of thousands: more would be felt, and a tool tip has the whole text
    horizontalHeader()->setResizeContentsPrecision(kRowsMeasured);
    setRowHeight();
}

void PageTable::setRowHeight()
{
    const int row = Metrics::of(this).row();
    verticalHeader()->setMinimumSectionSize(row);
    verticalHeader()->setDefaultSectionSize(row);
}

void PageTable::fitColumns()
{
    m_fits = true;
    const int last = model() != nullptr ? model()->columnCount() - 1 : -1;
    if (last < 1)
        return;
    const int room = viewport()->width();
    const auto needed = [this](int column) { return std::max(sizeHintForColumn(column), horizontalHeader()->sectionSizeHint(column)); };
    std::vector<int> widths;
    int sum = 0;
    for (int column = 0; column < last; ++column) {
        widths.push_back(needed(column));
        sum += widths.back();
    }
    // The widest is cut to the next one's width, and so on, until the last column has its share.
    const int forOthers = std::max(0, room - std::min(needed(last), room / 4));
    const int least = Metrics::of(this).px(48);
    while (sum > forOthers) {
        const int widest = *std::ranges::max_element(widths);
        if (widest <= least)
            break;
        int next = least;
        for (const int width : widths)
            if (width < widest)
                next = std::max(next, width);
        const auto count = static_cast<int>(std::ranges::count(widths, widest));
        const int cut = std::max(next, widest - (sum - forOthers + count - 1) / count);
        for (int& width : widths)
            width = std::min(width, cut);
        sum -= count * (widest - cut);
    }
    for (int column = 0; column < last; ++column)
        setColumnWidth(column, widths[static_cast<std::size_t>(column)]);
}

void PageTable::reset()
{
    QTableView::reset();
    if (m_fits)
        fitColumns();
}

void PageTable::changeEvent(QEvent* event)
{
    QTableView::changeEvent(event);
    if (event->type() != QEvent::StyleChange && event->type() != QEvent::FontChange)
        return;
    setRowHeight();
    if (m_fits)
        fitColumns();
}

void PageTable::resizeEvent(QResizeEvent* event)
{
    QTableView::resizeEvent(event);
    if (m_fits)
        fitColumns();
}

}  // namespace halfcell::app
