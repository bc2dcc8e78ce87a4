// What keys do on the Record.
#include "app/plots/life_line_plot.h"
#include "app/record/key_figure.h"
#include "app/record/record_side.h"
#include "app/record/record_view.h"
#include "app/record/visit_view.h"
#include "app/record/visits_table.h"

#include <QKeyEvent>
#include <QLabel>
#include <QRegularExpression>
#include <QStackedWidget>
#include <QTabWidget>

#include <utility>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

void RecordView::open(const QString& serial, const QStringList& list)
{
    m_focusWhenReady = true;
    if (m_lower->currentWidget() == m_visit && serial != m_presenter.serial())
        m_lower->setCurrentWidget(m_tabs);
    m_presenter.open(serial, list);
}

QString RecordView::sentence() const
{
    if (m_presenter.serial().isEmpty())
        return {};
    QStringList parts{tr("Record of %1.").arg(m_presenter.serial())};
    if (m_presenter.isLoading() && m_presenter.page() == nullptr)
        parts.append(tr("Reading it."));
    else if (m_presenter.page() != nullptr) {
        // The whole sentence stands under What next; here its first words, and what to do.
        const QString all = m_presenter.page()->next.sentence;
        const qsizetype end = all.indexOf(QRegularExpression(u"[:;.,]( |$)"_s));
        const QString lead = end < 0 ? all : all.left(end);
        const QString action = m_presenter.page()->next.action;
        parts.append(lead.isEmpty() ? action + u'.' : tr("%1: %2.").arg(lead, action.left(1).toLower() + action.mid(1)));
    }
    if (const QString place = m_presenter.placeInList(); !place.isEmpty())
        parts.append(tr("%1; PgUp, PgDn.").arg(place));
    parts.append(tr("Alt+Left returns."));
    return parts.join(u"  "_s).toHtmlEscaped();
}

void RecordView::takeFocus()
{
    if (!m_figures.empty() && m_figures.front()->isVisibleTo(this))
        m_figures.front()->setFocus(Qt::OtherFocusReason);
    else
        m_visits->setFocus(Qt::OtherFocusReason);
}

void RecordView::openVisit(const QString& visit)
{
    showReading(visit, {});
}

void RecordView::showReading(const QString& visit, const QString& reading)
{
    if (visit.startsWith(u"legacy/"_s)) {
        showNote(tr("This record holds figures without millivolts. Ctrl+E says where they come from."));
        return;
    }
    m_wantedVisit = visit;
    m_wantedReading = reading;
    if (openWanted() || visit.isEmpty())
        return;
    // Another sensor's: find out whose.
    m_presenter.shop().loadVisit(visit.toStdString(), this, [this, visit](core::Result<core::Visit> found) {
        if (visit != m_wantedVisit)
            return;
        if (found) {
            open(QString::fromStdString(found->serial), {});
        } else {
            m_wantedVisit.clear();
            showNote(userText(found.error()));
        }
    });
}

/// Opens the visit that was asked for, if the page has it.
bool RecordView::openWanted()
{
    if (m_wantedVisit.isEmpty())
        return false;
    auto page = m_presenter.visit(m_wantedVisit);
    if (!page)
        return false;
    const QString visit = std::exchange(m_wantedVisit, QString());
    const QString reading = std::exchange(m_wantedReading, QString());
    m_visit->setPage(std::move(*page));
    m_lower->setCurrentWidget(m_visit);
    if (const int row = m_visitsModel->rowOf(visit); row >= 0)
        m_visits->setCurrentIndex(m_visitsModel->index(row, std::max(0, m_visits->currentIndex().column())));
    if (reading.isEmpty() || !m_visit->goToReading(reading))
        m_visit->takeFocus();
    return true;
}

void RecordView::correct()
{
    if (m_lower->currentWidget() == m_visit) {
        m_visit->openCorrection();
        return;
    }
    QString visit;
    if (m_plot->hasFocus())
        visit = m_plot->cursorVisit();
    else if (const VisitLine* line = m_visitsModel->lineAt(m_visits->currentIndex().row()); m_visits->hasFocus() && line != nullptr)
        visit = line->visit;
    if (!visit.isEmpty())
        openVisit(visit);
    showNote(tr("Choose the value that is wrong in its visit (Enter opens one), then Ctrl+Shift+E."));
}

void RecordView::closeVisit()
{
    m_lower->setCurrentWidget(m_tabs);
    m_tabs->setCurrentIndex(0);
    m_visits->setFocus(Qt::OtherFocusReason);
}

void RecordView::showWorking(const std::optional<WorkingPage>& page)
{
    if (page && page->complete())
        Q_EMIT workingReady(*page);
}

/// The working of what has the focus: a figure of the head, the cursor of the life line, a cell of the visits; else of
/// the first figure of the head.
void RecordView::explainCurrent()
{
    const auto page = m_presenter.page();
    if (page == nullptr)
        return;
    if (m_plot->hasFocus() && m_plot->cursor()) {
        const LifeLineSeries& line = m_plot->series();
        const auto panel = static_cast<std::size_t>(m_plot->currentPanel());
        if (!m_plot->rawShown() && panel < line.panels.size()) {
            // The visit under the cursor: stops stand in time order, as the visits with figures do.
            const QString visit = m_plot->cursorVisit();
            showWorking(m_presenter.lineWorking(visit, line.panels[panel].key));
            return;
        }
    }
    for (const KeyFigureButton* button : m_figures)
        if (button->hasFocus()) {
            showWorking(m_presenter.headWorking(button->keyFigure().key));
            return;
        }
    if (!page->head.figures.empty())
        showWorking(m_presenter.headWorking(page->head.figures.front().key));
}

QList<QWidget*> RecordView::regions() const
{
    QList<QWidget*> regions{m_head, m_plot, m_lower->currentWidget() == m_visit ? static_cast<QWidget*>(m_visit) : m_tabs->currentWidget(),
                            m_side};
    regions.removeIf([this](const QWidget* region) { return !region->isVisibleTo(this); });
    return regions;
}

void RecordView::keyPressEvent(QKeyEvent* event)
{
    const bool control = event->modifiers() == Qt::ControlModifier;
    switch (event->key()) {
    case Qt::Key_PageDown:
    case Qt::Key_PageUp: {
        m_focusWhenReady = true;
        const int direction = event->key() == Qt::Key_PageDown ? 1 : -1;
        if (m_lower->currentWidget() == m_visit)
            m_lower->setCurrentWidget(m_tabs);
        if (!m_presenter.step(direction)) {
            m_focusWhenReady = false;
            showNote(direction > 0 ? tr("This is the last sensor of the list.") : tr("This is the first sensor of the list."));
        }
        return;
    }
    case Qt::Key_E:
        if (control)
            return explainCurrent();
        if (event->modifiers() == (Qt::ControlModifier | Qt::ShiftModifier))
            return correct();
        break;
    case Qt::Key_L:
        if (control) {
            Q_EMIT visitAsked(m_presenter.serial());
            return;
        }
        break;
    case Qt::Key_M:
        if (control) {
            Q_EMIT moveAsked(m_presenter.serial());
            return;
        }
        break;
    case Qt::Key_Escape:
        if (m_lower->currentWidget() == m_visit)
            return closeVisit();
        break;
    case Qt::Key_Left:
        if (event->modifiers() == Qt::AltModifier) {
            Q_EMIT backAsked();
            return;
        }
        break;
    default: break;
    }
    QWidget::keyPressEvent(event);
}

}  // namespace halfcell::app
