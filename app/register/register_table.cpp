#include "app/register/register_table.h"

#include "app/register/register_delegate.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/table_lines.h"
#include "app/style/type.h"

#include <QApplication>
#include <QClipboard>
#include <QHeaderView>
#include <QKeyEvent>
#include <QScrollBar>

#include <algorithm>
#include <array>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

using Column = RegisterModel::Column;

/// Left out first when there is no room.
constexpr std::array kDispensable{Column::AsLeft, Column::Kind, Column::T90, Column::Due, Column::Offset};
/// Come in when there is room to spare.
constexpr std::array kSpare{Column::PlaceColumn, Column::Class, Column::By};

}  // namespace

bool typesText(const QKeyEvent& event)
{
    if (event.modifiers() & (Qt::ControlModifier | Qt::AltModifier | Qt::MetaModifier))
        return false;
    const QString text = event.text();
    return !text.isEmpty() && text.at(0).isPrint() && !text.at(0).isSpace();
}

RegisterTable::RegisterTable(RegisterModel& model, QWidget* parent) : QTableView(parent), m_model(model)
{
    setObjectName(u"register.list.table"_s);
    setAccessibleName(tr("Sensors"));
    setModel(&model);
    setItemDelegate(new RegisterDelegate(model, this));
    standAsLines(*this);
    setFrameShape(QFrame::NoFrame);
    setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    setSurface(viewport(), Role::Ground);
    verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    horizontalHeader()->setObjectName(u"register.list.heads"_s);
    horizontalHeader()->setSectionsClickable(true);
    horizontalHeader()->setSortIndicatorShown(true);
    horizontalHeader()->setSortIndicator(-1, Qt::AscendingOrder);
    horizontalHeader()->setStretchLastSection(false);
    setTextRole(horizontalHeader(), TextRole::Hint, Weight::Heavy);
    setRowHeight();
    // A third click on a head goes back to the order as first seen.
    connect(horizontalHeader(), &QHeaderView::sectionClicked, this, [this](int section) {
        const bool again = m_model.sortColumn() == static_cast<Column>(section);
        if (again && m_model.sortOrder() == Qt::DescendingOrder) {
            m_model.sortBy(std::nullopt, Qt::AscendingOrder);
            horizontalHeader()->setSortIndicator(-1, Qt::AscendingOrder);
        } else {
            const Qt::SortOrder order = again ? Qt::DescendingOrder : Qt::AscendingOrder;
            m_model.sortBy(static_cast<Column>(section), order);
            horizontalHeader()->setSortIndicator(section, order);
        }
    });
    // Sorting and filtering keep the chosen row chosen.
    connect(&model, &QAbstractItemModel::modelAboutToBeReset, this, [this] {
        const RegisterRow* row = currentRow();
        m_keptKey = row != nullptr ? row->key : QString();
        m_keptColumn = currentIndex().isValid() ? currentIndex().column() : static_cast<int>(Column::Sensor);
    });
    connect(&model, &QAbstractItemModel::modelReset, this, [this] {
        applySpans();
        if (const int line = m_model.lineOf(m_keptKey); line >= 0)
            setCurrentIndex(m_model.index(line, m_keptColumn));
    });
    connect(&model, &QAbstractItemModel::rowsInserted, this, &RegisterTable::applySpans);
    connect(&model, &QAbstractItemModel::rowsRemoved, this, &RegisterTable::applySpans);
    applySpans();
}

const RegisterRow* RegisterTable::currentRow() const
{
    return currentIndex().isValid() ? m_model.rowAt(currentIndex().row()) : nullptr;
}

bool RegisterTable::choose(const QString& key)
{
    const int line = m_model.lineOf(key);
    if (line < 0)
        return false;
    setCurrentIndex(m_model.index(line, currentIndex().isValid() ? currentIndex().column() : static_cast<int>(Column::Sensor)));
    scrollTo(currentIndex());
    return true;
}

void RegisterTable::fitColumns(int width)
{
    const Metrics metrics = Metrics::of(this);
    width -= verticalScrollBar()->sizeHint().width();  // it comes and goes with the filter; the columns stay
    std::array<bool, RegisterModel::kColumnCount> shown{};
    shown.fill(true);
    for (const Column column : kSpare)
        shown[column] = false;
    const auto total = [&] {
        int sum = 0;
        for (int i = 0; i < RegisterModel::kColumnCount; ++i)
            if (shown[static_cast<std::size_t>(i)])
                sum += metrics.px(RegisterDelegate::widthOf(static_cast<Column>(i)));
        return sum;
    };
    for (const Column column : kDispensable) {
        if (total() <= width)
            break;
        shown[column] = false;
    }
    for (const Column column : kSpare) {
        if (total() + metrics.px(RegisterDelegate::widthOf(column)) > width)
            break;
        shown[column] = true;
    }
    const int spare = std::max(0, width - total());
    for (int i = 0; i < RegisterModel::kColumnCount; ++i) {
        const auto column = static_cast<Column>(i);
        setColumnHidden(i, !shown[static_cast<std::size_t>(i)]);
        // The words of what next take up to 80 px of what is left; rows never stretch further.
        const int extra = column == Column::WhatNext ? std::min(spare, metrics.px(80)) : 0;
        setColumnWidth(i, metrics.px(RegisterDelegate::widthOf(column)) + extra);
    }
    applySpans();
}

void RegisterTable::applySpans()
{
    if (m_spanned)
        clearSpans();
    m_spanned = false;
    for (int line = 0; line < m_model.rowCount(); ++line) {
        const RegisterRow* row = m_model.rowAt(line);
        if (row == nullptr)
            setSpan(line, 0, 1, RegisterModel::kColumnCount);
        else if (row->kind != RowKind::Sensor)
            setSpan(line, Column::Sensor, 1, RegisterModel::kColumnCount - Column::Sensor);
        else
            continue;
        m_spanned = true;
    }
}

void RegisterTable::copy(bool full) const
{
    const RegisterRow* row = currentRow();
    if (row == nullptr)
        return;
    QString text;
    if (const Figure* figure = m_model.figureAt(currentIndex()))
        text = full ? copyFullText(*figure, row->measured) : copyText(*figure);
    else
        text = toPlain(full ? row->spoken : currentIndex().data().toString());
    QApplication::clipboard()->setText(text);
}

void RegisterTable::mousePressEvent(QMouseEvent* event)
{
    m_touched = true;
    QTableView::mousePressEvent(event);
}

void RegisterTable::keyPressEvent(QKeyEvent* event)
{
    m_touched = true;
    if (event->matches(QKeySequence::Copy)) {
        copy(false);
    } else if (event->key() == Qt::Key_C && event->modifiers() == (Qt::ControlModifier | Qt::ShiftModifier)) {
        copy(true);
    } else if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) {
        if (event->modifiers() & Qt::ControlModifier)
            event->ignore();
        else
            Q_EMIT opened();
    } else if (event->key() == Qt::Key_Space && event->modifiers() == Qt::NoModifier) {
        Q_EMIT peekAsked();
    } else if (typesText(*event)) {
        Q_EMIT typed(event->text());
    } else if ((event->modifiers() & Qt::ControlModifier) && event->key() >= Qt::Key_A && event->key() <= Qt::Key_Z) {
        event->ignore();  // chords belong to the desk
    } else {
        QTableView::keyPressEvent(event);
    }
}

void RegisterTable::mouseDoubleClickEvent(QMouseEvent* event)
{
    QTableView::mouseDoubleClickEvent(event);
    if (currentRow() != nullptr)
        Q_EMIT opened();
}

void RegisterTable::currentChanged(const QModelIndex& current, const QModelIndex& previous)
{
    QTableView::currentChanged(current, previous);
    if (current.row() != previous.row())
        Q_EMIT rowChosen();
}

void RegisterTable::changeEvent(QEvent* event)
{
    QTableView::changeEvent(event);
    if (event->type() == QEvent::StyleChange)
        setRowHeight();
}

void RegisterTable::setRowHeight()
{
    const int row = Metrics::of(this).row();
    verticalHeader()->setMinimumSectionSize(row);
    verticalHeader()->setDefaultSectionSize(row);
}

PlacesTree::PlacesTree(PlacesModel& model, QWidget* parent) : QTreeView(parent), m_model(model)
{
    setObjectName(u"register.places.tree"_s);
    setAccessibleName(tr("Places"));
    setModel(&model);
    setItemDelegate(new PlaceDelegate(this));
    setHeaderHidden(true);
    setRootIsDecorated(false);
    setIndentation(0);
    setUniformRowHeights(true);
    setEditTriggers(QAbstractItemView::NoEditTriggers);
    setFrameShape(QFrame::NoFrame);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setSurface(viewport(), Role::Sheet);
    expandAll();
    connect(&model, &QAbstractItemModel::modelReset, this, &QTreeView::expandAll);
}

void PlacesTree::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter)
        Q_EMIT opened();
    else if (typesText(*event))
        Q_EMIT typed(event->text());
    else if ((event->modifiers() & Qt::ControlModifier) && event->key() >= Qt::Key_A && event->key() <= Qt::Key_Z)
        event->ignore();
    else
        QTreeView::keyPressEvent(event);
}

void PlacesTree::currentChanged(const QModelIndex& current, const QModelIndex& previous)
{
    QTreeView::currentChanged(current, previous);
    if (current.isValid())
        Q_EMIT placeChosen(m_model.placeOf(current));
}

}  // namespace halfcell::app
