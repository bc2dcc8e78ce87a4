#include "app/bench/bench_presenter.h"

#include "app/bench/number_entry.h"
#include "app/bench/say.h"
#include "app/style/figures.h"

#include <algorithm>
#include <tuple>

/// Today's lines, sensors in soak, spares, and the bottles of the round.
namespace halfcell::app::bench {

using namespace core;

void BenchPresenter::planToday()
{
    const auto today = dayNumber(m_shop.moment());
    m_shop.planWeek(isoWeekOf(today), this, [this, today](const Result<std::shared_ptr<const PlannedWeek>>& week) {
        m_jobs.clear();
        m_jobsKnown = week.has_value();
        if (!week) {
            Q_EMIT startChanged();
            return;
        }
        const WeekPlan& plan = (*week)->plan;
        const Records& reference = *m_shop.reference();
        for (const PlannedJob& planned : plan.planned) {
            if (planned.day != today)
                continue;
            const auto job = std::find_if(plan.jobs.begin(), plan.jobs.end(), [&](const Job& j) { return j.key == planned.key; });
            if (job == plan.jobs.end() || job->serial.empty())
                continue;
            JobLine line;
            line.tag = job->tag;
            line.serial = job->serial;
            const auto point =
                std::find_if(reference.points.begin(), reference.points.end(), [&](const Point& p) { return p.tag == job->tag; });
            if (point != reference.points.end())
                line.where = QString::fromStdString(point->description.value_or(point->area.value_or(std::string())));
            QStringList tasks;
            for (const TaskKind task : job->tasks)
                tasks << spelled(wordsOf(task));
            line.what = tasks.join(QStringLiteral(" · "));
            line.why = toScreen(QString::fromStdString(job->why));
            line.minutes = job->minutes;
            QStringList people;
            for (const std::string& p : planned.people)
                people << QString::fromStdString(p);
            line.people = people.join(QStringLiteral(", "));
            line.line = planned.order + 1;
            m_jobs.push_back(std::move(line));
        }
        std::stable_sort(m_jobs.begin(), m_jobs.end(),
                         [](const JobLine& a, const JobLine& b) { return std::tie(a.people, a.line) < std::tie(b.people, b.line); });
        // Lines of the sheet count from 1 for each person.
        QString person;
        int number = 0;
        for (JobLine& line : m_jobs) {
            number = line.people == person ? number + 1 : 1;
            person = line.people;
            line.line = number;
        }
        Q_EMIT startChanged();
    });
}

std::vector<SoakLine> BenchPresenter::soaking() const
{
    std::vector<SoakLine> lines;
    if (!m_shop.latest())
        return lines;
    for (const db::LatestState& s : *m_shop.latest())
        if (s.place == kSoak) {
            QString words = QString::fromStdString(s.serial);
            if (s.placedSince)
                words = tr("%1 in soak since %2").arg(words, shownMoment(*s.placedSince, m_shop.moment()));
            lines.push_back({s.serial, words});
        }
    return lines;
}

QString BenchPresenter::spareThatFits() const
{
    if (!m_model || !m_model->hand().model() || !m_shop.latest() || !m_shop.reference())
        return {};
    const Model& mine = *m_model->hand().model();
    const auto fits = [&](const std::string& key) {
        if (key == mine.model)
            return true;
        for (const Model& m : m_shop.reference()->models)
            if (m.model == key)
                return m.kind == mine.kind && m.interchange && mine.interchange && *m.interchange == *mine.interchange;
        return false;
    };
    const db::LatestState* best = nullptr;
    for (const db::LatestState& s : *m_shop.latest()) {
        if (s.serial == m_model->draft().serial || !fits(s.model) || (s.place != kShelf && s.place != kSoak))
            continue;
        // One in soak goes before one on the shelf, one of the same model before one that only fits.
        const auto rank = [&](const db::LatestState& x) { return (x.place == kSoak ? 0 : 2) + (x.model == mine.model ? 0 : 1); };
        if (!best || rank(s) < rank(*best))
            best = &s;
    }
    if (!best)
        return tr("none that fits on the shelf");
    return best->place == kSoak ? tr("%1, in soak").arg(QString::fromStdString(best->serial))
                                : tr("%1, shelf").arg(QString::fromStdString(best->serial));
}

// --- the round's bottles ---------------------------------------------------------------------------------------------

void BenchPresenter::loadKit()
{
    if (!m_shop.isOpen() || !m_shop.reference())
        return;
    const Records& reference = *m_shop.reference();
    RoundKit kit = rememberedKit(m_shop.person().toStdString());
    // What another book knows is no bottle here; a bottle that was discarded is none either.
    std::erase_if(kit.lots, [&](const auto& entry) {
        const auto bottles = bottlesOf(reference, entry.first, m_shop.now());
        return std::none_of(bottles.begin(), bottles.end(), [&](const Lot* l) { return l->lot == entry.second; });
    });
    for (const Lot& lot : reference.lots)
        if (!kit.lots.contains(lot.standard))
            if (const Lot* usual = usualBottle(reference, m_shop.rules(), lot.standard, m_shop.now()))
                kit.lots[lot.standard] = usual->lot;
    const auto only = [&](EquipmentKind kind, std::string& chosen) {
        std::vector<std::string> known;
        for (const Equipment& e : reference.equipment)
            if (e.kind == kind)
                known.push_back(e.equipment);
        if (std::find(known.begin(), known.end(), chosen) == known.end())
            chosen = known.size() == 1 ? known.front() : std::string();
    };
    only(EquipmentKind::Meter, kit.meter);
    only(EquipmentKind::Thermometer, kit.thermometer);
    m_kit = std::move(kit);
    if (m_model) {
        fillLots(m_model->draft());
        Q_EMIT formChanged();
    }
}

void BenchPresenter::setKit(const RoundKit& kit)
{
    m_kit = kit;
    rememberKit(m_shop.person().toStdString(), kit);
    if (!m_model)
        return;
    for (const auto& [standard, lot] : kit.lots)
        m_model->setLot(standard, lot);
    m_model->draft().meter = kit.meter;
    m_model->draft().thermometer = kit.thermometer;
    keepDraft();
    recompute();
    Q_EMIT formChanged();
}

}  // namespace halfcell::app::bench
