#include "core/quantity/instant.h"
#include "core/quantity/number.h"
#include "db/connection/durable_files.h"
#include "db/exchange/exchange.h"
#include "db/exchange/export_rows.h"

#include <fmt/format.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <map>
#include <optional>

namespace halfcell::db {

using core::Errc;
using core::Result;
namespace fs = std::filesystem;

namespace {

constexpr double kNarrow = 9.0, kWide = 26.0, kMoment = 19.0;

/// The unit in which a column's numbers are, by its name; empty for plain numbers.
std::string_view unitOf(std::string_view column)
{
    constexpr std::pair<std::string_view, std::string_view> kUnits[] = {{"_mv", "mV"},
                                                                        {"_degc", "\xC2\xB0"
                                                                                  "C"},
                                                                        {"_pct", "%"},
                                                                        {"_s", "s"},
                                                                        {"_mohm", "M\xCE\xA9"},
                                                                        {"_kohm", "k\xCE\xA9"},
                                                                        {"_hours", "h"},
                                                                        {"_days", "d"},
                                                                        {"_minutes", "min"},
                                                                        {"_k", "K"},
                                                                        {"_ph", "pH"}};
    if (column == "mv")
        return "mV";
    if (column == "minutes" || column == "minutes_per_day")
        return "min";
    for (const auto& [ending, unit] : kUnits)
        if (column.ends_with(ending))
            return unit;
    return {};
}

/// The formats of a workbook, each made once.
class Formats {
public:
    explicit Formats(lxw_workbook* workbook) : m_workbook(workbook)
    {
        heading = workbook_add_format(workbook);
        format_set_bold(heading);
        moment = workbook_add_format(workbook);
        format_set_num_format(moment, "yyyy-mm-dd hh:mm:ss");
    }
    /// The number as it is, its unit behind it.
    lxw_format* withUnit(std::string_view unit)
    {
        if (unit.empty())
            return nullptr;
        auto& format = m_units[std::string(unit)];
        if (format == nullptr) {
            format = workbook_add_format(m_workbook);
            format_set_num_format(format, ("General\" " + std::string(unit) + "\"").c_str());
        }
        return format;
    }
    lxw_format* heading = nullptr;
    lxw_format* moment = nullptr;

private:
    lxw_workbook* m_workbook;
    std::map<std::string, lxw_format*, std::less<>> m_units;
};

/// The workbook's library writes sixteen digits: a number that needs another stays exact as text.
bool sixteenDigitsDo(double value)
{
    const auto back = core::parseNumber(fmt::format("{:.16g}", value));
    return back && *back == value;
}

/// A text that looks like an escaped character (_x0041_) has its first mark escaped, or it would come back as that character
/// (ECMA-376, part 1, 22.4.2.4).
std::string escaped(std::string text)
{
    const auto isHex = [](char c) { return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'F') || (c >= 'a' && c <= 'f'); };
    for (std::size_t at = 0; (at = text.find("_x", at)) != std::string::npos; ++at)
        if (at + 6 < text.size() && text[at + 6] == '_' &&
            std::all_of(text.begin() + static_cast<std::ptrdiff_t>(at) + 2, text.begin() + static_cast<std::ptrdiff_t>(at) + 6, isHex)) {
            text.insert(at, "_x005F");
            at += 6;
        }
    return text;
}

/// Days since 30 December 1899 of a moment in UTC that the calendar of workbooks can say; others stay text.
std::optional<double> serialOf(const std::string& cell)
{
    constexpr std::int64_t kFirst = -2'203'891'200;  // 1 March 1900: before it that calendar has a day too many
    constexpr std::int64_t kLast = 253'402'300'799;  // the end of 9999
    const auto moment = core::parseInstant(cell);
    if (!moment || moment->offsetMinutes != 0 || moment->utcSeconds < kFirst || moment->utcSeconds > kLast ||
        core::formatInstant(*moment) != cell)
        return std::nullopt;
    return static_cast<double>(moment->utcSeconds) / 86400.0 + 25569.0;
}

std::unexpected<core::Error> cannotWrite(const fs::path& file, std::string why)
{
    return std::unexpected(core::Error{
        .code = Errc::CannotWrite, .detail = std::move(why), .file = file.string(), .remedy = "check the folder, its rights and its room"});
}

}  // namespace

Result<std::vector<std::pair<std::string, std::size_t>>> writeWorkbook(const core::Records& known, const fs::path& file,
                                                                       const core::Instant& asOf)
{
    std::error_code ec;
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
    Formats formats(workbook);

    std::vector<std::pair<std::string, std::size_t>> counts;
    for (std::size_t i = 0; i < kPublicTables; ++i) {
        const auto table = static_cast<PublicTable>(i);
        const auto columns = publicColumns(table);
        const std::string name(nameOf(table));
        lxw_worksheet* sheet = workbook_add_worksheet(workbook, name.c_str());
        worksheet_freeze_panes(sheet, 1, 0);
        for (std::size_t c = 0; c < columns.size(); ++c) {
            const auto at = static_cast<lxw_col_t>(c);
            const double width = static_cast<double>(columns[c].name.size()) + (columns[c].number ? 3.0 : 6.0);
            worksheet_set_column(sheet, at, at, columns[c].moment ? kMoment : std::clamp(width, kNarrow, kWide), nullptr);
            worksheet_write_string(sheet, 0, at, std::string(columns[c].name).c_str(), formats.heading);
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
                const auto serial = columns[c].moment ? serialOf(cells[c]) : std::nullopt;
                if (number && sixteenDigitsDo(*number))
                    done = worksheet_write_number(sheet, line, at, *number, formats.withUnit(unitOf(columns[c].name)));
                else if (serial)
                    done = worksheet_write_number(sheet, line, at, *serial, formats.moment);
                else
                    done = worksheet_write_string(sheet, line, at, escaped(cells[c]).c_str(), nullptr);
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

Result<std::vector<std::pair<std::string, std::size_t>>> exportWorkbook(const Book& book, const fs::path& file, const core::Instant& asOf)
{
    std::error_code ec;
    if (fs::exists(file, ec))
        return std::unexpected(core::Error{.code = Errc::Conflict,
                                           .detail = "there is already a file of that name",
                                           .file = file.string(),
                                           .remedy = "choose another name"});
    auto records = book.loadRecords(asOf);
    if (!records)
        return std::unexpected(records.error());
    return writeWorkbook(knownAt(std::move(*records), asOf), file, asOf);
}

}  // namespace halfcell::db
