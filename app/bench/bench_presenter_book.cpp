#include "app/bench/bench_presenter.h"

#include "app/bench/number_entry.h"
#include "app/bench/say.h"

#include <algorithm>

/// What the form writes into the book: holds when stamped, the draft at every Enter, the visit at the end.
namespace halfcell::app::bench {

using namespace core;

void BenchPresenter::writeHolds()
{
    const VisitDraft& draft = m_model->draft();
    const auto failed = [this](const Result<bool>& answer) {
        if (answer)
            return;
        say(userText(answer.error()), {StopKind::Manual});
        Q_EMIT formChanged();
    };
    const bool real = draft.hold == HoldAnswer::Stamped || draft.hold == HoldAnswer::Typed;
    if (real && draft.manualFrom && !m_holdWritten) {
        m_holdWritten = draft.manualFrom;
        Hold hold;
        hold.point = draft.tag;
        hold.from = *draft.manualFrom;
        hold.person = draft.person.empty() ? Text() : Text(draft.person);
        hold.recorded = m_shop.now();
        m_shop.openHold(std::move(hold), this, failed);
    }
    if (m_holdWritten && draft.autoAt && !m_holdClosed) {
        m_holdClosed = draft.autoAt;
        Hold hold;
        hold.point = draft.tag;
        hold.from = *m_holdWritten;
        m_shop.closeHold(std::move(hold), *draft.autoAt, HoldClosed::Auto, this, failed);
    }
}

void BenchPresenter::closeHold(HoldClosed how)
{
    if (!m_model || !m_holdWritten || m_holdClosed)
        return;
    Hold hold;
    hold.point = m_model->draft().tag;
    hold.from = *m_holdWritten;
    m_holdClosed = m_shop.now();
    if (how == HoldClosed::Auto) {
        m_model->draft().autoAt = m_holdClosed;
        m_model->draft().autoTyped = shownMoment(*m_holdClosed, *m_holdClosed).toStdString();
    }
    m_shop.closeHold(std::move(hold), *m_holdClosed, how, this, [](const Result<bool>&) {});
    keepDraft();
    Q_EMIT formChanged();
}

std::shared_ptr<const BenchModel> BenchPresenter::snapshot() const
{
    return m_model ? std::make_shared<const BenchModel>(*m_model) : nullptr;
}

void BenchPresenter::restore(const std::shared_ptr<const BenchModel>& snapshot)
{
    if (!m_model || !snapshot || snapshot->draft().id != m_model->draft().id)
        return;
    const bool changed = !(snapshot->draft() == m_model->draft());
    *m_model = *snapshot;
    m_said.clear();
    if (changed)
        keepDraft();
    recompute();
    Q_EMIT formChanged();
    Q_EMIT stopChanged();
}

void BenchPresenter::keepDraft()
{
    const VisitDraft& draft = m_model->draft();
    db::Draft row;
    row.id = draft.id;
    row.serial = draft.serial;
    row.tag = draft.tag;
    row.person = draft.helper.empty() ? draft.person : draft.helper;
    row.kept = m_shop.now();
    row.fields = draft.filledFields();
    row.content = toJson(draft);
    m_shop.keepDraft(std::move(row), this, [this, id = draft.id, kept = m_shop.now()](const Result<bool>& answer) {
        if (!m_model || m_model->draft().id != id)
            return;
        if (answer) {
            m_draftKept = kept;
        } else {
            say(userText(answer.error()), m_model->stop());
            Q_EMIT formChanged();
        }
        Q_EMIT shopLineChanged();
    });
}

void BenchPresenter::log()
{
    if (!m_model || m_logging)
        return;
    const Stop before = m_model->stop();
    const auto ready = m_model->readyToLog(moment());
    if (!ready.done) {
        follow(ready, before);
        Q_EMIT announced(m_said);
        return;
    }
    if (m_shop.asKnown()) {
        say(tr("Nothing can be logged while an earlier date is shown. Esc returns to now."), before);
        Q_EMIT formChanged();
        return;
    }
    m_logging = true;
    const VisitDraft draft = m_model->draft();
    Visit visit = visitOf(draft, Count::Taken);
    visit.recorded = m_shop.now();
    for (Reading& r : visit.readings)
        r.recorded = visit.recorded;
    for (Grab& g : visit.grabs)
        g.recorded = visit.recorded;
    for (Check& c : visit.checks)
        c.recorded = visit.recorded;
    for (Action& a : visit.actions)
        a.recorded = visit.recorded;
    m_shop.recordVisit(std::move(visit), this, [this, draft](const Result<db::StoredVisit>& stored) {
        m_logging = false;
        if (!stored) {
            if (m_model && m_model->draft().id == draft.id) {
                say(userText(stored.error()), m_model->stop());
                Q_EMIT formChanged();
                Q_EMIT announced(m_said);
            }
            return;
        }
        logged(stored->visit.visit, draft);
    });
}

}  // namespace halfcell::app::bench
