#pragma once

#include "core/rules/rule_set.h"
#include "core/rules/test_guides.h"

#include <toml++/toml.h>

#include <functional>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Reading of rule text with errors that name line, field and remedy. Internal to core/rules.
namespace halfcell::core {

/// The path of a member of a list of tables.
[[nodiscard]] std::string memberPath(const std::string& path, const toml::table& member, std::size_t place);

/// A table with its path.
struct Place {
    const toml::table* table = nullptr;
    std::string path;
    [[nodiscard]] explicit operator bool() const { return table != nullptr; }
    [[nodiscard]] std::string at(std::string_view key) const { return path.empty() ? std::string(key) : path + '.' + std::string(key); }
};

/// Takes values out of tables; the first thing that is wrong is kept and everything after it is harmless.
class RuleReader {
public:
    /// `written` is the text as its author sees it, for the lines of what is wrong. It must outlive the reader.
    explicit RuleReader(std::string_view written) : m_written(written) {}

    [[nodiscard]] bool failed() const { return m_error.has_value(); }
    [[nodiscard]] const Error& error() const { return *m_error; }
    void fail(const std::string& path, std::string detail, std::string remedy, const std::string& partner = {});

    Place table(const Place& in, std::string_view key, bool required);
    /// The members of a list of tables (none if the key is absent).
    std::vector<Place> tables(const Place& in, std::string_view key);
    std::string text(const Place& in, std::string_view key, bool required, std::string fallback = {});
    double number(const Place& in, std::string_view key, bool required, double fallback = 0.0);
    bool truth(const Place& in, std::string_view key, bool fallback);
    /// A word or a list of words.
    std::vector<std::string> words(const Place& in, std::string_view key);
    SourceClass sourceClass(const Place& in, std::string_view key, SourceClass fallback);
    /// { value, source, class }
    Limit limit(const Place& in, std::string_view key, bool required, Limit fallback = {});
    /// Refuses any other key, so that a misspelt one is not passed over.
    void only(const Place& in, std::initializer_list<std::string_view> keys);
    template <class E>
    std::optional<E> word(const Place& in, std::string_view key, bool required)
    {
        const auto found = text(in, key, required);
        if (found.empty() || failed())
            return std::nullopt;
        const auto value = parseKey<E>(found);
        if (!value) {
            fail(in.at(key), value.error().detail, value.error().remedy);
            return std::nullopt;
        }
        return *value;
    }
    template <class E>
    void checkWords(const std::vector<std::string>& list, const std::string& path)
    {
        for (const auto& item : list)
            if (const auto value = parseKey<E>(item); !value)
                fail(path, value.error().detail, value.error().remedy);
    }

private:
    std::string_view m_written;
    std::optional<Error> m_error;
};

// The parts of a rule set, one function each; they fill `data` and report to the reader.
void readLimits(RuleReader& read, const Place& root, RuleSet::Data& data, BudgetDefaults& budget, std::vector<Signal>& order);
void readIntervals(RuleReader& read, const Place& root, RuleSet::Data& data);
void readDesigns(RuleReader& read, const Place& root, RuleSet::Data& data);
void readActions(RuleReader& read, const Place& root, RuleSet::Data& data);
void readCautions(RuleReader& read, const Place& root, RuleSet::Data& data);
void readDiagnosis(RuleReader& read, const Place& root, RuleSet::Data& data);
/// The value of one of the set's numbers by its name; none if the set has no such number.
using NumberOf = std::function<std::optional<double>(std::string_view)>;
/// The guides of tests are read when asked for; here so that a mistake in them is named with the others.
[[nodiscard]] std::vector<TestGuide> readTestGuides(RuleReader& read, const Place& root, const NumberOf& numberOf);

}  // namespace halfcell::core
