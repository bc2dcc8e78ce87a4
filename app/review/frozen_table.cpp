#include "app/review/frozen_table.h"

#include "app/style/metrics.h"

#include <QEvent>
#include <QFrame>
#include <QHeaderView>
#include <QScrollBar>

namespace halfcell::app {

FrozenTable::FrozenTable(int columns, const QString& name, QWidget* parent)
    : QTableView(parent), m_columns(columns), m_frozen(new QTableView(this)), m_edge(new QFrame(this))
{
    setObjectName(name);
    setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    m_frozen->setObjectName(name + QStringLiteral(".frozen"));
    m_frozen->setFocusPolicy(Qt::NoFocus);
    m_frozen->setFocusProxy(this);
    m_frozen->setFrameShape(QFrame::NoFrame);
    m_frozen->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_frozen->setVerticalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_frozen->verticalHeader()->hide();
    m_frozen->horizontalHeader()->setHighlightSections(false);
    m_frozen->horizontalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    m_frozen->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_frozen->setShowGrid(false);
    m_frozen->setWordWrap(false);
    m_frozen->setTabKeyNavigation(false);
    m_edge->setAutoFillBackground(true);
    m_edge->setBackgroundRole(QPalette::Midlight);
    connect(verticalScrollBar(), &QScrollBar::valueChanged, m_frozen->verticalScrollBar(), &QScrollBar::setValue);
    connect(m_frozen->verticalScrollBar(), &QScrollBar::valueChanged, verticalScrollBar(), &QScrollBar::setValue);
    connect(horizontalScrollBar(), &QScrollBar::rangeChanged, this, &FrozenTable::layFrozen);
    connect(horizontalHeader(), &QHeaderView::sectionResized, this, &FrozenTable::layFrozen);
    connect(m_frozen, &QTableView::activated, this, &QTableView::activated);
    connect(m_frozen, &QTableView::pressed, this, [this] { setFocus(Qt::MouseFocusReason); });
    m_frozen->hide();
    m_edge->hide();
}

void FrozenTable::setModel(QAbstractItemModel* model)
{
    QTableView::setModel(model);
    m_frozen->setModel(model);
    m_frozen->setSelectionModel(selectionModel());
    m_frozen->setSelectionBehavior(QAbstractItemView::SelectRows);
    m_frozen->setSelectionMode(QAbstractItemView::SingleSelection);
    connect(model, &QAbstractItemModel::modelReset, this, &FrozenTable::layFrozen, Qt::QueuedConnection);
    layFrozen();
}

bool FrozenTable::isFrozen() const
{
    return !m_frozen->isHidden();
}

int FrozenTable::frozenWidth() const
{
    int width = 0;
    for (int column = 0; column < m_columns; ++column)
        width += columnWidth(column);
    return width;
}

void FrozenTable::layFrozen()
{
    const bool needed = horizontalScrollBar()->maximum() > horizontalScrollBar()->minimum() && model() != nullptr;
    m_frozen->setVisible(needed);
    m_edge->setVisible(needed);
    if (!needed)
        return;
    const Metrics metrics = Metrics::of(this);
    m_frozen->verticalHeader()->setMinimumSectionSize(verticalHeader()->minimumSectionSize());
    m_frozen->verticalHeader()->setDefaultSectionSize(verticalHeader()->defaultSectionSize());
    m_frozen->setVerticalScrollMode(verticalScrollMode());
    for (int column = 0; column < model()->columnCount(); ++column) {
        m_frozen->setColumnHidden(column, column >= m_columns);
        if (column < m_columns)
            m_frozen->setColumnWidth(column, columnWidth(column));
    }
    m_frozen->horizontalHeader()->setFixedHeight(horizontalHeader()->height());
    const int width = frozenWidth();
    m_frozen->setGeometry(frameWidth(), frameWidth(), width, viewport()->height() + horizontalHeader()->height());
    m_frozen->verticalScrollBar()->setValue(verticalScrollBar()->value());
    m_edge->setGeometry(frameWidth() + width, frameWidth(), std::max(1, metrics.px(1)), m_frozen->height());
    m_frozen->raise();
    m_edge->raise();
}

void FrozenTable::scrollTo(const QModelIndex& index, ScrollHint hint)
{
    QScrollBar* bar = horizontalScrollBar();
    if (!isFrozen()) {
        QTableView::scrollTo(index, hint);
        return;
    }
    const int at = bar->value();
    QTableView::scrollTo(index, hint);
    if (index.column() < m_columns)
        bar->setValue(at);  // it is in sight wherever the rest stands
    else if (const int hidden = frozenWidth() - visualRect(index).left(); hidden > 0)
        bar->setValue(bar->value() - hidden);
}

void FrozenTable::resizeEvent(QResizeEvent* event)
{
    QTableView::resizeEvent(event);
    layFrozen();
}

void FrozenTable::updateGeometries()
{
    QTableView::updateGeometries();
    layFrozen();
}

void FrozenTable::changeEvent(QEvent* event)
{
    QTableView::changeEvent(event);
    if (event->type() == QEvent::StyleChange)
        layFrozen();
}

}  // namespace halfcell::app
