#pragma once

#include "db/mapping/mapping.h"
#include "db/sheets/sheet.h"

#include <string>
#include <string_view>

namespace halfcell::db {

/// Blanks of every kind at both ends taken off (also the no-break ones that spreadsheets and word processors leave).
[[nodiscard]] std::string_view trimmedCell(std::string_view text);
/// In small letters, ASCII only; what lies beyond stays.
[[nodiscard]] std::string lowerCase(std::string_view text);

/// A number as the mapping's source writes it, as a number of ours in the field's own unit. `field` tells the quantity by its
/// ending (_mv, _degc, _pct, _s, _mohm, _kohm, minutes, _hours, _days); a unit behind the digits is taken if it is one of that
/// quantity's, else refused. `unit`: that of bare numbers. Errc::BadInput with a remedy.
[[nodiscard]] core::Result<std::string> foreignNumber(const SheetCell& cell, std::string_view field, std::string_view unit,
                                                      const Mapping& mapping);
/// A date or time as the source writes it, in ISO 8601. Names of months are English ones.
[[nodiscard]] core::Result<std::string> foreignMoment(const SheetCell& cell, const Mapping& mapping);
/// `yes` or `no` from what people tick (yes, no, y, n, x, true, false, 1, 0, ok).
[[nodiscard]] core::Result<std::string> foreignTruth(std::string_view text);

/// The unit that a quantity's numbers are in when written `word`; nullptr if it is none of that quantity's.
struct ForeignUnit {
    double factor = 1.0, shift = 0.0;  ///< ours = (theirs + shift) * factor
};
[[nodiscard]] const ForeignUnit* unitNamed(std::string_view field, std::string_view word);

}  // namespace halfcell::db
