#include "db/mapping/foreign_cell.h"
#include "db/mapping/guess_parts.h"

#include "core/quantity/number.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace halfcell::db::guess {

namespace {

struct Synonym {
    std::string_view field;
    std::string_view words;  ///< in small letters, single blanks
};

// What shops write over their columns, common practice; the first that fits is taken.
constexpr Synonym kSynonyms[] = {
    {"serial", "serial"},
    {"serial", "serial no"},
    {"serial", "serial number"},
    {"serial", "s n"},
    {"serial", "sn"},
    {"serial", "sensor"},
    {"serial", "sensor no"},
    {"serial", "sensor serial"},
    {"serial", "sensor id"},
    {"serial", "probe"},
    {"serial", "probe no"},
    {"serial", "probe id"},
    {"serial", "probe serial"},
    {"serial", "electrode"},
    {"serial", "electrode no"},
    {"serial", "sensor serial number"},
    {"tag", "tag"},
    {"tag", "tag no"},
    {"tag", "point"},
    {"tag", "measuring point"},
    {"tag", "loop"},
    {"tag", "loop tag"},
    {"tag", "instrument tag"},
    {"when", "date"},
    {"when", "when"},
    {"when", "date time"},
    {"when", "datetime"},
    {"when", "timestamp"},
    {"when", "date and time"},
    {"when", "calibrated"},
    {"when", "calibration date"},
    {"when", "cal date"},
    {"when", "date of calibration"},
    {"when", "measured"},
    {"when", "day"},
    {"time", "time"},
    {"time", "time of day"},
    {"time", "clock"},
    {"time", "hour"},
    {"person", "person"},
    {"person", "by"},
    {"person", "technician"},
    {"person", "tech"},
    {"person", "operator"},
    {"person", "initials"},
    {"person", "done by"},
    {"person", "measured by"},
    {"person", "calibrated by"},
    {"person", "who"},
    {"reason", "reason"},
    {"phase", "phase"},
    {"phase", "state"},
    {"phase", "before after"},
    {"phase", "as found as left"},
    {"standard", "standard"},
    {"standard", "buffer"},
    {"standard", "solution"},
    {"standard", "standard solution"},
    {"standard", "buffer ph"},
    {"mv", "mv"},
    {"mv", "millivolt"},
    {"mv", "millivolts"},
    {"mv", "reading"},
    {"mv", "reading mv"},
    {"mv", "potential"},
    {"mv", "potential mv"},
    {"temp_degc", "temp"},
    {"temp_degc", "temperature"},
    {"temp_degc", "temp c"},
    {"temp_degc", "t"},
    {"temp_degc", "solution temp"},
    {"temp_degc", "buffer temp"},
    {"temp_degc", "deg c"},
    {"temp_degc", "deg f"},
    {"wait_s", "wait"},
    {"wait_s", "seconds"},
    {"wait_s", "wait time"},
    {"wait_s", "settling time"},
    {"t90_s", "t90"},
    {"t90_s", "response"},
    {"t90_s", "response time"},
    {"t90_s", "speed of response"},
    {"efficiency_pct", "efficiency"},
    {"efficiency_pct", "eff"},
    {"efficiency_pct", "slope efficiency"},
    {"efficiency_pct", "slope"},
    {"efficiency_pct", "slope pct"},
    {"efficiency_pct", "slope percent"},
    {"efficiency_pct", "sensitivity"},
    {"offset_mv", "offset"},
    {"offset_mv", "zero offset"},
    {"offset_mv", "zero"},
    {"offset_mv", "asymmetry"},
    {"offset_mv", "asymmetry potential"},
    {"offset_mv", "offset at ph 7"},
    {"offset_mv", "mv offset"},
    {"lot", "lot"},
    {"lot", "batch"},
    {"lot", "lot no"},
    {"lot", "batch no"},
    {"note", "note"},
    {"note", "notes"},
    {"remark", "remark"},
    {"remark", "remarks"},
    {"remark", "comment"},
    {"remark", "comments"},
    {"model", "type"},
    {"model", "sensor type"},
    {"model", "sensor model"},
    {"bought", "purchased"},
    {"bought", "purchase date"},
};

/// Small letters; everything that is no letter, digit, point or sign is one blank.
std::string plain(std::string_view name)
{
    std::string out;
    const std::string lower = lowerCase(name);
    for (std::size_t i = 0; i < lower.size(); ++i) {
        const char c = lower[i];
        const bool kept = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80U ||
                          ((c == '.' || c == ',') && i > 0 && i + 1 < lower.size() && lower[i - 1] >= '0' && lower[i - 1] <= '9' &&
                           lower[i + 1] >= '0' && lower[i + 1] <= '9');
        if (kept)
            out += c == ',' ? '.' : c;
        else if (!out.empty() && out.back() != ' ')
            out += ' ';
    }
    while (out.ends_with(' '))
        out.pop_back();
    return out;
}

std::vector<std::string> wordsOf(const std::string& text)
{
    std::vector<std::string> words;
    std::string word;
    const auto kindOf = [](char c) { return (c >= '0' && c <= '9') || c == '.' ? 1 : 0; };
    // Letters and digits are apart: "ph7" is "ph" and "7", but "t90" is one word.
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == ' ' || (!word.empty() && kindOf(word.back()) != kindOf(c) && word != "t")) {
            if (!word.empty())
                words.push_back(word);
            word.clear();
        }
        if (c != ' ')
            word += c;
    }
    if (!word.empty())
        words.push_back(word);
    return words;
}

std::string fieldByWords(const std::string& text)
{
    for (const Synonym& synonym : kSynonyms)
        if (!synonym.words.empty() && synonym.words == text)
            return std::string(synonym.field);
    return {};
}

/// A name of the public tables itself.
bool isOurs(std::string_view name)
{
    for (std::size_t i = 0; i < kPublicTables; ++i)
        if (const auto columns = publicColumns(static_cast<PublicTable>(i));
            std::ranges::find(columns, name, &PublicColumn::name) != columns.end())
            return true;
    return false;
}

constexpr std::array<std::string_view, 20> kUnitWords = {"mv", "v",       "c",       "°c",         "degc", "deg",     "f",
                                                         "°f", "degf",    "s",       "sec",        "pct",  "percent", "min",
                                                         "h",  "seconds", "celsius", "fahrenheit", "ph",   "°"};

/// "dd.mm.yyyy" taken out of a name.
std::string withoutPattern(const std::string& text)
{
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        if (const std::string word = text.substr(at, end - at); !isDatePattern(word))
            out += (out.empty() ? "" : " ") + word;
        at = end + 1;
    }
    return out;
}

}  // namespace

bool isUnitWord(std::string_view text)
{
    std::string word = lowerCase(trimmedCell(text));
    if (word.size() > 2 && (word.front() == '(' || word.front() == '[') && (word.back() == ')' || word.back() == ']'))
        word = word.substr(1, word.size() - 2);
    return word == "%" || word == "mv/ph" || std::ranges::find(kUnitWords, word) != kUnitWords.end();
}

bool isDatePattern(std::string_view text)
{
    std::string letters;
    for (const char c : lowerCase(trimmedCell(text))) {
        if (std::string_view("dmyhs").find(c) != std::string_view::npos)
            letters += c;
        else if (std::string_view("./-: ").find(c) == std::string_view::npos)
            return false;
    }
    return letters.find("dd") != std::string::npos || letters.find("yy") != std::string::npos || letters.find("hh") != std::string::npos ||
           letters == "mm";
}

std::string phaseMeant(std::string_view text)
{
    const std::string word = plain(text);
    if (word.empty())
        return {};
    const auto has = [&](std::string_view part) { return word.find(part) != std::string::npos; };
    if (has("after clean") || has("cleaned"))
        return "after_clean";
    if (has("found") || has("before"))
        return "as_found";
    if (has("left") || has("after"))
        return "as_left";
    return {};
}

std::string standardMeant(std::string_view text, bool* doubt)
{
    const std::string word = plain(text);
    for (const char* key : {"zobell", "light", "quinhydrone_ph4", "quinhydrone_ph7"})
        if (lowerCase(trimmedCell(text)) == key)
            return key;
    const auto words = wordsOf(word);
    double ph = 0.0;
    std::string digits;
    for (const std::string& part : words) {
        if (part == "ph" || part == "buffer" || part == "standard")
            continue;
        const auto number = core::parseNumber(part);
        if (!number || !digits.empty())
            return {};
        ph = *number;
        digits = part;
    }
    if (digits.empty())
        return {};
    struct Known {
        double ph;
        const char* key;
    };
    // Whole numbers are what people say; 4 is the technical 4.01 and 10 is 10.01 on most bottles.
    constexpr Known kKnown[] = {{1.68, "ph1.68"}, {4.0, "ph4.01"},   {4.01, "ph4.01"},   {6.86, "ph6.86"},  {7.0, "ph7.00"},
                                {9.18, "ph9.18"}, {10.0, "ph10.01"}, {10.01, "ph10.01"}, {12.45, "ph12.45"}};
    if (digits == "4.00" || digits == "4.0")
        return "ph4.00";
    for (const Known& known : kKnown)
        if (std::abs(known.ph - ph) < 1e-9) {
            if (doubt != nullptr && digits == "4")
                *doubt = true;
            return known.key;
        }
    return ph > 0.0 && ph < 14.0 ? "value:" + digits : std::string();
}

Column columnNamed(std::string_view name)
{
    Column column{.name = std::string(name), .field = {}, .standardPh = {}, .standardText = {}, .phase = {}};
    const std::string lower = lowerCase(trimmedCell(name));
    if (isOurs(lower)) {
        column.field = lower;
        return column;
    }
    // The unit in brackets says nothing about what it is, but that of a slope may.
    std::string bare(name);
    std::string inBrackets;
    if (const std::size_t open = bare.find_last_of("([");
        open != std::string::npos && open > 0 && bare.find_last_of(")]") != std::string::npos && bare.find_last_of(")]") > open) {
        const std::size_t close = bare.find_last_of(")]");
        inBrackets = plain(std::string_view(bare).substr(open + 1, close - open - 1));
        bare.erase(open, close - open + 1);
    }
    const std::string text = withoutPattern(plain(bare));
    column.field = fieldByWords(text);
    if (column.field == "efficiency_pct" && (inBrackets == "mv ph" || lower.find("mv/ph") != std::string::npos))
        column.field.clear();  // a slope in mV per pH is no efficiency without its temperature
    if (!column.field.empty())
        return column;

    auto words = wordsOf(plain(std::string(bare) + " " + inBrackets));
    column.phase = phaseMeant(text);
    std::set<std::string> rest;
    for (const std::string& word : words) {
        if (const auto number = core::parseNumber(word); number && *number > 0.0 && *number < 14.0) {
            if (column.standardPh)
                return {.name = std::string(name), .field = {}, .standardPh = {}, .standardText = {}, .phase = {}};
            column.standardPh = *number;
            column.standardText = word;
        } else {
            rest.insert(word);
        }
    }
    const auto has = [&](std::initializer_list<const char*> any) {
        return std::ranges::any_of(any, [&](const char* w) { return rest.contains(w); });
    };
    if (has({"temp", "temperature", "degc", "degf", "°c", "°f"}))
        column.field = "temp_degc";
    else if (has({"t90", "response"}))
        column.field = "t90_s";
    else if (has({"wait", "seconds", "sec"}))
        column.field = "wait_s";
    else if (has({"lot", "batch"}))
        column.field = "lot";
    else if (column.standardPh && (has({"mv", "millivolt", "millivolts"}) || (has({"ph", "buffer"}) && rest.size() <= 3)))
        column.field = "mv";
    if (column.field.empty()) {
        // The last word may be the unit: "offset mV", "efficiency %", "temp F".
        auto known = wordsOf(text);
        while (known.size() > 1 && std::ranges::find(kUnitWords, known.back()) != kUnitWords.end()) {
            known.pop_back();
            std::string shorter;
            for (const std::string& word : known)
                shorter += (shorter.empty() ? "" : " ") + word;
            if (column.field = fieldByWords(shorter); !column.field.empty())
                break;
        }
        column.standardPh.reset();
    }
    if (column.field.empty())
        column.phase.clear();
    return column;
}

std::size_t likeOurs(const std::vector<std::string>& names)
{
    std::set<std::string> fields;
    std::size_t readings = 0;
    for (const std::string& name : names) {
        const Column column = columnNamed(name);
        if (column.standardPh)
            ++readings;
        else if (!column.field.empty())
            fields.insert(column.field);
    }
    return fields.size() + readings;
}

}  // namespace halfcell::db::guess
