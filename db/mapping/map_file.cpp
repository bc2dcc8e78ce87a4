#include "db/connection/guarded.h"
#include "db/exchange/import_engine.h"
#include "db/mapping/map_rows.h"
#include "db/mapping/source_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

/// A table of the kind that each rule makes needs its spool once; rules of one table share it.
std::map<PublicTable, SpooledTable> spoolsOf(const RowMapper& mapper, const Mapping& mapping, const std::string& name,
                                             std::vector<std::size_t>& kinds)
{
    std::map<PublicTable, SpooledTable> spools;
    for (const auto& [table, header] : mapper.headers())
        spools.emplace(table, orThrow(SpooledTable::make(table, name, header)));
    for (std::size_t r = 0; r < mapping.rows.size(); ++r)
        kinds.push_back(spools.at(mapping.rows[r].table).lines().addKind(mapper.fieldNames(r)));
    return spools;
}

/// Required columns that nothing in the mapping fills: without them no row of the table can be taken, so it is said once.
std::set<PublicTable> refuseUnfilled(const RowMapper& mapper, const std::string& name, const std::function<void(Refusal)>& refuse)
{
    std::set<PublicTable> lacking;
    for (const auto& [table, header] : mapper.headers())
        for (const PublicColumn& column : publicColumns(table)) {
            if (!column.required || std::ranges::find(header, column.name) != header.end())
                continue;
            refuse({.file = name,
                    .line = 0,
                    .field = std::string(column.name),
                    .value = {},
                    .reason = fmt::format("nothing fills \"{}\", which every row of {} needs; none of them was taken", column.name,
                                          nameOf(table)),
                    .remedy = "map a column to it, or give it a value that every row has"});
            lacking.insert(table);
        }
    return lacking;
}

}  // namespace

Result<MappedFileTables> mapFile(const std::filesystem::path& file, const Mapping& mapping, const LineWatcher& watch,
                                 const std::function<bool(double)>& progress)
{
    return guarded([&] {
        MappedFileTables out;
        const SourceTable source = orThrow(SourceTable::open(file, mapping));
        out.sheets = source.sheets();
        const auto refuse = [&](Refusal refusal) { out.refused.push_back(std::move(refusal)); };

        std::vector<SheetRow> headerRows;
        std::optional<RowMapper> mapper;
        std::map<PublicTable, SpooledTable> spools;
        std::vector<std::size_t> kinds;
        std::vector<RowMapper::Made> made;
        std::set<PublicTable> lacking;
        bool watching = static_cast<bool>(watch);
        bool stopped = false;
        std::size_t lines = 0;
        const auto begin = [&] {
            out.columns = headerNames(headerRows);
            mapper = orThrow(RowMapper::make(mapping, out.columns, source.name()));
            spools = spoolsOf(*mapper, mapping, source.name(), kinds);
            lacking = refuseUnfilled(*mapper, source.name(), refuse);
        };
        auto done = source.rows(
            [&](const SheetRow& row, double share) {
                if (row.line < mapping.headerLine)
                    return true;
                if (row.line < mapping.headerLine + mapping.headerLines) {
                    headerRows.push_back(row);
                    return true;
                }
                if (!mapper)
                    begin();
                made.clear();
                // Where nothing can be taken, what is wrong with its single rows says nothing.
                if (lacking.size() < spools.size())
                    mapper->map(
                        row, [&](const RowMapper::Made& m) { made.push_back(m); }, refuse);
                std::erase_if(made, [&](const RowMapper::Made& m) { return lacking.contains(m.table); });
                for (const RowMapper::Made& m : made)
                    orThrow(spools.at(m.table).add(m.cells, row.line, kinds[m.rule]));
                if (watching)
                    watching = watch(row, made, *mapper);
                stopped = ++lines % 4096 == 0 && progress && !progress(share);
                return !stopped;
            },
            [&](std::size_t line, std::string reason, std::string remedy) {
                if (line >= mapping.headerLine)
                    refuse({.file = source.name(),
                            .line = line,
                            .field = {},
                            .value = {},
                            .reason = std::move(reason),
                            .remedy = std::move(remedy)});
            });
        if (stopped)
            throwError(Errc::Cancelled, "the import was stopped");
        if (!done) {
            if (done.error().code != Errc::BadInput || !mapper)
                throw Thrown(done.error());
            refuse({.file = source.name(),
                    .line = 0,
                    .field = {},
                    .value = {},
                    .reason = "it breaks off: " + done.error().detail,
                    .remedy = done.error().remedy});
        }
        if (!mapper) {
            if (headerRows.empty())
                throw Thrown(core::Error{.code = Errc::BadInput,
                                         .detail = "there is no header where the mapping looks for it",
                                         .file = source.name(),
                                         .line = mapping.headerLine,
                                         .remedy = "set header_line to the line that has the columns' names"});
            begin();
        }
        for (auto& [table, spool] : spools)
            if (!lacking.contains(table))
                out.tables.push_back(std::move(spool));
        return out;
    });
}

Result<void> importMapped(Book& book, const std::vector<std::filesystem::path>& files, const Mapping& mapping, const ImportOptions& options,
                          const BookStamp& stamp, ImportReport& report)
{
    report = {};
    std::vector<SpooledTable> tables;
    std::vector<Refusal> refused;
    std::size_t done = 0;
    for (const auto& file : files) {
        const auto progress = [&](double share) {
            return !options.progress || options.progress(0.1 * (static_cast<double>(done) + share) / static_cast<double>(files.size()));
        };
        auto mapped = mapFile(file, mapping, {}, progress);
        ++done;
        if (!mapped) {
            // One file that can't be taken never blocks the others; alone, it is the answer.
            if (mapped.error().code != Errc::BadInput || files.size() == 1)
                return std::unexpected(mapped.error());
            const core::Error& error = mapped.error();
            refused.push_back({.file = file.filename().string(),
                               .line = error.line.value_or(0),
                               .field = error.field,
                               .value = {},
                               .reason = error.detail,
                               .remedy = error.remedy});
            continue;
        }
        std::ranges::move(mapped->tables, std::back_inserter(tables));
        std::ranges::move(mapped->refused, std::back_inserter(refused));
    }
    return importSpooled(book, std::move(tables), std::move(refused), options, stamp, report);
}

Result<MappingPreview> previewMapping(Book& book, const std::filesystem::path& file, const Mapping& mapping, std::size_t rows,
                                      const std::function<bool(double)>& progress)
{
    MappingPreview preview;
    const auto watch = [&](const SheetRow& row, const std::vector<RowMapper::Made>& made, const RowMapper& mapper) {
        std::vector<std::string> cells;
        for (const SheetCell& cell : row.cells)
            cells.push_back(cell.text);
        preview.before.emplace_back(row.line, std::move(cells));
        for (const RowMapper::Made& m : made) {
            MappingPreview::After after{.line = row.line, .table = std::string(nameOf(m.table)), .cells = {}};
            const auto& header = mapper.headers().at(m.table);
            for (std::size_t i = 0; i < header.size(); ++i)
                if (!m.cells[i].empty())
                    after.cells.emplace_back(header[i], m.cells[i]);
            preview.after.push_back(std::move(after));
        }
        return preview.before.size() < rows;
    };
    auto mapped = mapFile(file, mapping, watch, progress);
    if (!mapped)
        return std::unexpected(mapped.error());
    preview.columns = std::move(mapped->columns);
    preview.sheets = std::move(mapped->sheets);
    ImportOptions options{.dryRun = true};
    options.progress = progress;
    if (auto tried = importSpooled(book, std::move(mapped->tables), std::move(mapped->refused), options, {}, preview.report); !tried)
        return std::unexpected(tried.error());
    return preview;
}

}  // namespace halfcell::db
