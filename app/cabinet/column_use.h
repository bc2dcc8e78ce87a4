#pragma once

#include "db/mapping/mapping.h"

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// A mapping seen from the columns of the file: what each is taken as, and what every row has in common. A mapping itself is kept by rows
/// (db/mapping/mapping.h); a person who looks at a table thinks in its columns. Values in, values out; any thread.
namespace halfcell::app {

/// What a column is taken as.
struct ColumnUse {
    std::optional<db::PublicTable> table = {};  ///< of whose rows; empty: of every row that the line makes
    std::string field = {};                     ///< a column of that table; empty: left out
    bool joined = false;                        ///< behind another column of the same field (the time behind the date)
    std::string standard = {};                  ///< of readings: those in this standard alone; empty: as the row says, or all
    std::string phase = {};                     ///< of readings and legacy rows: those in this phase alone
    std::string unit = {};
    std::vector<std::pair<std::string, std::string>> words = {};

    bool operator==(const ColumnUse&) const = default;
};

/// What the column is taken as; the first use if a mapping written by hand uses it twice.
[[nodiscard]] ColumnUse useOf(const db::Mapping& mapping, std::string_view column);
/// Takes the column as `use` and as nothing else. Another column that filled the same field of the same rows is left out then; a fixed
/// value of the field goes.
void setUse(db::Mapping& mapping, const std::string& column, const ColumnUse& use);

/// Values that every row has, whatever the line says: field and value. An empty value takes it away, and a value the columns of the field.
[[nodiscard]] const db::Constants& fixedValues(const db::Mapping& mapping);
void setFixedValue(db::Mapping& mapping, const std::string& field, const std::string& value);

/// The table that a line's rows are mainly of: readings if it makes any, else that of its first row.
[[nodiscard]] db::PublicTable mainTable(const db::Mapping& mapping);
/// Makes the lines rows of another table; what the columns are taken as stays where that table has the field.
void setMainTable(db::Mapping& mapping, db::PublicTable table);

/// What a column can be taken as, in the order of a list: fields of every row, those of the main table, those of the tables that
/// belong to it. (table, field, joined are set.)
[[nodiscard]] std::vector<ColumnUse> possibleUses(const db::Mapping& mapping);
/// Fields that can have a fixed value.
[[nodiscard]] std::vector<std::string> possibleFixedFields(const db::Mapping& mapping);
/// Whether the rows of a table differ by standard and phase.
[[nodiscard]] bool hasStandard(const ColumnUse& use);
[[nodiscard]] bool hasPhase(const ColumnUse& use);

}  // namespace halfcell::app
