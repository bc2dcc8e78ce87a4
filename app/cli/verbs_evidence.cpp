#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"

#include "core/effects/effects.h"
#include "core/suspects/suspects.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <ostream>
#include <thread>

namespace halfcell::app {

using namespace core;

namespace {

double roundedEvidence(double value)
{
    return std::round(value * 1e6) / 1e6;
}

Json roundedEvidenceOr(const std::optional<double>& v)
{
    return v ? Json(roundedEvidence(*v)) : Json();
}

/// Opens the book, judges every sensor and learns the outlook (without walking through the past).
template <class Run>
int withOutlook(Context& context, const char* what, const Run& run)
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
    outlook::WalkSettings settings;
    settings.forecasts = false;
    settings.learning.threads = std::max(1U, std::thread::hardware_concurrency());
    settings.learning.progress = context.progress(what);
    const auto built = outlook::bookOutlook(*overview->plant, overview->figures, overview->rules, settings);
    if (!built)
        return context.fail(built.error());
    return run(*overview, *built, *asOf);
}

int runEffects(Context& context, const std::string& by)
{
    EffectBy grouping = EffectBy::ActionApplication;
    if (by == "action")
        grouping = EffectBy::Action;
    else if (by == "action,design")
        grouping = EffectBy::ActionDesign;
    else if (by == "action,design,application")
        grouping = EffectBy::ActionDesignApplication;
    else if (by != "action,application")
        return context.failUsage(fmt::format("--by {} is not known", by),
                                 "use action, action,application, action,design or action,design,application");
    return withOutlook(
        context, "learning what services brought",
        [&](const Overview& overview, const outlook::BookOutlook& book, const Instant& asOf) -> int {
            const ServiceList list = servicesOf(*overview.plant, overview.figures, book);
            const auto effects = effectsOf(list.services, grouping);
            if (context.json) {
                Json answer = context.envelope(overview.rules.id(), asOf);
                Json rows = Json::array();
                for (const Effect& e : effects) {
                    Json missing = Json::array();
                    if (!e.gain_pct)
                        missing.push_back(
                            {{"figure", "efficiency_gain_pct"}, {"reason", "fewer than three visits on two sensors, here and elsewhere"}});
                    if (!e.lasted_days)
                        missing.push_back(
                            {{"figure", "lasted_days"},
                             {"reason", e.heldAtLeast_days > 0.0
                                            ? fmt::format("half of it was not seen lost; held {:.0f} days at least", e.heldAtLeast_days)
                                            : std::string("too few later readings")}});
                    rows.push_back(
                        {{"action", e.action},
                         {"design", e.design.empty() ? Json() : Json(e.design)},
                         {"application", e.application.empty() ? Json() : Json(e.application)},
                         {"n", e.n},
                         {"sensors", e.sensors},
                         {"efficiency_gain_pct", roundedEvidenceOr(e.gain_pct)},
                         {"ci", e.lower ? Json::array({roundedEvidence(*e.lower), roundedEvidence(*e.upper)}) : Json()},
                         {"chance_positive", e.gain_pct ? Json(roundedEvidence(e.chancePositive)) : Json()},
                         {"chance_worthwhile", e.gain_pct ? Json(roundedEvidence(e.chanceWorthwhile)) : Json()},
                         {"plain_difference_pct", roundedEvidence(e.plain_pct)},
                         {"borrowed", e.borrowed},
                         {"lasted_days", roundedEvidenceOr(e.lasted_days)},
                         {"lasted_ci",
                          e.lasted_days ? Json::array({roundedEvidenceOr(e.lastedLower), roundedEvidenceOr(e.lastedUpper)}) : Json()},
                         {"held_at_least_days", roundedEvidence(e.heldAtLeast_days)},
                         {"missing", std::move(missing)}});
                }
                answer["effects"] = std::move(rows);
                answer["services"] = list.services.size();
                answer["without_forecast"] = list.withoutForecast;
                context.print(answer);
                return kDone;
            }
            std::ostream& out = context.out();
            out << "gain of efficiency from as found to after, freed of luck; 90 % interval\n";
            for (const Effect& e : effects) {
                std::string name = e.action;
                for (const std::string* part : {&e.design, &e.application})
                    if (!part->empty())
                        name += ", " + *part;
                writeWrapped(out, name, 0, 2);
                if (!e.gain_pct) {
                    out << fmt::format("    {} visits: not enough yet\n", e.n);
                    continue;
                }
                out << fmt::format("    {:+.2f} %  ({:+.2f} to {:+.2f})  {} visits, {} sensors{}", *e.gain_pct, *e.lower, *e.upper, e.n,
                                   e.sensors, e.borrowed ? ", borrowed" : "");
                if (e.lasted_days)
                    out << fmt::format("; half lost after {:.0f} d", *e.lasted_days);
                out << '\n';
            }
            return kDone;
        });
}

struct SuspectsOptions {
    double weeks = 0.0;
    bool withoutPeople = false;
};

int runSuspects(Context& context, const SuspectsOptions& options)
{
    if (options.weeks < 0.0)
        return context.failUsage("--weeks must not be negative", "leave it out to look at everything");
    return withOutlook(
        context, "looking for shared shifts", [&](const Overview& overview, const outlook::BookOutlook& book, const Instant& asOf) -> int {
            const Suspects suspects = suspectsOf(*overview.plant, overview.figures, book, options.weeks, !options.withoutPeople);
            if (context.json) {
                Json answer = context.envelope(overview.rules.id(), asOf);
                Json rows = Json::array();
                for (const Suspects::Found& f : suspects.found) {
                    const SharedShift& s = f.shift;
                    rows.push_back(
                        {{"what", sharedFactorKey(s.factor)},
                         {"id", s.id},
                         {"quantity", shiftOfKey(f.quantity)},
                         {"shift", roundedEvidence(s.shift)},
                         {"ci", Json::array({roundedEvidence(s.shift - 1.959964 * s.u), roundedEvidence(s.shift + 1.959964 * s.u)})},
                         {"q_value", s.q},
                         {"p_value", s.p},
                         {"shrunken", roundedEvidence(s.shrunken)},
                         {"sensors", s.sensors},
                         {"readings", s.readings},
                         {"first", formatDate(startOfDay(s.first))},
                         {"last", formatDate(startOfDay(s.last))},
                         {"alike", s.alike}});
                }
                answer["suspects"] = std::move(rows);
                Json looked = Json::array();
                for (const std::size_t k : {std::size_t{0}, std::size_t{1}})
                    looked.push_back({{"quantity", k == 0 ? "offset_mv" : "efficiency_pct"},
                                      {"readings", suspects.readings[k]},
                                      {"tests", suspects.tests[k]},
                                      {"abstained", suspects.abstained[k].empty() ? Json() : Json(suspects.abstained[k])}});
                answer["looked_at"] = std::move(looked);
                context.print(answer);
            } else {
                std::ostream& out = context.out();
                for (const Suspects::Found& f : suspects.found) {
                    const SharedShift& s = f.shift;
                    const char* unit = f.quantity == ShiftOf::OffsetMv ? "mV" : "%";
                    writeWrapped(out,
                                 fmt::format("{} {}{}: {:+.1f} {} ({:+.1f} to {:+.1f}) on {} sensors, {} to {}; q {:.2g}",
                                             sharedFactorKey(s.factor), s.id, s.factor == SharedFactor::Person ? " (method differs)" : "",
                                             s.shift, unit, s.shift - 1.96 * s.u, s.shift + 1.96 * s.u, s.sensors,
                                             formatDate(startOfDay(s.first)), formatDate(startOfDay(s.last)), s.q),
                                 0, 4);
                    for (const std::string& other : s.alike)
                        writeWrapped(out, "cannot be told apart from " + other + ": use one without the other", 4, 6);
                }
                for (const std::size_t k : {std::size_t{0}, std::size_t{1}}) {
                    const std::string name = k == 0 ? "offset" : "efficiency";
                    out << (suspects.abstained[k].empty()
                                ? fmt::format("{}: {} readings, {} levels tested\n", name, suspects.readings[k], suspects.tests[k])
                                : fmt::format("{}: {}\n", name, suspects.abstained[k]));
                }
            }
            return suspects.found.empty() ? kDone : kAttention;
        });
}

}  // namespace

std::vector<Verb> evidenceVerbs()
{
    return {
        {"effects", "what each action bought, and for how long", true,
         [](CLI::App& command) {
             auto by = std::make_shared<std::string>("action,application");
             command.add_option("--by", *by, "grouping: action, with design and application (action,application)")->type_name("KEY,...");
             return [by](Context& context) { return runEffects(context, *by); };
         }},
        {"suspects", "bottle, meter, person or day that moved many sensors alike", true,
         [](CLI::App& command) {
             auto o = std::make_shared<SuspectsOptions>();
             command.add_option("--weeks", o->weeks, "look at the last W weeks only (everything)")->type_name("W");
             command.add_flag("--without-people", o->withoutPeople, "leave people out (figures about persons need their consent)");
             return [o](Context& context) { return runSuspects(context, *o); };
         }},
    };
}

}  // namespace halfcell::app
