#include "db/merge/clash_kinds.h"
#include "db/stores/record_tables.h"

#include "core/fleet/columns.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <set>

namespace halfcell::db {

using core::Correction;
using core::Placement;

namespace {

constexpr std::array<std::string_view, 2> kRecorded = {"recorded_s", "recorded_offset_min"};

std::int64_t integerOf(const std::string& text)
{
    std::int64_t value = 0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

/// The fields of a content by a name for people: `price`, `readings 2 mv`.
std::map<std::string, std::string> fieldsOf(const std::string& content)
{
    std::map<std::string, std::string> fields;
    for (const ContentRow& row : parseContent(content)) {
        const std::string* place = row.value("seq");
        const std::string prefix = place == nullptr ? std::string() : fmt::format("{} {} ", row.table, *place);
        for (const auto& [name, value] : row.values) {
            if (name.ends_with("_offset_min") || name == "recorded_s" || name == "seq" || name == "visit")
                continue;
            if (const std::string* offset = name.ends_with("_s") ? row.value(name.substr(0, name.size() - 1) + "offset_min") : nullptr)
                fields[prefix + name.substr(0, name.size() - 2)] =
                    core::formatInstant({integerOf(value), static_cast<std::int32_t>(integerOf(*offset))});
            else
                fields[prefix + name] = value;
        }
    }
    return fields;
}

/// For each content the fields in which it differs from another one.
std::vector<std::string> differencesOf(const std::vector<std::string>& contents)
{
    std::vector<std::map<std::string, std::string>> all;
    std::set<std::string> names;
    for (const std::string& content : contents)
        for (const auto& [name, value] : all.emplace_back(fieldsOf(content)))
            names.insert(name);
    std::erase_if(names, [&](const std::string& name) {
        return std::ranges::all_of(all, [&](const auto& fields) {
            const auto at = fields.find(name);
            const auto first = all.front().find(name);
            return at != fields.end() && first != all.front().end() && at->second == first->second;
        });
    });
    std::vector<std::string> texts;
    for (const auto& fields : all) {
        std::string& text = texts.emplace_back();
        for (const std::string& name : names) {
            const auto at = fields.find(name);
            text += fmt::format("{}{} {}", text.empty() ? "" : ", ", name, at == fields.end() ? "-" : at->second);
        }
    }
    return texts;
}

std::string subjectOf(const ContentRow& key)
{
    std::string text = key.table;
    for (const auto& [name, value] : key.values)
        if (!name.ends_with("_offset_min"))
            text += ' ' + (name.ends_with("_s") ? core::formatInstant({integerOf(value), 0}) : value);
    return text;
}

/// A visit without the times its rows were recorded at.
core::Visit withoutRecorded(core::Visit visit)
{
    visit.recorded = {};
    for (auto& row : visit.readings)
        row.recorded = {};
    for (auto& row : visit.grabs)
        row.recorded = {};
    for (auto& row : visit.checks)
        row.recorded = {};
    for (auto& row : visit.actions)
        row.recorded = {};
    return visit;
}

/// Whether contents say the same but for when they were recorded.
bool sameSaying(Book::Impl& d, const ContentRow& key, const std::vector<std::string>& contents)
{
    if (key.table == "visits") {
        const std::string& visit = *key.value("visit");
        const auto first = d.visits.assembled(visit, &contents.front());
        return std::ranges::all_of(contents, [&](const std::string& content) {
            return withoutRecorded(*d.visits.assembled(visit, &content)) == withoutRecorded(*first);
        });
    }
    return std::ranges::all_of(contents, [&](const std::string& content) {
        return contentWithout(content, kRecorded) == contentWithout(contents.front(), kRecorded);
    });
}

void rowClashes(Book::Impl& d, std::vector<KnownClash>& list)
{
    std::map<std::string, std::vector<MergeVariant>> groups;
    for (MergeVariant& variant : d.variants.load())
        groups[variant.clash].push_back(std::move(variant));
    for (auto& [id, group] : groups) {
        std::ranges::sort(group, {}, [](const MergeVariant& v) { return std::tie(v.recorded, v.digest); });
        KnownClash clash;
        for (const MergeVariant& variant : group) {
            clash.contents.push_back(variant.content);
            clash.digests.push_back(variant.digest);
        }
        const ContentRow key = parseContent(group.front().rowKey).front();
        if (group.size() < 2 || sameSaying(d, key, clash.contents))
            continue;
        clash.mustSee = clash.digests;
        clash.shown.id = id;
        clash.shown.kind = "row";
        clash.shown.subject = subjectOf(key);
        const std::vector<std::string> texts = differencesOf(clash.contents);
        const std::string* counts = d.standing.find(key.table, group.front().rowKey);
        for (std::size_t i = 0; i < group.size(); ++i) {
            const ContentRow row = parseContent(group[i].content).front();
            const std::string* person = row.value("person");
            clash.shown.rows.push_back({.text = texts[i],
                                        .recorded = group[i].recorded,
                                        .person = person == nullptr ? std::string() : *person,
                                        .counts = counts != nullptr && *counts == group[i].content});
        }
        list.push_back(std::move(clash));
    }
}

void correctionClashes(Book::Impl& d, std::vector<KnownClash>& list)
{
    std::set<std::string, std::less<>> visits = d.standing.visits();
    {
        Slot visit(Slot::Kind::Text);
        Statement query(*d.connection,
                        "SELECT DISTINCT visit FROM (SELECT visit FROM corrections GROUP BY visit, table_name, row_number, field "
                        "HAVING count(*) > 1)",
                        {}, {&visit});
        for (bool row = query.first(); row; row = query.next())
            visits.insert(visit.text);
    }
    for (const std::string& key : visits) {
        auto visit = d.visits.find(key);
        if (!visit)
            continue;
        struct Field {
            std::vector<Correction> fitting, others;
        };
        std::map<std::tuple<std::string, int, std::string>, Field> fields;
        for (const Correction& correction : d.visits.correctionsOf(key)) {
            Field& field = fields[{correction.table, correction.row, correction.field}];
            (core::applyCorrection(*visit, correction) ? field.fitting : field.others).push_back(correction);
        }
        for (auto& [name, field] : fields) {
            const std::string* present = field.fitting.empty() ? nullptr : &field.fitting.back().new_value;
            // Two who corrected it to the same value agree.
            std::erase_if(field.others, [&](const Correction& c) { return present != nullptr && c.new_value == *present; });
            if (field.others.empty())
                continue;
            KnownClash clash;
            const auto& [table, row, column] = name;
            clash.shown.id = digestOf(d, fmt::format("[corrections]{}:{};{};{};{};", key.size(), key, table, row, column));
            clash.shown.kind = "correction";
            clash.shown.subject = fmt::format("visit {} {} {} {}", key, table, row, column);
            const auto add = [&](const Correction& c, bool counts) {
                clash.corrections.push_back(c);
                clash.digests.push_back(digestOf(d, identityOf(c)));
                clash.shown.rows.push_back({.text = fmt::format("\"{}\" -> \"{}\": {}", c.old_value, c.new_value, c.why),
                                            .recorded = c.recorded,
                                            .person = c.person,
                                            .counts = counts});
            };
            for (const Correction& c : field.fitting)
                add(c, &c == &field.fitting.back());
            for (const Correction& c : field.others) {
                add(c, false);
                clash.mustSee.push_back(clash.digests.back());
            }
            list.push_back(std::move(clash));
        }
    }
}

void placementClashes(Book::Impl& d, std::vector<KnownClash>& list)
{
    core::Records small;
    d.plant.loadSmall(small, std::nullopt);
    RowSlots<Placement> slots;
    const auto& all = small.placements;
    for (std::size_t first = 0; first < all.size();) {
        std::size_t last = first;
        while (last < all.size() && all[last].serial == all[first].serial)
            ++last;
        std::set<std::size_t> twice;
        for (std::size_t i = first; i < last; ++i)
            for (std::size_t j = i + 1; j < last; ++j) {
                const bool empty = (all[i].to && *all[i].to <= all[i].from) || (all[j].to && *all[j].to <= all[j].from);
                if (!empty && (!all[i].to || all[j].from < *all[i].to))
                    twice.insert({i, j});
            }
        if (!twice.empty()) {
            KnownClash clash;
            clash.serial = all[first].serial;
            clash.shown.id = digestOf(d, "[placed twice]" + clash.serial);
            clash.shown.kind = "placement";
            clash.shown.subject = "sensor " + clash.serial;
            for (const std::size_t i : twice) {
                std::string text;
                slots.fill(all[i]);
                appendContent(text, "placements", slots.slots(), slots.names());
                clash.placements.push_back(all[i]);
                clash.digests.push_back(digestOf(d, text));
                clash.shown.rows.push_back(
                    {.text = fmt::format("at {} from {}{}", all[i].place, core::formatInstant(all[i].from),
                                         all[i].to ? " to " + core::formatInstant(*all[i].to) : std::string(", still")),
                     .recorded = all[i].recorded,
                     .person = {},
                     .counts = i == *twice.rbegin()});
            }
            clash.mustSee = clash.digests;
            list.push_back(std::move(clash));
        }
        first = last;
    }
}

}  // namespace

std::string digestOf(Book::Impl& book, std::string_view text)
{
    return hex(book.journal.sha().digest(text));
}

std::string identityOf(const Correction& correction)
{
    RowSlots<Correction> slots;
    slots.fill(correction);
    std::string text = fmt::format("{}:{};", correction.visit.size(), correction.visit);
    appendContent(text, "corrections", slots.slots(), slots.names());
    return text;
}

core::Instant recordedIn(const ContentRow& row)
{
    const std::string* seconds = row.value("recorded_s");
    const std::string* offset = row.value("recorded_offset_min");
    return {seconds == nullptr ? 0 : integerOf(*seconds), offset == nullptr ? 0 : static_cast<std::int32_t>(integerOf(*offset))};
}

std::vector<KnownClash> knownClashes(Book::Impl& d)
{
    std::vector<KnownClash> list;
    rowClashes(d, list);
    correctionClashes(d, list);
    placementClashes(d, list);
    std::map<std::string, ClashSettlement> settled;
    auto settlements = d.settlements.load();
    std::ranges::stable_sort(settlements, {}, [](const ClashSettlement& s) { return std::tie(s.recorded, s.why, s.person); });
    for (ClashSettlement& settlement : settlements)
        settled.insert_or_assign(settlement.clash, std::move(settlement));
    for (KnownClash& clash : list) {
        const auto at = settled.find(clash.shown.id);
        if (at == settled.end())
            continue;
        clash.shown.open = !std::ranges::all_of(
            clash.mustSee, [&](const std::string& digest) { return std::ranges::find(at->second.seen, digest) != at->second.seen.end(); });
        clash.shown.settledBy = at->second.person;
        clash.shown.why = at->second.why;
        clash.shown.settled = at->second.recorded;
    }
    std::ranges::sort(list, {}, [](const KnownClash& c) { return std::tie(c.shown.kind, c.shown.subject, c.shown.id); });
    return list;
}

core::Result<std::vector<Clash>> clashesOf(const Book& book)
{
    // const: reading needs the book's statements, as every other reading does.
    Book::Impl& d = const_cast<Book&>(book).impl();
    return d.reading([&] {
        std::vector<Clash> list;
        for (KnownClash& clash : knownClashes(d))
            list.push_back(std::move(clash.shown));
        return list;
    });
}

}  // namespace halfcell::db
