#include "app/review/review_desk.h"

#include "app/panels/plain_words.h"
#include "app/review/frozen_table.h"
#include "app/review/option_rule.h"
#include "app/review/review_model.h"
#include "app/style/figure_painter.h"
#include "app/style/metrics.h"
#include "app/style/table_lines.h"
#include "app/style/type.h"

#include <QFontMetrics>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QScrollArea>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app {

namespace {

QString joined(const std::vector<QString>& lines)
{
    QString text;
    for (const QString& line : lines)
        text += (text.isEmpty() ? QString() : QStringLiteral("\n")) + line;
    return text;
}

}  // namespace

ReviewDesk::ReviewDesk(Shop& shop, QWidget* parent) : QWidget(parent), m_presenter(shop)
{
    setObjectName(QStringLiteral("review"));
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(0);

    auto* top = new QHBoxLayout;
    top->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.spacing());
    top->addStretch(1);
    m_budgetNote = new QLabel(this);
    setTextRole(m_budgetNote, TextRole::Hint);
    top->addWidget(m_budgetNote);
    auto* budgetLabel = new QLabel(tr("&Budget"), this);
    m_budget = new QLineEdit(this);
    m_budget->setObjectName(QStringLiteral("review.budget"));
    m_budget->setAccessibleName(tr("Budget, money"));
    m_budget->setAlignment(Qt::AlignRight);
    budgetLabel->setBuddy(m_budget);
    top->setSpacing(metrics.spacing());
    top->addWidget(budgetLabel);
    top->addWidget(m_budget);
    layout->addLayout(top);

    m_model = new ReviewModel(this);
    constexpr int kStaying = 2;  // sensor and point
    m_view = new FrozenTable(kStaying, QStringLiteral("review.table"), this);
    m_view->setAccessibleName(tr("Sensors and options"));
    m_view->setModel(m_model);
    standAsLines(*m_view);
    const FigureColumn costs{.integers = 4, .sign = false, .decimals = 1};
    for (const int column : {ReviewModel::Run, ReviewModel::Service, ReviewModel::Same, ReviewModel::Change})
        m_view->setItemDelegateForColumn(column, new FigureDelegate(costs, TextRole::Body, this));
    for (const int column : {ReviewModel::Sure, ReviewModel::Asks, ReviewModel::PaysBelow})
        m_view->setItemDelegateForColumn(column, new FigureDelegate({.integers = 4, .sign = false, .decimals = 0}, TextRole::Body, this));
    layout->addWidget(m_view, 3);

    auto* below = new QWidget(this);
    auto* columns = new QHBoxLayout(below);
    columns->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.margin());
    columns->setSpacing(metrics.px(24));
    const auto label = [&](const QString& name, TextRole role, Weight weight) {
        auto* l = new QLabel(below);
        l->setObjectName(name);
        l->setWordWrap(true);
        l->setAlignment(Qt::AlignTop | Qt::AlignLeft);
        l->setTextInteractionFlags(Qt::TextSelectableByMouse);
        setTextRole(l, role, weight);
        return l;
    };
    auto* caseColumn = new QVBoxLayout;
    m_caseHead = label(QStringLiteral("review.case.head"), TextRole::Finding, Weight::Heavy);
    m_caseSentence = label(QStringLiteral("review.case.sentence"), TextRole::Body, Weight::Regular);
    m_options = new OptionRule(below);
    caseColumn->addWidget(m_caseHead);
    caseColumn->addWidget(m_caseSentence);
    caseColumn->addWidget(m_options);
    caseColumn->addStretch(1);
    columns->addLayout(caseColumn, 5);
    auto* assumed = new QVBoxLayout;
    auto* assumedHead = label(QStringLiteral("review.case.assumptions.head"), TextRole::Hint, Weight::Heavy);
    assumedHead->setText(tr("Assumptions"));
    m_assumptions = label(QStringLiteral("review.case.assumptions"), TextRole::Hint, Weight::Regular);
    assumed->addWidget(assumedHead);
    assumed->addWidget(m_assumptions);
    assumed->addStretch(1);
    columns->addLayout(assumed, 4);
    auto* fleet = new QVBoxLayout;
    auto* spareHead = label(QStringLiteral("review.spares.head"), TextRole::Hint, Weight::Heavy);
    spareHead->setText(tr("Spares and fleet"));
    m_spares = label(QStringLiteral("review.spares"), TextRole::Hint, Weight::Regular);
    m_fleet = label(QStringLiteral("review.fleet"), TextRole::Hint, Weight::Regular);
    fleet->addWidget(spareHead);
    fleet->addWidget(m_spares);
    fleet->addWidget(m_fleet);
    fleet->addStretch(1);
    columns->addLayout(fleet, 4);
    auto* scroll = new QScrollArea(this);
    scroll->setWidget(below);
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    scroll->setFocusPolicy(Qt::NoFocus);
    layout->addWidget(scroll, 2);

    connect(&m_presenter, &ReviewPresenter::changed, this, [this] { showReview(); });
    connect(m_view->selectionModel(), &QItemSelectionModel::currentRowChanged, this, [this] { showCase(); });
    connect(m_view, &QTableView::activated, this, [this](const QModelIndex& index) {
        if (const ReviewRow* row = m_model->row(index.row()))
            Q_EMIT recordAsked(row->serial);
    });
    connect(m_budget, &QLineEdit::returnPressed, this, [this] { applyBudget(); });
    applyMetrics();
    showReview();
}

void ReviewDesk::applyBudget()
{
    const QString typed = m_budget->text().trimmed();
    if (typed.isEmpty()) {
        m_budgetNote->clear();
        m_presenter.setBudget(std::nullopt);
        return;
    }
    QLocale locale;
    locale.setNumberOptions(QLocale::RejectGroupSeparator | QLocale::OmitGroupSeparator);
    bool ok = false;
    double value = locale.toDouble(typed, &ok);
    if (!ok)
        value = QLocale::c().toDouble(typed, &ok);
    if (!ok || value < 0.0) {
        m_budgetNote->setText(tr("Type the money there is, without group signs."));
        return;
    }
    m_budgetNote->clear();
    m_presenter.setBudget(value);
}

void ReviewDesk::applyMetrics()
{
    const Metrics metrics = Metrics::of(this);
    m_model->setScale(metrics.scale);
    m_view->verticalHeader()->setMinimumSectionSize(metrics.row());
    m_view->verticalHeader()->setDefaultSectionSize(metrics.row());
    m_budget->setMaximumWidth(metrics.px(110));
    fitColumns();
}

void ReviewDesk::fitColumns()
{
    const Metrics metrics = Metrics::of(this);
    const WidthClass size = metrics.widthClass(width());
    m_view->setColumnHidden(ReviewModel::Class, size == WidthClass::Narrow || size == WidthClass::Single);
    const QFontMetrics text(fontOf(TextRole::Body, Weight::Regular, metrics.scale));
    QStyleOptionViewItem option;
    option.widget = m_view;
    const auto needed = [&](int column) {
        int width = m_view->horizontalHeader()->sectionSizeHint(column);
        for (int row = 0; row < m_model->rowCount(); ++row) {
            const QModelIndex index = m_model->index(row, column);
            width = std::max(width, index.data(FigureDelegate::kFigureRole).isValid()
                                        ? m_view->itemDelegateForIndex(index)->sizeHint(option, index).width()
                                        : text.horizontalAdvance(index.data().toString()) + metrics.px(20));
        }
        return width;
    };
    int others = 0;
    for (int column = 0; column < ReviewModel::Why; ++column)
        if (!m_view->isColumnHidden(column)) {
            m_view->setColumnWidth(column, needed(column));
            others += m_view->columnWidth(column);
        }
    // The reason is read whole if it can be; a line's length of it otherwise, and the table scrolls.
    m_view->setColumnWidth(ReviewModel::Why,
                           std::max(m_view->viewport()->width() - others, std::min(needed(ReviewModel::Why), metrics.px(420))));
}

void ReviewDesk::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    fitColumns();
}

void ReviewDesk::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::StyleChange && m_view != nullptr)
        applyMetrics();
}

void ReviewDesk::showReview()
{
    const ReviewRow* before = m_model->row(m_view->currentIndex().row());
    const QString serial = before != nullptr ? before->serial : QString();
    m_model->setRows(m_presenter.rows());
    fitColumns();
    int row = 0;
    for (int i = 0; i < m_model->rowCount(); ++i)
        if (m_model->row(i)->serial == serial)
            row = i;
    if (m_model->rowCount() > 0)
        m_view->setCurrentIndex(m_model->index(row, 0));
    m_spares->setText(joined(m_presenter.spareLines()));
    m_fleet->setText(joined(m_presenter.fleetLines()));
    showCase();
    Q_EMIT sentenceChanged();
}

void ReviewDesk::showCase()
{
    const ReviewRow* row = m_model->row(m_view->currentIndex().row());
    const auto review = m_presenter.review();
    if (row == nullptr || !review) {
        m_caseHead->setText(m_model->rowCount() == 0 ? tr("No sensor to review yet.") : QString());
        m_caseSentence->clear();
        m_options->setLines({});
        m_assumptions->clear();
        return;
    }
    const core::ReviewCase& c = review->cases[row->index];
    m_caseHead->setText(row->tag.isEmpty() ? row->serial : tr("%1 at %2").arg(row->serial, row->tag));
    m_caseSentence->setText(screenWords(c.abstained.empty() ? c.sentence : c.abstained));
    m_options->setLines(m_presenter.optionsOf(row->index));
    m_assumptions->setText(joined(m_presenter.assumptionsOf(row->index)));
}

void ReviewDesk::keyPressEvent(QKeyEvent* event)
{
    const bool control = event->modifiers().testFlag(Qt::ControlModifier);
    if (control && event->key() == Qt::Key_E) {
        const ReviewRow* row = m_model->row(m_view->currentIndex().row());
        const auto review = m_presenter.review();
        if (row != nullptr && review) {
            core::Working working{"cost_per_month", review->cases[row->index].working};
            Q_EMIT workingAsked(working, tr("Options for %1").arg(row->serial));
        }
        return;
    }
    QWidget::keyPressEvent(event);
}

}  // namespace halfcell::app
