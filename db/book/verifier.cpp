#include "db/book/verifier.h"

#include "db/journal/journal.h"
#include "db/stores/child_store.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>

namespace halfcell::db {

namespace {

/// A table read row by row in an order, as slots.
class RowCursor {
public:
    RowCursor(Connection& connection, TableShape shape, std::size_t keys)
        : m_shape(std::move(shape)), m_keys(keys)
    {
        for (const Slot::Kind kind : m_shape.kinds)
            m_slots.emplace_back(kind);
        m_slots.emplace_back(Slot::Kind::Integer);  // entry
        SlotList intos;
        for (Slot& slot : m_slots)
            intos.push_back(&slot);
        m_query = std::make_unique<Statement>(
            connection, fmt::format("SELECT {}, entry FROM {} ORDER BY {}", joinNames(m_shape.names), m_shape.table, m_shape.order), SlotList{},
            intos);
        m_row = m_query->first();
    }

    [[nodiscard]] bool hasRow() const { return m_row; }
    void next() { m_row = m_query->next(); }
    [[nodiscard]] std::int64_t entry() const { return m_slots.back().integer; }
    [[nodiscard]] const std::string& key() const { return m_slots.front().text; }
    [[nodiscard]] const TableShape& shape() const { return m_shape; }
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

struct Entry {
    std::string content;   ///< hex
    std::string about;     ///< "visit v1 (entry 7, 2026-03-02, T1)"
    std::string what;
    bool seen = false;
};

class Verifier {
public:
    Verifier(Connection& connection, const std::function<bool(double)>& progress) : m_connection(connection), m_progress(progress) {}

    VerifyReport run()
    {
        m_total = static_cast<double>(m_connection.number("SELECT count(*) FROM journal") * 2 + 1);
        chain();
        alone<core::Site>();
        alone<core::Point>();
        alone<core::Model>();
        alone<core::Sensor>();
        alone<core::Placement>();
        alone<PlacementEnd>();
        alone<core::PartRecord>();
        alone<PartEnd>();
        alone<core::Lot>();
        alone<LotEvent>();
        alone<core::StandardRow>();
        alone<core::Equipment>();
        alone<core::Person>();
        alone<core::Hold>();
        alone<HoldEnd>();
        alone<core::Legacy>();
        alone<ShopName>();
        alone<RuleSetRow>();
        alone<RuleAdoptionRow>();
        rows(RowCursor(m_connection, ChildStore<core::Correction>::shape(), 2));
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

    void chain()
    {
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
            // Entries are found by number; a gap keeps its places so that later rows are still matched.
            while (static_cast<std::int64_t>(m_entries.size()) + 1 < row.seq && m_entries.size() < kMostGaps)
                m_entries.push_back({.content = {}, .about = "a missing entry", .what = {}, .seen = true});
            m_entries.push_back({.content = row.content, .about = std::move(about), .what = row.what, .seen = false});
            step();
            return true;
        });
        m_report.entries = static_cast<std::int64_t>(m_entries.size());
        m_report.head = before;
    }

    /// Compares one record's text with what its entry promised.
    void check(std::int64_t entry, std::string_view table, std::string_view key, std::span<const std::string_view> whats,
               const std::string& content)
    {
        step();
        if (entry < 1 || entry > static_cast<std::int64_t>(m_entries.size())) {
            bad(std::max<std::int64_t>(entry, 0), fmt::format("a row of {} ({}) stands in the book without an entry in the journal", table, key));
            return;
        }
        Entry& e = m_entries[static_cast<std::size_t>(entry) - 1];
        const bool fits = std::ranges::find(whats, std::string_view(e.what)) != whats.end() && !e.seen && hex(m_sha.digest(content)) == e.content;
        if (!fits)
            bad(entry, fmt::format("{}: what stands in {} ({}) is not what was written", e.about, table, key));
        e.seen = true;
    }

    template <class Row>
    void alone()
    {
        rows(RowCursor(m_connection, tableShape<Row>(), 0));
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
        tables.emplace_back(m_connection, tableShape<VisitRow>(), 0);
        tables.emplace_back(m_connection, tableShape<VisitHead>(), 0);
        tables.emplace_back(m_connection, ChildStore<core::Reading>::shape(), 2);
        tables.emplace_back(m_connection, ChildStore<core::Grab>::shape(), 2);
        tables.emplace_back(m_connection, ChildStore<core::Check>::shape(), 2);
        tables.emplace_back(m_connection, ChildStore<core::Action>::shape(), 2);
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
            Statement query(m_connection,
                            "SELECT m.name FROM sqlite_master m JOIN pragma_table_info(m.name) c ON c.name = 'entry' WHERE m.type = 'table' "
                            "ORDER BY m.name",
                            {}, {&name});
            for (bool row = query.first(); row; row = query.next())
                names.push_back(name.text);
        }
        constexpr std::array kWritten = {"sites",      "points",    "models",   "sensors",       "placements", "placement_ends", "parts",
                                         "part_ends",  "lots",      "lot_events", "standards",   "equipment",  "people",         "holds",
                                         "hold_ends",  "legacy",    "shop_names", "rule_sets",   "rule_adoptions", "corrections", "visits",
                                         "visit_heads", "readings", "grabs",    "checks",        "actions"};
        for (const std::string& table : names)
            if (std::ranges::find(kWritten, table) == kWritten.end() &&
                m_connection.number(fmt::format("SELECT count(*) FROM {}", table)) > 0)
                bad(std::numeric_limits<std::int64_t>::max(), fmt::format("{} holds rows that this program did not write", table));
    }

    void structure()
    {
        const std::string result = m_connection.text("PRAGMA quick_check(1)");
        if (result != "ok")
            bad(std::numeric_limits<std::int64_t>::max(), "the file itself is damaged: " + result);
    }

    static constexpr std::size_t kMostGaps = 100'000'000;
    Connection& m_connection;
    const std::function<bool(double)>& m_progress;
    Sha256 m_sha;
    std::vector<Entry> m_entries;
    VerifyReport m_report;
    double m_done = 0.0, m_total = 1.0;
    int m_sinceReport = 0;
};

}  // namespace

VerifyReport verifyBook(Connection& connection, const std::function<bool(double)>& progress)
{
    return Verifier(connection, progress).run();
}

}  // namespace halfcell::db
