#include "db/book/book_impl.h"
#include "db/book/round_mates.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

using core::Errc;
using core::Records;
using core::Result;

namespace {

Records loadEverything(Book::Impl& d, const std::optional<core::Instant>& asOf)
{
    if (asOf)
        d.standing.lookAt(asOf);
    Records records;
    d.plant.loadSmall(records, asOf);
    records.visits = d.visits.loadAll(asOf);
    records.legacy = d.plant.legacy.load();
    records.corrections = d.visits.allCorrections();
    return records;
}

}  // namespace

Result<Records> Book::loadRecords() const
{
    return m_impl->reading([&] { return loadEverything(*m_impl, std::nullopt); });
}

Result<Records> Book::loadRecords(const core::Instant& asOf) const
{
    return m_impl->reading([&] { return loadEverything(*m_impl, asOf); });
}

namespace {

Records loadOneSensor(Book::Impl& d, std::string_view serial, const std::optional<core::Instant>& asOf)
{
    if (asOf)
        d.standing.lookAt(asOf);
    Records records;
    d.plant.loadSmall(records, asOf, serial);
    records.visits = d.visits.ofSensor(serial, asOf);
    for (const std::string& visit : d.visits.movedTo(serial)) {
        const auto isHere = [&](const core::Visit& v) { return v.visit == visit; };
        if (std::ranges::any_of(records.visits, isHere))
            continue;
        if (auto moved = d.visits.find(visit))
            records.visits.push_back(std::move(*moved));
    }
    std::ranges::stable_sort(
        records.visits, [](const core::Visit& a, const core::Visit& b) { return std::tie(a.when, a.visit) < std::tie(b.when, b.visit); });
    records.legacy = d.plant.legacy.loadWhere("serial", serial);
    records.corrections = d.visits.correctionsOfSensor(serial);
    return records;
}

}  // namespace

Result<Records> Book::loadSensorRecords(std::string_view serial) const
{
    return m_impl->reading([&] { return loadOneSensor(*m_impl, serial, std::nullopt); });
}

Result<Records> Book::loadSensorRecords(std::string_view serial, const core::Instant& asOf) const
{
    return m_impl->reading([&] { return loadOneSensor(*m_impl, serial, asOf); });
}

Result<Records> Book::loadSensorAndRound(std::string_view serial, const core::Instant& now, bool known) const
{
    return m_impl->reading([&] {
        Records records = loadOneSensor(*m_impl, serial, known ? std::optional(now) : std::nullopt);
        addRoundMates(*m_impl, records, serial, now);
        return records;
    });
}

Result<Records> Book::loadReference() const
{
    return m_impl->reading([&] {
        Records records;
        m_impl->plant.loadSmall(records, std::nullopt);
        return records;
    });
}

Result<core::Visit> Book::loadVisit(std::string_view visit) const
{
    return m_impl->reading([&]() -> core::Visit {
        auto found = m_impl->visits.find(visit);
        if (!found)
            throwError(Errc::NotFound, fmt::format("there is no visit \"{}\"", visit), "check its key");
        return std::move(*found);
    });
}

Result<std::vector<JournalEntry>> Book::journal(std::int64_t after, std::size_t limit) const
{
    return m_impl->reading([&] {
        std::vector<JournalEntry> entries;
        m_impl->journal.read(after, [&](const JournalRow& row) {
            entries.push_back({.seq = row.seq,
                               .time = row.time,
                               .person = row.person,
                               .what = row.what,
                               .key = row.key,
                               .text = row.text,
                               .hash = row.hash,
                               .serial = row.serial});
            return limit == 0 || entries.size() < limit;
        });
        return entries;
    });
}

Result<core::RuleSet> Book::rulesAt(const core::Instant& asOf) const
{
    Impl& d = *m_impl;
    return d.reading([&]() -> core::RuleSet {
        auto adoptions = d.ruleAdoptions.load();
        if (adoptions.empty())
            return core::RuleSet::shipped();
        std::ranges::stable_sort(adoptions, {}, &RuleAdoptionRow::adopted);
        // Before the first adoption the first set counts: nothing older is known. Later on, what a new book takes into force
        // by itself counts for nothing: a merged book may have been started long after this one.
        const RuleAdoptionRow* inForce = &adoptions.front();
        for (const RuleAdoptionRow& adoption : adoptions)
            if (adoption.adopted <= asOf && adoption.recorded <= asOf && adoption.why != kShippedWhy)
                inForce = &adoption;
        RuleSetRow like;
        like.id = inForce->id;
        const auto stored = d.ruleSets.find(like);
        if (!stored)
            throwError(Errc::DamagedBook, fmt::format("the rule set {} is gone from the book", inForce->id), "verify the book");
        if (stored->text == core::RuleSet::shipped().text())
            return core::RuleSet::shipped();
        return orThrow(core::RuleSet::parse(stored->text));
    });
}

Result<std::vector<RuleAdoption>> Book::ruleAdoptions() const
{
    return m_impl->reading([&] {
        std::vector<RuleAdoption> list;
        for (const RuleAdoptionRow& row : m_impl->ruleAdoptions.load())
            list.push_back({.id = row.id, .adopted = row.adopted, .person = row.person.value_or(""), .why = row.why.value_or("")});
        return list;
    });
}

Result<std::vector<Draft>> Book::drafts() const
{
    return m_impl->reading([&] { return m_impl->drafts.load(); });
}

}  // namespace halfcell::db
