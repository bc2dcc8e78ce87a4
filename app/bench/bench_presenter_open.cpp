#include "app/bench/bench_presenter.h"

#include "app/bench/number_entry.h"
#include "app/bench/say.h"
#include "app/style/figures.h"

#include <algorithm>

/// Finding the sensor in hand, drafts, and what follows a logged visit.
namespace halfcell::app::bench {

using namespace core;

namespace {

bool sameCode(const std::string& a, const std::string& b)
{
    return a.size() == b.size() &&
           std::equal(a.begin(), a.end(), b.begin(), [](unsigned char x, unsigned char y) { return std::toupper(x) == std::toupper(y); });
}

}  // namespace

// --- codes -----------------------------------------------------------------------------------------------------------

void BenchPresenter::scan(const QString& code)
{
    const std::string text = code.trimmed().toStdString();
    if (text.empty() || !m_shop.isOpen())
        return;
    const Records& reference = *m_shop.reference();
    const auto lot = std::find_if(reference.lots.begin(), reference.lots.end(), [&](const Lot& l) { return sameCode(l.lot, text); });
    if (lot != reference.lots.end()) {
        RoundKit kit = m_kit;
        kit.lots[lot->standard] = lot->lot;
        setKit(kit);
        const QString words = QString::fromStdString(StandardsBook::shipped().words(lot->standard));
        say(tr("%1 is the bottle of %2 from the next dip on.").arg(QString::fromStdString(lot->lot), words),
            m_model ? m_model->stop() : Stop{});
        if (m_model)
            Q_EMIT formChanged();
        Q_EMIT startChanged();
        Q_EMIT announced(m_said);
        return;
    }
    const auto sensor =
        std::find_if(reference.sensors.begin(), reference.sensors.end(), [&](const Sensor& s) { return sameCode(s.serial, text); });
    const auto point =
        std::find_if(reference.points.begin(), reference.points.end(), [&](const Point& p) { return sameCode(p.tag, text); });
    if (m_model) {
        VisitDraft& draft = m_model->draft();
        if (sensor != reference.sensors.end() && sensor->serial == draft.serial) {
            draft.serialSeen = SerialSeen::Scanned;
            const Stop before = m_model->stop();
            if (before.kind == StopKind::Serial)
                m_model->goTo(m_model->after(before));
            follow({true, tr("%1: the sensor of this visit.").arg(QString::fromStdString(draft.serial)), true}, before);
            return;
        }
        if (point != reference.points.end() && point->tag == draft.tag) {
            follow({true, tr("%1: the point of this visit.").arg(QString::fromStdString(draft.tag)), false}, m_model->stop());
            return;
        }
        if (sensor != reference.sensors.end() && !draft.tag.empty() && !draft.found.hasReading() &&
            draft.serialSeen != SerialSeen::Scanned) {
            askWhichSensor(sensor->serial);
            return;
        }
        if (sensor != reference.sensors.end() || point != reference.points.end()) {
            m_otherScan = code.trimmed();
            say(tr("This visit is to %1. 1 go on · 2 park it and open %2").arg(QString::fromStdString(draft.serial), m_otherScan),
                m_model->stop());
            Q_EMIT formChanged();
            Q_EMIT announced(m_said);
            return;
        }
    }
    if (sensor != reference.sensors.end()) {
        openVisit(sensor->serial, SerialSeen::Scanned);
        return;
    }
    if (point != reference.points.end()) {
        std::vector<const db::LatestState*> here;
        for (const db::LatestState& state : *m_shop.latest())
            if (state.place == point->tag)
                here.push_back(&state);
        if (here.size() == 1) {
            openVisit(here.front()->serial, SerialSeen::No);
            return;
        }
        if (here.empty())
            say(tr("%1 has no sensor in place. Scan the sensor itself.").arg(QString::fromStdString(point->tag)), {});
        else
            say(tr("%1 and %2 both say they are at %3. Scan the one that is in hand.")
                    .arg(QString::fromStdString(here[0]->serial), QString::fromStdString(here[1]->serial),
                         QString::fromStdString(point->tag)),
                {});
    } else {
        say(tr("%1 is not in this book. Add it as a new sensor, or as a lot (Register, Ctrl+N).").arg(code.trimmed()), {});
    }
    if (m_model)
        Q_EMIT formChanged();
    Q_EMIT startChanged();
    Q_EMIT announced(m_said);
}

// --- opening ---------------------------------------------------------------------------------------------------------

void BenchPresenter::openDossier(const std::string& serial, std::function<void(std::shared_ptr<const SensorInHand>)> then)
{
    const quint64 opening = ++m_opening;
    m_shop.loadDossier(serial, this, [this, opening, then = std::move(then)](const Result<std::shared_ptr<const Dossier>>& dossier) {
        if (opening != m_opening)
            return;
        if (!dossier) {
            say(userText(dossier.error()), {});
            Q_EMIT startChanged();
            Q_EMIT announced(m_said);
            return;
        }
        then(sensorInHand(*dossier));
    });
}

void BenchPresenter::fillLots(VisitDraft& draft) const
{
    for (PhaseForm* form : {&draft.found, &draft.clean, &draft.left})
        for (Dip& dip : form->dips)
            if (dip.lot.empty() && !dip.mv.taken)
                dip.lot = m_kit.lotOf(dip.standard);
    draft.meter = m_kit.meter;
    draft.thermometer = m_kit.thermometer;
}

bool BenchPresenter::refusedInPast()
{
    if (!m_shop.asKnown())
        return false;
    say(tr("Nothing can be logged while an earlier date is shown. Esc returns to now."), m_model ? m_model->stop() : Stop{});
    if (m_model)
        Q_EMIT formChanged();
    Q_EMIT startChanged();
    Q_EMIT announced(m_said);
    return true;
}

void BenchPresenter::openVisit(const std::string& serial, SerialSeen seen)
{
    if (refusedInPast())
        return;
    openDossier(serial, [this, seen](std::shared_ptr<const SensorInHand> hand) {
        VisitDraft draft = BenchModel::freshDraft(*hand, newVisitKey(), m_shop.now(), m_shop.person().toStdString());
        draft.serialSeen = seen;
        for (const JobLine& job : m_jobs)
            if (job.serial == draft.serial || (!draft.tag.empty() && job.tag == draft.tag)) {
                draft.round = formatIsoWeek(isoWeekOf(dayNumber(m_shop.now())));
                draft.sheet = job.line;
                break;
            }
        // A loop that is in manual already stays so: nobody is asked twice.
        for (const Hold& hold : m_shop.openHolds())
            if (!draft.tag.empty() && hold.point == draft.tag) {
                draft.hold = HoldAnswer::Stamped;
                draft.manualFrom = hold.from;
                draft.manualTyped = shownMoment(hold.from, m_shop.now()).toStdString();
            }
        fillLots(draft);
        start(std::move(draft), std::move(hand));
    });
}

void BenchPresenter::start(VisitDraft draft, std::shared_ptr<const SensorInHand> hand)
{
    m_holdWritten.reset();
    m_holdClosed.reset();
    m_draftKept.reset();
    m_otherScan.clear();
    m_other.reset();
    m_refusedSerial.clear();
    m_said.clear();
    m_logError.reset();
    setNotLogged({});
    if (draft.hold == HoldAnswer::Stamped || draft.hold == HoldAnswer::Typed) {
        m_holdWritten = draft.manualFrom;
        m_holdClosed = draft.autoAt;
        // Closed meanwhile by somebody else: then it is closed.
        const auto open = m_shop.openHolds();
        const bool stillOpen = std::any_of(open.begin(), open.end(), [&](const Hold& h) {
            return h.point == draft.tag && draft.manualFrom && h.from == *draft.manualFrom;
        });
        if (!stillOpen && !m_holdClosed)
            m_holdClosed = m_shop.now();
    }
    m_model = std::make_unique<BenchModel>(std::move(draft), std::move(hand));
    m_model->begin(moment());
    m_live = liveFigures(m_model->draft(), m_model->hand());
    m_findings.start();
    Q_EMIT pageChanged();
    Q_EMIT formChanged();
    Q_EMIT stopChanged();
    Q_EMIT liveChanged();
    Q_EMIT shopLineChanged();
}

// --- drafts ----------------------------------------------------------------------------------------------------------

std::vector<DraftLine> BenchPresenter::drafts() const
{
    std::vector<DraftLine> lines;
    for (const db::Draft& d : m_shop.drafts()) {
        if (m_model && m_model->draft().id == d.id)
            continue;
        const QString place = QString::fromStdString(d.tag.empty() ? d.serial : d.tag);
        const QString when = shownMoment(d.kept, m_shop.now());
        const QString who = d.person.empty() ? tr("nobody named") : QString::fromStdString(d.person);
        lines.push_back({d.id,
                         d.setAside
                             ? tr("Set aside: visit to %1, kept at %2 (%3, %n fields).", nullptr, d.fields).arg(place, when, who)
                             : tr("An unfinished visit to %1 was kept at %2 (%3, %n fields).", nullptr, d.fields).arg(place, when, who),
                         d.setAside});
    }
    std::stable_sort(lines.begin(), lines.end(), [](const DraftLine& a, const DraftLine& b) { return !a.setAside && b.setAside; });
    return lines;
}

void BenchPresenter::resume(const std::string& draftId)
{
    const auto& all = m_shop.drafts();
    const auto row = std::find_if(all.begin(), all.end(), [&](const db::Draft& d) { return d.id == draftId; });
    if (row == all.end() || refusedInPast())
        return;
    auto draft = draftFromJson(row->content);
    if (!draft) {
        say(userText(draft.error()), {});
        Q_EMIT startChanged();
        Q_EMIT announced(m_said);
        return;
    }
    const std::string person = m_shop.person().toStdString();
    if (!person.empty() && person != draft->person)
        draft->helper = person;
    const std::string serial = draft->serial;
    openDossier(serial, [this, kept = row->kept, d = std::move(*draft)](std::shared_ptr<const SensorInHand> hand) mutable {
        start(std::move(d), std::move(hand));
        m_draftKept = kept;
        Q_EMIT shopLineChanged();
    });
}

void BenchPresenter::setAside(const std::string& draftId)
{
    const auto& all = m_shop.drafts();
    const auto row = std::find_if(all.begin(), all.end(), [&](const db::Draft& d) { return d.id == draftId; });
    if (row == all.end())
        return;
    db::Draft draft = *row;
    draft.setAside = true;
    m_shop.keepDraft(std::move(draft), this, [this](const Result<bool>&) { Q_EMIT startChanged(); });
}

void BenchPresenter::park()
{
    if (!m_model)
        return;
    if (m_model->draft().filledFields() > 0)
        keepDraft();
    m_model.reset();
    m_other.reset();
    m_said.clear();
    Q_EMIT pageChanged();
    Q_EMIT startChanged();
    Q_EMIT shopLineChanged();
}

// --- after a visit ---------------------------------------------------------------------------------------------------

void BenchPresenter::logged(const std::string& id, const VisitDraft& draft)
{
    m_shop.dropDraft(draft.id, this, [](const Result<bool>&) {});
    const bool current = m_model && m_model->draft().id == draft.id;
    if (current)
        m_model.reset();
    m_said.clear();
    Q_EMIT visitLogged(QString::fromStdString(id));

    const auto gone = std::find_if(draft.steps.begin(), draft.steps.end(),
                                   [](const Step& s) { return s.action == ActionKey::Replace || s.action == ActionKey::Scrap; });
    if (gone != draft.steps.end()) {
        const auto failed = [this](const Result<bool>& answer) {
            if (!answer) {
                say(userText(answer.error()), {});
                Q_EMIT startChanged();
                Q_EMIT announced(m_said);
            }
        };
        const bool scrapped = gone->action == ActionKey::Scrap;
        const auto when = gone->when;
        m_shop.moveSensor(draft.serial, std::string(scrapped ? kScrap : kQuarantine), when, gone->reason, this, failed);
        if (!scrapped) {
            m_shop.moveSensor(gone->newSerial, draft.tag.empty() ? std::string(kBench) : draft.tag, when, std::nullopt, this,
                              [this, serial = gone->newSerial, failed](const Result<bool>& answer) {
                                  failed(answer);
                                  if (answer)
                                      openVisit(serial, SerialSeen::Scanned);
                              });
            Q_EMIT pageChanged();
            return;
        }
    }
    if (current && draft.sheet > 0 && !draft.fromSheet()) {
        openNextLine(draft.sheet);
        return;
    }
    Q_EMIT pageChanged();
    Q_EMIT startChanged();
    Q_EMIT shopLineChanged();
}

void BenchPresenter::openNextLine(int after)
{
    const QString me = m_shop.person();
    const auto next = std::find_if(m_jobs.begin(), m_jobs.end(),
                                   [&](const JobLine& j) { return j.line == after + 1 && (me.isEmpty() || j.people.contains(me)); });
    Q_EMIT pageChanged();
    Q_EMIT startChanged();
    Q_EMIT shopLineChanged();
    if (next != m_jobs.end())
        openVisit(next->serial, SerialSeen::No);
}

QString BenchPresenter::shopLine() const
{
    if (!m_model)
        return tr("No visit is open. Scan a sensor, or Enter opens the next line of today's work.");
    const VisitDraft& d = m_model->draft();
    const SensorInHand& hand = m_model->hand();
    QString line;
    if (hand.point) {
        const QString where = QString::fromStdString(hand.point->description.value_or(hand.point->area.value_or(std::string())));
        line = where.isEmpty() ? tr("Visit to %1 at %2.").arg(QString::fromStdString(d.serial), QString::fromStdString(d.tag))
                               : tr("Visit to %1 at %2, %3.").arg(QString::fromStdString(d.serial), QString::fromStdString(d.tag), where);
    } else {
        line = tr("Visit to %1, not in a loop.").arg(QString::fromStdString(d.serial));
    }
    line += QStringLiteral("   ") + tr("Reason: %1.").arg(spelled(wordsOf(d.reason)));
    if (d.sheet > 0)
        line += QStringLiteral("   ") + tr("Round %1, line %2.").arg(QString::fromStdString(d.round)).arg(d.sheet);
    if (m_draftKept)
        line += QStringLiteral("   ") + tr("Draft kept %1.").arg(QString::fromStdString(formatInstant(*m_draftKept).substr(11, 8)));
    return line;
}

}  // namespace halfcell::app::bench
