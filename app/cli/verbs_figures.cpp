#include "app/cli/json_forms.h"
#include "app/cli/response_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "app/handbook/handbook.h"
#include "core/calibration/figures.h"
#include "core/quantity/number.h"
#include "core/rules/assess.h"
#include "core/rules/test_guides.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

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
        return context.fail(
            optionError("--serial", fmt::format("{} is not in this book", options.serial), "check the serial, or the moment of --as-of"));
    if (!options.tag.empty() && plant.point(options.tag) == nullptr)
        return context.fail(
            optionError("--tag", fmt::format("{} is not in this book", options.tag), "check the tag, or the moment of --as-of"));
    if (!options.site.empty() && plant.site(options.site) == nullptr)
        return context.fail(optionError("--site", fmt::format("{} is not in this book", options.site), "check the site's name"));

    constexpr std::int64_t kLookAheadDays = 800;  // further than any interval of the shipped rules
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
        // The outlook learns from the whole book: it is asked for one sensor, not for all of them.
        const bool one = !options.serial.empty() || !options.tag.empty();
        const GoodEnough good = goodEnoughAt(plant, plant.histories()[i], overview->figures[i], overview->figures[i].size(),
                                             overview->rules, one && due ? driftUntil(*overview, a.serial, *due) : std::nullopt);
        if (context.json) {
            list.push_back(sensorJson(a, due, good));
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
        out << padded(a.serial, 10) << padded(a.tag.empty() ? "-" : a.tag, 10) << padded(signalWords(a.signal), 22) << wordsOf(a.verdict)
            << '\n';
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
        if (a.figures && (one || (good.now && good.now->decision != Conformity::Decision::Inside)))
            writeWrapped(out, good.sentence, 10, 10);
        if (a.figures && one)
            writeSettling(out, *a.figures, 10);
        if (due && !options.serial.empty())
            writeWrapped(out, "next due " + formatDate(startOfDay(*due)), 10, 10);
    }
    if (context.json) {
        Json answer = context.envelope(overview->rules.id(), *asOf);
        answer["sensors"] = std::move(list);
        context.print(answer);
    } else {
        context.out() << fmt::format(
            "\n{} normal, {} maintenance required, {} out of specification, {} function check, {} failure, {} not enough data\n", counts[0],
            counts[1], counts[2], counts[3], counts[4], counts[5]);
    }
    return attention ? kAttention : kDone;
}

struct ExplainOptions {
    std::string visit, serial, figure, finding, test;
};

/// A test by hand, step by step: by the book's rule set where a book is named, else by the shipped one.
int explainTest(Context& context, const std::string& key, const Instant& asOf)
{
    RuleSet rules = RuleSet::shipped();
    if (!context.book.empty()) {
        const auto book = context.openBook(db::OpenMode::ReadOnly);
        if (!book)
            return context.fail(book.error());
        auto adopted = book->rulesAt(asOf);
        if (!adopted)
            return context.fail(adopted.error());
        rules = *std::move(adopted);
    }
    const auto guides = testGuides(rules);
    const auto guide = std::ranges::find(guides, key, &TestGuide::key);
    if (guide == guides.end()) {
        std::string known;
        for (const TestGuide& g : guides)
            known += (known.empty() ? "" : ", ") + g.key;
        return context.fail(optionError("--test", fmt::format("there is no guide to \"{}\"", key), "use one of: " + known));
    }
    if (context.json) {
        Json answer = context.envelope(rules.id(), asOf);
        answer["test"] = guide->key;
        answer["title"] = guide->title;
        answer["written_in"] = guide->column;
        answer["minutes"] = guide->minutes;
        answer["needs"] = guide->needs;
        answer["cautions"] = guide->cautions;
        answer["steps"] = guide->steps;
        Json results = Json::array();
        for (const auto& o : guide->outcomes)
            results.push_back({{"reads", o.reads}, {"means", o.means}});
        answer["results"] = std::move(results);
        answer["source"] = guide->source;
        Json working = Json::array();
        for (const std::string& step : guide->steps)
            working.push_back(
                {{"step", step}, {"formula", nullptr}, {"inputs", Json::array()}, {"result", nullptr}, {"source", guide->source}});
        answer["working"] = std::move(working);
        context.print(answer);
        return kDone;
    }
    std::ostream& out = context.out();
    writeWrapped(out, fmt::format("{}, {:.0f} min", guide->title, guide->minutes), 0, 2);
    for (const std::string& caution : guide->cautions)
        writeWrapped(out, "caution: " + caution, 2, 4);
    std::string needs;
    for (const std::string& n : guide->needs)
        needs += (needs.empty() ? "Needs: " : "; ") + n;
    if (!needs.empty())
        writeWrapped(out, needs, 2, 4);
    int n = 0;
    for (const std::string& step : guide->steps)
        writeWrapped(out, fmt::format("{} {}", ++n, step), 2, 4);
    for (const auto& o : guide->outcomes)
        writeWrapped(out, fmt::format("- {}: {}", o.reads, o.means), 2, 4);
    writeWrapped(out, "Write it in " + guide->column, 2, 4);
    writeWrapped(out, "Source: " + guide->source, 2, 4);
    return kDone;
}

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
        for (const auto& [name, text] :
             {std::pair{"sign", page.sign}, {"cause", page.cause}, {"cure", page.cure}, {"caution", page.caution}})
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
    const int asked = (options.visit.empty() ? 0 : 1) + (options.serial.empty() ? 0 : 1) + (options.finding.empty() ? 0 : 1) +
                      (options.test.empty() ? 0 : 1);
    if (asked != 1)
        return context.failUsage("say what to explain", "--visit V, --serial S [--figure F], --finding CODE, or --test KEY");
    if (!options.test.empty())
        return explainTest(context, options.test, *asOf);
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
    auto records = book->loadSensorAndRound(serial, *asOf);
    if (!records)
        return context.fail(records.error());
    auto rules = book->rulesAt(*asOf);
    if (!rules)
        return context.fail(rules.error());
    const Plant plant = Plant::asKnown(std::move(*records), *asOf);
    const SensorHistory* history = plant.history(serial);
    if (history == nullptr)
        return context.fail(
            optionError("--serial", fmt::format("{} is not in this book", serial), "check the serial, or the moment of --as-of"));
    const StandardsBook standards = StandardsBook::with(plant.records().standards, plant.records().lots);
    const auto figures = figuresOfHistory(plant, *history, standards, *rules, true);

    std::optional<std::size_t> index;
    for (std::size_t i = 0; i < figures.size(); ++i) {
        const bool hasReadings = !figures[i].phases.empty();
        if (options.visit.empty() ? hasReadings : figures[i].visit != nullptr && figures[i].visit->visit == options.visit)
            index = i;
    }
    if (!index)
        return context.fail(optionError(options.visit.empty() ? "--serial" : "--visit",
                                        "there is nothing to explain: no readings known at that moment",
                                        "name another visit, or a later --as-of"));
    const VisitFigures& visit = figures[*index];
    const Assessment assessment = assessVisit(plant, *history, figures, *index, standards, *rules);

    Json steps = Json::array();
    std::size_t n = 0;
    const auto show = [&](std::string_view phase, const Working& working) {
        if (!wanted(working.figure, options.figure) || working.steps.empty())
            return;
        ++n;
        if (!context.json) {
            const auto spoken = findKey<Phase>(phase);
            context.out() << (n == 1 ? "" : "\n") << working.figure << ", " << (spoken ? wordsOf(*spoken) : phase) << ", "
                          << formatInstant(visit.when) << '\n';
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
            Working legacy{"efficiency_pct",
                           {WorkingStep{.step = "record without millivolts",
                                        .formula = "",
                                        .inputs = {},
                                        .result = phase.efficiency_pct,
                                        .unit = "%",
                                        .text = "no millivolts were recorded; the figure is as it was typed",
                                        .source = "legacy record",
                                        .sourceClass = SourceClass::Record}}};
            show(keyOf(phase.phase), legacy);
            continue;
        }
        for (const Working& working : phase.working)
            show(keyOf(phase.phase), working);
    }
    show(assessment.phase ? keyOf(*assessment.phase) : "",
         Working{"good_enough", goodEnoughAt(plant, *history, figures, *index, *rules).working});
    show(assessment.phase ? keyOf(*assessment.phase) : "", Working{"verdict", assessment.verdictWorking});
    if (n == 0)
        return context.fail(optionError(
            "--figure", fmt::format("no figure \"{}\" was computed for this visit", options.figure),
            "use efficiency_pct, offset_mv, zero_point_ph, u_at_process_ph, span_pct, t90_s, settling, good_enough or verdict"));
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
        calcVerb(),
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
             command.add_option("--test", options->test,
                                "a test by hand, step by step: hand_millivolt, dilution, stir, short_open, earth_wire");
             return [options](Context& context) { return runExplain(context, *options); };
         }},
    };
}

}  // namespace halfcell::app
