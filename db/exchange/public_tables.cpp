#include "db/exchange/public_tables.h"

#include "core/fleet/columns.h"

namespace halfcell::db {

namespace {

using namespace core;

constexpr std::array<std::string_view, kPublicTables> kNames = {
    "sites",  "points", "models", "sensors", "placements", "parts", "standards", "lots",    "equipment",
    "people", "holds",  "legacy", "visits",  "readings",   "grabs", "checks",    "actions", "corrections"};

/// A column is one of numbers when its cells may be a number and nothing like a word: the catalogue itself knows. So with times
/// and with yes and no.
template <class Row>
bool takesOnlyLike(const Column<Row>& column, std::string_view example)
{
    Row scratch{};
    return column.set(scratch, example).has_value() && !column.set(scratch, "x").has_value();
}

template <class Row>
PublicColumn publicColumn(const Column<Row>& column)
{
    return {.name = column.name,
            .required = column.required,
            .number = takesOnlyLike(column, "1"),
            .moment = takesOnlyLike(column, "2026-03-02T08:12:00Z"),
            .truth = takesOnlyLike(column, "yes")};
}

template <class Row>
std::vector<PublicColumn> ownColumns()
{
    std::vector<PublicColumn> columns;
    for (const auto& column : columnsOf<Row>())
        columns.push_back(publicColumn(column));
    return columns;
}

/// The columns of a child table: the visit's that it carries, then its own; `when` stands after `visit`.
template <class Row>
std::vector<PublicColumn> childColumns(std::initializer_list<std::string_view> head)
{
    std::vector<PublicColumn> columns = {{.name = "visit", .required = true}, {.name = "when", .required = true, .moment = true}};
    for (const std::string_view name : head) {
        const auto* column = findColumn<Visit>(name);
        columns.push_back({.name = column->name, .required = column->required});
    }
    for (const auto& column : columnsOf<Row>())
        if (column.name != "when")
            columns.push_back(publicColumn(column));
    return columns;
}

std::vector<PublicColumn> columnsFor(PublicTable table)
{
    switch (table) {
    case PublicTable::Sites: return ownColumns<Site>();
    case PublicTable::Points: return ownColumns<Point>();
    case PublicTable::Models: return ownColumns<Model>();
    case PublicTable::Sensors: return ownColumns<Sensor>();
    case PublicTable::Placements: return ownColumns<Placement>();
    case PublicTable::Parts: return ownColumns<PartRecord>();
    case PublicTable::Standards: return ownColumns<StandardRow>();
    case PublicTable::Lots: return ownColumns<Lot>();
    case PublicTable::Equipment: return ownColumns<Equipment>();
    case PublicTable::People: return ownColumns<Person>();
    case PublicTable::Holds: return ownColumns<Hold>();
    case PublicTable::Legacy: return ownColumns<Legacy>();
    case PublicTable::Visits: return ownColumns<Visit>();
    case PublicTable::Readings: {
        auto columns = childColumns<Reading>({"serial", "tag", "person", "reason"});
        for (PublicColumn& column : columns)
            column.required = column.required || column.name == "mv";
        return columns;
    }
    case PublicTable::Grabs: return childColumns<Grab>({"serial"});
    case PublicTable::Checks: return childColumns<Check>({"serial"});
    case PublicTable::Actions: return childColumns<Action>({"serial"});
    case PublicTable::Corrections: return ownColumns<Correction>();
    }
    return {};
}

}  // namespace

std::string_view nameOf(PublicTable table)
{
    return kNames[static_cast<std::size_t>(table)];
}

std::optional<PublicTable> tableNamed(std::string_view stem)
{
    std::string lower(stem);
    for (char& c : lower)
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c + 32);
    for (std::size_t i = 0; i < kNames.size(); ++i)
        if (kNames[i] == lower)
            return static_cast<PublicTable>(i);
    return std::nullopt;
}

bool belongsToVisits(PublicTable table)
{
    return table >= PublicTable::Visits && table <= PublicTable::Actions;
}

std::span<const PublicColumn> publicColumns(PublicTable table)
{
    static const std::array<std::vector<PublicColumn>, kPublicTables> kColumns = [] {
        std::array<std::vector<PublicColumn>, kPublicTables> all;
        for (std::size_t i = 0; i < kPublicTables; ++i)
            all[i] = columnsFor(static_cast<PublicTable>(i));
        return all;
    }();
    return kColumns[static_cast<std::size_t>(table)];
}

}  // namespace halfcell::db
