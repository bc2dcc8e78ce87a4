#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace halfcell::db {

/// A cell of a table from outside: its text in UTF-8, and what the file itself says it is. A CSV file says nothing, so
/// its cells are text; a workbook knows numbers and moments.
struct SheetCell {
    enum class Kind { Text, Number, Moment, Truth, Fault };
    std::string text;  ///< numbers with a point; moments as 2026-03-02, 2026-03-02T08:12:00 or 08:12:00; yes or no
    Kind kind = Kind::Text;

    bool operator==(const SheetCell&) const = default;
};

/// A row of it, with the line it has in the file (CSV: the line of its first byte; workbook: the row number). From 1.
struct SheetRow {
    std::size_t line = 0;
    std::vector<SheetCell> cells;

    [[nodiscard]] bool blank() const
    {
        for (const SheetCell& cell : cells)
            if (!cell.text.empty())
                return false;
        return true;
    }
};

}  // namespace halfcell::db
