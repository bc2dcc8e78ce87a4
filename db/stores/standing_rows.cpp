#include "db/stores/standing_rows.h"

#include "db/connection/statement.h"
#include "db/stores/content_text.h"

#include <array>
#include <tuple>

namespace halfcell::db {

namespace {

constexpr std::array<std::string_view, 5> kOfVisits = {"visits", "readings", "grabs", "checks", "actions"};

}  // namespace

std::string_view tableOfRowKey(std::string_view rowKey)
{
    return rowKey.substr(1, rowKey.find(']') - 1);
}

void StandingRows::begin()
{
    // Both tables only ever grow, so their counts say whether anything is new.
    const std::int64_t variants = m_connection.number("SELECT count(*) FROM merge_variants");
    const std::int64_t settled =
        variants == 0 ? 0 : m_connection.number("SELECT count(*) FROM clash_settlements WHERE content IS NOT NULL");
    if (variants == m_variantCount && settled == m_settledCount) {
        if (!m_present)
            lookAt(std::nullopt);
        return;
    }
    m_variantCount = variants;
    m_settledCount = settled;
    m_variants.clear();
    m_settled.clear();
    Slot clash(Slot::Kind::Text), digest(Slot::Kind::Text), key(Slot::Kind::Text), content(Slot::Kind::Text), recorded(Slot::Kind::Integer);
    {
        Statement query(m_connection, "SELECT clash, digest, row_key, content, recorded_s FROM merge_variants ORDER BY clash, digest", {},
                        {&clash, &digest, &key, &content, &recorded});
        for (bool row = query.first(); row; row = query.next())
            m_variants.push_back({clash.text, digest.text, key.text, content.text, recorded.integer});
    }
    Statement query(
        m_connection,
        "SELECT clash, content, recorded_s FROM clash_settlements WHERE content IS NOT NULL ORDER BY clash, recorded_s, content", {},
        {&clash, &content, &recorded});
    for (bool row = query.first(); row; row = query.next())
        m_settled.push_back({clash.text, content.text, recorded.integer});
    lookAt(std::nullopt);
}

void StandingRows::lookAt(const std::optional<core::Instant>& asOf)
{
    m_present = !asOf;
    m_standing.clear();
    m_visits.clear();
    const auto known = [&](std::int64_t recorded) { return !asOf || recorded <= asOf->utcSeconds; };
    auto settled = m_settled.begin();
    for (auto at = m_variants.begin(); at != m_variants.end();) {
        // The earliest recorded: if that is not known yet, none is, and the row is left out by its own time.
        const Variant& first = *at;
        const Variant* least = &first;
        for (; at != m_variants.end() && at->clash == first.clash; ++at)
            if (std::tie(at->recorded, at->digest) < std::tie(least->recorded, least->digest))
                least = &*at;
        const std::string* content = &least->content;
        while (settled != m_settled.end() && settled->clash < first.clash)
            ++settled;
        for (; settled != m_settled.end() && settled->clash == first.clash; ++settled)
            if (known(settled->recorded))
                content = &settled->content;
        m_standing[std::string(tableOfRowKey(first.rowKey))].emplace(first.rowKey, *content);
    }
    for (const std::string_view table : kOfVisits)
        if (const auto* rows = of(table))
            for (const auto& [key, content] : *rows) {
                const auto parts = parseContent(key);
                if (const std::string* visit = parts.front().value("visit"))
                    m_visits.insert(*visit);
            }
}

const std::string* StandingRows::find(std::string_view table, std::string_view rowKey) const
{
    const auto* rows = of(table);
    if (rows == nullptr)
        return nullptr;
    const auto at = rows->find(rowKey);
    return at == rows->end() ? nullptr : &at->second;
}

const std::map<std::string, std::string, std::less<>>* StandingRows::of(std::string_view table) const
{
    const auto at = m_standing.find(table);
    return at == m_standing.end() ? nullptr : &at->second;
}

}  // namespace halfcell::db
