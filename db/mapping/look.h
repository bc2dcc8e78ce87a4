#pragma once

#include "db/mapping/mapping.h"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace halfcell::db {

/// The beginning of a table from outside as it stands in the file, for a person who maps its columns.
struct TableLook {
    bool workbook = false;
    std::vector<std::string> sheets;  ///< of a workbook, in its order
    TextEncoding encoding = TextEncoding::Utf8;
    char separator = ',';                           ///< of a text
    std::vector<std::string> columns;               ///< names, as the mapping's header lines give them; empty if the file ends before
    std::vector<std::vector<std::string>> samples;  ///< for each column, its first different cells (at most kSamples)
    /// Rows from the file's first line on, titles and header included: line and cells. At most `rows` behind the header.
    std::vector<std::pair<std::size_t, std::vector<std::string>>> rows;

    static constexpr std::size_t kSamples = 12;
};

/// Reads it, as the mapping's [source] says; nothing else of the mapping is looked at. Errc::CannotRead if the file can't be read; BadInput
/// (with a remedy) if it can't be taken as a whole.
[[nodiscard]] core::Result<TableLook> lookAtTable(const std::filesystem::path& file, const Mapping& mapping, std::size_t rows);

/// The first column that a mapping wants and a table has not got; empty if the mapping fits.
[[nodiscard]] std::string columnMissing(const Mapping& mapping, const std::vector<std::string>& columns);

/// Whether a file is one of Halfcell's own: a text that is named as a public table and has columns of that table alone, or a workbook whose
/// sheets are all named so.
[[nodiscard]] bool isPublicTable(const std::filesystem::path& file);

/// What the words of a column of phases or standards are likely to mean ("before" is as_found, "7" is ph7.00); words that are ours already
/// are left out, as are all of another field.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> wordsMeant(std::string_view field, const std::vector<std::string>& cells);
/// The standard meant by what a person types ("pH 7", "4.01", "zobell"); empty if none.
[[nodiscard]] std::string standardTyped(std::string_view text);
/// Whether a unit can be that of a field's numbers.
[[nodiscard]] bool isUnitOf(std::string_view field, std::string_view unit);

}  // namespace halfcell::db
