#include "db/mapping/source_table.h"

#include "db/exchange/csv_split.h"
#include "db/exchange/mapped_file.h"
#include "db/mapping/foreign_cell.h"
#include "db/sheets/utf8.h"
#include "db/sheets/workbook_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

namespace {

constexpr std::size_t kLinesLookedAt = 60;

std::string endingOf(const fs::path& file)
{
    return lowerCase(file.extension().string());
}

/// Runs of blanks as one.
std::string tidied(std::string_view text)
{
    std::string out;
    bool blank = false;
    for (const char c : text) {
        if (c == ' ' || c == '\t' || c == '\n' || c == '\r') {
            blank = !out.empty();
            continue;
        }
        if (blank)
            out += ' ';
        blank = false;
        out += c;
    }
    return out;
}

}  // namespace

struct SourceTable::Impl {
    std::string name;
    std::optional<MappedFile> map;
    std::string converted;  ///< of a text that is no UTF-8
    std::string_view text;
    TextEncoding encoding = TextEncoding::Utf8;
    char separator = ',';
    std::optional<WorkbookReader> workbook;
    std::vector<std::string> sheets;
    std::size_t sheet = 0;
};

SourceTable::SourceTable(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
SourceTable::SourceTable(SourceTable&&) noexcept = default;
SourceTable& SourceTable::operator=(SourceTable&&) noexcept = default;
SourceTable::~SourceTable() = default;

const std::string& SourceTable::name() const
{
    return m_impl->name;
}
const std::vector<std::string>& SourceTable::sheets() const
{
    return m_impl->sheets;
}
TextEncoding SourceTable::encoding() const
{
    return m_impl->encoding;
}
char SourceTable::separator() const
{
    return m_impl->separator;
}
bool SourceTable::workbook() const
{
    return m_impl->workbook.has_value();
}

Result<SourceTable> SourceTable::open(const fs::path& file, const Mapping& mapping)
{
    auto impl = std::make_unique<Impl>();
    impl->name = file.filename().string();
    auto map = MappedFile::open(file);
    if (!map)
        return std::unexpected(map.error());
    const std::string ending = endingOf(file);
    // A workbook is a packed file, whatever it is called.
    if (ending == ".xlsx" || ending == ".xlsm" || ending == ".ods" || map->text().starts_with("PK\x03\x04")) {
        auto workbook = WorkbookReader::open(file);
        if (!workbook)
            return std::unexpected(workbook.error());
        impl->workbook.emplace(std::move(*workbook));
        impl->sheets = impl->workbook->sheets();
        if (!mapping.sheet.empty()) {
            const auto at = std::ranges::find(impl->sheets, mapping.sheet);
            if (at == impl->sheets.end()) {
                std::string names;
                for (const std::string& sheet : impl->sheets)
                    names += (names.empty() ? "\"" : ", \"") + sheet + "\"";
                return std::unexpected(core::Error{.code = Errc::BadInput,
                                                   .detail = fmt::format("the workbook has no sheet \"{}\"", mapping.sheet),
                                                   .file = impl->name,
                                                   .field = "sheet",
                                                   .remedy = "its sheets are " + names});
            }
            impl->sheet = static_cast<std::size_t>(at - impl->sheets.begin());
        }
        return SourceTable(std::move(impl));
    }
    if (ending == ".xls" || ending == ".ods" || map->text().starts_with("\xD0\xCF\x11\xE0"))
        return std::unexpected(core::Error{.code = Errc::BadInput,
                                           .detail = "workbooks of this kind are not read here, nor locked ones",
                                           .file = impl->name,
                                           .remedy = "open it in the program it came from and save it as XLSX without a password"});
    impl->encoding = mapping.encoding.value_or(guessEncoding(map->text()));
    if (impl->encoding == TextEncoding::Utf8) {
        impl->text = map->text();
        if (impl->text.starts_with("\xEF\xBB\xBF"))
            impl->text.remove_prefix(3);
        impl->map.emplace(std::move(*map));
    } else {
        impl->converted = toUtf8(map->text(), impl->encoding);
        impl->text = impl->converted;
    }
    // Lines that end in a carriage return alone, as some instruments still write them.
    if (impl->text.find('\n') == std::string_view::npos && impl->text.find('\r') != std::string_view::npos) {
        std::string lines(impl->text);
        std::ranges::replace(lines, '\r', '\n');
        impl->converted = std::move(lines);
        impl->text = impl->converted;
    }
    impl->separator = mapping.separator.value_or(ending == ".tsv" || ending == ".tab" ? '\t' : guessSeparator(impl->text));
    return SourceTable(std::move(impl));
}

Result<void> SourceTable::rows(const std::function<bool(const SheetRow&, double)>& take,
                               const std::function<void(std::size_t, std::string, std::string)>& fault) const
{
    if (m_impl->workbook)
        return m_impl->workbook->rows(m_impl->sheet, take);
    CsvSplitter splitter(m_impl->text, 1, m_impl->separator);
    CsvRecord record;
    SheetRow row;
    while (splitter.next(record)) {
        if (record.fault == CsvRecord::Fault::TooLong) {
            fault(record.line, fmt::format("the row is {} bytes long; the longest taken is {}", record.raw.size(), kLongestRecord),
                  "look for a missing line end or quote");
            continue;
        }
        if (record.fault != CsvRecord::Fault::None) {
            fault(record.line,
                  record.fault == CsvRecord::Fault::OpenQuote ? "a quote is opened and never closed" : "a quote stands inside a cell",
                  "put the whole cell in quotes and double the quotes in it");
            continue;
        }
        if (record.raw.find('\0') != std::string_view::npos || firstNotUtf8(record.raw) != std::string_view::npos) {
            fault(record.line, fmt::format("the line can't be read as {}", nameOf(m_impl->encoding)),
                  "name the file's encoding in the mapping");
            continue;
        }
        row.line = record.line;
        row.cells.clear();
        for (const std::string_view cell : record.cells)
            row.cells.push_back({.text = std::string(trimmedCell(cell))});
        if (row.blank())
            continue;
        const double share = static_cast<double>(splitter.position()) / static_cast<double>(m_impl->text.size());
        if (!take(row, share))
            return {};
    }
    return {};
}

std::vector<std::string> headerNames(const std::vector<SheetRow>& lines)
{
    std::size_t columns = 0;
    for (const SheetRow& line : lines)
        columns = std::max(columns, line.cells.size());
    const auto cell = [&](std::size_t line, std::size_t column) {
        return column < lines[line].cells.size() ? tidied(trimmedCell(lines[line].cells[column].text)) : std::string();
    };
    std::vector<std::string> names;
    std::map<std::string, int> seen;
    std::vector<std::string> over(lines.size());
    for (std::size_t c = 0; c < columns; ++c) {
        std::string name;
        for (std::size_t l = 0; l < lines.size(); ++l) {
            std::string part = cell(l, c);
            bool namedBelow = false;
            for (std::size_t below = l + 1; below < lines.size(); ++below)
                namedBelow = namedBelow || !cell(below, c).empty();
            if (!part.empty())
                over[l] = part;
            else if (namedBelow)
                part = over[l];
            if (!part.empty())
                name += (name.empty() ? "" : " ") + part;
        }
        if (name.empty())
            name = fmt::format("column {}", c + 1);
        const int times = ++seen[name];
        names.push_back(times == 1 ? name : fmt::format("{} ({})", name, times));
    }
    return names;
}

char guessSeparator(std::string_view text)
{
    char best = ',';
    std::size_t bestLines = 0;
    std::size_t bestCells = 0;
    for (const char separator : {',', ';', '\t', '|'}) {
        CsvSplitter splitter(text, 1, separator);
        CsvRecord record;
        std::map<std::size_t, std::size_t> counts;
        for (std::size_t i = 0; i < kLinesLookedAt && splitter.next(record); ++i)
            if (record.fault == CsvRecord::Fault::None && record.cells.size() > 1)
                ++counts[record.cells.size()];
        for (const auto& [cells, lines] : counts)
            if (lines > bestLines || (lines == bestLines && cells > bestCells)) {
                best = separator;
                bestLines = lines;
                bestCells = cells;
            }
    }
    return best;
}

}  // namespace halfcell::db
