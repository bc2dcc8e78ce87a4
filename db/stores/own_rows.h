#pragma once

#include "core/fleet/records.h"

#include <optional>
#include <string>
#include <vector>

/// Rows the book keeps beside those of the public tables. An end that comes later is a row of its own, since the row it
/// ends is never changed; the public table shows both as one row.
namespace halfcell::db {

struct PlacementEnd {
    std::string serial, place;
    core::Instant from, to;
    std::optional<core::RemovalReason> reason_removed;
    std::optional<bool> pre_emptive;
    core::Text person;
    core::Instant recorded;
};

struct PartEnd {
    std::string serial;
    core::Part part = core::Part::Bridge;
    core::Instant from, to;
    core::Text person;
    core::Instant recorded;
};

struct LotEvent {
    std::string lot;
    std::string event;   ///< opened or discarded
    core::Instant time;
    core::Text person;
    core::Instant recorded;
};

struct HoldEnd {
    std::string point;
    core::Instant from, to;
    core::Text closed_by;
    core::HoldClosed closed_how = core::HoldClosed::Auto;
    core::Instant recorded;
};

/// A visit's own row. `stated` is false where the visit came as rows of other tables alone.
struct VisitRow : core::Visit {
    bool stated = true;
};
/// The visit's own row, written after its readings.
struct VisitHead : core::Visit {};

struct ShopName {
    std::string shop;
    core::Instant recorded;
};
struct RuleSetRow {
    std::string id, text;
    core::Instant recorded;
};
/// Why a new book has the shipped rules in force.
inline constexpr const char* kShippedWhy = "shipped with the program";
struct RuleAdoptionRow {
    std::string id;
    core::Instant adopted;
    core::Text person, why;
    core::Instant recorded;
};

/// That this book took in the rows of another: an event of this file alone, not carried on by further merging.
struct MergeRow {
    std::string book;
    core::Instant merged;
    int taken = 0, unchanged = 0, clashes = 0;
    core::Text person;
    core::Instant recorded;
};
/// One content of a row that books hold with different content; see standing_rows.h.
struct MergeVariant {
    std::string clash, digest;   ///< hex SHA-256 of the row's key and of the content
    std::string rowKey, content;
    core::Instant found, recorded;   ///< recorded: when the content says that the row was recorded
};
struct ClashSettlement {
    std::string clash;
    std::vector<std::string> seen;   ///< digests known when it was settled
    core::Text content;
    std::string person, why;
    core::Instant recorded;
};

}  // namespace halfcell::db
