#pragma once

#include "core/quantity/instant.h"
#include "db/connection/statement.h"
#include "db/journal/sha256.h"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace halfcell::db {

/// What one entry of the journal holds.
struct JournalRow {
    std::int64_t seq = 0;
    core::Instant time;
    std::string person;
    std::string what;      ///< the kind of record: site, visit, correction, ...
    std::string key;       ///< of the record
    std::string serial;    ///< the sensor it concerns, empty if it concerns all or none
    std::string text;      ///< one line for people
    std::string content;   ///< hex digest of the record's rows
    std::string hash;      ///< hex digest of this entry, chained to the one before
};

/// The hash an entry must have after the one before it (empty for the first).
[[nodiscard]] std::string chainedHash(Sha256& sha, const JournalRow& row, std::string_view before);

/// The chained journal of a book. `append` is called inside a write transaction that has called `begin`.
class Journal {
public:
    explicit Journal(Connection& connection);
    ~Journal();

    /// Reads where the journal ends; to be called at the start of every write transaction (others may have written).
    void begin();
    /// Adds an entry; fills in seq and hash, returns the sequence number.
    std::int64_t append(JournalRow& row);

    [[nodiscard]] std::int64_t lastSeq() const { return m_seq; }
    [[nodiscard]] const std::string& head() const { return m_hash; }
    /// Sequence number of the next entry.
    [[nodiscard]] std::int64_t nextSeq() const { return m_seq + 1; }
    [[nodiscard]] Sha256& sha() { return m_sha; }

    /// Entries after a sequence number, oldest first; `visit` returns false to stop.
    void read(std::int64_t after, const std::function<bool(const JournalRow&)>& visit);
    /// The last entry; nullopt in an empty journal.
    std::optional<JournalRow> last();

private:
    struct Slots;
    Connection& m_connection;
    Sha256 m_sha;
    std::int64_t m_seq = 0;
    std::string m_hash;
    std::unique_ptr<Slots> m_in, m_out;
    std::unique_ptr<Slot> m_after;
    std::unique_ptr<Statement> m_insert, m_last;
};

}  // namespace halfcell::db
