#include "db/exchange/table_file.h"

#include "db/exchange/rows_to_mend.h"
#include "db/sheets/utf8.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

namespace {

std::string listOf(std::span<const PublicColumn> columns)
{
    std::string text;
    for (const PublicColumn& column : columns)
        text += fmt::format("{}{}{}", text.empty() ? "" : " ", column.name, column.required ? "*" : "");
    return text;
}

std::string lower(std::string_view text)
{
    std::string out(text);
    for (char& c : out)
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c + 32);
    return out;
}

}  // namespace

std::string_view cellText(const CsvRecord& record, std::size_t place)
{
    std::string_view cell = record.cells[place];
    if (record.isQuoted(place))
        return cell;
    while (!cell.empty() && (cell.front() == ' ' || cell.front() == '\t'))
        cell.remove_prefix(1);
    while (!cell.empty() && (cell.back() == ' ' || cell.back() == '\t'))
        cell.remove_suffix(1);
    return cell;
}

Refusal TableFile::refusal(std::size_t line, std::string field, std::string_view value, std::string reason, std::string remedy) const
{
    return {.file = m_name,
            .line = sourceLine(line),
            .field = field.empty() ? std::move(field) : sourceField(line, field),
            .value = shortened(value),
            .reason = std::move(reason),
            .remedy = std::move(remedy)};
}

core::Result<TableFile> TableFile::open(const std::filesystem::path& file, PublicTable table, std::vector<Refusal>& refused,
                                        const std::vector<std::string_view>& needed)
{
    auto map = MappedFile::open(file);
    if (!map)
        return std::unexpected(map.error());
    TableFile opened(std::move(*map));
    opened.m_table = table;
    opened.m_name = file.filename().string();
    opened.readHeader(refused, needed);
    return opened;
}

core::Result<TableFile> TableFile::open(SpooledTable made, std::vector<Refusal>& refused)
{
    auto map = made.close();
    if (!map)
        return std::unexpected(map.error());
    TableFile opened(std::move(*map));
    opened.m_table = made.table();
    opened.m_name = made.shownAs();
    opened.m_lines = std::move(made.lines());
    opened.readHeader(refused, {});
    return opened;
}

void TableFile::readHeader(std::vector<Refusal>& refused, const std::vector<std::string_view>& needed)
{
    m_text = m_map.text();
    if (m_text.starts_with("\xEF\xBB\xBF"))
        m_text.remove_prefix(3);
    if (m_text.starts_with("\xFF\xFE") || m_text.starts_with("\xFE\xFF")) {
        refused.push_back(refusal(0, {}, {}, "the file is written in UTF-16", "save it as CSV in UTF-8"));
        return;
    }
    CsvSplitter splitter(m_text);
    CsvRecord header;
    if (!splitter.next(header)) {
        refused.push_back(
            refusal(0, {}, {}, "the file is empty", fmt::format("it needs a header row: {}", listOf(publicColumns(m_table)))));
        return;
    }
    if (header.fault != CsvRecord::Fault::None || firstNotUtf8(header.raw) != std::string_view::npos ||
        header.raw.find('\0') != std::string_view::npos) {
        refused.push_back(refusal(header.line, {}, header.raw.substr(0, 200), "the header row can't be read as UTF-8 CSV",
                                  "save the file as CSV in UTF-8, with the column names in the first row"));
        return;
    }
    m_firstRow = splitter.position();
    m_firstLine = header.line + 1 + static_cast<std::size_t>(std::ranges::count(header.raw, '\n'));
    m_readable = checkColumns(header, refused, needed);
}

bool TableFile::checkColumns(const CsvRecord& header, std::vector<Refusal>& refused, const std::vector<std::string_view>& needed)
{
    const auto columns = publicColumns(m_table);
    bool good = true;
    const auto bad = [&](std::string_view field, std::string reason, std::string remedy) {
        refused.push_back(refusal(header.line, std::string(shortened(field)), field, std::move(reason), std::move(remedy)));
        good = false;
    };
    if (header.cells.size() == 1)
        for (const char separator : {';', '\t'})
            if (header.cells[0].find(separator) != std::string_view::npos) {
                bad({}, fmt::format("the columns are separated by {}", separator == ';' ? "semicolons" : "tabs"),
                    "save the file with commas between the columns");
                return false;
            }
    for (std::size_t i = 0; i < header.cells.size(); ++i) {
        const std::string_view name = cellText(header, i);
        m_header.emplace_back(name);
        if (isMendColumn(name))
            continue;
        if (std::ranges::find(columns, name, &PublicColumn::name) == columns.end()) {
            const auto near = std::ranges::find(columns, lower(name), &PublicColumn::name);
            bad(name,
                name.empty() ? "a column has no name"
                             : fmt::format("{} has no column \"{}\"; the whole file was left out", nameOf(m_table), shortened(name)),
                near != columns.end() ? fmt::format("write \"{}\" in small letters", near->name)
                                      : fmt::format("take the column out or name it as one of: {}", listOf(columns)));
        } else if (std::ranges::count(m_header, name) > 1) {
            bad(name, fmt::format("the column \"{}\" is there twice; the whole file was left out", name), "keep one of the two");
        }
    }
    for (const PublicColumn& column : columns) {
        const bool wanted = needed.empty() ? column.required : std::ranges::find(needed, column.name) != needed.end();
        if (wanted && std::ranges::find(m_header, column.name) == m_header.end())
            bad(column.name, fmt::format("the required column \"{}\" is missing; the whole file was left out", column.name),
                "add the column to the header and to every row");
    }
    return good;
}

std::size_t TableFile::place(std::string_view column) const
{
    const auto at = std::ranges::find(m_header, column);
    return at == m_header.end() ? std::string::npos : static_cast<std::size_t>(at - m_header.begin());
}

double TableFile::shareAt(std::size_t offset) const
{
    return m_text.empty() ? 1.0 : static_cast<double>(offset) / static_cast<double>(m_text.size());
}

bool TableFile::recordAt(std::size_t offset, std::size_t line, CsvRecord& record) const
{
    CsvSplitter splitter(m_text.substr(offset), line);
    const bool found = splitter.next(record);
    record.kept = splitter.takeUnquoted();  // the splitter ends here, the record's cells go on
    return found;
}

void TableFile::recordsFrom(std::size_t offset, std::size_t line, std::size_t rows, const std::function<void(const CsvRecord&)>& take) const
{
    CsvSplitter splitter(m_text.substr(offset), line);
    CsvRecord record;
    for (std::size_t i = 0; i < rows && splitter.next(record); ++i) {
        record.offset += offset;
        take(record);
    }
}

void TableFile::records(std::vector<Refusal>& refused, const std::function<bool(const CsvRecord&)>& take) const
{
    if (!m_readable)
        return;
    CsvSplitter splitter(m_text.substr(m_firstRow), m_firstLine);
    CsvRecord record;
    while (splitter.next(record)) {
        const auto refuse = [&](std::size_t cell, std::string reason, std::string remedy) {
            const bool named = cell < m_header.size();
            const std::string_view shown = named && cell < record.cells.size() ? record.cells[cell] : record.raw;
            refused.push_back(
                refusal(record.line, named ? m_header[cell] : std::string(), shown.substr(0, 400), std::move(reason), std::move(remedy)));
        };
        const auto firstCell = [&](auto&& bad) {
            std::size_t cell = 0;
            while (cell < record.cells.size() && !bad(record.cells[cell]))
                ++cell;
            return cell;
        };
        switch (record.fault) {
        case CsvRecord::Fault::StrayQuote:
            refuse(record.faultCell, "a quote stands inside a cell", "put the whole cell in quotes and double the quotes in it");
            continue;
        case CsvRecord::Fault::OpenQuote:
            refuse(record.faultCell, "a quote is opened and never closed", "close the quote, or take it out");
            continue;
        case CsvRecord::Fault::TooLong:
            refuse(firstCell([](std::string_view cell) { return cell.size() > kLongestRecord / 2; }),
                   fmt::format("the row is {} bytes long; the longest taken is {}", record.raw.size(), kLongestRecord),
                   "look for a missing line end or quote");
            continue;
        case CsvRecord::Fault::None: break;
        }
        if (record.cells.size() != m_header.size()) {
            if (record.severalLines)
                splitter.goOnAfterFirstLineOf(record);
            refuse(record.cells.size(), fmt::format("the row has {} cells, the header {}", record.cells.size(), m_header.size()),
                   "look for a missing or an extra comma, or for an open quote");
            continue;
        }
        if (firstNotUtf8(record.raw) != std::string_view::npos) {
            const std::size_t cell = firstCell([](std::string_view text) { return firstNotUtf8(text) != std::string_view::npos; });
            refuse(cell, "the cell is not UTF-8", "save the file as CSV in UTF-8");
            continue;
        }
        if (record.raw.find('\0') != std::string_view::npos) {
            const std::size_t cell = firstCell([](std::string_view text) { return text.find('\0') != std::string_view::npos; });
            refuse(cell, "the cell holds a zero byte", "save the file as CSV in UTF-8");
            continue;
        }
        record.offset += m_firstRow;
        if (!take(record))
            return;
    }
}

}  // namespace halfcell::db
