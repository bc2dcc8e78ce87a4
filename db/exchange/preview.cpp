#include "db/exchange/import_engine.h"

#include <fmt/format.h>

namespace halfcell::db {

core::Result<std::vector<PreviewRow>> previewTables(Book& book, const std::vector<std::filesystem::path>& paths, std::size_t rows)
{
    return guarded([&] {
        std::vector<PreviewRow> preview;
        std::array<std::size_t, kPublicTables> shown{};
        ImportReport report;
        const ImportOptions options{.dryRun = true, .strict = false, .refusedFile = {}, .progress = {}};
        const BookStamp nobody;
        ImportEngine engine(book.impl(), options, nobody, report);
        engine.onRow = [&](const RowFate& fate) {
            if (shown[static_cast<std::size_t>(fate.table)]++ < rows)
                preview.push_back({.table = std::string(nameOf(fate.table)),
                                   .key = fate.key,
                                   .text = fate.text,
                                   .state = fate.kind == RowVerdict::Kind::New ? "new" : "known"});
        };
        engine.open(paths);
        engine.run();
        for (const Refusal& r : report.refused)
            preview.push_back({.table = r.file,
                               .key = r.line == 0 ? std::string("whole file") : fmt::format("line {}", r.line),
                               .text = fmt::format("{}{}{}. {}", r.field, r.field.empty() ? "" : ": ", r.reason, r.remedy),
                               .state = "refused"});
        return preview;
    });
}

}  // namespace halfcell::db
