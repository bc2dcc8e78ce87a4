#include "db/book/describe.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

namespace halfcell::db {

using core::formatDate;
using core::formatInstant;
using core::keyOf;
using core::wordsOf;

Described describe(const core::Site& row)
{
    return {row.site, {}, fmt::format("site {}", row.site)};
}
Described describe(const core::Point& row)
{
    return {row.tag, {}, fmt::format("point {} at {}", row.tag, row.site)};
}
Described describe(const core::Model& row)
{
    return {row.model, {}, fmt::format("model {} ({})", row.model, wordsOf(row.kind))};
}
Described describe(const core::Sensor& row)
{
    return {row.serial, row.serial, fmt::format("sensor {}, model {}", row.serial, row.model)};
}
Described describe(const core::Placement& row)
{
    std::string text = fmt::format("{} at {} from {}", row.serial, row.place, formatDate(row.from));
    if (row.to)
        text += fmt::format(" to {}", formatDate(*row.to));
    return {fmt::format("{} {} {}", row.serial, row.place, formatInstant(row.from)), row.serial, std::move(text)};
}
Described describe(const PlacementEnd& row)
{
    std::string text = fmt::format("{} left {} on {}", row.serial, row.place, formatDate(row.to));
    if (row.reason_removed)
        text += fmt::format(": {}", wordsOf(*row.reason_removed));
    return {fmt::format("{} {} {}", row.serial, row.place, formatInstant(row.from)), row.serial, std::move(text)};
}
Described describe(const core::PartRecord& row)
{
    return {fmt::format("{} {} {}", row.serial, keyOf(row.part), formatInstant(row.from)), row.serial,
            fmt::format("{} of {} from {}", wordsOf(row.part), row.serial, formatDate(row.from))};
}
Described describe(const PartEnd& row)
{
    return {fmt::format("{} {} {}", row.serial, keyOf(row.part), formatInstant(row.from)), row.serial,
            fmt::format("{} of {} taken out on {}", wordsOf(row.part), row.serial, formatDate(row.to))};
}
Described describe(const core::Lot& row)
{
    return {row.lot, {}, fmt::format("lot {} of {}", row.lot, row.standard)};
}
Described describe(const LotEvent& row)
{
    return {row.lot, {}, fmt::format("lot {} {} on {}", row.lot, row.event, formatDate(row.time))};
}
Described describe(const core::StandardRow& row)
{
    return {fmt::format("{} {}", row.standard, core::formatNumber(row.temp_degc)),
            {},
            fmt::format("standard {} at {} degC", row.standard, core::formatNumber(row.temp_degc))};
}
Described describe(const core::Equipment& row)
{
    return {row.equipment, {}, fmt::format("{} {}", wordsOf(row.kind), row.equipment)};
}
Described describe(const core::Person& row)
{
    return {row.person, {}, fmt::format("person {}", row.person)};
}
Described describe(const core::Hold& row)
{
    return {fmt::format("{} {}", row.point, formatInstant(row.from)), {}, fmt::format("{} in manual from {}", row.point, formatInstant(row.from))};
}
Described describe(const HoldEnd& row)
{
    return {fmt::format("{} {}", row.point, formatInstant(row.from)), {},
            fmt::format("{} {} at {}", row.point, wordsOf(row.closed_how), formatInstant(row.to))};
}
Described describe(const core::Legacy& row)
{
    return {fmt::format("{} {} {}", row.serial, formatInstant(row.when), keyOf(row.phase)), row.serial,
            fmt::format("{} on {}: figures without millivolts", row.serial, formatDate(row.when))};
}
Described describe(const core::Correction& row)
{
    return {fmt::format("{} {} {} {}", row.visit, row.table, row.row, row.field),
            {},
            fmt::format("{} row {} of visit {}: {} \"{}\" corrected to \"{}\": {}", row.table, row.row, row.visit, row.field, row.old_value,
                        row.new_value, row.why)};
}
Described describe(const core::Visit& row)
{
    std::string text = fmt::format("visit to {}", row.serial);
    if (row.tag)
        text += fmt::format(" at {}", *row.tag);
    auto count = [&text, first = true](std::size_t n, std::string_view word) mutable {
        if (n == 0)
            return;
        text += fmt::format("{}{} {}{}", first ? ": " : ", ", n, word, n == 1 ? "" : "s");
        first = false;
    };
    count(row.readings.size(), "reading");
    count(row.grabs.size(), "grab sample");
    count(row.checks.size(), "check");
    count(row.actions.size(), "action");
    return {row.visit, row.serial, std::move(text)};
}
Described describe(const ShopName& row)
{
    return {row.shop, {}, fmt::format("the shop's name is {}", row.shop)};
}
Described describe(const RuleSetRow& row)
{
    return {row.id, {}, fmt::format("rule set {}", row.id)};
}
Described describe(const RuleAdoptionRow& row)
{
    return {row.id, {}, row.why ? fmt::format("rules {} adopted: {}", row.id, *row.why) : fmt::format("rules {} adopted", row.id)};
}

Described describe(const MergeRow& row)
{
    return {row.book, {}, fmt::format("merged {}: {} taken, {} known already, {} clashes", row.book, row.taken, row.unchanged, row.clashes)};
}
Described describe(const MergeVariant& row)
{
    return {row.clash.substr(0, 12), {}, fmt::format("kept beside the row that stands: content {} of {}", row.digest.substr(0, 12), row.rowKey)};
}
Described describe(const ClashSettlement& row)
{
    return {row.clash.substr(0, 12), {}, fmt::format("clash {} settled: {}", row.clash.substr(0, 12), row.why)};
}

}  // namespace halfcell::db
