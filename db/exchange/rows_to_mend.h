#pragma once

#include "db/exchange/exchange.h"
#include "db/exchange/table_file.h"

#include <deque>
#include <filesystem>
#include <vector>

namespace halfcell::db {

/// Columns that stand behind the table's own in a file of rows to mend; an import passes over them.
inline constexpr std::string_view kMendColumns[] = {"refused_line", "refused_field", "refused_reason", "refused_remedy"};

/// Whether an import passes over a column of this name.
[[nodiscard]] bool isMendColumn(std::string_view name);

/// Writes the refused rows of each table, as they came, into files of the tables' names in `folder`, with why they were
/// refused behind them: mended there, the folder is imported as it is. Rows that are no rows (broken quotes, another number of cells,
/// bytes that are no UTF-8, too long) are left to the file they stand in. The place of an unnumbered dip is written down, since it
/// counts rows that are not in the file. Returns the number of rows written; no folder is made for none.
core::Result<std::size_t> writeRowsToMend(const std::deque<TableFile>& files, const std::vector<Refusal>& refused,
                                          const std::filesystem::path& folder);

}  // namespace halfcell::db
