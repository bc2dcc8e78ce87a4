#include "app/cli/any_table.h"

#include "core/quantity/number.h"
#include "db/exchange/csv_split.h"
#include "db/exchange/mapped_file.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::app {

using core::Errc;
using core::Error;
using core::Result;

namespace {

std::string joinedNames(const std::vector<std::string>& names)
{
    std::string text;
    for (const std::string& n : names)
        text += (text.empty() ? "" : ", ") + n;
    return text;
}

std::string_view trimmedCell(std::string_view text)
{
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
        text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r'))
        text.remove_suffix(1);
    return text;
}

}  // namespace

Result<AnyTable> AnyTable::read(const std::filesystem::path& file, const std::vector<std::string>& needed,
                                const std::vector<std::string>& allowed)
{
    const auto mapped = db::MappedFile::open(file);
    if (!mapped)
        return std::unexpected(mapped.error());
    std::string_view text = mapped->text();
    if (text.starts_with("\xEF\xBB\xBF"))
        text.remove_prefix(3);
    // Remarks before the header.
    std::size_t first = 1;
    while (text.starts_with('#')) {
        const std::size_t end = text.find('\n');
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
        ++first;
    }
    AnyTable table;
    table.m_file = file.filename().string();
    db::CsvSplitter splitter(text, first);
    db::CsvRecord record;
    const auto fail = [&](std::size_t line, std::string field, std::string detail, std::string remedy) {
        return std::unexpected(Error{.code = Errc::BadInput,
                                     .detail = std::move(detail),
                                     .file = table.m_file,
                                     .line = line,
                                     .field = std::move(field),
                                     .remedy = std::move(remedy)});
    };
    if (!splitter.next(record))
        return fail(first, "", "the table is empty", "the first row names the columns: " + joinedNames(needed));
    for (const std::string_view cell : record.cells)
        table.m_header.emplace_back(trimmedCell(cell));
    for (const std::string& column : needed)
        if (!table.has(column))
            return fail(record.line, column, fmt::format("there is no column {}", column),
                        "the first row names the columns: " + joinedNames(needed));
    for (const std::string& column : table.m_header)
        if (std::ranges::find(needed, column) == needed.end() && std::ranges::find(allowed, column) == allowed.end())
            return fail(record.line, column, fmt::format("the column \"{}\" is not known here", column),
                        "leave it out; known are " + joinedNames(needed) + (allowed.empty() ? "" : ", " + joinedNames(allowed)));
    while (splitter.next(record)) {
        if (record.raw.starts_with('#'))
            continue;
        if (record.fault != db::CsvRecord::Fault::None)
            return fail(record.line, "", "the quoting of this row is broken", "a quote inside a quoted cell is written twice");
        if (record.cells.size() != table.m_header.size())
            return fail(record.line, "", fmt::format("{} cells where the header has {}", record.cells.size(), table.m_header.size()),
                        "give each row as many cells as the header");
        std::vector<std::string> row;
        for (const std::string_view cell : record.cells)
            row.emplace_back(trimmedCell(cell));
        table.m_rows.push_back(std::move(row));
        table.m_lines.push_back(record.line);
    }
    return table;
}

bool AnyTable::has(std::string_view column) const
{
    return std::ranges::find(m_header, column) != m_header.end();
}

const std::string& AnyTable::text(std::size_t row, std::string_view column) const
{
    static const std::string none;
    const auto it = std::ranges::find(m_header, column);
    return it == m_header.end() ? none : m_rows[row][static_cast<std::size_t>(it - m_header.begin())];
}

Error AnyTable::errorAt(std::size_t row, std::string_view column, std::string detail, std::string remedy) const
{
    return Error{.code = Errc::BadInput,
                 .detail = std::move(detail),
                 .file = m_file,
                 .line = m_lines[row],
                 .field = std::string(column),
                 .remedy = std::move(remedy)};
}

Result<double> AnyTable::number(std::size_t row, std::string_view column) const
{
    const auto value = core::parseNumber(text(row, column));
    if (!value) {
        Error error = value.error();
        error.file = m_file;
        error.line = m_lines[row];
        error.field = std::string(column);
        return std::unexpected(error);
    }
    return value;
}

Result<double> AnyTable::numberOr(std::size_t row, std::string_view column, double empty) const
{
    return text(row, column).empty() ? Result<double>(empty) : number(row, column);
}

Result<std::vector<double>> numbersOf(std::string_view list, std::string_view option)
{
    std::vector<double> values;
    while (!list.empty()) {
        const std::size_t comma = list.find(',');
        const auto value = core::parseNumber(list.substr(0, comma));
        if (!value) {
            Error error = value.error();
            error.field = std::string(option);
            return std::unexpected(error);
        }
        values.push_back(*value);
        list = comma == std::string_view::npos ? std::string_view() : list.substr(comma + 1);
    }
    return values;
}

}  // namespace halfcell::app
