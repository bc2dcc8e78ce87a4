#pragma once

#include "core/fleet/records.h"
#include "db/connection/guarded.h"
#include "db/connection/slot.h"

#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

/// How a field of a row lies in columns: one column for text, numbers, yes/no, words and lists; two (`x_s`,
/// `x_offset_min`) for an instant. A number that may be answered with "not done" and the like is a REAL column; the answer
/// goes into the row's `unanswered` text (see row_slots.h).
namespace halfcell::db {

[[noreturn]] void throwUnknownWord(std::string_view word);

template <class T>
struct Codec;

template <>
struct Codec<std::string> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Text;
    static void put(std::span<Slot> s, const std::string& v) { s[0].set(v); }
    static void get(std::span<const Slot> s, std::string& v)
    {
        if (s[0].isNull())
            v.clear();
        else
            v.assign(s[0].text);
    }
};
template <>
struct Codec<core::Text> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Text;
    static void put(std::span<Slot> s, const core::Text& v)
    {
        if (v && !v->empty())
            s[0].set(*v);
        else
            s[0].clear();
    }
    static void get(std::span<const Slot> s, core::Text& v)
    {
        if (!s[0].isNull())
            v.emplace(s[0].text);
    }
};
template <>
struct Codec<std::vector<std::string>> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Text;
    static void put(std::span<Slot> s, const std::vector<std::string>& v);
    static void get(std::span<const Slot> s, std::vector<std::string>& v);
};
/// As its cell: `0:-3.1;10:95.4`.
template <>
struct Codec<std::vector<core::SettlePoint>> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Text;
    static void put(std::span<Slot> s, const std::vector<core::SettlePoint>& v);
    static void get(std::span<const Slot> s, std::vector<core::SettlePoint>& v);
};
template <>
struct Codec<double> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Real;
    /// Adding zero turns a negative zero into the plain one.
    static void put(std::span<Slot> s, double v) { s[0].set(v + 0.0); }
    static void get(std::span<const Slot> s, double& v) { v = s[0].real; }
};
template <>
struct Codec<std::optional<double>> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Real;
    static void put(std::span<Slot> s, const std::optional<double>& v)
    {
        if (v)
            s[0].set(*v + 0.0);
        else
            s[0].clear();
    }
    static void get(std::span<const Slot> s, std::optional<double>& v)
    {
        if (!s[0].isNull())
            v = s[0].real;
    }
};
template <>
struct Codec<core::Answered<double>> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Real;
    static void put(std::span<Slot> s, const core::Answered<double>& v) { Codec<std::optional<double>>::put(s, v.value); }
    static void get(std::span<const Slot> s, core::Answered<double>& v) { Codec<std::optional<double>>::get(s, v.value); }
};
template <>
struct Codec<int> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Integer;
    static void put(std::span<Slot> s, int v) { s[0].set(static_cast<long long>(v)); }
    static void get(std::span<const Slot> s, int& v) { v = static_cast<int>(s[0].integer); }
};
template <>
struct Codec<bool> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Integer;
    static void put(std::span<Slot> s, bool v) { s[0].set(static_cast<long long>(v ? 1 : 0)); }
    static void get(std::span<const Slot> s, bool& v) { v = s[0].integer != 0; }
};
template <>
struct Codec<std::optional<bool>> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Integer;
    static void put(std::span<Slot> s, const std::optional<bool>& v)
    {
        if (v)
            s[0].set(static_cast<long long>(*v ? 1 : 0));
        else
            s[0].clear();
    }
    static void get(std::span<const Slot> s, std::optional<bool>& v)
    {
        if (!s[0].isNull())
            v = s[0].integer != 0;
    }
};
template <>
struct Codec<core::Instant> {
    static constexpr std::size_t kColumns = 2;
    static constexpr Slot::Kind kKind = Slot::Kind::Integer;
    static void put(std::span<Slot> s, const core::Instant& v)
    {
        s[0].set(static_cast<long long>(v.utcSeconds));
        s[1].set(static_cast<long long>(v.offsetMinutes));
    }
    static void get(std::span<const Slot> s, core::Instant& v)
    {
        v.utcSeconds = s[0].integer;
        v.offsetMinutes = static_cast<std::int32_t>(s[1].integer);
    }
};
template <>
struct Codec<std::optional<core::Instant>> {
    static constexpr std::size_t kColumns = 2;
    static constexpr Slot::Kind kKind = Slot::Kind::Integer;
    static void put(std::span<Slot> s, const std::optional<core::Instant>& v)
    {
        if (v) {
            Codec<core::Instant>::put(s, *v);
        } else {
            s[0].clear();
            s[1].clear();
        }
    }
    static void get(std::span<const Slot> s, std::optional<core::Instant>& v)
    {
        if (!s[0].isNull())
            Codec<core::Instant>::get(s, v.emplace());
    }
};
template <class E>
    requires std::is_enum_v<E>
struct Codec<E> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Text;
    static void put(std::span<Slot> s, E v) { s[0].set(core::keyOf(v)); }
    static void get(std::span<const Slot> s, E& v)
    {
        const auto found = core::findKey<E>(s[0].text);
        if (!found)
            throwUnknownWord(s[0].text);
        v = *found;
    }
};
template <class E>
    requires std::is_enum_v<E>
struct Codec<std::optional<E>> {
    static constexpr std::size_t kColumns = 1;
    static constexpr Slot::Kind kKind = Slot::Kind::Text;
    static void put(std::span<Slot> s, const std::optional<E>& v)
    {
        if (v)
            Codec<E>::put(s, *v);
        else
            s[0].clear();
    }
    static void get(std::span<const Slot> s, std::optional<E>& v)
    {
        if (!s[0].isNull())
            Codec<E>::get(s, v.emplace());
    }
};

/// The canonical text of a stored row, for its hash: the table's name, then `column=length:value;` for each column that
/// is not null, in the table's order. A column added later is null in older rows, so their text stays what it was.
void appendContent(std::string& out, std::string_view table, std::span<const Slot> slots, std::span<const std::string> names);

}  // namespace halfcell::db
