#include "db/stores/content_text.h"

#include "db/connection/guarded.h"
#include "db/stores/codec.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace halfcell::db {

namespace {

[[noreturn]] void throwMalformed()
{
    throwError(core::Errc::DamagedBook, "a kept content of a row can't be read back", "verify the book");
}

void appendValue(std::string& out, std::string_view name, std::string_view value)
{
    fmt::format_to(std::back_inserter(out), "{}={}:{};", name, value.size(), value);
}

/// Words of a list separated by blanks.
template <class Take>
void eachWord(std::string_view words, Take take)
{
    while (!words.empty()) {
        const std::size_t end = words.find(' ');
        take(words.substr(0, end));
        words = end == std::string_view::npos ? std::string_view() : words.substr(end + 1);
    }
}

template <class T>
T numberIn(const std::string& text)
{
    T value{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size())
        throwMalformed();
    return value;
}

}  // namespace

const std::string* ContentRow::value(std::string_view column) const
{
    for (const auto& [name, held] : values)
        if (name == column)
            return &held;
    return nullptr;
}

std::vector<ContentRow> parseContent(std::string_view content)
{
    std::vector<ContentRow> rows;
    std::size_t at = 0;
    const auto until = [&](char end) {
        const std::size_t found = content.find(end, at);
        if (found == std::string_view::npos)
            throwMalformed();
        const std::string_view part = content.substr(at, found - at);
        at = found + 1;
        return part;
    };
    while (at < content.size()) {
        const std::size_t start = at;
        if (content[at] == '[') {
            ++at;
            // A nameless part goes on with the row before it.
            if (const std::string_view table = until(']'); !table.empty())
                rows.emplace_back().table = table;
            else if (rows.empty())
                throwMalformed();
        } else {
            if (rows.empty())
                throwMalformed();
            const std::string_view name = until('=');
            const auto length = numberIn<std::size_t>(std::string(until(':')));
            if (length >= content.size() - at || content[at + length] != ';')
                throwMalformed();
            rows.back().values.emplace_back(name, content.substr(at, length));
            at += length + 1;
        }
        rows.back().text.append(content.substr(start, at - start));
    }
    return rows;
}

void fillSlots(std::span<Slot> slots, std::span<const std::string> names, const ContentRow& row)
{
    for (std::size_t i = 0; i < slots.size(); ++i) {
        const std::string* value = row.value(names[i]);
        if (value == nullptr) {
            slots[i].clear();
            continue;
        }
        switch (slots[i].kind) {
        case Slot::Kind::Text: slots[i].set(std::string_view(*value)); break;
        case Slot::Kind::Real: slots[i].set(numberIn<double>(*value)); break;
        case Slot::Kind::Integer: slots[i].set(numberIn<long long>(*value)); break;
        }
    }
}

std::string rowKeyOf(std::string_view table, std::string_view keys, std::span<const Slot> slots, std::span<const std::string> names)
{
    std::string key = fmt::format("[{}]", table);
    std::string part;
    eachWord(keys, [&](std::string_view word) {
        const auto at = static_cast<std::size_t>(std::ranges::find(names, word) - names.begin());
        if (at == names.size())
            throwError(core::Errc::Internal, fmt::format("{} has no key column {}", table, word));
        part.clear();
        appendContent(part, {}, slots.subspan(at, 1), names.subspan(at, 1));
        key += std::string_view(part).substr(2);  // without the empty table's name
    });
    return key;
}

std::string rowKeyOf(const ContentRow& row, std::string_view keys)
{
    std::string key = fmt::format("[{}]", row.table);
    eachWord(keys, [&](std::string_view word) {
        if (const std::string* value = row.value(word))
            appendValue(key, word, *value);
    });
    return key;
}

std::string contentWithout(std::string_view content, std::span<const std::string_view> columns)
{
    std::string out;
    for (const ContentRow& row : parseContent(content)) {
        fmt::format_to(std::back_inserter(out), "[{}]", row.table);
        for (const auto& [name, value] : row.values)
            if (std::ranges::find(columns, std::string_view(name)) == columns.end())
                appendValue(out, name, value);
    }
    return out;
}

}  // namespace halfcell::db
