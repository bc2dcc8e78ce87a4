#include "app/record/visits_table.h"

#include "app/panels/plain_words.h"
#include "app/record/phase_figure.h"
#include "app/style/figure_painter.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/table_lines.h"
#include "app/style/type.h"

#include <QApplication>
#include <QClipboard>
#include <QKeyEvent>
#include <QPainter>

#include <algorithm>
#include <array>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

/// Left out first when there is no room.
constexpr std::array kDispensable{VisitsModel::Sheet,      VisitsModel::CleanT90, VisitsModel::CleanOffset,
                                  VisitsModel::CleanFirst, VisitsModel::FoundT90, VisitsModel::LeftT90};

}  // namespace

// --- VisitsModel -----------------------------------------------------------------------------------------------------

void VisitsModel::setLines(std::vector<VisitLine> lines, core::SensorKind kind)
{
    beginResetModel();
    m_lines = std::move(lines);
    m_kind = kind;
    endResetModel();
}

const VisitLine* VisitsModel::lineAt(int row) const
{
    return row >= 0 && row < static_cast<int>(m_lines.size()) ? &m_lines[static_cast<std::size_t>(row)] : nullptr;
}

int VisitsModel::rowOf(const QString& visit) const
{
    const auto it = std::ranges::find(m_lines, visit, &VisitLine::visit);
    return it == m_lines.end() || visit.isEmpty() ? -1 : static_cast<int>(it - m_lines.begin());
}

std::optional<VisitsModel::Shown> VisitsModel::shownIn(int column)
{
    for (const auto& [first, phase] : {std::pair(FoundFirst, core::Phase::AsFound), std::pair(CleanFirst, core::Phase::AfterClean),
                                       std::pair(LeftFirst, core::Phase::AsLeft)})
        if (column >= first && column < first + 3)
            return Shown{phase, static_cast<std::size_t>(column - first)};
    return std::nullopt;
}

QString VisitsModel::groupHead(int column)
{
    switch (column) {
    case FoundFirst: return tr("As found");
    case CleanFirst: return tr("After cleaning");
    case LeftFirst: return tr("As left");
    default: return {};
    }
}

int VisitsModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
}

int VisitsModel::columnCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(kColumnCount);
}

QVariant VisitsModel::data(const QModelIndex& index, int role) const
{
    const VisitLine* line = index.isValid() ? lineAt(index.row()) : nullptr;
    if (line == nullptr)
        return {};
    const auto shown = shownIn(index.column());
    if (role == FigureDelegate::kFigureRole) {
        if (!shown || !line->phases[static_cast<std::size_t>(shown->phase)])
            return {};
        Figure figure = line->figures[static_cast<std::size_t>(shown->phase)][shown->figure];
        figure.expanded.reset();  // the working and the visit have it; the line stays short
        // A reason has to fit a narrow cell; the tool tip and the working have all of it.
        if (!figure.value)
            figure.reason = figure.reason.contains(u"temperature"_s) ? tr("no °C") : QString();
        return QVariant::fromValue(figure);
    }
    if (role == Qt::AccessibleTextRole && index.column() == When)
        return line->spoken;
    if (role != Qt::DisplayRole && role != Qt::ToolTipRole && role != Qt::AccessibleTextRole)
        return {};
    if (shown) {
        const auto phase = static_cast<std::size_t>(shown->phase);
        if (!line->phases[phase])
            return QString();
        const Figure& figure = line->figures[phase][shown->figure];
        return role == Qt::AccessibleTextRole ? spokenText(figure) : screenText(figure);
    }
    switch (index.column()) {
    case When: return line->corrected ? tr("%1, corrected").arg(line->when) : line->when;
    case Reason: return line->reason;
    case Did: return role == Qt::DisplayRole ? line->did : line->didWords;
    case By: return line->by;
    default: return line->sheet;
    }
}

QVariant VisitsModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal || section < 0 || section >= kColumnCount)
        return {};
    const auto shown = shownIn(section);
    if (role == Qt::TextAlignmentRole)
        return static_cast<int>((shown ? Qt::AlignRight : Qt::AlignLeft) | Qt::AlignVCenter);
    if (role == Qt::AccessibleTextRole && shown)
        return groupHead(section - static_cast<int>(shown->figure)) + u", "_s + figureName(shownFigures(m_kind)[shown->figure]);
    if (role != Qt::DisplayRole)
        return {};
    if (shown)
        return shown->figure == 0 ? (m_kind == core::SensorKind::Orp ? tr("span %") : u"%"_s) : shown->figure == 1 ? u"mV"_s : u"s"_s;
    switch (section) {
    case When: return tr("Visit");
    case Reason: return tr("Reason");
    case Did: return tr("Did");
    case By: return tr("By");
    default: return tr("Sheet");
    }
}

// --- VisitsHead ------------------------------------------------------------------------------------------------------

VisitsHead::VisitsHead(QWidget* parent) : QHeaderView(Qt::Horizontal, parent)
{
    setObjectName(u"record.visits.heads"_s);
    setHighlightSections(false);
    setSectionResizeMode(QHeaderView::Fixed);
    setTextRole(this, TextRole::Hint, Weight::Heavy);
}

QSize VisitsHead::sizeHint() const
{
    return {QHeaderView::sizeHint().width(), Metrics::of(this).px(44)};
}

void VisitsHead::paintSection(QPainter* painter, const QRect& rect, int section) const
{
    const Metrics metrics = Metrics::of(this);
    const Palette colors = Palette::of(palette());
    const int pad = metrics.px(8);
    painter->save();
    painter->fillRect(rect, colors[Role::Ground]);
    painter->setPen(colors[Role::Edge]);
    painter->drawLine(rect.bottomLeft(), rect.bottomRight());
    const QFont heavy = fontOf(TextRole::Hint, Weight::Heavy, metrics.scale);
    const QFont regular = fontOf(TextRole::Hint, Weight::Regular, metrics.scale);
    const QString text = model()->headerData(section, Qt::Horizontal).toString();
    const auto shown = VisitsModel::shownIn(section);
    const int half = rect.height() / 2;
    const QRect lower(rect.left(), rect.top() + half, rect.width(), half);
    painter->setPen(colors[Role::Ink2]);
    if (!shown) {
        painter->setFont(heavy);
        painter->drawText(lower.adjusted(pad, 0, -pad, 0), Qt::AlignLeft | Qt::AlignVCenter, text);
        painter->restore();
        return;
    }
    painter->setFont(regular);
    painter->drawText(lower.adjusted(0, 0, -pad, 0), Qt::AlignRight | Qt::AlignVCenter, text);
    // The group's name starts at its first column and runs across; each section shows its own piece of it.
    const int first = section - static_cast<int>(shown->figure);
    const int left = sectionViewportPosition(first);
    int right = rect.right();
    for (int i = first; i < first + 3; ++i)
        if (!isSectionHidden(i))
            right = sectionViewportPosition(i) + sectionSize(i);
    const QRect whole(left + pad, rect.top(), right - left - 2 * pad, half);
    painter->setClipRect(rect);
    painter->setFont(heavy);
    painter->drawText(whole, Qt::AlignLeft | Qt::AlignVCenter, VisitsModel::groupHead(first));
    painter->restore();
}

// --- VisitsTable -----------------------------------------------------------------------------------------------------

VisitsTable::VisitsTable(VisitsModel& model, QWidget* parent) : QTableView(parent), m_model(model)
{
    setObjectName(u"record.visits.table"_s);
    setAccessibleName(tr("Visits"));
    setModel(&model);
    setHorizontalHeader(new VisitsHead(this));
    standAsLines(*this);
    setTextElideMode(Qt::ElideMiddle);
    setFrameShape(QFrame::NoFrame);
    setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    setSurface(viewport(), Role::Ground);
    verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    verticalHeader()->setDefaultSectionSize(Metrics::of(this).row());
    const FigureColumn percent{.integers = 3, .decimals = 1};
    const FigureColumn millivolts{.integers = 3, .sign = true, .decimals = 1};
    const FigureColumn seconds{.integers = 3, .decimals = 0};
    for (const int first : {VisitsModel::FoundFirst, VisitsModel::CleanFirst, VisitsModel::LeftFirst}) {
        setItemDelegateForColumn(first, new FigureDelegate(percent, TextRole::Body, this));
        setItemDelegateForColumn(first + 1, new FigureDelegate(millivolts, TextRole::Body, this));
        setItemDelegateForColumn(first + 2, new FigureDelegate(seconds, TextRole::Body, this));
    }
    fitColumns();
    connect(&model, &QAbstractItemModel::modelReset, this, &VisitsTable::fitColumns);
}

int VisitsTable::neededWidth(int column) const
{
    const Metrics metrics = Metrics::of(this);
    const int pad = 2 * metrics.px(8) + 2;
    const auto shown = VisitsModel::shownIn(column);
    const QFontMetrics head(fontOf(TextRole::Hint, shown ? Weight::Regular : Weight::Heavy, metrics.scale));
    int width = head.horizontalAdvance(m_model.headerData(column, Qt::Horizontal).toString()) + pad;
    const QFontMetrics text(fontOf(TextRole::Body, Weight::Regular, metrics.scale));
    QStyleOptionViewItem option;
    option.widget = this;
    for (int row = 0; row < m_model.rowCount(); ++row) {
        const QModelIndex index = m_model.index(row, column);
        width = std::max(width, shown ? itemDelegateForIndex(index)->sizeHint(option, index).width()
                                      : text.horizontalAdvance(index.data().toString()) + pad);
    }
    return width;
}

void VisitsTable::fitColumns()
{
    std::array<bool, VisitsModel::kColumnCount> shown{};
    shown.fill(true);
    std::array<int, VisitsModel::kColumnCount> widths{};
    for (int i = 0; i < VisitsModel::kColumnCount; ++i)
        widths[static_cast<std::size_t>(i)] = neededWidth(i);
    const auto total = [&] {
        int sum = 0;
        for (std::size_t i = 0; i < widths.size(); ++i)
            sum += shown[i] ? widths[i] : 0;
        return sum;
    };
    for (const VisitsModel::Column column : kDispensable) {
        if (total() <= viewport()->width() || viewport()->width() < 100)
            break;
        shown[column] = false;
    }
    for (std::size_t i = 0; i < widths.size(); ++i) {
        setColumnHidden(static_cast<int>(i), !shown[i]);
        setColumnWidth(static_cast<int>(i), widths[i]);
    }
}

void VisitsTable::openCurrent()
{
    if (const VisitLine* line = m_model.lineAt(currentIndex().row()); line != nullptr && !line->visit.isEmpty())
        Q_EMIT visitAsked(line->visit);
}

void VisitsTable::keyPressEvent(QKeyEvent* event)
{
    const VisitLine* line = m_model.lineAt(currentIndex().row());
    const auto shown = VisitsModel::shownIn(currentIndex().column());
    if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) {
        openCurrent();
    } else if (event->matches(QKeySequence::Copy)) {
        const QVariant figure = currentIndex().data(FigureDelegate::kFigureRole);
        QApplication::clipboard()->setText(figure.canConvert<Figure>() ? copyText(figure.value<Figure>())
                                                                       : toPlain(currentIndex().data().toString()));
    } else if (event->key() == Qt::Key_C && event->modifiers() == (Qt::ControlModifier | Qt::ShiftModifier)) {
        if (line != nullptr && shown)
            QApplication::clipboard()->setText(
                copyFullText(line->figures[static_cast<std::size_t>(shown->phase)][shown->figure], line->when));
        else if (line != nullptr)
            QApplication::clipboard()->setText(toPlain(line->spoken));
    } else if (event->key() == Qt::Key_E && event->modifiers() == Qt::ControlModifier) {
        if (line == nullptr)
            return;
        if (shown) {
            Q_EMIT workingAsked(line->visit, shown->phase, plain(shownFigures(m_model.kind())[shown->figure]));
            return;
        }
        // Elsewhere in the line: the first figure of its last phase.
        for (int phase = 2; phase >= 0; --phase)
            if (line->phases[static_cast<std::size_t>(phase)]) {
                Q_EMIT workingAsked(line->visit, static_cast<core::Phase>(phase), plain(shownFigures(m_model.kind()).front()));
                return;
            }
    } else if (event->key() == Qt::Key_PageUp || event->key() == Qt::Key_PageDown || event->modifiers() & Qt::ControlModifier) {
        event->ignore();  // the Record's: next sensor, chords
    } else {
        QTableView::keyPressEvent(event);
    }
}

void VisitsTable::mouseDoubleClickEvent(QMouseEvent* event)
{
    QTableView::mouseDoubleClickEvent(event);
    openCurrent();
}

void VisitsTable::resizeEvent(QResizeEvent* event)
{
    QTableView::resizeEvent(event);
    fitColumns();
}

void VisitsTable::changeEvent(QEvent* event)
{
    QTableView::changeEvent(event);
    if (event->type() == QEvent::StyleChange) {
        verticalHeader()->setMinimumSectionSize(Metrics::of(this).row());
        verticalHeader()->setDefaultSectionSize(Metrics::of(this).row());
        fitColumns();
    }
}

}  // namespace halfcell::app
