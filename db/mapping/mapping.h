#pragma once

#include "core/quantity/result.h"
#include "db/exchange/exchange.h"
#include "db/exchange/public_tables.h"
#include "db/sheets/text_encoding.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// A mapping says how a shop's own table becomes rows of the public ones. It is kept as a TOML file, so that what the import page
/// built runs from the command line as well:
///
///     mapping = "Pump house list"        # its name
///     note = "..."                       # what whoever made it wants to say
///     [source]
///     encoding = "windows-1252"          # utf-8, utf-16le, utf-16be, windows-1252; left out: as the file looks
///     separator = ";"                    # one character, "tab" too; left out: as the file looks
///     sheet = "2024"                     # of a workbook; left out: its first
///     header_line = 3                    # first line of the header; what stands above is passed over
///     header_lines = 2                   # lines that make up the columns' names, joined by a blank
///     decimal = ","                      # sign before the decimals
///     thousands = "."                    # mark between thousands; left out: none
///     dates = "day-month-year"           # or month-day-year, year-month-day
///     two_digit_years_from = 1970        # 70 is 1970, 69 is 2069
///     utc_offset = "+01:00"              # of times that do not say; left out: UTC
///     visits = "moment"                  # rows without a visit's key: one visit per sensor and moment, or "day"
///     empty = ["n/a", "broken"]          # cells that stand for no value
///     [columns]                          # ours = theirs, for every row made
///     serial = "Serial No"
///     when = ["Date", "Time"]            # several are joined by a blank
///     [constants]
///     phase = "as_found"
///     [[rows]]                           # one for each row that a line makes
///     table = "readings"
///     columns.mv = "pH7 mV"
///     columns.temp_degc = { column = "temp", unit = "degF" }
///     columns.person = { column = "by", words = { "AB" = "T1" } }
///     constants.standard = "ph7.00"
///
/// A row is made if any cell of its own `columns` holds something. Text in a cell that should be a number and is listed in
/// `empty` counts as nothing recorded: beside missing millivolts it becomes `why_missing`, else it goes to `note`, never lost.
namespace halfcell::db {

enum class DateOrder { YearMonthDay, DayMonthYear, MonthDayYear };

/// What fills a field.
struct MappedField {
    std::string field;                 ///< ours: a column of the public tables
    std::vector<std::string> columns;  ///< theirs
    std::string unit;                  ///< of the numbers in them; empty: the field's own, or as the cell or the header says
    std::vector<std::pair<std::string, std::string>> words = {};  ///< whole cells replaced, in any case of letters

    bool operator==(const MappedField&) const = default;
};

using Constants = std::vector<std::pair<std::string, std::string>>;

/// One row that each line makes.
struct RowRule {
    PublicTable table = PublicTable::Readings;
    std::vector<MappedField> fields;
    Constants constants;

    bool operator==(const RowRule&) const = default;
};

struct Mapping {
    std::string name, note;
    std::optional<TextEncoding> encoding;
    std::optional<char> separator;
    std::string sheet;
    std::size_t headerLine = 1, headerLines = 1;
    char decimal = '.';
    std::string thousands;  ///< a mark, or " " for any kind of blank; empty: none
    DateOrder dates = DateOrder::YearMonthDay;
    int twoDigitYearsFrom = 1970;
    std::string utcOffset;
    bool visitPerDay = false;
    std::vector<std::string> empty;
    std::vector<MappedField> fields;  ///< for every row made, where its table has the field
    Constants constants;
    std::vector<RowRule> rows;

    bool operator==(const Mapping&) const = default;
};

/// Reads a mapping. Errc::BadInput with line and field for what is no TOML, an unknown key, a table or field that is none of ours,
/// a mapping that makes no row.
[[nodiscard]] core::Result<Mapping> mappingFromToml(std::string_view text);
[[nodiscard]] std::string mappingToToml(const Mapping& mapping);
[[nodiscard]] core::Result<Mapping> readMapping(const std::filesystem::path& file);

/// Saves a mapping under its name in a folder (made if missing), as NAME.toml with the letters and digits of the name;
/// returns the file. Errc::Conflict if there is one of that name already, unless `overwrite`.
core::Result<std::filesystem::path> saveMapping(const std::filesystem::path& folder, const Mapping& mapping, bool overwrite);
/// The mappings of a folder by name; files that are none are left out.
[[nodiscard]] std::vector<std::pair<std::string, std::filesystem::path>> savedMappings(const std::filesystem::path& folder);

/// A mapping guessed from a file, with what was guessed and why (one sentence each, for the page), and the columns it leaves out.
struct GuessedMapping {
    Mapping mapping;
    std::vector<std::string> because;
    std::vector<std::string> leftOut;
};
/// Errc::CannotRead if the file can't be read; BadInput if no column is like any of ours.
[[nodiscard]] core::Result<GuessedMapping> guessMapping(const std::filesystem::path& file);

/// A file under a mapping: the first lines before and after, and what an import of all of it would do (a dry run).
struct MappingPreview {
    struct After {
        std::size_t line = 0;  ///< of the file
        std::string table;
        std::vector<std::pair<std::string, std::string>> cells;  ///< field and text; what is empty is left out
    };
    std::vector<std::string> columns;                                      ///< theirs, in their order
    std::vector<std::string> sheets;                                       ///< of a workbook
    std::vector<std::pair<std::size_t, std::vector<std::string>>> before;  ///< line and cells
    std::vector<After> after;
    ImportReport report;  ///< counts and every refusal
};
/// Errors as importMapped; a file that can't be taken as a whole is a refusal in the report.
[[nodiscard]] core::Result<MappingPreview> previewMapping(Book& book, const std::filesystem::path& file, const Mapping& mapping,
                                                          std::size_t rows, const std::function<bool(double)>& progress = {});

/// Takes in files through a mapping, by the rules of importTables. Refusals name the line and the column of the file.
core::Result<void> importMapped(Book& book, const std::vector<std::filesystem::path>& files, const Mapping& mapping,
                                const ImportOptions& options, const BookStamp& stamp, ImportReport& report);

}  // namespace halfcell::db
