#pragma once

#include "db/values/book_types.h"
#include "db/connection/connection.h"
#include "db/journal/sha256.h"

#include <functional>

namespace halfcell::db {

/// Recomputes the journal's chain and, from the rows as they stand in the file, the content of every entry. Finds a row
/// or an entry that was changed, added, taken out or put elsewhere, and names the first, in the order of the journal.
/// Inside a read transaction. `progress` gets 0..1 and returns false to cancel (throws Errc::Cancelled).
[[nodiscard]] VerifyReport verifyBook(Connection& connection, const std::function<bool(double)>& progress);

}  // namespace halfcell::db
