#include "db/book/book_impl.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

using core::Result;

namespace {

/// A LIKE pattern that finds the fragment anywhere, its own wildcards taken literally.
std::string pattern(std::string_view fragment)
{
    std::string text = "%";
    for (const char c : fragment) {
        if (c == '%' || c == '_' || c == '\\')
            text += '\\';
        text += c;
    }
    return text + '%';
}

bool equalFold(std::string_view a, std::string_view b)
{
    const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; };
    return std::ranges::equal(a, b, {}, lower, lower);
}

/// 0 the whole key, 1 its beginning, 2 somewhere in it or in its description.
int rank(const SearchHit& hit, std::string_view fragment)
{
    if (equalFold(hit.key, fragment))
        return 0;
    return equalFold(std::string_view(hit.key).substr(0, fragment.size()), fragment) ? 1 : 2;
}

void collect(Connection& connection, std::vector<SearchHit>& hits, const char* kind, const std::string& sql, std::string_view like)
{
    Slot wanted(Slot::Kind::Text), key(Slot::Kind::Text), text(Slot::Kind::Text);
    wanted.set(like);
    Statement query(connection, sql, {&wanted}, {&key, &text});
    for (bool row = query.first(); row; row = query.next())
        hits.push_back({.kind = kind, .key = key.text, .text = text.isNull() ? std::string() : text.text});
}

}  // namespace

Result<std::vector<SearchHit>> Book::search(std::string_view fragment, std::size_t limit) const
{
    Impl& d = *m_impl;
    return d.reading([&] {
        std::vector<SearchHit> hits;
        if (fragment.empty() || limit == 0)
            return hits;
        const std::string like = pattern(fragment);
        Connection& c = *d.connection;
        collect(c, hits, "sensor",
                "SELECT s.serial, 'sensor ' || s.serial || ', model ' || s.model FROM sensors s WHERE s.serial LIKE :like ESCAPE '\\' "
                "ORDER BY s.serial",
                like);
        collect(c, hits, "point",
                "SELECT tag, coalesce(description, site) FROM points WHERE tag || ' ' || coalesce(description, '') LIKE :like ESCAPE '\\' "
                "ORDER BY tag",
                like);
        collect(c, hits, "lot", "SELECT lot, 'lot ' || lot || ' of ' || standard FROM lots WHERE lot LIKE :like ESCAPE '\\' ORDER BY lot", like);
        std::ranges::stable_sort(hits, {}, [&](const SearchHit& hit) { return rank(hit, fragment); });
        if (hits.size() < limit && d.visits.known(fragment)) {
            const auto visit = d.visits.find(fragment);
            hits.push_back({.kind = "visit", .key = visit->visit, .text = describe(*visit).text});
        }
        if (hits.size() < limit)
            for (const RemarkIndex::Hit& hit : d.remarks.find(fragment, limit - hits.size()))
                hits.push_back({.kind = "remark", .key = hit.visit, .text = hit.serial + ": " + hit.text});
        if (hits.size() > limit)
            hits.resize(limit);
        return hits;
    });
}

}  // namespace halfcell::db
