#pragma once

#include "db/stores/table_store.h"

#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

namespace halfcell::db {

/// A record table read row by row in its canonical order, as slots: for checking and carrying rows whatever they mean.
/// `keys`: how many columns come before the row's own (visit and place of rows of visits). `from` and `to` bound the first column:
/// from <= it < to; an empty one bounds nothing.
class RowCursor {
public:
    RowCursor(Connection& connection, TableShape shape, std::size_t keys, std::string_view from = {}, std::string_view to = {})
        : m_shape(std::move(shape)), m_keys(keys)
    {
        for (const Slot::Kind kind : m_shape.kinds)
            m_slots.emplace_back(kind);
        m_slots.emplace_back(Slot::Kind::Integer);  // entry
        SlotList intos;
        for (Slot& slot : m_slots)
            intos.push_back(&slot);
        std::string where;
        m_bounds.reserve(2);
        for (const auto& [bound, sign, name] : {std::tuple(from, ">=", "from"), std::tuple(to, "<", "to")})
            if (!bound.empty()) {
                where += fmt::format(" {} {} {} :{}", where.empty() ? "WHERE" : "AND", m_shape.names.front(), sign, name);
                m_bounds.emplace_back(Slot::Kind::Text).set(bound);
            }
        SlotList uses;
        for (Slot& slot : m_bounds)
            uses.push_back(&slot);
        m_query = std::make_unique<Statement>(
            connection,
            fmt::format("SELECT {}, entry FROM {}{} ORDER BY {}", joinNames(m_shape.names), m_shape.table, where, m_shape.order), uses,
            intos);
        m_row = m_query->first();
    }

    [[nodiscard]] bool hasRow() const { return m_row; }
    void next() { m_row = m_query->next(); }
    [[nodiscard]] std::int64_t entry() const { return m_slots.back().integer; }
    [[nodiscard]] const std::string& key() const { return m_slots.front().text; }
    [[nodiscard]] const TableShape& shape() const { return m_shape; }
    /// Appends the row's canonical text.
    void content(std::string& out) const
    {
        const std::span<const Slot> slots = std::span(m_slots).first(m_shape.names.size());
        const std::span<const std::string> names(m_shape.names);
        if (m_keys == 0) {
            appendContent(out, m_shape.table, slots, names);
            return;
        }
        appendContent(out, m_shape.table, slots.first(m_keys), names.first(m_keys));
        appendContent(out, {}, slots.subspan(m_keys), names.subspan(m_keys));
    }

private:
    TableShape m_shape;
    std::size_t m_keys;
    std::vector<Slot> m_slots, m_bounds;
    std::unique_ptr<Statement> m_query;
    bool m_row = false;
};

}  // namespace halfcell::db
