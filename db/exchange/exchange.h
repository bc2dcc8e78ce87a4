#pragma once

#include "core/quantity/result.h"
#include "db/book/book.h"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace halfcell::db {

/// A row that was not taken.
struct Refusal {
    std::string file;
    std::size_t line = 0;  ///< from 1, the header being line 1; 0 = the whole file
    std::string field;     ///< column, empty = the row
    std::string value;     ///< the cell, shortened to 60 characters
    std::string reason;
    std::string remedy;
};

struct ImportOptions {
    bool dryRun = false;                     ///< shows what would be taken, writes nothing
    bool strict = false;                     ///< one refusal and nothing is taken
    std::filesystem::path refusedFile = {};  ///< where refused rows go (CSV: file,line,field,value,reason,remedy); empty = none
    std::filesystem::path mendFolder = {};   ///< where the refused rows themselves go, by table, to be mended and imported; empty = nowhere
    std::function<bool(double)> progress = {};  ///< 0..1; false cancels
};

struct ImportReport {
    std::size_t taken = 0, unchanged = 0;
    std::vector<std::pair<std::string, std::size_t>> takenByTable;
    std::vector<Refusal> refused;
    std::size_t visits = 0;
    std::size_t toMend = 0;  ///< rows written to the folder of rows to mend
};

/// Takes canonical tables (files named as in the public tables, a folder of them, or an XLSX workbook with a sheet for each).
/// One transaction: on any error, and when stopped, nothing is taken. Errc::CannotRead if a path cannot be
/// read at all, BadInput if no table is recognised or, with `strict`, if any row is refused (the report is then in
/// `report` all the same).
core::Result<void> importTables(Book& book, const std::vector<std::filesystem::path>& paths, const ImportOptions& options,
                                const BookStamp& stamp, ImportReport& report);

/// A preview of the first rows of a table as they would be stored.
struct PreviewRow {
    std::string table, key, text;
    std::string state;  ///< new, known, refused
};
core::Result<std::vector<PreviewRow>> previewTables(Book& book, const std::vector<std::filesystem::path>& paths, std::size_t rows);

/// Writes all tables as CSV into a folder (made if missing; Errc::Conflict if it holds files of ours already, unless
/// `overwrite`). Rows recorded or measured after `asOf` are left out. Returns the row counts by file.
core::Result<std::vector<std::pair<std::string, std::size_t>>> exportTables(const Book& book, const std::filesystem::path& folder,
                                                                            const core::Instant& asOf, bool overwrite);
/// The same as one XLSX workbook, one sheet each, with a frozen header: numbers as numbers that show their unit, times in UTC as dates
/// (others keep their offset, as text). It comes back through importTables.
core::Result<std::vector<std::pair<std::string, std::size_t>>> exportWorkbook(const Book& book, const std::filesystem::path& file,
                                                                              const core::Instant& asOf);

/// A visit from its JSON text (CONTRACT section 2). Errc::BadInput names the field.
core::Result<core::Visit> visitFromJson(std::string_view json);
std::string visitToJson(const core::Visit& visit);

/// The version of the JSON documents that the command line and the desktop write (the public contract).
inline constexpr int kJsonSchema = 1;

/// What every JSON document begins with: program, version, schema, rule set and moment.
struct JsonHead {
    std::string version;
    std::string rules;
};

/// All that is recorded of one sensor as one JSON object: the head, `sensor`, `model`, `placements`, `parts`, `legacy`, `visits` (each as
/// `log` takes it), `corrections`, as known at a moment. Errc::NotFound for an unknown serial.
core::Result<std::string> recordToJson(const Book& book, std::string_view serial, const core::Instant& asOf, const JsonHead& head);

/// The readings of a table in readings.csv columns, grouped into visits, for `calc --table` (no book, no references
/// checked). Refused rows are listed.
core::Result<std::vector<core::Visit>> readReadingsTable(const std::filesystem::path& file, std::vector<Refusal>& refused);

}  // namespace halfcell::db
