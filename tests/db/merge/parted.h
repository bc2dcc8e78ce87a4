#pragma once

#include "db/merge/merge.h"
#include "tests/db/support/book_fixture.h"

#include <filesystem>
#include <random>
#include <string>

namespace halfcell::db::testing {

/// Everything a book reads that must not depend on the order in which books were merged.
struct Reads {
    core::Records records, earlier;
    std::vector<Clash> clashes;
    std::string rules, shop;
    std::vector<LatestState> states;
};

/// What the book at `file` reads, its figures worked out anew; the test fails if it does not verify.
[[nodiscard]] Reads readsOf(const std::filesystem::path& file, const core::Instant& now);
/// The first difference in words; empty if there is none.
[[nodiscard]] std::string difference(const Reads& a, const Reads& b);

/// The small shop with two visits, as a closed file.
void makeShop(const std::filesystem::path& file);
/// A closed copy of a closed book.
void copyBook(const std::filesystem::path& from, const std::filesystem::path& to);
/// Merges one closed book into another.
MergeReport mergeInto(const std::filesystem::path& book, const std::filesystem::path& other, const char* now = "2026-06-01T00:00:00Z");

/// Works in a parted book as a shop does, by chance: visits, rows added to visits, corrections, moves, bottles, holds, new
/// plant, a rule set, a name. Books with other `side` numbers often touch the same rows, sometimes alike.
void workByChance(const std::filesystem::path& file, unsigned seed, int side, int steps);

}  // namespace halfcell::db::testing
