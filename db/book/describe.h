#pragma once

#include "db/stores/own_rows.h"

#include <string>

/// What the journal says about a row: its key, the sensor it concerns (empty: all or none), one line for people.
namespace halfcell::db {

struct Described {
    std::string key, serial, text;
};

[[nodiscard]] Described describe(const core::Site& row);
[[nodiscard]] Described describe(const core::Point& row);
[[nodiscard]] Described describe(const core::Model& row);
[[nodiscard]] Described describe(const core::Sensor& row);
[[nodiscard]] Described describe(const core::Placement& row);
[[nodiscard]] Described describe(const PlacementEnd& row);
[[nodiscard]] Described describe(const core::PartRecord& row);
[[nodiscard]] Described describe(const PartEnd& row);
[[nodiscard]] Described describe(const core::Lot& row);
[[nodiscard]] Described describe(const LotEvent& row);
[[nodiscard]] Described describe(const core::StandardRow& row);
[[nodiscard]] Described describe(const core::Equipment& row);
[[nodiscard]] Described describe(const core::Person& row);
[[nodiscard]] Described describe(const core::Hold& row);
[[nodiscard]] Described describe(const HoldEnd& row);
[[nodiscard]] Described describe(const core::Legacy& row);
[[nodiscard]] Described describe(const core::Correction& row);
[[nodiscard]] Described describe(const core::Visit& row);
[[nodiscard]] Described describe(const ShopName& row);
[[nodiscard]] Described describe(const RuleSetRow& row);
[[nodiscard]] Described describe(const RuleAdoptionRow& row);
[[nodiscard]] Described describe(const MergeRow& row);
[[nodiscard]] Described describe(const MergeVariant& row);
[[nodiscard]] Described describe(const ClashSettlement& row);

}  // namespace halfcell::db
