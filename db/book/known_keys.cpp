#include "db/book/known_keys.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

KnownKeys::KnownKeys(Connection& connection, std::string_view table, std::string_view column)
    : m_connection(connection), m_sql(fmt::format("SELECT 1 FROM {} WHERE {} = :key LIMIT 1", table, column))
{
}

bool KnownKeys::has(std::string_view key)
{
    if (m_known.contains(key))
        return true;
    if (!m_find)
        m_find = std::make_unique<Statement>(m_connection, m_sql, SlotList{&m_key}, SlotList{&m_one});
    m_key.set(key);
    if (!m_find->one())
        return false;
    m_known.emplace(key);
    return true;
}

std::vector<PlacementLookup::Stay>& PlacementLookup::staysOf(std::string_view serial)
{
    if (const auto at = m_bySerial.find(serial); at != m_bySerial.end())
        return at->second;
    if (!m_find)
        m_find = std::make_unique<Statement>(
            m_connection,
            "SELECT p.place, p.from_s, p.recorded_s, coalesce(e.to_s, p.to_s) FROM placements p LEFT JOIN placement_ends e "
            "ON e.serial = p.serial AND e.from_s = p.from_s AND e.place = p.place WHERE p.serial = :serial ORDER BY p.from_s",
            SlotList{&m_serial}, SlotList{&m_place, &m_from, &m_recorded, &m_to});
    std::vector<Stay>& stays = m_bySerial[std::string(serial)];
    m_serial.set(serial);
    for (bool row = m_find->first(); row; row = m_find->next()) {
        Stay& stay = stays.emplace_back();
        stay.place = m_place.text;
        stay.from = {m_from.integer, 0};
        stay.recorded = {m_recorded.integer, 0};
        if (!m_to.isNull())
            stay.to = core::Instant{m_to.integer, 0};
    }
    return stays;
}

std::string PlacementLookup::placeAt(std::string_view serial, const core::Instant& when, const core::Instant& recorded)
{
    const Stay* found = nullptr;
    for (const Stay& stay : staysOf(serial))
        if (stay.from <= when && (!stay.to || when < *stay.to) && stay.recorded <= recorded)
            found = &stay;
    return found == nullptr ? std::string() : found->place;
}

void PlacementLookup::add(const core::Placement& placement)
{
    std::vector<Stay>& stays = staysOf(placement.serial);
    const Stay stay{.place = placement.place, .from = placement.from, .recorded = placement.recorded, .to = placement.to};
    stays.insert(std::ranges::upper_bound(stays, stay.from, {}, &Stay::from), stay);
}

}  // namespace halfcell::db
