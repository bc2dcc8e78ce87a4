#include "db/mapping/foreign_cell.h"
#include "db/mapping/mapping.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <set>
#include <sstream>

namespace halfcell::db {

using core::Errc;
using core::Error;
using core::Result;

namespace {

constexpr std::pair<DateOrder, std::string_view> kDateOrders[] = {
    {DateOrder::YearMonthDay, "year-month-day"}, {DateOrder::DayMonthYear, "day-month-year"}, {DateOrder::MonthDayYear, "month-day-year"}};

/// Something in the text is not as it should be; caught by mappingFromToml.
struct Wrong {
    Error error;
};

[[noreturn]] void wrong(const toml::node& at, std::string field, std::string detail, std::string remedy)
{
    Error error{.code = Errc::BadInput, .detail = std::move(detail), .field = std::move(field), .remedy = std::move(remedy)};
    if (at.source().begin)
        error.line = at.source().begin.line;
    throw Wrong{std::move(error)};
}

std::string text(const toml::node& node, const std::string& field)
{
    const auto value = node.value_exact<std::string>();
    if (!value)
        wrong(node, field, field + " is no text", "write it in quotes");
    return *value;
}

std::int64_t whole(const toml::node& node, const std::string& field, std::int64_t least, std::int64_t most)
{
    const auto value = node.value_exact<std::int64_t>();
    if (!value || *value < least || *value > most)
        wrong(node, field, fmt::format("{} is no whole number from {} to {}", field, least, most), "write such a number");
    return *value;
}

const toml::table& tableAt(const toml::node& node, const std::string& field)
{
    const toml::table* table = node.as_table();
    if (table == nullptr)
        wrong(node, field, field + " is no table", fmt::format("write [{}] and lines of name = value under it", field));
    return *table;
}

std::vector<std::string> texts(const toml::node& node, const std::string& field)
{
    std::vector<std::string> list;
    if (const toml::array* array = node.as_array()) {
        for (const toml::node& item : *array)
            list.push_back(text(item, field));
        return list;
    }
    list.push_back(text(node, field));
    return list;
}

/// The column a table of ours has under a name, whichever table; for fields that every row made shares.
bool isFieldOfAny(std::string_view name)
{
    for (std::size_t i = 0; i < kPublicTables; ++i)
        if (const auto columns = publicColumns(static_cast<PublicTable>(i));
            std::ranges::find(columns, name, &PublicColumn::name) != columns.end())
            return true;
    return false;
}

void checkField(const toml::node& node, const std::string& name, const std::optional<PublicTable>& table)
{
    if (!table) {
        if (!isFieldOfAny(name))
            wrong(node, name, fmt::format("no table has a column \"{}\"", name), "use the names of the public tables' columns");
        return;
    }
    const auto columns = publicColumns(*table);
    if (std::ranges::find(columns, name, &PublicColumn::name) != columns.end())
        return;
    std::string names;
    for (const PublicColumn& column : columns)
        names += fmt::format("{}{}", names.empty() ? "" : " ", column.name);
    wrong(node, name, fmt::format("{} has no column \"{}\"", nameOf(*table), name), "name it as one of: " + names);
}

std::vector<MappedField> fieldsOf(const toml::node& node, const std::optional<PublicTable>& table)
{
    std::vector<MappedField> fields;
    for (const auto& [key, value] : tableAt(node, "columns")) {
        MappedField field{.field = std::string(key.str()), .columns = {}, .unit = {}};
        checkField(value, field.field, table);
        if (const toml::table* parts = value.as_table()) {
            for (const auto& [name, part] : *parts) {
                const std::string where = fmt::format("{}.{}", field.field, name.str());
                if (name == "column") {
                    field.columns = texts(part, where);
                } else if (name == "unit") {
                    field.unit = text(part, where);
                    if (unitNamed(field.field, field.unit) == nullptr)
                        wrong(part, where, fmt::format("\"{}\" is no unit of {}", field.unit, field.field),
                              "leave the unit out, or write one of that quantity");
                } else if (name == "words") {
                    for (const auto& [from, to] : tableAt(part, where))
                        field.words.emplace_back(std::string(from.str()), text(to, where));
                } else {
                    wrong(part, where, fmt::format("there is no \"{}\" here", name.str()), "column, unit and words can stand here");
                }
            }
        } else {
            field.columns = texts(value, field.field);
        }
        if (field.columns.empty() || std::ranges::find(field.columns, std::string()) != field.columns.end())
            wrong(value, field.field, "it names no column", "write the name of a column of the file");
        fields.push_back(std::move(field));
    }
    return fields;
}

Constants constantsOf(const toml::node& node, const std::optional<PublicTable>& table)
{
    Constants constants;
    for (const auto& [key, value] : tableAt(node, "constants")) {
        const std::string name(key.str());
        checkField(value, name, table);
        constants.emplace_back(name, text(value, name));
    }
    return constants;
}

char oneCharacter(const toml::node& node, const std::string& field)
{
    std::string value = text(node, field);
    if (value == "tab")
        value = "\t";
    if (value.size() != 1 || value == "\"" || value == "\n" || value == "\r")
        wrong(node, field, field + " is one character", "write , or ; or | or tab");
    return value.front();
}

void readSource(const toml::table& source, Mapping& mapping)
{
    for (const auto& [key, node] : source) {
        const std::string name(key.str());
        if (name == "encoding") {
            mapping.encoding = encodingNamed(text(node, name));
            if (!mapping.encoding)
                wrong(node, name, "this encoding is not known", "write utf-8, utf-16le, utf-16be or windows-1252, or leave it out");
        } else if (name == "separator") {
            mapping.separator = oneCharacter(node, name);
        } else if (name == "sheet") {
            mapping.sheet = text(node, name);
        } else if (name == "header_line") {
            mapping.headerLine = static_cast<std::size_t>(whole(node, name, 1, 1000));
        } else if (name == "header_lines") {
            mapping.headerLines = static_cast<std::size_t>(whole(node, name, 1, 10));
        } else if (name == "decimal") {
            mapping.decimal = oneCharacter(node, name);
            if (mapping.decimal != '.' && mapping.decimal != ',')
                wrong(node, name, "the decimal sign is a point or a comma", "write \".\" or \",\"");
        } else if (name == "thousands") {
            mapping.thousands = text(node, name);
            if (mapping.thousands.size() > 1 ||
                (!mapping.thousands.empty() && std::string_view(".,' ").find(mapping.thousands) == std::string_view::npos))
                wrong(node, name, "this is no thousands mark", "write \".\", \",\", \"'\" or \" \", or leave it out");
        } else if (name == "dates") {
            const std::string order = text(node, name);
            const auto known = std::ranges::find(kDateOrders, order, &std::pair<DateOrder, std::string_view>::second);
            if (known == std::end(kDateOrders))
                wrong(node, name, "this order of a date is not known", "write day-month-year, month-day-year or year-month-day");
            mapping.dates = known->first;
        } else if (name == "two_digit_years_from") {
            mapping.twoDigitYearsFrom = static_cast<int>(whole(node, name, 1900, 2100));
        } else if (name == "utc_offset") {
            mapping.utcOffset = text(node, name);
            if (!core::parseInstant("2026-01-01T00:00:00" + mapping.utcOffset))
                wrong(node, name, "this is no offset from UTC", "write it as +01:00");
        } else if (name == "visits") {
            const std::string by = text(node, name);
            if (by != "moment" && by != "day")
                wrong(node, name, "visits are told apart by moment or by day", "write \"moment\" or \"day\"");
            mapping.visitPerDay = by == "day";
        } else if (name == "empty") {
            mapping.empty = texts(node, name);
        } else {
            wrong(node, name, fmt::format("there is no \"{}\" under [source]", name), "see the names that a saved mapping has");
        }
    }
    if (!mapping.thousands.empty() && mapping.thousands.front() == mapping.decimal)
        wrong(source, "thousands", "the thousands mark is the decimal sign too", "they must differ");
}

RowRule readRule(const toml::node& node)
{
    const toml::table& table = tableAt(node, "rows");
    const toml::node* name = table.get("table");
    if (name == nullptr)
        wrong(node, "table", "a row does not say of which table it is", "write table = \"readings\", or another of the public tables");
    const auto known = tableNamed(text(*name, "table"));
    if (!known)
        wrong(*name, "table", "it is none of the public tables", "write readings, legacy, sensors, points or another of them");
    RowRule rule{.table = *known, .fields = {}, .constants = {}};
    for (const auto& [key, value] : table) {
        if (key == "columns")
            rule.fields = fieldsOf(value, known);
        else if (key == "constants")
            rule.constants = constantsOf(value, known);
        else if (key != "table")
            wrong(value, std::string(key.str()), fmt::format("there is no \"{}\" here", key.str()),
                  "table, columns and constants can stand here");
    }
    return rule;
}

Mapping readAll(const toml::table& document)
{
    Mapping mapping;
    for (const auto& [key, node] : document) {
        const std::string name(key.str());
        if (name == "mapping")
            mapping.name = text(node, name);
        else if (name == "note")
            mapping.note = text(node, name);
        else if (name == "source")
            readSource(tableAt(node, name), mapping);
        else if (name == "columns")
            mapping.fields = fieldsOf(node, std::nullopt);
        else if (name == "constants")
            mapping.constants = constantsOf(node, std::nullopt);
        else if (name == "rows" && node.is_array())
            for (const toml::node& rule : *node.as_array())
                mapping.rows.push_back(readRule(rule));
        else
            wrong(node, name, fmt::format("there is no \"{}\" in a mapping", name),
                  "mapping, note, source, columns, constants and [[rows]] can stand here");
    }
    if (mapping.rows.empty())
        wrong(document, "rows", "the mapping makes no rows", "add [[rows]] with the table they are of");
    return mapping;
}

toml::table fieldsToml(const std::vector<MappedField>& fields)
{
    toml::table table;
    for (const MappedField& field : fields) {
        toml::array columns;
        for (const std::string& column : field.columns)
            columns.push_back(column);
        const auto put = [&](toml::table& into, const std::string& name) {
            if (field.columns.size() == 1)
                into.insert(name, field.columns.front());
            else
                into.insert(name, columns);
        };
        if (field.unit.empty() && field.words.empty()) {
            put(table, field.field);
            continue;
        }
        toml::table parts;
        put(parts, "column");
        if (!field.unit.empty())
            parts.insert("unit", field.unit);
        if (!field.words.empty()) {
            toml::table words;
            for (const auto& [from, to] : field.words)
                words.insert(from, to);
            words.is_inline(true);
            parts.insert("words", std::move(words));
        }
        parts.is_inline(true);
        table.insert(field.field, std::move(parts));
    }
    return table;
}

toml::table constantsToml(const Constants& constants)
{
    toml::table table;
    for (const auto& [field, value] : constants)
        table.insert(field, value);
    return table;
}

std::string charText(char c)
{
    return c == '\t' ? std::string("tab") : std::string(1, c);
}

}  // namespace

Result<Mapping> mappingFromToml(std::string_view toml)
{
    try {
        return readAll(toml::parse(toml));
    } catch (const Wrong& wrongPlace) {
        return std::unexpected(wrongPlace.error);
    } catch (const toml::parse_error& e) {
        Error error{.code = Errc::BadInput,
                    .detail = fmt::format("it can't be read as TOML: {}", e.description()),
                    .remedy = "check quotes and brackets at that place"};
        if (e.source().begin)
            error.line = e.source().begin.line;
        return std::unexpected(std::move(error));
    }
}

std::string mappingToToml(const Mapping& mapping)
{
    toml::table source;
    if (mapping.encoding)
        source.insert("encoding", nameOf(*mapping.encoding));
    if (mapping.separator)
        source.insert("separator", charText(*mapping.separator));
    if (!mapping.sheet.empty())
        source.insert("sheet", mapping.sheet);
    source.insert("header_line", static_cast<std::int64_t>(mapping.headerLine));
    source.insert("header_lines", static_cast<std::int64_t>(mapping.headerLines));
    source.insert("decimal", charText(mapping.decimal));
    if (!mapping.thousands.empty())
        source.insert("thousands", mapping.thousands);
    for (const auto& [order, name] : kDateOrders)
        if (order == mapping.dates)
            source.insert("dates", name);
    source.insert("two_digit_years_from", mapping.twoDigitYearsFrom);
    if (!mapping.utcOffset.empty())
        source.insert("utc_offset", mapping.utcOffset);
    source.insert("visits", mapping.visitPerDay ? "day" : "moment");
    if (!mapping.empty.empty()) {
        toml::array words;
        for (const std::string& word : mapping.empty)
            words.push_back(word);
        source.insert("empty", std::move(words));
    }
    toml::table document;
    document.insert("mapping", mapping.name);
    if (!mapping.note.empty())
        document.insert("note", mapping.note);
    document.insert("source", std::move(source));
    if (!mapping.fields.empty())
        document.insert("columns", fieldsToml(mapping.fields));
    if (!mapping.constants.empty())
        document.insert("constants", constantsToml(mapping.constants));
    toml::array rows;
    for (const RowRule& rule : mapping.rows) {
        toml::table row;
        row.insert("table", nameOf(rule.table));
        if (!rule.fields.empty())
            row.insert("columns", fieldsToml(rule.fields));
        if (!rule.constants.empty())
            row.insert("constants", constantsToml(rule.constants));
        rows.push_back(std::move(row));
    }
    document.insert("rows", std::move(rows));
    std::ostringstream out;
    out << document << '\n';
    return out.str();
}

}  // namespace halfcell::db
