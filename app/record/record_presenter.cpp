#include "app/record/record_presenter.h"

#include "app/panels/plain_words.h"
#include "app/record/figure_working.h"
#include "app/record/phase_figure.h"
#include "app/style/marks.h"

#include <QFutureWatcher>
#include <QtConcurrent>

namespace halfcell::app {

using namespace Qt::Literals::StringLiterals;

namespace {

constexpr std::int64_t kTasksAhead = 60;  // days: what the next two monthly rounds would meet

}  // namespace

RecordPresenter::RecordPresenter(Shop& shop, QObject* parent) : QObject(parent), m_shop(shop)
{
    // Whatever was written, the page is worked out anew; figures change when they are ready.
    connect(&m_shop, &Shop::latestChanged, this, [this] {
        if (!m_serial.isEmpty())
            load();
    });
    connect(&m_shop, &Shop::overviewChanged, this, &RecordPresenter::askTasks);
    connect(&m_shop, &Shop::overviewChanged, this, &RecordPresenter::askOutlook);
    connect(&m_shop, &Shop::bookClosed, this, &RecordPresenter::close);
}

void RecordPresenter::open(const QString& serial, const QStringList& list)
{
    m_list = list;
    if (serial != m_serial) {
        m_page.reset();
        m_outlook = {};
        m_pending.reset();
    }
    m_serial = serial;
    load();
}

void RecordPresenter::close()
{
    ++m_generation;
    m_serial.clear();
    m_list.clear();
    m_page.reset();
    m_outlook = {};
    m_pending.reset();
    m_loading = false;
    Q_EMIT pageChanged();
}

bool RecordPresenter::step(int direction)
{
    const qsizetype at = m_list.indexOf(m_serial);
    const qsizetype next = at + direction;
    if (at < 0 || next < 0 || next >= m_list.size())
        return false;
    open(m_list[next], QStringList(m_list));
    return true;
}

QString RecordPresenter::placeInList() const
{
    const qsizetype at = m_list.indexOf(m_serial);
    return at < 0 || m_list.size() < 2 ? QString() : tr("%1 of %2 in the list").arg(at + 1).arg(m_list.size());
}

void RecordPresenter::load()
{
    const quint64 generation = ++m_generation;
    m_loading = true;
    Q_EMIT loading(m_serial);
    m_shop.loadDossier(m_serial.toStdString(), this, [this, generation](core::Result<std::shared_ptr<const Dossier>> dossier) {
        if (generation != m_generation)
            return;
        if (!dossier) {
            m_loading = false;
            Q_EMIT failed(userText(dossier.error()));
            return;
        }
        build(std::move(*dossier));
    });
}

void RecordPresenter::build(std::shared_ptr<const Dossier> dossier)
{
    const quint64 generation = m_generation;
    auto* watcher = new QFutureWatcher<std::shared_ptr<RecordPage>>(this);
    connect(watcher, &QFutureWatcherBase::finished, this, [this, watcher, generation] {
        watcher->deleteLater();
        if (generation == m_generation)
            take(watcher->future().takeResult());
    });
    watcher->setFuture(QtConcurrent::run([dossier = std::move(dossier), now = m_shop.moment()]() mutable {
        return std::make_shared<RecordPage>(recordPage(std::move(dossier), now));
    }));
}

void RecordPresenter::take(std::shared_ptr<RecordPage> page)
{
    m_loading = false;
    const std::shared_ptr<const RecordPage> was = m_page;
    QString changed;
    if (m_pending && was != nullptr) {
        changed = whatChanged(*was, *page);
        // What was drawn before stays as a dotted ghost until Esc.
        for (std::size_t i = 0; i < page->line.panels.size() && i < was->line.panels.size(); ++i)
            for (const PhasePoint& point : was->line.panels[i].points)
                if (point.phase == core::Phase::AsLeft && !point.superseded)
                    page->line.panels[i].ghost.push_back(point);
        page->line.restated = tr("figures restated by the correction just written; Esc lets the old line go");
        m_pending.reset();
    }
    m_page = std::move(page);
    Q_EMIT pageChanged();
    if (!changed.isEmpty())
        Q_EMIT corrected(changed);
    if (m_page->next.tasks.empty())
        askTasks();
    if (m_outlook.evidence == nullptr)
        askOutlook();
}

void RecordPresenter::setLookedAt(bool looked)
{
    m_lookedAt = looked;
    askOutlook();
}

/// The outlook hangs on the past of the whole shop. What is shown stays until a new one is there.
void RecordPresenter::askOutlook()
{
    const auto overview = m_shop.overview();
    if (!m_lookedAt || overview == nullptr || m_page == nullptr || !m_page->empty.isEmpty())
        return;
    if (m_outlook.evidence != nullptr && m_outlook.evidence->evidence->overview == overview)
        return;
    if (m_outlook.evidence == nullptr && m_outlook.words.state.isEmpty())
        takeOutlook({.evidence = {}, .words = {.state = tr("Working out the outlook.")}, .issued = {}});
    m_shop.outlook(m_serial.toStdString(), this, [this, serial = m_serial](core::Result<std::shared_ptr<const SensorEvidence>> answer) {
        if (serial != m_serial)
            return;
        if (answer)
            takeOutlook(recordOutlook(std::move(*answer), localDay(m_shop.moment())));
        else
            takeOutlook({.evidence = {}, .words = {.state = userText(answer.error())}, .issued = {}});
    });
}

void RecordPresenter::takeOutlook(RecordOutlook outlook)
{
    m_outlook = std::move(outlook);
    Q_EMIT outlookChanged();
}

std::optional<WorkingPage> RecordPresenter::outlookWorking() const
{
    if (m_outlook.evidence == nullptr || m_page == nullptr)
        return std::nullopt;
    WorkingPage page;
    page.figure = u"outlook"_s;
    page.title = tr("Outlook of %1").arg(m_serial);
    page.stamp = plain(m_page->dossier->rules.id());
    page.steps = m_outlook.evidence->ahead.working;
    if (page.steps.empty())
        page.missing = m_outlook.words.state.isEmpty() ? tr("Nothing is said of this sensor.") : m_outlook.words.state;
    return page;
}

/// Due work hangs on the whole shop, so it comes from the overview and a moment later.
void RecordPresenter::askTasks()
{
    const auto overview = m_shop.overview();
    if (overview == nullptr || m_page == nullptr)
        return;
    const quint64 generation = m_generation;
    auto* watcher = new QFutureWatcher<std::vector<TaskWords>>(this);
    connect(watcher, &QFutureWatcherBase::finished, this, [this, watcher, generation] {
        watcher->deleteLater();
        if (generation != m_generation || m_page == nullptr)
            return;
        auto page = std::make_shared<RecordPage>(*m_page);
        page->next.tasks = watcher->future().takeResult();
        if (page->next.tasks == m_page->next.tasks)
            return;
        m_page = std::move(page);
        Q_EMIT tasksChanged();
    });
    watcher->setFuture(QtConcurrent::run([overview, serial = m_serial.toStdString(), today = localDay(m_shop.moment())] {
        return taskWords(overview->due(today + kTasksAhead), serial, today);
    }));
}

QString RecordPresenter::whatChanged(const RecordPage& was, const RecordPage& is) const
{
    QString text = tr("Corrected: %1 %2 → %3").arg(m_pending->label, m_pending->oldValue, m_pending->newValue);
    const core::VisitFigures* before = was.figuresOf(m_pending->visit);
    const core::VisitFigures* after = is.figuresOf(m_pending->visit);
    if (before != nullptr && after != nullptr)
        for (const core::PhaseFigures& phase : after->phases)
            for (const std::string_view key : shownFigures(phase.kind)) {
                const core::PhaseFigures* old = before->phase(phase.phase);
                const Figure x = old != nullptr ? phaseFigure(*old, key) : Figure{};
                const Figure y = phaseFigure(phase, key);
                const auto shown = [](const Figure& f) { return f.value ? figureText(*f.value, f.decimals, f.sign) : f.reason; };
                if (shown(x) != shown(y))
                    text += tr(", %1 %2 %3 → %4 %5").arg(phaseWord(phase.phase), figureName(key).toLower(), shown(x), shown(y), y.unit);
            }
    return text + tr(". The old figure stays in the history.");
}

std::optional<VisitPage> RecordPresenter::visit(const QString& key) const
{
    return m_page != nullptr ? visitPage(*m_page->dossier, key, localDay(m_shop.moment())) : std::nullopt;
}

std::optional<WorkingPage> RecordPresenter::headWorking(const QString& key) const
{
    return m_page != nullptr ? std::optional(latestWorking(*m_page->dossier, key.toStdString(), m_shop.moment())) : std::nullopt;
}

std::optional<WorkingPage> RecordPresenter::visitWorking(const QString& key, core::Phase phase, const QString& figure) const
{
    if (m_page == nullptr)
        return std::nullopt;
    const core::VisitFigures* visit = m_page->figuresOf(key);
    const core::PhaseFigures* figures = visit != nullptr ? visit->phase(phase) : nullptr;
    if (figures == nullptr)
        return std::nullopt;
    const core::PhaseFigures* earlier = m_page->before != nullptr ? m_page->before->phase(key.toStdString(), phase) : nullptr;
    return figureWorking(*m_page->dossier, *visit, *figures, figure.toStdString(), earlier);
}

std::optional<WorkingPage> RecordPresenter::lineWorking(const QString& key, const QString& figure) const
{
    const core::VisitFigures* visit = m_page != nullptr ? m_page->figuresOf(key) : nullptr;
    if (visit == nullptr)
        return std::nullopt;
    for (auto it = visit->phases.rbegin(); it != visit->phases.rend(); ++it)
        if (phaseFigure(*it, figure.toStdString()).value)
            return visitWorking(key, it->phase, figure);
    return std::nullopt;
}

void RecordPresenter::correct(const VisitSection& section, const VisitCell& cell, const QString& visitKey, const QString& typed,
                              const QString& why)
{
    if (m_page == nullptr)
        return;
    if (m_shop.asKnown()) {
        Q_EMIT refused(tr("This is the book as known on an earlier day; nothing can be written. Esc returns to now."));
        return;
    }
    const CorrectionAsk ask = askCorrection(*m_page->dossier, visitKey, section, cell, typed, why, m_shop.person(), m_shop.now());
    if (!ask.correction) {
        Q_EMIT refused(ask.refusal);
        return;
    }
    QString label = section.heads.value(0);
    for (std::size_t r = 0; r < section.rows.size(); ++r)
        for (std::size_t c = 0; c < section.rows[r].size(); ++c)
            if (section.rows[r][c].row == cell.row && section.rows[r][c].field == cell.field)
                label = cellLabel(section, static_cast<int>(r), static_cast<int>(c));
    m_pending = Pending{.label = label,
                        .oldValue = cell.screen.isEmpty() ? tr("nothing") : cell.screen,
                        .newValue = ask.correction->new_value.empty() ? tr("nothing") : screenWords(ask.correction->new_value),
                        .visit = visitKey};
    m_shop.correct(*ask.correction, this, [this](core::Result<bool> done) {
        if (done)
            return;
        m_pending.reset();
        Q_EMIT refused(userText(done.error()));
    });
}

}  // namespace halfcell::app
