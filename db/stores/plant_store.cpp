#include "db/stores/plant_store.h"

namespace halfcell::db {

namespace {

void end(core::Placement& row, const PlacementEnd& e)
{
    row.to = e.to;
    row.reason_removed = e.reason_removed;
    if (e.pre_emptive)
        row.pre_emptive = e.pre_emptive;
}
void end(core::PartRecord& row, const PartEnd& e)
{
    row.to = e.to;
}
void end(core::Lot& row, const LotEvent& e)
{
    (e.event == "opened" ? row.opened : row.discarded) = e.time;
}
void end(core::Hold& row, const HoldEnd& e)
{
    row.to = e.to;
    row.closed_by = e.closed_by;
    row.closed_how = e.closed_how;
}

bool sameRow(const core::Placement& a, const PlacementEnd& b)
{
    return a.serial == b.serial && a.from == b.from && a.place == b.place;
}
bool sameRow(const core::PartRecord& a, const PartEnd& b)
{
    return a.serial == b.serial && a.part == b.part && a.from == b.from;
}
bool sameRow(const core::Lot& a, const LotEvent& b)
{
    return a.lot == b.lot;
}
bool sameRow(const core::Hold& a, const HoldEnd& b)
{
    return a.point == b.point && a.from == b.from;
}

/// Rows and their ends come in the same order of keys.
template <class Row, class End>
void endAll(std::vector<Row>& rows, const std::vector<End>& ends, const std::optional<core::Instant>& asOf)
{
    std::size_t at = 0;
    for (const End& e : ends) {
        while (at < rows.size() && !sameRow(rows[at], e))
            ++at;
        if (at == rows.size())
            throwError(core::Errc::DamagedBook, "a later end stands without the row it ends", "verify the book");
        if (!asOf || e.recorded <= *asOf)
            end(rows[at], e);
    }
}

}  // namespace

PlantStore::PlantStore(Connection& c, StandingRows& s)
    : standing(s), sites(c, &s), points(c, &s), models(c, &s), sensors(c, &s), placements(c, &s), placementEnds(c, &s), parts(c, &s),
      partEnds(c, &s), lots(c, &s), lotEvents(c, &s), standards(c, &s), equipment(c, &s), people(c, &s), holds(c, &s), holdEnds(c, &s),
      legacy(c, &s)
{
}

void PlantStore::loadSmall(core::Records& r, const std::optional<core::Instant>& asOf, std::string_view serial)
{
    const auto rows = [&](auto& store) { return serial.empty() ? store.load() : store.loadWhere("serial", serial); };
    r.sites = sites.load();
    r.points = points.load();
    r.models = models.load();
    r.sensors = sensors.load();
    r.placements = rows(placements);
    endAll(r.placements, rows(placementEnds), asOf);
    r.parts = rows(parts);
    endAll(r.parts, rows(partEnds), asOf);
    r.lots = lots.load();
    endAll(r.lots, lotEvents.load(), asOf);
    r.standards = standards.load();
    r.equipment = equipment.load();
    r.people = people.load();
    r.holds = holds.load();
    endAll(r.holds, holdEnds.load(), asOf);
}

std::optional<core::Placement> PlantStore::placement(const core::Placement& like)
{
    auto row = placements.find(like);
    if (row) {
        PlacementEnd e;
        e.serial = like.serial;
        e.place = like.place;
        e.from = like.from;
        if (const auto found = placementEnds.find(e))
            end(*row, *found);
    }
    return row;
}

std::optional<core::PartRecord> PlantStore::part(const core::PartRecord& like)
{
    auto row = parts.find(like);
    if (row) {
        PartEnd e;
        e.serial = like.serial;
        e.part = like.part;
        e.from = like.from;
        if (const auto found = partEnds.find(e))
            end(*row, *found);
    }
    return row;
}

std::optional<core::Lot> PlantStore::lot(const core::Lot& like)
{
    auto row = lots.find(like);
    if (row)
        for (const char* event : {"opened", "discarded"}) {
            LotEvent e;
            e.lot = like.lot;
            e.event = event;
            if (const auto found = lotEvents.find(e))
                end(*row, *found);
        }
    return row;
}

std::optional<core::Hold> PlantStore::hold(const core::Hold& like)
{
    auto row = holds.find(like);
    if (row) {
        HoldEnd e;
        e.point = like.point;
        e.from = like.from;
        if (const auto found = holdEnds.find(e))
            end(*row, *found);
    }
    return row;
}

}  // namespace halfcell::db
