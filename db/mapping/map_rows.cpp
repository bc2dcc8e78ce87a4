#include "db/mapping/map_rows.h"

#include "core/quantity/instant.h"
#include "db/mapping/foreign_cell.h"
#include "db/sheets/utf8.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

const PublicColumn* columnOf(PublicTable table, std::string_view field)
{
    const auto columns = publicColumns(table);
    const auto at = std::ranges::find(columns, field, &PublicColumn::name);
    return at == columns.end() ? nullptr : &*at;
}

std::size_t placeOf(const std::vector<std::string>& header, std::string_view field)
{
    const auto at = std::ranges::find(header, field);
    return at == header.end() ? std::string::npos : static_cast<std::size_t>(at - header.begin());
}

/// "temp (°C)" gives the unit in the brackets, "offset mV" its last word, if that is a unit of the field.
std::string unitOfHeader(std::string_view name, std::string_view field)
{
    for (const auto& [open, close] : {std::pair{'(', ')'}, std::pair{'[', ']'}}) {
        const std::size_t from = name.rfind(open);
        const std::size_t to = name.rfind(close);
        if (from != std::string_view::npos && to != std::string_view::npos && from < to)
            if (const std::string_view inside = name.substr(from + 1, to - from - 1); unitNamed(field, inside) != nullptr)
                return std::string(inside);
    }
    const std::size_t blank = name.find_last_of(" /");
    const std::string_view last = blank == std::string_view::npos ? name : name.substr(blank + 1);
    // A column may be called by a letter that is no unit: "s" or "c" alone.
    return blank != std::string_view::npos && unitNamed(field, last) != nullptr ? std::string(last) : std::string();
}

}  // namespace

Result<RowMapper> RowMapper::make(const Mapping& mapping, const std::vector<std::string>& names, const std::string& fileName)
{
    RowMapper mapper;
    mapper.m_mapping = &mapping;
    mapper.m_file = fileName;
    for (const std::string& word : mapping.empty)
        mapper.m_empty.push_back(lowerCase(trimmedCell(word)));

    const auto headerWith = [&](PublicTable table, std::string_view field) {
        auto& header = mapper.m_headers[table];
        if (placeOf(header, field) == std::string::npos)
            header.emplace_back(field);
    };
    for (const RowRule& rule : mapping.rows) {
        if (belongsToVisits(rule.table))
            headerWith(rule.table, "visit");
        for (const MappedField& field : rule.fields)
            headerWith(rule.table, field.field);
        for (const auto& [field, value] : rule.constants)
            headerWith(rule.table, field);
        for (const MappedField& field : mapping.fields)
            if (columnOf(rule.table, field.field) != nullptr)
                headerWith(rule.table, field.field);
        for (const auto& [field, value] : mapping.constants)
            if (columnOf(rule.table, field) != nullptr)
                headerWith(rule.table, field);
        for (const char* field : {"why_missing", "note"})
            if (columnOf(rule.table, field) != nullptr)
                headerWith(rule.table, field);
    }

    const auto sourceOf = [&](const MappedField& field, PublicTable table, bool own) -> Result<Source> {
        Source source{.field = field.field, .columns = {}, .places = {}, .unit = field.unit, .words = {}, .own = own};
        for (const std::string& column : field.columns) {
            const auto at = std::ranges::find(names, column);
            if (at == names.end()) {
                std::string all;
                for (const std::string& name : names)
                    all += (all.empty() ? "\"" : ", \"") + shortened(name, 40) + "\"";
                return std::unexpected(
                    core::Error{.code = Errc::BadInput,
                                .detail = fmt::format("the file has no column \"{}\"", column),
                                .file = fileName,
                                .line = mapping.headerLine,
                                .field = column,
                                .remedy = fmt::format("its columns are {}; check the mapping, and its header_line", shortened(all, 400))});
            }
            source.places.push_back(static_cast<std::size_t>(at - names.begin()));
            source.columns += (source.columns.empty() ? "" : " ") + column;
        }
        for (const auto& [from, to] : field.words)
            source.words.emplace(lowerCase(trimmedCell(from)), to);
        const PublicColumn* column = columnOf(table, field.field);
        source.number = column->number;
        source.moment = column->moment;
        source.truth = column->truth;
        if (source.number && source.unit.empty() && field.columns.size() == 1)
            source.unit = unitOfHeader(field.columns.front(), field.field);
        source.cell = placeOf(mapper.m_headers[table], field.field);
        return source;
    };
    for (const RowRule& rule : mapping.rows) {
        Rule made{.table = rule.table, .sources = {}, .constants = {}, .always = rule.fields.empty()};
        std::set<std::string> filled;
        for (const MappedField& field : rule.fields) {
            auto source = sourceOf(field, rule.table, true);
            if (!source)
                return std::unexpected(source.error());
            made.sources.push_back(std::move(*source));
            filled.insert(field.field);
        }
        const auto& header = mapper.m_headers[rule.table];
        for (const auto& [field, value] : rule.constants) {
            made.constants.emplace_back(placeOf(header, field), value);
            filled.insert(field);
        }
        for (const MappedField& field : mapping.fields) {
            if (columnOf(rule.table, field.field) == nullptr || filled.contains(field.field))
                continue;
            auto source = sourceOf(field, rule.table, false);
            if (!source)
                return std::unexpected(source.error());
            made.sources.push_back(std::move(*source));
        }
        for (const auto& [field, value] : mapping.constants)
            if (columnOf(rule.table, field) != nullptr && !filled.contains(field))
                made.constants.emplace_back(placeOf(header, field), value);
        mapper.m_rules.push_back(std::move(made));
    }
    return mapper;
}

SourceLines::FieldNames RowMapper::fieldNames(std::size_t rule) const
{
    SourceLines::FieldNames names;
    for (const Source& source : m_rules[rule].sources)
        names.emplace(source.field, source.columns);
    return names;
}

bool RowMapper::isEmptyWord(std::string_view text) const
{
    return std::ranges::find(m_empty, lowerCase(trimmedCell(text))) != m_empty.end();
}

Result<RowMapper::Filled> RowMapper::fill(const Source& source, const SheetRow& row) const
{
    SheetCell cell;
    std::size_t filled = 0;
    for (const std::size_t place : source.places) {
        if (place >= row.cells.size())
            continue;
        const std::string_view text = trimmedCell(row.cells[place].text);
        if (text.empty())
            continue;
        cell.kind = ++filled == 1 ? row.cells[place].kind : SheetCell::Kind::Text;
        cell.text += (cell.text.empty() ? "" : " ") + std::string(text);
    }
    if (const auto word = source.words.find(lowerCase(cell.text)); word != source.words.end())
        return Filled{.text = word->second, .note = {}};
    if (cell.text.empty())
        return Filled{};
    if (isEmptyWord(cell.text) || cell.kind == SheetCell::Kind::Fault)
        return Filled{.text = {}, .note = cell.text};
    Result<std::string> text = cell.text;
    // An answer why there is no value is one of ours already.
    const bool answer = cell.text == "not_done" || cell.text == "not_applicable" || cell.text == "not_possible";
    if (source.number && !answer)
        text = foreignNumber(cell, source.field, source.unit, *m_mapping);
    else if (source.moment)
        text = foreignMoment(cell, *m_mapping);
    else if (source.truth)
        text = foreignTruth(cell.text);
    if (!text)
        return std::unexpected(text.error());
    return Filled{.text = std::move(*text), .note = {}};
}

void RowMapper::addVisitKey(Made& made) const
{
    const auto& header = m_headers.at(made.table);
    std::string& key = made.cells[placeOf(header, "visit")];
    const auto cell = [&](std::string_view field) {
        const std::size_t place = placeOf(header, field);
        return place == std::string::npos ? std::string() : made.cells[place];
    };
    const std::string serial = cell("serial");
    const std::string when = cell("when");
    if (!key.empty() || serial.empty() || when.empty())
        return;
    // The same line gives the same key, so that a second import finds its visit.
    key = serial + " " + (m_mapping->visitPerDay ? when.substr(0, 10) : when);
}

/// Without sensor and time there is no visit: the one that is missing is named.
void RowMapper::refuseKeyless(const Rule& rule, const Made& made, const SheetRow& row, std::set<std::string>& complained,
                              const std::function<void(Refusal)>& refuse) const
{
    const auto& header = m_headers.at(rule.table);
    for (const char* field : {"serial", "when"}) {
        const std::size_t place = placeOf(header, field);
        if (place != std::string::npos && !made.cells[place].empty())
            continue;
        const auto source = std::ranges::find(rule.sources, field, &Source::field);
        std::string name = source == rule.sources.end() ? std::string(field) : source->columns;
        if (complained.insert(name).second)
            refuse({.file = m_file,
                    .line = row.line,
                    .field = std::move(name),
                    .value = {},
                    .reason = fmt::format("{} is empty", field),
                    .remedy = "fill it in, or map a column or a constant to it"});
        return;
    }
}

void RowMapper::map(const SheetRow& row, const std::function<void(const Made&)>& take, const std::function<void(Refusal)>& refuse) const
{
    std::set<std::string> complained;
    for (std::size_t r = 0; r < m_rules.size(); ++r) {
        const Rule& rule = m_rules[r];
        const auto& header = m_headers.at(rule.table);
        Made made{.table = rule.table, .rule = r, .cells = std::vector<std::string>(header.size())};
        bool any = rule.always, good = true;
        std::string notes, why;
        std::vector<Refusal> wrong;
        for (const Source& source : rule.sources) {
            auto filled = fill(source, row);
            if (!filled) {
                std::string shown;
                for (const std::size_t place : source.places)
                    if (place < row.cells.size())
                        shown += (shown.empty() ? "" : " ") + row.cells[place].text;
                wrong.push_back({.file = m_file,
                                 .line = row.line,
                                 .field = source.columns,
                                 .value = shortened(shown),
                                 .reason = filled.error().detail,
                                 .remedy = filled.error().remedy});
                good = false;
                any = any || source.own;
                continue;
            }
            any = any || (source.own && (!filled->text.empty() || !filled->note.empty()));
            made.cells[source.cell] = filled->text;
            if (filled->note.empty())
                continue;
            if (source.field == "mv")
                why = filled->note;
            else
                notes += fmt::format("{}{}: {}", notes.empty() ? "" : "; ", source.columns, filled->note);
        }
        if (!any)
            continue;
        if (!good) {
            // What several rows of a line share is said once.
            for (Refusal& refusal : wrong)
                if (complained.insert(refusal.field).second)
                    refuse(std::move(refusal));
            continue;
        }
        for (const auto& [place, value] : rule.constants)
            made.cells[place] = value;
        const auto put = [&](std::string_view field, const std::string& text) {
            const std::size_t place = placeOf(header, field);
            if (text.empty() || place == std::string::npos)
                return;
            std::string& cell = made.cells[place];
            cell += (cell.empty() ? "" : "; ") + text;
        };
        put("why_missing", why);
        put("note", notes);
        if (belongsToVisits(rule.table)) {
            addVisitKey(made);
            if (made.cells[placeOf(header, "visit")].empty()) {
                refuseKeyless(rule, made, row, complained, refuse);
                continue;
            }
        }
        take(made);
    }
}

}  // namespace halfcell::db
