#pragma once

#include "core/fleet/records.h"
#include "db/exchange/public_tables.h"

#include <filesystem>
#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace halfcell::db {

/// The records as they were known at a moment: rows recorded or measured later are left out, ends that lie later are open,
/// corrections of rows left out too; a correction's row number counts the rows that remain.
[[nodiscard]] core::Records knownAt(core::Records records, const core::Instant& asOf);

/// Gives the rows of a public table in canonical order as cell texts, in the order of `publicColumns`.
void exportRows(const core::Records& records, PublicTable table, const std::function<void(const std::vector<std::string>&)>& take);

/// Writes the tables as a workbook (exportWorkbook, without the book). The file is whole when this returns, or not there.
core::Result<std::vector<std::pair<std::string, std::size_t>>> writeWorkbook(const core::Records& known, const std::filesystem::path& file,
                                                                             const core::Instant& asOf);

}  // namespace halfcell::db
