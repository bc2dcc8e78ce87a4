#include "app/bench/bench_model.h"

#include "app/bench/number_entry.h"
#include "app/bench/say.h"
#include "app/style/figures.h"
#include "core/calibration/settling.h"

#include <algorithm>
#include <cmath>

/// What the keys do in times and number fields.
namespace halfcell::app::bench {

using namespace core;

namespace {

struct Range {
    double low, high;
    QString words;
};

// Outside these a value is a slip of the hand, whatever the sensor: our choice, wider than any standard or pipe.
Range rangeOf(const Stop& stop, SensorKind kind)
{
    switch (stop.kind) {
    case StopKind::Loop:
    case StopKind::Grab:
        if (kind == SensorKind::Orp)
            return {-2000, 2000, Say::tr("millivolts from −2000 to +2000")};
        return {-2, 16, Say::tr("pH from −2 to 16")};
    case StopKind::WaterPh:
    case StopKind::Shown: return {-2, 16, Say::tr("pH from −2 to 16")};
    case StopKind::GrabTemp: return {-20, 150, Say::tr("degrees from −20 to 150")};
    case StopKind::Temp: return {-5, 105, Say::tr("degrees from −5 to 105")};
    case StopKind::Wait: return {0, 86400, Say::tr("seconds from 0 to 86400")};
    default: return {-2000, 2000, Say::tr("millivolts from −2000 to +2000")};
    }
}

/// "+02:00"
QString offsetWords(const Instant& moment)
{
    return QString::fromStdString(formatInstant(moment).substr(19));
}

}  // namespace

Outcome BenchModel::goOn(const Moment& moment, QString say)
{
    arrive(after(m_stop), moment);
    return {true, std::move(say), true};
}

Outcome BenchModel::enter(const Moment& moment)
{
    if (m_box || m_removal)
        return {false, {}, false};
    switch (m_stop.kind) {
    case StopKind::Serial: {
        std::string tail = m_draft.serialTyped;
        std::string serial = m_draft.serial;
        const auto upper = [](std::string& s) {
            std::transform(s.begin(), s.end(), s.begin(), [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
        };
        upper(tail);
        upper(serial);
        constexpr std::size_t kLeast = 2;
        if (tail.size() < kLeast)
            return {false, Say::tr("The last two characters of the serial on the cable; ? if it can't be read."), false};
        if (!serial.ends_with(tail))
            return {false,
                    Say::tr("The cable says %1; the book has %2 here. Type it again · Enter if it does say %1 · ? can't be read.")
                        .arg(QString::fromStdString(m_draft.serialTyped), QString::fromStdString(m_draft.serial)),
                    false};
        m_draft.serialSeen = SerialSeen::TwoCharacters;
        return goOn(moment);
    }
    case StopKind::Manual:
    case StopKind::Auto: return enterTime(moment);
    case StopKind::Coating: m_draft.coatingAnswered = true; return goOn(moment);
    case StopKind::Look: return goOn(moment);
    case StopKind::Mv: return enterMv(moment);
    case StopKind::Did: return endDid(moment);
    case StopKind::Left:
        if (m_draft.leftAnswer != LeftAnswer::Open)
            return goOn(moment);
        return {false, Say::tr("U adjusted · = nothing adjusted."), false};
    case StopKind::Remark: return goOn(moment);
    case StopKind::Approve: return enterApproval(moment);
    case StopKind::Log: return readyToLog(moment);
    default: return enterNumber(moment);
    }
}

Outcome BenchModel::back()
{
    if (m_box || m_removal)
        return {false, {}, false};
    goTo(before(m_stop));
    return {};
}

// --- times -----------------------------------------------------------------------------------------------------------

Outcome BenchModel::enterTime(const Moment& moment)
{
    const bool manual = m_stop.kind == StopKind::Manual;
    const std::string& typed = manual ? m_draft.manualTyped : m_draft.autoTyped;
    auto& at = manual ? m_draft.manualFrom : m_draft.autoAt;
    if (manual && m_draft.hold == HoldAnswer::Stamped)
        return goOn(moment);
    if (typed.empty()) {
        if (!manual) {
            at.reset();
            return goOn(moment, Say::tr("%1 stays in manual until somebody closes it.").arg(QString::fromStdString(m_draft.tag)));
        }
        if (m_draft.hold == HoldAnswer::NotWritten)
            return goOn(moment);
        if (const QString why = whyHoldIsNeeded(*m_hand); !why.isEmpty())
            return {false, why, false};
        m_draft.hold = HoldAnswer::NoLoop;
        return goOn(moment);
    }
    if (at && shownMoment(*at, moment.now).toStdString() == typed)
        return goOn(moment);
    const auto after = !manual && m_draft.fromSheet() ? m_draft.manualFrom : std::nullopt;
    const auto times = momentsFrom(typed, moment.now, zoneOf(moment.now), after);
    if (!times)
        return {false, QString::fromStdString(times.error().detail + ": " + times.error().remedy + "."), false};
    if (times->size() == 2) {
        m_twice = std::pair((*times)[0], (*times)[1]);
        return {false,
                Say::tr("The clocks showed %1 twice that night. 1 before they went back (%2) · 2 after (%3)")
                    .arg(QString::fromStdString(typed), offsetWords((*times)[0]), offsetWords((*times)[1])),
                false};
    }
    return takeTime(times->front(), moment);
}

Outcome BenchModel::takeTime(const Instant& time, const Moment& moment)
{
    const bool manual = m_stop.kind == StopKind::Manual;
    auto& at = manual ? m_draft.manualFrom : m_draft.autoAt;
    m_twice.reset();
    if (!manual && m_draft.manualFrom && time < *m_draft.manualFrom)
        return {false,
                Say::tr("%1 is before the loop went into manual (%2).")
                    .arg(shownMoment(time, moment.now), shownMoment(*m_draft.manualFrom, moment.now)),
                false};
    at = time;
    if (manual) {
        m_draft.hold = HoldAnswer::Typed;
        m_draft.manualTyped = shownMoment(time, moment.now).toStdString();
    } else {
        m_draft.autoTyped = shownMoment(time, moment.now).toStdString();
    }
    return goOn(moment);
}

Outcome BenchModel::pressManual(char key, const Moment& moment)
{
    if (m_draft.hold == HoldAnswer::Stamped || m_draft.hold == HoldAnswer::Typed)
        return {false, {}, false};
    if (key == 'U') {
        m_draft.hold = HoldAnswer::NotWritten;
        return goOn(moment);
    }
    if (key != 'N')
        return {false, {}, false};
    if (const QString why = whyHoldIsNeeded(*m_hand); !why.isEmpty())
        return {false, why, false};
    m_draft.hold = HoldAnswer::NoLoop;
    m_draft.manualFrom.reset();
    const bool known = m_hand->point && m_hand->point->loop_class;
    return goOn(moment,
                known ? QString() : Say::tr("The class of this point is not recorded: ask the control room whether anything acts on it."));
}

Outcome BenchModel::space(const Moment& moment)
{
    if (m_box || m_removal)
        return {false, {}, false};
    switch (m_stop.kind) {
    case StopKind::Manual:
        if (m_draft.manualFrom)
            return {false, Say::tr("Written down already: %1.").arg(shownMoment(*m_draft.manualFrom, moment.now)), false};
        m_draft.hold = HoldAnswer::Stamped;
        m_draft.manualFrom = moment.now;
        m_draft.manualTyped = shownMoment(moment.now, moment.now).toStdString();
        return goOn(moment);
    case StopKind::Auto:
        if (m_draft.autoAt)
            return {false, Say::tr("Written down already: %1.").arg(shownMoment(*m_draft.autoAt, moment.now)), false};
        m_draft.autoAt = moment.now;
        m_draft.autoTyped = shownMoment(moment.now, moment.now).toStdString();
        return goOn(moment);
    case StopKind::Mv: {
        Dip& d = dip(m_stop);
        if (d.mv.empty()) {
            m_clock.startAt(moment.clock);
            return {true, {}, false};
        }
        const auto value = d.mv.value();
        if (!value || d.mv.taken)
            return {false, {}, false};
        if (m_draft.fromSheet()) {
            m_noting = Stop{StopKind::Wait, m_stop.phase, m_stop.dip};
            arrive(*m_noting, moment);
            return {true, Say::tr("A value on the way: at how many seconds?"), false};
        }
        m_clock.note(moment.clock, *value);
        d.mv = {};
        return {true, {}, false};
    }
    case StopKind::Did: return pressDid(' ', moment);
    default: return {false, {}, false};
    }
}

// --- numbers ---------------------------------------------------------------------------------------------------------

/// The seconds of a value on the way, for series written on paper; the next value is asked.
Outcome BenchModel::noteSettling(const Moment& moment)
{
    Dip& d = dip(m_stop);
    const Stop value{StopKind::Mv, m_stop.phase, m_stop.dip};
    const auto mv = d.mv.value();
    if (d.wait.empty() || !mv) {
        m_noting.reset();
        arrive(value, moment);
        return {true, Say::tr("Not noted. Enter takes the value, Space notes it."), false};
    }
    const auto seconds = d.wait.value();
    const Range range = rangeOf(m_stop, m_draft.kind);
    if (!seconds || *seconds < range.low || *seconds > range.high)
        return {false, Say::tr("Only %1 here. Enter reads again.").arg(range.words), false};
    if (const QString why = whyNotLater(d, *seconds); !why.isEmpty())
        return {false, why, false};
    d.settle.push_back({*seconds, *mv});
    d.mv = {};
    d.wait = {};
    m_noting.reset();
    arrive(value, moment);
    return {true,
            Say::tr("%1 mV at %2 s noted. Now the next value; Enter takes it.")
                .arg(figureText(*mv, 1, Sign::Always), figureText(*seconds, 0, Sign::WhenNegative)),
            true};
}

std::size_t BenchModel::notedInDip() const
{
    return isDipStop(m_stop) && !dip(m_stop).clocked ? dip(m_stop).settle.size() : 0;
}

QString BenchModel::whyNotLater(const Dip& d, double seconds)
{
    if (d.clocked || d.settle.empty() || seconds > d.settle.back().seconds)
        return {};
    return Say::tr("The value before was noted at %1 s: this one was read later.")
        .arg(figureText(d.settle.back().seconds, 0, Sign::WhenNegative));
}

Outcome BenchModel::enterNumber(const Moment& moment)
{
    if (m_noting && m_stop == *m_noting)
        return noteSettling(moment);
    m_noting.reset();
    Entry* e = entry(m_stop);
    if (!e)
        return {false, {}, false};
    if (e->empty()) {
        if (m_stop.kind == StopKind::Temp && m_stop.dip > 0)
            dip(m_stop).carried = true;
        else if (m_stop.kind != StopKind::Shown)
            e->notDone = true;
    } else {
        const auto value = e->value();
        if (!value)
            return {false, Say::tr("That is no number yet."), false};
        const Range range = rangeOf(m_stop, m_draft.kind);
        if (*value < range.low || *value > range.high)
            return {false, Say::tr("Only %1 here. Enter reads again.").arg(range.words), false};
        if (m_stop.kind == StopKind::Wait)
            if (const QString why = whyNotLater(dip(m_stop), *value); !why.isEmpty())
                return {false, why, false};
        e->taken = true;
        e->notDone = false;
        if (m_stop.kind == StopKind::Temp)
            dip(m_stop).carried = false;
        if (m_stop.kind == StopKind::Wait)
            takeSeries(dip(m_stop));
    }
    if (isDipStop(m_stop))
        return settleQuestions(moment, m_stop);
    return goOn(moment);
}

/// What a series typed by hand says of the response, as the clock's own does.
void BenchModel::takeSeries(Dip& d)
{
    const auto series = seriesOf(d);
    if (d.clocked || series.size() < 2)
        return;
    SettleClock clock;
    clock.startAt(0.0);
    for (const core::SettlePoint& point : d.settle)
        clock.note(point.seconds, point.mv);
    const std::pair last(series.back().seconds, series.back().mv);
    if (const auto fit = fitSettling(series))
        d.t90_s = std::round(fit->t90_s);
    else if (const auto t90 = clock.t90(last.first, last.second))
        d.t90_s = std::round(*t90);
    if (const auto change = clock.changeIn30s(last))
        d.settled = *change < SettleClock::kSettledMv;
}

Outcome BenchModel::enterMv(const Moment& moment)
{
    m_noting.reset();
    Dip& d = dip(m_stop);
    PhaseForm& form = m_draft.phase(m_stop.phase);
    const ReadingPlace here{m_stop.phase, m_stop.dip};
    if (m_asked && m_asked->place == here && d.mv.text == m_askedText) {
        d.mv = {};
        d.t90_s.reset();
        d.settled.reset();
        if (d.clocked) {
            d.settle.clear();
            d.wait = {};
            d.clocked = false;
        }
        m_asked.reset();
        if (!m_draft.fromSheet())
            m_clock.startAt(moment.clock);
        return {true, Say::tr("Read it again."), false};
    }
    if (d.mv.empty())
        return passDip(moment);
    const auto value = d.mv.value();
    if (!value)
        return {false, Say::tr("That is no number yet."), false};
    const Range range = rangeOf(m_stop, m_draft.kind);
    if (*value < range.low || *value > range.high)
        return {false, Say::tr("Only %1 here. Enter reads again.").arg(range.words), false};
    m_asked.reset();
    m_asksWhyNone = false;
    if (!d.mv.taken) {
        d.mv.taken = true;
        d.mv.notDone = false;
        d.when = moment.now;
        d.kept.clear();
        if (const auto elapsed = m_clock.elapsed(moment.clock); elapsed && *elapsed >= 1.0 && !m_draft.fromSheet()) {
            d.wait = {std::to_string(static_cast<long>(std::lround(*elapsed))), true, false};
            d.clocked = true;
            d.settle = m_clock.series(std::pair(*elapsed, *value));
            if (const auto fit = fitSettling(d.settle))
                d.t90_s = std::round(fit->t90_s);
            else if (const auto t90 = m_clock.t90(*elapsed, *value))
                d.t90_s = std::round(*t90);
            if (const auto change = m_clock.changeIn30s(std::pair(*elapsed, *value)))
                d.settled = *change < SettleClock::kSettledMv;
        } else {
            d.clocked = false;
        }
        if (m_stop.dip + 1 < form.dips.size() && !m_draft.fromSheet())
            m_clock.startAt(moment.clock + SettleClock::kRinseSeconds);
        else
            m_clock.stop();
    }
    if (m_stop.phase == Phase::AsFound)
        m_draft.whyNoneFound.clear();
    form.passed = false;
    return settleQuestions(moment, m_stop);
}

Stop BenchModel::firstAfterLeft() const
{
    const auto open = stops();
    const auto left = std::find(open.begin(), open.end(), Stop{StopKind::Left});
    const auto next = std::find_if(left + 1, open.end(), [](const Stop& s) { return !isDipStop(s); });
    return next != open.end() ? *next : open.back();
}

Outcome BenchModel::passDip(const Moment& moment)
{
    Dip& d = dip(m_stop);
    PhaseForm& form = m_draft.phase(m_stop.phase);
    if (form.hasReading()) {
        d.mv.notDone = true;
        return goOn(moment);
    }
    if (m_stop.phase == Phase::AsFound) {
        m_asksWhyNone = true;
        return {false,
                Say::tr("Nothing as found. Clean first and the drift is lost. Why none: N new · B broken · W removed wet · O other."),
                false};
    }
    form.passed = true;
    if (m_stop.phase == Phase::AfterClean)
        arrive({StopKind::Left}, moment);
    else
        arrive(firstAfterLeft(), moment);
    m_clock.stop();
    return {true, {}, true};
}

Outcome BenchModel::pressMv(char key, const Moment& moment)
{
    if (m_asksWhyNone) {
        static constexpr std::pair<char, const char*> kWhy[] = {{'N', "new"}, {'B', "broken"}, {'W', "removed wet"}, {'O', "other"}};
        for (const auto& [letter, why] : kWhy)
            if (letter == key) {
                m_draft.whyNoneFound = why;
                m_asksWhyNone = false;
                m_clock.stop();
                arrive({StopKind::Did}, moment);
                return {true, key == 'O' ? Say::tr("Say in the remark why there are no readings as found.") : QString(), true};
            }
    }
    if (m_asked)
        return keepAsked(key, moment);
    // As after cleaning, nothing adjusted; or adjusted without readings after cleaning.
    if ((key == 'U' || key == '=' || key == '*') && m_stop.phase != Phase::AsFound && dip(m_stop).mv.empty() &&
        !m_draft.phase(m_stop.phase).hasReading()) {
        if (m_stop.phase == Phase::AfterClean)
            m_draft.clean.passed = true;
        return pressLeft(key, moment);
    }
    return {false, {}, false};
}

Outcome BenchModel::press(char key, const Moment& moment)
{
    if (m_box)
        return answerBox(key, moment);
    if (m_removal)
        return {false, {}, false};
    if (m_twice) {
        const auto twice = *m_twice;
        m_twice.reset();
        if (key == '1' || key == '2')
            return takeTime(key == '1' ? twice.first : twice.second, moment);
    }
    if (key >= 'a' && key <= 'z')
        key = static_cast<char>(key - 'a' + 'A');
    switch (m_stop.kind) {
    case StopKind::Serial:
        if (key != '?')
            return {false, {}, false};
        m_draft.serialSeen = SerialSeen::Unreadable;
        m_draft.serialTyped = "?";
        return goOn(moment);
    case StopKind::Manual: return pressManual(key, moment);
    case StopKind::Coating:
        if (key < '0' || key > '4')
            return {false, {}, false};
        m_draft.coating = key - '0';
        m_draft.coatingAnswered = true;
        if (*m_draft.coating == 0)
            m_draft.look.reset();
        return goOn(moment);
    case StopKind::Look: {
        static constexpr std::pair<char, CoatingKind> kLooks[] = {
            {'H', CoatingKind::Hard}, {'M', CoatingKind::Smear}, {'L', CoatingKind::Slippery}, {'I', CoatingKind::Slime}};
        for (const auto& [letter, look] : kLooks)
            if (letter == key) {
                m_draft.look = look;
                return goOn(moment);
            }
        return {false, Say::tr("Hard · sMear · sLippery · slImy; Enter goes on without."), false};
    }
    case StopKind::Mv: return pressMv(key, moment);
    case StopKind::Did: return pressDid(key, moment);
    case StopKind::Left: return pressLeft(key, moment);
    default: return {false, {}, false};
    }
}

}  // namespace halfcell::app::bench
