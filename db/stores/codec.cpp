#include "db/stores/codec.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <array>
#include <charconv>

namespace halfcell::db {

void throwUnknownWord(std::string_view word)
{
    throwError(core::Errc::DamagedBook, fmt::format("the book holds the unknown word \"{}\"", word.substr(0, 40)),
               "verify the book, and go back to the last good backup");
}

void Codec<std::vector<std::string>>::put(std::span<Slot> s, const std::vector<std::string>& v)
{
    std::string joined;
    for (const std::string& item : v) {
        if (!joined.empty())
            joined += ';';
        joined += item;
    }
    if (joined.empty())
        s[0].clear();
    else
        s[0].set(joined);
}

void Codec<std::vector<std::string>>::get(std::span<const Slot> s, std::vector<std::string>& v)
{
    if (s[0].isNull())
        return;
    std::string_view rest = s[0].text;
    for (;;) {
        const std::size_t end = rest.find(';');
        v.emplace_back(rest.substr(0, end));
        if (end == std::string_view::npos)
            return;
        rest.remove_prefix(end + 1);
    }
}

void Codec<std::vector<core::SettlePoint>>::put(std::span<Slot> s, const std::vector<core::SettlePoint>& v)
{
    std::string joined;
    for (const core::SettlePoint& p : v) {
        if (!joined.empty())
            joined += ';';
        joined += core::formatNumber(p.seconds + 0.0) + ':' + core::formatNumber(p.mv + 0.0);
    }
    if (joined.empty())
        s[0].clear();
    else
        s[0].set(joined);
}

void Codec<std::vector<core::SettlePoint>>::get(std::span<const Slot> s, std::vector<core::SettlePoint>& v)
{
    v.clear();
    if (s[0].isNull())
        return;
    std::string_view rest = s[0].text;
    while (!rest.empty()) {
        const std::size_t end = rest.find(';');
        const std::string_view item = rest.substr(0, end);
        rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + 1);
        const std::size_t colon = item.find(':');
        const auto seconds = core::parseNumber(item.substr(0, colon));
        const auto mv = core::parseNumber(colon == std::string_view::npos ? std::string_view() : item.substr(colon + 1));
        if (!seconds || !mv)
            throwUnknownWord(item);
        v.push_back({*seconds, *mv});
    }
}

void appendContent(std::string& out, std::string_view table, std::span<const Slot> slots, std::span<const std::string> names)
{
    std::array<char, 32> number{};
    const auto value = [&](std::string_view bytes) {
        std::array<char, 24> length{};
        const auto end = std::to_chars(length.data(), length.data() + length.size(), bytes.size()).ptr;
        out.append(length.data(), end);
        out += ':';
        out += bytes;
        out += ';';
    };
    out += '[';
    out += table;
    out += ']';
    for (std::size_t i = 0; i < slots.size(); ++i) {
        const Slot& slot = slots[i];
        if (slot.isNull())
            continue;
        out += names[i];
        out += '=';
        char* const first = number.data();
        char* const last = number.data() + number.size();
        switch (slot.kind) {
        case Slot::Kind::Text: value(slot.text); break;
        case Slot::Kind::Real: value({first, std::to_chars(first, last, slot.real).ptr}); break;
        case Slot::Kind::Integer: value({first, std::to_chars(first, last, slot.integer).ptr}); break;
        }
    }
}

}  // namespace halfcell::db
