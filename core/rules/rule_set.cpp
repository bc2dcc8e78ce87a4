#include "core/rules/rule_set.h"

#include "core/rules/rule_set_data.h"
#include "core/rules/toml_read.h"
#include "embedded/rule_files.h"

#include <algorithm>
#include <sstream>

namespace halfcell::core {

namespace {

/// The shipped files as one text: each has its own tables, so they can stand one after the other.
std::string shippedText()
{
    std::string text;
    for (const auto& file : embedded::rule_files) {
        if (!text.empty())
            text += '\n';
        text += file.text;
    }
    return text;
}

void put(toml::table& into, const std::string& key, toml::node&& value)
{
    std::move(value).visit([&](auto&& node) { into.insert_or_assign(key, std::forward<decltype(node)>(node)); });
}

/// What `over` says goes before what `base` says: tables field by field, lists of tables with a `key` member by member,
/// anything else as a whole.
void lay(toml::table& base, toml::table& over)
{
    for (auto&& [key, node] : over) {
        const std::string name(key.str());
        auto* below = base.get(name);
        if (below && below->is_table() && node.is_table() && !node.as_table()->contains("value")) {
            lay(*below->as_table(), *node.as_table());
            continue;
        }
        auto* list = below ? below->as_array() : nullptr;
        auto* own = node.as_array();
        const auto keyed = [](const toml::array& a) {
            return !a.empty() &&
                   std::all_of(a.begin(), a.end(), [](const toml::node& n) { return n.is_table() && n.as_table()->contains("key"); });
        };
        if (list && own && keyed(*list) && keyed(*own)) {
            for (auto&& member : *own) {
                auto& ownTable = *member.as_table();
                const auto ownKey = ownTable["key"].value<std::string>();
                bool found = false;
                for (auto&& other : *list)
                    if (other.as_table()->get("key")->value<std::string>() == ownKey) {
                        lay(*other.as_table(), ownTable);
                        found = true;
                    }
                if (!found)
                    list->push_back(std::move(ownTable));
            }
            continue;
        }
        put(base, name, std::move(node));
    }
}

}  // namespace

const RuleSet& RuleSet::shipped()
{
    static const RuleSet set = [] {
        auto parsed = parse(shippedText());
        if (!parsed) {
            // The embedded text is part of the program and its tests read it; a set without rules must not pass for one.
            fmt::print(stderr, "shipped rules, {}: {} ({})\n", parsed.error().field, parsed.error().detail, parsed.error().remedy);
            std::abort();
        }
        return *std::move(parsed);
    }();
    return set;
}

Result<RuleSet> RuleSet::parse(std::string_view text)
{
    if (text.find('\0') != std::string_view::npos)
        return failure(Errc::BadInput, "the file holds bytes that are no text", "save it as plain text, UTF-8");
    toml::table table;
    std::string whole(text);
    try {
        table = toml::parse(text);
    } catch (const toml::parse_error& error) {
        Error found{.code = Errc::BadInput, .detail = std::string(error.description())};
        found.line = static_cast<std::size_t>(error.source().begin.line);
        found.remedy = "mend the line; text stands in quotes, a list in [ ], a group of fields below [name]";
        return std::unexpected(std::move(found));
    }
    RuleReader read(text);
    const Place top{&table, {}};
    if (const auto rules = read.table(top, "rules", true)) {
        const auto base = read.text(rules, "base", false);
        if (!base.empty() && base != "shipped")
            read.fail("rules.base", fmt::format("\"{}\" is no base", base),
                      "write base = \"shipped\", or leave it out and give the whole set");
        if (!read.failed() && base == "shipped") {
            auto shippedTable = toml::parse(shippedText());
            table["rules"].as_table()->erase("base");
            lay(shippedTable, table);
            table = std::move(shippedTable);
            std::ostringstream out;
            out << toml::toml_formatter(table) << '\n';
            whole = out.str();
        }
    }
    if (read.failed())
        return std::unexpected(read.error());

    RuleSet set;
    auto data = std::make_shared<Data>();
    const Place root{&table, {}};
    read.only(root, {"rules", "signals", "permissions", "profile", "assign", "budget", "open_life", "numbers", "intervals", "reference",
                     "sensing", "action", "agent", "not_offered", "caution", "diagnosis", "observable", "orp_observable", "test"});
    readLimits(read, root, *data, set.m_budget, set.m_signalOrder);
    if (!read.failed())
        readIntervals(read, root, *data);
    if (!read.failed())
        readDesigns(read, root, *data);
    if (!read.failed())
        readActions(read, root, *data);
    if (!read.failed())
        readCautions(read, root, *data);
    if (!read.failed())
        readDiagnosis(read, root, *data);
    if (!read.failed())
        (void)readTestGuides(read, root, [&data](std::string_view name) {
            const auto found = data->numbers.find(name);
            return found != data->numbers.end() ? std::optional(found->second.value) : std::nullopt;
        });
    if (read.failed())
        return std::unexpected(read.error());
    set.m_text = std::move(whole);
    set.m_data = std::move(data);
    return set;
}

const RuleSet::Data& RuleSet::data() const
{
    return m_data ? *m_data : *shipped().m_data;
}

const diagnosis::Tables& RuleSet::diagnosisTables() const
{
    const auto& own = data().diagnosisTables;
    return own ? *own : *shipped().m_data->diagnosisTables;
}

std::string RuleSet::id() const
{
    return fmt::format("{}@{}", data().name, data().version);
}

const LimitProfile& RuleSet::profile(std::string_view name) const
{
    const auto& profiles = data().profiles;
    const auto found = profiles.find(name);
    return found != profiles.end() ? found->second : profiles.find("default")->second;
}

const LimitProfile& RuleSet::profileFor(const Model* model, const Point* point) const
{
    const auto& all = data().assignments;
    const auto use = [&](std::string ProfileAssignment::*member, std::string_view value) -> const LimitProfile* {
        for (const auto& a : all)
            if (!(a.*member).empty() && a.*member == value)
                return &profile(a.profile);
        return nullptr;
    };
    if (model)
        if (const auto* found = use(&ProfileAssignment::model, model->model))
            return *found;
    if (point && point->loop_class)
        if (const auto* found = use(&ProfileAssignment::loop_class, keyOf(*point->loop_class)))
            return *found;
    if (point)
        if (const auto* found = use(&ProfileAssignment::site, point->site))
            return *found;
    return profile("default");
}

std::vector<std::string> RuleSet::profileNames() const
{
    std::vector<std::string> names{"default"};
    for (const auto& [name, profile] : data().profiles)
        if (name != "default")
            names.push_back(name);
    return names;
}

double RuleSet::openLifeDays(std::string_view standard) const
{
    const auto& lives = data().lives;
    const auto found = lives.find(standard);
    return (found != lives.end() ? found : lives.find("*"))->second.opened_days;
}

std::optional<TaskRule> RuleSet::taskRule(TaskKind task, std::string_view application, const Model* model) const
{
    if (model) {
        const auto forbids = [&](ActionKey action) { return allows(*model, action).offer == DesignAllows::Offer::No; };
        if ((task == TaskKind::RefillReference && forbids(ActionKey::RefillReference)) ||
            (task == TaskKind::ReplaceBridge && forbids(ActionKey::ReplaceBridge)) ||
            (task == TaskKind::Calibrate && forbids(ActionKey::Adjust)))
            return std::nullopt;
    }
    const auto& tasks = data().tasks;
    const bool known =
        application != "*" && std::any_of(tasks.begin(), tasks.end(), [&](const auto& r) { return r.application == application; });
    const TaskRule* best = nullptr;
    int bestRank = -1;
    for (const auto& rule : tasks) {
        if (rule.task != task)
            continue;
        int rank = 0;
        if (known && rule.application == application)
            rank += 2;
        else if (rule.application != "*")
            continue;
        if (rule.design != "*") {
            const bool fits = model && ((model->reference && keyOf(*model->reference) == rule.design) ||
                                        (model->sensing && keyOf(*model->sensing) == rule.design));
            if (!fits)
                continue;
            ++rank;
        }
        if (rank > bestRank) {
            best = &rule;
            bestRank = rank;
        }
    }
    if (!best || best->interval_days <= 0)
        return std::nullopt;
    return *best;
}

LifeMonths RuleSet::lifeMonths(std::string_view application) const
{
    const auto& lives = data().lifeMonths;
    auto found = lives.find(application);
    if (found == lives.end())
        found = lives.find("*");
    return found != lives.end() ? found->second : LifeMonths{};
}

Limit RuleSet::number(std::string_view key) const
{
    const auto& numbers = data().numbers;
    const auto found = numbers.find(key);
    return found != numbers.end() ? found->second : Limit{0.0, "not set", SourceClass::Assumed};
}

double RuleSet::numberOr(std::string_view key, double otherwise) const
{
    const double value = number(key).value;
    return value > 0.0 ? value : otherwise;
}

bool RuleSet::permits(std::string_view permission) const
{
    const auto& all = data().permissions;
    const auto found = all.find(permission);
    return found != all.end() && found->second;
}

}  // namespace halfcell::core
