#pragma once

#include "db/connection/slot.h"

#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The canonical text of rows (`appendContent` in codec.h) read back: merging compares and carries rows as the text that
/// their journal entry vouches for.
namespace halfcell::db {

/// One row as written: its table, and its columns that are not null.
struct ContentRow {
    std::string table;
    std::string text;  ///< the row's own part of the content
    std::vector<std::pair<std::string, std::string>> values;

    /// nullptr if the column is null.
    [[nodiscard]] const std::string* value(std::string_view column) const;
};

/// The rows of an entry's content, in their order. Throws Errc::DamagedBook for a text that is none.
[[nodiscard]] std::vector<ContentRow> parseContent(std::string_view content);

/// Fills slots by column name; a column that the row does not name becomes null. Throws Errc::DamagedBook for a number that
/// is none.
void fillSlots(std::span<Slot> slots, std::span<const std::string> names, const ContentRow& row);

/// `[table]key=length:value;...`: what makes a row the same row, as text. `keys`: column names separated by blanks.
[[nodiscard]] std::string rowKeyOf(std::string_view table, std::string_view keys, std::span<const Slot> slots,
                                   std::span<const std::string> names);
[[nodiscard]] std::string rowKeyOf(const ContentRow& row, std::string_view keys);

/// A content without the columns named: `recorded` says nothing about what a row says.
[[nodiscard]] std::string contentWithout(std::string_view content, std::span<const std::string_view> columns);

}  // namespace halfcell::db
