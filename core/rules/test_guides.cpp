#include "core/rules/test_guides.h"

#include "core/rules/toml_read.h"

namespace halfcell::core {

std::vector<TestGuide> readTestGuides(RuleReader& read, const Place& root)
{
    std::vector<TestGuide> guides;
    for (const auto& at : read.tables(root, "test")) {
        read.only(at, {"key", "title", "column", "minutes", "needs", "steps", "cautions", "result", "source", "class"});
        TestGuide g;
        g.key = read.text(at, "key", true);
        g.title = read.text(at, "title", true);
        g.column = read.text(at, "column", true);
        g.minutes = read.number(at, "minutes", true);
        g.needs = read.words(at, "needs");
        g.steps = read.words(at, "steps");
        g.cautions = read.words(at, "cautions");
        for (const auto& result : read.tables(at, "result")) {
            read.only(result, {"reads", "means"});
            g.outcomes.push_back({read.text(result, "reads", true), read.text(result, "means", true)});
        }
        g.source = read.text(at, "source", true);
        g.sourceClass = read.sourceClass(at, "class", g.sourceClass);
        if (!read.failed() && !(g.minutes > 0.0))
            read.fail(at.at("minutes"), "a test takes some minutes", "give minutes above 0");
        if (!read.failed() && g.steps.empty())
            read.fail(at.at("steps"), "a test without steps guides nobody", "say what is done, in order");
        if (!read.failed() && g.outcomes.size() < 2)
            read.fail(at.at("result"), "a result that can only come out one way tells nothing", "give two or more of { reads, means }");
        guides.push_back(std::move(g));
    }
    return guides;
}

std::vector<TestGuide> testGuides(const RuleSet& rules)
{
    const std::string& text = rules.text().empty() ? RuleSet::shipped().text() : rules.text();
    const toml::table table = toml::parse(text);
    if (!table.contains("test") && &text != &RuleSet::shipped().text())
        return testGuides(RuleSet::shipped());
    RuleReader read(text);
    return readTestGuides(read, Place{&table, {}});
}

}  // namespace halfcell::core
