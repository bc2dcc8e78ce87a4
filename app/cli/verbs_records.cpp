#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"
#include "app/service/standing.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <ostream>
#include <tuple>

namespace halfcell::app {

using namespace core;

namespace {

// --- rules -----------------------------------------------------------------------------------------------------------

struct RulesOptions {
    std::string act = "show", file, person, why;
};

Result<RuleSet> readRules(const std::string& file)
{
    std::ifstream in(file, std::ios::binary);
    if (!in)
        return std::unexpected(Error{.code = Errc::BadInput, .detail = "the file can't be read", .file = file, .remedy = "check the path"});
    const std::string text(std::istreambuf_iterator<char>(in), {});
    auto rules = RuleSet::parse(text);
    if (!rules) {
        Error error = rules.error();
        error.file = file;
        return std::unexpected(error);
    }
    return rules;
}

int showRules(Context& context, const Instant& asOf)
{
    RuleSet rules = RuleSet::shipped();
    std::vector<db::RuleAdoption> adoptions;
    if (!context.book.empty()) {
        const auto book = context.openBook(db::OpenMode::ReadOnly);
        if (!book)
            return context.fail(book.error());
        auto inForce = book->rulesAt(asOf);
        if (!inForce)
            return context.fail(inForce.error());
        rules = std::move(*inForce);
        auto list = book->ruleAdoptions();
        if (!list)
            return context.fail(list.error());
        adoptions = std::move(*list);
        std::erase_if(adoptions, [&](const db::RuleAdoption& a) { return asOf < a.adopted; });
    }
    if (context.json) {
        Json answer = context.envelope(rules.id(), asOf);
        answer["text"] = rules.text();
        answer["profiles"] = rules.profileNames();
        Json list = Json::array();
        for (const db::RuleAdoption& a : adoptions)
            list.push_back({{"rules", a.id}, {"adopted", formatInstant(a.adopted)}, {"person", a.person}, {"why", a.why}});
        answer["adoptions"] = std::move(list);
        context.print(answer);
    } else {
        context.out() << rules.text();
        for (const db::RuleAdoption& a : adoptions)
            context.err() << fmt::format("{} adopted {} by {}: {}\n", a.id, formatInstant(a.adopted), a.person, a.why);
    }
    return kDone;
}

int trialRules(Context& context, const std::string& file, const Instant& asOf)
{
    auto trial = readRules(file);
    if (!trial)
        return context.fail(trial.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    const auto now = context.overview(*book, asOf, false);
    if (!now)
        return context.fail(now.error());
    auto records = book->loadRecords(asOf);
    if (!records)
        return context.fail(records.error());
    const std::string trialId = trial->id();
    const Overview then = overviewOf(std::move(*records), std::move(*trial), asOf, false, 2);
    Json changes = Json::array();
    for (std::size_t i = 0; i < now->assessments.size(); ++i) {
        const Assessment& a = now->assessments[i];
        const Assessment& b = then.assessments[i];
        if (a.verdict == b.verdict && a.signal == b.signal)
            continue;
        changes.push_back({{"serial", a.serial},
                           {"tag", a.tag.empty() ? Json() : Json(a.tag)},
                           {"signal", a.signal ? Json(keyOf(*a.signal)) : Json()},
                           {"verdict", keyOf(a.verdict)},
                           {"signal_then", b.signal ? Json(keyOf(*b.signal)) : Json()},
                           {"verdict_then", keyOf(b.verdict)}});
        if (!context.json)
            context.out() << padded(a.serial, 10) << padded(a.tag, 10) << signalWords(a.signal) << ", " << wordsOf(a.verdict) << " -> "
                          << signalWords(b.signal) << ", " << wordsOf(b.verdict) << '\n';
    }
    if (context.json) {
        Json answer = context.envelope(now->rules.id(), asOf);
        answer["trial"] = trialId;
        answer["changes"] = changes;
        context.print(answer);
    } else {
        context.out() << fmt::format("{} of {} verdicts would change. Nothing was written.\n", changes.size(), now->assessments.size());
    }
    return changes.empty() ? kDone : kAttention;
}

int runRules(Context& context, const RulesOptions& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    if (options.act == "show")
        return showRules(context, *asOf);
    if (options.act != "check" && options.act != "adopt" && options.act != "trial")
        return context.failUsage(fmt::format("rules can't \"{}\"", options.act), "rules show | check FILE | adopt FILE | trial FILE");
    if (options.file.empty())
        return context.failUsage(fmt::format("rules {} needs a file", options.act),
                                 "rules show > mine.toml, edit it, then rules check mine.toml");
    if (options.act == "check") {
        const auto rules = readRules(options.file);
        if (!rules)
            return context.fail(rules.error());
        if (context.json) {
            Json answer = context.envelope(rules->id(), *asOf);
            answer["ok"] = true;
            context.print(answer);
        } else {
            context.out() << options.file << ": " << rules->id() << " is sound.\n";
        }
        return kDone;
    }
    if (context.book.empty())
        return context.failUsage("no book is named", "give --book FILE or set HALFCELL_BOOK");
    if (options.act == "trial")
        return trialRules(context, options.file, *asOf);
    if (options.person.empty() || options.why.empty())
        return context.failUsage("adopting a rule set needs a person and a reason", "add --person INITIALS --why \"...\"");
    const auto rules = readRules(options.file);
    if (!rules)
        return context.fail(rules.error());
    auto book = context.openBook(db::OpenMode::ReadWrite);
    if (!book)
        return context.fail(book.error());
    if (auto done = book->adoptRules(*rules, {.person = options.person, .now = *asOf}, options.why); !done)
        return context.fail(done.error());
    if (auto refreshed = book->refreshLatest({}, *asOf); !refreshed)
        return context.fail(refreshed.error());
    if (context.json) {
        Json answer = context.envelope(rules->id(), *asOf);
        answer["adopted"] = rules->id();
        context.print(answer);
    } else {
        context.out() << "Adopted " << rules->id() << ". Older verdicts keep the rules they were made with.\n";
    }
    return kDone;
}

// --- history ---------------------------------------------------------------------------------------------------------

struct HistoryLine {
    Instant when;
    std::string what, key, text;
};

std::string visitLine(const VisitFigures& f)
{
    std::string text;
    for (const PhaseFigures& p : f.phases) {
        if (!text.empty())
            text += "; ";
        text += std::string(wordsOf(p.phase)) + ' ';
        if (p.kind == SensorKind::Ph)
            text += withUncertainty(p.efficiency_pct, p.u_efficiency_pct, 1, "%", false);
        else
            text += "span " + (p.span_pct ? formatFixed(*p.span_pct, 0) + " %" : std::string("-"));
        text += ", " + withUncertainty(p.offset_mv, p.u_offset_mv, 1, "mV", true);
        if (p.t90_s)
            text += ", t90 " + formatFixed(*p.t90_s, 0) + " s";
    }
    return text;
}

/// The bottles in use and the instruments with their certificates, as they stood then.
int runStanding(Context& context)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    auto records = book->loadRecords(*asOf);
    if (!records)
        return context.fail(records.error());
    const Plant plant = Plant::asKnown(std::move(*records), *asOf);
    std::vector<HistoryLine> lines;
    for (const OpenBottle& bottle : bottlesOpenAt(plant, *asOf)) {
        std::string text = bottle.lot->standard + ", open";
        if (bottle.lot->expires)
            text += (bottle.expired ? ", expired " : ", good until ") + formatDate(*bottle.lot->expires);
        lines.push_back({*bottle.lot->opened, "lot", bottle.lot->lot, std::move(text)});
    }
    for (const auto& [e, overdue] : instrumentsAt(plant, *asOf)) {
        std::string text(wordsOf(e->kind));
        text += e->checked ? ", checked " + formatDate(*e->checked) : std::string(", no certificate");
        if (e->due)
            text += (overdue ? ", overdue since " : ", next due ") + formatDate(*e->due);
        lines.push_back({e->checked.value_or(e->recorded), "equipment", e->equipment, std::move(text)});
    }
    Json list = Json::array();
    for (const HistoryLine& line : lines) {
        if (context.json)
            list.push_back({{"when", formatInstant(line.when)}, {"what", line.what}, {"key", line.key}, {"text", line.text}});
        else
            context.out() << fmt::format("{:10} {}: {}\n", line.what, line.key, line.text);
    }
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        answer["entries"] = std::move(list);
        context.print(answer);
    }
    return kDone;
}

int runHistory(Context& context, const std::string& serial)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    auto records = book->loadSensorRecords(serial, *asOf);
    if (!records)
        return context.fail(records.error());
    const auto rules = book->rulesAt(*asOf);
    if (!rules)
        return context.fail(rules.error());
    const Plant plant = Plant::asKnown(std::move(*records), *asOf);
    const SensorHistory* history = plant.history(serial);
    if (history == nullptr)
        return context.fail(Error{.code = Errc::NotFound,
                                  .detail = fmt::format("{} is not in this book", serial),
                                  .field = "--serial",
                                  .remedy = "check the serial, or the moment of --as-of"});
    const StandardsBook standards = StandardsBook::with(plant.records().standards, plant.records().lots);
    const auto figures = figuresOfHistory(plant, *history, standards, *rules, false);

    std::vector<HistoryLine> lines;
    for (const VisitFigures& f : figures) {
        if (f.visit == nullptr) {
            lines.push_back({f.when, "legacy", {}, visitLine(f) + " (no millivolts were recorded)"});
            continue;
        }
        std::string text = visitLine(f);
        for (const Action& action : f.visit->actions)
            text += (text.empty() ? "" : "; ") + std::string(wordsOf(action.action));
        if (f.visit->person)
            text += " (" + *f.visit->person + ")";
        lines.push_back({f.when, "visit", f.visit->visit, std::move(text)});
    }
    for (const Placement* p : history->placements) {
        lines.push_back({p->from, "placed", p->place, "at " + p->place});
        if (p->to)
            lines.push_back({*p->to, "removed", p->place,
                             "from " + p->place + (p->reason_removed ? " (" + std::string(wordsOf(*p->reason_removed)) + ")" : "")});
    }
    for (const PartRecord* p : history->parts)
        lines.push_back(
            {p->from, "part", std::string(keyOf(p->part)), "new " + std::string(wordsOf(p->part)) + (p->lot ? ", lot " + *p->lot : "")});
    for (const AppliedCorrection& c : plant.applied())
        if (std::ranges::any_of(history->visits, [&](const Visit* v) { return v->visit == c.visit; }))
            lines.push_back({c.recorded, "correction", c.visit,
                             fmt::format("{} row {} {}: \"{}\" -> \"{}\", {} ({})", c.table, c.row, c.field, c.old_value, c.new_value,
                                         c.why, c.person)});
    std::ranges::stable_sort(lines, {}, [](const HistoryLine& l) { return std::tie(l.when, l.what, l.key); });

    if (context.json) {
        Json answer = context.envelope(rules->id(), *asOf);
        answer["serial"] = serial;
        Json list = Json::array();
        for (const HistoryLine& line : lines)
            list.push_back({{"when", formatInstant(line.when)},
                            {"what", line.what},
                            {"key", line.key.empty() ? Json() : Json(line.key)},
                            {"text", line.text}});
        answer["entries"] = std::move(list);
        context.print(answer);
    } else {
        for (const HistoryLine& line : lines) {
            context.out() << formatInstant(line.when) << "  " << line.what << (line.key.empty() ? "" : " " + line.key) << '\n';
            if (!line.text.empty())
                writeWrapped(context.out(), line.text, 4, 6);
        }
    }
    return kDone;
}

}  // namespace

std::vector<Verb> recordVerbs()
{
    return {
        {"rules", "show, check, try out or adopt a rule set", false,
         [](CLI::App& command) {
             auto options = std::make_shared<RulesOptions>();
             command.add_option("act", options->act, "show, check, adopt or trial");
             command.add_option("file", options->file, "a rule set (TOML)")->type_name("FILE");
             command.add_option("--person", options->person, "who adopts");
             command.add_option("--why", options->why, "why it is adopted");
             return [options](Context& context) { return runRules(context, *options); };
         }},
        {"history", "the record of a sensor as known then", true,
         [](CLI::App& command) {
             auto serial = std::make_shared<std::string>();
             auto standing = std::make_shared<bool>(false);
             command.add_option("--serial", *serial, "the sensor");
             command.add_flag("--standing", *standing, "instead: open bottles and instruments' certificates as they stood then");
             return [serial, standing](Context& context) {
                 if (serial->empty() == !*standing)
                     return context.failUsage("say whose history", "--serial S for a sensor, or --standing for bottles and instruments");
                 return *standing ? runStanding(context) : runHistory(context, *serial);
             };
         }},
    };
}

}  // namespace halfcell::app
