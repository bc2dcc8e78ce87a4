#include "app/rounds/rounds_desk.h"

#include "app/rounds/board_view.h"
#include "app/rounds/due_model.h"
#include "app/rounds/round_sheet.h"
#include "app/style/metrics.h"
#include "app/style/table_lines.h"
#include "app/style/type.h"

#include <QEvent>
#include <QFontMetrics>
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
    standAsLines(*m_dueView);
    m_dueView->setWordWrap(true);
    m_dueView->setTextElideMode(Qt::ElideRight);
    m_dueView->setVerticalScrollMode(QAbstractItemView::ScrollPerPixel);
    m_dueView->horizontalHeader()->setSectionResizeMode(DueModel::Why, QHeaderView::Stretch);
    layout->addWidget(m_dueView, 11);

    m_right = new QWidget(this);
    QWidget* right = m_right;
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
    const auto scroller = [right](QWidget* content, const QString& name) {
        auto* scroll = new QScrollArea(right);
        scroll->setWidget(content);
        scroll->setWidgetResizable(true);
        scroll->setFrameShape(QFrame::NoFrame);
        scroll->setObjectName(name);
        return scroll;
    };
    m_boardScroll = scroller(m_board, QStringLiteral("rounds.board.scroll"));
    m_boardScroll->setFocusPolicy(Qt::NoFocus);
    column->addWidget(m_boardScroll, 1);

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
    m_kit->setAlignment(Qt::AlignTop | Qt::AlignLeft);
    column->removeWidget(m_kit);
    m_kitScroll = scroller(m_kit, QStringLiteral("rounds.kit.scroll"));
    m_kitScroll->setAccessibleName(tr("Kit for each person"));
    m_kitScroll->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    column->addWidget(m_kitScroll);
    m_right->installEventFilter(this);
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
    connect(m_dueView->horizontalHeader(), &QHeaderView::sectionResized, this, [this](int section) {
        if (section == DueModel::Why)
            fitDue();
    });
    applyMetrics();
    showPlan();
}

void RoundsDesk::applyMetrics()
{
    const Metrics metrics = Metrics::of(this);
    m_dueModel->setScale(metrics.scale);
    m_dueView->verticalHeader()->setMinimumSectionSize(metrics.row());
    m_dueView->verticalHeader()->setDefaultSectionSize(metrics.row());
    m_dueView->setMinimumWidth(metrics.px(400));
    m_boardScroll->setMinimumHeight(m_board->leastHeight());
    fitDue();
    fitKit();
}

void RoundsDesk::fitDue()
{
    if (m_fitting)
        return;
    m_fitting = true;
    const Metrics metrics = Metrics::of(this);
    const QFontMetrics text(fontOf(TextRole::Body, Weight::Regular, metrics.scale));
    const int pad = metrics.px(16);
    const auto needed = [&](int column) {
        int width = m_dueView->horizontalHeader()->sectionSizeHint(column);
        for (int row = 0; row < m_dueModel->rowCount(); ++row)
            if (m_dueModel->line(row) != nullptr)
                width = std::max(width, text.horizontalAdvance(m_dueModel->index(row, column).data().toString()) + pad);
        return width;
    };
    const int room = m_dueView->viewport()->width();
    m_dueView->setColumnWidth(DueModel::Point, std::min(needed(DueModel::Point), room / 4));
    m_dueView->setColumnWidth(DueModel::Minutes, needed(DueModel::Minutes));
    // Tasks may take two lines, so that the reason gets what is left.
    m_dueView->setColumnWidth(DueModel::Task, std::min(needed(DueModel::Task), room * 11 / 40));
    const int two = std::max(metrics.row(), 2 * text.lineSpacing() + metrics.px(6));
    for (int row = 0; row < m_dueModel->rowCount(); ++row) {
        bool wraps = false;
        for (const int column : {DueModel::Task, DueModel::Why})
            wraps =
                wraps || (m_dueModel->line(row) != nullptr &&
                          text.horizontalAdvance(m_dueModel->index(row, column).data().toString()) + pad > m_dueView->columnWidth(column));
        m_dueView->setRowHeight(row, wraps ? two : metrics.row());
    }
    m_fitting = false;
}

void RoundsDesk::fitKit()
{
    const int third = m_right->height() / 3;
    const int needed = m_kit->heightForWidth(std::max(1, m_kitScroll->viewport()->width()));
    m_kitScroll->setFixedHeight(std::max(0, std::min(needed, third)));
    m_kitScroll->setVisible(!m_kit->text().isEmpty());
    // A stop for the keyboard only where there is something to scroll.
    m_kitScroll->setFocusPolicy(needed > third ? Qt::StrongFocus : Qt::NoFocus);
}

void RoundsDesk::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    fitDue();
}

bool RoundsDesk::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == m_right && event->type() == QEvent::Resize)
        fitKit();
    return QWidget::eventFilter(watched, event);
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
    fitDue();
    fitKit();
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
