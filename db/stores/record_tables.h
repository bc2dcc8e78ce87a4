#pragma once

#include "db/stores/row_slots.h"

#include <span>
#include <string_view>

namespace halfcell::db {

/// A record table as checking and merging see it.
struct RecordTable {
    TableShape shape;
    std::size_t keys = 0;  ///< columns of visit and place before the row's own
    bool ofVisit = false;  ///< its rows of one entry make one content together with those of the other tables of visits
};

/// Every record table this program writes. Tables of visits come in the order in which their rows make a content.
[[nodiscard]] std::span<const RecordTable> recordTables();
/// nullptr for a table that is none.
[[nodiscard]] const RecordTable* recordTable(std::string_view name);

}  // namespace halfcell::db
