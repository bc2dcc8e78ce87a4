#include "db/mapping/look.h"

#include "db/connection/guarded.h"
#include "db/mapping/foreign_cell.h"
#include "db/mapping/guess_parts.h"
#include "db/mapping/source_table.h"

#include <algorithm>

namespace halfcell::db {

using core::Result;

Result<TableLook> lookAtTable(const std::filesystem::path& file, const Mapping& mapping, std::size_t rows)
{
    return guarded([&] {
        TableLook look;
        const SourceTable source = orThrow(SourceTable::open(file, mapping));
        look.workbook = source.workbook();
        look.sheets = source.sheets();
        look.encoding = source.encoding();
        look.separator = source.separator();
        const std::size_t firstRow = mapping.headerLine + mapping.headerLines;
        std::vector<SheetRow> header;
        std::size_t behind = 0;
        const auto sample = [&](const SheetRow& row) {
            for (std::size_t c = 0; c < std::min(row.cells.size(), look.samples.size()); ++c) {
                const std::string text(trimmedCell(row.cells[c].text));
                auto& cells = look.samples[c];
                if (!text.empty() && cells.size() < TableLook::kSamples && std::ranges::find(cells, text) == cells.end())
                    cells.push_back(text);
            }
        };
        auto done = source.rows(
            [&](const SheetRow& row, double) {
                std::vector<std::string> cells;
                for (const SheetCell& cell : row.cells)
                    cells.push_back(cell.text);
                look.rows.emplace_back(row.line, std::move(cells));
                if (row.line >= mapping.headerLine && row.line < firstRow)
                    header.push_back(row);
                if (row.line < firstRow)
                    return true;
                if (behind++ == 0) {
                    look.columns = headerNames(header);
                    look.samples.resize(look.columns.size());
                }
                sample(row);
                return behind < rows;
            },
            [](std::size_t, const std::string&, const std::string&) {});
        // What is whole before a workbook breaks off can be shown; the import says where it does.
        if (!done && look.rows.empty())
            throw Thrown(done.error());
        if (behind == 0) {
            look.columns = headerNames(header);
            look.samples.resize(look.columns.size());
        }
        return look;
    });
}

std::string columnMissing(const Mapping& mapping, const std::vector<std::string>& columns)
{
    const auto missing = [&](const std::vector<MappedField>& fields) {
        for (const MappedField& field : fields)
            for (const std::string& column : field.columns)
                if (std::ranges::find(columns, column) == columns.end())
                    return column;
        return std::string();
    };
    std::string first = missing(mapping.fields);
    for (const RowRule& rule : mapping.rows)
        if (first.empty())
            first = missing(rule.fields);
    return first;
}

bool isPublicTable(const std::filesystem::path& file)
{
    const auto source = SourceTable::open(file, Mapping{});
    if (!source)
        return false;
    if (source->workbook())
        return !source->sheets().empty() &&
               std::ranges::all_of(source->sheets(), [](const std::string& sheet) { return tableNamed(sheet).has_value(); });
    const auto table = tableNamed(file.stem().string());
    if (!table || lowerCase(file.extension().string()) != ".csv")
        return false;
    bool own = false;
    const auto done = source->rows(
        [&](const SheetRow& row, double) {
            const auto columns = publicColumns(*table);
            own = std::ranges::all_of(row.cells, [&](const SheetCell& cell) {
                return std::ranges::find(columns, cell.text, &PublicColumn::name) != columns.end() || cell.text.starts_with("refused_");
            });
            return false;
        },
        [](std::size_t, const std::string&, const std::string&) {});
    return done.has_value() && own;
}

std::vector<std::pair<std::string, std::string>> wordsMeant(std::string_view field, const std::vector<std::string>& cells)
{
    std::vector<std::pair<std::string, std::string>> words;
    for (const std::string& cell : cells) {
        std::string ours;
        if (field == "phase")
            ours = guess::phaseMeant(cell);
        else if (field == "standard")
            ours = guess::standardMeant(cell);
        if (!ours.empty() && ours != cell)
            words.emplace_back(cell, ours);
    }
    std::ranges::sort(words);
    return words;
}

std::string standardTyped(std::string_view text)
{
    return guess::standardMeant(text);
}

bool isUnitOf(std::string_view field, std::string_view unit)
{
    return unitNamed(field, unit) != nullptr;
}

}  // namespace halfcell::db
