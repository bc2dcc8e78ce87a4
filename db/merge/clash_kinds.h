#pragma once

#include "db/book/book_impl.h"
#include "db/merge/merge.h"

/// How each kind of clash is known, the same in every book. Internal to db/merge.
namespace halfcell::db {

/// A clash with what settling needs.
struct KnownClash {
    Clash shown;
    std::vector<std::string> digests;           ///< parallel to shown.rows
    std::vector<std::string> mustSee;           ///< digests that a settlement must have had before it
    std::vector<std::string> contents;          ///< of kind row: the contents
    std::vector<core::Correction> corrections;  ///< of kind correction
    std::vector<core::Placement> placements;    ///< of kind placement
    std::string serial;
};

/// Every clash of the book, by kind and subject. Inside a transaction.
[[nodiscard]] std::vector<KnownClash> knownClashes(Book::Impl& book);

/// Hex SHA-256 of a text.
[[nodiscard]] std::string digestOf(Book::Impl& book, std::string_view text);

/// What a correction says, without its place among the visit's corrections.
[[nodiscard]] std::string identityOf(const core::Correction& correction);

/// When a content says its first row was recorded.
[[nodiscard]] core::Instant recordedIn(const ContentRow& row);

}  // namespace halfcell::db
