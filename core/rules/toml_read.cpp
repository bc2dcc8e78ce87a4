#include "core/rules/toml_read.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core {

namespace {

constexpr std::pair<std::string_view, SourceClass> kClasses[] = {
    {"law", SourceClass::Law},       {"standard", SourceClass::Standard},
    {"maker", SourceClass::Maker},   {"common practice", SourceClass::CommonPractice},
    {"memory", SourceClass::Memory}, {"assumed", SourceClass::Assumed},
    {"record", SourceClass::Record}, {"computed", SourceClass::Computed}};

std::size_t lineOf(const toml::node& node)
{
    return static_cast<std::size_t>(node.source().begin.line);
}

/// Where each path of a text stands: "profile.default.efficiency_use_pct" -> line. Members of a list of tables are named
/// by their `key` if they have one, else by their place from 0.
using LineMap = std::map<std::string, std::size_t, std::less<>>;

void collect(const toml::table& table, const std::string& path, LineMap& lines)
{
    for (const auto& [key, node] : table) {
        const auto at = path.empty() ? std::string(key.str()) : path + '.' + std::string(key.str());
        lines[at] = lineOf(node);
        if (const auto* inner = node.as_table())
            collect(*inner, at, lines);
        const auto* list = node.as_array();
        for (std::size_t i = 0; list && i < list->size(); ++i)
            if (const auto* member = (*list)[i].as_table()) {
                const auto memberAt = memberPath(at, *member, i);
                lines[memberAt] = lineOf(*member);
                collect(*member, memberAt, lines);
            }
    }
}

}  // namespace

std::string memberPath(const std::string& path, const toml::table& member, std::size_t place)
{
    if (const auto key = member["key"].value<std::string>())
        return path + '.' + *key;
    return path + '[' + std::to_string(place) + ']';
}

void RuleReader::fail(const std::string& path, std::string detail, std::string remedy, const std::string& partner)
{
    if (m_error)
        return;
    Error error{.code = Errc::BadInput, .detail = std::move(detail)};
    error.remedy = std::move(remedy);
    error.field = path;
    // Only a text that is refused is gone through for its lines; it parsed before, so it parses now.
    LineMap lines;
    collect(toml::parse(m_written), {}, lines);
    // The field itself, else the one it was compared with, else the nearest table around it.
    auto found = lines.find(path);
    if (found == lines.end() && !partner.empty()) {
        found = lines.find(partner);
        if (found != lines.end())
            error.field = partner;
    }
    for (auto around = path; found == lines.end() && around.find_last_of(".[") != std::string::npos;) {
        around.resize(around.find_last_of(".["));
        found = lines.find(around);
    }
    if (found != lines.end() && found->second > 0)
        error.line = found->second;
    m_error = std::move(error);
}

Place RuleReader::table(const Place& in, std::string_view key, bool required)
{
    if (!in)
        return {};
    const auto* node = in.table->get(key);
    if (!node) {
        if (required)
            fail(in.at(key), fmt::format("the table [{}] is missing", in.at(key)), "add it, or write base = \"shipped\" under [rules]");
        return {};
    }
    if (const auto* inner = node->as_table())
        return {inner, in.at(key)};
    fail(in.at(key), "a table is expected here", fmt::format("write [{}] with its fields below", in.at(key)));
    return {};
}

std::vector<Place> RuleReader::tables(const Place& in, std::string_view key)
{
    std::vector<Place> found;
    const auto* node = in ? in.table->get(key) : nullptr;
    if (!node)
        return found;
    const auto* list = node->as_array();
    for (std::size_t i = 0; list && i < list->size(); ++i) {
        if (const auto* member = (*list)[i].as_table()) {
            found.push_back({member, memberPath(in.at(key), *member, i)});
        } else {
            list = nullptr;
            break;
        }
    }
    if (!list)
        fail(in.at(key), "a list of tables is expected here", fmt::format("write [[{}]] before each", in.at(key)));
    return found;
}

std::string RuleReader::text(const Place& in, std::string_view key, bool required, std::string fallback)
{
    const auto* node = in ? in.table->get(key) : nullptr;
    if (!node) {
        if (required && in)
            fail(in.at(key), fmt::format("\"{}\" is missing", key), fmt::format("add {} = \"...\"", key));
        return fallback;
    }
    if (const auto value = node->value_exact<std::string>())
        return *value;
    fail(in.at(key), "text is expected here", fmt::format("write {} = \"...\" in quotes", key));
    return fallback;
}

double RuleReader::number(const Place& in, std::string_view key, bool required, double fallback)
{
    const auto* node = in ? in.table->get(key) : nullptr;
    if (!node) {
        if (required && in)
            fail(in.at(key), fmt::format("\"{}\" is missing", key), fmt::format("add {} = a number", key));
        return fallback;
    }
    if (node->is_number())
        if (const auto value = node->value<double>(); value && !std::isnan(*value))
            return *value;
    fail(in.at(key), "a number is expected here", fmt::format("write {} = a number, without unit and quotes", key));
    return fallback;
}

bool RuleReader::truth(const Place& in, std::string_view key, bool fallback)
{
    const auto* node = in ? in.table->get(key) : nullptr;
    if (!node)
        return fallback;
    if (const auto value = node->value_exact<bool>())
        return *value;
    fail(in.at(key), "true or false is expected here", fmt::format("write {} = true or {} = false", key, key));
    return fallback;
}

std::vector<std::string> RuleReader::words(const Place& in, std::string_view key)
{
    std::vector<std::string> found;
    const auto* node = in ? in.table->get(key) : nullptr;
    if (!node)
        return found;
    if (const auto one = node->value_exact<std::string>())
        return {*one};
    const auto* list = node->as_array();
    for (std::size_t i = 0; list && i < list->size(); ++i) {
        if (const auto one = (*list)[i].value_exact<std::string>())
            found.push_back(*one);
        else
            list = nullptr;
    }
    if (!list)
        fail(in.at(key), "a word or a list of words is expected here", fmt::format("write {} = [\"...\", \"...\"]", key));
    return found;
}

SourceClass RuleReader::sourceClass(const Place& in, std::string_view key, SourceClass fallback)
{
    const auto word = text(in, key, false);
    if (word.empty())
        return fallback;
    for (const auto& [name, value] : kClasses)
        if (name == word)
            return value;
    fail(in.at(key), fmt::format("\"{}\" is not a class of source", word),
         "use one of: law, standard, maker, common practice, memory, assumed, record, computed");
    return fallback;
}

Limit RuleReader::limit(const Place& in, std::string_view key, bool required, Limit fallback)
{
    if (!in)
        return fallback;
    if (!in.table->get(key)) {
        if (required)
            fail(in.at(key), fmt::format("the limit \"{}\" is missing", key),
                 fmt::format("add {} = {{ value = ..., source = \"...\", class = \"...\" }}, or write base = \"shipped\" under [rules]",
                             key));
        return fallback;
    }
    const auto inner = table(in, key, true);
    only(inner, {"value", "source", "class", "unit"});
    Limit limit;
    limit.value = number(inner, "value", true);
    limit.source = text(inner, "source", true);
    limit.sourceClass = sourceClass(inner, "class", SourceClass::CommonPractice);
    return limit;
}

void RuleReader::only(const Place& in, std::initializer_list<std::string_view> keys)
{
    if (!in)
        return;
    for (const auto& [key, node] : *in.table) {
        if (std::find(keys.begin(), keys.end(), key.str()) != keys.end())
            continue;
        std::string list;
        for (const auto name : keys)
            list += (list.empty() ? "" : " ") + std::string(name);
        fail(in.at(key.str()), fmt::format("\"{}\" is not known here", std::string(key.str())), "use one of: " + list);
        return;
    }
}

}  // namespace halfcell::core
