#include "app/bench/bench_model.h"

#include "app/bench/say.h"

#include <algorithm>
#include <cmath>

/// The steps that were done, their cautions, and the end of the form.
namespace halfcell::app::bench {

using namespace core;

namespace {

bool isDigit(char c)
{
    return c >= '0' && c <= '9';
}

std::string minutesBetween(const Instant& from, const Instant& to)
{
    const auto seconds = static_cast<double>(to.utcSeconds - from.utcSeconds);
    constexpr double kMinute = 60.0;
    return std::to_string(static_cast<long>(std::max(1.0, std::round(seconds / kMinute))));
}

QString sentence(QString text)
{
    if (!text.isEmpty() && !text.endsWith(u'.'))
        text += u'.';
    return text;
}

}  // namespace

Outcome BenchModel::pressDid(char key, const Moment& moment)
{
    auto& steps = m_draft.steps;
    if (key == ' ') {
        if (steps.empty())
            return {false, Say::tr("First the letter of the step, then Space."), false};
        Step& step = steps.back();
        if (step.started) {
            step.minutes = minutesBetween(*step.started, moment.now);
            step.started.reset();
        } else {
            step.started = moment.now;
            step.minutes.clear();
        }
        return {true, {}, true};
    }
    if (isDigit(key)) {
        constexpr std::size_t kMostDigits = 4;
        if (steps.empty())
            return {false, Say::tr("First the letter of the step, then its minutes."), false};
        Step& step = steps.back();
        if (step.minutes.size() >= kMostDigits)
            return {false, Say::tr("Minutes, please."), false};
        step.started.reset();
        step.minutes += key;
        return {true, {}, true};
    }
    if (key == 'U' || key == '=' || key == '*') {
        endDid(moment);
        m_draft.clean.passed = m_draft.cleaned() && !m_draft.clean.hasReading();
        return pressLeft(key, moment);
    }
    const auto action = m_hand->rules->actionByLetter(key);
    if (!action)
        return {false,
                key >= 'A' && key <= 'Z' ? Say::tr("%1 is no letter of a step. F1 lists them.").arg(QChar::fromLatin1(key)) : QString(),
                false};
    return addStep(*action, moment);
}

Outcome BenchModel::addStep(ActionKey action, const Moment& moment)
{
    const ActionRule& rule = m_hand->rules->action(action);
    const auto allows = m_hand->allows(action);
    const QString name = QString::fromStdString(rule.name);
    if (allows.offer == DesignAllows::Offer::No)
        return {false, sentence(QChar::fromLatin1(rule.letter) + u' ' + name + QStringLiteral(": ") + QString::fromStdString(allows.why)),
                false};
    if (m_draft.kind == SensorKind::Orp && action == ActionKey::Standardise && !m_hand->rules->permits("orp_adjustment"))
        return {false, Say::tr("An ORP sensor is checked, not adjusted, by the rule set of this shop."), false};
    // The step before ends when the next one begins.
    if (!m_draft.steps.empty() && m_draft.steps.back().started) {
        m_draft.steps.back().minutes = minutesBetween(*m_draft.steps.back().started, moment.now);
        m_draft.steps.back().started.reset();
    }
    m_pending = Step{};
    m_pending.action = action;
    m_pending.agent = rule.agent;
    m_pending.strength = rule.strength;
    m_pending.when = moment.now;
    if (action == ActionKey::Replace || action == ActionKey::Scrap) {
        m_removal = Removal{action};
        return {true, {}, false};
    }
    const auto cautions = m_hand->rules->cautionsFor(action, m_pending.agent, m_hand->point, soFar());
    if (std::any_of(cautions.begin(), cautions.end(), [](const Caution& c) { return !c.question.empty(); })) {
        m_box = Box{Box::About::Step, cautions, {}, m_draft.fromSheet()};
        return {true, {}, false};
    }
    return noteStep(moment, cautions);
}

Outcome BenchModel::noteStep(const Moment&, const std::vector<Caution>& cautions)
{
    const auto allows = m_hand->allows(m_pending.action);
    QString say;
    if (!allows.why.empty())
        say = sentence(QString::fromStdString(m_hand->rules->action(m_pending.action).name) + QStringLiteral(": ") +
                       QString::fromStdString(allows.why));
    for (const Caution& c : cautions)
        if (c.question.empty())
            say += (say.isEmpty() ? QString() : QStringLiteral(" ")) + QString::fromStdString(c.title) + QStringLiteral(": ") +
                   QString::fromStdString(c.text);
    m_draft.steps.push_back(std::move(m_pending));
    m_draft.didEnded = false;
    m_pending = {};
    return {true, say, true};
}

Outcome BenchModel::answerBox(char key, const Moment& moment)
{
    if (!m_box)
        return {false, {}, false};
    if (key >= 'a' && key <= 'z')
        key = static_cast<char>(key - 'a' + 'A');
    const bool yes = key == 'Y';
    const bool notWritten = key == 'U' && m_box->fromSheet;
    if (!yes && !notWritten && key != 'N')
        return {false, {}, false};
    const Box box = *m_box;
    if (box.about == Box::About::Withdrawal && key == 'N')
        return {false, Say::tr("Then the sensor stays where it is. Y when it is done · Esc leaves the visit as a draft."), false};
    m_box.reset();
    const std::string about = box.about == Box::About::Withdrawal ? "withdraw"
                              : box.about == Box::About::Standard
                                  ? std::string(keyOf(box.dip.phase)) + "/" + std::to_string(box.dip.dip + 1)
                                  : std::string();
    std::vector<CautionAnswer> answers;
    for (const Caution& c : box.cautions)
        if (!c.question.empty())
            answers.push_back({c.key, about, yes ? "yes" : "not written", moment.person, moment.now});
    if (box.about == Box::About::Step) {
        if (key == 'N') {
            const QString name = QString::fromStdString(m_hand->rules->action(m_pending.action).name);
            m_pending = {};
            return {true, Say::tr("%1 is taken out.").arg(name.left(1).toUpper() + name.mid(1)), false};
        }
        m_pending.answers = std::move(answers);
        return noteStep(moment, box.cautions);
    }
    if (key == 'N') {
        // The dip is not made: out of the list, or the phase goes without it.
        PhaseForm& form = m_draft.phase(box.dip.phase);
        if (form.dips.size() > 1 && !form.dips[box.dip.dip].mv.taken) {
            form.dips.erase(form.dips.begin() + static_cast<std::ptrdiff_t>(box.dip.dip));
            const Stop next{StopKind::Mv, box.dip.phase, box.dip.dip};
            arrive(isOpen(next) ? next : after({StopKind::Mv, box.dip.phase, form.dips.size() - 1}), moment);
            return {true, Say::tr("The dip is taken out."), true};
        }
        return {true, Say::tr("Choose another standard with F2, or Enter goes on without a reading."), false};
    }
    m_draft.answers.insert(m_draft.answers.end(), answers.begin(), answers.end());
    return {true, {}, true};
}

Outcome BenchModel::finishRemoval(RemovalReason reason, const std::string& newSerial, const Moment& moment)
{
    if (!m_removal)
        return {false, {}, false};
    if (m_removal->action == ActionKey::Replace && newSerial.empty())
        return {false, Say::tr("Scan or type the serial of the sensor that goes in."), false};
    if (newSerial == m_draft.serial)
        return {false, Say::tr("That is the sensor that comes out. Scan the one that goes in."), false};
    m_pending.reason = reason;
    m_pending.newSerial = m_removal->action == ActionKey::Replace ? newSerial : std::string();
    m_removal.reset();
    auto outcome = noteStep(moment, {});
    if (reason == RemovalReason::Broken)
        if (const auto glass = m_hand->rules->caution("broken_glass"))
            outcome.say = QString::fromStdString(glass->title) + QStringLiteral(": ") + QString::fromStdString(glass->text);
    return outcome;
}

Outcome BenchModel::cancelRemoval()
{
    m_removal.reset();
    m_pending = {};
    return {};
}

Outcome BenchModel::setAgent(std::size_t index, const std::string& agent, const Moment& moment)
{
    if (index >= m_draft.steps.size())
        return {false, {}, false};
    // Cautions follow the agent: the step is taken out and asked for anew with it.
    const Step old = m_draft.steps[index];
    m_draft.steps.erase(m_draft.steps.begin() + static_cast<std::ptrdiff_t>(index));
    m_pending = old;
    m_pending.agent = agent;
    m_pending.strength.clear();
    m_pending.answers.clear();
    const auto cautions = m_hand->rules->cautionsFor(m_pending.action, agent, m_hand->point, soFar());
    if (std::any_of(cautions.begin(), cautions.end(), [](const Caution& c) { return !c.question.empty(); })) {
        m_box = Box{Box::About::Step, cautions, {}, m_draft.fromSheet()};
        return {true, {}, true};
    }
    return noteStep(moment, cautions);
}

Outcome BenchModel::backspace()
{
    if (m_stop.kind != StopKind::Did || m_draft.steps.empty() || m_box || m_removal)
        return {false, {}, false};
    Step& step = m_draft.steps.back();
    if (!step.minutes.empty())
        step.minutes.pop_back();
    else if (step.started)
        step.started.reset();
    else
        m_draft.steps.pop_back();
    return {true, {}, true};
}

Outcome BenchModel::endDid(const Moment& moment)
{
    for (Step& step : m_draft.steps)
        if (step.started) {
            step.minutes = minutesBetween(*step.started, moment.now);
            step.started.reset();
        }
    m_draft.didEnded = true;
    m_draft.clean.passed = false;
    const auto& steps = m_draft.steps;
    const auto leaves = std::find_if(steps.begin(), steps.end(),
                                     [](const Step& s) { return s.action == ActionKey::Replace || s.action == ActionKey::Scrap; });
    if (leaves != steps.end()) {
        m_draft.leftAnswer = LeftAnswer::Same;
        m_draft.clean.passed = true;
        arrive({StopKind::Remark}, moment);
        return {true,
                leaves->newSerial.empty() ? QString()
                                          : Say::tr("Log this visit; the one to %1 opens next, with the loop still in manual.")
                                                .arg(QString::fromStdString(leaves->newSerial)),
                true};
    }
    if (m_draft.cleaned()) {
        syncDips(Phase::AfterClean);
        arrive({StopKind::Mv, Phase::AfterClean, 0}, moment);
    } else {
        arrive({StopKind::Left}, moment);
    }
    return {true, {}, true};
}

Outcome BenchModel::openLeft(const Moment& moment)
{
    const bool noted = std::any_of(m_draft.steps.begin(), m_draft.steps.end(), [](const Step& s) { return s.action == ActionKey::Adjust; });
    if (!noted)
        m_draft.steps.push_back({.action = ActionKey::Adjust, .when = moment.now});
    m_draft.didEnded = true;
    m_draft.leftAnswer = LeftAnswer::Adjusted;
    m_draft.left.passed = false;
    syncDips(Phase::AsLeft);
    arrive({StopKind::Mv, Phase::AsLeft, 0}, moment);
    return {true, {}, true};
}

Outcome BenchModel::pressLeft(char key, const Moment& moment)
{
    if (key == 'U') {
        if (m_draft.kind == SensorKind::Orp && !m_hand->rules->permits("orp_adjustment")) {
            m_stop = {StopKind::Left};
            return {false, Say::tr("An ORP sensor is checked, not adjusted, by the rule set of this shop. = nothing adjusted."), false};
        }
        return openLeft(moment);
    }
    if (key != '=' && key != '*')
        return {false, Say::tr("U adjusted · = nothing adjusted."), false};
    if (m_draft.left.hasReading())
        return {false, Say::tr("There are readings as left already."), false};
    std::erase_if(m_draft.steps, [](const Step& s) { return s.action == ActionKey::Adjust; });
    m_draft.leftAnswer = LeftAnswer::Same;
    m_stop = {StopKind::Left};
    m_clock.stop();
    return goOn(moment);
}

Outcome BenchModel::readyToLog(const Moment& moment)
{
    if (m_box)
        return {false, Say::tr("First answer the caution: Y or N."), false};
    if (m_removal)
        return {false, Say::tr("First say why the sensor comes out, or Esc."), false};
    if (m_draft.serialSeen == SerialSeen::No) {
        m_stop = {StopKind::Serial};
        return {false, Say::tr("Which serial is on the cable? The last two characters, or ? if it can't be read."), false};
    }
    if (!m_draft.tag.empty() && m_draft.hold == HoldAnswer::None) {
        if (const QString why = whyHoldIsNeeded(*m_hand); !why.isEmpty()) {
            m_stop = {StopKind::Manual};
            return {false, why, false};
        }
        m_draft.hold = HoldAnswer::NoLoop;
    }
    // A number typed but not taken counts: Ctrl+Enter in the last field is the same as Enter and then Ctrl+Enter.
    if (const Entry* e = entry(m_stop); e && !e->empty() && !e->taken) {
        const Stop here = m_stop;
        auto outcome = enter(moment);
        if (!outcome.done || m_asked || m_box || m_stop == here)
            return {false, outcome.say, outcome.keep};
    }
    if (!m_draft.found.hasReading() && m_draft.whyNoneFound.empty()) {
        m_stop = {StopKind::Mv, Phase::AsFound, 0};
        m_asksWhyNone = true;
        return {false,
                Say::tr("Nothing as found. Clean first and the drift is lost. Why none: N new · B broken · W removed wet · O other."),
                false};
    }
    for (const Asked& open : openQuestions())
        if (waitsForAnswer(open.question.kind)) {
            const auto outcome = settleQuestions(moment, {StopKind::Mv, open.place.phase, open.place.dip});
            return {false, outcome.say, false};
        }
    for (Step& step : m_draft.steps)
        if (step.started) {
            step.minutes = minutesBetween(*step.started, moment.now);
            step.started.reset();
        }
    return {true, {}, true};
}

namespace {

bool aboutReturn(const CautionAnswer& answer)
{
    return answer.caution == kReturnOutsideLimit;
}

}  // namespace

Outcome BenchModel::askApproval(const QString& why)
{
    if (why.isEmpty()) {
        std::erase_if(m_draft.answers, aboutReturn);
        m_draft.asksApproval = false;
        m_draft.approvalTyped.clear();
        return {true, {}, true};
    }
    if (std::any_of(m_draft.answers.begin(), m_draft.answers.end(), aboutReturn))
        return {true, {}, true};
    m_draft.asksApproval = true;
    goTo({StopKind::Approve});
    return {false, why, true};
}

Outcome BenchModel::enterApproval(const Moment& moment)
{
    constexpr std::size_t kFewest = 2, kMost = 12;
    std::string initials;
    for (const char c : m_draft.approvalTyped)
        if (std::isspace(static_cast<unsigned char>(c)) == 0)
            initials += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    const bool nobody = initials == "O" || initials == "0";
    if (!nobody && (initials.size() < kFewest || initials.size() > kMost || initials.find_first_of(":;") != std::string::npos))
        return {false, Say::tr("Who approves? Initials, or O nobody reached."), false};
    if (!nobody && initials == moment.person)
        return {false, Say::tr("Somebody else approves it; O if nobody could be reached."), false};
    std::erase_if(m_draft.answers, aboutReturn);
    m_draft.answers.push_back(
        {std::string(kReturnOutsideLimit), "return", nobody ? "nobody reached" : "approved by " + initials, moment.person, moment.now});
    m_draft.approvalTyped = initials;
    return goOn(moment);
}

}  // namespace halfcell::app::bench
