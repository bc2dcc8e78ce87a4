#pragma once

#include "core/fleet/columns.h"
#include "core/quantity/number.h"
#include "db/exchange/public_tables.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <type_traits>

/// Rows as JSON objects. Internal to db/exchange (its only readers link nlohmann-json).
namespace halfcell::db {

using Json = nlohmann::ordered_json;

/// What is recorded in a row, under the columns' names; numbers as numbers.
template <class Row>
Json rowJson(const Row& row, PublicTable table)
{
    Json object = Json::object();
    const auto columns = publicColumns(table);
    for (const auto& column : core::columnsOf<Row>()) {
        const std::string cell = column.get(row);
        if (cell.empty())
            continue;
        // A dip that nobody numbered is counted where the visit is taken in.
        if constexpr (std::is_same_v<Row, core::Reading>)
            if (column.name == "dip" && row.dip == 0)
                continue;
        if constexpr (std::is_same_v<Row, core::Reading>)
            if (column.name == "settle") {
                Json series = Json::array();
                for (const core::SettlePoint& p : row.settle)
                    series.push_back(Json::array({p.seconds, p.mv}));
                object["settle"] = std::move(series);
                continue;
            }
        const auto shape = std::ranges::find(columns, column.name, &PublicColumn::name);
        const auto number =
            shape != columns.end() && shape->number ? core::parseNumber(cell) : core::Result<double>(std::unexpected(core::Error{}));
        const std::string name(column.name);
        constexpr double kWhole = 9007199254740992.0;  // 2^53: whole numbers below it are exact
        if (number && std::abs(*number) < kWhole && *number == std::trunc(*number))
            object[name] = static_cast<long long>(*number);
        else if (number)
            object[name] = *number;
        else
            object[name] = cell;
    }
    return object;
}

template <class Row>
void addRows(Json& object, const char* name, const std::vector<Row>& rows, PublicTable table)
{
    if (rows.empty())
        return;
    Json list = Json::array();
    for (const Row& row : rows)
        list.push_back(rowJson(row, table));
    object[name] = std::move(list);
}

/// A visit as `log` takes it.
inline Json visitJson(const core::Visit& visit)
{
    Json object = rowJson(visit, PublicTable::Visits);
    addRows(object, "readings", visit.readings, PublicTable::Readings);
    addRows(object, "grabs", visit.grabs, PublicTable::Grabs);
    addRows(object, "checks", visit.checks, PublicTable::Checks);
    addRows(object, "actions", visit.actions, PublicTable::Actions);
    return object;
}

}  // namespace halfcell::db
