#include "db/exchange/exchange.h"
#include "db/exchange/export_rows.h"
#include "db/exchange/json_rows.h"

#include <fmt/format.h>

#include <set>

namespace halfcell::db {

core::Result<std::string> recordToJson(const Book& book, std::string_view serial, const core::Instant& asOf, const JsonHead& head)
{
    auto records = book.loadRecords(asOf);
    if (!records)
        return std::unexpected(records.error());
    const core::Records known = knownAt(std::move(*records), asOf);
    const auto sensor = std::ranges::find(known.sensors, serial, &core::Sensor::serial);
    if (sensor == known.sensors.end())
        return std::unexpected(core::Error{.code = core::Errc::NotFound,
                                           .detail = fmt::format("the serial \"{}\" is not known", serial),
                                           .field = "serial",
                                           .remedy = "check it; the command assess lists them"});
    Json object = {{"program", "halfcell"},
                   {"version", head.version},
                   {"schema", kJsonSchema},
                   {"rules", head.rules},
                   {"as_of", core::formatInstant(asOf)}};
    object["sensor"] = rowJson(*sensor, PublicTable::Sensors);
    if (const auto model = std::ranges::find(known.models, sensor->model, &core::Model::model); model != known.models.end())
        object["model"] = rowJson(*model, PublicTable::Models);
    const auto list = [&](const char* name, const auto& rows, PublicTable table) {
        Json all = Json::array();
        for (const auto& row : rows)
            if (row.serial == serial)
                all.push_back(rowJson(row, table));
        object[name] = std::move(all);
    };
    list("placements", known.placements, PublicTable::Placements);
    list("parts", known.parts, PublicTable::Parts);
    list("legacy", known.legacy, PublicTable::Legacy);
    Json visits = Json::array();
    std::set<std::string_view> keys;
    for (const core::Visit& visit : known.visits)
        if (visit.serial == serial) {
            visits.push_back(visitJson(visit));
            keys.insert(visit.visit);
        }
    object["visits"] = std::move(visits);
    Json corrections = Json::array();
    for (const core::Correction& correction : known.corrections)
        if (keys.contains(correction.visit))
            corrections.push_back(rowJson(correction, PublicTable::Corrections));
    object["corrections"] = std::move(corrections);
    return object.dump(1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace halfcell::db
