#pragma once

#include <cstddef>
#include <expected>
#include <optional>
#include <string>
#include <utility>

namespace halfcell::core {

/// What kind of thing went wrong. Callers switch on this; `Error::detail` is for logs, command line and working.
enum class Errc {
    BadInput,            ///< a value that cannot be read or lies outside its legal range
    OutOfRange,          ///< a quantity outside the range a formula or rule is valid for
    OutsideTable,        ///< a temperature outside a standard's table
    TemperatureMissing,  ///< a figure needs a temperature that was not recorded
    TooFewReadings,      ///< fewer readings or standards than the figure needs
    StandardsTooClose,   ///< standards less than 1 pH apart: no slope from them
    NoConvergence,       ///< an iteration did not settle
    NotFound,            ///< a key that nobody knows
    Conflict,            ///< a key already taken by different content
    Cancelled,           ///< stopped on request; nothing was written
    CannotRead,          ///< file or book cannot be read
    CannotWrite,         ///< file or book cannot be written
    NewerBook,           ///< the book was written by a newer program
    DamagedBook,         ///< the book's content does not hold together
    DiskFull,            ///< no room left on the device
    Locked,              ///< somebody else holds the book
    Internal             ///< a broken promise inside the program
};

/// An error with everything a user needs to mend it. `file`, `line` and `field` are given when the error comes from
/// a table or a JSON document; `remedy` says what to do. Line numbers count from 1, the header being line 1.
struct Error {
    Errc code = Errc::Internal;
    std::string detail;
    std::string file = {};
    std::optional<std::size_t> line = {};
    std::string field = {};
    std::string remedy = {};

    bool operator==(const Error&) const = default;
};

/// The result of anything that can fail with bad input, missing data or an unreadable book.
template <class T>
using Result = std::expected<T, Error>;

/// Builds the failure branch of a Result.
[[nodiscard]] inline std::unexpected<Error> failure(Errc code, std::string detail, std::string remedy = {})
{
    return std::unexpected<Error>(
        Error{.code = code, .detail = std::move(detail), .remedy = std::move(remedy)});
}

}  // namespace halfcell::core
