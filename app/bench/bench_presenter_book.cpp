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
    if (before.kind == StopKind::Approve && !m_model->typed(before).empty()) {
        enter();  // takes the initials and comes back
        return;
    }
    const auto ready = m_model->readyToLog(moment());
    if (!ready.done) {
        follow(ready, before);
        Q_EMIT announced(m_said);
        return;
    }
    recompute();
    const auto approved = m_model->askApproval(returnsOutside(m_model->draft(), m_live, m_model->hand()));
    if (!approved.done) {
        follow(approved, before);
        Q_EMIT announced(m_said);
        return;
    }
    if (m_shop.asKnown()) {
        say(tr("Nothing can be logged while an earlier date is shown. Esc returns to now."), before);
        Q_EMIT formChanged();
        return;
    }
    m_logging = true;
    const bool lostBook = m_logError && (m_logError->code == Errc::CannotWrite || m_logError->code == Errc::CannotRead);
    if (!lostBook) {
        recordNow();
        return;
    }
    // The file was moved away or failed: what lies there now must be the same book.
    m_shop.reopen(this, [this](const Result<bool>& opened) {
        if (!opened)
            logFailed(opened.error());
        else if (m_model)
            recordNow();
        else
            m_logging = false;
    });
}

Visit BenchPresenter::visitToLog() const
{
    Visit visit = visitOf(m_model->draft(), Count::Taken);
    visit.recorded = m_shop.now();
    for (Reading& r : visit.readings)
        r.recorded = visit.recorded;
    for (Grab& g : visit.grabs)
        g.recorded = visit.recorded;
    for (Check& c : visit.checks)
        c.recorded = visit.recorded;
    for (Action& a : visit.actions)
        a.recorded = visit.recorded;
    return visit;
}

void BenchPresenter::recordNow()
{
    const VisitDraft draft = m_model->draft();
    m_shop.recordVisit(visitToLog(), this, [this, draft](const Result<db::StoredVisit>& stored) {
        if (!stored) {
            if (m_model && m_model->draft().id == draft.id)
                logFailed(stored.error());
            else
                m_logging = false;
            return;
        }
        m_logging = false;
        if (m_logError) {
            std::error_code ec;
            std::filesystem::remove(spareFile(draft.id), ec);
            m_logError.reset();
            setNotLogged({});
        }
        logged(stored->visit.visit, draft);
    });
}

// --- when the book can't take it -------------------------------------------------------------------------------------

void BenchPresenter::logFailed(const Error& error)
{
    m_logging = false;
    m_logError = error;
    if (!m_model)
        return;
    say(userText(error), m_model->stop());
    setNotLogged(tr("%1 Nothing is lost: the visit stays on the form and is kept as a draft.").arg(userText(error)));
    Q_EMIT formChanged();
    Q_EMIT announced(m_notLogged);
    keepSpare();
}

std::filesystem::path BenchPresenter::spareFile(const std::string& id) const
{
    return m_spareFolder / ("visit-" + id + ".json");
}

void BenchPresenter::keepSpare()
{
    const std::filesystem::path file = spareFile(m_model->draft().id);
    m_shop.saveVisit(visitToLog(), file, this, [this, file, id = m_model->draft().id, said = m_notLogged](const Result<bool>& saved) {
        if (!saved || !m_model || m_model->draft().id != id || m_notLogged != said)
            return;
        setNotLogged(tr("%1 A spare copy is in %2.").arg(said, QString::fromStdString(file.string())));
    });
}

void BenchPresenter::setNotLogged(const QString& text)
{
    if (m_notLogged == text)
        return;
    m_notLogged = text;
    Q_EMIT notLoggedChanged();
}

void BenchPresenter::askElsewhere()
{
    if (!m_model || m_notLogged.isEmpty())
        return;
    const VisitDraft& draft = m_model->draft();
    Q_EMIT elsewhereAsked(QStringLiteral("visit-%1.json").arg(QString::fromStdString(draft.serial)));
}

void BenchPresenter::saveElsewhere(const std::filesystem::path& file)
{
    if (!m_model)
        return;
    m_shop.saveVisit(visitToLog(), file, this, [this, file, id = m_model->draft().id](const Result<bool>& saved) {
        if (!m_model || m_model->draft().id != id)
            return;
        const QString name = QString::fromStdString(file.string());
        setNotLogged(
            saved ? tr("The visit is saved in %1; halfcell-cli log --visit takes it in. It also stays here until it is logged.").arg(name)
                  : tr("%1 The visit is still on the form.").arg(userText(saved.error())));
        Q_EMIT announced(m_notLogged);
    });
}

}  // namespace halfcell::app::bench
