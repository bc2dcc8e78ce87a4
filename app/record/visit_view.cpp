#include "app/record/visit_view.h"

#include "app/style/figures.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QApplication>
#include <QClipboard>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QPainter>
#include <QPushButton>
#include <QScrollArea>
#include <QVBoxLayout>

#include <algorithm>
#include <cmath>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

// --- model and delegate ----------------------------------------------------------------------------------------------

VisitSectionModel::VisitSectionModel(VisitSection section, QObject* parent) : QAbstractTableModel(parent), m_section(std::move(section)) {}

const VisitCell* VisitSectionModel::cellAt(const QModelIndex& index) const
{
    if (!index.isValid() || index.row() >= rowCount() || index.column() >= columnCount())
        return nullptr;
    return &m_section.rows[static_cast<std::size_t>(index.row())][static_cast<std::size_t>(index.column())];
}

int VisitSectionModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_section.rows.size());
}

int VisitSectionModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_section.heads.size());
}

QVariant VisitSectionModel::data(const QModelIndex& index, int role) const
{
    const VisitCell* cell = cellAt(index);
    if (cell == nullptr)
        return {};
    switch (role) {
    case Qt::DisplayRole: return cell->screen;
    case Qt::ToolTipRole: return cell->old.isEmpty() ? cell->screen : tr("was %1: %2").arg(cell->old.join(u", "_s), cell->why);
    case Qt::AccessibleTextRole: {
        const QString value = cell->screen.isEmpty() ? tr("nothing recorded") : cell->screen;
        const QString text = cellLabel(m_section, index.row(), index.column()) + u": "_s + value;
        return cell->old.isEmpty() ? text : tr("%1, corrected, was %2").arg(text, cell->old.join(u", "_s));
    }
    default: return {};
    }
}

QVariant VisitSectionModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal || section < 0 || section >= columnCount())
        return {};
    if (role == Qt::DisplayRole)
        return m_section.heads[section];
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>(Qt::AlignLeft | Qt::AlignVCenter);
    return {};
}

VisitCellDelegate::VisitCellDelegate(const VisitSectionModel& model, QObject* parent) : QStyledItemDelegate(parent), m_model(model) {}

void VisitCellDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    const VisitCell* cell = m_model.cellAt(index);
    paintItemGround(*painter, option, index);
    if (cell == nullptr)
        return;
    const Metrics metrics = Metrics::of(option.widget);
    const Palette palette = Palette::of(option.palette);
    const QRectF inner = QRectF(option.rect).adjusted(metrics.px(8), 0, -metrics.px(8), 0);
    painter->save();
    double x = inner.left();
    const bool mono = cell->field == u"lot" || cell->field == u"part_lot";
    QFont font = fontOf(mono ? TextRole::InlineSerial : TextRole::Body, Weight::Regular, metrics.scale);
    QFont struck = font;
    struck.setStrikeOut(true);
    const QFontMetricsF width(font);
    for (const QString& old : cell->old) {
        painter->setFont(struck);
        painter->setPen(palette[Role::Ink3]);
        painter->drawText(QRectF(x, inner.top(), inner.right() - x, inner.height()), Qt::AlignLeft | Qt::AlignVCenter, old);
        x += width.horizontalAdvance(old) + metrics.px(6);
    }
    painter->setFont(font);
    painter->setPen(palette[Role::Ink1]);
    const QString text = width.elidedText(cell->screen, Qt::ElideMiddle, std::max(0.0, inner.right() - x));
    painter->drawText(QRectF(x, inner.top(), inner.right() - x, inner.height()), Qt::AlignLeft | Qt::AlignVCenter, text);
    painter->restore();
}

QSize VisitCellDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    const Metrics metrics = Metrics::of(option.widget);
    const VisitCell* cell = m_model.cellAt(index);
    if (cell == nullptr)
        return QStyledItemDelegate::sizeHint(option, index);
    const bool mono = cell->field == u"lot" || cell->field == u"part_lot";
    const QFontMetricsF width(fontOf(mono ? TextRole::InlineSerial : TextRole::Body, Weight::Regular, metrics.scale));
    double total = width.horizontalAdvance(cell->screen) + metrics.px(18);
    for (const QString& old : cell->old)
        total += width.horizontalAdvance(old) + metrics.px(6);
    return {static_cast<int>(std::ceil(total)), metrics.row()};
}

// --- VisitView -------------------------------------------------------------------------------------------------------

VisitView::VisitView(QWidget* parent)
    : QWidget(parent), m_title(new QLabel(this)), m_area(new QScrollArea(this)), m_form(new CorrectForm(this))
{
    setObjectName(u"record.visit.page"_s);
    setAccessibleName(tr("One visit"));
    setSurface(this, Role::Ground);
    m_title->setObjectName(u"record.visit.title"_s);
    m_title->setTextFormat(Qt::PlainText);
    m_title->setWordWrap(true);
    setTextRole(m_title, TextRole::Finding, Weight::Heavy);
    m_area->setObjectName(u"record.visit.sections"_s);
    m_area->setAccessibleName(tr("What was written down"));
    m_area->setWidgetResizable(true);
    m_area->setFrameShape(QFrame::NoFrame);
    m_area->setFocusPolicy(Qt::NoFocus);
    auto* correct = new QPushButton(tr("&Correct... (Ctrl+Shift+E)"), this);
    correct->setObjectName(u"record.visit.correct"_s);
    auto* close = new QPushButton(tr("All visits (Esc)"), this);
    close->setObjectName(u"record.visit.close"_s);
    auto* head = new QHBoxLayout;
    head->setContentsMargins(0, 0, 0, 0);
    head->addWidget(m_title, 1);
    head->addWidget(correct);
    head->addWidget(close);
    auto* column = new QVBoxLayout(this);
    column->addLayout(head);
    column->addWidget(m_area, 1);
    column->addWidget(m_form);
    m_form->hide();
    connect(correct, &QPushButton::clicked, this, &VisitView::openCorrection);
    connect(close, &QPushButton::clicked, this, &VisitView::closed);
    connect(m_form, &CorrectForm::closed, this, &VisitView::closeCorrection);
    connect(m_form, &CorrectForm::correctAsked, this, [this](const QString& typed, const QString& why) {
        if (!m_correcting)
            return;
        const VisitSection& section = m_page.sections[static_cast<std::size_t>(m_correcting->section)];
        const VisitCell& cell = section.rows[static_cast<std::size_t>(m_correcting->row)][static_cast<std::size_t>(m_correcting->column)];
        Q_EMIT correctAsked(section, cell, typed, why);
    });
}

void VisitView::addSection(QVBoxLayout& column, const VisitSection& section, int number)
{
    QWidget* parent = column.parentWidget();
    auto* title = new QLabel(section.title, parent);
    setTextRole(title, TextRole::Hint, Weight::Heavy);
    title->setForegroundRole(QPalette::BrightText);
    auto* table = new QTableView(parent);
    table->setObjectName(u"record.visit.%1"_s.arg(section.table));
    table->setAccessibleName(section.title);
    auto* model = new VisitSectionModel(section, table);
    table->setModel(model);
    table->setItemDelegate(new VisitCellDelegate(*model, table));
    table->setEditTriggers(QAbstractItemView::NoEditTriggers);
    table->setSelectionMode(QAbstractItemView::SingleSelection);
    table->setSelectionBehavior(QAbstractItemView::SelectItems);
    table->setShowGrid(false);
    table->setTabKeyNavigation(false);
    table->setWordWrap(false);
    table->setFrameShape(QFrame::NoFrame);
    table->verticalHeader()->hide();
    table->horizontalHeader()->setHighlightSections(false);
    table->horizontalHeader()->setObjectName(u"record.visit.%1.heads"_s.arg(section.table));
    setTextRole(table->horizontalHeader(), TextRole::Hint);
    setSurface(table->viewport(), Role::Ground);
    const int row = Metrics::of(this).row();
    table->verticalHeader()->setDefaultSectionSize(row);
    table->resizeColumnsToContents();
    // As tall as it is long: the page scrolls, not the table.
    table->setFixedHeight((model->rowCount() + 1) * row + Metrics::of(this).px(8));
    table->setVerticalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    table->installEventFilter(this);
    table->setProperty("section", number);
    column.addWidget(title);
    column.addWidget(table);
    m_tables.push_back(table);
}

void VisitView::setPage(VisitPage page)
{
    const bool same = page.visit == m_page.visit;
    std::optional<VisitPage::Spot> at;
    if (const QTableView* table = currentTable(); same && table != nullptr)
        at = VisitPage::Spot{table->property("section").toInt(), table->currentIndex().row(), table->currentIndex().column()};
    const bool focused = isAncestorOf(focusWidget()) || (focusWidget() != nullptr && focusWidget() == this);
    m_page = std::move(page);
    closeCorrection();
    m_title->setText(m_page.title);
    m_tables.clear();
    auto* content = new QWidget;
    setSurface(content, Role::Ground);
    auto* column = new QVBoxLayout(content);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(Metrics::of(this).grid(1));
    for (std::size_t i = 0; i < m_page.sections.size(); ++i)
        addSection(*column, m_page.sections[i], static_cast<int>(i));
    column->addStretch(1);
    m_area->setWidget(content);
    if (at && at->section < static_cast<int>(m_tables.size())) {
        QTableView* table = m_tables[static_cast<std::size_t>(at->section)];
        table->setCurrentIndex(table->model()->index(at->row, at->column));
        if (focused)
            table->setFocus();
    }
}

QTableView* VisitView::currentTable() const
{
    for (QTableView* table : m_tables)
        if (table->hasFocus())
            return table;
    for (QTableView* table : m_tables)
        if (table->currentIndex().isValid())
            return table;
    return nullptr;
}

bool VisitView::goToReading(const QString& reading)
{
    const auto spot = m_page.spotOf(reading);
    if (!spot)
        return false;
    QTableView* table = m_tables[static_cast<std::size_t>(spot->section)];
    table->setCurrentIndex(table->model()->index(spot->row, spot->column));
    table->setFocus(Qt::OtherFocusReason);
    m_area->ensureWidgetVisible(table);
    return true;
}

void VisitView::takeFocus()
{
    if (m_tables.empty())
        return;
    QTableView* table = m_tables.front();
    if (!table->currentIndex().isValid()) {
        const auto& row = m_page.sections.front().rows.front();
        const auto mv = std::ranges::find(row, QStringView(u"mv"), [](const VisitCell& c) { return QStringView(c.field); });
        table->setCurrentIndex(table->model()->index(0, mv == row.end() ? 0 : static_cast<int>(mv - row.begin())));
    }
    table->setFocus(Qt::OtherFocusReason);
}

void VisitView::openCorrection()
{
    QTableView* table = currentTable();
    if (table == nullptr) {
        takeFocus();
        return;
    }
    const VisitPage::Spot spot{table->property("section").toInt(), table->currentIndex().row(), table->currentIndex().column()};
    const VisitSection& section = m_page.sections[static_cast<std::size_t>(spot.section)];
    m_correcting = spot;
    m_form->open(cellLabel(section, spot.row, spot.column),
                 section.rows[static_cast<std::size_t>(spot.row)][static_cast<std::size_t>(spot.column)]);
    m_form->show();
}

void VisitView::closeCorrection()
{
    const bool was = !m_form->isHidden();
    m_form->hide();
    if (was && m_correcting && m_correcting->section < static_cast<int>(m_tables.size()))
        m_tables[static_cast<std::size_t>(m_correcting->section)]->setFocus();
    m_correcting.reset();
}

void VisitView::say(const QString& sentence)
{
    m_form->say(sentence);
}

bool VisitView::eventFilter(QObject* watched, QEvent* event)
{
    auto* table = qobject_cast<QTableView*>(watched);
    if (table == nullptr || event->type() != QEvent::KeyPress)
        return QWidget::eventFilter(watched, event);
    auto* key = static_cast<QKeyEvent*>(event);
    const int step = key->key() == Qt::Key_Down ? 1 : key->key() == Qt::Key_Up ? -1 : 0;
    if (step != 0 && key->modifiers() == Qt::NoModifier) {
        const int row = table->currentIndex().row() + step;
        if (row >= 0 && row < table->model()->rowCount())
            return false;
        // Past the end of one table into the next.
        const int next = table->property("section").toInt() + step;
        if (next < 0 || next >= static_cast<int>(m_tables.size()))
            return true;
        QTableView* other = m_tables[static_cast<std::size_t>(next)];
        const int column = std::clamp(table->currentIndex().column(), 0, other->model()->columnCount() - 1);
        other->setCurrentIndex(other->model()->index(step > 0 ? 0 : other->model()->rowCount() - 1, column));
        other->setFocus();
        m_area->ensureWidgetVisible(other);
        return true;
    }
    if (key->matches(QKeySequence::Copy)) {
        QApplication::clipboard()->setText(toPlain(table->currentIndex().data().toString()));
        return true;
    }
    if (key->key() == Qt::Key_PageUp || key->key() == Qt::Key_PageDown || (key->modifiers() & Qt::ControlModifier)) {
        keyPressEvent(key);  // the view's and the Record's chords
        if (!key->isAccepted() && parentWidget() != nullptr)
            QCoreApplication::sendEvent(parentWidget(), key);
        return true;
    }
    return false;
}

void VisitView::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape) {
        if (m_form->isHidden())
            Q_EMIT closed();
        else
            closeCorrection();
    } else if (event->key() == Qt::Key_E && event->modifiers() == (Qt::ControlModifier | Qt::ShiftModifier)) {
        openCorrection();
    } else {
        event->ignore();
    }
}

}  // namespace halfcell::app
