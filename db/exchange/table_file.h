#pragma once

#include "db/exchange/csv_split.h"
#include "db/exchange/exchange.h"
#include "db/exchange/mapped_file.h"
#include "db/exchange/public_tables.h"
#include "db/exchange/source_lines.h"
#include "db/exchange/spooled_table.h"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace halfcell::db {

/// One table to be read: its file, its header made out. Movable; the text lives as long as it does.
class TableFile {
public:
    /// Opens a file and makes out its header. A file that cannot be taken as a whole (encoding, unknown or missing columns)
    /// gives its refusals and no rows. Errc::CannotRead if it cannot be read at all.
    /// `needed`: columns that must be there; all required ones of the table when empty.
    static core::Result<TableFile> open(const std::filesystem::path& file, PublicTable table, std::vector<Refusal>& refused,
                                        const std::vector<std::string_view>& needed = {});

    /// A table made from another file; refusals name the lines and columns of that file.
    static core::Result<TableFile> open(SpooledTable made, std::vector<Refusal>& refused);

    [[nodiscard]] PublicTable table() const { return m_table; }
    [[nodiscard]] const std::string& name() const { return m_name; }
    /// Whether its rows can be read (the header was in order).
    [[nodiscard]] bool readable() const { return m_readable; }
    /// The columns' names by place.
    [[nodiscard]] const std::vector<std::string>& header() const { return m_header; }
    /// Place of a column; npos if the file does not have it.
    [[nodiscard]] std::size_t place(std::string_view column) const;

    /// Every record after the header. `take` gets those that are well formed; the others are refused. `take` returns false
    /// to stop.
    void records(std::vector<Refusal>& refused, const std::function<bool(const CsvRecord&)>& take) const;
    /// One record again, by the offset and line it had.
    bool recordAt(std::size_t offset, std::size_t line, CsvRecord& record) const;
    /// The record of this offset with up to `rows` ones after it, one after the other.
    void recordsFrom(std::size_t offset, std::size_t line, std::size_t rows, const std::function<void(const CsvRecord&)>& take) const;
    /// Line and column as whoever wrote the file knows them.
    [[nodiscard]] std::size_t sourceLine(std::size_t line) const { return m_lines.lineOf(line); }
    [[nodiscard]] std::string sourceField(std::size_t line, std::string_view field) const { return m_lines.fieldOf(line, field); }
    /// Share of the text before an offset.
    [[nodiscard]] double shareAt(std::size_t offset) const;

    [[nodiscard]] Refusal refusal(std::size_t line, std::string field, std::string_view value, std::string reason,
                                  std::string remedy) const;

private:
    explicit TableFile(MappedFile map) : m_map(std::move(map)) {}
    void readHeader(std::vector<Refusal>& refused, const std::vector<std::string_view>& needed);
    [[nodiscard]] bool checkColumns(const CsvRecord& header, std::vector<Refusal>& refused, const std::vector<std::string_view>& needed);

    MappedFile m_map;
    std::string_view m_text;
    PublicTable m_table = PublicTable::Sites;
    std::string m_name;
    SourceLines m_lines;
    std::vector<std::string> m_header;
    std::size_t m_firstRow = 0, m_firstLine = 1;
    bool m_readable = false;
};

/// Blanks around a bare cell are not part of it.
[[nodiscard]] std::string_view cellText(const CsvRecord& record, std::size_t place);

}  // namespace halfcell::db
