#include "db/mapping/foreign_cell.h"

#include "core/quantity/instant.h"
#include "core/quantity/number.h"
#include "db/sheets/utf8.h"
#include "db/sheets/workbook_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

constexpr std::array<std::string_view, 4> kBlanks = {" ", "\t", "\xC2\xA0", "\xE2\x80\xAF"};  // also U+00A0 and U+202F

std::unexpected<core::Error> bad(std::string detail, std::string remedy)
{
    return core::failure(Errc::BadInput, std::move(detail), std::move(remedy));
}

bool isDigit(char c)
{
    return c >= '0' && c <= '9';
}

struct NamedUnit {
    std::string_view quantity;  ///< ending of the field
    std::string_view word;      ///< in small letters
    ForeignUnit unit;
};

// Factors are those of the SI and of the degree Fahrenheit's definition.
constexpr NamedUnit kUnits[] = {
    {"mv", "mv", {}},
    {"mv", "millivolt", {}},
    {"mv", "millivolts", {}},
    {"mv", "v", {1000.0, 0.0}},
    {"mv", "volt", {1000.0, 0.0}},
    {"degc", "degc", {}},
    {"degc", "c", {}},
    {"degc", "°c", {}},
    {"degc", "deg c", {}},
    {"degc", "° c", {}},
    {"degc", "celsius", {}},
    {"degc", "°", {}},
    {"degc", "degf", {5.0 / 9.0, -32.0}},
    {"degc", "f", {5.0 / 9.0, -32.0}},
    {"degc", "°f", {5.0 / 9.0, -32.0}},
    {"degc", "deg f", {5.0 / 9.0, -32.0}},
    {"degc", "fahrenheit", {5.0 / 9.0, -32.0}},
    {"degc", "k", {1.0, -273.15}},
    {"degc", "kelvin", {1.0, -273.15}},
    {"pct", "%", {}},
    {"pct", "pct", {}},
    {"pct", "percent", {}},
    {"pct", "fraction", {100.0, 0.0}},
    {"s", "s", {}},
    {"s", "sec", {}},
    {"s", "secs", {}},
    {"s", "second", {}},
    {"s", "seconds", {}},
    {"s", "min", {60.0, 0.0}},
    {"s", "mins", {60.0, 0.0}},
    {"s", "minutes", {60.0, 0.0}},
    {"minutes", "min", {}},
    {"minutes", "mins", {}},
    {"minutes", "minutes", {}},
    {"minutes", "h", {60.0, 0.0}},
    {"minutes", "hours", {60.0, 0.0}},
    {"hours", "h", {}},
    {"hours", "hours", {}},
    {"hours", "min", {1.0 / 60.0, 0.0}},
    {"hours", "d", {24.0, 0.0}},
    {"hours", "days", {24.0, 0.0}},
    {"days", "d", {}},
    {"days", "days", {}},
    {"days", "weeks", {7.0, 0.0}},
    {"mohm", "mohm", {}},
    {"mohm", "mω", {}},
    {"mohm", "megohm", {}},
    {"mohm", "gohm", {1000.0, 0.0}},
    {"mohm", "gω", {1000.0, 0.0}},
    {"kohm", "kohm", {}},
    {"kohm", "kω", {}},
    {"kohm", "ohm", {0.001, 0.0}},
    {"kohm", "ω", {0.001, 0.0}},
    {"ph", "ph", {}},
};

std::string_view quantityOf(std::string_view field)
{
    const std::size_t at = field.rfind('_');
    return at == std::string_view::npos ? field : field.substr(at + 1);
}

/// A text's number and what stands behind it, in the source's own writing.
struct Split {
    std::string number, unit;
};

Split splitUnit(std::string_view text)
{
    std::size_t end = text.size();
    while (end > 0 && !isDigit(text[end - 1]))
        --end;
    // "12." and "1e" end in something other than a digit.
    if (end < text.size() && (text[end] == '.' || text[end] == ',') && end + 1 == text.size())
        ++end;
    return {std::string(trimmedCell(text.substr(0, end))), std::string(trimmedCell(text.substr(end)))};
}

/// Takes the thousands marks out; nullopt where they do not stand as such marks do.
std::optional<std::string> withoutThousands(std::string_view text, const Mapping& mapping)
{
    std::vector<std::string_view> marks;
    if (mapping.thousands == " ")
        marks.assign(kBlanks.begin(), kBlanks.end());
    else if (!mapping.thousands.empty())
        marks.push_back(mapping.thousands);
    if (mapping.thousands == "'")
        marks.push_back("\xE2\x80\x99");
    const std::size_t decimals = text.find(mapping.decimal);
    std::string out;
    int sinceMark = -1;  // digits since the last mark; -1: none yet
    int digits = 0;
    for (std::size_t i = 0; i < text.size();) {
        const auto mark = std::ranges::find_if(marks, [&](std::string_view m) { return text.substr(i).starts_with(m); });
        if (mark != marks.end()) {
            if (i > decimals || digits == 0 || (sinceMark >= 0 ? sinceMark != 3 : digits > 3))
                return std::nullopt;
            sinceMark = 0;
            i += mark->size();
            continue;
        }
        if (i == decimals && sinceMark >= 0 && sinceMark != 3)
            return std::nullopt;
        if (isDigit(text[i]) && i < decimals) {
            ++digits;
            sinceMark += sinceMark >= 0 ? 1 : 0;
        }
        out += text[i++];
    }
    if (sinceMark >= 0 && decimals == std::string_view::npos && sinceMark != 3)
        return std::nullopt;
    return out;
}

}  // namespace

std::string_view trimmedCell(std::string_view text)
{
    for (bool more = true; more;) {
        more = false;
        for (const std::string_view blank : kBlanks) {
            while (text.starts_with(blank)) {
                text.remove_prefix(blank.size());
                more = true;
            }
            while (text.ends_with(blank)) {
                text.remove_suffix(blank.size());
                more = true;
            }
        }
    }
    return text;
}

std::string lowerCase(std::string_view text)
{
    std::string out(text);
    for (char& c : out)
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c + 32);
    // The only capital beyond ASCII that units need.
    for (std::size_t at = 0; (at = out.find("\xCE\xA9", at)) != std::string::npos;)
        out.replace(at, 2, "\xCF\x89");
    for (std::size_t at = 0; (at = out.find("\xE2\x84\xA6", at)) != std::string::npos;)
        out.replace(at, 3, "\xCF\x89");
    return out;
}

const ForeignUnit* unitNamed(std::string_view field, std::string_view word)
{
    const std::string lower = lowerCase(trimmedCell(word));
    const std::string_view quantity = quantityOf(field);
    for (const NamedUnit& known : kUnits)
        if (known.quantity == quantity && known.word == lower)
            return &known.unit;
    return nullptr;
}

Result<std::string> foreignNumber(const SheetCell& cell, std::string_view field, std::string_view unit, const Mapping& mapping)
{
    Split split = cell.kind == SheetCell::Kind::Number ? Split{cell.text, {}} : splitUnit(trimmedCell(cell.text));
    // "pH 7.02" says its unit before the number.
    if (lowerCase(split.number).starts_with("ph"))
        split.number = std::string(trimmedCell(std::string_view(split.number).substr(2)));
    if (split.number.empty())
        return bad(fmt::format("\"{}\" is no number", shortened(cell.text, 40)),
                   "type the number; if the word stands for no value, list it in the mapping under empty");
    ForeignUnit used;
    if (const std::string_view word = split.unit.empty() ? unit : std::string_view(split.unit); !word.empty()) {
        const ForeignUnit* named = unitNamed(field, word);
        if (named == nullptr && split.unit == word &&
            std::ranges::all_of(word, [](char c) { return std::string_view("()[]+-*").find(c) != std::string_view::npos; }))
            return bad(fmt::format("\"{}\" is no number: \"{}\" stands behind the digits", shortened(cell.text, 40), word),
                       "write a minus before the number; a mark belongs in a column of its own");
        if (named == nullptr)
            return bad(fmt::format("\"{}\" is no unit of {}", shortened(word, 20), field),
                       "take it out of the cell, or name the unit in the mapping");
        used = *named;
    }
    std::string plain = split.number;
    if (cell.kind != SheetCell::Kind::Number) {
        auto bare = withoutThousands(plain, mapping);
        if (!bare)
            return bad(fmt::format("\"{}\" has a thousands mark where none can stand", shortened(cell.text, 40)),
                       "check the number, and the decimal sign and thousands mark of the mapping");
        plain = std::move(*bare);
        if (mapping.decimal == ',') {
            if (plain.find('.') != std::string::npos)
                return bad(fmt::format("\"{}\" has a point, but the mapping says that decimals follow a comma", shortened(cell.text, 40)),
                           "check the number, and the decimal sign and thousands mark of the mapping");
            std::ranges::replace(plain, ',', '.');
        }
    }
    auto value = core::parseNumber(plain);
    if (!value)
        return std::unexpected(value.error());
    if (used.factor == 1.0 && used.shift == 0.0)
        return core::formatNumber(*value);
    // Twelve digits are more than any reading has, and take away what the conversion adds in the last places.
    const auto converted = core::parseNumber(fmt::format("{:.12g}", (*value + used.shift) * used.factor));
    if (!converted)
        return std::unexpected(converted.error());
    return core::formatNumber(*converted);
}

Result<std::string> foreignTruth(std::string_view text)
{
    const std::string word = lowerCase(trimmedCell(text));
    for (const std::string_view yes : {"yes", "y", "true", "1", "x", "ok"})
        if (word == yes)
            return std::string("yes");
    for (const std::string_view no : {"no", "n", "false", "0"})
        if (word == no)
            return std::string("no");
    return bad(fmt::format("\"{}\" is neither yes nor no", shortened(text, 40)),
               "write yes or no, or list the word in the mapping under words");
}

}  // namespace halfcell::db
