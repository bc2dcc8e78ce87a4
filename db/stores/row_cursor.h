#pragma once

#include "db/stores/table_store.h"

#include <memory>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace halfcell::db {

/// A record table read row by row in its canonical order, as slots: for checking and carrying rows whatever they mean.
/// `keys`: how many columns come before the row's own (visit and place of rows of visits).
class RowCursor {
public:
    RowCursor(Connection& connection, TableShape shape, std::size_t keys) : m_shape(std::move(shape)), m_keys(keys)
    {
        for (const Slot::Kind kind : m_shape.kinds)
            m_slots.emplace_back(kind);
        m_slots.emplace_back(Slot::Kind::Integer);  // entry
        SlotList intos;
        for (Slot& slot : m_slots)
            intos.push_back(&slot);
        m_query = std::make_unique<Statement>(
            connection, fmt::format("SELECT {}, entry FROM {} ORDER BY {}", joinNames(m_shape.names), m_shape.table, m_shape.order),
            SlotList{}, intos);
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
    std::vector<Slot> m_slots;
    std::unique_ptr<Statement> m_query;
    bool m_row = false;
};

}  // namespace halfcell::db
