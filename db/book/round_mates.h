#pragma once

#include "db/book/book_impl.h"

namespace halfcell::db {

/// A round lasts at most so long on either side of a visit: what core compares within (core/rules).
inline constexpr double kRoundDays = 7.0;

/// Adds to the records of one sensor what its rounds are judged by: of every other sensor read in the round of its last visit, or in
/// the round going on at `now`, the visits of that time and the few before, with their corrections. Returns the serials added to,
/// in order. Inside a read transaction.
std::vector<std::string> addRoundMates(Book::Impl& d, core::Records& records, std::string_view serial,
                                       const std::optional<core::Instant>& now);

}  // namespace halfcell::db
