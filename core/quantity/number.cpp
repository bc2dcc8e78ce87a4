#include "core/quantity/number.h"

#include <fmt/format.h>

#include <array>
#include <cassert>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <optional>

namespace halfcell::core {
namespace {

std::string_view trimmed(std::string_view text)
{
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
        text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t'))
        text.remove_suffix(1);
    return text;
}

/// A number of digits and at most one point, short enough that its digits and the power of ten are exact in double precision: one
/// division then rounds as the standard asks (IEEE 754, correctly rounded division). Nothing for every other text.
std::optional<double> shortNumber(std::string_view text)
{
    constexpr std::array<double, 16> kPowers = {1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    if (text.size() >= kPowers.size() || text.empty())
        return std::nullopt;
    const bool negative = text.front() == '-';
    std::int64_t digits = 0;
    std::size_t point = text.size();
    for (std::size_t i = negative ? 1 : 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c >= '0' && c <= '9')
            digits = digits * 10 + (c - '0');
        else if (c == '.' && point == text.size() && i + 1 < text.size())
            point = i;
        else
            return std::nullopt;
    }
    if (negative && text.size() == 1)
        return std::nullopt;
    const std::size_t decimals = point == text.size() ? 0 : text.size() - point - 1;
    const double value = static_cast<double>(digits) / kPowers[decimals];
    return negative ? -value : value;
}

std::unexpected<Error> notANumber(std::string_view text, std::string_view why, std::string remedy)
{
    return failure(Errc::BadInput, fmt::format("\"{}\" is no number: {}", text.substr(0, 40), why), std::move(remedy));
}

}  // namespace

Result<double> parseNumber(std::string_view text)
{
    if (const auto value = shortNumber(text))
        return *value;
    const std::string_view whole = text;
    text = trimmed(text);
    if (text.empty())
        return notANumber(whole, "it is blank", "type the number");
    bool negative = false;
    bool signSeen = false;
    constexpr std::string_view kMinus = "\xE2\x88\x92";
    for (;;) {
        if (text.starts_with('+') || text.starts_with('-')) {
            if (signSeen)
                return notANumber(whole, "two signs", "type the sign once");
            negative = text.front() == '-';
            text.remove_prefix(1);
        } else if (text.starts_with(kMinus)) {
            if (signSeen)
                return notANumber(whole, "two signs", "type the sign once");
            negative = true;
            text.remove_prefix(kMinus.size());
        } else {
            break;
        }
        signSeen = true;
    }
    double value = 0.0;
    const char* const first = text.data();
    const char* const last = text.data() + text.size();
    if (text.empty() || !((*first >= '0' && *first <= '9') || *first == '.'))
        return notANumber(whole, "digits expected", "type digits with a point as decimal sign");
    const auto [end, ec] = std::from_chars(first, last, value);
    if (ec == std::errc::result_out_of_range || !std::isfinite(value))
        return notANumber(whole, "too large or too small", "check the digits");
    if (ec != std::errc())
        return notANumber(whole, "digits expected", "type digits with a point as decimal sign");
    if (end != last) {
        if (*end == ',')
            return notANumber(whole, "a comma stands in it", "write the decimal sign as a point, or import with a mapping");
        return notANumber(
            whole, fmt::format("\"{}\" follows the digits", std::string_view(end, static_cast<std::size_t>(last - end)).substr(0, 20)),
            "the column fixes the unit: type the number alone");
    }
    return negative ? -value : value;
}

std::string formatNumber(double value)
{
    assert(std::isfinite(value));
    if (value == 0.0)
        return "0";
    char buffer[32];
    const auto [end, ec] = std::to_chars(buffer, buffer + sizeof buffer, value);
    assert(ec == std::errc());
    return std::string(buffer, end);
}

std::string formatFixed(double value, int decimals)
{
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.starts_with('-') && text.find_first_of("123456789") == std::string::npos)
        text.erase(0, 1);
    return text;
}

std::string formatSigned(double value, int decimals)
{
    std::string text = formatFixed(value, decimals);
    if (!text.starts_with('-') && text.find_first_of("123456789") != std::string::npos)
        text.insert(0, 1, '+');
    return text;
}

}  // namespace halfcell::core
