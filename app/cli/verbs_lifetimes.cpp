#include "app/cli/any_table.h"
#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "core/lifetimes/life_groups.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

struct LifetimesOptions {
    std::string by = "model,application", table;
};

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

/// A group as JSON.
Json groupJson(const LifeGroup& group, const LifeSummary& s)
{
    Json j = Json::object();
    for (const auto& [what, value] : group.key)
        j[what] = value ? Json(*value) : Json();
    j["group"] = group.name;
    j["n"] = s.lives;
    j["failures"] = s.ended;
    Json missing = Json::array();
    const bool enough = s.curveMissing.empty();
    const bool medianShown = enough && s.ended >= kMedianLeastEnds;
    j["median"] = medianShown ? optionalJson(s.curve.median) : Json();
    j["median_ci"] = medianShown ? Json::array({optionalJson(s.curve.medianLower), optionalJson(s.curve.medianUpper)}) : Json();
    if (!enough)
        missing.push_back({{"figure", "steps"}, {"reason", s.curveMissing}});
    else if (!s.medianMissing.empty())
        missing.push_back({{"figure", "median"}, {"reason", s.medianMissing}});
    if (s.fit) {
        const auto ci = [](const Limits& l) { return Json::array({nineFigures(l.lower), nineFigures(l.upper)}); };
        j["weibull"] = {{"shape", nineFigures(s.fit->shape)},
                        {"scale", nineFigures(s.fit->scale)},
                        {"shape_ci", s.profile ? ci(s.profile->shape) : ci(s.fit->shapeWald)},
                        {"scale_ci", s.profile ? ci(s.profile->scale) : ci(s.fit->scaleWald)},
                        {"ci", s.profile ? "profile likelihood, 95 %" : "normal approximation, 95 %"},
                        {"shape_ci_wald", ci(s.fit->shapeWald)},
                        {"scale_ci_wald", ci(s.fit->scaleWald)},
                        {"log_likelihood", nineFigures(s.fit->logLikelihood)},
                        {"b10", nineFigures(s.fit->quantile(0.1))},
                        {"shape_prior", s.shapePrior},
                        {"extrapolated", s.fit->quantile(0.5) > s.curve.lastTime}};
    } else {
        j["weibull"] = nullptr;
        missing.push_back({{"figure", "weibull"}, {"reason", s.fitMissing}});
    }
    Json steps = Json::array();
    if (enough)
        for (const SurvivalStep& step : s.curve.steps)
            steps.push_back({{"time", step.time},
                             {"at_risk", step.atRisk},
                             {"ended", step.ended},
                             {"survival", nineFigures(step.survival)},
                             {"lower", nineFigures(step.lower)},
                             {"upper", nineFigures(step.upper)}});
    j["steps"] = std::move(steps);
    j["drawn_until"] = enough ? Json(s.curve.drawnUntil()) : Json();
    Json causes = Json::array();
    if (s.incidence)
        for (std::size_t c = 0; c < s.incidence->causes.size(); ++c) {
            Json at = Json::array();
            for (const IncidenceStep& step : s.incidence->steps)
                at.push_back({{"time", step.time}, {"incidence", nineFigures(step.byCause[c])}});
            const auto name = group.causes.find(s.incidence->causes[c]);
            double count = 0.0;
            for (const LifeRecord& r : group.records)
                count += r.failed && r.cause == s.incidence->causes[c] ? r.weight : 0.0;
            causes.push_back({{"cause", name == group.causes.end() ? std::to_string(s.incidence->causes[c]) : name->second},
                              {"n", count},
                              {"incidence", s.incidence->steps.empty() ? Json() : Json(nineFigures(s.incidence->steps.back().byCause[c]))},
                              {"steps", std::move(at)}});
        }
    j["causes"] = std::move(causes);
    j["missing"] = std::move(missing);
    return j;
}

Json comparisonJson(const std::vector<LifeGroup>& groups)
{
    const auto test = comparisonOf(groups);
    if (!test)
        return {};
    return {{"test", "log-rank"},
            {"groups", test->groups.size()},
            {"chi_square", nineFigures(test->chiSquare)},
            {"degrees", test->degrees},
            {"p", nineFigures(test->p)}};
}

int showLives(Context& context, const std::vector<LifeGroup>& groups, std::string_view rules, const Instant& asOf, bool inDays)
{
    Json list = Json::array();
    for (const LifeGroup& g : groups) {
        const auto summary = summaryOf(g, inDays);
        if (!summary)
            return context.fail(summary.error());
        const Json group = groupJson(g, *summary);
        if (context.json) {
            list.push_back(group);
            continue;
        }
        std::ostream& out = context.out();
        const std::string unit = inDays ? " d" : "";
        out << fmt::format("{}: {:g} lives, {:g} ended\n", g.name, summary->lives, summary->ended);
        if (group.at("median").is_number())
            out << fmt::format("    half have ended by {:.5g}{}\n", *summary->curve.median, unit);
        if (summary->fit) {
            const Limits shape = summary->profile ? summary->profile->shape : summary->fit->shapeWald;
            const Limits scale = summary->profile ? summary->profile->scale : summary->fit->scaleWald;
            out << fmt::format("    Weibull shape {:.4g} ({:.3g} to {:.3g}), scale {:.5g}{} ({:.4g} to {:.4g}), ln L {:.5f}{}\n",
                               summary->fit->shape, shape.lower, shape.upper, summary->fit->scale, unit, scale.lower, scale.upper,
                               summary->fit->logLikelihood, summary->shapePrior ? ", shape leans on a usual one" : "");
        } else {
            writeWrapped(out, summary->fitMissing, 4, 6);
        }
        for (const Json& c : group.at("causes"))
            if (c.at("incidence").is_number())
                out << fmt::format("    {:<14}{:>5g}  {:>4.0f} % in the end\n", c.at("cause").get<std::string>(), c.at("n").get<double>(),
                                   100.0 * c.at("incidence").get<double>());
    }
    const Json comparison = groups.size() > 1 ? comparisonJson(groups) : Json();
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
    std::map<std::string, LifeGroup> groups;
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
        LifeGroup& g = groups[name];
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
    std::vector<LifeGroup> list;
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
    std::vector<LivesBy> by;
    std::string_view rest = options.by;
    while (!rest.empty()) {
        const std::size_t comma = rest.find(',');
        const auto what = livesByOf(rest.substr(0, comma));
        if (!what)
            return context.failUsage(fmt::format("--by {} is not known", rest.substr(0, comma)),
                                     "use model, application, site, design, with commas between");
        by.push_back(*what);
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
    return showLives(context, lifeGroupsOf(plant, by), rules->id(), *asOf, true);
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
