#include "db/stores/record_tables.h"

#include "db/stores/child_store.h"
#include "db/stores/table_store.h"

namespace halfcell::db {

namespace {

template <class Row>
RecordTable alone()
{
    return {.shape = tableShape<Row>(), .keys = 0, .ofVisit = false};
}

template <class Row>
RecordTable child(bool ofVisit)
{
    TableShape shape = ChildStore<Row>::shape();
    shape.keys = "visit seq";
    return {.shape = std::move(shape), .keys = 2, .ofVisit = ofVisit};
}

std::vector<RecordTable> allTables()
{
    std::vector<RecordTable> list{alone<core::Site>(),
                                  alone<core::Point>(),
                                  alone<core::Model>(),
                                  alone<core::Sensor>(),
                                  alone<core::Placement>(),
                                  alone<PlacementEnd>(),
                                  alone<core::PartRecord>(),
                                  alone<PartEnd>(),
                                  alone<core::Lot>(),
                                  alone<LotEvent>(),
                                  alone<core::StandardRow>(),
                                  alone<core::Equipment>(),
                                  alone<core::Person>(),
                                  alone<core::Hold>(),
                                  alone<HoldEnd>(),
                                  alone<core::Legacy>(),
                                  alone<ShopName>(),
                                  alone<RuleSetRow>(),
                                  alone<RuleAdoptionRow>(),
                                  alone<MergeRow>(),
                                  alone<MergeVariant>(),
                                  alone<ClashSettlement>(),
                                  child<core::Correction>(false)};
    for (RecordTable table : {RecordTable{.shape = tableShape<VisitRow>(), .keys = 0, .ofVisit = true},
                              RecordTable{.shape = tableShape<VisitHead>(), .keys = 0, .ofVisit = true}, child<core::Reading>(true),
                              child<core::Grab>(true), child<core::Check>(true), child<core::Action>(true)})
        list.push_back(std::move(table));
    return list;
}

}  // namespace

std::span<const RecordTable> recordTables()
{
    static const std::vector<RecordTable> kTables = allTables();
    return kTables;
}

const RecordTable* recordTable(std::string_view name)
{
    for (const RecordTable& table : recordTables())
        if (table.shape.table == name)
            return &table;
    return nullptr;
}

}  // namespace halfcell::db
