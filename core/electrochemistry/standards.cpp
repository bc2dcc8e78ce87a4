#include "core/electrochemistry/standards.h"

#include "core/electrochemistry/reference_tables.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::core {
namespace {

constexpr std::string_view kKnownPhPrefix = "value:";
constexpr double kKnownPhLow_c = 0.0, kKnownPhHigh_c = 100.0;
/// What can be a pH at all; our choice, beyond every aqueous standard.
constexpr double kLeastPh = -2.0, kMostPh = 16.0;

std::optional<double> knownPh(std::string_view standard)
{
    if (!standard.starts_with(kKnownPhPrefix))
        return std::nullopt;
    const auto value = parseNumber(standard.substr(kKnownPhPrefix.size()));
    return value && *value >= kLeastPh && *value <= kMostPh ? std::optional(*value) : std::nullopt;
}

std::unexpected<Error> unknown(std::string_view standard)
{
    return failure(Errc::NotFound, fmt::format("\"{}\" is no standard this book knows", standard),
                   "use a shipped key, value:PH, or give the shop's own table in standards.csv");
}

}  // namespace

const StandardsBook& StandardsBook::shipped()
{
    static const StandardsBook book = with({}, {});
    return book;
}

StandardsBook StandardsBook::with(std::span<const StandardRow> ownTables, std::span<const Lot> lots)
{
    StandardsBook book;
    for (const ShippedTable& shipped : shippedBuffers()) {
        Table table;
        table.rows = shipped.rows;
        for (TableRow& row : table.rows) {
            row.u_bottle = std::max(row.u, kProcessBottleU);
            row.source = fmt::format("table {} ({})", shipped.key, row.source);
        }
        book.m_order.push_back(shipped.key);
        book.m_tables.emplace(shipped.key, std::move(table));
    }
    for (const ShippedTable& shipped : shippedRedox())
        book.m_order.push_back(shipped.key);

    // A shop's own table goes before the shipped one of the same key.
    std::map<std::string, std::vector<StandardRow>> own;
    for (const StandardRow& row : ownTables)
        own[row.standard].push_back(row);
    for (auto& [key, rows] : own) {
        std::ranges::stable_sort(rows, {}, &StandardRow::temp_degc);
        Table table;
        table.redox = std::ranges::all_of(rows, [](const StandardRow& r) { return r.mv.has_value() && !r.ph; });
        for (const StandardRow& row : rows) {
            const std::optional<double>& value = table.redox ? row.mv : row.ph;
            if (!value || (!table.rows.empty() && table.rows.back().temp_c == row.temp_degc))
                continue;
            const double u = row.u.value_or(table.redox ? kRedoxBottleU_mv : kProcessBottleU);
            table.rows.push_back({.temp_c = row.temp_degc,
                                  .value = *value,
                                  .u = u,
                                  .u_bottle = u,
                                  .source = fmt::format("the shop's own table {}", key),
                                  .sourceClass = SourceClass::Record});
        }
        if (table.rows.empty())
            continue;
        if (std::ranges::find(book.m_order, key) == book.m_order.end())
            book.m_order.push_back(key);
        book.m_tables.insert_or_assign(key, std::move(table));
    }
    for (const Lot& lot : lots) {
        LotEntry entry;
        entry.standard = lot.standard;
        entry.redox = lot.certified_mv || (lot.u_mv && !lot.certified_ph && !lot.u_ph);
        entry.certified = entry.redox ? lot.certified_mv : lot.certified_ph;
        entry.u = entry.redox ? lot.u_mv : lot.u_ph;
        book.m_lots.insert_or_assign(lot.lot, std::move(entry));
    }
    return book;
}

StandardKind StandardsBook::kindOf(std::string_view standard) const
{
    if (const auto it = m_tables.find(standard); it != m_tables.end())
        return it->second.redox ? StandardKind::Redox : StandardKind::PhBuffer;
    if (const ShippedTable* table = shippedRedoxTable(standard))
        return table->kind == "e0" ? StandardKind::Quinhydrone : StandardKind::Redox;
    if (knownPh(standard))
        return StandardKind::KnownPh;
    for (const auto& [lot, entry] : m_lots)
        if (entry.standard == standard && entry.certified)
            return entry.redox ? StandardKind::Redox : StandardKind::PhBuffer;
    return StandardKind::Unknown;
}

const StandardsBook::LotEntry* StandardsBook::lotOf(std::string_view standard, std::string_view lot) const
{
    const auto entry = m_lots.find(lot);
    return entry != m_lots.end() && entry->second.standard == standard ? &entry->second : nullptr;
}

Result<void> StandardsBook::shiftToLot(StandardValue& value, std::string_view standard, std::string_view lot, const LotEntry& entry,
                                       const Result<StandardValue>& at25, const char* unit) const
{
    if (entry.certified) {
        if (!at25)
            return failure(Errc::OutsideTable,
                           fmt::format("lot {} is certified at 25 °C, but the table of {} does not reach 25 °C", lot, standard),
                           "give the bottle's own table with a row at 25 °C");
        const double shift = *entry.certified - at25->value;
        value.value += shift;
        value.lowValue += shift;
        value.highValue += shift;
        value.source =
            fmt::format("lot {}: certified {} {} at 25 °C, course of the {}", lot, formatNumber(*entry.certified), unit, value.source);
        value.sourceClass = SourceClass::Record;
        if (!value.formula.empty())
            value.formula += fmt::format(" {} {} (lot)", shift < 0 ? "−" : "+", formatNumber(shift < 0 ? -shift : shift));
    }
    if (entry.u)
        value.u = *entry.u;
    return {};
}

Result<StandardValue> StandardsBook::ph(std::string_view standard, std::string_view lot, Celsius t) const
{
    if (const auto value = knownPh(standard)) {
        if (!(t.value() >= kKnownPhLow_c && t.value() <= kKnownPhHigh_c))
            return outsideTable(standard, t.value(), kKnownPhLow_c, kKnownPhHigh_c);
        StandardValue known;
        known.value = *value;
        known.u = kProcessBottleU;  // our choice: as a process bottle
        known.source = "pH stated for that temperature";
        known.sourceClass = SourceClass::Record;
        known.lowTemp = known.highTemp = t.value();
        known.lowValue = known.highValue = *value;
        return known;
    }
    const LotEntry* const entry = lotOf(standard, lot);
    const auto it = m_tables.find(standard);
    if (it == m_tables.end()) {
        if (shippedRedoxTable(standard) != nullptr)
            return failure(Errc::BadInput, fmt::format("{} is a redox standard, not a buffer", standard), "use a pH standard");
        if (entry == nullptr || entry->redox || !entry->certified)
            return unknown(standard);
        return valueOfLotAlone(standard, lot, *entry->certified, entry->u.value_or(kProcessBottleU), t);
    }
    const Table& table = it->second;
    if (table.redox)
        return failure(Errc::BadInput, fmt::format("{} is a redox standard, not a buffer", standard), "use a pH standard");
    Interpolated at;
    if (!interpolate(table.rows, t.value(), at))
        return outsideTable(standard, t.value(), table.rows.front().temp_c, table.rows.back().temp_c);
    StandardValue value = valueOf(std::move(at));
    if (entry != nullptr && !entry->redox)
        if (const auto shifted =
                shiftToLot(value, standard, lot, *entry, entry->certified ? ph(standard, {}, kStandardTemperature) : value, "pH");
            !shifted)
            return std::unexpected(shifted.error());
    return value;
}

std::vector<std::string> StandardsBook::keys() const
{
    return m_order;
}

std::optional<double> StandardsBook::nominalPh(std::string_view standard) const
{
    if (const auto value = knownPh(standard))
        return value;
    if (const ShippedTable* table = shippedRedoxTable(standard); table != nullptr && !table->buffer.empty())
        standard = table->buffer;
    if (standard.starts_with("ph"))
        if (const auto value = parseNumber(standard.substr(2)))
            return *value;
    const auto at25 = ph(standard, {}, kStandardTemperature);
    return at25 ? std::optional(at25->value) : std::nullopt;
}

std::string StandardsBook::words(std::string_view standard) const
{
    if (standard == "zobell")
        return "ferri/ferrocyanide (Zobell)";
    if (standard == "light")
        return "ferrous/ferric (Light)";
    if (standard == "quinhydrone_ph4")
        return "quinhydrone in pH 4.01";
    if (standard == "quinhydrone_ph7")
        return "quinhydrone in pH 7.00";
    if (standard.starts_with(kKnownPhPrefix))
        return fmt::format("known pH {}", standard.substr(kKnownPhPrefix.size()));
    if (standard.starts_with("ph") && standard.size() > 2 && standard[2] >= '0' && standard[2] <= '9')
        return fmt::format("pH {}", standard.substr(2));
    return std::string(standard);
}

std::vector<std::pair<double, double>> StandardsBook::table(std::string_view standard, std::string_view lot) const
{
    std::vector<std::pair<double, double>> rows;
    const auto add = [&](const std::vector<TableRow>& from, auto valueAt) {
        for (const TableRow& row : from)
            if (const auto value = valueAt(Celsius(row.temp_c)))
                rows.emplace_back(row.temp_c, value->value);
    };
    if (const auto it = m_tables.find(standard); it != m_tables.end())
        add(it->second.rows, [&](Celsius t) { return it->second.redox ? redox(standard, lot, t) : ph(standard, lot, t); });
    else if (const ShippedTable* shipped = shippedRedoxTable(standard))
        add(shipped->rows, [&](Celsius t) { return redox(standard, lot, t); });
    else if (const LotEntry* entry = lotOf(standard, lot); entry != nullptr && entry->certified)
        rows.emplace_back(kStandardTemperature.value(), *entry->certified);
    return rows;
}

}  // namespace halfcell::core
