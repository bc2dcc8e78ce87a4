#pragma once

#include "core/quantity/result.h"

#include <string>
#include <string_view>

namespace halfcell::core {

/// Reads one finite decimal number with a point as decimal sign and an optional sign; blanks around it are allowed,
/// nothing else is. U+2212 is taken as a minus. Errc::BadInput says what is wrong ("unit in the cell: type the number
/// alone", "decimal comma", "sign typed twice", ...).
[[nodiscard]] Result<double> parseNumber(std::string_view text);

/// The shortest decimal text that reads back to the same double ("98.5", "-3", "1e-05"). Never NaN or infinity.
[[nodiscard]] std::string formatNumber(double value);

/// Fixed decimals, ASCII minus, no negative zero ("-0.0" becomes "0.0").
[[nodiscard]] std::string formatFixed(double value, int decimals);
/// As formatFixed, a plus written before positive values; zero has no sign.
[[nodiscard]] std::string formatSigned(double value, int decimals);

}  // namespace halfcell::core
