#pragma once

#include "db/mapping/mapping.h"
#include "db/sheets/sheet.h"

#include <functional>
#include <memory>

namespace halfcell::db {

/// A table from outside, opened as a mapping's [source] says: a text of any encoding and separator, or a sheet of a workbook.
/// Rows come one after the other. One thread.
class SourceTable {
public:
    /// Errc::CannotRead if the file can't be read; BadInput (with a remedy) if it can't be taken as a whole.
    static core::Result<SourceTable> open(const std::filesystem::path& file, const Mapping& mapping);
    SourceTable(SourceTable&&) noexcept;
    SourceTable& operator=(SourceTable&&) noexcept;
    ~SourceTable();

    [[nodiscard]] const std::string& name() const;
    [[nodiscard]] const std::vector<std::string>& sheets() const;
    /// What was found where the mapping leaves it to the file.
    [[nodiscard]] TextEncoding encoding() const;
    [[nodiscard]] char separator() const;
    [[nodiscard]] bool workbook() const;

    /// Every row that holds anything, from the first line on, header and titles included. A line of a text that can't be split is
    /// given to `fault` (line, what is wrong, remedy) and passed over. `take` returns false to stop.
    core::Result<void> rows(const std::function<bool(const SheetRow&, double share)>& take,
                            const std::function<void(std::size_t, std::string, std::string)>& fault) const;

private:
    struct Impl;
    explicit SourceTable(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

/// The columns' names from the lines of a header: what stands in a column is joined by blanks; a title over several columns (the
/// cells right of it being blank) counts for each of them if another line names them; a column without any is "column N", a
/// name that is there twice gets " (2)".
[[nodiscard]] std::vector<std::string> headerNames(const std::vector<SheetRow>& lines);

/// The separator of a text: of comma, semicolon, tab and bar the one that splits most of the first lines into the same number of
/// cells, at least two; a comma if none does.
[[nodiscard]] char guessSeparator(std::string_view text);

}  // namespace halfcell::db
