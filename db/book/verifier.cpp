#include "db/book/verifier.h"

#include "db/connection/guarded.h"
#include "db/journal/journal.h"
#include "db/stores/record_tables.h"
#include "db/stores/row_cursor.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <limits>

namespace halfcell::db {

namespace {

struct Entry {
    std::string content;  ///< hex
    std::string about;    ///< "visit v1 (entry 7, 2026-03-02, T1)"
    std::string what;
    bool seen = false;
};

class Verifier {
public:
    Verifier(Connection& connection, const std::function<bool(double)>& progress, std::string_view noted)
        : m_connection(connection), m_progress(progress)
    {
        readNoted(noted);
    }

    VerifyReport run()
    {
        m_total = static_cast<double>(m_connection.number("SELECT count(*) FROM journal") * 2 + 1);
        chain();
        for (const RecordTable& table : recordTables())
            if (!table.ofVisit)
                rows(RowCursor(m_connection, table.shape, table.keys));
        visits();
        unknownTables();
        for (std::size_t i = 0; i < m_entries.size(); ++i)
            if (!m_entries[i].seen)
                bad(static_cast<std::int64_t>(i) + 1, fmt::format("{}: its row is gone from the book", m_entries[i].about));
        if (m_report.ok)
            structure();
        return m_report;
    }

private:
    void bad(std::int64_t seq, std::string words)
    {
        if (!m_report.ok && m_report.firstBadSeq <= seq)
            return;
        m_report.ok = false;
        m_report.firstBadSeq = seq;
        m_report.firstBad = std::move(words);
    }
    void step()
    {
        m_done += 1.0;
        if (m_progress && ++m_sinceReport >= 2000) {
            m_sinceReport = 0;
            if (!m_progress(std::min(1.0, m_done / m_total)))
                throwError(core::Errc::Cancelled, "stopped");
        }
    }

    void readNoted(std::string_view noted)
    {
        if (noted.empty())
            return;
        if (const std::size_t colon = noted.find(':'); colon != std::string_view::npos) {
            const auto [end, error] = std::from_chars(noted.data(), noted.data() + colon, m_notedEntry);
            if (error != std::errc() || end != noted.data() + colon || m_notedEntry < 1)
                refuseNoted(noted);
            m_notedHash = noted.substr(colon + 1);
        } else {
            m_notedHash = noted;
        }
        constexpr std::size_t kLeastDigits = 12;
        const bool hexadecimal = m_notedHash.find_first_not_of("0123456789abcdef") == std::string::npos;
        if (m_notedHash.size() < kLeastDigits || m_notedHash.size() > 64 || !hexadecimal)
            refuseNoted(noted);
    }
    [[noreturn]] static void refuseNoted(std::string_view noted)
    {
        throw Thrown(core::Error{.code = core::Errc::BadInput,
                                 .detail = fmt::format("\"{}\" is no head", noted.substr(0, 80)),
                                 .field = "--head",
                                 .remedy = "give the hash as it was printed, at least its first 12 digits, or ENTRY:HASH"});
    }
    /// A head that was noted must be that of an entry.
    void compareNoted(bool found)
    {
        if (m_notedHash.empty() || found)
            return;
        const std::int64_t last = static_cast<std::int64_t>(m_entries.size());
        const std::string head = m_notedHash.substr(0, 12);
        if (m_notedEntry > last)
            bad(last + 1, fmt::format("entry {} is missing: the journal ends before entry {}, whose head {} was noted", last + 1,
                                      m_notedEntry, head));
        else if (m_notedEntry > 0)
            bad(m_notedEntry,
                fmt::format("entry {} is not the one whose head {} was noted: entries up to it were changed", m_notedEntry, head));
        else
            bad(last + 1,
                fmt::format("no entry has the noted head {}: the journal was cut off after entry {} or written anew", head, last));
    }

    void chain()
    {
        bool found = false;
        Journal journal(m_connection);
        std::string before;
        bool broken = false;
        journal.read(0, [&](const JournalRow& row) {
            const std::int64_t expected = static_cast<std::int64_t>(m_entries.size()) + 1;
            std::string about = fmt::format("{} {} (entry {}, {}{}{})", row.what, row.key, row.seq, core::formatDate(row.time),
                                            row.person.empty() ? "" : ", ", row.person);
            if (row.seq != expected && !broken) {
                bad(expected, fmt::format("entry {} is missing from the journal", expected));
                broken = true;
            }
            if (!broken && chainedHash(m_sha, row, before) != row.hash) {
                bad(row.seq, fmt::format("{}: the entry does not fit the one before it", about));
                broken = true;
            }
            before = row.hash;
            found = found || (!m_notedHash.empty() && row.hash.starts_with(m_notedHash) && (m_notedEntry == 0 || m_notedEntry == row.seq));
            // Entries are found by number; a gap keeps its places so that later rows are still matched.
            while (static_cast<std::int64_t>(m_entries.size()) + 1 < row.seq && m_entries.size() < kMostGaps)
                m_entries.push_back({.content = {}, .about = "a missing entry", .what = {}, .seen = true});
            m_entries.push_back({.content = row.content, .about = std::move(about), .what = row.what, .seen = false});
            step();
            return true;
        });
        m_report.entries = static_cast<std::int64_t>(m_entries.size());
        m_report.head = before;
        compareNoted(found);
    }

    /// Compares one record's text with what its entry promised.
    void check(std::int64_t entry, std::string_view table, std::string_view key, std::span<const std::string_view> whats,
               const std::string& content)
    {
        step();
        if (entry < 1 || entry > static_cast<std::int64_t>(m_entries.size())) {
            bad(std::max<std::int64_t>(entry, 0),
                fmt::format("a row of {} ({}) stands in the book without an entry in the journal", table, key));
            return;
        }
        Entry& e = m_entries[static_cast<std::size_t>(entry) - 1];
        const bool fits =
            std::ranges::find(whats, std::string_view(e.what)) != whats.end() && !e.seen && hex(m_sha.digest(content)) == e.content;
        if (!fits)
            bad(entry, fmt::format("{}: what stands in {} ({}) is not what was written", e.about, table, key));
        e.seen = true;
    }

    void rows(RowCursor cursor)
    {
        const std::array<std::string_view, 1> whats = {cursor.shape().what};
        std::string content;
        for (; cursor.hasRow(); cursor.next()) {
            content.clear();
            cursor.content(content);
            check(cursor.entry(), cursor.shape().table, cursor.key(), whats, content);
        }
    }

    /// A visit's rows lie in several tables; those of one entry are one text, in the order they were written in.
    void visits()
    {
        std::vector<RowCursor> tables;
        for (const RecordTable& table : recordTables())
            if (table.ofVisit)
                tables.emplace_back(m_connection, table.shape, table.keys);
        constexpr std::array<std::string_view, 3> kWhats = {"visit", "visit_head", "visit_rows"};
        std::vector<std::pair<std::int64_t, std::string>> texts;
        for (;;) {
            const RowCursor* least = nullptr;
            for (const RowCursor& table : tables)
                if (table.hasRow() && (least == nullptr || table.key() < least->key()))
                    least = &table;
            if (least == nullptr)
                return;
            const std::string key = least->key();
            texts.clear();
            for (RowCursor& table : tables)
                for (; table.hasRow() && table.key() == key; table.next()) {
                    auto at = std::ranges::find(texts, table.entry(), &std::pair<std::int64_t, std::string>::first);
                    if (at == texts.end())
                        at = texts.insert(texts.end(), {table.entry(), std::string()});
                    table.content(at->second);
                }
            for (const auto& [entry, content] : texts)
                check(entry, "visits", key, kWhats, content);
        }
    }

    /// Record tables that this program does not write yet.
    void unknownTables()
    {
        Slot name(Slot::Kind::Text);
        std::vector<std::string> names;
        {
            Statement query(
                m_connection,
                "SELECT m.name FROM sqlite_master m JOIN pragma_table_info(m.name) c ON c.name = 'entry' WHERE m.type = 'table' "
                "ORDER BY m.name",
                {}, {&name});
            for (bool row = query.first(); row; row = query.next())
                names.push_back(name.text);
        }
        for (const std::string& table : names)
            if (recordTable(table) == nullptr && m_connection.number(fmt::format("SELECT count(*) FROM {}", table)) > 0)
                bad(std::numeric_limits<std::int64_t>::max(), fmt::format("{} holds rows that this program did not write", table));
    }

    void structure()
    {
        // Every page, and the one index that records are found by.
        for (const char* check : {"PRAGMA quick_check(100)", "PRAGMA integrity_check(visits)"}) {
            Slot line(Slot::Kind::Text);
            std::vector<std::string> lines;
            {
                Statement query(m_connection, check, {}, {&line});
                for (bool row = query.first(); row; row = query.next())
                    lines.push_back(line.text);
            }
            for (const std::string& found : lines)
                if (found != "ok" && !isFalseAlarm(found)) {
                    bad(std::numeric_limits<std::int64_t>::max(), "the file itself is damaged: " + found);
                    return;
                }
        }
    }
    /// SQLite 3.40 reports nulls in a table without rowid whose key columns are not its first, where there are none: asked for
    /// themselves, they are not found.
    bool isFalseAlarm(const std::string& found)
    {
        constexpr std::string_view kNull = "NULL value in ";
        const std::size_t dot = found.rfind('.');
        if (!found.starts_with(kNull) || dot == std::string::npos)
            return false;
        const std::string table = found.substr(kNull.size(), dot - kNull.size());
        return m_connection.number(fmt::format("SELECT count(*) FROM {} WHERE {} IS NULL", table, found.substr(dot + 1))) == 0;
    }

    static constexpr std::size_t kMostGaps = 100'000'000;
    Connection& m_connection;
    const std::function<bool(double)>& m_progress;
    Sha256 m_sha;
    std::string m_notedHash;
    std::int64_t m_notedEntry = 0;
    std::vector<Entry> m_entries;
    VerifyReport m_report;
    double m_done = 0.0, m_total = 1.0;
    int m_sinceReport = 0;
};

}  // namespace

VerifyReport verifyBook(Connection& connection, const std::function<bool(double)>& progress, std::string_view noted)
{
    return Verifier(connection, progress, noted).run();
}

}  // namespace halfcell::db
