#pragma once

#include "core/quantity/result.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// Adds a cell as RFC 4180 wants it: in quotes if it holds a comma, a quote, a line end, or a blank at either end (blanks
/// around a bare cell are not part of it when it is read back).
void appendCell(std::string& out, std::string_view cell);
/// Adds a record ended by CRLF.
void appendRecord(std::string& out, const std::vector<std::string>& cells);
/// Writes a file that is whole and on disk when this returns, or not there at all.
[[nodiscard]] core::Result<void> writeFile(const std::filesystem::path& file, std::string_view content);

}  // namespace halfcell::db
