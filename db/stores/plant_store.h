#pragma once

#include "db/stores/table_store.h"

namespace halfcell::db {

/// The tables of rows that stand alone, and their later ends. One thread with its connection.
struct PlantStore {
    PlantStore(Connection& connection, StandingRows& standing);

    /// Which content of a row counts where books differ; to be begun with every transaction.
    StandingRows& standing;

    TableStore<core::Site> sites;
    TableStore<core::Point> points;
    TableStore<core::Model> models;
    TableStore<core::Sensor> sensors;
    TableStore<core::Placement> placements;
    TableStore<PlacementEnd> placementEnds;
    TableStore<core::PartRecord> parts;
    TableStore<PartEnd> partEnds;
    TableStore<core::Lot> lots;
    TableStore<LotEvent> lotEvents;
    TableStore<core::StandardRow> standards;
    TableStore<core::Equipment> equipment;
    TableStore<core::Person> people;
    TableStore<core::Hold> holds;
    TableStore<HoldEnd> holdEnds;
    TableStore<core::Legacy> legacy;

    /// The small tables as the public tables show them: later ends written into the rows they end, those recorded after
    /// `asOf` left out. Visits, legacy and corrections are not in it. `serial`: placements and parts of that sensor only.
    void loadSmall(core::Records& records, const std::optional<core::Instant>& asOf, std::string_view serial = {});

    /// One row with its later end in it, or nothing.
    std::optional<core::Placement> placement(const core::Placement& like);
    std::optional<core::PartRecord> part(const core::PartRecord& like);
    std::optional<core::Lot> lot(const core::Lot& like);
    std::optional<core::Hold> hold(const core::Hold& like);
};

}  // namespace halfcell::db
