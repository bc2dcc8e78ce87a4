#pragma once

#include "core/fleet/records.h"

#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// The public tables as catalogues of columns: one place that knows every column's name, whether it is required, how
/// its cell text becomes the field and how the field becomes text again. Import, export, JSON visits, `calc --table`
/// and corrections all go through it, so a column is added in one place.
///
/// Cell text: numbers as in core/quantity/number.h; times ISO 8601; yes/no; lists separated by `;`; `not_done`,
/// `not_applicable`, `not_possible` for optional measured values; empty for nothing recorded.
namespace halfcell::core {

template <class Row>
struct Column {
    std::string_view name;
    bool required = false;
    /// Reads a non-empty cell into the row. Errc::BadInput with a remedy; `field` is filled by the caller.
    Result<void> (*set)(Row&, std::string_view cell);
    /// The cell text; empty when nothing is recorded.
    std::string (*get)(const Row&);
    /// Takes the value out again (an empty cell); nullptr for required columns.
    void (*clear)(Row&) = nullptr;
};

/// The columns of a table in export order, `recorded` last. Readings, grabs, checks and actions list their own columns
/// only; the visit's columns (visit, when, serial, tag, person, reason) are those of `visitHeadColumns`.
template <class Row>
std::span<const Column<Row>> columnsOf();

template <> std::span<const Column<Site>> columnsOf();
template <> std::span<const Column<Point>> columnsOf();
template <> std::span<const Column<Model>> columnsOf();
template <> std::span<const Column<Sensor>> columnsOf();
template <> std::span<const Column<Placement>> columnsOf();
template <> std::span<const Column<PartRecord>> columnsOf();
template <> std::span<const Column<Lot>> columnsOf();
template <> std::span<const Column<StandardRow>> columnsOf();
template <> std::span<const Column<Equipment>> columnsOf();
template <> std::span<const Column<Person>> columnsOf();
template <> std::span<const Column<Visit>> columnsOf();     ///< all columns of visits.csv
template <> std::span<const Column<Reading>> columnsOf();   ///< without visit, serial, tag, person, reason
template <> std::span<const Column<Grab>> columnsOf();
template <> std::span<const Column<Check>> columnsOf();
template <> std::span<const Column<Action>> columnsOf();
template <> std::span<const Column<Legacy>> columnsOf();
template <> std::span<const Column<Hold>> columnsOf();
template <> std::span<const Column<Correction>> columnsOf();

template <class Row>
[[nodiscard]] const Column<Row>* findColumn(std::string_view name)
{
    for (const auto& column : columnsOf<Row>())
        if (column.name == name)
            return &column;
    return nullptr;
}

/// Replaces one field of a visit as a correction says. Errc::NotFound when table, row or field does not exist,
/// Errc::Conflict when the present value is not `old_value`, Errc::BadInput when the new text is no such value.
Result<void> applyCorrection(Visit& visit, const Correction& correction);

}  // namespace halfcell::core
