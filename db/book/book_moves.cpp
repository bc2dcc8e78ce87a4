#include "db/book/book_impl.h"

#include <fmt/format.h>

#include <algorithm>

/// What ends later than it began: placements, parts, holds, bottles. The end is a row of its own.
namespace halfcell::db {

using core::Errc;
using core::Instant;
using core::Result;

namespace {

core::Text personOf(const BookStamp& stamp)
{
    return stamp.person.empty() ? core::Text() : core::Text(stamp.person);
}

}  // namespace

void Book::Impl::place(std::string_view serial, std::string_view where, const Instant& from, const std::optional<Instant>& latest,
                       const BookStamp& stamp)
{
    core::Placement placement;
    placement.serial = serial;
    placement.place = where;
    placement.from = from;
    placement.from_latest = latest;
    placement.recorded = stamp.now;
    const RowVerdict verdict = admission.admit(placement);
    if (verdict.refused())
        throw Thrown(verdict.error);
    if (verdict.kind == RowVerdict::Kind::Same)
        throwField(Errc::Conflict, "when", fmt::format("{} came to {} at that very time already", serial, where), "give a later time");
    append(plant.placements, placement, stamp);
}

namespace {

void mustKnow(Admission& admission, std::string_view serial, std::string_view place)
{
    if (!admission.knowsSensor(serial))
        throwField(Errc::NotFound, "serial", fmt::format("the serial \"{}\" is not known", serial), "check it, or add the sensor first");
    if (!admission.knowsPlace(place))
        throwField(Errc::NotFound, "place", fmt::format("the place \"{}\" is not known", place),
                   "use a known tag, or shelf, soak, bench, quarantine, scrap");
}

PlacementEnd endOf(const core::Placement& open, const Instant& when, std::optional<core::RemovalReason> reason, const BookStamp& stamp)
{
    PlacementEnd end;
    end.serial = open.serial;
    end.place = open.place;
    end.from = open.from;
    end.to = when;
    end.reason_removed = reason;
    if (reason)
        end.pre_emptive = *reason == core::RemovalReason::PreEmptive ? std::optional<bool>(true) : open.pre_emptive;
    end.person = personOf(stamp);
    end.recorded = stamp.now;
    return end;
}

/// Of one sensor: where the book has it.
std::vector<core::Placement> openPlacements(PlantStore& plant, std::string_view serial)
{
    core::Records records;
    plant.loadSmall(records, std::nullopt, serial);
    std::erase_if(records.placements, [](const core::Placement& p) { return p.to.has_value(); });
    return records.placements;
}

}  // namespace

Result<void> Book::moveSensor(std::string_view serial, std::string_view place, const Instant& when,
                              std::optional<core::RemovalReason> reason, const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        mustKnow(d.admission, serial, place);
        for (const core::Placement& open : openPlacements(d.plant, serial)) {
            if (open.place == place)
                throwField(Errc::Conflict, "place", fmt::format("{} is at {} already", serial, place), "nothing needs to be moved");
            if (when < open.from)
                throwField(Errc::BadInput, "when", fmt::format("{} came to {} only on {}", serial, open.place, core::formatDate(open.from)),
                           "give a later time");
            if (d.admission.knowsPoint(open.place) && !reason)
                throwField(Errc::BadInput, "reason_removed", fmt::format("{} leaves {}: the reason is missing", serial, open.place),
                           "say why it was removed");
            d.append(d.plant.placementEnds, endOf(open, when, reason, stamp), stamp);
        }
        d.place(serial, place, when, std::nullopt, stamp);
    });
}

Result<void> Book::settleSwap(const FoundSwap& found, const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        mustKnow(d.admission, found.inHand, found.point);
        mustKnow(d.admission, found.displaced, found.displacedTo.empty() ? found.point : found.displacedTo);
        if (!d.admission.knowsPoint(found.point))
            throwField(Errc::BadInput, "point", fmt::format("\"{}\" is no point", found.point), "name the tag where the sensor was found");
        if (found.inHand == found.displaced)
            throwField(Errc::BadInput, "displaced", "a sensor can't displace itself", "name the one the book has there");
        const auto a = openPlacements(d.plant, found.inHand);
        const auto b = openPlacements(d.plant, found.displaced);
        const auto at = [&](const std::vector<core::Placement>& open, std::string_view place) {
            return std::ranges::any_of(open, [&](const core::Placement& p) { return p.place == place; });
        };
        if (at(a, found.point))
            throwField(Errc::Conflict, "inHand", fmt::format("{} is at {} already", found.inHand, found.point),
                       "nothing needs to be moved");
        if (!at(b, found.point))
            throwField(Errc::Conflict, "displaced", fmt::format("the book has {} elsewhere", found.displaced), "look again where it is");
        // The last time either was seen where the book has it: put there, or visited.
        Instant seen{0, found.when.offsetMinutes};
        for (const auto* open : {&a, &b})
            for (const core::Placement& placement : *open) {
                if (found.when < placement.from)
                    throwField(Errc::BadInput, "when",
                               fmt::format("{} came to {} only on {}", placement.serial, placement.place, core::formatDate(placement.from)),
                               "give a later time");
                seen.utcSeconds = std::max(seen.utcSeconds, placement.from.utcSeconds);
            }
        if (!found.dayKnown) {
            Slot before(Slot::Kind::Integer), serial(Slot::Kind::Text), when(Slot::Kind::Integer);
            before.set(static_cast<long long>(found.when.utcSeconds));
            Statement query(*d.connection, "SELECT max(when_s) FROM visits WHERE serial = :serial AND when_s < :before", {&serial, &before},
                            {&when});
            for (const std::string& one : {found.inHand, found.displaced}) {
                serial.set(one);
                if (query.one() && !when.isNull())
                    seen.utcSeconds = std::max<std::int64_t>(seen.utcSeconds, when.integer);
            }
            ++seen.utcSeconds;
        }
        const Instant from = found.dayKnown || found.when < seen ? found.when : seen;
        const auto latest = found.dayKnown ? std::optional<Instant>() : std::optional(found.when);
        for (const auto* open : {&a, &b})
            for (const core::Placement& placement : *open) {
                const bool ofPoint = d.admission.knowsPoint(placement.place);
                d.append(d.plant.placementEnds,
                         endOf(placement, from, ofPoint ? std::optional(core::RemovalReason::Rotation) : std::nullopt, stamp), stamp);
            }
        d.place(found.inHand, found.point, from, latest, stamp);
        if (!found.displacedTo.empty())
            d.place(found.displaced, found.displacedTo, from, latest, stamp);
    });
}

Result<void> Book::endPart(std::string_view serial, core::Part part, const Instant& from, const Instant& to, const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        core::PartRecord like;
        like.serial = serial;
        like.part = part;
        like.from = from;
        const auto stored = d.plant.part(like);
        if (!stored)
            throwField(Errc::NotFound, "from", fmt::format("no such part of {} is in the book", serial), "check serial, part and time");
        if (stored->to)
            throwField(Errc::Conflict, "to", "the part was taken out already", "nothing needs to be done");
        if (to < from)
            throwField(Errc::BadInput, "to", "to lies before from", "check both times");
        PartEnd end;
        end.serial = serial;
        end.part = part;
        end.from = stored->from;
        end.to = to;
        end.person = personOf(stamp);
        end.recorded = stamp.now;
        d.append(d.plant.partEnds, end, stamp);
    });
}

Result<void> Book::openHold(const core::Hold& hold, const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        core::Hold row = hold;
        if (row.recorded.utcSeconds == 0)
            row.recorded = stamp.now;
        if (row.from.utcSeconds == 0)
            row.from = stamp.now;
        if (!row.person)
            row.person = personOf(stamp);
        const RowVerdict verdict = d.admission.admit(row);
        if (verdict.refused())
            throw Thrown(verdict.error);
        if (verdict.kind == RowVerdict::Kind::New)
            d.append(d.plant.holds, row, stamp);
    });
}

Result<void> Book::closeHold(std::string_view point, const Instant& from, const Instant& to, std::string_view person, core::HoldClosed how,
                             const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        core::Hold like;
        like.point = point;
        like.from = from;
        const auto stored = d.plant.hold(like);
        if (!stored)
            throwField(Errc::NotFound, "from", fmt::format("no hold of {} from {} is in the book", point, core::formatInstant(from)),
                       "check point and time");
        if (stored->to)
            throwField(Errc::Conflict, "to", fmt::format("the hold of {} was closed already", point), "nothing needs to be done");
        if (to < stored->from)
            throwField(Errc::BadInput, "to", "to lies before from", "check both times");
        HoldEnd end;
        end.point = point;
        end.from = stored->from;
        end.to = to;
        end.closed_by = person.empty() ? personOf(stamp) : core::Text(std::string(person));
        end.closed_how = how;
        end.recorded = stamp.now;
        d.append(d.plant.holdEnds, end, stamp);
    });
}

namespace {

void lotEvent(Book::Impl& d, std::string_view lot, const char* event, const Instant& when, const BookStamp& stamp)
{
    core::Lot like;
    like.lot = lot;
    const auto stored = d.plant.lot(like);
    if (!stored)
        throwField(Errc::NotFound, "lot", fmt::format("the lot \"{}\" is not known", lot), "check it, or add it first");
    const bool opening = std::string_view(event) == "opened";
    if (opening ? stored->opened.has_value() : stored->discarded.has_value())
        throwField(Errc::Conflict, event, fmt::format("the lot {} was {} already", lot, event), "nothing needs to be done");
    if (!opening && stored->opened && when < *stored->opened)
        throwField(Errc::BadInput, event, "discarded lies before opened", "check the time");
    LotEvent row;
    row.lot = lot;
    row.event = event;
    row.time = when;
    row.person = personOf(stamp);
    row.recorded = stamp.now;
    d.append(d.plant.lotEvents, row, stamp);
}

}  // namespace

Result<void> Book::openLot(std::string_view lot, const Instant& when, const BookStamp& stamp)
{
    return m_impl->writing([&] { lotEvent(*m_impl, lot, "opened", when, stamp); });
}

Result<void> Book::discardLot(std::string_view lot, const Instant& when, const BookStamp& stamp)
{
    return m_impl->writing([&] { lotEvent(*m_impl, lot, "discarded", when, stamp); });
}

}  // namespace halfcell::db
