#include "core/rules/rule_set_data.h"

#include <algorithm>
#include <array>
#include <cctype>

/// What a sensor's design allows, the catalogue of actions, and the cautions that come with them.
namespace halfcell::core {

namespace {

const HalfOffer* offerOf(const std::map<std::string, DesignHalf, std::less<>>& halves, std::string_view design, std::string_view what,
                         bool test)
{
    const auto half = halves.find(design);
    if (half == halves.end())
        return nullptr;
    const auto& offers = test ? half->second.tests : half->second.actions;
    const auto found = offers.find(what);
    return found != offers.end() ? &found->second : nullptr;
}

std::string lower(std::string_view text)
{
    std::string out(text);
    std::transform(out.begin(), out.end(), out.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return out;
}

/// What is known where cautions are looked for.
struct Moment {
    std::optional<ActionKey> action;
    std::vector<std::string> holds;
    std::string standard;
    const Point* point = nullptr;
    std::vector<std::string> before;  ///< what earlier steps held, and the standards dipped in
    std::string moment;
    std::optional<FindingCode> finding;
};

bool anyOf(const std::vector<std::string>& wanted, const std::vector<std::string>& present)
{
    return std::any_of(wanted.begin(), wanted.end(), [&](const auto& w) { return hasWord(present, w); });
}

bool holdsIn(const Situation& s, const Moment& m)
{
    const auto one = [](const std::vector<std::string>& wanted, std::string_view present) {
        return wanted.empty() || (!present.empty() && hasWord(wanted, present));
    };
    const auto loopClass = m.point && m.point->loop_class ? keyOf(*m.point->loop_class) : std::string_view{};
    return one(s.actions, m.action ? keyOf(*m.action) : std::string_view{}) && (s.holds.empty() || anyOf(s.holds, m.holds)) &&
           one(s.standards, m.standard) && (s.hazards.empty() || (m.point && anyOf(s.hazards, m.point->hazards))) &&
           (s.after.empty() || anyOf(s.after, m.before)) && one(s.moment, m.moment) && one(s.loop_classes, loopClass) &&
           one(s.findings, m.finding ? keyOf(*m.finding) : std::string_view{}) && s.reasons_removed.empty() && s.sensing.empty();
}

int danger(const Caution& c)
{
    return c.level == "danger" ? 0 : c.level == "warning" ? 1 : 2;
}

std::vector<Caution> cautionsIn(const RuleSet::Data& data, const Moment& moment, const std::vector<std::string>& first)
{
    std::vector<Caution> found;
    const auto take = [&](const CautionEntry& entry) {
        const auto holds = [&](const Situation& s) { return holdsIn(s, moment); };
        const bool asks = std::any_of(entry.asks.begin(), entry.asks.end(), holds);
        if (!asks && std::none_of(entry.applies.begin(), entry.applies.end(), holds))
            return;
        auto caution = entry.caution;
        if (!entry.asks.empty() && !asks)
            caution.question.clear();
        found.push_back(std::move(caution));
    };
    for (const auto& key : first)
        for (const auto& entry : data.cautions)
            if (entry.caution.key == key)
                take(entry);
    for (const auto& entry : data.cautions)
        if (!hasWord(first, entry.caution.key))
            take(entry);
    std::stable_sort(found.begin(), found.end(), [](const Caution& a, const Caution& b) { return danger(a) < danger(b); });
    return found;
}

void addWords(std::vector<std::string>& into, const std::vector<std::string>& words)
{
    for (const auto& word : words)
        if (!hasWord(into, word))
            into.push_back(word);
}

}  // namespace

bool hasWord(const std::vector<std::string>& list, std::string_view word)
{
    return std::find(list.begin(), list.end(), word) != list.end();
}

bool emptyOrHas(const std::vector<std::string>& list, std::string_view word)
{
    return list.empty() || hasWord(list, word);
}

const ActionEntry* RuleSet::Data::actionEntry(ActionKey key) const
{
    for (const auto& entry : actions)
        if (entry.rule.action == key)
            return &entry;
    return nullptr;
}

DesignAllows RuleSet::allows(const Model& model, ActionKey action) const
{
    using Offer = DesignAllows::Offer;
    const auto word = keyOf(action);
    const std::array<const HalfOffer*, 2> halves{model.reference ? offerOf(data().reference, keyOf(*model.reference), word, false)
                                                                 : nullptr,
                                                 model.sensing ? offerOf(data().sensing, keyOf(*model.sensing), word, false) : nullptr};
    DesignAllows result{Offer::Yes, {}};
    bool said = false;
    for (const auto* half : halves) {
        if (!half || half->kind == HalfOffer::Kind::Other)
            continue;
        said = true;
        auto offer = half->kind == HalfOffer::Kind::No ? Offer::No : half->kind == HalfOffer::Kind::Limited ? Offer::Limited : Offer::Yes;
        auto why = half->why;
        if (offer == Offer::No && !half->unless.empty() && permits(half->unless)) {
            offer = Offer::Yes;
            why.clear();
        }
        if (static_cast<int>(offer) > static_cast<int>(result.offer))
            result = {offer, why};
        else if (offer == result.offer && !why.empty())
            result.why += (result.why.empty() ? "" : "; ") + why;
    }
    // A half that is not recorded may be the one that forbids it.
    if (result.offer != Offer::No && !said && !(model.reference && model.sensing))
        result = {Offer::Limited, "the design of this model is not fully recorded; make sure that it allows this"};
    return result;
}

DesignAllows RuleSet::allowsAt(const Model& model, ActionKey action, const Point* point) const
{
    const auto* entry = data().actionEntry(action);
    if (entry && point)
        for (const auto& hazard : point->hazards)
            if (hasWord(entry->notOn, hazard))
                return {DesignAllows::Offer::No, entry->notOnWhy};
    return allows(model, action);
}

bool RuleSet::allowsTest(const Model& model, std::string_view test) const
{
    bool known = false;
    for (const auto* half : {model.reference ? offerOf(data().reference, keyOf(*model.reference), test, true) : nullptr,
                             model.sensing ? offerOf(data().sensing, keyOf(*model.sensing), test, true) : nullptr}) {
        if (!half)
            continue;
        known = known || half->kind != HalfOffer::Kind::Other;
        if (half->kind == HalfOffer::Kind::No)
            return false;
    }
    // Resistance tests need a half that has something to measure; the other tests suit any sensor.
    const bool resistance = test == "glass_resistance" || test == "reference_resistance";
    return known || !resistance;
}

const ActionRule& RuleSet::action(ActionKey action) const
{
    return data().actionEntry(action)->rule;
}

std::optional<ActionKey> RuleSet::actionByLetter(char letter) const
{
    const char capital = letter >= 'a' && letter <= 'z' ? static_cast<char>(letter - 'a' + 'A') : letter;
    for (const auto& entry : data().actions)
        if (entry.rule.letter == capital)
            return entry.rule.action;
    return std::nullopt;
}

std::vector<std::string> RuleSet::holds(ActionKey action, std::string_view agent) const
{
    const auto* entry = data().actionEntry(action);
    const auto typed = lower(agent);
    std::vector<std::string> ofAgent;
    bool known = false;
    if (!typed.empty())
        for (const auto& candidate : data().agents)
            if (std::any_of(candidate.match.begin(), candidate.match.end(),
                            [&](const auto& m) { return typed.find(m) != std::string::npos; })) {
                known = true;
                addWords(ofAgent, candidate.holds);
            }
    if (entry->recipeVaries && known)
        return ofAgent;
    auto all = entry->rule.holds;
    addWords(all, ofAgent);
    return all;
}

std::vector<Caution> RuleSet::cautionsFor(ActionKey action, std::string_view agent, const Point* point, const Visit& sofar) const
{
    Moment moment;
    moment.action = action;
    moment.holds = holds(action, agent);
    moment.point = point;
    for (const auto& step : sofar.actions)
        addWords(moment.before, holds(step.action, step.agent ? *step.agent : std::string_view{}));
    for (const auto& reading : sofar.readings)
        addWords(moment.before, {reading.standard});
    return cautionsIn(data(), moment, this->action(action).cautions);
}

std::vector<Caution> RuleSet::cautionsForStandard(std::string_view standard, const Visit& sofar) const
{
    Moment moment;
    moment.standard = standard;
    for (const auto& step : sofar.actions)
        addWords(moment.before, holds(step.action, step.agent ? *step.agent : std::string_view{}));
    for (const auto& reading : sofar.readings)
        addWords(moment.before, {reading.standard});
    return cautionsIn(data(), moment, {});
}

std::vector<Caution> RuleSet::cautionsForWithdrawal(const Point* point) const
{
    Moment moment;
    moment.moment = "withdraw";
    moment.point = point;
    return cautionsIn(data(), moment, {});
}

std::vector<Caution> RuleSet::cautionsForFinding(FindingCode finding) const
{
    Moment moment;
    moment.finding = finding;
    return cautionsIn(data(), moment, {});
}

std::optional<Caution> RuleSet::caution(std::string_view key) const
{
    for (const auto& entry : data().cautions)
        if (entry.caution.key == key)
            return entry.caution;
    return std::nullopt;
}

}  // namespace halfcell::core
