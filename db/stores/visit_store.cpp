#include "db/stores/visit_store.h"

#include <algorithm>
#include <map>
#include <numeric>

namespace halfcell::db {

using core::Visit;

namespace {

/// The own row takes the place of what the readings alone had said.
void applyHead(Visit& visit, const VisitHead& head)
{
    Visit merged = head;
    merged.readings = std::move(visit.readings);
    merged.grabs = std::move(visit.grabs);
    merged.checks = std::move(visit.checks);
    merged.actions = std::move(visit.actions);
    visit = std::move(merged);
}

bool earlier(const Visit& a, const Visit& b)
{
    return std::tie(a.when, a.visit) < std::tie(b.when, b.visit);
}

/// Gives rows that come ordered by visit key to visits in the same order.
template <class Row>
auto dealTo(std::vector<VisitRow>& visits, std::vector<Row> Visit::*rows)
{
    return [&visits, rows, at = std::size_t{0}](std::string_view key, Row&& row) mutable {
        while (at < visits.size() && visits[at].visit < key)
            ++at;
        if (at == visits.size() || visits[at].visit != key)
            throwError(core::Errc::DamagedBook, fmt::format("rows of visit {} stand without it", key), "verify the book");
        (visits[at].*rows).push_back(std::move(row));
    };
}

}  // namespace

VisitStore::VisitStore(Connection& connection)
    : m_connection(connection), m_visits(connection), m_heads(connection), m_readings(connection), m_grabs(connection), m_checks(connection),
      m_actions(connection), m_corrections(connection)
{
}

void VisitStore::appendContent(std::string& out, const VisitRow& visit, const VisitParts& parts)
{
    if (parts.own)
        m_visits.appendContent(out, visit);
    if (parts.head)
        m_heads.appendContent(out, VisitHead{visit});
    const auto add = [&](auto& store, const auto& rows, std::size_t from) {
        for (std::size_t i = from; i < rows.size(); ++i)
            store.appendContent(out, visit.visit, static_cast<std::int64_t>(i) + 1, rows[i]);
    };
    add(m_readings, visit.readings, parts.readings);
    add(m_grabs, visit.grabs, parts.grabs);
    add(m_checks, visit.checks, parts.checks);
    add(m_actions, visit.actions, parts.actions);
}

void VisitStore::insert(const VisitRow& visit, const VisitParts& parts, std::int64_t entry)
{
    if (parts.own)
        m_visits.insert(visit, entry);
    if (parts.head)
        m_heads.insert(VisitHead{visit}, entry);
    const auto add = [&](auto& store, const auto& rows, std::size_t from) {
        for (std::size_t i = from; i < rows.size(); ++i)
            store.insert(visit.visit, static_cast<std::int64_t>(i) + 1, rows[i], entry);
    };
    add(m_readings, visit.readings, parts.readings);
    add(m_grabs, visit.grabs, parts.grabs);
    add(m_checks, visit.checks, parts.checks);
    add(m_actions, visit.actions, parts.actions);
}

std::optional<VisitRow> VisitStore::find(std::string_view visit)
{
    VisitRow like;
    like.visit = visit;
    auto found = m_visits.find(like);
    if (!found)
        return found;
    if (!found->stated) {
        VisitHead headLike;
        headLike.visit = visit;
        if (const auto head = m_heads.find(headLike)) {
            applyHead(*found, *head);
            found->stated = true;
        }
    }
    found->readings = m_readings.ofVisit(visit);
    found->grabs = m_grabs.ofVisit(visit);
    found->checks = m_checks.ofVisit(visit);
    found->actions = m_actions.ofVisit(visit);
    return found;
}

bool VisitStore::known(std::string_view visit)
{
    m_key.set(visit);
    if (!m_known)
        m_known = std::make_unique<Statement>(m_connection, "SELECT 1 FROM visits WHERE visit = :visit", SlotList{&m_key}, SlotList{&m_count});
    return m_known->one();
}

std::vector<VisitRow> VisitStore::heads(const std::string& where, const SlotList& uses, const std::string& order)
{
    std::vector<VisitRow> rows;
    Statement query(m_connection, fmt::format("SELECT {} FROM visits {} ORDER BY {}", joinNames(m_out.names()), where, order), uses, m_out.list());
    for (bool row = query.first(); row; row = query.next())
        m_out.read(rows.emplace_back());
    return rows;
}

std::vector<Visit> VisitStore::loadAll(const std::optional<core::Instant>& asOf)
{
    // Two key-ordered scans and a merge: the tables are clustered by visit key, so nothing is sorted by the engine.
    std::vector<VisitRow> rows = heads({}, {}, "visit");
    m_readings.scan(dealTo<core::Reading>(rows, &Visit::readings));
    m_grabs.scan(dealTo<core::Grab>(rows, &Visit::grabs));
    m_checks.scan(dealTo<core::Check>(rows, &Visit::checks));
    m_actions.scan(dealTo<core::Action>(rows, &Visit::actions));
    for (const VisitHead& head : m_heads.load()) {
        if (asOf && *asOf < head.recorded)
            continue;
        const auto at = std::ranges::lower_bound(rows, head.visit, {}, &VisitRow::visit);
        if (at != rows.end() && at->visit == head.visit)
            applyHead(*at, head);
    }
    std::vector<std::size_t> order(rows.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) { return earlier(rows[a], rows[b]); });
    std::vector<Visit> visits;
    visits.reserve(rows.size());
    for (const std::size_t i : order)
        visits.push_back(std::move(rows[i]));
    return visits;
}

std::vector<Visit> VisitStore::ofSensor(std::string_view serial, const std::optional<core::Instant>& asOf)
{
    m_key.set(serial);
    if (!m_ofSensor)
        m_ofSensor = std::make_unique<Statement>(
            m_connection, fmt::format("SELECT {} FROM visits WHERE serial = :serial ORDER BY when_s, visit", joinNames(m_out.names())),
            SlotList{&m_key}, m_out.list());
    std::vector<VisitRow> rows;
    for (bool row = m_ofSensor->first(); row; row = m_ofSensor->next())
        m_out.read(rows.emplace_back());
    // Child rows come in the same order: by time, then key.
    const auto deal = [&rows](auto Visit::*list) {
        return [&rows, list, at = std::size_t{0}](std::string_view key, auto&& row) mutable {
            while (at < rows.size() && rows[at].visit != key)
                ++at;
            if (at == rows.size())
                throwError(core::Errc::DamagedBook, fmt::format("rows of visit {} are out of order", key), "verify the book");
            (rows[at].*list).push_back(std::forward<decltype(row)>(row));
        };
    };
    m_readings.ofSensor(serial, deal(&Visit::readings));
    m_grabs.ofSensor(serial, deal(&Visit::grabs));
    m_checks.ofSensor(serial, deal(&Visit::checks));
    m_actions.ofSensor(serial, deal(&Visit::actions));
    std::vector<Visit> visits;
    visits.reserve(rows.size());
    for (VisitRow& row : rows) {
        if (!row.stated) {
            VisitHead like;
            like.visit = row.visit;
            if (const auto head = m_heads.find(like); head && !(asOf && *asOf < head->recorded))
                applyHead(row, *head);
        }
        visits.push_back(std::move(row));
    }
    std::ranges::stable_sort(visits, earlier);
    return visits;
}

std::vector<core::Correction> VisitStore::allCorrections()
{
    // Oldest first; those of one moment in the order they were written.
    std::vector<std::pair<std::int64_t, core::Correction>> rows;
    RowSlots<core::Correction> out;
    Slot visit(Slot::Kind::Text), entry(Slot::Kind::Integer);
    SlotList intos = out.list();
    intos.push_back(&visit);
    intos.push_back(&entry);
    Statement query(m_connection,
                    fmt::format("SELECT {}, visit, entry FROM corrections ORDER BY recorded_s, entry, seq", joinNames(out.names())), {}, intos);
    std::vector<core::Correction> list;
    for (bool row = query.first(); row; row = query.next()) {
        core::Correction& correction = list.emplace_back();
        out.read(correction);
        correction.visit = visit.text;
    }
    return list;
}

std::vector<core::Correction> VisitStore::correctionsOf(std::string_view visit)
{
    std::vector<core::Correction> list = m_corrections.ofVisit(visit);
    for (core::Correction& correction : list)
        correction.visit = visit;
    return list;
}

std::vector<core::Correction> VisitStore::correctionsOfSensor(std::string_view serial)
{
    std::vector<core::Correction> list;
    const auto take = [&](std::string_view visit, core::Correction&& correction) {
        correction.visit = visit;
        list.push_back(std::move(correction));
    };
    m_corrections.ofSensor(serial, take);
    for (const std::string& visit : movedTo(serial)) {
        if (std::ranges::any_of(list, [&](const core::Correction& c) { return c.visit == visit; }))
            continue;
        for (core::Correction& correction : correctionsOf(visit))
            list.push_back(std::move(correction));
    }
    std::ranges::stable_sort(list, {}, &core::Correction::recorded);
    return list;
}

void VisitStore::appendContent(std::string& out, std::int64_t seq, const core::Correction& correction)
{
    m_corrections.appendContent(out, correction.visit, seq, correction);
}

void VisitStore::insert(std::int64_t seq, const core::Correction& correction, std::int64_t entry)
{
    m_corrections.insert(correction.visit, seq, correction, entry);
}

std::vector<std::string> VisitStore::movedTo(std::string_view serial)
{
    Slot value(Slot::Kind::Text), visit(Slot::Kind::Text);
    value.set(serial);
    Statement query(m_connection,
                    "SELECT DISTINCT visit FROM corrections WHERE table_name = 'visits' AND field = 'serial' AND new_value = :serial "
                    "ORDER BY visit",
                    {&value}, {&visit});
    std::vector<std::string> list;
    for (bool row = query.first(); row; row = query.next())
        list.push_back(visit.text);
    return list;
}

}  // namespace halfcell::db
