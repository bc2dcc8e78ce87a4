#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// The public tables, in the order in which they are taken (what others refer to comes first).
enum class PublicTable {
    Sites,
    Points,
    Models,
    Sensors,
    Placements,
    Parts,
    Standards,
    Lots,
    Equipment,
    People,
    Holds,
    Legacy,
    Visits,
    Readings,
    Grabs,
    Checks,
    Actions,
    Corrections
};

inline constexpr std::size_t kPublicTables = 18;

[[nodiscard]] std::string_view nameOf(PublicTable table);
/// By the file's name without its ending, in any case.
[[nodiscard]] std::optional<PublicTable> tableNamed(std::string_view stem);
/// Whether the rows of a table belong to visits.
[[nodiscard]] bool belongsToVisits(PublicTable table);

/// A column of a table's file.
struct PublicColumn {
    std::string_view name;
    bool required = false;
    bool number = false;  ///< its cells are numbers
    bool moment = false;  ///< its cells are times
    bool truth = false;   ///< its cells are yes or no
};
/// The columns of a table in the order of an export (`visit`, `serial` ... of child tables included).
[[nodiscard]] std::span<const PublicColumn> publicColumns(PublicTable table);

}  // namespace halfcell::db
