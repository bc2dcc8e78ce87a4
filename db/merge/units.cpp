#include "db/merge/units.h"

#include "db/stores/record_tables.h"
#include "db/stores/row_cursor.h"

#include <algorithm>
#include <unordered_set>

namespace halfcell::db {

namespace {

/// Entries whose content names a place within the visit that may be another in another book, or of which a part may be known.
bool isComparedByRow(std::string_view what)
{
    return what == "correction" || what == "visit_rows";
}

}  // namespace

bool isOfThisFile(std::string_view what)
{
    return what == "merge";
}

Tail tailOf(Book::Impl& from, Book::Impl& to, const std::function<void(double)>& progress)
{
    Tail tail;
    std::vector<std::string> hashes;
    std::unordered_set<std::string> contents;
    to.journal.read(0, [&](const JournalRow& row) {
        hashes.push_back(row.hash);
        contents.insert(row.what + ':' + row.content);
        return true;
    });
    bool together = true;
    std::vector<JournalRow> wanted;
    from.journal.read(0, [&](const JournalRow& row) {
        tail.head = row.hash;
        const auto at = static_cast<std::size_t>(row.seq) - 1;
        together = together && at < hashes.size() && hashes[at] == row.hash;
        if (isOfThisFile(row.what))
            return true;
        if (together || (!isComparedByRow(row.what) && contents.contains(row.what + ':' + row.content)))
            ++tail.known;
        else
            wanted.push_back(row);
        return true;
    });
    hashes.clear();
    contents.clear();
    tail.units.reserve(wanted.size());
    for (JournalRow& row : wanted)
        tail.units.push_back({.entry = std::move(row), .rows = {}});
    if (tail.units.empty())
        return tail;
    std::vector<std::string> texts(tail.units.size());
    double done = 0.0;
    for (const RecordTable& table : recordTables()) {
        for (RowCursor cursor(*from.connection, table.shape, table.keys); cursor.hasRow(); cursor.next()) {
            const auto at = std::ranges::lower_bound(tail.units, cursor.entry(), {}, [](const Unit& u) { return u.entry.seq; });
            if (at != tail.units.end() && at->entry.seq == cursor.entry())
                cursor.content(texts[static_cast<std::size_t>(at - tail.units.begin())]);
        }
        progress((done += 1.0) / static_cast<double>(recordTables().size()));
    }
    for (std::size_t i = 0; i < texts.size(); ++i)
        tail.units[i].rows = parseContent(texts[i]);
    return tail;
}

}  // namespace halfcell::db
