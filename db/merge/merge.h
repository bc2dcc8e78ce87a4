#pragma once

#include "db/book/book.h"

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

/// Books that parted (a laptop taken on a round) and meet again.
///
/// Taking in another book is the union of rows. Each row is known by its table, its key and its content, and what a book
/// reads follows from that set of rows alone, so books may be merged in any order and any number of times: the records,
/// the figures and the clashes come out the same. Where both hold one row with different content, neither is lost: every
/// content is kept, the earliest recorded counts for now, and the clash is listed until a person settles it with a new row.
/// Figures that are worked out, drafts, and that a book was merged before, are not part of the union.
namespace halfcell::db {

struct MergeOptions {
    bool dryRun = false;                   ///< say what would happen, write nothing
    std::function<bool(double)> progress;  ///< 0..1; false cancels (Errc::Cancelled)
};

/// One of the rows that can't both be right.
struct ClashRow {
    std::string text;  ///< for people: the fields in which the rows differ, or what the row says
    core::Instant recorded;
    std::string person;   ///< empty where the row names nobody
    bool counts = false;  ///< what the records say now
};

struct Clash {
    std::string id;              ///< 64 hexadecimal digits; the first 12 are enough to name it
    std::string kind;            ///< row (one key, different content), correction (one field corrected twice), placement
                                 ///< (one sensor at two places at a time)
    std::string subject;         ///< "visit v1", "sensor K7-0412"
    std::vector<ClashRow> rows;  ///< in an order that is the same in every book
    bool open = true;            ///< nobody settled it with all these rows before them
    std::string settledBy, why;
    std::optional<core::Instant> settled;
};

struct MergeReport {
    std::size_t taken = 0;       ///< journal entries of the other book whose rows were not here
    std::size_t unchanged = 0;   ///< those that were
    std::size_t newClashes = 0;  ///< contents that were kept beside a row that stands
    std::vector<std::pair<std::string, std::size_t>> takenByKind;
    std::vector<Clash> clashes;  ///< the open ones afterwards
    std::string otherHead;
};

/// Takes in what another book holds and this one does not, as one transaction. The other book is only read; it must verify
/// (Errc::DamagedBook) and have this program's schema (an older one: open it once for writing first).
core::Result<MergeReport> mergeFrom(Book& book, const std::filesystem::path& other, const BookStamp& stamp,
                                    const MergeOptions& options = {});

/// All clashes of a book, settled ones too, by kind and subject.
[[nodiscard]] core::Result<std::vector<Clash>> clashesOf(const Book& book);

/// A person decides which row of a clash is right (`keep` counts from 1 in `Clash::rows`). Writes the decision, and what makes
/// it so: the content from now on, a correction, or the end of the other placement. `id` may be shortened to 12 digits.
/// Errc::NotFound, BadInput (nobody named, no reason, no such row).
core::Result<void> settleClash(Book& book, std::string_view id, std::size_t keep, const BookStamp& stamp, std::string_view why);

}  // namespace halfcell::db
