#include "db/merge/merge.h"

#include "db/merge/clash_kinds.h"
#include "db/merge/units.h"
#include "db/stores/record_tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

namespace {

/// Puts the rows of another book's entries beside those that are here. Inside a write transaction.
class Merger {
public:
    Merger(Book::Impl& book, const BookStamp& stamp, MergeReport& report) : m_book(book), m_stamp(stamp), m_report(report) {}

    void take(const Unit& unit)
    {
        if (unit.rows.empty())
            throwError(Errc::DamagedBook, fmt::format("entry {} of the other book has no rows", unit.entry.seq), "verify it");
        const std::string& what = unit.entry.what;
        bool taken = false;
        if (what == "correction")
            taken = correction(unit);
        else if (what == "variant")
            taken = variant(unit);
        else if (what == "visit_rows")
            taken = laterRows(unit, unit.rows);
        else
            taken = whole(unit);
        if (taken)
            ++m_byKind[what], ++m_report.taken;
        else
            ++m_report.unchanged;
    }

    void finish()
    {
        for (auto& [what, count] : m_byKind)
            m_report.takenByKind.emplace_back(what, count);
    }

private:
    struct Finder {
        std::vector<Slot> uses, outs;
        Slot entry{Slot::Kind::Integer};
        std::vector<std::string> useNames;
        std::unique_ptr<Statement> query;
    };
    struct Standing {
        std::string text;
        std::int64_t entry = 0;
    };

    /// The row of the book's own table with the key of `row`.
    std::optional<Standing> standing(const RecordTable& table, const ContentRow& row)
    {
        Finder& f = m_finders[row.table];
        if (!f.query) {
            std::string where;
            std::string_view words = table.shape.keys;
            while (!words.empty()) {
                const std::size_t end = words.find(' ');
                const std::string_view word = words.substr(0, end);
                words = end == std::string_view::npos ? std::string_view() : words.substr(end + 1);
                const auto at = static_cast<std::size_t>(std::ranges::find(table.shape.names, word) - table.shape.names.begin());
                f.useNames.emplace_back(word);
                f.uses.emplace_back(table.shape.kinds[at]);
                where += fmt::format("{}{} = :{}", where.empty() ? "" : " AND ", word, word);
            }
            SlotList uses, outs;
            for (Slot& slot : f.uses)
                uses.push_back(&slot);
            for (const Slot::Kind kind : table.shape.kinds)
                f.outs.emplace_back(kind);
            for (Slot& slot : f.outs)
                outs.push_back(&slot);
            outs.push_back(&f.entry);
            f.query = std::make_unique<Statement>(
                *m_book.connection, fmt::format("SELECT {}, entry FROM {} WHERE {}", joinNames(table.shape.names), row.table, where), uses,
                outs);
        }
        fillSlots(f.uses, f.useNames, row);
        if (!f.query->one())
            return std::nullopt;
        Standing found{.text = {}, .entry = f.entry.integer};
        const std::span<const Slot> slots(f.outs);
        const std::span<const std::string> names(table.shape.names);
        appendContent(found.text, table.shape.table, slots.first(table.keys == 0 ? slots.size() : table.keys),
                      names.first(table.keys == 0 ? names.size() : table.keys));
        if (table.keys > 0)
            appendContent(found.text, {}, slots.subspan(table.keys), names.subspan(table.keys));
        return found;
    }

    [[nodiscard]] static const RecordTable& tableOf(const ContentRow& row)
    {
        const RecordTable* table = recordTable(row.table);
        if (table == nullptr)
            throwError(Errc::DamagedBook, fmt::format("the other book holds rows of {}, which this program does not know", row.table),
                       "merge with the program that wrote it");
        return *table;
    }

    /// The other book's words about an entry, and where it stood there.
    [[nodiscard]] Described described(const JournalRow& entry) const
    {
        return {entry.key, entry.serial,
                fmt::format("{} (merged; there entry {} of {}{}{})", entry.text, entry.seq, core::formatInstant(entry.time),
                            entry.person.empty() ? "" : " by ", entry.person)};
    }

    void append(const JournalRow& entry, std::span<const ContentRow> rows)
    {
        m_book.appendAsWritten(entry.what, described(entry), rows, m_stamp);
        std::string serial = entry.serial;
        for (const ContentRow& row : rows)
            for (const char* column : {"remark", "note", "new_value"})
                if (const std::string* text = row.value(column); text != nullptr && isRemark(row, column))
                    if (const std::string* visit = row.value("visit"))
                        m_book.remarks.add(*visit, serial, *text);
    }
    static bool isRemark(const ContentRow& row, std::string_view column)
    {
        if (row.table == "corrections") {
            const std::string* field = row.value("field");
            return column == "new_value" && field != nullptr && (*field == "remark" || *field == "note");
        }
        return column != "new_value";
    }

    /// Keeps a content of a row that stands with another; true if it was not known.
    bool keep(const std::string& rowKey, const std::string& content, const core::Instant& recorded)
    {
        MergeVariant row{.clash = digestOf(m_book, rowKey),
                         .digest = digestOf(m_book, content),
                         .rowKey = rowKey,
                         .content = content,
                         .found = m_stamp.now,
                         .recorded = recorded};
        if (m_book.variants.find(row))
            return false;
        m_book.append(m_book.variants, row, m_stamp);
        return true;
    }
    bool keepBoth(const std::string& rowKey, const std::string& standingText, const std::string& content)
    {
        keep(rowKey, standingText, recordedIn(parseContent(standingText).front()));
        const bool kept = keep(rowKey, content, recordedIn(parseContent(content).front()));
        if (kept)
            ++m_report.newClashes;
        return kept;
    }

    bool whole(const Unit& unit)
    {
        const ContentRow& first = unit.rows.front();
        const RecordTable& table = tableOf(first);
        if (table.shape.keys.ends_with("entry")) {  // nothing but its content makes it the same row
            append(unit.entry, unit.rows);
            return true;
        }
        const auto stands = standing(table, first);
        if (!stands) {
            append(unit.entry, unit.rows);
            return true;
        }
        std::string content;
        for (const ContentRow& row : unit.rows)
            content += row.text;
        return offer(rowKeyOf(first, table.shape.keys), first, content, *stands);
    }
    /// A content for a row that is here.
    bool offer(const std::string& rowKey, const ContentRow& first, const std::string& content, const Standing& stands)
    {
        const std::string text = first.table == "visits" ? m_book.visits.ownContent(*first.value("visit")) : stands.text;
        return text != content && keepBoth(rowKey, text, content);
    }

    /// A row added to a visit later on.
    bool laterRow(const ContentRow& row, std::vector<ContentRow>* free)
    {
        const RecordTable& table = tableOf(row);
        const auto stands = standing(table, row);
        if (!stands && free != nullptr) {
            free->push_back(row);
            return true;
        }
        const std::string rowKey = rowKeyOf(row, table.shape.keys);
        if (!stands || stands->entry == entryOfVisit(*row.value("visit"))) {
            // Its place is that of a row written with the visit itself: it stands beside the tables.
            const bool kept = keep(rowKey, row.text, recordedIn(row));
            m_report.newClashes += kept ? 1U : 0U;
            return kept;
        }
        return stands->text != row.text && keepBoth(rowKey, stands->text, row.text);
    }
    bool laterRows(const Unit& unit, std::span<const ContentRow> rows)
    {
        std::vector<ContentRow> free;
        bool taken = false;
        for (const ContentRow& row : rows)
            taken = laterRow(row, &free) || taken;
        if (!free.empty())
            append(unit.entry, free);
        return taken;
    }
    std::int64_t entryOfVisit(const std::string& visit)
    {
        Slot key(Slot::Kind::Text), entry(Slot::Kind::Integer);
        key.set(visit);
        return Statement(*m_book.connection, "SELECT entry FROM visits WHERE visit = :visit", {&key}, {&entry}).one() ? entry.integer : 0;
    }

    bool variant(const Unit& unit)
    {
        const ContentRow& kept = unit.rows.front();
        const std::string* content = kept.value("content");
        const std::string* rowKey = kept.value("row_key");
        if (content == nullptr || rowKey == nullptr)
            throwError(Errc::DamagedBook, fmt::format("entry {} of the other book keeps nothing", unit.entry.seq), "verify it");
        const std::vector<ContentRow> rows = parseContent(*content);
        const ContentRow& first = rows.front();
        const RecordTable& table = tableOf(first);
        if (table.ofVisit && table.keys > 0)
            return laterRow(first, nullptr);
        const auto stands = standing(table, first);
        if (!stands)
            throwError(Errc::DamagedBook, fmt::format("entry {} of the other book keeps a row that stands nowhere", unit.entry.seq),
                       "verify it");
        // The content that stands here is known once another is kept beside it.
        return offer(*rowKey, first, *content, *stands);
    }

    bool correction(const Unit& unit)
    {
        ContentRow row = unit.rows.front();
        const std::string* visit = row.value("visit");
        if (visit == nullptr)
            throwError(Errc::DamagedBook, fmt::format("entry {} of the other book corrects no visit", unit.entry.seq), "verify it");
        RowSlots<core::Correction> slots;
        fillSlots(slots.slots(), slots.names(), row);
        core::Correction offered;
        slots.read(offered);
        offered.visit = *visit;
        for (const core::Correction& known : m_book.visits.correctionsOf(*visit))
            if (identityOf(known) == identityOf(offered))
                return false;
        const std::int64_t seq = m_book.visits.correctionCount(*visit) + 1;
        std::string text;
        m_book.visits.appendContent(text, seq, offered);
        const std::vector<ContentRow> rows = parseContent(text);
        append(unit.entry, rows);
        return true;
    }

    Book::Impl& m_book;
    const BookStamp& m_stamp;
    MergeReport& m_report;
    std::map<std::string, Finder, std::less<>> m_finders;
    std::map<std::string, std::size_t> m_byKind;
};

/// Reads the other book and checks that it can be trusted.
Tail readOther(Book& other, Book::Impl& into, const std::function<void(double)>& progress)
{
    const auto report = orThrow(other.verify([&](double fraction) { return progress(0.5 * fraction), true; }));
    if (!report.ok)
        throw Thrown(core::Error{.code = Errc::DamagedBook,
                                 .detail = "the other book does not verify: " + report.firstBad,
                                 .file = other.file().string(),
                                 .remedy = "go back to its last good backup; nothing was merged"});
    return orThrow(other.impl().reading([&] { return tailOf(other.impl(), into, [&](double f) { progress(0.5 + 0.3 * f); }); }));
}

}  // namespace

Result<MergeReport> mergeFrom(Book& book, const fs::path& file, const BookStamp& stamp, const MergeOptions& options)
{
    std::error_code ec;
    if (fs::equivalent(book.file(), file, ec))
        return core::failure(Errc::BadInput, "that is the same book", "name the other one");
    auto other = Book::open(file, OpenMode::ReadOnly);
    if (!other)
        return std::unexpected(other.error());
    Book::Impl& d = book.impl();
    MergeReport report;
    bool tried = false;
    auto done = d.writing([&] {
        const auto progress = [&](double fraction) {
            if (options.progress && !options.progress(fraction))
                throwError(Errc::Cancelled, "stopped; nothing was merged");
        };
        const Tail tail = readOther(*other, d, progress);
        report.otherHead = tail.head;
        report.unchanged = tail.known;
        Merger merger(d, stamp, report);
        for (std::size_t i = 0; i < tail.units.size(); ++i) {
            merger.take(tail.units[i]);
            if (i % 256 == 0)
                progress(0.8 + 0.2 * static_cast<double>(i) / static_cast<double>(tail.units.size()));
        }
        merger.finish();
        d.standing.begin();
        for (const KnownClash& clash : knownClashes(d))
            if (clash.shown.open)
                report.clashes.push_back(clash.shown);
        if (report.taken > 0 || report.newClashes > 0) {
            MergeRow row;
            row.book = fmt::format("{} {}", file.filename().string(), tail.head.substr(0, 12));
            row.merged = stamp.now;
            row.taken = static_cast<int>(report.taken);
            row.unchanged = static_cast<int>(report.unchanged);
            row.clashes = static_cast<int>(report.clashes.size());
            if (!stamp.person.empty())
                row.person = stamp.person;
            row.recorded = stamp.now;
            d.append(d.merges, row, stamp);
        }
        if (options.dryRun) {
            tried = true;
            throwError(Errc::Cancelled, "nothing is kept of a dry run");
        }
    });
    if (!done && !tried)
        return std::unexpected(done.error());
    return report;
}

}  // namespace halfcell::db
