#include "core/electrochemistry/standards.h"

#include "core/electrochemistry/nernst.h"
#include "core/electrochemistry/reference_tables.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace halfcell::core {
namespace {

constexpr std::string_view kKnownPhPrefix = "value:";
/// Standard uncertainty of a value typed as `value:PH`: our choice, as a process bottle.
constexpr double kKnownPhU = kProcessBottleU;
constexpr double kKnownPhLow = 0.0, kKnownPhHigh = 100.0;

std::optional<double> knownPh(std::string_view standard)
{
    if (!standard.starts_with(kKnownPhPrefix))
        return std::nullopt;
    const auto value = parseNumber(standard.substr(kKnownPhPrefix.size()));
    return value ? std::optional(*value) : std::nullopt;
}

const ShippedTable* redoxTable(std::string_view key)
{
    const auto& tables = shippedRedox();
    const auto it = std::ranges::find(tables, key, &ShippedTable::key);
    return it == tables.end() ? nullptr : &*it;
}

std::unexpected<Error> outside(std::string_view standard, double temp, double low, double high)
{
    return failure(Errc::OutsideTable,
                   fmt::format("{} has no value at {} degC: its table runs {} to {} degC", standard, formatNumber(temp), formatNumber(low),
                               formatNumber(high)),
                   "read again inside the table, or type the bottle's own table");
}

std::unexpected<Error> unknown(std::string_view standard)
{
    return failure(Errc::NotFound, fmt::format("\"{}\" is no standard this book knows", standard),
                   "use a shipped key, value:PH, or give the shop's own table in standards.csv");
}

/// Rows of a table with the uncertainty of a bottle of it.
std::vector<TableRow> rowsOf(const std::vector<std::pair<double, double>>& pairs, const std::vector<double>& u)
{
    std::vector<TableRow> rows;
    rows.reserve(pairs.size());
    for (std::size_t i = 0; i < pairs.size(); ++i)
        rows.push_back({.temp_c = pairs[i].first, .value = pairs[i].second, .u = u[i], .u_bottle = u[i]});
    return rows;
}

StandardValue valueOf(const Interpolated& at)
{
    StandardValue value;
    value.value = at.value;
    value.u = at.u;
    value.perKelvin = at.perKelvin;
    value.lowTemp = at.lowTemp;
    value.lowValue = at.lowValue;
    value.highTemp = at.highTemp;
    value.highValue = at.highValue;
    return value;
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
        for (const TableRow& row : shipped.rows) {
            table.rows.emplace_back(row.temp_c, row.value);
            table.u.push_back(std::max(row.u, kProcessBottleU));
        }
        table.source = fmt::format("table {} ({})", shipped.key, shipped.source);
        table.sourceClass = shipped.sourceClass;
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
        table.own = true;
        table.redox = std::ranges::all_of(rows, [](const StandardRow& r) { return r.mv.has_value() && !r.ph; });
        for (const StandardRow& row : rows) {
            const std::optional<double>& value = table.redox ? row.mv : row.ph;
            if (!value || (!table.rows.empty() && table.rows.back().first == row.temp_degc))
                continue;
            table.rows.emplace_back(row.temp_degc, *value);
            table.u.push_back(row.u.value_or(table.redox ? 3.5 : kProcessBottleU));
        }
        if (table.rows.empty())
            continue;
        table.source = fmt::format("the shop's own table {}", key);
        table.sourceClass = SourceClass::Record;
        if (std::ranges::find(book.m_order, key) == book.m_order.end())
            book.m_order.push_back(key);
        book.m_tables.insert_or_assign(key, std::move(table));
    }
    for (const Lot& lot : lots) {
        LotEntry entry;
        entry.standard = lot.standard;
        entry.redox = lot.certified_mv.has_value();
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
    if (const ShippedTable* table = redoxTable(standard))
        return table->kind == "e0" ? StandardKind::Quinhydrone : StandardKind::Redox;
    return knownPh(standard) ? StandardKind::KnownPh : StandardKind::Unknown;
}

Result<StandardValue> StandardsBook::ph(std::string_view standard, std::string_view lot, Celsius t) const
{
    if (const auto value = knownPh(standard)) {
        if (!(t.value() >= kKnownPhLow && t.value() <= kKnownPhHigh))
            return outside(standard, t.value(), kKnownPhLow, kKnownPhHigh);
        StandardValue known;
        known.value = *value;
        known.u = kKnownPhU;
        known.source = "pH stated for that temperature";
        known.sourceClass = SourceClass::Record;
        known.lowTemp = known.highTemp = t.value();
        known.lowValue = known.highValue = *value;
        return known;
    }
    const auto it = m_tables.find(standard);
    if (it == m_tables.end()) {
        if (redoxTable(standard) != nullptr)
            return failure(Errc::BadInput, fmt::format("{} is a redox standard, not a buffer", standard), "use a pH standard");
        return unknown(standard);
    }
    const Table& table = it->second;
    if (table.redox)
        return failure(Errc::BadInput, fmt::format("{} is a redox standard, not a buffer", standard), "use a pH standard");
    const auto rows = rowsOf(table.rows, table.u);
    Interpolated at;
    if (!interpolate(rows, t.value(), at))
        return outside(standard, t.value(), rows.front().temp_c, rows.back().temp_c);
    StandardValue value = valueOf(at);
    value.source = table.source;
    value.sourceClass = table.sourceClass;
    const auto entry = m_lots.find(lot);
    if (entry != m_lots.end() && entry->second.standard == standard && !entry->second.redox) {
        if (entry->second.certified) {
            Interpolated at25;
            const double shift = interpolate(rows, kStandardTemperature.value(), at25) ? *entry->second.certified - at25.value : 0.0;
            value.value += shift;
            value.lowValue += shift;
            value.highValue += shift;
            value.source = fmt::format("lot {}, certified {} at 25 degC, course of {}", lot, formatNumber(*entry->second.certified), table.source);
            value.sourceClass = SourceClass::Record;
        }
        if (entry->second.u)
            value.u = *entry->second.u;
    }
    return value;
}

Result<StandardValue> StandardsBook::redox(std::string_view standard, std::string_view lot, Celsius t) const
{
    StandardValue value;
    const auto entry = m_lots.find(lot);
    const LotEntry* const mine = entry != m_lots.end() && entry->second.standard == standard ? &entry->second : nullptr;
    if (const auto it = m_tables.find(standard); it != m_tables.end()) {
        if (!it->second.redox)
            return failure(Errc::BadInput, fmt::format("{} is a buffer, not a redox standard", standard), "use a redox standard");
        const auto rows = rowsOf(it->second.rows, it->second.u);
        Interpolated at;
        if (!interpolate(rows, t.value(), at))
            return outside(standard, t.value(), rows.front().temp_c, rows.back().temp_c);
        value = valueOf(at);
        value.source = it->second.source;
        value.sourceClass = it->second.sourceClass;
    } else {
        const ShippedTable* const table = redoxTable(standard);
        if (table == nullptr)
            return unknown(standard);
        Interpolated at;
        if (!interpolate(table->rows, t.value(), at))
            return outside(standard, t.value(), table->rows.front().temp_c, table->rows.back().temp_c);
        value = valueOf(at);
        value.source = fmt::format("{} ({})", standard, table->source);
        value.sourceClass = table->sourceClass;
        value.u = std::max(at.u, at.u_bottle);
        if (const ShippedEquation* equation = table->kind == "potential" ? shippedEquation(standard) : nullptr) {
            value.value = equation->at(t.value());
            value.perKelvin = equation->slopeAt(t.value());
            value.lowTemp = value.highTemp = t.value();
            value.lowValue = value.highValue = value.value;
        } else if (table->kind == "e0") {
            // Quinhydrone: E = E0(t) - k(t) * pH of the buffer it stands in.
            const auto buffer = ph(table->buffer, {}, t);
            if (!buffer)
                return buffer;
            const double k = nernstSlopeUnchecked(t.kelvin());
            value.value = at.value - k * buffer->value;
            value.perKelvin = at.perKelvin - k * buffer->perKelvin - k / t.kelvin() * buffer->value;
            value.u = std::max(value.u, k * buffer->u);
            value.lowValue = value.highValue = value.value;
            value.lowTemp = value.highTemp = t.value();
            value.source = fmt::format("{} (E0 {} mV, {}; {})", standard, formatFixed(at.value, 1), table->source, buffer->source);
        }
    }
    if (mine != nullptr && mine->redox) {
        if (mine->certified) {
            const auto at25 = redox(standard, {}, kStandardTemperature);
            const double shift = at25 ? *mine->certified - at25->value : 0.0;
            value.value += shift;
            value.lowValue += shift;
            value.highValue += shift;
            value.source = fmt::format("lot {}, certified {} mV at 25 degC", lot, formatNumber(*mine->certified));
            value.sourceClass = SourceClass::Record;
        }
        if (mine->u)
            value.u = *mine->u;
    }
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
    if (const ShippedTable* table = redoxTable(standard); table != nullptr && !table->buffer.empty())
        standard = table->buffer;
    if (standard.starts_with("ph")) {
        const auto value = parseNumber(standard.substr(2));
        if (value)
            return *value;
    }
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
    if (const auto it = m_tables.find(standard); it != m_tables.end()) {
        rows = it->second.rows;
    } else if (const ShippedTable* table = redoxTable(standard)) {
        for (const TableRow& row : table->rows) {
            const auto value = redox(standard, {}, Celsius(row.temp_c));
            if (value)
                rows.emplace_back(row.temp_c, value->value);
        }
    }
    const auto entry = m_lots.find(lot);
    if (entry != m_lots.end() && entry->second.standard == standard && entry->second.certified) {
        const bool isRedox = entry->second.redox;
        const auto at25 = isRedox ? redox(standard, {}, kStandardTemperature) : ph(standard, {}, kStandardTemperature);
        if (at25)
            for (auto& row : rows)
                row.second += *entry->second.certified - at25->value;
    }
    return rows;
}

}  // namespace halfcell::core
