#pragma once

#include "core/fleet/plant.h"
#include "core/fleet/records.h"
#include "core/quantity/result.h"
#include "core/rules/rule_set.h"
#include "db/values/book_types.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// One shop's book: an open database file. One object per thread or serial queue; not shared. Every write is one
/// transaction that also appends to the journal; when a write returns success it is on disk (WAL, synchronous FULL).
/// Errors: Errc::CannotRead, CannotWrite, NewerBook, DamagedBook, DiskFull, Locked for the file; BadInput, NotFound,
/// Conflict for content. Nothing throws.
class Book {
public:
    /// A new book; Errc::Conflict if the file exists. Runs all migrations and stores the shipped rule set.
    static core::Result<Book> create(const std::filesystem::path& file, const BookStamp& stamp);
    /// Opens a book; migrates an older one after a backup beside it (ReadWrite only), refuses a newer or foreign file.
    static core::Result<Book> open(const std::filesystem::path& file, OpenMode mode);

    Book(Book&&) noexcept;
    Book& operator=(Book&&) noexcept;
    ~Book();

    [[nodiscard]] const std::filesystem::path& file() const;
    [[nodiscard]] core::Result<BookInfo> info() const;

    // --- reading -----------------------------------------------------------------------------------------------
    /// All records as first written, with corrections beside them, in canonical order.
    [[nodiscard]] core::Result<core::Records> loadRecords() const;
    /// The same as it was known at a moment: an end recorded later (of a placement, a hold, a part, a bottle's opening) is not
    /// in it, since the public row carries no time of its own for that. Everything else is left to core's as-of view.
    [[nodiscard]] core::Result<core::Records> loadRecords(const core::Instant& asOf) const;
    /// The records that concern one sensor (its visits, placements, parts, legacy, corrections) together with all small
    /// tables (sites, points, models, all sensors, lots, standards, equipment, people, holds).
    [[nodiscard]] core::Result<core::Records> loadSensorRecords(std::string_view serial) const;
    /// The same as it was known at a moment (see loadRecords).
    [[nodiscard]] core::Result<core::Records> loadSensorRecords(std::string_view serial, const core::Instant& asOf) const;
    /// The same together with what the sensor's rounds are judged by: of every other sensor read in the round of its last visit, or in
    /// the one going on at `now`, the visits of that time and the few before. `known`: as it was known at `now`.
    [[nodiscard]] core::Result<core::Records> loadSensorAndRound(std::string_view serial, const core::Instant& now,
                                                                 bool known = false) const;
    /// The small tables alone (no visits, no legacy): what the desktop needs at start.
    [[nodiscard]] core::Result<core::Records> loadReference() const;
    /// One visit as first written; Errc::NotFound.
    [[nodiscard]] core::Result<core::Visit> loadVisit(std::string_view visit) const;
    /// The stored latest state of every sensor (never touches readings), by serial.
    [[nodiscard]] core::Result<std::vector<LatestState>> latestStates() const;
    /// The rule set in force at a moment (the latest adoption not after it).
    [[nodiscard]] core::Result<core::RuleSet> rulesAt(const core::Instant& asOf) const;
    [[nodiscard]] core::Result<std::vector<RuleAdoption>> ruleAdoptions() const;
    /// Journal entries, oldest first; `after` = sequence number to go on from, `limit` 0 = all.
    [[nodiscard]] core::Result<std::vector<JournalEntry>> journal(std::int64_t after = 0, std::size_t limit = 0) const;
    /// Free text and key search over remarks, serials, tags (for the one box); best first.
    [[nodiscard]] core::Result<std::vector<SearchHit>> search(std::string_view fragment, std::size_t limit) const;

    // --- writing -----------------------------------------------------------------------------------------------
    /// A whole visit as one transaction. The same key with the same content: Unchanged. With other content: Errc::Conflict.
    /// An unknown serial or tag: Errc::NotFound. An empty key gets a UUIDv7, an empty tag that of the placement; the
    /// visit as stored is returned.
    core::Result<StoredVisit> recordVisit(core::Visit visit, const BookStamp& stamp);
    /// A correction row; refused (Conflict) if `old_value` is not what stands there now.
    core::Result<void> correct(const core::Correction& correction, const BookStamp& stamp);
    /// Adds rows of the small tables (sites, points, models, sensors, placements, parts, lots, standards, equipment,
    /// people, holds, legacy) and visits, all or nothing. The import uses the same rules row by row.
    core::Result<WriteCount> add(const core::Records& rows, const BookStamp& stamp);
    /// Moves a sensor: closes its open placement (reason required when it leaves a point) and opens the new one.
    core::Result<void> moveSensor(std::string_view serial, std::string_view place, const core::Instant& when,
                                  std::optional<core::RemovalReason> reason, const BookStamp& stamp);
    /// Writes down what was found in the pipe, all or nothing: both sensors leave where the book has them and are where they were
    /// found. NotFound: an unknown serial or place; Conflict: the book has them otherwise.
    core::Result<void> settleSwap(const FoundSwap& found, const BookStamp& stamp);
    /// Opens a hold (loop in manual) now; closes it.
    core::Result<void> openHold(const core::Hold& hold, const BookStamp& stamp);
    core::Result<void> closeHold(std::string_view point, const core::Instant& from, const core::Instant& to, std::string_view person,
                                 core::HoldClosed how, const BookStamp& stamp);
    core::Result<void> openLot(std::string_view lot, const core::Instant& when, const BookStamp& stamp);
    core::Result<void> discardLot(std::string_view lot, const core::Instant& when, const BookStamp& stamp);
    /// Takes a renewable part out (its row stays, the end is a row of its own).
    core::Result<void> endPart(std::string_view serial, core::Part part, const core::Instant& from, const core::Instant& to,
                               const BookStamp& stamp);
    core::Result<void> nameShop(std::string_view shop, const BookStamp& stamp);
    core::Result<void> adoptRules(const core::RuleSet& rules, const BookStamp& stamp, std::string_view why);

    // --- derived figures ---------------------------------------------------------------------------------------
    /// Recomputes the latest state of the named sensors (all when empty) at `asOf` with the rules in force and stores it.
    core::Result<std::size_t> refreshLatest(std::span<const std::string> serials, const core::Instant& asOf);
    /// Recomputes every stored derived figure from the raw readings and reports differences to what was stored.
    /// `progress` gets 0..1 and returns false to cancel (Errc::Cancelled; what was stored before stands).
    core::Result<RebuildReport> rebuild(const core::Instant& asOf, const std::function<bool(double)>& progress = {});

    // --- health ------------------------------------------------------------------------------------------------
    /// Recomputes the journal's hash chain and every row's content hash; names the first entry that does not fit.
    /// `progress` gets 0..1 and returns false to cancel (Errc::Cancelled). `noted`: a head that was noted down once, `HASH` or
    /// `ENTRY:HASH` (12 digits are enough): a journal that lost its end or was written anew does not hold it.
    [[nodiscard]] core::Result<VerifyReport> verify(const std::function<bool(double)>& progress = {}, std::string_view noted = {}) const;
    /// Online copy to a new file (Errc::Conflict if it exists), then opened and verified.
    /// `now`, if given, is kept as the time of the last backup, with its name. `progress` gets 0..1 and returns false to cancel
    /// (Errc::Cancelled; no copy is left).
    core::Result<void> backupTo(const std::filesystem::path& target, const std::optional<core::Instant>& now = {},
                                const std::function<bool(double)>& progress = {}) const;

    // --- drafts (what is typed into Bench and not yet logged; kept beside the records, no journal) ----------------
    core::Result<void> keepDraft(const Draft& draft);
    core::Result<void> dropDraft(std::string_view id);
    [[nodiscard]] core::Result<std::vector<Draft>> drafts() const;

    struct Impl;
    /// For db/exchange only: the import runs in the book's own connection.
    [[nodiscard]] Impl& impl() { return *m_impl; }

private:
    explicit Book(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

}  // namespace halfcell::db
