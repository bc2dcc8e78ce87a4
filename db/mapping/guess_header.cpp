#include "db/connection/guarded.h"
#include "db/mapping/foreign_cell.h"
#include "db/mapping/guess_parts.h"
#include "db/mapping/source_table.h"

#include <algorithm>

namespace halfcell::db::guess {

namespace {

constexpr std::size_t kRowsLookedAt = 400;
constexpr std::size_t kHeaderWithin = 30;  ///< rows from the top in which a header is looked for
constexpr std::size_t kMostHeaderLines = 3;

bool looksLikeFigures(const SheetRow& row)
{
    std::size_t figures = 0, filled = 0;
    for (const SheetCell& cell : row.cells) {
        if (cell.text.empty())
            continue;
        ++filled;
        if (cell.kind != SheetCell::Kind::Text || std::ranges::all_of(cell.text, [](char c) {
                return (c >= '0' && c <= '9') || std::string_view("+-.,:/ ").find(c) != std::string_view::npos;
            }))
            ++figures;
    }
    return filled > 0 && figures * 3 > filled;
}

/// A line of units under the names: "mV", "°F", "dd.mm.yyyy", and nothing else.
bool looksLikeUnits(const SheetRow& row)
{
    std::size_t units = 0;
    for (const SheetCell& cell : row.cells) {
        const std::string_view text = trimmedCell(cell.text);
        if (text.empty() || text == "-")
            continue;
        if (isUnitWord(text))
            ++units;
        else if (!isDatePattern(text))
            return false;
    }
    return units > 0;
}

}  // namespace

Beginning firstRows(const SourceTable& source)
{
    Beginning beginning;
    std::vector<SheetRow>& rows = beginning.rows;
    orThrow(source.rows(
        [&](const SheetRow& row, double) {
            rows.push_back(row);
            return rows.size() < kRowsLookedAt;
        },
        [&](std::size_t line, const std::string& reason, const std::string&) {
            if (beginning.faultLine == 0) {
                beginning.faultLine = line;
                beginning.fault = reason;
            }
        }));
    return beginning;
}

Header headerOf(const std::vector<SheetRow>& rows)
{
    Header best;
    for (std::size_t first = 0; first < std::min(rows.size(), kHeaderWithin); ++first)
        for (std::size_t lines = 1; lines <= kMostHeaderLines && first + lines <= rows.size(); ++lines) {
            // Lines of a header stand together, and hold names.
            if (rows[first + lines - 1].line != rows[first].line + lines - 1 || looksLikeFigures(rows[first + lines - 1]))
                break;
            auto names =
                headerNames({rows.begin() + static_cast<std::ptrdiff_t>(first), rows.begin() + static_cast<std::ptrdiff_t>(first + lines)});
            if (const std::size_t like = likeOurs(names); like > best.like)
                best = {.first = first, .lines = lines, .like = like, .names = std::move(names)};
        }
    if (const std::size_t next = best.first + best.lines;
        best.like > 0 && next < rows.size() && rows[next].line == rows[next - 1].line + 1 && looksLikeUnits(rows[next])) {
        ++best.lines;
        best.names = headerNames(
            {rows.begin() + static_cast<std::ptrdiff_t>(best.first), rows.begin() + static_cast<std::ptrdiff_t>(best.first + best.lines)});
    }
    return best;
}

}  // namespace halfcell::db::guess
