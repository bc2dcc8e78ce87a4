#include "app/record/record_view.h"

#include "app/models/text_table_model.h"
#include "app/panels/plain_words.h"
#include "app/plots/life_line_plot.h"
#include "app/record/key_figure.h"
#include "app/record/record_side.h"
#include "app/record/visit_view.h"
#include "app/record/visits_table.h"
#include "app/style/ink_style.h"
#include "app/style/metrics.h"
#include "app/style/status_label.h"
#include "app/style/table_lines.h"
#include "app/style/type.h"

#include <QApplication>
#include <QBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QScrollArea>
#include <QStackedWidget>
#include <QTabBar>
#include <QTabWidget>
#include <QToolButton>

#include <algorithm>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr int kKeyFigures = 4;

/// Scrolls with the wheel and with what has the focus; its keys are the Record's.
class Centre : public QScrollArea {
public:
    using QScrollArea::QScrollArea;

protected:
    void keyPressEvent(QKeyEvent* event) override { event->ignore(); }
};

QLabel* plainLabel(const QString& name, TextRole role, Weight weight, QWidget* parent)
{
    auto* label = new QLabel(parent);
    label->setObjectName(name);
    label->setTextFormat(Qt::PlainText);
    setTextRole(label, role, weight);
    return label;
}

QTableView* textTable(QAbstractItemModel* model, const QString& name, const QString& accessible, QWidget* parent)
{
    auto* view = new QTableView(parent);
    view->setObjectName(name);
    view->setAccessibleName(accessible);
    view->setModel(model);
    standAsLines(*view);
    view->setTextElideMode(Qt::ElideMiddle);
    view->setFrameShape(QFrame::NoFrame);
    view->horizontalHeader()->setStretchLastSection(true);
    view->horizontalHeader()->setObjectName(name + u".heads"_s);
    setTextRole(view->horizontalHeader(), TextRole::Hint, Weight::Heavy);
    setSurface(view->viewport(), Role::Ground);
    return view;
}

}  // namespace

RecordView::RecordView(Shop& shop, QWidget* parent) : QWidget(parent), m_presenter(shop)
{
    setObjectName(u"record.page.view"_s);
    setAccessibleName(tr("Record"));
    setSurface(this, Role::Ground);
    buildHead();
    buildTables();
    buildLayout();
    connectParts();
    showPage();
    arrange();
}

void RecordView::buildHead()
{
    m_head = new QWidget(this);
    m_head->setMinimumWidth(1);  // a side panel may take its room; the head then stands in two lines
    m_serial = plainLabel(u"record.head.serial"_s, TextRole::Serial, Weight::Heavy, m_head);
    m_status = new StatusLabel(16, m_head);
    m_status->setObjectName(u"record.head.signal"_s);
    m_design = plainLabel(u"record.head.design"_s, TextRole::Hint, Weight::Regular, m_head);
    m_design->setWordWrap(true);
    auto* name = new QHBoxLayout;
    name->setContentsMargins(0, 0, 0, 0);
    name->setSpacing(Metrics::of(this).margin());
    name->addWidget(m_serial);
    name->addWidget(m_status);
    name->addStretch(1);
    auto* left = new QVBoxLayout;
    left->setContentsMargins(0, 0, 0, 0);
    left->setSpacing(Metrics::of(this).grid(1));
    left->addLayout(name);
    left->addWidget(m_design);
    auto* figures = new QHBoxLayout;
    figures->setContentsMargins(0, 0, 0, 0);
    figures->setSpacing(Metrics::of(this).margin());
    for (int i = 0; i < kKeyFigures; ++i) {
        auto* button = new KeyFigureButton(m_head);
        button->setObjectName(u"record.head.figure%1"_s.arg(i));
        button->setAccessibleName(tr("Figure"));
        figures->addWidget(button, 0, Qt::AlignTop);
        m_figures.push_back(button);
        connect(button, &QAbstractButton::clicked, this, [this, button] { showWorking(m_presenter.headWorking(button->keyFigure().key)); });
    }
    m_headRow = new QBoxLayout(QBoxLayout::LeftToRight, m_head);
    m_headRow->setContentsMargins(0, 0, 0, 0);
    m_headRow->addLayout(left, 1);
    m_headRow->addLayout(figures);
}

void RecordView::buildTables()
{
    m_visitsModel = new VisitsModel(this);
    m_parts = new TextTableModel({tr("Part"), tr("From"), tr("To"), tr("Lot")}, this);
    m_checks = new TextTableModel({tr("When"), tr("What was found"), tr("By")}, this);
    m_notes = new TextTableModel({tr("When"), tr("By"), tr("Note")}, this);
    m_issued = new TextTableModel({tr("Issued"), tr("For"), tr("Weeks ahead"), tr("Said, 80 %"), tr("Came"), tr("Where")}, this);
    m_tabs = new QTabWidget(this);
    m_tabs->setObjectName(u"record.tables.tabs"_s);
    m_tabs->tabBar()->setObjectName(u"record.tables.bar"_s);
    m_tabs->tabBar()->setAccessibleName(tr("Tables of the Record"));
    // Five short texts always fit; the bar's own arrows would be stops without a name.
    m_tabs->tabBar()->setUsesScrollButtons(false);
    for (QToolButton* arrow : m_tabs->tabBar()->findChildren<QToolButton*>())
        arrow->setFocusPolicy(Qt::NoFocus);
    m_visits = new VisitsTable(*m_visitsModel, m_tabs);
    m_tabs->addTab(m_visits, tr("&Visits"));
    m_tabs->addTab(textTable(m_parts, u"record.parts.table"_s, tr("Parts"), m_tabs), tr("&Parts"));
    m_tabs->addTab(textTable(m_checks, u"record.checks.table"_s, tr("Checks"), m_tabs), tr("C&hecks"));
    m_tabs->addTab(textTable(m_notes, u"record.notes.table"_s, tr("Notes"), m_tabs), tr("&Notes"));
    m_tabs->addTab(textTable(m_issued, u"record.issued.table"_s, tr("Outlooks as issued"), m_tabs), tr("&Outlooks as issued"));
    m_visit = new VisitView(this);
    m_lower = new QStackedWidget(this);
    m_lower->setMinimumWidth(1);
    m_lower->addWidget(m_tabs);
    m_lower->addWidget(m_visit);
}

void RecordView::buildLayout()
{
    const Metrics metrics = Metrics::of(this);
    m_note = plainLabel(u"record.page.note"_s, TextRole::Body, Weight::Heavy, this);
    m_note->setWordWrap(true);
    m_says = plainLabel(u"record.page.says"_s, TextRole::Hint, Weight::Regular, this);
    m_says->setWordWrap(true);
    m_empty = plainLabel(u"record.page.empty"_s, TextRole::Finding, Weight::Regular, this);
    m_empty->setWordWrap(true);
    m_plot = new LifeLinePlot(this);
    m_plot->setNames(u"record.life.line"_s, tr("Life line"));
    m_side = new RecordSide(this);
    // Head, life line and tables keep the height they can be read at; a window that is too low for them scrolls.
    m_centre = new Centre(this);
    m_centre->setObjectName(u"record.centre.scroll"_s);
    m_centre->setAccessibleName(tr("Head, life line and tables"));
    m_centre->setWidgetResizable(true);
    m_centre->setFrameShape(QFrame::NoFrame);
    m_centre->setFocusPolicy(Qt::NoFocus);
    m_centre->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    auto* centre = new QWidget(m_centre);
    setSurface(centre, Role::Ground);
    auto* left = new QVBoxLayout(centre);
    left->setContentsMargins(metrics.margin(), metrics.grid(3), metrics.margin(), metrics.grid(2));
    left->setSpacing(metrics.grid(2));
    left->addWidget(m_head);
    left->addWidget(m_note);
    left->addWidget(m_says);
    left->addWidget(m_empty);
    left->addWidget(m_plot, 3);
    left->addWidget(m_lower, 2);
    left->addStretch(0);
    for (QWidget* part : {static_cast<QWidget*>(m_plot), static_cast<QWidget*>(m_lower)})
        part->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Ignored);  // they share what is left over their least heights
    m_centre->setWidget(centre);
    m_centre->installEventFilter(this);
    m_row = new QBoxLayout(QBoxLayout::LeftToRight, this);
    m_row->setContentsMargins(0, 0, 0, 0);
    m_row->setSpacing(1);
    m_row->addWidget(m_centre, 1);
    m_row->addWidget(m_side);
}

void RecordView::connectParts()
{
    connect(&m_presenter, &RecordPresenter::pageChanged, this, &RecordView::showPage);
    connect(&m_presenter, &RecordPresenter::loading, this, [this] {
        if (m_presenter.page() == nullptr)
            showPage();
        Q_EMIT sentenceChanged();
    });
    connect(&m_presenter, &RecordPresenter::tasksChanged, this,
            [this] { m_side->setPage(*m_presenter.page(), m_presenter.outlook().words); });
    connect(&m_presenter, &RecordPresenter::outlookChanged, this, &RecordView::showOutlook);
    connect(m_side, &RecordSide::outlookWorkingAsked, this, [this] { showWorking(m_presenter.outlookWorking()); });
    connect(&m_presenter, &RecordPresenter::failed, this, [this](const QString& sentence) {
        showPage();
        showNote(sentence);
    });
    connect(&m_presenter, &RecordPresenter::refused, this, [this](const QString& sentence) { m_visit->say(sentence); });
    connect(&m_presenter, &RecordPresenter::corrected, this, [this](const QString& sentence) {
        showNote(sentence);
        Q_EMIT said(sentence);
    });
    // Keys that walk from region to region bring what they reach into view.
    connect(qApp, &QApplication::focusChanged, this, [this](QWidget*, QWidget* now) {
        if (now == nullptr || !m_centre->isAncestorOf(now))
            return;
        const int margin = Metrics::of(this).grid(2);
        const QRect part(now->mapTo(m_centre->widget(), QPoint()), now->size());
        if (part.height() + 2 * margin <= m_centre->viewport()->height())
            m_centre->ensureVisible(part.left(), part.center().y(), 0, part.height() / 2 + margin);
        else
            m_centre->ensureWidgetVisible(now, 0, margin);  // of a table, the current line
    });
    connect(m_plot, &PlotBase::visitActivated, this, [this](const QString& visit) { openVisit(visit); });
    connect(m_plot, &PlotBase::workingAsked, this, &RecordView::explainCurrent);
    connect(m_visits, &VisitsTable::visitAsked, this, [this](const QString& visit) { openVisit(visit); });
    connect(m_visits, &VisitsTable::workingAsked, this, [this](const QString& visit, core::Phase phase, const QString& figure) {
        showWorking(m_presenter.visitWorking(visit, phase, figure));
    });
    connect(m_visit, &VisitView::closed, this, &RecordView::closeVisit);
    connect(m_visit, &VisitView::correctAsked, this,
            [this](const VisitSection& section, const VisitCell& cell, const QString& typed, const QString& why) {
                m_presenter.correct(section, cell, m_visit->page().visit, typed, why);
            });
}

void RecordView::arrange()
{
    const Metrics metrics = Metrics::of(this);
    const WidthClass size = metrics.widthClass(width());
    // The side column is a third of a small window at most; under 900 it stands below.
    const int side = std::min(metrics.px(size == WidthClass::Wide ? 480 : 380), width() / 3 + metrics.px(20));
    const bool single = size == WidthClass::Single;
    m_row->setDirection(single ? QBoxLayout::TopToBottom : QBoxLayout::LeftToRight);
    if (single) {
        m_side->setMinimumWidth(0);
        m_side->setMaximumWidth(QWIDGETSIZE_MAX);
        m_side->setFixedHeight(metrics.px(160));
    } else {
        m_side->setMinimumHeight(0);
        m_side->setMaximumHeight(QWIDGETSIZE_MAX);
        m_side->setFixedWidth(side);
    }
    m_plot->setReadoutShown(height() >= metrics.px(560));  // in a low window the visits below say the same
    m_plot->setMinimumHeight(m_plot->minimumSizeHint().height());
    m_lower->setMinimumHeight(metrics.px(44) + 6 * metrics.row());  // tabs, heads and a few lines
    m_headRow->setDirection(width() - (single ? 0 : side) < metrics.px(760) ? QBoxLayout::TopToBottom : QBoxLayout::LeftToRight);
}

void RecordView::resizeEvent(QResizeEvent* event)
{
    QWidget::resizeEvent(event);
    arrange();
}

/// Keys that the scrolled column doesn't use are the Record's (PgUp, PgDn: another sensor), not the scroll bar's.
bool RecordView::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == m_centre && event->type() == QEvent::KeyPress) {
        event->ignore();
        return true;
    }
    return QWidget::eventFilter(watched, event);
}

void RecordView::changeEvent(QEvent* event)
{
    QWidget::changeEvent(event);
    if (event->type() == QEvent::StyleChange && m_row != nullptr) {
        arrange();
        showPage();
    }
}

void RecordView::showHead(const RecordPage& page)
{
    m_serial->setText(page.head.serial);
    m_status->setCondition(page.head.condition);
    m_design->setText(page.head.design.isEmpty() ? page.head.place : page.head.design + u"; "_s + page.head.place);
    for (std::size_t i = 0; i < m_figures.size(); ++i) {
        m_figures[i]->setVisible(i < page.head.figures.size());
        if (i < page.head.figures.size())
            m_figures[i]->setKeyFigure(page.head.figures[i]);
    }
}

void RecordView::showTables(const RecordPage& page)
{
    const int row = m_visits->currentIndex().row();
    const int column = m_visits->currentIndex().column();
    m_visitsModel->setLines(page.visits, page.kind);
    m_visits->setAccessibleName(tr("Visits of %1").arg(page.head.serial));
    if (!page.visits.empty())
        m_visits->setCurrentIndex(m_visitsModel->index(std::clamp(row, 0, m_visitsModel->rowCount() - 1), std::max(column, 0)));
    m_parts->setRows(page.parts);
    m_checks->setRows(page.checks);
    m_notes->setRows(page.notes);
    m_issued->setRows(m_presenter.outlook().issued);
    if (m_lower->currentWidget() == m_visit) {
        if (auto visit = m_presenter.visit(m_visit->page().visit))
            m_visit->setPage(std::move(*visit));
        else
            closeVisit();
    }
}

/// The life line, with the fans where the outlook is there.
void RecordView::showLine(const RecordPage& page)
{
    LifeLineSeries line = page.line;
    if (const auto& evidence = m_presenter.outlook().evidence)
        addFans(line, evidence->fan);
    m_plot->setSeries(std::move(line));
    m_plot->setMinimumHeight(m_plot->minimumSizeHint().height());
}

void RecordView::showOutlook()
{
    const auto page = m_presenter.page();
    if (page == nullptr)
        return;
    showLine(*page);
    m_side->setPage(*page, m_presenter.outlook().words);
    m_issued->setRows(m_presenter.outlook().issued);
}

void RecordView::showEvent(QShowEvent* event)
{
    QWidget::showEvent(event);
    m_presenter.setLookedAt(true);
}

void RecordView::hideEvent(QHideEvent* event)
{
    QWidget::hideEvent(event);
    m_presenter.setLookedAt(false);
}

void RecordView::showPage()
{
    const auto page = m_presenter.page();
    m_head->setVisible(page != nullptr);
    m_plot->setVisible(page != nullptr && page->empty.isEmpty());
    m_lower->setVisible(page != nullptr);
    m_side->setVisible(page != nullptr);
    m_note->clear();
    m_note->hide();
    if (page == nullptr) {
        m_says->hide();
        m_side->clear();
        m_empty->setVisible(m_presenter.isLoading());
        m_empty->setText(tr("Reading the record of %1.").arg(m_presenter.serial()));
        if (m_lower->currentWidget() == m_visit)
            m_lower->setCurrentWidget(m_tabs);
        Q_EMIT sentenceChanged();
        return;
    }
    showHead(*page);
    m_says->setText(page->says.join(u'\n'));
    m_says->setVisible(!page->says.isEmpty());
    m_empty->setText(page->empty);
    m_empty->setVisible(!page->empty.isEmpty());
    m_plot->setNames(u"record.life.line"_s, tr("Life line of %1").arg(page->head.serial));
    const auto asKnown = m_presenter.shop().asKnown();
    m_plot->setCaption({.sensor = page->head.serial,
                        .rules = plain(page->dossier->rules.id()),
                        .asKnown = asKnown ? tr("as known on %1 %2").arg(fullDate(*asKnown), clockWords(*asKnown)) : tr("as known now")});
    showLine(*page);
    m_side->setPage(*page, m_presenter.outlook().words);
    showTables(*page);
    const bool opened = openWanted();
    if (m_focusWhenReady && !opened)
        takeFocus();
    m_focusWhenReady = false;
    Q_EMIT sentenceChanged();
}

void RecordView::showNote(const QString& sentence)
{
    m_note->setText(sentence);
    m_note->setVisible(!sentence.isEmpty());
}

}  // namespace halfcell::app
