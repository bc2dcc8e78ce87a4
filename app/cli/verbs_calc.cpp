#include "app/cli/json_forms.h"
#include "app/cli/response_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "core/calibration/figures.h"
#include "core/fleet/columns.h"
#include "core/quantity/number.h"
#include "core/rules/assess.h"
#include "db/exchange/exchange.h"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

/// A reading typed as `standard=ph7.00,mv=0,temp=25,wait=60,t90=20,u=0.5,phase=as_left,lot=B7`.
struct TypedReading {
    Reading reading;
    std::optional<double> u_mv;
};

Result<TypedReading> parseTypedReading(std::string_view text, const Instant& when)
{
    TypedReading typed;
    typed.reading.when = when;
    typed.reading.recorded = when;
    std::string_view rest = text;
    while (!rest.empty()) {
        const std::size_t comma = rest.find(',');
        const std::string_view item = rest.substr(0, comma);
        rest = comma == std::string_view::npos ? std::string_view() : rest.substr(comma + 1);
        const std::size_t equals = item.find('=');
        if (equals == std::string_view::npos)
            return std::unexpected(optionError("--reading", fmt::format("\"{}\" has no =", item), "write standard=ph7.00,mv=0,temp=25"));
        const std::string_view key = item.substr(0, equals);
        const std::string_view value = item.substr(equals + 1);
        const std::string column = key == "temp" ? "temp_degc" : key == "wait" ? "wait_s" : key == "t90" ? "t90_s" : std::string(key);
        if (key == "u") {
            const auto u = parseNumber(value);
            if (!u || *u <= 0.0)
                return std::unexpected(
                    optionError("--reading u", fmt::format("\"{}\" is no standard uncertainty in mV", value), "give a number above 0"));
            typed.u_mv = *u;
            continue;
        }
        const Column<Reading>* found = findColumn<Reading>(column);
        if (found == nullptr || column == "recorded" || column == "when")
            return std::unexpected(optionError("--reading", fmt::format("\"{}\" is not part of a reading", key),
                                               "use standard, mv, temp, wait, t90, u, lot, phase, temp_source, dip, settle"));
        if (auto set = found->set(typed.reading, value); !set) {
            Error error = set.error();
            error.field = "--reading " + std::string(key);
            return std::unexpected(error);
        }
    }
    if (typed.reading.standard.empty())
        return std::unexpected(optionError("--reading standard", "no standard is named", "write standard=ph7.00,mv=0,temp=25"));
    if (!typed.reading.mv)
        return std::unexpected(optionError("--reading mv", "no millivolts are given", "write standard=ph7.00,mv=0,temp=25"));
    return typed;
}

/// A settle series typed as `standard=ph4.00,t=0:-3.1;10:95.4;20:141[,phase=as_found][,dip=1]`, put to its reading.
Result<void> takeTypedSettle(Visit& visit, std::string_view text)
{
    Reading named;
    bool series = false;
    std::string_view rest = text;
    while (!rest.empty()) {
        const std::size_t comma = rest.find(',');
        const std::string_view item = rest.substr(0, comma);
        rest = comma == std::string_view::npos ? std::string_view() : rest.substr(comma + 1);
        const std::size_t equals = item.find('=');
        const std::string_view key = item.substr(0, equals);
        if (equals == std::string_view::npos || (key != "standard" && key != "t" && key != "phase" && key != "dip"))
            return std::unexpected(optionError("--settle", fmt::format("\"{}\" is not part of a settle series", item),
                                               "write standard=ph4.00,t=0:-3.1;10:95.4;20:141"));
        auto set = findColumn<Reading>(key == "t" ? std::string_view("settle") : key)->set(named, item.substr(equals + 1));
        if (!set) {
            Error error = set.error();
            error.field = "--settle " + std::string(key);
            return std::unexpected(error);
        }
        series = series || key == "t";
    }
    if (named.standard.empty() || !series)
        return std::unexpected(
            optionError("--settle", "a settle series needs its standard and its times", "write standard=ph4.00,t=0:-3.1;10:95.4;20:141"));
    for (Reading& r : visit.readings)
        if (r.standard == named.standard && r.phase == named.phase && r.dip == named.dip) {
            r.settle = std::move(named.settle);
            return {};
        }
    return std::unexpected(optionError("--settle standard", fmt::format("no reading in {} is given", named.standard),
                                       "give its --reading, with the same phase and dip"));
}

struct CalcOptions {
    std::string kind = "ph", fill, table, loopClass;
    std::vector<std::string> readings, settle;
    std::optional<double> processPh, processTemp, tolerance;
};

int runCalc(Context& context, const CalcOptions& options)
{
    const auto kind = parseKey<SensorKind>(options.kind);
    if (!kind)
        return context.failUsage(fmt::format("--kind {} is not known", options.kind), "use ph or orp");
    if (options.readings.empty() == options.table.empty())
        return context.failUsage("give readings, or a table of them", "--reading standard=ph7.00,mv=0,temp=25 ... or --table FILE.csv");
    if (*kind == SensorKind::Orp && options.fill.empty())
        return context.failUsage("an ORP reading means nothing without the reference filling", "add --reference-fill \"3M KCl\"");
    if (options.processTemp && !options.processPh)
        return context.failUsage("--process-temp goes with --process-ph", "add --process-ph");
    if (!options.settle.empty() && !options.table.empty())
        return context.failUsage("--settle goes with --reading", "in a table the series stands in the column settle");
    if (options.tolerance && !(*options.tolerance > 0.0))
        return context.failUsage("--tolerance is what the point may be off, above 0", "for example --tolerance 0.2");
    if (!options.loopClass.empty() && !options.tolerance)
        return context.failUsage("--loop-class goes with --tolerance", "add --tolerance");
    const auto loopClass = options.loopClass.empty() ? std::optional<LoopClass>() : findKey<LoopClass>(options.loopClass);
    if (!options.loopClass.empty() && !loopClass)
        return context.failUsage(fmt::format("--loop-class {} is not known", options.loopClass),
                                 "use indication, control, alarm, interlock, permit or quality");
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());

    const RuleSet& rules = RuleSet::shipped();
    std::vector<Visit> sets;
    std::vector<std::optional<double>> typedU;
    std::vector<db::Refusal> refused;
    if (!options.table.empty()) {
        auto read = db::readReadingsTable(options.table, refused);
        if (!read)
            return context.fail(read.error());
        sets = std::move(*read);
    } else {
        Visit visit;
        visit.visit = "calc";
        visit.when = *asOf;
        visit.recorded = *asOf;
        for (const std::string& text : options.readings) {
            auto typed = parseTypedReading(text, *asOf);
            if (!typed)
                return context.fail(typed.error());
            visit.readings.push_back(typed->reading);
            typedU.push_back(typed->u_mv);
        }
        for (const std::string& text : options.settle)
            if (auto taken = takeTypedSettle(visit, text); !taken)
                return context.fail(taken.error());
        sets.push_back(std::move(visit));
    }

    FigureContext figureContext;
    figureContext.standards = &StandardsBook::shipped();
    figureContext.kind = *kind;
    figureContext.reference_fill = options.fill;
    figureContext.budget = rules.budget();
    figureContext.process_ph = options.processPh;
    figureContext.process_temp_c = options.processTemp;
    figureContext.u_reading_mv = typedU;

    bool attention = !refused.empty();
    Json answer = context.envelope(rules.id(), *asOf);
    Json list = Json::array();
    bool first = true;
    for (const Visit& set : sets)
        for (const Phase phase : {Phase::AsFound, Phase::AfterClean, Phase::AsLeft}) {
            if (std::ranges::none_of(set.readings, [phase](const Reading& r) { return r.phase == phase; }))
                continue;
            const PhaseFigures figures = figuresOf(set, phase, figureContext);
            const Assessment assessment = assessSet(set, phase, *kind, options.fill, figures, *figureContext.standards, rules);
            attention = attention || assessment.signal != Signal::Normal;
            GoodEnoughInputs asked;
            asked.tolerance = options.tolerance;
            asked.loop_class = loopClass;
            asked.process_ph = options.processPh;
            asked.process_temp_c = options.processTemp;
            const GoodEnough good = goodEnough(figures, asked, rules);
            if (context.json) {
                list.push_back(setJson(set.visit, figures, assessment, good));
            } else {
                if (!first)
                    context.out() << '\n';
                writeSet(context.out(), set.visit, figures, assessment);
                writeSettling(context.out(), figures, 2);
                if (options.tolerance)
                    writeWrapped(context.out(), good.sentence, 2, 2);
            }
            first = false;
        }
    for (const db::Refusal& r : refused)
        context.note(fmt::format("{} line {}: {} {}: {}. {}", r.file, r.line, r.field, r.value, r.reason, r.remedy));
    if (context.json) {
        answer["sets"] = std::move(list);
        if (!refused.empty()) {
            Json rows = Json::array();
            for (const db::Refusal& r : refused)
                rows.push_back({{"file", r.file}, {"line", r.line}, {"field", r.field}, {"reason", r.reason}, {"remedy", r.remedy}});
            answer["refused"] = std::move(rows);
        }
        context.print(answer);
    }
    return attention ? kAttention : kDone;
}

}  // namespace

Verb calcVerb()
{
    return {"calc", "efficiency, offset and findings from readings, without a book", false, [](CLI::App& command) {
                auto options = std::make_shared<CalcOptions>();
                command.add_option("--kind", options->kind, "ph or orp");
                command
                    .add_option("--reading", options->readings,
                                "standard=ph7.00,mv=0,temp=25[,wait=60][,t90=20][,u=0.5][,phase=as_found]; repeat")
                    ->type_name("READING")
                    ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
                    ->expected(1)
                    ->allow_extra_args(false);
                command.add_option("--table", options->table, "a CSV file in readings.csv columns")->type_name("FILE");
                command.add_option("--reference-fill", options->fill, "ORP: 1M KCl, 3M KCl, 3.5M KCl, sat KCl");
                command.add_option("--process-ph", options->processPh, "pH at which the reading's uncertainty is asked");
                command.add_option("--process-temp", options->processTemp, "process temperature, degC");
                command
                    .add_option("--settle", options->settle,
                                "standard=ph4.00,t=0:-3.1;10:95.4;20:141: how that reading settled, s:mV; repeat")
                    ->type_name("SERIES")
                    ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
                    ->expected(1)
                    ->allow_extra_args(false);
                command.add_option("--tolerance", options->tolerance, "what the point may be off, pH (ORP: mV): is it good enough here?");
                command.add_option("--loop-class", options->loopClass, "indication, control, alarm, interlock, permit or quality");
                return [options](Context& context) { return runCalc(context, *options); };
            }};
}

}  // namespace halfcell::app
