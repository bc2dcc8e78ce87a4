#pragma once

#include "core/fleet/records.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace halfcell::db {

/// Version of the code that computes derived figures; stored beside each of them.
inline constexpr const char* kEngineVersion = "1.0";

enum class OpenMode { ReadOnly, ReadWrite };

/// Who writes and when (the clock is the caller's).
struct BookStamp {
    std::string person;       ///< initials; may be empty for scheduled jobs
    core::Instant now;
};

struct BookInfo {
    std::string shop;
    int schema = 0;
    std::uintmax_t bytes = 0;
    bool wal = true;
    std::string journalMode;          ///< "wal", "truncate" ... and why if not wal
    std::int64_t entries = 0;
    std::string head;                 ///< hex hash of the last journal entry
    std::optional<core::Instant> lastWrite, lastBackup;
    std::string lastBackupFile;       ///< where that backup was written; empty if it is not known
    std::size_t sensors = 0, visits = 0, readings = 0;
};

/// One sensor as last computed: enough for the fleet list.
struct LatestState {
    std::string serial, tag, place, site, area, kind, model;
    std::optional<core::Instant> placedSince, measured;
    std::optional<core::Phase> phase;
    std::optional<double> efficiency_pct, u_efficiency_pct, offset_mv, u_offset_mv, t90_s, span_pct;
    std::optional<core::Signal> signal;
    core::Verdict verdict = core::Verdict::NotEnoughData;
    std::string guilty;               ///< efficiency, offset, response, span, other or empty
    std::string topFinding;           ///< code
    std::string sentence;
    std::string missing;              ///< why a figure is missing ("no temperature")
    std::optional<std::int64_t> nextDue;       ///< day number
    std::vector<std::pair<std::int64_t, double>> lastAsLeft;   ///< utc seconds, efficiency (ORP: offset), one year
    std::string rules, engine;
    std::int64_t computedAt = 0;      ///< utc seconds of the as-of used
    bool operator==(const LatestState&) const = default;
};

/// A sensor found at a point where the book has another.
struct FoundSwap {
    std::string inHand;       ///< serial of the one that is there
    std::string displaced;    ///< serial of the one the book has there
    std::string point;
    std::string displacedTo;  ///< where that one is: a tag, bench, quarantine, ...; empty: nobody knows
    core::Instant when;
    bool dayKnown = true;     ///< false: some day between the last time either was seen and `when`
};

struct JournalEntry {
    std::int64_t seq = 0;
    core::Instant time;
    std::string person;
    std::string what;                 ///< visit, correction, placement, lot, hold, rules, import, ...
    std::string key;                  ///< of the row
    std::string text;                 ///< one line for people
    std::string hash;                 ///< hex SHA-256 chained to the entry before
    std::string serial = {};          ///< the sensor it concerns; empty: all of them or none
};

struct RuleAdoption {
    std::string id;                   ///< default@1
    core::Instant adopted;
    std::string person, why;
};

struct StoredVisit {
    core::Visit visit;
    bool unchanged = false;
};

struct WriteCount {
    std::size_t added = 0, unchanged = 0;
};

struct RebuildReport {
    std::size_t rebuilt = 0;
    std::vector<std::string> different;   ///< serials whose stored figures differed
};

struct VerifyReport {
    bool ok = true;
    std::int64_t entries = 0;
    std::string head;
    std::string firstBad;                 ///< in words, empty when ok
    std::int64_t firstBadSeq = 0;
};

struct SearchHit {
    std::string kind;                     ///< sensor, point, lot, visit, remark
    std::string key;                      ///< serial, tag, lot or visit
    std::string text;                     ///< what matched, for people
};

/// A visit being typed. `content` is the JSON of the form.
struct Draft {
    std::string id;
    std::string serial, tag, person;
    core::Instant kept;
    int fields = 0;
    bool setAside = false;
    std::string content;
};

}  // namespace halfcell::db
