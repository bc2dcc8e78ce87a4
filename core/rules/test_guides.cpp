#include "core/rules/test_guides.h"

#include "core/quantity/number.h"
#include "core/rules/judging.h"
#include "core/rules/toml_read.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core {

namespace {

/// A number, or the name of one of the set's numbers ("diagnosis.noise_mv").
std::optional<double> bound(RuleReader& read, const Place& at, std::string_view key, const NumberOf& numberOf)
{
    const auto* node = at.table->get(key);
    if (!node)
        return std::nullopt;
    if (!node->is_string())
        return read.number(at, key, true);
    const auto name = read.text(at, key, true);
    const auto value = numberOf(name);
    if (!value)
        read.fail(at.at(key), "\"" + name + "\" is no number of this rule set",
                  "name one of its [numbers] or [diagnosis], or write a number");
    return value;
}

/// The words with each {name} replaced by that number.
std::string filled(RuleReader& read, const std::string& path, std::string_view words, const NumberOf& numberOf)
{
    std::string out;
    while (true) {
        const auto open = words.find('{');
        const auto close = words.find('}', open);
        if (open == words.npos || close == words.npos)
            return out.append(words);
        const std::string name(words.substr(open + 1, close - open - 1));
        const auto value = numberOf(name);
        if (!value) {
            read.fail(path, "{" + name + "} is no number of this rule set",
                      "name one of its [numbers] or [diagnosis], or write the figure");
            return out;
        }
        out.append(words.substr(0, open));
        out += formatNumber(*value);
        words.remove_prefix(close + 1);
    }
}

TestGuide::Outcome readOutcome(RuleReader& read, const Place& at, const NumberOf& numberOf)
{
    read.only(at, {"reads", "means", "within", "under", "below", "above", "answer"});
    TestGuide::Outcome o;
    o.reads = filled(read, at.at("reads"), read.text(at, "reads", true), numberOf);
    o.means = read.text(at, "means", true);
    o.within = bound(read, at, "within", numberOf);
    o.under = bound(read, at, "under", numberOf);
    o.below = bound(read, at, "below", numberOf);
    o.above = bound(read, at, "above", numberOf);
    o.answer = read.word<Comparison>(at, "answer", false);
    const bool bounded = o.within || o.under || o.below || o.above;
    if (!read.failed() && o.answer && bounded)
        read.fail(at.at("answer"), "a result is an answer or a number, not both", "leave the answer or the bounds out");
    if (!read.failed() && o.below && o.above && *o.above >= *o.below)
        read.fail(at.at("above"), "nothing lies above this and below the other bound", "give an above that is less than below");
    for (const auto& [key, size] : {std::pair{"within", o.within}, {"under", o.under}})
        if (!read.failed() && size && !(*size > 0.0))
            read.fail(at.at(key), "a distance is more than 0", "give how far from good a result may lie");
    return o;
}

}  // namespace

std::vector<TestGuide> readTestGuides(RuleReader& read, const Place& root, const NumberOf& numberOf)
{
    std::vector<TestGuide> guides;
    for (const auto& at : read.tables(root, "test")) {
        read.only(at, {"key", "title", "column", "minutes", "needs", "steps", "cautions", "around", "result", "source", "class"});
        TestGuide g;
        g.key = read.text(at, "key", true);
        g.title = read.text(at, "title", true);
        g.column = read.text(at, "column", true);
        g.minutes = read.number(at, "minutes", true);
        g.needs = read.words(at, "needs");
        g.steps = read.words(at, "steps");
        for (std::string& step : g.steps)
            step = filled(read, at.at("steps"), step, numberOf);
        g.cautions = read.words(at, "cautions");
        g.around = bound(read, at, "around", numberOf).value_or(0.0);
        for (const auto& result : read.tables(at, "result"))
            g.outcomes.push_back(readOutcome(read, result, numberOf));
        g.source = read.text(at, "source", true);
        g.sourceClass = read.sourceClass(at, "class", g.sourceClass);
        if (!read.failed() && !(g.minutes > 0.0))
            read.fail(at.at("minutes"), "a test takes some minutes", "give minutes above 0");
        if (!read.failed() && g.steps.empty())
            read.fail(at.at("steps"), "a test without steps guides nobody", "say what is done, in order");
        if (!read.failed() && g.outcomes.size() < 2)
            read.fail(at.at("result"), "a result that can only come out one way tells nothing", "give two or more of { reads, means }");
        if (!read.failed() && std::ranges::find(guides, g.key, &TestGuide::key) != guides.end())
            read.fail(at.at("key"), "the test \"" + g.key + "\" stands here twice", "leave one of them out");
        guides.push_back(std::move(g));
    }
    return guides;
}

std::vector<TestGuide> testGuides(const RuleSet& rules)
{
    const RuleSet& shipped = RuleSet::shipped();
    const auto guidesIn = [&](const std::string& text) {
        const toml::table table = toml::parse(text);
        RuleReader read(text);
        // A set that is older than a limit takes the one shipped, as judging does.
        return readTestGuides(read, Place{&table, {}}, [&](std::string_view name) -> std::optional<double> {
            for (const RuleSet* set : {&rules, &shipped})
                if (const Limit limit = set->number(name); limit.source != "not set")
                    return limit.value;
            return std::nullopt;
        });
    };
    auto guides = guidesIn(shipped.text());
    if (rules.text().empty() || rules.text() == shipped.text())
        return guides;
    auto own = guidesIn(rules.text());
    for (TestGuide& g : guides)
        if (std::ranges::find(own, g.key, &TestGuide::key) == own.end())
            own.push_back(std::move(g));
    return own;
}

const TestGuide::Outcome* outcomeOf(const TestGuide& guide, double result)
{
    constexpr double kTiny = 1e-9;  // two decimals that are not exact in binary
    const double distance = std::fabs(result - guide.around);
    const auto fits = [&](const TestGuide::Outcome& o) {
        return !o.answer && (!o.within || distance <= *o.within + kTiny) && (!o.under || distance < *o.under - kTiny) &&
               (!o.below || result < *o.below - kTiny) && (!o.above || result > *o.above + kTiny);
    };
    const auto found = std::ranges::find_if(guide.outcomes, fits);
    return found != guide.outcomes.end() ? &*found : nullptr;
}

std::optional<double> glassRatioOf(const Check& check, const std::vector<const Visit*>& visits)
{
    const auto now = judging::glassAt25(check);
    for (const Visit* visit : visits)
        for (const Check& before : visit->checks)
            if (const auto first = judging::glassAt25(before); now && first && *first > 0.0)
                return *now / *first;
    return std::nullopt;
}

const TestGuide::Outcome* outcomeOf(const TestGuide& guide, Comparison result)
{
    const auto found = std::ranges::find(guide.outcomes, std::optional(result), &TestGuide::Outcome::answer);
    return found != guide.outcomes.end() ? &*found : nullptr;
}

}  // namespace halfcell::core
