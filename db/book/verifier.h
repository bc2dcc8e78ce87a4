#pragma once

#include "db/connection/connection.h"
#include "db/journal/sha256.h"
#include "db/values/book_types.h"

#include <cstdint>
#include <functional>
#include <string_view>

namespace halfcell::db {

/// Recomputes the journal's chain and, from the rows as they stand in the file, the content of every entry. Finds a row
/// or an entry that was changed, added, taken out or put elsewhere, and names the first, in the order of the journal.
/// Inside a read transaction. `progress` gets 0..1 and returns false to cancel (throws Errc::Cancelled).
///
/// `noted`: a head that was written down once (on a printed record, in a mail), as `HASH` or `ENTRY:HASH`, at least 12 digits of
/// the hash. A chain that fits in itself but lost its end, or was written anew, does not hold it any more.
///
/// A book of `entriesForTwo` entries or more is read through two connections at once; smaller ones are done sooner than a second
/// one is open. The report is the same.
[[nodiscard]] VerifyReport verifyBook(Connection& connection, const std::function<bool(double)>& progress, std::string_view noted = {},
                                      std::int64_t entriesForTwo = 2000);

}  // namespace halfcell::db
