#include "app/rounds/rounds_presenter.h"

#include "app/panels/plain_words.h"
#include "app/service/week.h"
#include "app/style/figures.h"

#include <algorithm>
#include <map>

namespace halfcell::app {

using namespace core;

RoundsPresenter::RoundsPresenter(Shop& shop, QObject* parent) : QObject(parent), m_shop(shop), m_week(isoWeekOf(dayNumber(shop.now())))
{
    connect(&m_shop, &Shop::overviewChanged, this, &RoundsPresenter::replan);
    connect(&m_shop, &Shop::bookClosed, this, [this] {
        ++m_generation;
        m_plan = nullptr;
        m_planned.reset();
        m_board = {};
        m_due.clear();
        m_sentence.clear();
        m_weekChosen = false;
        Q_EMIT changed();
    });
}

void RoundsPresenter::setWeek(const IsoWeek& week)
{
    m_week = week;
    m_weekChosen = true;
    replan();
}

void RoundsPresenter::stepWeek(int by)
{
    setWeek(isoWeekOf(mondayOf(m_week) + 7 * by));
}

void RoundsPresenter::replan()
{
    if (!m_shop.overview()) {
        m_sentence = tr("Working out what is due.");
        Q_EMIT changed();
        return;
    }
    if (!m_weekChosen)
        m_week = isoWeekOf(dayNumber(m_shop.moment()));
    const quint64 generation = ++m_generation;
    m_shop.planWeek(m_week, this, [this, generation](Result<std::shared_ptr<const PlannedWeek>> planned) {
        if (generation != m_generation)
            return;
        if (!planned) {
            Q_EMIT note(userText(planned.error()));
            return;
        }
        take(std::move(*planned));
    });
}

void RoundsPresenter::move(const std::string& key, std::int64_t day, const QString& person)
{
    const auto overview = m_shop.overview();
    if (!m_plan || !overview)
        return;
    const PlanSettings settings = planSettingsOf(overview->rules, *overview->plant);
    const auto capacities = capacitiesOfWeek(*overview->plant, m_week, settings, 0);
    auto moved = moveJob(*m_plan, key, day, person.toStdString(), capacities, settings);
    if (!moved) {
        Q_EMIT note(screenWords(moved.error().detail));
        return;
    }
    moved->kit = kitFor(*moved, *overview->plant, overview->rules);
    take(std::make_shared<const PlannedWeek>(PlannedWeek{std::move(*moved), m_planned->shelf}));
    Q_EMIT note(QString());
}

std::shared_ptr<const WeekPlan> RoundsPresenter::plan() const
{
    return {m_planned, m_plan};
}

void RoundsPresenter::take(std::shared_ptr<const PlannedWeek> week)
{
    m_planned = std::move(week);
    m_plan = &m_planned->plan;
    m_board = Board::of(*m_plan);
    rebuildDue();
    std::size_t floors = 0;
    double undoneLoss = 0.0;
    for (const Job& job : m_plan->jobs)
        floors += job.floor ? 1 : 0;
    for (const UnplannedJob& u : m_plan->unplanned) {
        const auto job = std::ranges::find(m_plan->jobs, u.key, &Job::key);
        if (job != m_plan->jobs.end())
            undoneLoss += job->loss;
    }
    const std::int64_t monday = mondayOf(m_week);
    if (m_plan->jobs.empty()) {
        m_sentence = tr("Week %1, %2 to %3. Nothing is due.").arg(m_week.week).arg(dayText(monday), dayText(monday + 4));
    } else {
        m_sentence =
            tr("Week %1, %2 to %3.  %4 jobs due, %5 can't slip.  %6 planned, %7 stay undone (expected loss %8).  Within %9 % of the bound.")
                .arg(m_week.week)
                .arg(dayText(monday), dayText(monday + 4))
                .arg(m_plan->jobs.size())
                .arg(floors)
                .arg(m_plan->planned.size())
                .arg(m_plan->unplanned.size())
                .arg(figureText(undoneLoss, 0, Sign::WhenNegative), figureText(m_plan->gap_pct, 1, Sign::WhenNegative));
    }
    Q_EMIT changed();
}

void RoundsPresenter::rebuildDue()
{
    m_due.clear();
    std::map<std::string, const UnplannedJob*> undone;
    for (const UnplannedJob& u : m_plan->unplanned)
        undone[u.key] = &u;
    const std::int64_t today = localDay(m_shop.moment());
    const auto line = [&](const Job& job) {
        DueLine l;
        l.tag = QString::fromStdString(job.tag);
        l.serial = QString::fromStdString(job.serial);
        l.task = tasksText(job);
        l.why = withoutYear(screenWords(job.why), today);
        l.allWhys = l.why;
        if (const QString lead = l.task + QStringLiteral(": "); l.why.startsWith(lead))
            l.why = l.why.mid(lead.size());  // the task stands beside it
        l.due = dayText(job.earliest);
        l.latest = dayText(job.latest);
        for (const std::string& m : job.materials)
            l.materials += (l.materials.isEmpty() ? QString() : QStringLiteral(", ")) + screenWords(m);
        l.minutes = job.minutes;
        l.loss = job.loss;
        l.cannotSlip = job.floor;
        l.jobKey = job.key;
        if (const auto u = undone.find(job.key); u != undone.end()) {
            l.group = tr("Undone this week");
            QString why = withoutYear(screenWords(u->second->why), today);
            if (!why.endsWith(QLatin1Char('.')))
                why += QLatin1Char('.');
            l.why = tr("%1 Next chance %2.").arg(why, dayText(u->second->nextChance));
        } else {
            l.group = job.floor ? tr("Can't slip") : tr("By expected loss");
        }
        return l;
    };
    std::vector<const Job*> jobs;
    for (const Job& job : m_plan->jobs)
        jobs.push_back(&job);
    std::ranges::stable_sort(jobs, [&](const Job* a, const Job* b) {
        const auto rank = [&](const Job* j) { return undone.contains(j->key) ? 2 : j->floor ? 0 : 1; };
        return std::tuple(rank(a), -a->loss, a->key) < std::tuple(rank(b), -b->loss, b->key);
    });
    for (const Job* job : jobs)
        m_due.push_back(line(*job));
    // Bottles and instruments are work too, but nobody walks to them.
    for (const DueTask& task : m_planned->shelf) {
        DueLine l;
        l.group = tr("Bottles and instruments");
        l.serial = QString::fromStdString(task.subject);
        l.task = plain(wordsOf(task.task));
        l.why = withoutYear(screenWords(task.why), today);
        l.allWhys = l.why;
        l.due = dayText(task.due);
        l.latest = dayText(task.latest);
        l.minutes = task.minutes;
        m_due.push_back(std::move(l));
    }
}

std::vector<QString> RoundsPresenter::kitLines() const
{
    std::vector<QString> lines;
    if (!m_plan)
        return lines;
    std::map<std::string, std::map<std::string, std::pair<double, const KitLine*>>> byPerson;
    for (const KitLine& k : m_plan->kit) {
        auto& entry = byPerson[k.person][k.item];
        entry.first += k.amount;
        if (entry.second == nullptr || !k.lot.empty())
            entry.second = &k;
    }
    for (const auto& [person, items] : byPerson) {
        QString text = tr("Kit %1:").arg(QString::fromStdString(person));
        bool first = true;
        for (const auto& [item, amount] : items) {
            const KitLine& k = *amount.second;
            const bool litres = k.unit == "mL" && amount.first >= 1000.0;
            text += first ? QStringLiteral(" ") : QStringLiteral(" · ");
            first = false;
            text += tr("%1 %2 %3")
                        .arg(screenWords(StandardsBook::shipped().words(item)),
                             litres ? figureText(amount.first / 1000.0, 1, Sign::WhenNegative)
                                    : figureText(amount.first, 0, Sign::WhenNegative),
                             litres               ? QStringLiteral("L")
                             : k.unit == "pieces" ? QString()
                                                  : QString::fromStdString(k.unit))
                        .trimmed();
            if (!k.lot.empty())
                text += tr(" (%1)").arg(QString::fromStdString(k.lot));
        }
        lines.push_back(text);
    }
    return lines;
}

}  // namespace halfcell::app
