#include "db/book/book_impl.h"
#include "db/book/visit_key.h"

#include "core/fleet/columns.h"

#include <fmt/format.h>

namespace halfcell::db {

using core::Errc;
using core::Instant;
using core::Result;

namespace {

/// A time that was not given.
bool unset(const Instant& time)
{
    return time.utcSeconds == 0;
}

/// Typed here: recorded at the clock, unless the row says when.
void recordedBy(Instant& recorded, const Instant& now)
{
    if (unset(recorded))
        recorded = now;
}

/// Fills what a visit typed or logged here left open: key, times, dips, who.
void complete(VisitRow& visit, const BookStamp& stamp)
{
    if (unset(visit.when)) {
        visit.when = stamp.now;
        for (const core::Reading& reading : visit.readings)
            if (!unset(reading.when) && reading.when < visit.when)
                visit.when = reading.when;
    }
    recordedBy(visit.recorded, stamp.now);
    if (visit.visit.empty())
        visit.visit = newVisitKey(stamp.now);
    const auto rows = [&](auto& list) {
        for (auto& row : list) {
            if (unset(row.when))
                row.when = visit.when;
            if (unset(row.recorded))
                row.recorded = visit.recorded;
        }
    };
    rows(visit.readings);
    rows(visit.grabs);
    rows(visit.checks);
    rows(visit.actions);
    numberDips(visit.readings);
}

void throwFirst(const VisitPlan& plan)
{
    if (const core::Error* error = plan.firstError())
        throw Thrown(*error);
}

std::size_t rowCount(const core::Visit& visit)
{
    return visit.readings.size() + visit.grabs.size() + visit.checks.size() + visit.actions.size();
}

}  // namespace

Result<StoredVisit> Book::recordVisit(core::Visit offered, const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        VisitRow visit{offered};
        // Logged again without a time of its own, it is the visit the book has.
        if (unset(visit.when) && !visit.visit.empty()) {
            if (const auto stored = d.visits.find(visit.visit))
                visit.when = stored->when;
        }
        complete(visit, stamp);
        const std::size_t offeredRows = rowCount(visit);
        VisitPlan plan = d.admission.plan(std::move(visit));
        throwFirst(plan);
        if (plan.known && (plan.anyNew() || rowCount(plan.visit) != offeredRows))
            throwError(Errc::Conflict, fmt::format("the visit {} is already in the book with other content", plan.visit.visit),
                       "give this visit another key, or correct the one in the book");
        if (!plan.known)
            d.append(plan, stamp);
        return StoredVisit{.visit = static_cast<const core::Visit&>(plan.visit), .unchanged = plan.known};
    });
}

Result<void> Book::correct(const core::Correction& offered, const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        core::Correction correction = offered;
        recordedBy(correction.recorded, stamp.now);
        if (correction.person.empty())
            correction.person = stamp.person;
        if (correction.person.empty())
            throwField(Errc::BadInput, "person", "a correction needs a person", "say who corrects");
        if (correction.why.empty())
            throwField(Errc::BadInput, "why", "a correction needs a reason", "say why");
        auto visit = d.visits.find(correction.visit);
        if (!visit)
            throwField(Errc::NotFound, "visit", fmt::format("there is no visit \"{}\"", correction.visit), "check its key");
        const std::string serial = visit->serial;
        // One that no longer fits (two books corrected the same field) changes nothing, as in every view of the records.
        for (const core::Correction& earlier : d.visits.correctionsOf(correction.visit))
            (void)core::applyCorrection(*visit, earlier);
        orThrow(core::applyCorrection(*visit, correction));
        if (!d.admission.knowsSensor(visit->serial))
            throwField(Errc::NotFound, "new", fmt::format("the serial \"{}\" is not known", visit->serial), "check it, or add the sensor first");
        if (visit->tag && !d.admission.knowsPoint(*visit->tag))
            throwField(Errc::NotFound, "new", fmt::format("the tag \"{}\" is not known", *visit->tag), "check it, or add the point first");
        d.append(correction, serial, stamp);
    });
}

Result<WriteCount> Book::add(const core::Records& offered, const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        WriteCount count;
        const auto rows = [&](const auto& list, auto& store) {
            for (auto row : list) {
                recordedBy(row.recorded, stamp.now);
                const RowVerdict verdict = d.admission.admit(row);
                if (verdict.refused())
                    throw Thrown(verdict.error);
                if (verdict.kind == RowVerdict::Kind::Same) {
                    ++count.unchanged;
                    continue;
                }
                d.append(store, row, stamp);
                d.admission.know(row);
                ++count.added;
            }
        };
        rows(offered.sites, d.plant.sites);
        rows(offered.points, d.plant.points);
        rows(offered.models, d.plant.models);
        rows(offered.sensors, d.plant.sensors);
        rows(offered.placements, d.plant.placements);
        rows(offered.parts, d.plant.parts);
        rows(offered.standards, d.plant.standards);
        rows(offered.lots, d.plant.lots);
        rows(offered.equipment, d.plant.equipment);
        rows(offered.people, d.plant.people);
        rows(offered.holds, d.plant.holds);
        rows(offered.legacy, d.plant.legacy);
        for (const core::Visit& row : offered.visits) {
            VisitRow visit{row};
            complete(visit, stamp);
            const VisitPlan plan = d.admission.plan(std::move(visit));
            throwFirst(plan);
            if (!plan.anyNew()) {
                ++count.unchanged;
                continue;
            }
            d.append(plan, stamp);
            ++count.added;
        }
        for (core::Correction correction : offered.corrections) {
            recordedBy(correction.recorded, stamp.now);
            auto visit = d.visits.find(correction.visit);
            if (!visit)
                throwField(Errc::NotFound, "visit", fmt::format("there is no visit \"{}\"", correction.visit), "check its key");
            const std::string serial = visit->serial;
            bool there = false;
            for (const core::Correction& earlier : d.visits.correctionsOf(correction.visit)) {
                there = there || earlier == correction;
                (void)core::applyCorrection(*visit, earlier);
            }
            if (there) {
                ++count.unchanged;
                continue;
            }
            orThrow(core::applyCorrection(*visit, correction));
            d.append(correction, serial, stamp);
            ++count.added;
        }
        return count;
    });
}

Result<void> Book::adoptRules(const core::RuleSet& rules, const BookStamp& stamp, std::string_view why)
{
    return m_impl->writing([&] { m_impl->append(rules, why, stamp); });
}

Result<void> Book::nameShop(std::string_view shop, const BookStamp& stamp)
{
    return m_impl->writing([&] {
        if (shop.empty())
            throwField(Errc::BadInput, "shop", "the shop's name is empty", "type a name");
        m_impl->append(m_impl->shopNames, ShopName{.shop = std::string(shop), .recorded = stamp.now}, stamp);
    });
}

Result<void> Book::keepDraft(const Draft& draft)
{
    return m_impl->writing([&] {
        if (draft.id.empty())
            throwField(Errc::BadInput, "id", "a draft needs a key", "give it one");
        m_impl->drafts.put(draft);
    });
}

Result<void> Book::dropDraft(std::string_view id)
{
    return m_impl->writing([&] { m_impl->drafts.drop(id); });
}

}  // namespace halfcell::db
