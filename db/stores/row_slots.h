#pragma once

#include "db/connection/statement.h"
#include "db/stores/codec.h"

#include <string>
#include <string_view>
#include <tuple>
#include <vector>

namespace halfcell::db {

/// One field of a row and the name its column (or pair of columns) starts with.
template <class Owner, class T>
struct Field {
    using Type = T;
    std::string_view name;
    T Owner::*member;
};
template <class Owner, class T>
Field(std::string_view, T Owner::*) -> Field<Owner, T>;

/// How a row type lies in its table; specialised in table_map.h:
///   kTable   the table
///   kWhat    the word of the journal
///   kKeys    columns that make two rows the same row
///   kOrder   the canonical order
///   fields() a tuple of Field
template <class Row>
struct TableMap;

/// The columns of a table, without rows: what checking and copying need.
struct TableShape {
    std::string table, what, order;
    std::string keys;   ///< column names, separated by blanks; "entry" alone: nothing but its entry makes a row the same row
    std::vector<std::string> names;
    std::vector<Slot::Kind> kinds;
};

/// The slots of one row, and the way between them and the struct. `unanswered`, where the row has fields that may be
/// answered with not_done, not_applicable or not_possible, is the last column.
template <class Row>
class RowSlots {
public:
    RowSlots()
    {
        std::apply([this](const auto&... field) { (addColumns(field), ...); }, TableMap<Row>::fields());
        if constexpr (kAnswers) {
            m_slots.emplace_back(Slot::Kind::Text);
            m_names.emplace_back("unanswered");
        }
    }

    [[nodiscard]] std::span<Slot> slots() { return m_slots; }
    [[nodiscard]] std::span<const Slot> slots() const { return m_slots; }
    [[nodiscard]] const std::vector<std::string>& names() const { return m_names; }
    [[nodiscard]] SlotList list()
    {
        SlotList pointers;
        for (Slot& slot : m_slots)
            pointers.push_back(&slot);
        return pointers;
    }
    [[nodiscard]] Slot* named(std::string_view name)
    {
        for (std::size_t i = 0; i < m_names.size(); ++i)
            if (m_names[i] == name)
                return &m_slots[i];
        return nullptr;
    }

    void fill(const Row& row)
    {
        std::size_t at = 0;
        m_unanswered.clear();
        std::apply([&](const auto&... field) { (put(field, row, at), ...); }, TableMap<Row>::fields());
        if constexpr (kAnswers) {
            if (m_unanswered.empty())
                m_slots.back().clear();
            else
                m_slots.back().set(m_unanswered);
        }
    }

    /// The row in the slots, into a row just made.
    void read(Row& row) const
    {
        std::size_t at = 0;
        std::apply([&](const auto&... field) { (get(field, row, at), ...); }, TableMap<Row>::fields());
        if constexpr (kAnswers) {
            if (!m_slots.back().isNull())
                readAnswers(row);
        }
    }

private:
    using Fields = decltype(TableMap<Row>::fields());
    template <class F>
    static constexpr bool isAnswered = std::is_same_v<typename F::Type, core::Answered<double>>;
    template <class... F>
    static constexpr bool anyAnswered(std::type_identity<std::tuple<F...>>)
    {
        return (isAnswered<F> || ...);
    }
    static constexpr bool kAnswers = anyAnswered(std::type_identity<Fields>{});

    template <class F>
    void addColumns(const F& field)
    {
        using C = Codec<typename F::Type>;
        m_slots.emplace_back(C::kKind);
        if constexpr (C::kColumns == 2) {
            m_slots.emplace_back(C::kKind);
            m_names.push_back(std::string(field.name) + "_s");
            m_names.push_back(std::string(field.name) + "_offset_min");
        } else {
            m_names.emplace_back(field.name);
        }
    }
    template <class F>
    void put(const F& field, const Row& row, std::size_t& at)
    {
        using C = Codec<typename F::Type>;
        const auto& value = row.*field.member;
        C::put(std::span(m_slots).subspan(at, C::kColumns), value);
        at += C::kColumns;
        if constexpr (isAnswered<F>) {
            if (value.why) {
                if (!m_unanswered.empty())
                    m_unanswered += ';';
                m_unanswered += field.name;
                m_unanswered += '=';
                m_unanswered += core::keyOf(*value.why);
            }
        }
    }
    template <class F>
    void get(const F& field, Row& row, std::size_t& at) const
    {
        using C = Codec<typename F::Type>;
        C::get(std::span(m_slots).subspan(at, C::kColumns), row.*field.member);
        at += C::kColumns;
    }
    void readAnswers(Row& row) const
    {
        std::string_view rest = m_slots.back().text;
        while (!rest.empty()) {
            const std::size_t end = rest.find(';');
            const std::string_view item = rest.substr(0, end);
            rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + 1);
            const std::size_t equals = item.find('=');
            const auto why = core::findKey<core::NoAnswer>(equals == std::string_view::npos ? item : item.substr(equals + 1));
            bool known = false;
            std::apply([&](const auto&... field) { ((known = answer(field, row, item.substr(0, equals), why) || known), ...); },
                       TableMap<Row>::fields());
            if (!known || !why)
                throwUnknownWord(item);
        }
    }
    template <class F>
    static bool answer(const F& field, Row& row, std::string_view name, std::optional<core::NoAnswer> why)
    {
        if constexpr (isAnswered<F>) {
            if (field.name == name) {
                (row.*field.member).why = why;
                return true;
            }
        }
        return false;
    }

    std::vector<Slot> m_slots;
    std::vector<std::string> m_names;
    std::string m_unanswered;
};

/// The shape of a row's table. `keys` come before the row's own columns (visit and place of child rows).
template <class Row>
TableShape tableShape(std::span<const std::pair<std::string_view, Slot::Kind>> keys = {})
{
    TableShape shape;
    shape.table = TableMap<Row>::kTable;
    shape.what = TableMap<Row>::kWhat;
    shape.order = TableMap<Row>::kOrder;
    shape.keys = TableMap<Row>::kKeys;
    for (const auto& [name, kind] : keys) {
        shape.names.emplace_back(name);
        shape.kinds.push_back(kind);
    }
    RowSlots<Row> slots;
    for (std::size_t i = 0; i < slots.names().size(); ++i) {
        shape.names.push_back(slots.names()[i]);
        shape.kinds.push_back(slots.slots()[i].kind);
    }
    return shape;
}

}  // namespace halfcell::db
