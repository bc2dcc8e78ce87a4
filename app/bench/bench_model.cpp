#include "app/bench/bench_model.h"

#include "app/bench/say.h"

#include <algorithm>
#include <utility>

/// Where things are on the form, and what is asked. The keys are in bench_model_keys.cpp, the steps in bench_model_did.cpp.
namespace halfcell::app::bench {

using namespace core;

BenchModel::BenchModel(VisitDraft draft, std::shared_ptr<const SensorInHand> hand) : m_draft(std::move(draft)), m_hand(std::move(hand))
{
    // A draft goes on at the first field that nobody answered.
    const auto open = stops();
    const auto first = std::find_if_not(open.begin(), open.end(), [this](const Stop& s) { return answered(s); });
    m_stop = first != open.end() ? *first : open.back();
}

bool BenchModel::answered(const Stop& stop) const
{
    switch (stop.kind) {
    case StopKind::Serial: return m_draft.serialSeen != SerialSeen::No;
    case StopKind::Manual: return m_draft.hold != HoldAnswer::None;
    case StopKind::Coating: return m_draft.coatingAnswered;
    case StopKind::Look: return m_draft.look.has_value();
    case StopKind::Did: return m_draft.didEnded;
    case StopKind::Left: return m_draft.leftAnswer != LeftAnswer::Open;
    case StopKind::Auto: return m_draft.autoAt.has_value();
    case StopKind::Shown: return true;
    case StopKind::Remark:
    case StopKind::Approve:
    case StopKind::Log: return false;
    case StopKind::Temp:
        if (stop.dip > 0)
            return true;
        break;
    case StopKind::Wait:
        if (dip(stop).clocked)
            return true;
        break;
    default: break;
    }
    const Entry* e = entry(stop);
    return e->taken || e->notDone;
}

VisitDraft BenchModel::freshDraft(const SensorInHand& hand, std::string id, const Instant& now, const std::string& person)
{
    VisitDraft draft;
    draft.id = std::move(id);
    draft.serial = hand.sensor().serial;
    draft.tag = hand.point ? hand.point->tag : std::string();
    draft.kind = hand.kind();
    draft.person = person;
    draft.begun = now;
    if (hand.past.empty())
        draft.reason = VisitReason::New;
    for (const std::string& standard : hand.usualStandards())
        draft.found.dips.push_back({.standard = standard});
    return draft;
}

// --- where -----------------------------------------------------------------------------------------------------------

void BenchModel::addDipStops(std::vector<Stop>& list, Phase phase) const
{
    const PhaseForm& form = m_draft.phase(phase);
    for (std::size_t i = 0; i < form.dips.size(); ++i) {
        list.push_back({StopKind::Mv, phase, i});
        list.push_back({StopKind::Temp, phase, i});
        list.push_back({StopKind::Wait, phase, i});
        if (phase == Phase::AsLeft && m_draft.kind == SensorKind::Ph)
            list.push_back({StopKind::Shown, phase, i});
    }
}

std::vector<Stop> BenchModel::stops() const
{
    std::vector<Stop> list;
    if (m_draft.serialSeen == SerialSeen::No || !m_draft.serialTyped.empty())
        list.push_back({StopKind::Serial});
    if (!m_draft.tag.empty()) {
        list.push_back({StopKind::Manual});
        list.push_back({StopKind::Loop});
        list.push_back({StopKind::Grab});
        list.push_back({StopKind::GrabTemp});
        if (m_draft.kind == SensorKind::Orp)
            list.push_back({StopKind::WaterPh});
    }
    list.push_back({StopKind::Coating});
    if (m_draft.coating.value_or(0) > 0)
        list.push_back({StopKind::Look});
    if (m_draft.whyNoneFound.empty())
        addDipStops(list, Phase::AsFound);
    list.push_back({StopKind::Did});
    if (m_draft.cleaned() && m_draft.didEnded && !m_draft.clean.passed)
        addDipStops(list, Phase::AfterClean);
    list.push_back({StopKind::Left});
    if (m_draft.leftAnswer == LeftAnswer::Adjusted)
        addDipStops(list, Phase::AsLeft);
    if (!m_draft.tag.empty() && m_draft.hold != HoldAnswer::NoLoop)
        list.push_back({StopKind::Auto});
    list.push_back({StopKind::Remark});
    if (m_draft.asksApproval)
        list.push_back({StopKind::Approve});
    list.push_back({StopKind::Log});
    return list;
}

bool BenchModel::isOpen(const Stop& stop) const
{
    const auto open = stops();
    return std::find(open.begin(), open.end(), stop) != open.end();
}

Stop BenchModel::after(const Stop& stop) const
{
    const auto open = stops();
    auto it = std::find(open.begin(), open.end(), stop);
    if (it == open.end())
        return open.back();
    const bool passedPhase = stop.kind == StopKind::Mv && m_draft.phase(stop.phase).passed;
    for (++it; it != open.end(); ++it) {
        if (it->kind == StopKind::Shown || (passedPhase && isDipStop(*it) && it->phase == stop.phase))
            continue;
        if (isDipStop(*it) && it->kind != StopKind::Mv) {
            const Dip& d = dip(*it);
            // Without a reading there is nothing to ask about it.
            if (!d.mv.taken || !d.mv.value())
                continue;
            if (it->kind == StopKind::Temp && it->dip > 0)
                continue;
            if (it->kind == StopKind::Wait && d.clocked)
                continue;
        }
        return *it;
    }
    return open.back();
}

Stop BenchModel::before(const Stop& stop) const
{
    const auto open = stops();
    const auto it = std::find(open.begin(), open.end(), stop);
    return it == open.end() || it == open.begin() ? open.front() : *std::prev(it);
}

void BenchModel::goTo(const Stop& stop)
{
    if (!isOpen(stop))
        return;
    m_twice.reset();
    if (!(stop == m_stop)) {
        m_asked.reset();
        m_asksWhyNone = false;
    }
    m_stop = stop;
}

void BenchModel::up()
{
    if (m_stop.kind == StopKind::Mv && m_stop.dip > 0)
        goTo({StopKind::Temp, m_stop.phase, m_stop.dip});
    else if (isDipStop(m_stop) && m_stop.dip > 0)
        goTo({m_stop.kind, m_stop.phase, m_stop.dip - 1});
    else
        goTo(before(m_stop));
}

void BenchModel::begin(const Moment&)
{
    if (m_draft.tag.empty() || m_draft.hold != HoldAnswer::None)
        return;
    Box box{Box::About::Withdrawal, {}, {}, false};
    for (const Caution& caution : m_hand->rules->cautionsForWithdrawal(m_hand->point)) {
        // The loop's own question is asked by the field "In manual" itself.
        const bool asked = std::any_of(m_draft.answers.begin(), m_draft.answers.end(),
                                       [&](const CautionAnswer& a) { return a.caution == caution.key && a.about == "withdraw"; });
        if (!caution.question.empty() && caution.key != "loop_in_manual" && !asked)
            box.cautions.push_back(caution);
    }
    if (!box.cautions.empty())
        m_box = std::move(box);
}

void BenchModel::arrive(const Stop& stop, const Moment& moment)
{
    const bool newPhase = stop.kind == StopKind::Mv && stop.dip == 0 && !(isDipStop(m_stop) && m_stop.phase == stop.phase);
    m_stop = stop;
    if (stop.kind != StopKind::Mv)
        return;
    if (newPhase && !m_draft.fromSheet() && dip(stop).mv.empty())
        m_clock.startAt(moment.clock + SettleClock::kRinseSeconds);
    Box box{Box::About::Standard, {}, stop, m_draft.fromSheet()};
    const std::string about = std::string(keyOf(stop.phase)) + "/" + std::to_string(stop.dip + 1);
    for (const Caution& caution : m_hand->rules->cautionsForStandard(dip(stop).standard, soFar())) {
        const bool asked = std::any_of(m_draft.answers.begin(), m_draft.answers.end(),
                                       [&](const CautionAnswer& a) { return a.caution == caution.key && a.about == about; });
        if (!caution.question.empty() && !asked)
            box.cautions.push_back(caution);
    }
    if (!box.cautions.empty())
        m_box = std::move(box);
}

// --- fields ----------------------------------------------------------------------------------------------------------

const Entry* BenchModel::entry(const Stop& stop) const
{
    switch (stop.kind) {
    case StopKind::Loop: return &m_draft.loop;
    case StopKind::Grab: return &m_draft.grab;
    case StopKind::GrabTemp: return &m_draft.grabTemp;
    case StopKind::WaterPh: return &m_draft.waterPh;
    default: break;
    }
    if (!isDipStop(stop) || stop.dip >= m_draft.phase(stop.phase).dips.size())
        return nullptr;
    const Dip& d = dip(stop);
    switch (stop.kind) {
    case StopKind::Mv: return &d.mv;
    case StopKind::Temp: return &d.temp;
    case StopKind::Wait: return &d.wait;
    default: return &d.shown;
    }
}

Entry* BenchModel::entry(const Stop& stop)
{
    return const_cast<Entry*>(std::as_const(*this).entry(stop));
}

void BenchModel::type(const Stop& stop, const std::string& text)
{
    if (Entry* e = entry(stop)) {
        if (e->text == text)
            return;
        e->text = text;
        e->taken = false;
        e->notDone = false;
        if (stop.kind == StopKind::Wait)
            dip(stop).clocked = false;
        return;
    }
    switch (stop.kind) {
    case StopKind::Serial: m_draft.serialTyped = text; break;
    case StopKind::Manual:
    case StopKind::Auto:
        m_twice.reset();
        (stop.kind == StopKind::Manual ? m_draft.manualTyped : m_draft.autoTyped) = text;
        break;
    case StopKind::Remark: m_draft.remark = text; break;
    case StopKind::Approve: m_draft.approvalTyped = text; break;
    default: break;
    }
}

std::string BenchModel::typed(const Stop& stop) const
{
    if (const Entry* e = entry(stop))
        return e->text;
    switch (stop.kind) {
    case StopKind::Serial: return m_draft.serialTyped;
    case StopKind::Manual: return m_draft.manualTyped;
    case StopKind::Auto: return m_draft.autoTyped;
    case StopKind::Remark: return m_draft.remark;
    case StopKind::Approve: return m_draft.approvalTyped;
    default: return {};
    }
}

void BenchModel::syncDips(Phase phase)
{
    PhaseForm& form = m_draft.phase(phase);
    if (!form.dips.empty())
        return;
    const PhaseForm& from = phase == Phase::AsLeft && !m_draft.clean.dips.empty() ? m_draft.clean : m_draft.found;
    for (const Dip& d : from.dips)
        form.dips.push_back({.standard = d.standard, .lot = d.lot});
}

// --- standards -------------------------------------------------------------------------------------------------------

Outcome BenchModel::setStandard(Phase phase, std::size_t index, const std::string& standard, const std::string& lot, const Moment& moment)
{
    PhaseForm& form = m_draft.phase(phase);
    if (index >= form.dips.size())
        return {false, {}, false};
    form.dips[index].standard = standard;
    form.dips[index].lot = lot;
    if (m_stop == Stop{StopKind::Mv, phase, index})
        arrive(m_stop, moment);
    return {true, {}, true};
}

Outcome BenchModel::addDip(Phase phase, const std::string& standard, const std::string& lot)
{
    constexpr std::size_t kMostDips = 5;  // as many as the live line is promised to take in time
    PhaseForm& form = m_draft.phase(phase);
    if (form.dips.size() >= kMostDips)
        return {false, Say::tr("Five dips are the most in one phase."), false};
    form.dips.push_back({.standard = standard, .lot = lot});
    return {true, {}, true};
}

Outcome BenchModel::removeDip(Phase phase, std::size_t index)
{
    PhaseForm& form = m_draft.phase(phase);
    if (form.dips.size() <= 1 || index >= form.dips.size())
        return {false, Say::tr("One dip at least stays."), false};
    if (form.dips[index].mv.taken)
        return {false, Say::tr("This dip has a reading. Read it again, or keep it."), false};
    form.dips.erase(form.dips.begin() + static_cast<std::ptrdiff_t>(index));
    if (isDipStop(m_stop) && m_stop.phase == phase && m_stop.dip >= form.dips.size())
        m_stop = {StopKind::Mv, phase, form.dips.size() - 1};
    return {true, {}, true};
}

void BenchModel::setLot(const std::string& standard, const std::string& lot)
{
    for (PhaseForm* form : {&m_draft.found, &m_draft.clean, &m_draft.left})
        for (Dip& d : form->dips)
            if (d.standard == standard && !d.mv.taken)
                d.lot = lot;
}

Visit BenchModel::soFar() const
{
    Visit visit = visitOf(m_draft, Count::Taken);
    std::vector<Action> sameDay;
    for (const Visit* earlier : m_hand->history->visits)
        if (earlier->visit != visit.visit && dayNumber(earlier->when) == dayNumber(visit.when))
            sameDay.insert(sameDay.end(), earlier->actions.begin(), earlier->actions.end());
    visit.actions.insert(visit.actions.begin(), sameDay.begin(), sameDay.end());
    return visit;
}

QString whyHoldIsNeeded(const SensorInHand& hand)
{
    if (!hand.point || !hand.point->loop_class || *hand.point->loop_class == LoopClass::Indication)
        return {};
    return Say::tr("%1 would act on a false reading (%2). Manual or hold first, by the site's procedure; interlocks only under its bypass "
                   "permit. Space stamps the time.")
        .arg(QString::fromStdString(hand.point->tag), spelled(wordsOf(*hand.point->loop_class)));
}

}  // namespace halfcell::app::bench
