#include "app/bench/bench_model.h"

#include "app/bench/say.h"

#include <algorithm>
#include <utility>

/// What is odd about the readings, and the keys that answer it.
namespace halfcell::app::bench {

using namespace core;

namespace {

QString keysOf(Question::Kind kind)
{
    using enum Question::Kind;
    switch (kind) {
    case WrongSign: return Say::tr("F7 turns the sign · Enter reads again · K keeps it.");
    case Swapped: return Say::tr("F8 swaps them · Enter reads again · K keeps them.");
    case MistakenStandard: return Say::tr("F2 changes the standard · Enter reads again · K keeps it.");
    default: return Say::tr("Enter reads again · K keeps it.");
    }
}

}  // namespace

std::string kindName(Question::Kind kind)
{
    using enum Question::Kind;
    switch (kind) {
    case WrongSign: return "wrong_sign";
    case Swapped: return "swapped";
    case Repeated: return "repeated";
    case MistakenStandard: return "mistaken_standard";
    case Impossible: return "impossible";
    case MissingTemperature: return "missing_temperature";
    case TooSoon: return "too_soon";
    case Alike: return "alike";
    case DigitLost: return "digit_lost";
    case TooGood: return "too_good";
    case Copied: return "copied";
    }
    return {};
}

bool waitsForAnswer(Question::Kind kind)
{
    return kind != Question::Kind::MissingTemperature && kind != Question::Kind::Copied;
}

std::vector<std::pair<char, QString>> keepReasons()
{
    return {{'R', Say::tr("Read twice, the same")},
            {'M', Say::tr("second Meter says the same")},
            {'T', Say::tr("no Time to wait")},
            {'S', Say::tr("on the Sheet so")},
            {'O', Say::tr("Other, see remark")}};
}

std::vector<Asked> BenchModel::openQuestions() const
{
    std::vector<ReadingPlace> places;
    const Visit visit = visitOf(m_draft, Count::Taken, &places);
    const auto questions = questionsAbout(visit, m_hand->kind(), m_hand->fill(), stateToCompareWith(m_hand->past), *m_hand->standards,
                                          *m_hand->rules, m_hand->limits);
    std::vector<Asked> open;
    for (const Question& q : questions) {
        if (!q.reading || *q.reading >= places.size())
            continue;
        const ReadingPlace place = places[*q.reading];
        const auto& kept = m_draft.phase(place.phase).dips[place.dip].kept;
        if (std::any_of(kept.begin(), kept.end(), [&](const KeptOddity& k) { return k.kind == kindName(q.kind); }))
            continue;
        open.push_back({q, place, q.other && *q.other < places.size() ? std::optional(places[*q.other]) : std::nullopt, false});
    }
    return open;
}

Outcome BenchModel::settleQuestions(const Moment& moment, const Stop& from)
{
    for (Asked& open : openQuestions()) {
        if (!waitsForAnswer(open.question.kind) || open.place.phase != from.phase)
            continue;
        if (!m_resume)
            m_resume = after(from);
        m_asked = std::move(open);
        m_stop = {StopKind::Mv, m_asked->place.phase, m_asked->place.dip};
        m_askedText = dip(m_stop).mv.text;
        return {true, QString::fromStdString(m_asked->question.text) + u' ' + keysOf(m_asked->question.kind), true};
    }
    m_asked.reset();
    return leaveDip(moment, from);
}

Outcome BenchModel::leaveDip(const Moment& moment, const Stop& from)
{
    Stop next = after(from);
    // Back from a question: past what was answered before it came up.
    if (m_resume)
        while (!(next == *m_resume) && isDipStop(next) && next.phase == from.phase && answered(next))
            next = after(next);
    if (!isDipStop(next) || next.phase != from.phase || (m_resume && next == *m_resume))
        m_resume.reset();
    arrive(next, moment);
    return {true, {}, true};
}

Outcome BenchModel::resolve(const Moment& moment)
{
    m_asked.reset();
    return settleQuestions(moment, m_stop);
}

Outcome BenchModel::turnSign(const Moment& moment)
{
    if (m_stop.kind != StopKind::Mv || m_box)
        return {false, {}, false};
    Entry& e = dip(m_stop).mv;
    if (e.empty())
        return {false, {}, false};
    if (e.text.front() == '-')
        e.text.erase(0, 1);
    else if (e.text.front() == '+')
        e.text.front() = '-';
    else
        e.text.insert(0, "-");
    if (m_asked)
        return resolve(moment);
    return {true, {}, e.taken};
}

Outcome BenchModel::exchange(const Moment& moment)
{
    if (!m_asked || !m_asked->other || m_box)
        return {false, {}, false};
    Dip& a = m_draft.phase(m_asked->place.phase).dips[m_asked->place.dip];
    Dip& b = m_draft.phase(m_asked->other->phase).dips[m_asked->other->dip];
    // The beakers changed places: what was read goes to the other standard, with its seconds.
    std::swap(a.mv, b.mv);
    std::swap(a.wait, b.wait);
    std::swap(a.clocked, b.clocked);
    std::swap(a.t90_s, b.t90_s);
    std::swap(a.settled, b.settled);
    std::swap(a.settle, b.settle);
    std::swap(a.when, b.when);
    return resolve(moment);
}

Outcome BenchModel::keepAsked(char key, const Moment& moment)
{
    if (!m_asked->wantsReason) {
        if (key != 'K')
            return {false, {}, false};
        m_asked->wantsReason = true;
        QString list;
        for (const auto& [letter, words] : keepReasons())
            list += (list.isEmpty() ? QString() : QStringLiteral(" · ")) + words;
        return {true, Say::tr("Why is it kept?") + u' ' + list, false};
    }
    for (const auto& [letter, words] : keepReasons())
        if (letter == key) {
            dip({StopKind::Mv, m_asked->place.phase, m_asked->place.dip})
                .kept.push_back({kindName(m_asked->question.kind), words.toLower().toStdString()});
            return resolve(moment);
        }
    return {false, {}, false};
}

}  // namespace halfcell::app::bench
