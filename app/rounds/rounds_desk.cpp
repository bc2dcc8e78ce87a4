#include "app/rounds/rounds_desk.h"

#include "app/rounds/board_view.h"
#include "app/rounds/due_model.h"
#include "app/rounds/round_sheet.h"
#include "app/style/metrics.h"
#include "app/style/type.h"

#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QPushButton>
#include <QScrollArea>
#include <QTableView>
#include <QVBoxLayout>

#include <algorithm>

namespace halfcell::app {

RoundsDesk::RoundsDesk(Shop& shop, AskTarget askSheet, QWidget* parent)
    : QWidget(parent), m_shop(shop), m_askSheet(std::move(askSheet)), m_presenter(shop)
{
    setObjectName(QStringLiteral("rounds"));
    const Metrics metrics = Metrics::of(this);
    auto* layout = new QHBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(0);

    m_dueModel = new DueModel(this);
    m_dueView = new QTableView(this);
    m_dueView->setObjectName(QStringLiteral("rounds.due"));
    m_dueView->setAccessibleName(tr("Due and why"));
    m_dueView->setModel(m_dueModel);
    m_dueView->setSelectionBehavior(QAbstractItemView::SelectRows);
    m_dueView->setSelectionMode(QAbstractItemView::SingleSelection);
    m_dueView->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_dueView->setShowGrid(false);
    m_dueView->setTabKeyNavigation(false);
    m_dueView->setWordWrap(false);
    m_dueView->verticalHeader()->hide();
    m_dueView->horizontalHeader()->setHighlightSections(false);
    m_dueView->horizontalHeader()->setSectionResizeMode(DueModel::Why, QHeaderView::Stretch);
    layout->addWidget(m_dueView, 11);

    auto* right = new QWidget(this);
    auto* column = new QVBoxLayout(right);
    column->setContentsMargins(metrics.margin(), metrics.spacing(), metrics.margin(), metrics.spacing());
    column->setSpacing(metrics.spacing());
    auto* acts = new QHBoxLayout;
    const auto button = [&](const QString& text, const QString& name) {
        auto* b = new QPushButton(text, right);
        b->setObjectName(name);
        acts->addWidget(b);
        return b;
    };
    auto* before = button(tr("&Week before"), QStringLiteral("rounds.before"));
    auto* after = button(tr("Week &after"), QStringLiteral("rounds.after"));
    acts->addStretch(1);
    auto* again = button(tr("&Plan  (Ctrl+Enter)"), QStringLiteral("rounds.plan"));
    auto* sheet = button(tr("P&rint sheets  (Ctrl+P)"), QStringLiteral("rounds.print"));
    column->addLayout(acts);

    m_board = new BoardView(right);
    auto* scroll = new QScrollArea(right);
    scroll->setWidget(m_board);
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    scroll->setFocusPolicy(Qt::NoFocus);
    scroll->setObjectName(QStringLiteral("rounds.board.scroll"));
    column->addWidget(scroll, 1);

    const auto label = [&](const QString& name) {
        auto* l = new QLabel(right);
        l->setObjectName(name);
        l->setWordWrap(true);
        setTextRole(l, TextRole::Hint);
        column->addWidget(l);
        return l;
    };
    m_readout = label(QStringLiteral("rounds.readout"));
    m_note = label(QStringLiteral("rounds.note"));
    m_note->setAccessibleName(tr("Note"));
    setTextRole(m_note, TextRole::Hint, Weight::Heavy);
    m_note->hide();
    m_kit = label(QStringLiteral("rounds.kit"));
    layout->addWidget(right, 14);

    connect(before, &QPushButton::clicked, this, [this] { m_presenter.stepWeek(-1); });
    connect(after, &QPushButton::clicked, this, [this] { m_presenter.stepWeek(1); });
    connect(again, &QPushButton::clicked, &m_presenter, &RoundsPresenter::replan);
    connect(sheet, &QPushButton::clicked, this, [this] { print(); });
    connect(&m_presenter, &RoundsPresenter::changed, this, [this] { showPlan(); });
    connect(&m_presenter, &RoundsPresenter::note, this, [this](const QString& text) {
        m_note->setText(text);
        m_note->setVisible(!text.isEmpty());
    });
    connect(m_board, &BoardView::readout, m_readout, &QLabel::setText);
    connect(m_board, &BoardView::moveAsked, &m_presenter, &RoundsPresenter::move);
    const auto openJob = [this](const std::string& key) {
        if (const DueLine* line = m_dueModel->line(m_dueModel->rowOf(key)); line != nullptr && !line->serial.isEmpty())
            Q_EMIT recordAsked(line->serial);
    };
    connect(m_board, &BoardView::openAsked, this, openJob);
    connect(m_dueView, &QTableView::activated, this, [this](const QModelIndex& index) {
        if (const DueLine* line = m_dueModel->line(index.row()); line != nullptr && !line->jobKey.empty() && !line->serial.isEmpty())
            Q_EMIT recordAsked(line->serial);
    });
    applyMetrics();
    showPlan();
}

void RoundsDesk::applyMetrics()
{
    const Metrics metrics = Metrics::of(this);
    m_dueModel->setScale(metrics.scale);
    m_dueView->verticalHeader()->setDefaultSectionSize(metrics.row());
    m_dueView->setColumnWidth(DueModel::Point, metrics.px(80));
    m_dueView->setColumnWidth(DueModel::Task, metrics.px(124));
    m_dueView->setColumnWidth(DueModel::Minutes, metrics.px(48));
    m_dueView->setMinimumWidth(metrics.px(400));
}

void RoundsDesk::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::StyleChange && m_dueView != nullptr)
        applyMetrics();
}

void RoundsDesk::showPlan()
{
    m_dueModel->setLines(m_presenter.due());
    m_dueView->clearSpans();
    for (int row = 0; row < m_dueModel->rowCount(); ++row)
        if (m_dueModel->line(row) == nullptr)
            m_dueView->setSpan(row, 0, 1, DueModel::ColumnCount);
    m_board->setBoard(m_presenter.board());
    QString kit;
    for (const QString& line : m_presenter.kitLines())
        kit += (kit.isEmpty() ? QString() : QStringLiteral("\n")) + line;
    m_kit->setText(kit);
    Q_EMIT sentenceChanged();
}

void RoundsDesk::print()
{
    const auto plan = m_presenter.plan();
    const auto overview = m_shop.overview();
    if (!plan || !overview || plan->planned.empty()) {
        m_note->setText(tr("There is nothing planned to print."));
        m_note->show();
        return;
    }
    const auto target = m_askSheet(this);
    if (!target)
        return;
    const auto pages = writeRoundSheets(*plan, *overview, *target, m_shop.person(), m_shop.file());
    m_note->setText(pages ? tr("%1 sheets written to %2.").arg(*pages).arg(QString::fromStdString(target->string()))
                          : userText(pages.error()));
    m_note->show();
}

void RoundsDesk::keyPressEvent(QKeyEvent* event)
{
    const bool control = event->modifiers().testFlag(Qt::ControlModifier);
    if (control && (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter))
        m_presenter.replan();
    else if (control && event->key() == Qt::Key_P)
        print();
    else
        QWidget::keyPressEvent(event);
}

}  // namespace halfcell::app
