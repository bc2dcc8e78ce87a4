#pragma once

#include "db/mapping/mapping.h"
#include "db/mapping/source_table.h"
#include "db/sheets/sheet.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// The parts of `guessMapping`. Internal to db/mapping.
namespace halfcell::db::guess {

/// What a column seems to hold, by its name.
struct Column {
    std::string name;
    std::string field;                 ///< ours; empty: nothing we know
    std::optional<double> standardPh;  ///< of a column that belongs to one standard ("pH7 mV")
    std::string standardText;          ///< its pH as written
    std::string phase;                 ///< "found", "left", "cleaned" in its name
    [[nodiscard]] bool reading() const { return field == "mv" && standardPh.has_value(); }
};
[[nodiscard]] Column columnNamed(std::string_view name);
/// "mV", "(°C)", "s": a unit and nothing else.
[[nodiscard]] bool isUnitWord(std::string_view text);
/// "dd.mm.yyyy", "hh:mm": how a date is to be written.
[[nodiscard]] bool isDatePattern(std::string_view text);
/// How many columns of a header are like ours.
[[nodiscard]] std::size_t likeOurs(const std::vector<std::string>& names);

/// The standard of the shipped tables that people mean by a pH or a word ("7", "pH 4.01", "zobell"); empty: none. `doubt` is set where two
/// would do.
[[nodiscard]] std::string standardMeant(std::string_view text, bool* doubt = nullptr);
/// The phase meant by a word ("before", "as left"); empty: none.
[[nodiscard]] std::string phaseMeant(std::string_view text);

/// How the cells of a column of numbers and of dates are written, over the lines looked at.
struct Writing {
    char decimal = '.';
    std::string thousands;
    std::optional<DateOrder> dates;  ///< absent: no date says
    bool sawDates = false;
    std::vector<std::string> empty;  ///< words that stand for no value
};
[[nodiscard]] Writing writingOf(const std::vector<SheetRow>& rows, const std::vector<std::size_t>& numbers,
                                const std::vector<std::size_t>& dates);

/// The beginning of a table, and the first line of it that can't be read.
struct Beginning {
    std::vector<SheetRow> rows;
    std::size_t faultLine = 0;  ///< 0: none
    std::string fault;
};

[[nodiscard]] Beginning firstRows(const SourceTable& source);

/// Where the columns' names stand.
struct Header {
    std::size_t first = 0, lines = 1;  ///< places among the rows
    std::size_t like = 0;
    std::vector<std::string> names;
};

/// The lines whose names are most like ours; of equals the fewest, then the first. Units under the names belong to them.
[[nodiscard]] Header headerOf(const std::vector<SheetRow>& rows);

}  // namespace halfcell::db::guess
