#include "app/cli/interval_forms.h"
#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "app/service/week.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace halfcell::app {

using namespace core;

namespace {

/// Opens the book and works out the overview; the error's exit code otherwise.
template <class Run>
int withOverview(Context& context, Run run)
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
    return run(*overview, *asOf);
}

int runDue(Context& context, const std::string& untilText)
{
    return withOverview(context, [&](const Overview& overview, const Instant& asOf) -> int {
        std::int64_t until = dayNumber(asOf) + 7;
        if (!untilText.empty()) {
            const auto parsed = parseInstant(untilText, DateMeans::EndOfDay);
            if (!parsed) {
                Error error = parsed.error();
                error.field = "--until";
                return context.fail(error);
            }
            until = dayNumber(*parsed);
        }
        const auto tasks = overview.due(until);
        if (context.json) {
            Json answer = context.envelope(overview.rules.id(), asOf);
            answer["until"] = dayJson(until);
            Json list = Json::array();
            for (const DueTask& task : tasks)
                list.push_back(jsonOf(task));
            answer["tasks"] = std::move(list);
            context.print(answer);
        } else {
            writeDue(context.out(), tasks);
        }
        const std::int64_t today = dayNumber(asOf);
        const bool overdue = std::ranges::any_of(tasks, [today](const DueTask& t) { return t.latest < today; });
        return overdue ? kAttention : kDone;
    });
}

struct RoundsOptions {
    std::string week;
    int people = 0;
};

int runRounds(Context& context, const RoundsOptions& options)
{
    return withOverview(context, [&](const Overview& overview, const Instant& asOf) -> int {
        IsoWeek week = isoWeekOf(dayNumber(asOf));
        if (!options.week.empty()) {
            const auto parsed = parseIsoWeek(options.week);
            if (!parsed) {
                Error error = parsed.error();
                error.field = "--week";
                return context.fail(error);
            }
            week = *parsed;
        }
        if (options.people < 0)
            return context.failUsage("--people must be 1 or more", "leave it out to plan with everybody");
        const WeekPlan plan = planOfWeek(overview, week, options.people);
        if (context.json) {
            Json answer = context.envelope(overview.rules.id(), asOf);
            answer.update(jsonOf(plan));
            context.print(answer);
        } else {
            writePlan(context.out(), plan);
        }
        return plan.unplanned.empty() ? kDone : kAttention;
    });
}

int runReview(Context& context, std::optional<double> budget)
{
    if (budget && *budget < 0.0)
        return context.failUsage("--budget must not be negative", "give the money there is");
    return withOverview(context, [&](const Overview& overview, const Instant& asOf) -> int {
        const Review review = reviewFleet(*overview.plant, overview.assessments, overview.figures, overview.rules, budget);
        const auto intervals = proposalsOf(*overview.plant, overview.figures, overview.rules);
        if (context.json) {
            Json answer = context.envelope(overview.rules.id(), asOf);
            answer.update(jsonOf(review));
            answer.update(intervalsJson(intervals));
            context.print(answer);
        } else {
            writeReview(context.out(), review);
            writeIntervals(context.out(), intervals);
        }
        const bool decision = std::ranges::any_of(review.cases, [](const ReviewCase& c) { return c.recommended && *c.recommended != OptionKind::Run; });
        return decision ? kAttention : kDone;
    });
}

}  // namespace

std::vector<Verb> planVerbs()
{
    return {
        {"due", "work that is due, with why", true,
         [](CLI::App& command) {
             auto until = std::make_shared<std::string>();
             command.add_option("--until", *until, "up to and with this day (a week from now)")->type_name("DATE");
             return [until](Context& context) { return runDue(context, *until); };
         }},
        {"rounds", "the week's plan by day and person, with kit", true,
         [](CLI::App& command) {
             auto options = std::make_shared<RoundsOptions>();
             command.add_option("--week", options->week, "ISO week, 2026-W10 (this week)")->type_name("YYYY-Www");
             command.add_option("--people", options->people, "plan with the first N people only");
             return [options](Context& context) { return runRounds(context, *options); };
         }},
        {"review", "replace or restore: options per sensor with their cost; proposals of calibration intervals", true,
         [](CLI::App& command) {
             auto budget = std::make_shared<std::optional<double>>();
             command.add_option("--budget", *budget, "money there is; chooses what saves most");
             return [budget](Context& context) { return runReview(context, *budget); };
         }},
    };
}

}  // namespace halfcell::app
