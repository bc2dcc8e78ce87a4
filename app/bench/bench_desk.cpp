#include "app/bench/bench_desk.h"

#include "app/bench/bench_presenter.h"
#include "app/bench/start_page.h"
#include "app/bench/visit_page.h"

#include <QAccessible>
#include <QStackedLayout>

namespace halfcell::app::bench {

BenchDesk::BenchDesk(BenchPresenter& presenter, QWidget* parent)
    : QWidget(parent), m_presenter(presenter), m_pages(new QStackedLayout(this)), m_start(new StartPage(presenter, this))
{
    setObjectName(QStringLiteral("bench.desk.page"));
    m_pages->addWidget(m_start);
    connect(&presenter, &BenchPresenter::pageChanged, this, &BenchDesk::turnPage);
    connect(&presenter, &BenchPresenter::shopLineChanged, this, &BenchDesk::sentenceChanged);
    turnPage();
}

void BenchDesk::turnPage()
{
    VisitPage* old = m_visit;
    m_visit = nullptr;
    if (m_presenter.hasVisit()) {
        m_visit = new VisitPage(m_presenter, this);
        m_pages->addWidget(m_visit);
        m_pages->setCurrentWidget(m_visit);
    } else {
        m_pages->setCurrentWidget(m_start);
        m_start->refresh();
    }
    if (old) {
        m_pages->removeWidget(old);
        old->deleteLater();
    }
    if (isVisible())
        takeFocus();
}

DeskEntry BenchDesk::entry()
{
    return {.widget = this,
            .name = tr("Bench"),
            .sentence = [this] { return m_presenter.shopLine(); },
            .shown = [this] { takeFocus(); },
            .regions = [this] { return m_visit ? m_visit->regions() : QList<QWidget*>{m_start}; },
            .link = {}};
}

QVariant BenchDesk::stateBeforeScan() const
{
    return QVariant::fromValue(m_presenter.snapshot());
}

void BenchDesk::restoreAfterScan(const QVariant& state)
{
    m_presenter.restore(state.value<std::shared_ptr<const BenchModel>>());
}

void BenchDesk::takeFocus()
{
    if (m_visit)
        m_visit->takeFocus();
    else
        m_start->takeFocus();
}

}  // namespace halfcell::app::bench
