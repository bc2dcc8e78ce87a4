#include "db/exchange/csv_write.h"
#include "db/exchange/import_engine.h"
#include "db/exchange/rows_to_mend.h"

#include <fmt/format.h>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

Result<void> writeRefused(const std::filesystem::path& file, const std::vector<Refusal>& refused)
{
    std::string text;
    appendRecord(text, {"file", "line", "field", "value", "reason", "remedy"});
    for (const Refusal& r : refused)
        appendRecord(text, {r.file, std::to_string(r.line), r.field, r.value, r.reason, r.remedy});
    return writeFile(file, text);
}

/// Runs an import whose tables `open` opens, and writes what it refused.
Result<void> runImport(Book& book, const ImportOptions& options, const BookStamp& stamp, ImportReport& report,
                       const std::function<void(ImportEngine&)>& open)
{
    report = {};
    Result<std::size_t> mended = 0;
    auto done = guarded([&] {
        ImportEngine engine(book.impl(), options, stamp, report);
        open(engine);
        engine.run();
        if (!options.mendFolder.empty())
            mended = writeRowsToMend(engine.files(), report.refused, options.mendFolder);
    });
    if (!options.refusedFile.empty() && !report.refused.empty()) {
        if (auto written = writeRefused(options.refusedFile, report.refused); !written)
            return written;
    }
    if (!done) {
        // Nothing stands in the book.
        report.taken = report.unchanged = report.visits = 0;
        report.takenByTable.clear();
        return done;
    }
    if (!mended)
        return std::unexpected(mended.error());
    report.toMend = *mended;
    if (options.strict && !report.refused.empty()) {
        const Refusal first = report.refused.front();
        report.taken = 0;
        report.unchanged = 0;
        report.visits = 0;
        report.takenByTable.clear();
        return std::unexpected(
            core::Error{.code = Errc::BadInput,
                        .detail = fmt::format("{} row{} refused, nothing was taken; the first: {}", report.refused.size(),
                                              report.refused.size() == 1 ? " was" : "s were", first.reason),
                        .file = first.file,
                        .line = first.line,
                        .field = first.field,
                        .remedy = first.remedy});
    }
    return {};
}

}  // namespace

Result<void> importTables(Book& book, const std::vector<std::filesystem::path>& paths, const ImportOptions& options, const BookStamp& stamp,
                          ImportReport& report)
{
    return runImport(book, options, stamp, report, [&](ImportEngine& engine) { engine.open(paths); });
}

Result<void> importSpooled(Book& book, std::vector<SpooledTable> tables, std::vector<Refusal> refused, const ImportOptions& options,
                           const BookStamp& stamp, ImportReport& report)
{
    return runImport(book, options, stamp, report, [&](ImportEngine& engine) { engine.open(std::move(tables), std::move(refused)); });
}

}  // namespace halfcell::db
