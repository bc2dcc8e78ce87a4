#include "app/cli/any_table.h"
#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "core/lifetimes/book_lives.h"
#include "core/lifetimes/interval_weibull.h"
#include "core/lifetimes/kaplan_meier.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <ostream>
#include <set>

namespace halfcell::app {

using namespace core;

namespace {

struct LifetimesOptions {
    std::string by = "model,application", table;
};

/// One group's lives in both forms, and what its causes are called.
struct Lives {
    std::string name;
    Json key;
    std::vector<LifeRecord> records;
    std::vector<IntervalLife> intervals;
    std::map<int, std::string> causes;
};

constexpr double kLeastEndsForPlainShape = 10.0, kLeastEnds = 3.0;

double nineFigures(double value)
{
    const double size = std::abs(value);
    if (!(size > 0.0) || !std::isfinite(value))
        return value;
    // Nine figures: the fits are good to about that.
    const double digits = 8.0 - std::floor(std::log10(size));
    const double power = std::pow(10.0, std::abs(digits));
    return digits >= 0.0 ? std::round(value * power) / power : std::round(value / power) * power;
}

Json optionalJson(const std::optional<double>& v)
{
    return v ? Json(*v) : Json();
}

/// Distinct ages at which lives ended.
std::size_t distinctEnds(const Lives& lives)
{
    std::set<double> ages;
    for (const LifeRecord& r : lives.records)
        if (r.failed)
            ages.insert(r.exit);
    return ages.size();
}

struct Answer {
    Json json;
    std::optional<SurvivalCurve> curve;
    std::optional<WeibullFit> fit;
    std::optional<WeibullProfile> profile;
    std::string why;  ///< why there is no Weibull fit
    bool prior = false;
};

Result<Answer> answerOf(const Lives& lives, bool inDays)
{
    Answer a;
    double n = 0.0, ended = 0.0;
    for (const LifeRecord& r : lives.records) {
        n += r.weight;
        ended += r.failed ? r.weight : 0.0;
    }
    Json j = lives.key;
    j["group"] = lives.name;
    j["n"] = n;
    j["failures"] = ended;
    Json missing = Json::array();
    const auto curve = kaplanMeier(lives.records);
    if (!curve)
        return std::unexpected(curve.error());
    const bool enough = n >= kCurveLeastLives && ended >= 1.0;
    const bool medianShown = enough && ended >= kMedianLeastEnds;
    j["median"] = medianShown ? optionalJson(curve->median) : Json();
    j["median_ci"] = medianShown ? Json::array({optionalJson(curve->medianLower), optionalJson(curve->medianUpper)}) : Json();
    if (!enough)
        missing.push_back(
            {{"figure", "steps"}, {"reason", fmt::format("{:g} lives with {:g} ended: a curve needs five lives and one end", n, ended)}});
    else if (!medianShown)
        missing.push_back({{"figure", "median"}, {"reason", fmt::format("{:g} ended: a median is shown from five on", ended)}});
    else if (!curve->median)
        missing.push_back({{"figure", "median"}, {"reason", "not reached: more than half are still in service"}});
    const std::size_t distinct = distinctEnds(lives);
    if (distinct < static_cast<std::size_t>(kLeastEnds)) {
        a.why = fmt::format("{} different ages at an end: a Weibull fit needs three", distinct);
    } else {
        // With few ends the shape leans on what such curves usually are.
        const std::optional<ShapePrior> prior = ended < kLeastEndsForPlainShape && inDays ? std::optional(ShapePrior{}) : std::nullopt;
        const bool any = std::ranges::any_of(lives.intervals, [](const IntervalLife& l) { return l.upper && *l.upper != l.lower; });
        const auto fit = any ? fitWeibullIntervals(lives.intervals, 0.95, prior) : fitWeibull(lives.records, 0.95, prior);
        if (!fit) {
            a.why = fit.error().detail;
        } else {
            a.fit = *fit;
            a.prior = prior.has_value();
            const auto profile = any ? profileLimits(std::span<const IntervalLife>(lives.intervals), *fit, prior)
                                     : profileLimits(std::span<const LifeRecord>(lives.records), *fit, prior);
            if (profile)
                a.profile = *profile;
        }
    }
    if (a.fit) {
        const auto ci = [](const Limits& l) { return Json::array({nineFigures(l.lower), nineFigures(l.upper)}); };
        const double oldest = curve->lastTime;
        j["weibull"] = {{"shape", nineFigures(a.fit->shape)},
                        {"scale", nineFigures(a.fit->scale)},
                        {"shape_ci", a.profile ? ci(a.profile->shape) : ci(a.fit->shapeWald)},
                        {"scale_ci", a.profile ? ci(a.profile->scale) : ci(a.fit->scaleWald)},
                        {"ci", a.profile ? "profile likelihood, 95 %" : "normal approximation, 95 %"},
                        {"shape_ci_wald", ci(a.fit->shapeWald)},
                        {"scale_ci_wald", ci(a.fit->scaleWald)},
                        {"log_likelihood", nineFigures(a.fit->logLikelihood)},
                        {"b10", nineFigures(a.fit->quantile(0.1))},
                        {"shape_prior", a.prior},
                        {"extrapolated", a.fit->quantile(0.5) > oldest}};
    } else {
        j["weibull"] = nullptr;
        missing.push_back({{"figure", "weibull"}, {"reason", a.why}});
    }
    Json steps = Json::array();
    if (enough)
        for (const SurvivalStep& s : curve->steps)
            steps.push_back({{"time", s.time},
                             {"at_risk", s.atRisk},
                             {"ended", s.ended},
                             {"survival", nineFigures(s.survival)},
                             {"lower", nineFigures(s.lower)},
                             {"upper", nineFigures(s.upper)}});
    j["steps"] = std::move(steps);
    j["drawn_until"] = enough ? Json(curve->drawnUntil()) : Json();
    Json causes = Json::array();
    if (enough)
        if (const auto incidence = cumulativeIncidence(lives.records))
            for (std::size_t c = 0; c < incidence->causes.size(); ++c) {
                Json at = Json::array();
                for (const IncidenceStep& s : incidence->steps)
                    at.push_back({{"time", s.time}, {"incidence", nineFigures(s.byCause[c])}});
                const auto name = lives.causes.find(incidence->causes[c]);
                double count = 0.0;
                for (const LifeRecord& r : lives.records)
                    count += r.failed && r.cause == incidence->causes[c] ? r.weight : 0.0;
                causes.push_back({{"cause", name == lives.causes.end() ? std::to_string(incidence->causes[c]) : name->second},
                                  {"n", count},
                                  {"incidence", incidence->steps.empty() ? Json() : Json(nineFigures(incidence->steps.back().byCause[c]))},
                                  {"steps", std::move(at)}});
            }
    j["causes"] = std::move(causes);
    j["missing"] = std::move(missing);
    a.curve = *curve;
    a.json = std::move(j);
    return a;
}

Json comparisonOf(const std::vector<Lives>& groups)
{
    std::vector<LifeRecord> all;
    std::vector<int> labels;
    int label = 0;
    for (const Lives& g : groups) {
        double ended = 0.0;
        for (const LifeRecord& r : g.records)
            ended += r.failed ? r.weight : 0.0;
        if (ended < kMedianLeastEnds)
            continue;
        for (const LifeRecord& r : g.records) {
            all.push_back(r);
            labels.push_back(label);
        }
        ++label;
    }
    if (label < 2)
        return {};
    const auto test = logRank(all, labels);
    if (!test)
        return {};
    return {{"test", "log-rank"},
            {"groups", label},
            {"chi_square", nineFigures(test->chiSquare)},
            {"degrees", test->degrees},
            {"p", nineFigures(test->p)}};
}

int showLives(Context& context, const std::vector<Lives>& groups, std::string_view rules, const Instant& asOf, bool inDays)
{
    Json list = Json::array();
    for (const Lives& g : groups) {
        const auto answer = answerOf(g, inDays);
        if (!answer)
            return context.fail(answer.error());
        if (context.json) {
            list.push_back(answer->json);
            continue;
        }
        std::ostream& out = context.out();
        const std::string unit = inDays ? " d" : "";
        out << fmt::format("{}: {:g} lives, {:g} ended\n", g.name, answer->json.at("n").get<double>(),
                           answer->json.at("failures").get<double>());
        if (answer->json.at("median").is_number())
            out << fmt::format("    half have ended by {:.5g}{}\n", *answer->curve->median, unit);
        if (answer->fit) {
            const Limits shape = answer->profile ? answer->profile->shape : answer->fit->shapeWald;
            const Limits scale = answer->profile ? answer->profile->scale : answer->fit->scaleWald;
            out << fmt::format("    Weibull shape {:.4g} ({:.3g} to {:.3g}), scale {:.5g}{} ({:.4g} to {:.4g}), ln L {:.5f}{}\n",
                               answer->fit->shape, shape.lower, shape.upper, answer->fit->scale, unit, scale.lower, scale.upper,
                               answer->fit->logLikelihood, answer->prior ? ", shape leans on a usual one" : "");
        } else {
            writeWrapped(out, answer->why, 4, 6);
        }
        for (const Json& c : answer->json.at("causes"))
            if (c.at("incidence").is_number())
                out << fmt::format("    {:<14}{:>5g}  {:>4.0f} % in the end\n", c.at("cause").get<std::string>(), c.at("n").get<double>(),
                                   100.0 * c.at("incidence").get<double>());
    }
    const Json comparison = groups.size() > 1 ? comparisonOf(groups) : Json();
    if (context.json) {
        Json answer = context.envelope(rules, asOf);
        answer["unit"] = inDays ? Json("days") : Json();
        answer["groups"] = std::move(list);
        answer["comparison"] = comparison;
        context.print(answer);
    } else if (comparison.is_object()) {
        context.out() << fmt::format("log-rank: chi-square {:.4f}, {} degrees, p {:.4f}\n", comparison.at("chi_square").get<double>(),
                                     comparison.at("degrees").get<int>(), comparison.at("p").get<double>());
    }
    return kDone;
}

int runLivesTable(Context& context, const LifetimesOptions& options)
{
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto table = AnyTable::read(options.table, {"time", "failed"}, {"count", "entered", "group", "cause", "alive_at"});
    if (!table)
        return context.fail(table.error());
    std::map<std::string, Lives> groups;
    std::map<std::string, int> causes;
    std::vector<std::string> order;
    for (std::size_t i = 0; i < table->rows(); ++i) {
        const auto time = table->number(i, "time"), count = table->numberOr(i, "count", 1.0), entered = table->numberOr(i, "entered", 0.0);
        for (const auto* cell : {&time, &count, &entered})
            if (!*cell)
                return context.fail(cell->error());
        const std::string& word = table->text(i, "failed");
        if (word != "yes" && word != "no" && word != "1" && word != "0")
            return context.fail(table->errorAt(i, "failed", fmt::format("\"{}\" is neither yes nor no", word),
                                               "write yes (or 1) if it failed at that time, else no (or 0)"));
        if (!(*count > 0.0))
            return context.fail(
                table->errorAt(i, "count", "a count must be positive", "leave the row out, or give how many lives it stands for"));
        if (*entered < 0.0 || *entered >= *time)
            return context.fail(table->errorAt(i, "entered", "a life must enter before it ends", "check time and entered"));
        const bool failed = word == "yes" || word == "1";
        const std::string& name = table->text(i, "group");
        if (!groups.contains(name))
            order.push_back(name);
        Lives& g = groups[name];
        g.name = name.empty() ? "all" : name;
        LifeRecord r{.entry = *entered, .exit = *time, .failed = failed, .weight = *count, .cause = 0};
        IntervalLife life{.entry = *entered, .lower = *time, .upper = failed ? std::optional(*time) : std::nullopt, .weight = *count};
        if (failed) {
            const std::string& cause = table->text(i, "cause");
            const auto it = causes.try_emplace(cause, static_cast<int>(causes.size()) + 1).first;
            r.cause = it->second;
            g.causes[it->second] = cause.empty() ? "any" : cause;
            if (!table->text(i, "alive_at").empty()) {
                const auto alive = table->number(i, "alive_at");
                if (!alive)
                    return context.fail(alive.error());
                if (*alive > *time || *alive < *entered)
                    return context.fail(
                        table->errorAt(i, "alive_at", "last seen alive must lie between entered and time", "check the row"));
                life.lower = *alive;
            }
        }
        g.records.push_back(r);
        g.intervals.push_back(life);
    }
    if (order.empty())
        return context.fail(Error{.code = Errc::BadInput,
                                  .detail = "the table has no rows",
                                  .file = std::filesystem::path(options.table).filename().string(),
                                  .remedy = "give columns time, failed"});
    std::ranges::sort(order);
    std::vector<Lives> list;
    for (const std::string& name : order)
        list.push_back(std::move(groups[name]));
    return showLives(context, list, RuleSet::shipped().id(), *asOf, false);
}

int runLifetimes(Context& context, const LifetimesOptions& options)
{
    if (!options.table.empty())
        return runLivesTable(context, options);
    if (context.book.empty())
        return context.failUsage("no book is named", "give --book FILE or set HALFCELL_BOOK, or --table FILE.csv");
    const std::set<std::string> known{"model", "application", "site", "design"};
    std::vector<std::string> by;
    std::string_view rest = options.by;
    while (!rest.empty()) {
        const std::size_t comma = rest.find(',');
        by.emplace_back(rest.substr(0, comma));
        if (!known.contains(by.back()))
            return context.failUsage(fmt::format("--by {} is not known", by.back()),
                                     "use model, application, site, design, with commas between");
        rest = comma == std::string_view::npos ? std::string_view() : rest.substr(comma + 1);
    }
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    auto records = book->loadRecords();
    if (!records)
        return context.fail(records.error());
    const auto rules = book->rulesAt(*asOf);
    if (!rules)
        return context.fail(rules.error());
    const Plant plant = Plant::asKnown(std::move(*records), *asOf);
    std::map<std::vector<std::string>, Lives> groups;
    for (const BookLife& life : livesOf(plant)) {
        std::vector<std::string> key;
        Json j;
        for (const std::string& what : by) {
            std::string value = what == "model" ? life.model : what == "application" ? life.application : life.site;
            if (what == "design") {
                const Model* model = plant.model(life.model);
                value = model && model->reference ? std::string(keyOf(*model->reference)) : std::string();
            }
            key.push_back(value);
            j[what] = value.empty() ? Json() : Json(value);
        }
        Lives& g = groups[key];
        g.key = j;
        const LifeRecord r = recordOf(life);
        if (r.failed)
            g.causes[r.cause] = std::string(endCauseKey(static_cast<EndCause>(r.cause)));
        g.records.push_back(r);
        g.intervals.push_back(intervalOf(life));
    }
    std::vector<Lives> list;
    for (auto& [key, g] : groups) {
        for (const std::string& part : key)
            g.name += (g.name.empty() ? "" : ", ") + (part.empty() ? std::string("not recorded") : part);
        if (g.name.empty())
            g.name = "all";
        list.push_back(std::move(g));
    }
    return showLives(context, list, rules->id(), *asOf, true);
}

}  // namespace

std::vector<Verb> lifetimesVerbs()
{
    return {{"lifetimes", "how long sensors last and of what they die", false, [](CLI::App& command) {
                 auto o = std::make_shared<LifetimesOptions>();
                 command.add_option("--by", o->by, "groups: model, application, site, design (model,application)")->type_name("KEY,...");
                 command.add_option("--table", o->table, "any lives: time, failed, count, entered, group, cause, alive_at")
                     ->type_name("FILE.csv");
                 return [o](Context& context) { return runLifetimes(context, *o); };
             }}};
}

}  // namespace halfcell::app
