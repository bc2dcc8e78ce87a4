#pragma once

#include "core/quantity/instant.h"
#include "db/connection/connection.h"

#include <cstddef>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// Which content counts where books hold one row with different content.
///
/// A table keeps the row it has; when a merged book brings the same row with other content, every content known of it is
/// kept in `merge_variants`. What counts is decided from that set alone: what the latest settlement says, else the earliest
/// recorded, of two alike the smaller digest. So two books that know the same rows read the same, whichever of them a
/// row came to first. Stores ask here for each row they read; a book that was never merged pays one comparison a table.
///
/// One thread with its connection. `begin` at the start of every transaction.
class StandingRows {
public:
    explicit StandingRows(Connection& connection) : m_connection(connection) {}

    /// Reads what others have added meanwhile, and looks at the present.
    void begin();
    /// Looks at a moment: settlements recorded later are left out. (Of contents the earliest recorded counts in any case.)
    void lookAt(const std::optional<core::Instant>& asOf);

    /// Whether a table has rows with more than one content at all.
    [[nodiscard]] bool touches(std::string_view table) const { return m_standing.contains(table); }
    /// The content that counts for a row key (`rowKeyOf`); nullptr where the table's own row is the only one.
    [[nodiscard]] const std::string* find(std::string_view table, std::string_view rowKey) const;
    /// The contents that count in a table, by row key; nullptr if it has none.
    [[nodiscard]] const std::map<std::string, std::string, std::less<>>* of(std::string_view table) const;
    /// Visits of which the own row or a row of a visit has more than one content, or stands here alone.
    [[nodiscard]] const std::set<std::string, std::less<>>& visits() const { return m_visits; }

private:
    struct Variant {
        std::string clash, digest, rowKey, content;
        std::int64_t recorded = 0;
    };
    struct Settled {
        std::string clash, content;
        std::int64_t recorded = 0;
    };

    Connection& m_connection;
    std::int64_t m_variantCount = 0, m_settledCount = 0;
    std::vector<Variant> m_variants;
    std::vector<Settled> m_settled;
    std::map<std::string, std::map<std::string, std::string, std::less<>>, std::less<>> m_standing;
    std::set<std::string, std::less<>> m_visits;
    bool m_present = true;
};

/// `sites` of `[sites]site=...`.
[[nodiscard]] std::string_view tableOfRowKey(std::string_view rowKey);

}  // namespace halfcell::db
