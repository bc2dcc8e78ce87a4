#include "db/exchange/csv_write.h"
#include "db/exchange/exchange.h"
#include "db/exchange/export_rows.h"

#include <fmt/format.h>

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

Result<std::vector<std::pair<std::string, std::size_t>>> exportTables(const Book& book, const fs::path& folder, const core::Instant& asOf,
                                                                      bool overwrite)
{
    std::error_code ec;
    fs::create_directories(folder, ec);
    if (!fs::is_directory(folder, ec))
        return std::unexpected(core::Error{.code = Errc::CannotWrite,
                                           .detail = "the folder can't be made",
                                           .file = folder.string(),
                                           .remedy = "check the name and the rights"});
    const auto fileOf = [&](std::size_t i) { return folder / fmt::format("{}.csv", nameOf(static_cast<PublicTable>(i))); };
    for (std::size_t i = 0; !overwrite && i < kPublicTables; ++i)
        if (fs::exists(fileOf(i), ec))
            return std::unexpected(core::Error{.code = Errc::Conflict,
                                               .detail = "the folder holds tables already",
                                               .file = fileOf(i).string(),
                                               .remedy = "choose an empty folder, or say that they may be written over"});
    auto records = book.loadRecords(asOf);
    if (!records)
        return std::unexpected(records.error());
    const core::Records known = knownAt(std::move(*records), asOf);
    std::vector<std::pair<std::string, std::size_t>> counts;
    for (std::size_t i = 0; i < kPublicTables; ++i) {
        const auto table = static_cast<PublicTable>(i);
        std::string text;
        std::vector<std::string> cells;
        for (const PublicColumn& column : publicColumns(table))
            cells.emplace_back(column.name);
        appendRecord(text, cells);
        std::size_t rows = 0;
        exportRows(known, table, [&](const std::vector<std::string>& row) {
            appendRecord(text, row);
            ++rows;
        });
        if (auto written = writeFile(fileOf(i), text); !written)
            return std::unexpected(written.error());
        counts.emplace_back(fileOf(i).filename().string(), rows);
    }
    return counts;
}

}  // namespace halfcell::db
