#include "db/book/verifier.h"

#include "db/connection/guarded.h"
#include "db/journal/journal.h"
#include "db/stores/record_tables.h"
#include "db/stores/row_cursor.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <charconv>
#include <chrono>
#include <exception>
#include <future>
#include <limits>
#include <mutex>
#include <optional>
#include <thread>

namespace halfcell::db {

namespace {

/// What an entry of the journal promised.
struct Promise {
    Digest content{};
    std::uint16_t what = 0;  ///< place among the kinds met
    bool gap = false;        ///< no entry: a place kept where one is missing
};

/// What does not fit, the first in the order of the journal. Findings of one step may come from two threads at once.
class Findings {
public:
    /// `ofEntry`: the words go on after those that name the entry.
    void add(std::int64_t seq, std::string words, bool ofEntry = false)
    {
        const std::lock_guard lock(m_mutex);
        const bool sooner = !m_any || seq < m_seq || (seq == m_seq && m_sameStep && words < m_words);
        if (!sooner)
            return;
        m_any = true;
        m_sameStep = true;
        m_seq = seq;
        m_words = std::move(words);
        m_ofEntry = ofEntry;
    }
    /// Of two findings on one entry, that of the step before counts.
    void nextStep() { m_sameStep = false; }
    [[nodiscard]] bool any() const { return m_any; }
    [[nodiscard]] std::int64_t seq() const { return m_seq; }
    [[nodiscard]] const std::string& words() const { return m_words; }
    [[nodiscard]] bool ofEntry() const { return m_ofEntry; }

private:
    std::mutex m_mutex;
    bool m_any = false, m_sameStep = true, m_ofEntry = false;
    std::int64_t m_seq = 0;
    std::string m_words;
};

/// A visit's key range: from <= key < to, an empty end open.
struct KeyRange {
    std::string from, to;
};

/// The digest that 64 lower-case digits stand for; false for another text.
bool readDigest(std::string_view hexDigits, Digest& digest)
{
    const auto value = [](char c) { return c >= '0' && c <= '9' ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1; };
    if (hexDigits.size() != 2 * digest.size())
        return false;
    for (std::size_t i = 0; i < digest.size(); ++i) {
        const int high = value(hexDigits[2 * i]);
        const int low = value(hexDigits[2 * i + 1]);
        if (high < 0 || low < 0)
            return false;
        digest[i] = static_cast<unsigned char>(high * 16 + low);
    }
    return true;
}

/// SQLite 3.40 reports nulls in a table without rowid whose key columns are not its first, where there are none: asked for
/// themselves, they are not found.
bool isFalseAlarm(Connection& connection, const std::string& found)
{
    constexpr std::string_view kNull = "NULL value in ";
    const std::size_t dot = found.rfind('.');
    if (!found.starts_with(kNull) || dot == std::string::npos)
        return false;
    const std::string table = found.substr(kNull.size(), dot - kNull.size());
    return connection.number(fmt::format("SELECT count(*) FROM {} WHERE {} IS NULL", table, found.substr(dot + 1))) == 0;
}

/// What SQLite finds wrong with the file: every page, and the one index that records are found by. What a column may hold was checked
/// when its row was written, and the digests tell whether it still is that row.
std::string damageOf(Connection& connection)
{
    std::string damage;
    connection.run("PRAGMA ignore_check_constraints = ON");
    for (const char* check : {"PRAGMA quick_check(100)", "PRAGMA integrity_check(visits)"}) {
        Slot line(Slot::Kind::Text);
        std::vector<std::string> lines;
        {
            Statement query(connection, check, {}, {&line});
            for (bool row = query.first(); row; row = query.next())
                lines.push_back(line.text);
        }
        for (const std::string& found : lines)
            if (damage.empty() && found != "ok" && !isFalseAlarm(connection, found))
                damage = found;
    }
    connection.run("PRAGMA ignore_check_constraints = OFF");
    return damage;
}

std::string lastHash(Connection& connection)
{
    return connection.text("SELECT hash FROM journal ORDER BY seq DESC LIMIT 1");
}

/// The rows of a book against its journal: first the journal's chain, then every row, the visits in ranges of their keys. A second
/// connection, where there is one that sees the same book, looks through the file's pages meanwhile and then takes its share of the
/// ranges; what is found does not depend on it.
class Verifier {
public:
    Verifier(Connection& connection, const std::function<bool(double)>& progress, std::string_view noted, std::int64_t entriesForTwo)
        : m_connection(connection), m_progress(progress), m_entriesForTwo(entriesForTwo)
    {
        readNoted(noted);
    }

    VerifyReport run()
    {
        const std::int64_t entries = m_connection.number("SELECT count(*) FROM journal");
        m_total = static_cast<double>(entries * 2 + 1);
        m_sampleEvery = std::max<std::int64_t>(1, entries / kRanges);
        if (entries >= m_entriesForTwo)
            openSecond();
        std::future<std::string> second;
        if (m_second)
            second = std::async(std::launch::async, [this] { return secondsShare(); });
        try {
            chain();
            m_findings.nextStep();
            divide();
            m_divided.set_value();
            for (const RecordTable& table : recordTables())
                if (!table.ofVisit)
                    rows(RowCursor(m_connection, table.shape, table.keys));
            shareOfVisits(m_connection);
            unknownTables();
            while (second.valid() && second.wait_for(kPatience) != std::future_status::ready)
                report();
        } catch (...) {
            m_stop = true;
            if (m_ranges.empty())
                m_divided.set_value();
            throw;  // `second` waits for its thread
        }
        const std::string damage = second.valid() ? second.get() : m_findings.any() ? std::string() : damageOf(m_connection);
        m_findings.nextStep();
        for (std::size_t i = 0; i < m_promises.size(); ++i)
            if (!m_promises[i].gap && !m_seen[i])
                m_findings.add(static_cast<std::int64_t>(i) + 1, "its row is gone from the book", true);
        if (m_damageFailed && !m_findings.any())
            std::rethrow_exception(m_damageFailed);
        if (!damage.empty())
            m_findings.add(std::numeric_limits<std::int64_t>::max(), "the file itself is damaged: " + damage);
        return told();
    }

private:
    static constexpr std::int64_t kRanges = 32;
    static constexpr std::chrono::milliseconds kPatience{20};
    static constexpr std::size_t kMostGaps = 100'000'000;

    /// The words for an entry: "visit v1 (entry 7, 2026-03-02, T1)".
    std::string entryWords(std::int64_t seq)
    {
        std::string words = "a missing entry";
        Journal(m_connection).read(seq - 1, [&](const JournalRow& row) {
            if (row.seq == seq)
                words = fmt::format("{} {} (entry {}, {}{}{})", row.what, row.key, row.seq, core::formatDate(row.time),
                                    row.person.empty() ? "" : ", ", row.person);
            return false;
        });
        return words;
    }
    VerifyReport told()
    {
        if (m_findings.any()) {
            m_report.ok = false;
            m_report.firstBadSeq = m_findings.seq();
            m_report.firstBad =
                m_findings.ofEntry() ? fmt::format("{}: {}", entryWords(m_findings.seq()), m_findings.words()) : m_findings.words();
        }
        return m_report;
    }

    /// Opens a second connection if it sees what this one sees: every change of a record moves the journal's end.
    void openSecond()
    {
        if (std::thread::hardware_concurrency() < 2 || m_connection.holdsUnsavedChanges())
            return;
        auto second = Connection::open(m_connection.file(), Connection::Mode::ReadOnly);
        if (!second)
            return;
        try {
            m_second = std::move(*second);
            m_view.emplace(*m_second, Transaction::Kind::Read);
            if (lastHash(*m_second) == lastHash(m_connection))
                return;
        } catch (...) {  // NOLINT(bugprone-empty-catch): one connection does it all then
        }
        m_view.reset();
        m_second.reset();
    }

    /// What the second connection does: the file's pages while the chain is read, then ranges of visits.
    std::string secondsShare()
    {
        m_second->giveUpWhen(m_stop);
        std::string damage;
        try {
            damage = damageOf(*m_second);
        } catch (...) {
            m_damageFailed = std::current_exception();
        }
        m_divided.get_future().wait();
        if (!m_stop)
            shareOfVisits(*m_second);
        return damage;
    }

    /// Ranges of about as many visits each, cut at keys that the journal names.
    void divide()
    {
        std::ranges::sort(m_cuts);
        m_cuts.erase(std::ranges::unique(m_cuts).begin(), m_cuts.end());
        std::string from;
        for (const std::string& cut : m_cuts) {
            m_ranges.push_back({.from = from, .to = cut});
            from = cut;
        }
        m_ranges.push_back({.from = from, .to = {}});
        m_seen = std::vector<std::atomic<bool>>(m_promises.size());
    }
    void shareOfVisits(Connection& connection)
    {
        for (std::size_t next = m_nextRange++; next < m_ranges.size(); next = m_nextRange++)
            visits(connection, m_ranges[next]);
    }

    void report()
    {
        if (m_progress && !m_progress(std::min(1.0, static_cast<double>(m_done.load()) / m_total)))
            throwError(core::Errc::Cancelled, "stopped");
    }
    void step(const Connection& connection)
    {
        constexpr std::int64_t kEvery = 2000;
        if (++m_done % kEvery != 0)
            return;
        if (&connection == &m_connection)
            report();
        else if (m_stop)
            throwError(core::Errc::Cancelled, "stopped");
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
        const std::int64_t last = static_cast<std::int64_t>(m_promises.size());
        const std::string head = m_notedHash.substr(0, 12);
        if (m_notedEntry > last)
            m_findings.add(last + 1, fmt::format("entry {} is missing: the journal ends before entry {}, whose head {} was noted", last + 1,
                                                 m_notedEntry, head));
        else if (m_notedEntry > 0)
            m_findings.add(m_notedEntry, fmt::format("entry {} is not the one whose head {} was noted: entries up to it were changed",
                                                     m_notedEntry, head));
        else
            m_findings.add(last + 1, fmt::format("no entry has the noted head {}: the journal was cut off after entry {} or written anew",
                                                 head, last));
    }

    std::uint16_t kindOf(const std::string& what)
    {
        const auto at = std::ranges::find(m_kinds, what);
        if (at == m_kinds.end()) {
            m_kinds.push_back(what);
            return static_cast<std::uint16_t>(m_kinds.size() - 1);
        }
        return static_cast<std::uint16_t>(at - m_kinds.begin());
    }

    void chain()
    {
        bool found = false;
        Journal journal(m_connection);
        std::string before;
        bool broken = false;
        journal.read(0, [&](const JournalRow& row) {
            const std::int64_t expected = static_cast<std::int64_t>(m_promises.size()) + 1;
            if (row.seq != expected && !broken) {
                m_findings.add(expected, fmt::format("entry {} is missing from the journal", expected));
                broken = true;
            }
            if (!broken && chainedHash(m_sha, row, before) != row.hash) {
                m_findings.add(row.seq, "the entry does not fit the one before it", true);
                broken = true;
            }
            before = row.hash;
            found = found || (!m_notedHash.empty() && row.hash.starts_with(m_notedHash) && (m_notedEntry == 0 || m_notedEntry == row.seq));
            // Entries are found by number; a gap keeps its places so that later rows are still matched.
            while (static_cast<std::int64_t>(m_promises.size()) + 1 < row.seq && m_promises.size() < kMostGaps)
                m_promises.push_back({.content = {}, .what = 0, .gap = true});
            Promise promise{.content = {}, .what = kindOf(row.what), .gap = false};
            if (!readDigest(row.content, promise.content))
                m_findings.add(row.seq, "its digest is none", true);
            m_promises.push_back(promise);
            if (row.what == "visit" && row.seq % m_sampleEvery == 0)
                m_cuts.push_back(row.key);
            step(m_connection);
            return true;
        });
        m_report.entries = static_cast<std::int64_t>(m_promises.size());
        m_report.head = before;
        compareNoted(found);
    }

    /// Compares one record's digest with what its entry promised.
    void check(std::int64_t entry, std::string_view table, std::string_view key, std::span<const std::string_view> whats,
               const Digest& digest)
    {
        if (entry < 1 || entry > static_cast<std::int64_t>(m_promises.size())) {
            m_findings.add(std::max<std::int64_t>(entry, 0),
                           fmt::format("a row of {} ({}) stands in the book without an entry in the journal", table, key));
            return;
        }
        const auto place = static_cast<std::size_t>(entry) - 1;
        const Promise& promise = m_promises[place];
        const bool twice = m_seen[place].exchange(true);
        if (promise.gap || twice || digest != promise.content || std::ranges::find(whats, m_kinds[promise.what]) == whats.end())
            m_findings.add(entry, fmt::format("what stands in {} ({}) is not what was written", table, key), true);
    }

    void rows(RowCursor cursor)
    {
        const std::array<std::string_view, 1> whats = {cursor.shape().what};
        std::string content;
        for (; cursor.hasRow(); cursor.next()) {
            content.clear();
            cursor.content(content);
            check(cursor.entry(), cursor.shape().table, cursor.key(), whats, m_sha.digest(content));
            step(m_connection);
        }
    }

    /// A visit's rows lie in several tables; those of one entry are one text, in the order they were written in.
    void visits(Connection& connection, const KeyRange& range)
    {
        Sha256 sha;
        std::vector<RowCursor> tables;
        for (const RecordTable& table : recordTables())
            if (table.ofVisit)
                tables.emplace_back(connection, table.shape, table.keys, range.from, range.to);
        constexpr std::array<std::string_view, 3> kWhats = {"visit", "visit_head", "visit_rows"};
        std::vector<std::pair<std::int64_t, std::string>> texts;  // kept for their room
        std::string key;
        for (;;) {
            const RowCursor* least = nullptr;
            for (const RowCursor& table : tables)
                if (table.hasRow() && (least == nullptr || table.key() < least->key()))
                    least = &table;
            if (least == nullptr)
                return;
            key = least->key();
            std::size_t used = 0;
            for (RowCursor& table : tables)
                for (; table.hasRow() && table.key() == key; table.next()) {
                    std::size_t at = 0;
                    while (at < used && texts[at].first != table.entry())
                        ++at;
                    if (at == used) {
                        if (++used > texts.size())
                            texts.emplace_back();
                        texts[at].first = table.entry();
                        texts[at].second.clear();
                    }
                    table.content(texts[at].second);
                }
            for (std::size_t i = 0; i < used; ++i) {
                check(texts[i].first, "visits", key, kWhats, sha.digest(texts[i].second));
                step(connection);
            }
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
                m_findings.add(std::numeric_limits<std::int64_t>::max(),
                               fmt::format("{} holds rows that this program did not write", table));
    }

    Connection& m_connection;
    const std::function<bool(double)>& m_progress;
    std::int64_t m_entriesForTwo;
    std::atomic<bool> m_stop = false;  // outlives the connection that asks it
    std::unique_ptr<Connection> m_second;
    std::optional<Transaction> m_view;
    Sha256 m_sha;
    std::string m_notedHash;
    std::int64_t m_notedEntry = 0;
    std::vector<Promise> m_promises;
    std::vector<std::atomic<bool>> m_seen;  ///< parallel to m_promises
    std::vector<std::string> m_kinds, m_cuts;
    std::int64_t m_sampleEvery = 1;
    std::vector<KeyRange> m_ranges;
    std::promise<void> m_divided;
    std::exception_ptr m_damageFailed;
    std::atomic<std::size_t> m_nextRange = 0;
    Findings m_findings;
    VerifyReport m_report;
    std::atomic<std::int64_t> m_done = 0;
    double m_total = 1.0;
};

}  // namespace

VerifyReport verifyBook(Connection& connection, const std::function<bool(double)>& progress, std::string_view noted,
                        std::int64_t entriesForTwo)
{
    return Verifier(connection, progress, noted, entriesForTwo).run();
}

}  // namespace halfcell::db
