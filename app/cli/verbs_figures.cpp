#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "app/handbook/handbook.h"
#include "core/calibration/figures.h"
#include "core/fleet/columns.h"
#include "core/quantity/number.h"
#include "core/rules/assess.h"
#include "db/exchange/exchange.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

Error usageOf(std::string_view field, std::string detail, std::string remedy)
{
    return Error{.code = Errc::BadInput, .detail = std::move(detail), .field = std::string(field), .remedy = std::move(remedy)};
}

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
            return std::unexpected(usageOf("--reading", fmt::format("\"{}\" has no =", item), "write standard=ph7.00,mv=0,temp=25"));
        const std::string_view key = item.substr(0, equals);
        const std::string_view value = item.substr(equals + 1);
        const std::string column = key == "temp" ? "temp_degc" : key == "wait" ? "wait_s" : key == "t90" ? "t90_s" : std::string(key);
        if (key == "u") {
            const auto u = parseNumber(value);
            if (!u || *u <= 0.0)
                return std::unexpected(usageOf("--reading u", fmt::format("\"{}\" is no standard uncertainty in mV", value), "give a number above 0"));
            typed.u_mv = *u;
            continue;
        }
        const Column<Reading>* found = findColumn<Reading>(column);
        if (found == nullptr || column == "recorded" || column == "when")
            return std::unexpected(usageOf("--reading", fmt::format("\"{}\" is not part of a reading", key),
                                           "use standard, mv, temp, wait, t90, u, lot, phase, temp_source, dip"));
        if (auto set = found->set(typed.reading, value); !set) {
            Error error = set.error();
            error.field = "--reading " + std::string(key);
            return std::unexpected(error);
        }
    }
    if (typed.reading.standard.empty())
        return std::unexpected(usageOf("--reading standard", "no standard is named", "write standard=ph7.00,mv=0,temp=25"));
    if (!typed.reading.mv)
        return std::unexpected(usageOf("--reading mv", "no millivolts are given", "write standard=ph7.00,mv=0,temp=25"));
    return typed;
}

struct CalcOptions {
    std::string kind = "ph", fill, table;
    std::vector<std::string> readings;
    std::optional<double> processPh, processTemp;
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
            const Assessment assessment =
                assessSet(set, phase, *kind, options.fill, figures, *figureContext.standards, rules);
            attention = attention || assessment.signal != Signal::Normal;
            if (context.json) {
                list.push_back(setJson(set.visit, figures, assessment));
            } else {
                if (!first)
                    context.out() << '\n';
                writeSet(context.out(), set.visit, figures, assessment);
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

struct AssessOptions {
    std::string serial, tag, site;
};

int runAssess(Context& context, const AssessOptions& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    const auto overview = context.overview(*book, *asOf, false);
    if (!overview)
        return context.fail(overview.error());
    const Plant& plant = *overview->plant;
    if (!options.serial.empty() && plant.sensor(options.serial) == nullptr)
        return context.fail(usageOf("--serial", fmt::format("{} is not in this book", options.serial), "check the serial, or the moment of --as-of"));
    if (!options.tag.empty() && plant.point(options.tag) == nullptr)
        return context.fail(usageOf("--tag", fmt::format("{} is not in this book", options.tag), "check the tag, or the moment of --as-of"));
    if (!options.site.empty() && plant.site(options.site) == nullptr)
        return context.fail(usageOf("--site", fmt::format("{} is not in this book", options.site), "check the site's name"));

    constexpr std::int64_t kLookAheadDays = 800;   // further than any interval of the shipped rules
    const auto tasks = overview->due(dayNumber(*asOf) + kLookAheadDays);
    bool attention = false;
    Json list = Json::array();
    std::size_t counts[6] = {};
    for (std::size_t i = 0; i < overview->assessments.size(); ++i) {
        const Assessment& a = overview->assessments[i];
        const Placement* placement = plant.histories()[i].placementAt(*asOf);
        if (placement != nullptr && placement->place == kScrap && options.serial.empty())
            continue;
        if ((!options.serial.empty() && a.serial != options.serial) || (!options.tag.empty() && a.tag != options.tag) ||
            (!options.site.empty() && a.site != options.site))
            continue;
        attention = attention || (!a.neverMeasured && a.signal != Signal::Normal);
        ++counts[a.signal ? static_cast<std::size_t>(*a.signal) : 5];
        const auto due = nextDue(tasks, a.serial);
        if (context.json) {
            list.push_back(sensorJson(a, due));
            continue;
        }
        std::ostream& out = context.out();
        std::string figures;
        if (a.figures) {
            const PhaseFigures& f = *a.figures;
            if (a.kind == SensorKind::Ph)
                figures = withUncertainty(f.efficiency_pct, f.u_efficiency_pct, 1, "%", false);
            else
                figures = "span " + (f.span_pct ? formatFixed(*f.span_pct, 0) + " %" : std::string("-"));
            figures += "  " + withUncertainty(f.offset_mv, f.u_offset_mv, 1, "mV", true);
            if (f.t90_s)
                figures += "  t90 " + formatFixed(*f.t90_s, 0) + " s";
        }
        out << padded(a.serial, 10) << padded(a.tag.empty() ? "-" : a.tag, 10) << padded(signalWords(a.signal), 22) << wordsOf(a.verdict) << '\n';
        if (!figures.empty())
            writeWrapped(out, figures, 10, 10);
        if (a.signal != Signal::Normal || !options.serial.empty()) {
            writeWrapped(out, a.sentence, 10, 10);
            for (const Finding& f : a.findings) {
                if (f.code == FindingCode::Healthy)
                    continue;
                std::string line = "- " + f.title;
                for (const Because& b : f.because)
                    if (b.side == Because::Side::For)
                        line += "; " + b.text;
                writeWrapped(out, line, 10, 12);
            }
        }
        if (due && !options.serial.empty())
            writeWrapped(out, "next due " + formatDate(startOfDay(*due)), 10, 10);
    }
    if (context.json) {
        Json answer = context.envelope(overview->rules.id(), *asOf);
        answer["sensors"] = std::move(list);
        context.print(answer);
    } else {
        context.out() << fmt::format("\n{} normal, {} maintenance required, {} out of specification, {} function check, {} failure, {} not enough data\n",
                                     counts[0], counts[1], counts[2], counts[3], counts[4], counts[5]);
    }
    return attention ? kAttention : kDone;
}

struct ExplainOptions {
    std::string visit, serial, figure, finding;
};

int explainFinding(Context& context, const std::string& key, const Instant& asOf)
{
    const auto code = parseKey<FindingCode>(key);
    if (!code) {
        Error error = code.error();
        error.field = "--finding";
        return context.fail(error);
    }
    const HandbookPage page = handbookPage(*code);
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), asOf);
        answer["finding"] = key;
        answer["title"] = wordsOf(*code);
        answer["sign"] = page.sign;
        answer["cause"] = page.cause;
        answer["cure"] = page.cure;
        answer["caution"] = page.caution;
        answer["source"] = page.source;
        Json steps = Json::array();
        for (const auto& [name, text] : {std::pair{"sign", page.sign}, {"cause", page.cause}, {"cure", page.cure}, {"caution", page.caution}})
            steps.push_back({{"step", name}, {"formula", nullptr}, {"inputs", Json::array()}, {"result", text}, {"source", page.source}});
        answer["working"] = std::move(steps);
        context.print(answer);
        return kDone;
    }
    std::ostream& out = context.out();
    out << wordsOf(*code) << '\n';
    writeWrapped(out, "Sign: " + page.sign, 2, 4);
    writeWrapped(out, "Cause: " + page.cause, 2, 4);
    writeWrapped(out, "Cure: " + page.cure, 2, 4);
    if (!page.caution.empty())
        writeWrapped(out, "Caution: " + page.caution, 2, 4);
    writeWrapped(out, "Source: " + page.source, 2, 4);
    return kDone;
}

/// The figures that have steps of one name, or all.
bool wanted(const std::string& figure, const std::string& asked)
{
    return asked.empty() || figure == asked;
}

int runExplain(Context& context, const ExplainOptions& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const int asked = (options.visit.empty() ? 0 : 1) + (options.serial.empty() ? 0 : 1) + (options.finding.empty() ? 0 : 1);
    if (asked != 1)
        return context.failUsage("say what to explain", "--visit V, --serial S [--figure F], or --finding CODE");
    if (!options.finding.empty())
        return explainFinding(context, options.finding, *asOf);
    if (context.book.empty())
        return context.failUsage("no book is named", "give --book FILE or set HALFCELL_BOOK");
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    std::string serial = options.serial;
    if (!options.visit.empty()) {
        const auto visit = book->loadVisit(options.visit);
        if (!visit)
            return context.fail(visit.error());
        serial = visit->serial;
    }
    auto records = book->loadSensorRecords(serial);
    if (!records)
        return context.fail(records.error());
    auto rules = book->rulesAt(*asOf);
    if (!rules)
        return context.fail(rules.error());
    const Plant plant = Plant::asKnown(std::move(*records), *asOf);
    const SensorHistory* history = plant.history(serial);
    if (history == nullptr)
        return context.fail(usageOf("--serial", fmt::format("{} is not in this book", serial), "check the serial, or the moment of --as-of"));
    const StandardsBook standards = StandardsBook::with(plant.records().standards, plant.records().lots);
    const auto figures = figuresOfHistory(plant, *history, standards, *rules, true);

    std::optional<std::size_t> index;
    for (std::size_t i = 0; i < figures.size(); ++i) {
        const bool hasReadings = !figures[i].phases.empty();
        if (options.visit.empty() ? hasReadings : figures[i].visit != nullptr && figures[i].visit->visit == options.visit)
            index = i;
    }
    if (!index)
        return context.fail(usageOf(options.visit.empty() ? "--serial" : "--visit", "there is nothing to explain: no readings known at that moment",
                                    "name another visit, or a later --as-of"));
    const VisitFigures& visit = figures[*index];
    const Assessment assessment = assessVisit(plant, *history, figures, *index, standards, *rules);

    Json steps = Json::array();
    std::size_t n = 0;
    const auto show = [&](std::string_view phase, const Working& working) {
        if (!wanted(working.figure, options.figure))
            return;
        ++n;
        if (!context.json) {
            const auto spoken = findKey<Phase>(phase);
            context.out() << (n == 1 ? "" : "\n") << working.figure << ", " << (spoken ? wordsOf(*spoken) : phase) << ", " << formatInstant(visit.when) << '\n';
            writeWorking(context.out(), working.steps);
            return;
        }
        for (const WorkingStep& step : working.steps) {
            Json j;
            j["figure"] = working.figure;
            j["phase"] = phase;
            j.update(jsonOf(step));
            steps.push_back(std::move(j));
        }
    };
    for (const PhaseFigures& phase : visit.phases) {
        if (phase.legacy && wanted("efficiency_pct", options.figure)) {
            Working legacy{"efficiency_pct", {WorkingStep{.step = "record without millivolts", .formula = "", .inputs = {}, .result = phase.efficiency_pct,
                                                          .unit = "%", .text = "no millivolts were recorded; the figure is as it was typed",
                                                          .source = "legacy record", .sourceClass = SourceClass::Record}}};
            show(keyOf(phase.phase), legacy);
            continue;
        }
        for (const Working& working : phase.working)
            show(keyOf(phase.phase), working);
    }
    show(assessment.phase ? keyOf(*assessment.phase) : "", Working{"verdict", assessment.verdictWorking});
    if (n == 0)
        return context.fail(usageOf("--figure", fmt::format("no figure \"{}\" was computed for this visit", options.figure),
                                    "use efficiency_pct, offset_mv, zero_point_ph, u_at_process_ph, span_pct or verdict"));
    if (context.json) {
        Json answer = context.envelope(rules->id(), *asOf);
        answer["serial"] = serial;
        answer["visit"] = visit.visit != nullptr ? Json(visit.visit->visit) : Json();
        answer["working"] = std::move(steps);
        context.print(answer);
    }
    return kDone;
}

}  // namespace

std::vector<Verb> figureVerbs()
{
    return {
        {"calc", "efficiency, offset and findings from readings, without a book", false,
         [](CLI::App& command) {
             auto options = std::make_shared<CalcOptions>();
             command.add_option("--kind", options->kind, "ph or orp");
             command.add_option("--reading", options->readings, "standard=ph7.00,mv=0,temp=25[,wait=60][,t90=20][,u=0.5][,phase=as_found]; repeat")
                 ->type_name("READING")
                 ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
                 ->expected(1)
                 ->allow_extra_args(false);
             command.add_option("--table", options->table, "a CSV file in readings.csv columns")->type_name("FILE");
             command.add_option("--reference-fill", options->fill, "ORP: 1M KCl, 3M KCl, 3.5M KCl, sat KCl");
             command.add_option("--process-ph", options->processPh, "pH at which the reading's uncertainty is asked");
             command.add_option("--process-temp", options->processTemp, "process temperature, degC");
             return [options](Context& context) { return runCalc(context, *options); };
         }},
        {"assess", "the latest state and verdict of each sensor", true,
         [](CLI::App& command) {
             auto options = std::make_shared<AssessOptions>();
             auto* serial = command.add_option("--serial", options->serial, "one sensor");
             auto* tag = command.add_option("--tag", options->tag, "the sensor at one point");
             auto* site = command.add_option("--site", options->site, "the sensors of one site");
             serial->excludes(tag)->excludes(site);
             tag->excludes(site);
             return [options](Context& context) { return runAssess(context, *options); };
         }},
        {"explain", "the working of a visit's figures, or what a finding means", false,
         [](CLI::App& command) {
             auto options = std::make_shared<ExplainOptions>();
             command.add_option("--visit", options->visit, "a visit");
             command.add_option("--serial", options->serial, "a sensor: its latest visit with readings");
             command.add_option("--figure", options->figure, "one figure only (efficiency_pct, offset_mv, verdict ...)");
             command.add_option("--finding", options->finding, "a finding code");
             return [options](Context& context) { return runExplain(context, *options); };
         }},
    };
}

}  // namespace halfcell::app
