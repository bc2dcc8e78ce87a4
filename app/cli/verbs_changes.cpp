#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include <fmt/format.h>

#include <map>
#include <ostream>
#include <tuple>

namespace halfcell::app {

using namespace core;

namespace {

struct ChangesOptions {
    std::string serial, visit;
};

/// One field that was corrected: what it said, from when, by whom and why.
struct FieldHistory {
    std::string visit, table, field, serial;
    int row = 1;
    struct Value {
        std::string value, person, why;
        Instant from;
        bool counts = true;   ///< false: a correction that no longer found what it corrects
    };
    std::vector<Value> values;
};

/// Every corrected field as known at a moment, in the order of visit, table, row and field.
std::vector<FieldHistory> fieldHistories(Records records, const Instant& asOf)
{
    std::map<std::string, std::pair<std::string, Visit>> written;
    for (const Correction& c : records.corrections)
        if (!written.contains(c.visit))
            for (const Visit& visit : records.visits)
                if (visit.visit == c.visit)
                    written.emplace(c.visit, std::pair(visit.serial, visit));
    const Plant plant = Plant::asKnown(std::move(records), asOf);
    std::map<std::tuple<std::string, std::string, int, std::string>, FieldHistory> fields;
    const auto add = [&](const auto& c, bool counts) {
        const auto at = written.find(c.visit);
        FieldHistory& f = fields[{c.visit, c.table, c.row, c.field}];
        if (f.values.empty()) {
            f.visit = c.visit;
            f.table = c.table;
            f.field = c.field;
            f.row = c.row;
            FieldHistory::Value first{.value = c.old_value, .person = {}, .why = "as first written", .from = {}, .counts = true};
            if (at != written.end()) {
                f.serial = at->second.first;
                first.person = at->second.second.person.value_or("");
                first.from = at->second.second.recorded;
            }
            f.values.push_back(std::move(first));
        }
        f.values.push_back({.value = c.new_value, .person = c.person, .why = c.why, .from = c.recorded, .counts = counts});
    };
    for (const AppliedCorrection& c : plant.applied())
        add(c, true);
    for (const Correction& c : plant.unfitting())
        add(c, false);
    std::vector<FieldHistory> list;
    for (auto& [key, f] : fields)
        list.push_back(std::move(f));
    return list;
}

int runChanges(Context& context, const ChangesOptions& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    const auto entries = book->journal();
    if (!entries)
        return context.fail(entries.error());
    auto records = book->loadRecords(*asOf);
    if (!records)
        return context.fail(records.error());
    Json list = Json::array();
    for (const db::JournalEntry& e : *entries) {
        if (*asOf < e.time || (!options.serial.empty() && e.serial != options.serial) ||
            (!options.visit.empty() && e.key != options.visit && !e.key.starts_with(options.visit + ' ')))
            continue;
        if (context.json)
            list.push_back({{"entry", e.seq},
                            {"time", formatInstant(e.time)},
                            {"person", e.person.empty() ? Json() : Json(e.person)},
                            {"what", e.what},
                            {"key", e.key},
                            {"text", e.text},
                            {"hash", e.hash}});
        else
            context.out() << fmt::format("{:6} {} {:4} {:12} {} {}\n", e.seq, formatInstant(e.time), e.person, e.what, e.key, e.text);
    }
    Json fields = Json::array();
    for (const FieldHistory& f : fieldHistories(std::move(*records), *asOf)) {
        if ((!options.serial.empty() && f.serial != options.serial) || (!options.visit.empty() && f.visit != options.visit))
            continue;
        Json values = Json::array();
        if (!context.json)
            context.out() << fmt::format("{} {} row {} {}\n", f.visit, f.table, f.row, f.field);
        for (const FieldHistory::Value& v : f.values) {
            if (context.json)
                values.push_back({{"value", v.value},
                                  {"from", formatInstant(v.from)},
                                  {"person", v.person.empty() ? Json() : Json(v.person)},
                                  {"why", v.why},
                                  {"counts", v.counts}});
            else
                writeWrapped(context.out(),
                             fmt::format("{} \"{}\"{}: {}{}", formatInstant(v.from), v.value, v.person.empty() ? "" : " by " + v.person, v.why,
                                         v.counts ? "" : " (found another value there: it does not count)"),
                             4, 6);
        }
        if (context.json)
            fields.push_back({{"visit", f.visit}, {"table", f.table}, {"row", f.row}, {"field", f.field}, {"values", std::move(values)}});
    }
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["entries"] = std::move(list);
        answer["fields"] = std::move(fields);
        context.print(answer);
    }
    return kDone;
}

}  // namespace

std::vector<Verb> changeVerbs()
{
    return {
        {"changes", "the journal, and each corrected field: what it said, from when, by whom, why", true,
         [](CLI::App& command) {
             auto options = std::make_shared<ChangesOptions>();
             command.add_option("--serial", options->serial, "only what concerns this sensor");
             command.add_option("--visit", options->visit, "only what concerns this visit");
             return [options](Context& context) { return runChanges(context, *options); };
         }},
    };
}

}  // namespace halfcell::app
