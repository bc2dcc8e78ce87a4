#include "db/exchange/import_engine.h"
#include "db/sheets/workbook_reader.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

using core::Errc;
namespace fs = std::filesystem;

namespace {

std::string listOfTables(std::string_view ending)
{
    std::string text;
    for (std::size_t i = 0; i < kPublicTables; ++i)
        text += fmt::format("{}{}{}", i == 0 ? "" : " ", nameOf(static_cast<PublicTable>(i)), ending);
    return text;
}

std::string endingOf(const fs::path& file)
{
    std::string ending = file.extension().string();
    std::ranges::transform(ending, ending.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
    return ending;
}

/// A sheet of a workbook as the table it is named after. Its first row that holds anything is the header.
SpooledTable tableOfSheet(const WorkbookReader& workbook, std::size_t sheet, PublicTable table, const std::string& shownAs,
                          std::vector<Refusal>& refused, const std::function<bool(double)>& goOn)
{
    std::optional<SpooledTable> made;
    std::vector<std::string> cells;
    std::size_t columns = 0;
    bool stopped = false;
    const auto done = workbook.rows(sheet, [&](const SheetRow& row, double share) {
        cells.clear();
        for (const SheetCell& cell : row.cells)
            cells.push_back(cell.text);
        while (!cells.empty() && cells.back().empty())
            cells.pop_back();
        if (!made) {
            columns = cells.size();
            made = orThrow(SpooledTable::make(table, shownAs, cells));
            // The header's own line, for what is wrong with it.
            made->lines().note(1, row.line);
            return true;
        }
        if (cells.size() < columns)
            cells.resize(columns);
        orThrow(made->add(cells, row.line));
        stopped = made->rows() % 4096 == 0 && !goOn(share);
        return !stopped;
    });
    if (stopped)
        throwError(Errc::Cancelled, "the import was stopped");
    if (!done) {
        if (done.error().code != Errc::BadInput)
            throw Thrown(done.error());
        // What stands above the broken place is taken.
        refused.push_back({.file = shownAs,
                           .line = 0,
                           .field = {},
                           .value = {},
                           .reason = "the sheet breaks off: " + done.error().detail,
                           .remedy = done.error().remedy});
    }
    if (!made)
        made = orThrow(SpooledTable::make(table, shownAs, {}));
    return std::move(*made);
}

}  // namespace

void ImportEngine::openWorkbook(const fs::path& file)
{
    const std::string name = file.filename().string();
    auto workbook = WorkbookReader::open(file);
    if (!workbook) {
        if (workbook.error().code != Errc::BadInput)
            throw Thrown(workbook.error());
        refuse({.file = name, .line = 0, .field = {}, .value = {}, .reason = workbook.error().detail, .remedy = workbook.error().remedy});
        return;
    }
    const auto& sheets = workbook->sheets();
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        const std::string shownAs = fmt::format("{}, sheet {}", name, sheets[i]);
        const auto table = tableNamed(sheets[i]);
        if (!table) {
            refuse({.file = shownAs,
                    .line = 0,
                    .field = {},
                    .value = {},
                    .reason = "it is none of the tables",
                    .remedy = "name the sheet as one of: " + listOfTables("") + "; or import it with a mapping"});
            continue;
        }
        SpooledTable made = tableOfSheet(*workbook, i, *table, shownAs, m_report.refused, [&](double share) {
            progress(0.1 * (static_cast<double>(i) + share) / static_cast<double>(sheets.size()));
            return true;
        });
        m_files.push_back(orThrow(TableFile::open(std::move(made), m_report.refused)));
    }
}

void ImportEngine::openFile(const fs::path& file)
{
    const std::string ending = endingOf(file);
    if (ending == ".xlsx" || ending == ".xlsm" || ending == ".ods") {
        openWorkbook(file);
        return;
    }
    const auto table = tableNamed(file.stem().string());
    if (!table || ending != ".csv") {
        const bool workbook = ending == ".xls";
        refuse({.file = file.filename().string(),
                .line = 0,
                .field = {},
                .value = {},
                .reason = workbook ? "workbooks of this kind are not read here" : "it is none of the tables",
                .remedy = workbook ? "save it as XLSX, or each sheet as CSV under its table's name"
                                   : "name it as one of: " + listOfTables(".csv") + "; or import it with a mapping"});
        return;
    }
    m_files.push_back(orThrow(TableFile::open(file, *table, m_report.refused)));
}

void ImportEngine::open(const std::vector<fs::path>& paths)
{
    for (const fs::path& path : paths) {
        std::error_code ec;
        if (!fs::is_directory(path, ec)) {
            openFile(path);
            continue;
        }
        // A folder may hold other things; its tables are taken in their own order. What an earlier import refused is no table.
        std::vector<fs::path> files;
        for (const auto& entry : fs::directory_iterator(path, ec))
            if (entry.is_regular_file(ec) && endingOf(entry.path()) == ".csv" && endingOf(entry.path().stem()) != ".refused")
                files.push_back(entry.path());
        if (ec)
            throw Thrown(core::Error{
                .code = Errc::CannotRead, .detail = ec.message(), .file = path.string(), .remedy = "check the folder's rights"});
        std::ranges::sort(files);
        for (const fs::path& file : files)
            openFile(file);
    }
    if (m_files.empty() && m_report.refused.empty())
        throw Thrown(core::Error{.code = Errc::BadInput,
                                 .detail = "none of the tables is there",
                                 .file = paths.empty() ? std::string() : paths.front().string(),
                                 .remedy = "name the files as the tables are: " + listOfTables(".csv")});
    if (m_files.empty()) {
        const Refusal& first = m_report.refused.front();
        throw Thrown(core::Error{
            .code = Errc::BadInput, .detail = "none of the tables is there: " + first.reason, .file = first.file, .remedy = first.remedy});
    }
}

void ImportEngine::open(std::vector<SpooledTable> tables, std::vector<Refusal> refused)
{
    for (Refusal& r : refused)
        refuse(std::move(r));
    for (SpooledTable& table : tables)
        m_files.push_back(orThrow(TableFile::open(std::move(table), m_report.refused)));
}

}  // namespace halfcell::db
