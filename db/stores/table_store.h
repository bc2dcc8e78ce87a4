#pragma once

#include "db/stores/content_text.h"
#include "db/stores/standing_rows.h"
#include "db/stores/table_map.h"

#include <fmt/format.h>

#include <functional>
#include <memory>
#include <optional>
#include <sstream>

namespace halfcell::db {

[[nodiscard]] inline std::string joinNames(std::span<const std::string> names, std::string_view prefix = {})
{
    std::string text;
    for (const std::string& name : names) {
        if (!text.empty())
            text += ", ";
        text += prefix;
        text += name;
    }
    return text;
}

[[nodiscard]] inline std::string insertSql(std::string_view table, std::span<const std::string> names)
{
    std::string sql = fmt::format("INSERT INTO {} ({}, entry) VALUES (", table, joinNames(names));
    for (std::size_t i = 0; i < names.size(); ++i)
        sql += fmt::format(":v{}, ", i);
    return sql + ":entry)";
}

/// For derived tables and drafts only; records are never replaced.
[[nodiscard]] inline std::string replaceSql(std::string_view table, std::span<const std::string> names)
{
    std::string sql = fmt::format("INSERT OR REPLACE INTO {} ({}) VALUES (", table, joinNames(names));
    for (std::size_t i = 0; i < names.size(); ++i)
        sql += fmt::format("{}:v{}", i == 0 ? "" : ", ", i);
    return sql + ")";
}

/// The records of one table whose rows stand alone. Where merged books hold a row with several contents, what is read is
/// the one that counts (`standing`). Throws like everything inside db; one thread with its connection.
template <class Row>
class TableStore {
    using Map = TableMap<Row>;

public:
    explicit TableStore(Connection& connection, const StandingRows* standing = nullptr) : m_connection(connection), m_standing(standing) {}

    /// The row's canonical text, for its hash.
    void appendContent(std::string& out, const Row& row)
    {
        m_in.fill(row);
        db::appendContent(out, Map::kTable, m_in.slots(), m_in.names());
    }
    void insert(const Row& row, std::int64_t entry)
    {
        m_in.fill(row);
        m_entry.set(static_cast<long long>(entry));
        if (!m_insert) {
            SlotList uses = m_in.list();
            uses.push_back(&m_entry);
            m_insert = std::make_unique<Statement>(m_connection, insertSql(Map::kTable, m_in.names()), uses);
        }
        m_insert->run();
    }
    /// The stored row that is the same row as `like` (equal in the key columns).
    std::optional<Row> find(const Row& like)
    {
        m_in.fill(like);
        if (!m_find) {
            SlotList uses;
            std::string where;
            std::istringstream keys{std::string(Map::kKeys)};
            for (std::string key; keys >> key;) {
                where += fmt::format("{}{} = :{}", where.empty() ? "" : " AND ", key, key);
                uses.push_back(m_in.named(key));
            }
            m_find = std::make_unique<Statement>(
                m_connection, fmt::format("SELECT {} FROM {} WHERE {}", joinNames(m_out.names()), Map::kTable, where), uses, m_out.list());
        }
        if (!m_find->one())
            return std::nullopt;
        std::optional<Row> row(std::in_place);
        read(*row);
        return row;
    }
    /// All rows in canonical order.
    std::vector<Row> load() { return select(fmt::format("ORDER BY {}", Map::kOrder), {}); }
    /// The rows whose `column` is `value`, in canonical order.
    std::vector<Row> loadWhere(std::string_view column, std::string_view value)
    {
        Slot slot(Slot::Kind::Text);
        slot.set(value);
        return select(fmt::format("WHERE {} = :value ORDER BY {}", column, Map::kOrder), {&slot});
    }

private:
    std::vector<Row> select(const std::string& rest, const SlotList& uses)
    {
        std::vector<Row> rows;
        Statement query(m_connection, fmt::format("SELECT {} FROM {} {}", joinNames(m_out.names()), Map::kTable, rest), uses, m_out.list());
        for (bool row = query.first(); row; row = query.next())
            read(rows.emplace_back());
        return rows;
    }
    /// The row in m_out, or what counts instead of it.
    void read(Row& row)
    {
        if (m_standing != nullptr && m_standing->touches(Map::kTable)) {
            const std::string key = rowKeyOf(Map::kTable, Map::kKeys, m_out.slots(), m_out.names());
            if (const std::string* content = m_standing->find(Map::kTable, key)) {
                fillSlots(m_instead.slots(), m_instead.names(), parseContent(*content).front());
                m_instead.read(row);
                return;
            }
        }
        m_out.read(row);
    }

    Connection& m_connection;
    const StandingRows* m_standing;
    RowSlots<Row> m_in, m_out, m_instead;
    Slot m_entry{Slot::Kind::Integer};
    std::unique_ptr<Statement> m_insert, m_find;
};

extern template class TableStore<core::Site>;
extern template class TableStore<core::Point>;
extern template class TableStore<core::Model>;
extern template class TableStore<core::Sensor>;
extern template class TableStore<core::Placement>;
extern template class TableStore<PlacementEnd>;
extern template class TableStore<core::PartRecord>;
extern template class TableStore<PartEnd>;
extern template class TableStore<core::Lot>;
extern template class TableStore<LotEvent>;
extern template class TableStore<core::StandardRow>;
extern template class TableStore<core::Equipment>;
extern template class TableStore<core::Person>;
extern template class TableStore<core::Hold>;
extern template class TableStore<HoldEnd>;
extern template class TableStore<core::Legacy>;
extern template class TableStore<VisitRow>;
extern template class TableStore<VisitHead>;
extern template class TableStore<ShopName>;
extern template class TableStore<RuleSetRow>;
extern template class TableStore<RuleAdoptionRow>;
extern template class TableStore<MergeRow>;
extern template class TableStore<MergeVariant>;
extern template class TableStore<ClashSettlement>;

}  // namespace halfcell::db
