#include "db/exchange/export_rows.h"

#include "core/fleet/columns.h"

#include <algorithm>
#include <map>
#include <set>
#include <string_view>

namespace halfcell::db {

using namespace core;

namespace {

const Instant& later(const Instant& a, const Instant& b)
{
    return a < b ? b : a;
}

template <class Row, class Known>
void keepKnown(std::vector<Row>& rows, const Instant& asOf, Known known)
{
    std::erase_if(rows, [&](const Row& row) { return asOf < known(row); });
}

void forgetLater(std::optional<Instant>& time, const Instant& asOf)
{
    if (time && asOf < *time)
        time.reset();
}

template <class Row>
const Instant& ownMoment(const Row& row)
{
    if constexpr (requires { row.when; })
        return later(row.when, row.recorded);
    else if constexpr (requires { row.from.utcSeconds; })
        return later(row.from, row.recorded);
    else
        return row.recorded;
}

/// Which rows of a visit's table remain: new place by old place, 0 for those left out.
template <class Row>
std::vector<int> keepRows(std::vector<Row>& rows, const Instant& asOf)
{
    std::vector<int> places;
    int kept = 0;
    for (const Row& row : rows)
        places.push_back(asOf < ownMoment(row) ? 0 : ++kept);
    keepKnown(rows, asOf, ownMoment<Row>);
    return places;
}

using Places = std::map<std::string, std::vector<int>, std::less<>>;

template <class Row>
void writeRow(const Row& row, std::vector<std::string>& cells)
{
    for (const auto& column : columnsOf<Row>())
        cells.push_back(column.get(row));
}

template <class Row>
void writeAll(const std::vector<Row>& rows, const std::function<void(const std::vector<std::string>&)>& take)
{
    std::vector<std::string> cells;
    for (const Row& row : rows) {
        cells.clear();
        writeRow(row, cells);
        take(cells);
    }
}

template <class Row>
void writeChildren(const Records& records, std::vector<Row> Visit::*rows, bool wholeHead,
                   const std::function<void(const std::vector<std::string>&)>& take)
{
    const auto& columns = columnsOf<Row>();
    std::vector<std::string> cells;
    for (const Visit& visit : records.visits)
        for (const Row& row : visit.*rows) {
            cells.clear();
            cells.push_back(visit.visit);
            cells.push_back(formatInstant(row.when));
            cells.push_back(visit.serial);
            if (wholeHead)
                for (const char* name : {"tag", "person", "reason"})
                    cells.push_back(findColumn<Visit>(name)->get(visit));
            for (const auto& column : columns)
                if (column.name != "when")
                    cells.push_back(column.get(row));
            take(cells);
        }
}

}  // namespace

Records knownAt(Records r, const Instant& asOf)
{
    keepKnown(r.sites, asOf, ownMoment<Site>);
    keepKnown(r.points, asOf, ownMoment<Point>);
    keepKnown(r.models, asOf, ownMoment<Model>);
    keepKnown(r.sensors, asOf, ownMoment<Sensor>);
    keepKnown(r.placements, asOf, ownMoment<Placement>);
    keepKnown(r.parts, asOf, ownMoment<PartRecord>);
    keepKnown(r.lots, asOf, ownMoment<Lot>);
    keepKnown(r.standards, asOf, ownMoment<StandardRow>);
    keepKnown(r.equipment, asOf, ownMoment<Equipment>);
    keepKnown(r.people, asOf, [](const Person& p) -> const Instant& { return p.recorded; });
    keepKnown(r.holds, asOf, ownMoment<Hold>);
    keepKnown(r.legacy, asOf, ownMoment<Legacy>);
    for (Placement& p : r.placements) {
        forgetLater(p.to, asOf);
        if (!p.to) {
            p.reason_removed.reset();
            p.pre_emptive.reset();
        }
    }
    for (PartRecord& p : r.parts)
        forgetLater(p.to, asOf);
    for (Lot& lot : r.lots) {
        forgetLater(lot.opened, asOf);
        forgetLater(lot.discarded, asOf);
    }
    for (Hold& hold : r.holds) {
        forgetLater(hold.to, asOf);
        if (!hold.to) {
            hold.closed_by.reset();
            hold.closed_how.reset();
        }
    }
    keepKnown(r.visits, asOf, ownMoment<Visit>);
    // Only where something was corrected do places matter.
    std::set<std::string_view> corrected;
    for (const Correction& c : r.corrections)
        corrected.insert(c.visit);
    std::map<std::string, Places, std::less<>> places;
    for (Visit& visit : r.visits) {
        forgetLater(visit.auto_at, asOf);
        Places here;
        here.emplace("readings", keepRows(visit.readings, asOf));
        here.emplace("grabs", keepRows(visit.grabs, asOf));
        here.emplace("checks", keepRows(visit.checks, asOf));
        here.emplace("actions", keepRows(visit.actions, asOf));
        if (corrected.contains(visit.visit))
            places.emplace(visit.visit, std::move(here));
    }
    std::erase_if(r.corrections, [&](Correction& c) {
        const auto visit = places.find(c.visit);
        if (asOf < c.recorded || visit == places.end())
            return true;
        const auto table = visit->second.find(c.table);
        if (table == visit->second.end())
            return false;
        const auto row = static_cast<std::size_t>(c.row) - 1;
        if (row >= table->second.size() || table->second[row] == 0)
            return true;
        c.row = table->second[row];
        return false;
    });
    return r;
}

void exportRows(const Records& records, PublicTable table, const std::function<void(const std::vector<std::string>&)>& take)
{
    switch (table) {
    case PublicTable::Sites: return writeAll(records.sites, take);
    case PublicTable::Points: return writeAll(records.points, take);
    case PublicTable::Models: return writeAll(records.models, take);
    case PublicTable::Sensors: return writeAll(records.sensors, take);
    case PublicTable::Placements: return writeAll(records.placements, take);
    case PublicTable::Parts: return writeAll(records.parts, take);
    case PublicTable::Standards: return writeAll(records.standards, take);
    case PublicTable::Lots: return writeAll(records.lots, take);
    case PublicTable::Equipment: return writeAll(records.equipment, take);
    case PublicTable::People: return writeAll(records.people, take);
    case PublicTable::Holds: return writeAll(records.holds, take);
    case PublicTable::Legacy: return writeAll(records.legacy, take);
    case PublicTable::Visits: return writeAll(records.visits, take);
    case PublicTable::Readings: return writeChildren(records, &Visit::readings, true, take);
    case PublicTable::Grabs: return writeChildren(records, &Visit::grabs, false, take);
    case PublicTable::Checks: return writeChildren(records, &Visit::checks, false, take);
    case PublicTable::Actions: return writeChildren(records, &Visit::actions, false, take);
    case PublicTable::Corrections: return writeAll(records.corrections, take);
    }
}

}  // namespace halfcell::db
