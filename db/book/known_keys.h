#pragma once

#include "core/fleet/records.h"
#include "db/connection/statement.h"

#include <map>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// The keys of one table that are known: those in the book, and those an import is about to add. Good for one transaction
/// (`forget` at its start, since others write too).
class KnownKeys {
public:
    KnownKeys(Connection& connection, std::string_view table, std::string_view column);

    [[nodiscard]] bool has(std::string_view key);
    void add(std::string_view key) { m_known.emplace(key); }
    void forget() { m_known.clear(); }

private:
    std::set<std::string, std::less<>> m_known;
    Slot m_key{Slot::Kind::Text}, m_one{Slot::Kind::Integer};
    Connection& m_connection;
    std::string m_sql;
    std::unique_ptr<Statement> m_find;
};

/// Where a sensor was, as far as it was written down: finds the tag of a visit that names none.
class PlacementLookup {
public:
    explicit PlacementLookup(Connection& connection) : m_connection(connection) {}

    /// The place of the placement that holds at `when` and was recorded not later than `recorded`; empty if none. Of two that
    /// overlap the later `from` counts.
    [[nodiscard]] std::string placeAt(std::string_view serial, const core::Instant& when, const core::Instant& recorded);
    void add(const core::Placement& placement);
    void forget() { m_bySerial.clear(); }

private:
    struct Stay {
        std::string place;
        core::Instant from, recorded;
        std::optional<core::Instant> to;
    };
    std::vector<Stay>& staysOf(std::string_view serial);

    Connection& m_connection;
    std::map<std::string, std::vector<Stay>, std::less<>> m_bySerial;
    Slot m_serial{Slot::Kind::Text}, m_place{Slot::Kind::Text}, m_from{Slot::Kind::Integer}, m_recorded{Slot::Kind::Integer},
        m_to{Slot::Kind::Integer};
    std::unique_ptr<Statement> m_find;
};

}  // namespace halfcell::db
