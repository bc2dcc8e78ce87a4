#pragma once

#include "core/fleet/columns.h"
#include "core/quantity/number.h"

#include <cmath>

/// How one cell becomes a field and back, by the field's type. Internal to core/fleet.
namespace halfcell::core::cells {

inline Result<void> assign(std::string& field, std::string_view cell)
{
    field.assign(cell);
    return {};
}
inline Result<void> assign(Text& field, std::string_view cell)
{
    field.emplace(cell);
    return {};
}
inline Result<void> assign(double& field, std::string_view cell)
{
    const auto number = parseNumber(cell);
    if (!number)
        return std::unexpected(number.error());
    field = *number;
    return {};
}
inline Result<void> assign(std::optional<double>& field, std::string_view cell)
{
    double value = 0.0;
    auto done = assign(value, cell);
    if (done)
        field = value;
    return done;
}
inline Result<void> assign(Answered<double>& field, std::string_view cell)
{
    if (const auto answer = findKey<NoAnswer>(cell)) {
        field = Answered<double>(*answer);
        return {};
    }
    double value = 0.0;
    auto done = assign(value, cell);
    if (done)
        field = Answered<double>(value);
    return done;
}
inline Result<void> assign(int& field, std::string_view cell)
{
    const auto number = parseNumber(cell);
    if (!number)
        return std::unexpected(number.error());
    if (*number != std::floor(*number) || *number < 1.0 || *number > 1e6)
        return failure(Errc::BadInput, "a whole number from 1 is expected", "count from 1");
    field = static_cast<int>(*number);
    return {};
}
inline Result<void> assign(Instant& field, std::string_view cell)
{
    const auto instant = parseInstant(cell);
    if (!instant)
        return std::unexpected(instant.error());
    field = *instant;
    return {};
}
inline Result<void> assign(std::optional<Instant>& field, std::string_view cell)
{
    Instant value;
    auto done = assign(value, cell);
    if (done)
        field = value;
    return done;
}
inline Result<void> assign(std::optional<bool>& field, std::string_view cell)
{
    if (cell != "yes" && cell != "no")
        return failure(Errc::BadInput, fmt::format("\"{}\" is neither yes nor no", cell.substr(0, 40)), "write yes or no");
    field = cell == "yes";
    return {};
}
Result<void> assign(std::vector<std::string>& field, std::string_view cell);
/// `0:-3.1;10:95.4;20:141`: seconds and mV, from 0 s, ascending.
Result<void> assign(std::vector<SettlePoint>& field, std::string_view cell);

template <class E>
    requires std::is_enum_v<E>
Result<void> assign(E& field, std::string_view cell)
{
    const auto value = parseKey<E>(cell);
    if (!value)
        return std::unexpected(value.error());
    field = *value;
    return {};
}
template <class E>
    requires std::is_enum_v<E>
Result<void> assign(std::optional<E>& field, std::string_view cell)
{
    E value{};
    auto done = assign(value, cell);
    if (done)
        field = value;
    return done;
}

inline std::string text(const std::string& field) { return field; }
inline std::string text(const Text& field) { return field.value_or(std::string()); }
inline std::string text(double field) { return formatNumber(field); }
inline std::string text(const std::optional<double>& field) { return field ? formatNumber(*field) : std::string(); }
inline std::string text(const Answered<double>& field)
{
    if (field.value)
        return formatNumber(*field.value);
    return field.why ? std::string(keyOf(*field.why)) : std::string();
}
inline std::string text(int field) { return std::to_string(field); }
inline std::string text(const Instant& field) { return formatInstant(field); }
inline std::string text(const std::optional<Instant>& field) { return field ? formatInstant(*field) : std::string(); }
inline std::string text(const std::optional<bool>& field) { return field ? (*field ? "yes" : "no") : ""; }
std::string text(const std::vector<std::string>& field);
std::string text(const std::vector<SettlePoint>& field);
template <class E>
    requires std::is_enum_v<E>
std::string text(E field)
{
    return std::string(keyOf(field));
}
template <class E>
    requires std::is_enum_v<E>
std::string text(const std::optional<E>& field)
{
    return field ? std::string(keyOf(*field)) : std::string();
}

template <class Row, auto Member>
Result<void> set(Row& row, std::string_view cell)
{
    return assign(row.*Member, cell);
}
/// A number that must lie in [Low, High].
template <class Row, auto Member, double Low, double High>
Result<void> setWithin(Row& row, std::string_view cell)
{
    auto copy = row.*Member;
    auto done = assign(copy, cell);
    if (!done)
        return done;
    std::optional<double> value;
    if constexpr (requires { copy.value.has_value(); })
        value = copy.value;
    else
        value = copy;
    if (value && (*value < Low || *value > High))
        return failure(Errc::BadInput, fmt::format("{} is outside {} to {}", formatNumber(*value), formatNumber(Low), formatNumber(High)),
                       "check the digits and the unit of the column");
    row.*Member = copy;
    return {};
}
template <class Row, auto Member>
std::string get(const Row& row)
{
    return text(row.*Member);
}
template <class Row, auto Member>
void clear(Row& row)
{
    row.*Member = {};
}

}  // namespace halfcell::core::cells

/// Required, optional, and optional-within-a-range columns of `Row` (a name in scope).
#define HC_REQUIRED(name) \
    Column<Row> { #name, true, &cells::set<Row, &Row::name>, &cells::get<Row, &Row::name>, nullptr }
#define HC_OPTIONAL(name) \
    Column<Row> { #name, false, &cells::set<Row, &Row::name>, &cells::get<Row, &Row::name>, &cells::clear<Row, &Row::name> }
#define HC_WITHIN(name, low, high) \
    Column<Row> { #name, false, &cells::setWithin<Row, &Row::name, low, high>, &cells::get<Row, &Row::name>, &cells::clear<Row, &Row::name> }
#define HC_REQUIRED_WITHIN(name, low, high) \
    Column<Row> { #name, true, &cells::setWithin<Row, &Row::name, low, high>, &cells::get<Row, &Row::name>, nullptr }
