#include "core/electrochemistry/nernst.h"
#include "core/electrochemistry/reference_tables.h"
#include "core/electrochemistry/standards.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core {
namespace {

std::string term(double coefficient, const std::string& what)
{
    if (coefficient == 0.0)
        return {};
    return fmt::format(" {} {} · {}", coefficient < 0 ? "−" : "+", formatNumber(std::fabs(coefficient)), what);
}

/// "E = 430.28 − 2.5157 · (t − 25) − 0.0037979 · (t − 25)²"
std::string formulaOf(const ShippedEquation& e)
{
    const std::string x = e.t0 == 0.0 ? "t" : fmt::format("(t − {})", formatNumber(e.t0));
    return "E = " + formatNumber(e.a) + term(e.b, x) + term(e.c, x + "²") + term(e.d, x + "³");
}

void fromEquation(StandardValue& value, const ShippedEquation& equation, double temp_c)
{
    value.value = equation.at(temp_c);
    value.perKelvin = equation.slopeAt(temp_c);
    value.lowTemp = value.highTemp = temp_c;
    value.lowValue = value.highValue = value.value;
    value.formula = formulaOf(equation);
}

/// Quinhydrone: E = E0(t) - k(t) * pH of the buffer it stands in.
void fromBuffer(StandardValue& value, const StandardValue& buffer, Celsius t)
{
    const double e0 = value.value;
    const double k = nernstSlopeUnchecked(t.kelvin());
    value.value = e0 - k * buffer.value;
    value.perKelvin = value.perKelvin - k * buffer.perKelvin - k / t.kelvin() * buffer.value;
    value.u = std::max(value.u, k * buffer.u);
    value.lowTemp = value.highTemp = t.value();
    value.lowValue = value.highValue = value.value;
    value.formula = fmt::format("E = E0 − k · pH = {} − {} · {}", formatNumber(e0), formatNumber(k), formatNumber(buffer.value));
    value.source += "; " + buffer.source;
}

}  // namespace

Result<StandardValue> StandardsBook::redox(std::string_view standard, std::string_view lot, Celsius t) const
{
    StandardValue value;
    const LotEntry* const entry = lotOf(standard, lot);
    if (const auto it = m_tables.find(standard); it != m_tables.end()) {
        const Table& table = it->second;
        if (!table.redox)
            return failure(Errc::BadInput, fmt::format("{} is a buffer, not a redox standard", standard), "use a redox standard");
        Interpolated at;
        if (!interpolate(table.rows, t.value(), at))
            return outsideTable(standard, t.value(), table.rows.front().temp_c, table.rows.back().temp_c);
        value = valueOf(std::move(at));
    } else if (const ShippedTable* const table = shippedRedoxTable(standard)) {
        Interpolated at;
        if (!interpolate(table->rows, t.value(), at))
            return outsideTable(standard, t.value(), table->rows.front().temp_c, table->rows.back().temp_c);
        value = valueOf(std::move(at));
        value.source = fmt::format("{} ({})", words(standard), value.source);
        if (table->kind == "e0") {
            const auto buffer = ph(table->buffer, {}, t);
            if (!buffer)
                return buffer;
            fromBuffer(value, *buffer, t);
        } else if (const ShippedEquation* const equation = shippedEquation(standard)) {
            fromEquation(value, *equation, t.value());
        }
    } else {
        if (kindOf(standard) == StandardKind::KnownPh || (entry != nullptr && !entry->redox))
            return failure(Errc::BadInput, fmt::format("{} is a pH, not a redox standard", standard), "use a redox standard");
        if (entry == nullptr || !entry->certified)
            return failure(Errc::NotFound, fmt::format("\"{}\" is no standard this book knows", standard),
                           "use a shipped key, or give the shop's own table in standards.csv");
        return valueOfLotAlone(standard, lot, *entry->certified, entry->u.value_or(kRedoxBottleU_mv), t);
    }
    if (entry != nullptr && entry->redox)
        if (const auto shifted =
                shiftToLot(value, standard, lot, *entry, entry->certified ? redox(standard, {}, kStandardTemperature) : value, "mV");
            !shifted)
            return std::unexpected(shifted.error());
    return value;
}

}  // namespace halfcell::core
