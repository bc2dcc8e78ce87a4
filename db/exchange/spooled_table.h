#pragma once

#include "db/exchange/mapped_file.h"
#include "db/exchange/public_tables.h"
#include "db/exchange/source_lines.h"

#include <string>
#include <string_view>
#include <vector>

namespace halfcell::db {

/// A public table made from another file, written row by row to a nameless file of the system's temporary folder (it goes
/// with the last that holds it, whatever happens), so that a large one needs no memory.
class SpooledTable {
public:
    /// Errc::CannotWrite if the temporary folder can't be used.
    static core::Result<SpooledTable> make(PublicTable table, std::string shownAs, const std::vector<std::string>& header);

    SpooledTable(SpooledTable&& other) noexcept;
    SpooledTable& operator=(SpooledTable&& other) noexcept;
    ~SpooledTable();

    /// Adds a record, with the line it comes from and its kind (SourceLines).
    core::Result<void> add(const std::vector<std::string>& cells, std::size_t sourceLine, std::size_t kind = 0);
    [[nodiscard]] SourceLines& lines() { return m_lines; }
    [[nodiscard]] std::size_t rows() const { return m_rows; }
    [[nodiscard]] PublicTable table() const { return m_table; }
    [[nodiscard]] const std::string& shownAs() const { return m_shownAs; }

    /// The text for reading; nothing may be added any more.
    core::Result<MappedFile> close();

private:
    SpooledTable() = default;
    core::Result<void> flush();

    PublicTable m_table = PublicTable::Sites;
    std::string m_shownAs;
    SourceLines m_lines;
    std::string m_buffer;
    std::size_t m_rows = 0, m_line = 1;
    int m_file = -1;
};

}  // namespace halfcell::db
