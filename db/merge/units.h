#pragma once

#include "db/book/book_impl.h"

#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <vector>

/// A book's journal entries with the rows they stand for, as text.
namespace halfcell::db {

struct Unit {
    JournalRow entry;
    std::vector<ContentRow> rows;
};

/// What the entries of a book say that another may lack.
struct Tail {
    std::vector<Unit> units;  ///< in the order of the journal
    std::size_t known = 0;    ///< entries that the other has word by word
    std::string head;
};

/// The entries of `from` that `to` does not have in the same words. Books that parted share the beginning of their journals;
/// what follows is compared by content. Inside read transactions of both.
[[nodiscard]] Tail tailOf(Book::Impl& from, Book::Impl& to, const std::function<void(double)>& progress);

/// The words of the journal for rows that say something about this file alone.
[[nodiscard]] bool isOfThisFile(std::string_view what);

}  // namespace halfcell::db
