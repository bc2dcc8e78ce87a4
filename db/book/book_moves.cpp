#include "db/book/book_impl.h"

#include <fmt/format.h>

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

Result<void> Book::moveSensor(std::string_view serial, std::string_view place, const Instant& when, std::optional<core::RemovalReason> reason,
                              const BookStamp& stamp)
{
    Impl& d = *m_impl;
    return d.writing([&] {
        if (!d.admission.knowsSensor(serial))
            throwField(Errc::NotFound, "serial", fmt::format("the serial \"{}\" is not known", serial), "check it, or add the sensor first");
        if (!d.admission.knowsPlace(place))
            throwField(Errc::NotFound, "place", fmt::format("the place \"{}\" is not known", place),
                       "use a known tag, or shelf, soak, bench, quarantine, scrap");
        core::Records records;
        d.plant.loadSmall(records, std::nullopt, serial);
        for (const core::Placement& open : records.placements) {
            if (open.to)
                continue;
            if (open.place == place)
                throwField(Errc::Conflict, "place", fmt::format("{} is at {} already", serial, place), "nothing needs to be moved");
            if (when < open.from)
                throwField(Errc::BadInput, "when",
                           fmt::format("{} came to {} only on {}", serial, open.place, core::formatDate(open.from)), "give a later time");
            if (d.admission.knowsPoint(open.place) && !reason)
                throwField(Errc::BadInput, "reason_removed", fmt::format("{} leaves {}: the reason is missing", serial, open.place),
                           "say why it was removed");
            PlacementEnd end;
            end.serial = serial;
            end.place = open.place;
            end.from = open.from;
            end.to = when;
            end.reason_removed = reason;
            if (reason)
                end.pre_emptive = *reason == core::RemovalReason::PreEmptive ? std::optional<bool>(true) : open.pre_emptive;
            end.person = personOf(stamp);
            end.recorded = stamp.now;
            d.append(d.plant.placementEnds, end, stamp);
        }
        core::Placement placement;
        placement.serial = serial;
        placement.place = place;
        placement.from = when;
        placement.recorded = stamp.now;
        const RowVerdict verdict = d.admission.admit(placement);
        if (verdict.refused())
            throw Thrown(verdict.error);
        if (verdict.kind == RowVerdict::Kind::Same)
            throwField(Errc::Conflict, "when", fmt::format("{} came to {} at that very time already", serial, place), "give a later time");
        d.append(d.plant.placements, placement, stamp);
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
