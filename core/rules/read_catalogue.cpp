#include "core/quantity/number.h"
#include "core/rules/rule_set_data.h"
#include "core/rules/toml_read.h"

#include <algorithm>

namespace halfcell::core {

namespace {

template <class E>
void readHalves(RuleReader& read, const Place& root, const char* which, std::map<std::string, DesignHalf, std::less<>>& halves)
{
    const auto designs = read.table(root, which, true);
    if (!designs)
        return;
    for (const auto& [key, node] : *designs.table) {
        const std::string design(key.str());
        if (!findKey<E>(design))
            read.fail(designs.at(design), fmt::format("\"{}\" is no design", design), "use a key of models.csv");
        const auto at = read.table(designs, design, true);
        if (!at || read.failed())
            return;
        read.only(at, {"words", "actions", "tests"});
        DesignHalf half;
        half.words = read.text(at, "words", true);
        const auto offers = [&](const char* name, std::map<std::string, HalfOffer, std::less<>>& into, bool actions) {
            const auto list = read.table(at, name, true);
            if (!list)
                return;
            for (const auto& [what, offerNode] : *list.table) {
                const std::string word(what.str());
                if (actions)
                    read.checkWords<ActionKey>({word}, list.at(word));
                const auto offer = read.table(list, word, true);
                if (!offer)
                    return;
                read.only(offer, {"offer", "why", "unless"});
                HalfOffer found;
                const auto kind = read.text(offer, "offer", true);
                if (kind == "yes")
                    found.kind = HalfOffer::Kind::Yes;
                else if (kind == "limited")
                    found.kind = HalfOffer::Kind::Limited;
                else if (kind == "no")
                    found.kind = HalfOffer::Kind::No;
                else if (kind != "other")
                    read.fail(offer.at("offer"), fmt::format("\"{}\" is no offer", kind), "use one of: yes limited no other");
                found.why = read.text(offer, "why", kind == "no" || kind == "limited");
                found.unless = read.text(offer, "unless", false);
                into[word] = std::move(found);
            }
        };
        offers("actions", half.actions, true);
        offers("tests", half.tests, false);
        for (const auto& entry : keyEntries<ActionKey>())
            if (!read.failed() && !half.actions.contains(entry.key))
                read.fail(at.at("actions"), fmt::format("{} says nothing about {}", design, entry.key),
                          fmt::format("add actions.{} = {{ offer = \"yes\" }}, or limited, no, other", entry.key));
        halves[design] = std::move(half);
    }
    for (const auto& entry : keyEntries<E>())
        if (!read.failed() && !halves.contains(entry.key))
            read.fail(designs.at(entry.key), fmt::format("the design {} is missing", entry.key), "add its table");
}

std::vector<Situation> readSituations(RuleReader& read, const Place& in, const char* key)
{
    std::vector<Situation> situations;
    for (const auto& at : read.tables(in, key)) {
        read.only(
            at, {"actions", "holds", "standards", "hazards", "after", "moment", "loop_classes", "findings", "reasons_removed", "sensing"});
        Situation s{read.words(at, "actions"),         read.words(at, "holds"),  read.words(at, "standards"),    read.words(at, "hazards"),
                    read.words(at, "after"),           read.words(at, "moment"), read.words(at, "loop_classes"), read.words(at, "findings"),
                    read.words(at, "reasons_removed"), read.words(at, "sensing")};
        read.checkWords<ActionKey>(s.actions, at.at("actions"));
        read.checkWords<LoopClass>(s.loop_classes, at.at("loop_classes"));
        read.checkWords<FindingCode>(s.findings, at.at("findings"));
        read.checkWords<RemovalReason>(s.reasons_removed, at.at("reasons_removed"));
        read.checkWords<Sensing>(s.sensing, at.at("sensing"));
        situations.push_back(std::move(s));
    }
    return situations;
}

ActionEntry readAction(RuleReader& read, const Place& at)
{
    read.only(at, {"key", "letter", "name", "how", "agent", "strength", "holds", "recipe_varies", "minutes", "elapsed_minutes",
                   "consumable", "renews", "renews_differential", "cautions", "not_on", "not_on_why", "source", "class"});
    ActionEntry entry;
    auto& rule = entry.rule;
    rule.action = read.word<ActionKey>(at, "key", true).value_or(ActionKey::CleanDetergent);
    const auto letter = read.text(at, "letter", true);
    if (!read.failed() && (letter.size() != 1 || letter[0] < 'A' || letter[0] > 'Z'))
        read.fail(at.at("letter"), "a letter from A to Z is expected", "give one capital letter");
    rule.letter = letter.empty() ? ' ' : letter[0];
    rule.name = read.text(at, "name", true);
    rule.how = read.text(at, "how", false);
    rule.agent = read.text(at, "agent", false);
    rule.strength = read.text(at, "strength", false);
    rule.holds = read.words(at, "holds");
    entry.recipeVaries = read.truth(at, "recipe_varies", false);
    rule.minutes = read.number(at, "minutes", true);
    rule.elapsed_minutes = read.number(at, "elapsed_minutes", true);
    if (!read.failed() && !(rule.minutes >= 0 && rule.elapsed_minutes >= rule.minutes && rule.elapsed_minutes <= 1e5))
        read.fail(at.at("elapsed_minutes"),
                  fmt::format("elapsed minutes ({}) must not be fewer than hands-on ({})", formatNumber(rule.elapsed_minutes),
                              formatNumber(rule.minutes)),
                  "give minutes", at.at("minutes"));
    for (const auto& item : read.tables(at, "consumable")) {
        read.only(item, {"item", "amount", "unit"});
        Consumable c{read.text(item, "item", true), read.number(item, "amount", true), read.text(item, "unit", true)};
        rule.consumables.push_back(c.unit == "piece" ? fmt::format("{}, {}", c.item, formatNumber(c.amount))
                                                     : fmt::format("{}, {} {}", c.item, formatNumber(c.amount), c.unit));
        rule.amounts.push_back(std::move(c));
    }
    rule.renews = read.words(at, "renews");
    rule.renews_differential = read.words(at, "renews_differential");
    read.checkWords<Part>(rule.renews, at.at("renews"));
    read.checkWords<Part>(rule.renews_differential, at.at("renews_differential"));
    if (rule.renews_differential.empty())
        rule.renews_differential = rule.renews;
    rule.cautions = read.words(at, "cautions");
    entry.notOn = read.words(at, "not_on");
    entry.notOnWhy = read.text(at, "not_on_why", !entry.notOn.empty());
    rule.source = read.text(at, "source", true);
    rule.sourceClass = read.sourceClass(at, "class", SourceClass::CommonPractice);
    return entry;
}

}  // namespace

void readDesigns(RuleReader& read, const Place& root, RuleSet::Data& data)
{
    readHalves<ReferenceDesign>(read, root, "reference", data.reference);
    readHalves<Sensing>(read, root, "sensing", data.sensing);
}

void readActions(RuleReader& read, const Place& root, RuleSet::Data& data)
{
    for (const auto& at : read.tables(root, "action")) {
        auto entry = readAction(read, at);
        if (read.failed())
            return;
        for (const auto& other : data.actions) {
            if (other.rule.action == entry.rule.action)
                read.fail(at.path, fmt::format("{} stands here twice", keyOf(entry.rule.action)), "take one out");
            if (other.rule.letter == entry.rule.letter)
                read.fail(at.at("letter"), fmt::format("the letter {} is taken by {}", entry.rule.letter, keyOf(other.rule.action)),
                          "give another letter");
        }
        data.actions.push_back(std::move(entry));
    }
    for (const auto& entry : keyEntries<ActionKey>())
        if (!read.failed() && !data.actionEntry(entry.value))
            read.fail("action", fmt::format("the action {} is missing", entry.key), "add an [[action]] for it");
    for (const auto& at : read.tables(root, "agent")) {
        read.only(at, {"key", "match", "holds"});
        data.agents.push_back({read.text(at, "key", true), read.words(at, "match"), read.words(at, "holds")});
    }
    for (const auto& at : read.tables(root, "not_offered")) {
        read.only(at, {"name", "why"});
        (void)read.text(at, "name", true);
        (void)read.text(at, "why", true);
    }
}

void readCautions(RuleReader& read, const Place& root, RuleSet::Data& data)
{
    for (const auto& at : read.tables(root, "caution")) {
        read.only(at, {"key", "title", "level", "text", "question", "applies", "asks", "source", "class"});
        CautionEntry entry;
        auto& c = entry.caution;
        c.key = read.text(at, "key", true);
        c.title = read.text(at, "title", true);
        c.level = read.text(at, "level", true);
        c.text = read.text(at, "text", true);
        c.question = read.text(at, "question", false);
        (void)read.text(at, "source", true);
        (void)read.sourceClass(at, "class", SourceClass::CommonPractice);
        if (!read.failed() && c.level != "danger" && c.level != "warning" && c.level != "notice")
            read.fail(at.at("level"), fmt::format("\"{}\" is no level", c.level), "use one of: danger warning notice");
        entry.applies = readSituations(read, at, "applies");
        entry.asks = readSituations(read, at, "asks");
        if (!read.failed() && entry.applies.empty())
            read.fail(at.path, "a caution needs a situation it applies in", "add applies = [ { ... } ]");
        data.cautions.push_back(std::move(entry));
    }
    // The cautions that keep poison gas away cannot be dropped by leaving them out of a shop's own set.
    for (const char* key : {"acid", "acid_after_hypochlorite", "hypochlorite_after_acid", "hypochlorite", "cyanide_line", "sulfide_line",
                            "zobell", "loop_in_manual"})
        if (!read.failed() && std::none_of(data.cautions.begin(), data.cautions.end(), [&](const auto& e) { return e.caution.key == key; }))
            read.fail("caution", fmt::format("the caution {} is missing", key), "take it over from the shipped set");
    for (const auto& action : data.actions)
        for (const auto& key : action.rule.cautions)
            if (!read.failed() &&
                std::none_of(data.cautions.begin(), data.cautions.end(), [&](const auto& e) { return e.caution.key == key; }))
                read.fail(fmt::format("action.{}.cautions", keyOf(action.rule.action)), fmt::format("there is no caution \"{}\"", key),
                          "use the key of a [[caution]]");
}

}  // namespace halfcell::core
