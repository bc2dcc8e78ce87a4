#include "db/stores/visit_store.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <numeric>
#include <tuple>
#include <unordered_map>

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

VisitStore::VisitStore(Connection& connection, const StandingRows& standing)
    : m_connection(connection), m_standing(standing), m_visits(connection), m_heads(connection, &standing), m_readings(connection),
      m_grabs(connection), m_checks(connection), m_actions(connection), m_corrections(connection)
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

void VisitStore::applyOwnRow(VisitRow& visit, const std::optional<core::Instant>& asOf)
{
    if (visit.stated)
        return;
    VisitHead like;
    like.visit = visit.visit;
    if (const auto head = m_heads.find(like); head && !(asOf && *asOf < head->recorded)) {
        applyHead(visit, *head);
        visit.stated = true;
    }
}

std::optional<VisitRow> VisitStore::find(std::string_view visit)
{
    if (m_standing.visits().contains(visit)) {
        auto found = assembled(visit);
        if (found)
            applyOwnRow(*found, std::nullopt);
        return found;
    }
    VisitRow like;
    like.visit = visit;
    auto found = m_visits.find(like);
    if (!found)
        return found;
    applyOwnRow(*found, std::nullopt);
    found->readings = m_readings.ofVisit(visit);
    found->grabs = m_grabs.ofVisit(visit);
    found->checks = m_checks.ofVisit(visit);
    found->actions = m_actions.ofVisit(visit);
    return found;
}

std::string VisitStore::ownContent(std::string_view visit)
{
    VisitRow like;
    like.visit = visit;
    const auto own = m_visits.find(like);
    std::string text;
    if (!own)
        return text;
    m_visits.appendContent(text, *own);
    Slot key(Slot::Kind::Text), entry(Slot::Kind::Integer);
    key.set(visit);
    Statement(m_connection, "SELECT entry FROM visits WHERE visit = :visit", {&key}, {&entry}).one();
    const auto add = [&](auto& store) {
        for (const auto& row : store.writtenOf(visit))
            if (row.entry == entry.integer)
                text += row.text;
    };
    add(m_readings);
    add(m_grabs);
    add(m_checks);
    add(m_actions);
    return text;
}

std::optional<VisitRow> VisitStore::assembled(std::string_view visit, const std::string* own)
{
    std::string key;
    {
        VisitRow like;
        like.visit = visit;
        m_in.fill(like);
        key = rowKeyOf("visits", "visit", m_in.slots(), m_in.names());
    }
    std::string text = own != nullptr ? *own : std::string();
    if (own == nullptr) {
        const std::string* counts = m_standing.find("visits", key);
        text = counts != nullptr ? *counts : ownContent(visit);
    }
    if (text.empty())
        return std::nullopt;
    const std::vector<ContentRow> first = parseContent(text);
    fillSlots(m_in.slots(), m_in.names(), first.front());
    VisitRow result;
    m_in.read(result);

    Slot name(Slot::Kind::Text), entry(Slot::Kind::Integer);
    name.set(visit);
    Statement(m_connection, "SELECT entry FROM visits WHERE visit = :visit", {&name}, {&entry}).one();
    // The rows written with the visit, then those added later: what the tables hold, and what is kept beside them because
    // its place was taken. Later rows go by place, those of one place by their text.
    const auto rows = [&](auto& store, auto& list, std::string_view table) {
        std::vector<std::string_view> there;
        for (const ContentRow& row : first)
            if (row.table == table) {
                list.push_back(store.fromContent(row));
                there.emplace_back(row.text);
            }
        std::map<std::string, std::string> later;  // row key, text
        std::vector<std::tuple<long long, std::string>> order;
        for (const auto& row : store.writtenOf(visit))
            if (row.entry != entry.integer)
                later.emplace(rowKeyOf(parseContent(row.text).front(), "visit seq"), row.text);
        if (const auto* kept = m_standing.of(table))
            for (const auto& [rowKey, content] : *kept)
                if (*parseContent(rowKey).front().value("visit") == visit)
                    later.insert_or_assign(rowKey, content);
        for (const auto& [rowKey, content] : later) {
            Slot seq(Slot::Kind::Integer);
            const std::string column = "seq";
            fillSlots(std::span(&seq, 1), std::span(&column, 1), parseContent(content).front());
            order.emplace_back(seq.integer, content);
        }
        std::ranges::sort(order);
        for (const auto& [seq, content] : order)
            if (std::ranges::find(there, std::string_view(content)) == there.end())
                list.push_back(store.fromContent(parseContent(content).front()));
    };
    rows(m_readings, result.readings, "readings");
    rows(m_grabs, result.grabs, "grabs");
    rows(m_checks, result.checks, "checks");
    rows(m_actions, result.actions, "actions");
    return result;
}

bool VisitStore::known(std::string_view visit)
{
    m_key.set(visit);
    if (!m_known)
        m_known =
            std::make_unique<Statement>(m_connection, "SELECT 1 FROM visits WHERE visit = :visit", SlotList{&m_key}, SlotList{&m_count});
    return m_known->one();
}

std::vector<VisitRow> VisitStore::heads(const std::string& where, const SlotList& uses, const std::string& order)
{
    std::vector<VisitRow> rows;
    Statement query(m_connection, fmt::format("SELECT {} FROM visits {} ORDER BY {}", joinNames(m_out.names()), where, order), uses,
                    m_out.list());
    for (bool row = query.first(); row; row = query.next())
        m_out.read(rows.emplace_back());
    return rows;
}

std::vector<VisitRow> VisitStore::headsBetween(const core::Instant& from, const core::Instant& to)
{
    Slot first(Slot::Kind::Integer), last(Slot::Kind::Integer);
    first.set(static_cast<long long>(from.utcSeconds));
    last.set(static_cast<long long>(to.utcSeconds));
    return heads("WHERE when_s BETWEEN :from AND :to", {&first, &last}, "serial, when_s, visit");
}

std::vector<std::string> VisitStore::lastVisits(std::string_view serial, const core::Instant& until, std::size_t most)
{
    Slot sensor(Slot::Kind::Text), last(Slot::Kind::Integer), count(Slot::Kind::Integer), visit(Slot::Kind::Text);
    sensor.set(serial);
    last.set(static_cast<long long>(until.utcSeconds));
    count.set(static_cast<long long>(most));
    Statement query(m_connection,
                    "SELECT visit FROM visits WHERE serial = :serial AND when_s <= :until ORDER BY when_s DESC, visit DESC LIMIT :most",
                    {&sensor, &last, &count}, {&visit});
    std::vector<std::string> keys;
    for (bool row = query.first(); row; row = query.next())
        keys.push_back(visit.text);
    return keys;
}

std::vector<Visit> VisitStore::loadAll(const std::optional<core::Instant>& asOf)
{
    // Two key-ordered scans and a merge: the tables are clustered by visit key, so nothing is sorted by the engine.
    std::vector<VisitRow> rows = heads({}, {}, "visit");
    m_readings.scan(dealTo<core::Reading>(rows, &Visit::readings));
    m_grabs.scan(dealTo<core::Grab>(rows, &Visit::grabs));
    m_checks.scan(dealTo<core::Check>(rows, &Visit::checks));
    m_actions.scan(dealTo<core::Action>(rows, &Visit::actions));
    for (const std::string& visit : m_standing.visits()) {
        const auto at = std::ranges::lower_bound(rows, visit, {}, &VisitRow::visit);
        if (at != rows.end() && at->visit == visit)
            *at = *assembled(visit);
    }
    for (const VisitHead& head : m_heads.load()) {
        if (asOf && *asOf < head.recorded)
            continue;
        const auto at = std::ranges::lower_bound(rows, head.visit, {}, &VisitRow::visit);
        if (at != rows.end() && at->visit == head.visit && !at->stated)
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
    if (!m_standing.visits().empty()) {
        std::erase_if(rows, [&](const VisitRow& row) { return m_standing.visits().contains(row.visit); });
        for (const std::string& visit : m_standing.visits())
            if (auto whole = assembled(visit); whole && whole->serial == serial)
                rows.push_back(std::move(*whole));
    }
    std::vector<Visit> visits;
    visits.reserve(rows.size());
    for (VisitRow& row : rows) {
        applyOwnRow(row, asOf);
        visits.push_back(std::move(row));
    }
    std::ranges::stable_sort(visits, earlier);
    return visits;
}

std::vector<std::pair<std::string, std::vector<core::Reading>>> VisitStore::readingsBySensor()
{
    std::vector<std::pair<std::string, std::vector<core::Reading>>> groups;
    std::unordered_map<std::string, std::size_t> groupOf;
    Slot key(Slot::Kind::Text), serial(Slot::Kind::Text);
    Statement visits(m_connection, "SELECT visit, serial FROM visits ORDER BY visit", {}, {&key, &serial});
    bool more = visits.first();
    std::vector<core::Reading>* group = nullptr;
    std::string current;
    m_readings.scan([&](std::string_view visit, core::Reading&& reading) {
        if (group == nullptr || current != visit) {
            while (more && key.text < visit)
                more = visits.next();
            if (!more || key.text != visit)
                throwError(core::Errc::DamagedBook, fmt::format("rows of visit {} stand without it", visit), "verify the book");
            current = visit;
            const auto [at, isNew] = groupOf.try_emplace(serial.text, groups.size());
            if (isNew)
                groups.emplace_back(serial.text, std::vector<core::Reading>());
            group = &groups[at->second].second;
        }
        group->push_back(std::move(reading));
    });
    visits.finish();
    return groups;
}

std::vector<core::Correction> VisitStore::allCorrections()
{
    std::vector<core::Correction> list;
    m_corrections.scan([&](std::string_view visit, core::Correction&& correction) {
        correction.visit = visit;
        list.push_back(std::move(correction));
    });
    canonicalOrder(list);
    return list;
}

std::vector<core::Correction> VisitStore::correctionsOf(std::string_view visit)
{
    std::vector<core::Correction> list = m_corrections.ofVisit(visit);
    for (core::Correction& correction : list)
        correction.visit = visit;
    canonicalOrder(list);
    return list;
}

std::vector<core::Correction> VisitStore::correctionsOfSensor(std::string_view serial)
{
    std::vector<core::Correction> list;
    m_corrections.ofSensor(serial, [&](std::string_view visit, core::Correction&& correction) {
        if (m_standing.visits().contains(visit))
            return;
        correction.visit = visit;
        list.push_back(std::move(correction));
    });
    const auto add = [&](const std::string& visit) {
        if (std::ranges::none_of(list, [&](const core::Correction& c) { return c.visit == visit; }))
            std::ranges::move(correctionsOf(visit), std::back_inserter(list));
    };
    for (const std::string& visit : m_standing.visits())
        if (const auto whole = assembled(visit); whole && whole->serial == serial)
            add(visit);
    for (const std::string& visit : movedTo(serial))
        add(visit);
    canonicalOrder(list);
    return list;
}

std::int64_t VisitStore::correctionCount(std::string_view visit)
{
    return static_cast<std::int64_t>(m_corrections.ofVisit(visit).size());
}

void canonicalOrder(std::vector<core::Correction>& corrections)
{
    const auto concerns = [](const core::Correction& c) { return std::tie(c.recorded, c.visit, c.table, c.row, c.field); };
    const auto text = [](const core::Correction& c) { return std::tie(c.old_value, c.new_value, c.person, c.why); };
    std::ranges::stable_sort(corrections, {}, concerns);
    for (auto first = corrections.begin(); first != corrections.end();) {
        const auto last =
            std::find_if(first, corrections.end(), [&](const core::Correction& c) { return concerns(c) != concerns(*first); });
        // Of one moment and field: one that starts from what another leaves goes after it.
        for (auto at = first; last - at > 1; ++at) {
            auto next = last;
            for (auto c = at; c != last; ++c) {
                const bool waits =
                    std::any_of(at, last, [&](const core::Correction& o) { return &o != &*c && o.new_value == c->old_value; });
                if (!waits && (next == last || text(*c) < text(*next)))
                    next = c;
            }
            if (next == last)
                break;  // a circle: as they were written
            std::rotate(at, next, next + 1);
        }
        first = last;
    }
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
