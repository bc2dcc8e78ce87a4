#pragma once

#include "core/fleet/records.h"

#include <optional>
#include <string>

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
struct RuleAdoptionRow {
    std::string id;
    core::Instant adopted;
    core::Text person, why;
    core::Instant recorded;
};

}  // namespace halfcell::db
