#pragma once

#include "core/quantity/result.h"

#include <soci/session.h>

#include <atomic>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace halfcell::db {

/// "HCEL": how a file says that it is a Halfcell book.
inline constexpr std::int64_t kApplicationId = 0x4843454C;

/// An open book file. Owns the session; one per thread or serial queue, never shared.
///
/// On open: foreign keys on, triggers also for rows that a REPLACE would remove, 15 s of patience with another writer,
/// 64 MB of page cache and 256 MB of the file mapped (PRAGMA defaults make joins several times slower), WAL with
/// synchronous FULL. Where WAL is unsafe (network and foreign file systems have no shared memory between machines) the
/// file runs on a rollback journal instead and `walRefused` says why.
///
/// Members throw (inside db only); `open` and the doors above turn that into Results.
class Connection {
public:
    enum class Mode { ReadOnly, ReadWrite, Create };
    enum class Wal { WhereSafe, Never };

    /// Errc::Conflict: Create and the file exists. CannotRead: no such file, or not a Halfcell book. DamagedBook, Locked,
    /// CannotWrite as they come.
    static core::Result<std::unique_ptr<Connection>> open(const std::filesystem::path& file, Mode mode, Wal wal = Wal::WhereSafe);

    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;
    ~Connection();

    [[nodiscard]] const std::filesystem::path& file() const { return m_file; }
    [[nodiscard]] bool readOnly() const { return m_readOnly; }
    [[nodiscard]] bool wal() const { return m_journalMode == "wal"; }
    [[nodiscard]] const std::string& journalMode() const { return m_journalMode; }
    /// Empty with WAL.
    [[nodiscard]] const std::string& walRefused() const { return m_walRefused; }
    [[nodiscard]] soci::session& session() { return m_session; }

    /// One statement without parameters and rows.
    void run(const std::string& sql);
    /// A whole script as one text; statements are never split here (triggers hold semicolons).
    void runScript(const std::string& sql);
    /// First column of the first row as an integer; 0 without a row.
    [[nodiscard]] std::int64_t number(const std::string& sql);
    /// First column of the first row as text; empty without a row or for NULL.
    [[nodiscard]] std::string text(const std::string& sql);
    [[nodiscard]] std::int64_t userVersion();
    void setUserVersion(std::int64_t version);

    /// From now on a statement that takes long gives up (it throws) once `stop` is true, which another thread may set.
    void giveUpWhen(const std::atomic<bool>& stop);

    /// Whether a transaction has written what other connections do not see yet.
    [[nodiscard]] bool holdsUnsavedChanges();

    /// Whether the file was moved, replaced or deleted since it was opened: what is written now would be in no book.
    [[nodiscard]] bool movedAway();
    /// Throws Errc::CannotWrite if it was.
    void mustBeInPlace();

    /// A consistent copy of the book in a new, compact file that is on disk when this returns. `progress` gets 0..1 (by what the
    /// copy weighs already) and returns false to cancel: throws Errc::Cancelled, and nothing is left behind.
    void copyTo(const std::filesystem::path& target, const std::function<bool(double)>& progress = {});

private:
    Connection(std::filesystem::path file, Mode mode, Wal wal);
    void vacuumInto(const std::string& quoted, const std::filesystem::path& part, const std::function<bool(double)>& progress);
    void chooseJournal(Wal wal);

    std::filesystem::path m_file;
    bool m_readOnly = false;
    std::string m_journalMode, m_walRefused;
    soci::session m_session;
};

/// A transaction that rolls back unless it is committed. Read gives one consistent view over several statements; Write
/// takes the writer's place at once (BEGIN IMMEDIATE), so that what it read is still true when it writes. Both refuse a book
/// whose file was taken away while it was open (Errc::CannotWrite).
class Transaction {
public:
    enum class Kind { Read, Write };
    Transaction(Connection& connection, Kind kind);
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    ~Transaction();
    void commit();

private:
    Connection& m_connection;
    bool m_open = true;
};

}  // namespace halfcell::db
