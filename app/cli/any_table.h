#pragma once

#include "core/quantity/result.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace halfcell::app {

/// A table of anything with a header row (RFC 4180, lines starting with # are remarks), for verbs that work on any data.
/// Cells keep their text; errors name file, line and column.
class AnyTable {
public:
    /// Errc::CannotRead if it cannot be read, Errc::BadInput for a header without one of `needed`, a column that is neither needed
    /// nor in `allowed`, a row of another length or with broken quoting.
    static core::Result<AnyTable> read(const std::filesystem::path& file, const std::vector<std::string>& needed,
                                       const std::vector<std::string>& allowed);

    [[nodiscard]] std::size_t rows() const { return m_rows.size(); }
    [[nodiscard]] std::size_t lineOf(std::size_t row) const { return m_lines[row]; }
    [[nodiscard]] bool has(std::string_view column) const;
    [[nodiscard]] const std::string& text(std::size_t row, std::string_view column) const;
    /// A number; Errc::BadInput naming line and column.
    [[nodiscard]] core::Result<double> number(std::size_t row, std::string_view column) const;
    /// The same, or `empty` where the cell is empty or the column is not there.
    [[nodiscard]] core::Result<double> numberOr(std::size_t row, std::string_view column, double empty) const;
    [[nodiscard]] core::Error errorAt(std::size_t row, std::string_view column, std::string detail, std::string remedy) const;

private:
    std::string m_file;
    std::vector<std::string> m_header;
    std::vector<std::vector<std::string>> m_rows;
    std::vector<std::size_t> m_lines;
};

/// "4,8,13" as numbers; Errc::BadInput naming the option.
[[nodiscard]] core::Result<std::vector<double>> numbersOf(std::string_view list, std::string_view option);

}  // namespace halfcell::app
