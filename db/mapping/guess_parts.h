#pragma once

#include "db/mapping/mapping.h"
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

}  // namespace halfcell::db::guess
