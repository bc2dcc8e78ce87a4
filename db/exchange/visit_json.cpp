#include "db/exchange/exchange.h"
#include "db/exchange/json_rows.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

std::unexpected<core::Error> bad(std::string field, std::string detail, std::string remedy)
{
    return std::unexpected(
        core::Error{.code = Errc::BadInput, .detail = std::move(detail), .field = std::move(field), .remedy = std::move(remedy)});
}

/// A member's value as the text of a cell.
Result<std::string> cellOf(const Json& value, const std::string& where)
{
    if (value.is_string())
        return value.get<std::string>();
    if (value.is_boolean())
        return std::string(value.get<bool>() ? "yes" : "no");
    if (value.is_number())
        return core::formatNumber(value.get<double>());
    if (value.is_array()) {
        std::string joined;
        for (const Json& item : value) {
            // A settle series: [seconds, mV] pairs.
            if (item.is_array() && item.size() == 2 && item[0].is_number() && item[1].is_number()) {
                joined += joined.empty() ? "" : ";";
                joined += core::formatNumber(item[0].get<double>()) + ':' + core::formatNumber(item[1].get<double>());
                continue;
            }
            if (!item.is_string())
                return bad(where, "a list holds something that is no text", "put each entry in quotes");
            joined += joined.empty() ? "" : ";";
            joined += item.get<std::string>();
        }
        return joined;
    }
    return bad(where, "an object stands where a value belongs", "give a number or a text");
}

/// Whether a member is there and says something: null and "" are answers left out.
bool saysSomething(const Json& object, std::string_view name)
{
    const auto member = object.find(name);
    return member != object.end() && !member->is_null() && !(member->is_string() && member->get_ref<const std::string&>().empty());
}

template <class Row>
Result<void> setMember(Row& row, const std::string& name, const Json& value, const std::string& where)
{
    const auto* column = core::findColumn<Row>(name);
    if (column == nullptr)
        return bad(where, fmt::format("there is no field \"{}\"", name), "use the names of the tables' columns");
    if (value.is_null())
        return {};
    auto cell = cellOf(value, where);
    if (!cell)
        return std::unexpected(cell.error());
    if (cell->empty())
        return {};
    auto done = column->set(row, *cell);
    if (!done)
        done.error().field = where;
    return done;
}

template <class Row>
Result<void> readRows(const Json& list, const char* name, std::vector<Row>& rows)
{
    if (list.is_null())
        return {};
    if (!list.is_array())
        return bad(name, fmt::format("{} is not a list", name), "write it as [ {...}, {...} ]");
    for (std::size_t i = 0; i < list.size(); ++i) {
        const std::string place = fmt::format("{}[{}]", name, i + 1);
        const Json& object = list[i];
        if (!object.is_object())
            return bad(place, "it is not an object", "write it as { \"name\": value, ... }");
        Row row;
        if constexpr (std::is_same_v<Row, core::Reading>)
            row.dip = 0;
        if constexpr (std::is_same_v<Row, core::Action>)
            row.step = static_cast<int>(i) + 1;
        for (const auto& [key, value] : object.items())
            if (auto done = setMember(row, key, value, place + "." + key); !done)
                return done;
        for (const auto& column : core::columnsOf<Row>()) {
            const bool filledHere = column.name == "when" || column.name == "step" || column.name == "recorded";
            if (column.required && !filledHere && !saysSomething(object, column.name))
                return bad(place + "." + std::string(column.name), fmt::format("{} is missing", column.name), "give it");
        }
        rows.push_back(std::move(row));
    }
    return {};
}

}  // namespace

Result<core::Visit> visitFromJson(std::string_view text)
{
    Json document;
    try {
        document = Json::parse(text);
    } catch (const Json::parse_error& e) {
        core::Error error{
            .code = Errc::BadInput, .detail = "this is not JSON", .remedy = "check quotes, commas and brackets at that place"};
        const std::size_t upTo = std::min(text.size(), e.byte > 0 ? e.byte - 1 : 0);
        error.line = 1 + static_cast<std::size_t>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(upTo), '\n'));
        return std::unexpected(error);
    } catch (const std::exception& e) {
        return bad({}, e.what(), "check the document");
    }
    if (!document.is_object())
        return bad({}, "a visit is an object", "write it as { \"serial\": ..., \"readings\": [...] }");
    core::Visit visit;
    for (const auto& [key, value] : document.items()) {
        Result<void> done;
        if (key == "readings")
            done = readRows(value, "readings", visit.readings);
        else if (key == "grabs")
            done = readRows(value, "grabs", visit.grabs);
        else if (key == "checks")
            done = readRows(value, "checks", visit.checks);
        else if (key == "actions")
            done = readRows(value, "actions", visit.actions);
        else
            done = setMember(visit, key, value, key);
        if (!done)
            return std::unexpected(done.error());
    }
    if (visit.serial.empty())
        return bad("serial", "serial is missing", "say which sensor was visited");
    return visit;
}

std::string visitToJson(const core::Visit& visit)
{
    return visitJson(visit).dump(1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace halfcell::db
