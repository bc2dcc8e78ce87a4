#include "core/quantity/number.h"
#include "db/connection/durable_files.h"
#include "db/exchange/exchange.h"
#include "db/exchange/export_rows.h"

#include <xlsxwriter.h>

#include <algorithm>
#include <limits>

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

namespace {

constexpr double kNarrow = 9.0, kWide = 26.0;

std::unexpected<core::Error> cannotWrite(const fs::path& file, std::string why)
{
    return std::unexpected(core::Error{
        .code = Errc::CannotWrite, .detail = std::move(why), .file = file.string(), .remedy = "check the folder, its rights and its room"});
}

}  // namespace

Result<std::vector<std::pair<std::string, std::size_t>>> exportWorkbook(const Book& book, const fs::path& file, const core::Instant& asOf)
{
    std::error_code ec;
    if (fs::exists(file, ec))
        return std::unexpected(core::Error{
            .code = Errc::Conflict, .detail = "there is already a file of that name", .file = file.string(), .remedy = "choose another name"});
    auto records = book.loadRecords(asOf);
    if (!records)
        return std::unexpected(records.error());
    const core::Records known = knownAt(std::move(*records), asOf);

    fs::path part = file;
    part += ".part";
    const std::string partName = part.string();
    // Rows go out as they come, so a large book needs no more memory than a small one.
    lxw_workbook_options options{};
    options.constant_memory = LXW_TRUE;
    lxw_workbook* workbook = workbook_new_opt(partName.c_str(), &options);
    if (workbook == nullptr)
        return cannotWrite(file, "the workbook can't be made");
    // The time of the view, not of the clock: the same book gives the same bytes.
    lxw_doc_properties properties{};
    properties.created = static_cast<time_t>(asOf.utcSeconds);
    workbook_set_properties(workbook, &properties);
    lxw_format* heading = workbook_add_format(workbook);
    format_set_bold(heading);

    std::vector<std::pair<std::string, std::size_t>> counts;
    for (std::size_t i = 0; i < kPublicTables; ++i) {
        const auto table = static_cast<PublicTable>(i);
        const auto columns = publicColumns(table);
        const std::string name(nameOf(table));
        lxw_worksheet* sheet = workbook_add_worksheet(workbook, name.c_str());
        worksheet_freeze_panes(sheet, 1, 0);
        for (std::size_t c = 0; c < columns.size(); ++c) {
            const auto at = static_cast<lxw_col_t>(c);
            worksheet_set_column(sheet, at, at, columns[c].number ? kNarrow : std::clamp(static_cast<double>(columns[c].name.size()) + 6.0, kNarrow, kWide),
                                 nullptr);
            worksheet_write_string(sheet, 0, at, std::string(columns[c].name).c_str(), heading);
        }
        lxw_row_t line = 0;
        lxw_error failed = LXW_NO_ERROR;
        exportRows(known, table, [&](const std::vector<std::string>& cells) {
            ++line;
            for (std::size_t c = 0; c < cells.size(); ++c) {
                if (cells[c].empty())
                    continue;
                const auto at = static_cast<lxw_col_t>(c);
                lxw_error done = LXW_NO_ERROR;
                const auto number = columns[c].number ? core::parseNumber(cells[c]) : Result<double>(std::unexpected(core::Error{}));
                if (number)
                    done = worksheet_write_number(sheet, line, at, *number, nullptr);
                else
                    done = worksheet_write_string(sheet, line, at, cells[c].c_str(), nullptr);
                if (done != LXW_NO_ERROR && failed == LXW_NO_ERROR)
                    failed = done;
            }
        });
        if (failed != LXW_NO_ERROR) {
            const std::string why = name + ": " + lxw_strerror(failed);
            workbook_close(workbook);
            fs::remove(part, ec);
            return cannotWrite(file, why);
        }
        counts.emplace_back(name, line);
    }
    if (const lxw_error closed = workbook_close(workbook); closed != LXW_NO_ERROR) {
        fs::remove(part, ec);
        return cannotWrite(file, lxw_strerror(closed));
    }
    if (auto synced = syncFile(part); !synced)
        return std::unexpected(synced.error());
    if (auto renamed = renameDurably(part, file); !renamed)
        return std::unexpected(renamed.error());
    return counts;
}

}  // namespace halfcell::db
