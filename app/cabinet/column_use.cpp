#include "app/cabinet/column_use.h"

#include <algorithm>
#include <array>

namespace halfcell::app {

using db::MappedField;
using db::Mapping;
using db::PublicTable;
using db::RowRule;

namespace {

/// What every row of a visit, or of a sensor's old records, has in common.
constexpr std::array<std::string_view, 8> kShared = {"serial", "when", "tag", "person", "reason", "phase", "standard", "visit"};

bool isShared(std::string_view field)
{
    return std::ranges::find(kShared, field) != kShared.end();
}

bool hasField(PublicTable table, std::string_view field)
{
    const auto columns = db::publicColumns(table);
    return std::ranges::find(columns, field, &db::PublicColumn::name) != columns.end();
}

/// Tables whose rows share a sensor and a moment: visits with what belongs to them, and old records.
bool sharesHead(PublicTable table)
{
    return db::belongsToVisits(table) || table == PublicTable::Legacy;
}

std::string constantOf(const RowRule& rule, std::string_view field)
{
    const auto at = std::ranges::find(rule.constants, field, &std::pair<std::string, std::string>::first);
    return at == rule.constants.end() ? std::string() : at->second;
}

bool anyStandardRule(const Mapping& mapping)
{
    return std::ranges::any_of(
        mapping.rows, [](const RowRule& rule) { return rule.table == PublicTable::Readings && !constantOf(rule, "standard").empty(); });
}

/// In the order in which a saved mapping has them, so that a mapping read again is the same.
void inOrder(Mapping& mapping)
{
    std::ranges::stable_sort(mapping.fields, {}, &MappedField::field);
    std::ranges::stable_sort(mapping.constants);
    for (RowRule& rule : mapping.rows) {
        std::ranges::stable_sort(rule.fields, {}, &MappedField::field);
        std::ranges::stable_sort(rule.constants);
    }
}

/// Takes a column out of a list of fields; true if it was there.
bool takeOut(std::vector<MappedField>& fields, std::string_view column)
{
    bool was = false;
    for (MappedField& field : fields)
        was = std::erase(field.columns, column) > 0 || was;
    std::erase_if(fields, [](const MappedField& field) { return field.columns.empty(); });
    return was;
}

/// Takes a column out of everything; the place of the rule that it leaves empty, if it does.
std::optional<std::size_t> takeOut(Mapping& mapping, std::string_view column)
{
    takeOut(mapping.fields, column);
    std::optional<std::size_t> freed;
    for (std::size_t r = 0; r < mapping.rows.size();) {
        const bool was = takeOut(mapping.rows[r].fields, column);
        if (was && mapping.rows[r].fields.empty()) {
            freed = freed.value_or(r);
            mapping.rows.erase(mapping.rows.begin() + static_cast<std::ptrdiff_t>(r));
        } else {
            ++r;
        }
    }
    return freed;
}

RowRule& ruleFor(Mapping& mapping, const ColumnUse& use, std::optional<std::size_t> place)
{
    for (RowRule& rule : mapping.rows)
        if (rule.table == *use.table && constantOf(rule, "standard") == use.standard && constantOf(rule, "phase") == use.phase)
            return rule;
    RowRule rule{.table = *use.table, .fields = {}, .constants = {}};
    if (!use.phase.empty())
        rule.constants.emplace_back("phase", use.phase);
    if (!use.standard.empty())
        rule.constants.emplace_back("standard", use.standard);
    const std::size_t at = std::min(place.value_or(mapping.rows.size()), mapping.rows.size());
    return *mapping.rows.insert(mapping.rows.begin() + static_cast<std::ptrdiff_t>(at), std::move(rule));
}

/// A mapping must make rows: without any it makes those of the table, however empty.
void keepARule(Mapping& mapping, PublicTable table)
{
    if (mapping.rows.empty())
        mapping.rows.push_back({.table = table, .fields = {}, .constants = {}});
}

}  // namespace

ColumnUse useOf(const Mapping& mapping, std::string_view column)
{
    const auto find = [&](const std::vector<MappedField>& fields) -> std::optional<ColumnUse> {
        for (const MappedField& field : fields)
            if (const auto at = std::ranges::find(field.columns, column); at != field.columns.end())
                return ColumnUse{.field = field.field, .joined = at != field.columns.begin(), .unit = field.unit, .words = field.words};
        return std::nullopt;
    };
    for (const RowRule& rule : mapping.rows)
        if (auto use = find(rule.fields)) {
            use->table = rule.table;
            use->standard = constantOf(rule, "standard");
            use->phase = constantOf(rule, "phase");
            return *use;
        }
    if (auto use = find(mapping.fields)) {
        // What only one kind of row has is shown as that kind's.
        if (!isShared(use->field))
            for (const RowRule& rule : mapping.rows)
                if (hasField(rule.table, use->field)) {
                    use->table = rule.table;
                    break;
                }
        return *use;
    }
    return {};
}

void setUse(Mapping& mapping, const std::string& column, const ColumnUse& use)
{
    if (useOf(mapping, column) == use)
        return;
    const PublicTable main = mainTable(mapping);
    const auto freed = takeOut(mapping, column);
    if (use.field.empty()) {
        keepARule(mapping, main);
        inOrder(mapping);
        return;
    }
    // An empty rule stood only so that there was one.
    if (use.table)
        std::erase_if(mapping.rows, [&](const RowRule& r) { return r.fields.empty() && r.constants.empty() && r.table == *use.table; });
    const bool everyReading =
        use.table == PublicTable::Readings && use.standard.empty() && use.phase.empty() && use.field != "mv" && anyStandardRule(mapping);
    const bool shared = !use.table || everyReading || (isShared(use.field) && sharesHead(*use.table));
    std::vector<MappedField>& fields = shared ? mapping.fields : ruleFor(mapping, use, freed).fields;
    auto at = std::ranges::find(fields, use.field, &MappedField::field);
    if (use.joined && at != fields.end()) {
        at->columns.push_back(column);
    } else if (at != fields.end() && use.field == "when" && at->columns.size() > 1) {
        // The date is another column now; the time behind it stays.
        at->columns.front() = column;
    } else {
        MappedField field{.field = use.field, .columns = {column}, .unit = use.unit, .words = use.words};
        if (at != fields.end())
            *at = std::move(field);
        else
            fields.push_back(std::move(field));
    }
    std::erase_if(mapping.constants, [&](const auto& constant) { return constant.first == use.field && shared; });
    keepARule(mapping, main);
    inOrder(mapping);
}

const db::Constants& fixedValues(const Mapping& mapping)
{
    return mapping.constants;
}

void setFixedValue(Mapping& mapping, const std::string& field, const std::string& value)
{
    std::erase_if(mapping.constants, [&](const auto& constant) { return constant.first == field; });
    if (!value.empty()) {
        std::erase_if(mapping.fields, [&](const MappedField& f) { return f.field == field; });
        mapping.constants.emplace_back(field, value);
    }
    inOrder(mapping);
}

PublicTable mainTable(const Mapping& mapping)
{
    for (const RowRule& rule : mapping.rows)
        if (rule.table == PublicTable::Readings)
            return rule.table;
    for (const RowRule& rule : mapping.rows)
        if (rule.table == PublicTable::Legacy)
            return rule.table;
    return mapping.rows.empty() ? PublicTable::Readings : mapping.rows.front().table;
}

void setMainTable(Mapping& mapping, PublicTable table)
{
    if (mainTable(mapping) == table)
        return;
    std::vector<std::pair<std::string, ColumnUse>> uses;
    const auto note = [&](const std::vector<MappedField>& fields) {
        for (const MappedField& field : fields)
            for (const std::string& column : field.columns)
                uses.emplace_back(column, useOf(mapping, column));
    };
    note(mapping.fields);
    for (const RowRule& rule : mapping.rows)
        note(rule.fields);
    mapping.fields.clear();
    mapping.rows.clear();
    mapping.rows.push_back({.table = table, .fields = {}, .constants = {}});
    std::erase_if(mapping.constants, [&](const auto& constant) { return !hasField(table, constant.first); });
    for (auto& [column, use] : uses) {
        if (!hasField(table, use.field))
            continue;
        use.standard.clear();
        if (table != PublicTable::Legacy)
            use.phase.clear();
        use.table = isShared(use.field) && sharesHead(table) ? std::nullopt : std::optional(table);
        setUse(mapping, column, use);
    }
}

std::vector<ColumnUse> possibleUses(const Mapping& mapping)
{
    const PublicTable main = mainTable(mapping);
    std::vector<ColumnUse> uses;
    const auto addTable = [&](PublicTable table) {
        for (const db::PublicColumn& column : db::publicColumns(table))
            if (column.name != "recorded" && !(sharesHead(table) && isShared(column.name)))
                uses.push_back({.table = table, .field = std::string(column.name)});
    };
    if (sharesHead(main))
        for (const std::string_view field : kShared) {
            if (!hasField(main, field))
                continue;
            uses.push_back({.field = std::string(field)});
            if (field == "when")
                uses.push_back({.field = "when", .joined = true});
        }
    addTable(main);
    if (main == PublicTable::Readings)
        for (const PublicTable table :
             {PublicTable::Legacy, PublicTable::Visits, PublicTable::Grabs, PublicTable::Checks, PublicTable::Actions})
            addTable(table);
    return uses;
}

std::vector<std::string> possibleFixedFields(const Mapping& mapping)
{
    std::vector<std::string> fields;
    for (const db::PublicColumn& column : db::publicColumns(mainTable(mapping)))
        if (column.name != "recorded" && column.name != "mv")
            fields.emplace_back(column.name);
    return fields;
}

bool hasStandard(const ColumnUse& use)
{
    return use.table == PublicTable::Readings;
}

bool hasPhase(const ColumnUse& use)
{
    return use.table == PublicTable::Readings || use.table == PublicTable::Legacy;
}

}  // namespace halfcell::app
