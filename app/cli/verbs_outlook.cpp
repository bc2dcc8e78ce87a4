#include "app/cli/any_table.h"
#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "app/cli/verbs.h"
#include "app/service/outlook_request.h"

#include "core/outlook/outlook.h"
#include "core/outlook/score.h"
#include "core/outlook/table_mode.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <ostream>
#include <thread>

namespace halfcell::app {

using namespace core;

namespace {

struct OutlookOptions {
    std::string serial, weeks = "4,8,13,26,52", table, at;
    std::optional<double> limit;
    bool falling = false, rising = false, score = false;
};

/// Full precision of a forecast is its noise; a millionth is kept.
double roundedForecast(double value)
{
    return std::round(value * 1e6) / 1e6;
}

Json instantJson(const std::optional<Instant>& t)
{
    return t ? Json(formatInstant(*t)) : Json();
}

template <class Values>
void putQuantiles(Json& j, const Values& q, bool known)
{
    static constexpr const char* kNames[] = {"p05", "p10", "p25", "p50", "p75", "p90", "p95"};
    for (std::size_t i = 0; i < outlook::kLevels.size(); ++i)
        j[kNames[i]] = known ? Json(roundedForecast(q[i])) : Json();
}

Json textOrNull(const std::string& text)
{
    return text.empty() ? Json() : Json(text);
}

Json outlookJson(const outlook::SensorOutlook& o)
{
    Json j;
    j["serial"] = o.serial;
    j["tag"] = textOrNull(o.tag);
    j["site"] = textOrNull(o.site);
    j["kind"] = keyOf(o.kind);
    j["group"] = o.group;
    j["readings"] = o.readings;
    j["borrowed"] = o.groupOnly;
    Json list = Json::array();
    for (const outlook::SensorForecast& f : o.forecasts) {
        Json e;
        e["quantity"] = outlook::quantityKey(f.quantity);
        e["at"] = formatInstant(f.at);
        e["weeks"] = f.weeks;
        putQuantiles(e, f.q, f.abstained.empty());
        if (!f.abstained.empty())
            e["missing"] = Json::array({{{"figure", outlook::quantityKey(f.quantity)}, {"reason", f.abstained}}});
        list.push_back(std::move(e));
    }
    j["forecast"] = std::move(list);
    if (o.crossing) {
        const outlook::SensorCrossing& c = *o.crossing;
        Json by = Json::array();
        for (const auto& p : c.probabilityBy)
            by.push_back({{"at", formatInstant(p.at)}, {"probability", roundedForecast(p.probability)}});
        Json e;
        e["limit"] = c.limit;
        e["p10"] = instantJson(c.p10);
        e["p50"] = instantJson(c.p50);
        e["p90"] = instantJson(c.p90);
        e["not_before"] = c.p50 ? Json() : instantJson(c.notBefore);
        e["probability_by"] = std::move(by);
        if (!c.abstained.empty())
            e["missing"] = Json::array({{{"figure", "crossing"}, {"reason", c.abstained}}});
        j["crossing"] = std::move(e);
    } else {
        j["crossing"] = nullptr;
    }
    j["out_before_next"] = o.outBeforeNext ? Json(roundedForecast(*o.outBeforeNext)) : Json();
    j["next_due"] = instantJson(o.nextDue);
    j["past"] = {{"n", o.record.n}, {"said", o.record.said80}, {"came", o.record.n > 0 ? Json(roundedForecast(o.record.came)) : Json()}};
    j["sentence"] = textOrNull(o.sentence);
    j["abstained"] = textOrNull(o.abstained);
    Json working = Json::array();
    for (const WorkingStep& step : o.working)
        working.push_back(jsonOf(step));
    j["working"] = std::move(working);
    return j;
}

void writeOutlook(std::ostream& out, const outlook::SensorOutlook& o)
{
    out << padded(o.serial, 12) << padded(o.tag.empty() ? "-" : o.tag, 12) << o.group << '\n';
    if (!o.abstained.empty())
        writeWrapped(out, o.abstained, 4, 4);
    if (!o.sentence.empty())
        writeWrapped(out, o.sentence, 4, 4);
    for (const outlook::SensorForecast& f : o.forecasts) {
        const char* unit = f.quantity == outlook::Quantity::Efficiency ? "%" : f.quantity == outlook::Quantity::Offset ? "mV" : "s";
        const std::string name = f.quantity == outlook::Quantity::Efficiency ? "efficiency"
                                 : f.quantity == outlook::Quantity::Offset   ? "offset"
                                                                             : "response";
        if (!f.abstained.empty()) {
            writeWrapped(out, fmt::format("{} in {:.0f} weeks: {}", name, f.weeks, f.abstained), 4, 6);
            continue;
        }
        out << fmt::format("    {:<11}{:>4.0f} weeks  {:>8.1f}  {:>8.1f} ... {:>8.1f} {}\n", name, f.weeks, f.q[3], f.q[1], f.q[5], unit);
    }
    if (o.crossing && o.crossing->abstained.empty()) {
        const auto& c = *o.crossing;
        if (c.p50)
            writeWrapped(out,
                         fmt::format("below {:.0f} %: {}, {} to {}", c.limit, formatDate(*c.p50),
                                     c.p10 ? formatDate(*c.p10) : std::string("-"),
                                     c.p90 ? formatDate(*c.p90) : "after " + formatDate(*c.notBefore)),
                         4, 6);
        else
            writeWrapped(out,
                         fmt::format("below {:.0f} %: {}", c.limit,
                                     c.p10 ? "not before " + formatDate(*c.p10) : "not before " + formatDate(*c.notBefore)),
                         4, 6);
    }
    if (o.outBeforeNext)
        writeWrapped(
            out, fmt::format("out of limit before the next visit ({}): {:.0f} %", formatDate(*o.nextDue), 100.0 * *o.outBeforeNext), 4, 6);
    if (o.record.n > 0)
        writeWrapped(
            out, fmt::format("past outlooks of this group: {} came due, said 80 %, {:.0f} % came true", o.record.n, 100.0 * o.record.came),
            4, 6);
}

Json horizonScoreJson(const outlook::HorizonScore& h)
{
    Json j;
    j["horizon_weeks"] = h.weeks > 0.0 ? Json(h.weeks) : Json("all");
    j["n"] = h.n;
    j["sensors"] = h.sensors;
    const bool any = h.n > 0;
    j["coverage_50"] = any ? Json(roundedForecast(h.coverage50)) : Json();
    j["coverage_80"] = any ? Json(roundedForecast(h.coverage80)) : Json();
    j["coverage_90"] = any ? Json(roundedForecast(h.coverage90)) : Json();
    j["coverage_80_ci"] = any ? Json::array({roundedForecast(h.coverage80Lower), roundedForecast(h.coverage80Upper)}) : Json();
    j["crps_skill_vs_last_value"] = h.skillLastValue ? Json(roundedForecast(*h.skillLastValue)) : Json();
    j["crps_skill_vs_straight_line"] = h.skillStraightLine ? Json(roundedForecast(*h.skillStraightLine)) : Json();
    j["median_abs_error"] = any ? Json(roundedForecast(h.medianAbsError)) : Json();
    j["median_abs_error_last_value"] = any ? Json(roundedForecast(h.medianAbsErrorLastValue)) : Json();
    j["abstained_pct"] = roundedForecast(100.0 * h.abstainedShare);
    j["verdict"] = textOrNull(h.verdict);
    return j;
}

int showScore(Context& context, const Overview& overview, const Instant& asOf, const outlook::BookOutlook& book)
{
    const outlook::Score score = outlook::scoreOf(book.shop, book.walk);
    if (context.json) {
        Json answer = context.envelope(overview.rules.id(), asOf);
        Json list = Json::array();
        for (const auto& h : score.horizons)
            list.push_back(horizonScoreJson(h));
        answer["score"] = std::move(list);
        answer["all"] = horizonScoreJson(score.all);
        Json pit = Json::array();
        for (const auto& b : score.pit)
            pit.push_back({{"from", roundedForecast(b.from)}, {"to", roundedForecast(b.to)}, {"n", b.n}});
        answer["pit"] = std::move(pit);
        Json worst = Json::array();
        for (const auto& m : score.worst)
            worst.push_back({{"serial", m.serial},
                             {"made", formatInstant(m.origin)},
                             {"at", formatInstant(m.at)},
                             {"weeks", roundedForecast(m.weeks)},
                             {"p10", roundedForecast(m.said10)},
                             {"p50", roundedForecast(m.said50)},
                             {"p90", roundedForecast(m.said90)},
                             {"came", roundedForecast(m.came)}});
        answer["worst"] = std::move(worst);
        answer["origins"] = score.origins;
        answer["abstained"] = textOrNull(score.abstained);
        context.print(answer);
        return kDone;
    }
    std::ostream& out = context.out();
    if (!score.abstained.empty()) {
        writeWrapped(out, score.abstained, 0, 2);
        return kDone;
    }
    out << "weeks     n   covered 50/80/90 %    skill: last   line   abstained\n";
    const auto line = [&](const outlook::HorizonScore& h, const std::string& name) {
        out << fmt::format(
            "{:<6}{:>5}   {:>4.0f} {:>4.0f} {:>4.0f}           {:>6} {:>6}    {:>4.0f} %  {}\n", name, h.n, 100 * h.coverage50,
            100 * h.coverage80, 100 * h.coverage90, h.skillLastValue ? fmt::format("{:+.0f} %", 100 * *h.skillLastValue) : "-",
            h.skillStraightLine ? fmt::format("{:+.0f} %", 100 * *h.skillStraightLine) : "-", 100 * h.abstainedShare, h.verdict);
    };
    for (const auto& h : score.horizons)
        line(h, fmt::format("{:.0f}", h.weeks));
    line(score.all, "all");
    return kDone;
}

int runOutlookTable(Context& context, const OutlookOptions& options)
{
    if (!options.limit)
        return context.failUsage("a table needs a limit", "add --limit L and --falling or --rising");
    if (options.falling == options.rising)
        return context.failUsage("say which way the value goes", "add --falling or --rising");
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    const auto table = AnyTable::read(options.table, {"unit", "time", "value"}, {});
    if (!table)
        return context.fail(table.error());
    outlook::TableSettings settings{
        .limit = *options.limit, .rising = options.rising, .at = {}, .threads = std::max(1U, std::thread::hardware_concurrency())};
    const auto at = numbersOf(options.at, "--at");
    if (!at)
        return context.fail(at.error());
    settings.at = *at;
    std::vector<outlook::TableRow> rows;
    for (std::size_t i = 0; i < table->rows(); ++i) {
        const auto time = table->number(i, "time"), value = table->number(i, "value");
        for (const auto* cell : {&time, &value})
            if (!*cell)
                return context.fail(cell->error());
        if (table->text(i, "unit").empty())
            return context.fail(table->errorAt(i, "unit", "the unit is not named", "give every row its unit"));
        rows.push_back({table->text(i, "unit"), *time, *value, table->lineOf(i)});
    }
    auto answerOf = outlook::tableOutlook(rows, settings);
    if (!answerOf) {
        Error error = answerOf.error();
        if (error.line)
            error.file = std::filesystem::path(options.table).filename().string();
        return context.fail(error);
    }
    if (context.json) {
        Json answer = context.envelope(RuleSet::shipped().id(), *asOf);
        Json list = Json::array();
        for (const outlook::TableUnit& u : answerOf->units) {
            Json j;
            j["unit"] = u.unit;
            j["readings"] = u.readings;
            Json forecasts = Json::array(), by = Json::array();
            for (const outlook::TableForecast& f : u.forecasts) {
                Json e;
                e["quantity"] = "value";
                e["at"] = f.at;
                putQuantiles(e, f.q, f.abstained.empty());
                if (!f.abstained.empty())
                    e["missing"] = Json::array({{{"figure", "value"}, {"reason", f.abstained}}});
                forecasts.push_back(std::move(e));
                if (f.abstained.empty() && u.abstained.empty())
                    by.push_back({{"at", f.at}, {"probability", roundedForecast(f.crossed)}});
            }
            j["forecast"] = std::move(forecasts);
            const auto time = [](const std::optional<double>& t) { return t ? Json(roundedForecast(*t)) : Json(); };
            j["crossing"] = {{"limit", *options.limit},
                             {"p10", time(u.p10)},
                             {"p50", time(u.p50)},
                             {"p90", time(u.p90)},
                             {"not_before", u.p50 ? Json() : Json(roundedForecast(u.notBefore))},
                             {"observed", time(u.observed)},
                             {"probability_by", std::move(by)}};
            j["abstained"] = textOrNull(u.abstained);
            list.push_back(std::move(j));
        }
        answer["units"] = std::move(list);
        context.print(answer);
        return kDone;
    }
    std::ostream& out = context.out();
    for (const outlook::TableUnit& u : answerOf->units) {
        out << u.unit << '\n';
        if (!u.abstained.empty())
            writeWrapped(out, u.abstained, 4, 4);
        for (const outlook::TableForecast& f : u.forecasts) {
            if (!f.abstained.empty())
                writeWrapped(out, f.abstained, 4, 6);
            else
                out << fmt::format("    at {:>10.6g}  {:>10.5g}  80 % {:>10.5g} ... {:>10.5g}  crossed {:>3.0f} %\n", f.at, f.q[3], f.q[1],
                                   f.q[5], 100 * f.crossed);
        }
        if (u.observed)
            out << fmt::format("    passed {:g} at {:.6g}\n", *options.limit, *u.observed);
        else if (u.p50)
            out << fmt::format("    passes {:g} at {:.6g}, {} to {}\n", *options.limit, *u.p50, u.p10 ? fmt::format("{:.6g}", *u.p10) : "-",
                               u.p90 ? fmt::format("{:.6g}", *u.p90) : fmt::format("after {:.6g}", u.notBefore));
        else
            out << fmt::format("    {:g} not before {:.6g}\n", *options.limit, u.p10 ? *u.p10 : u.notBefore);
    }
    return kDone;
}

int runOutlook(Context& context, const OutlookOptions& options)
{
    if (!options.table.empty())
        return runOutlookTable(context, options);
    if (options.limit || options.falling || options.rising || !options.at.empty())
        return context.failUsage("--limit, --falling, --rising and --at go with --table", "leave them out, or add --table FILE.csv");
    if (context.book.empty())
        return context.failUsage("no book is named", "give --book FILE or set HALFCELL_BOOK, or --table FILE.csv");
    const auto asOf = context.asOf();
    if (!asOf)
        return context.fail(asOf.error());
    auto weeks = numbersOf(options.weeks, "--weeks");
    if (!weeks)
        return context.fail(weeks.error());
    if (weeks->empty() || std::ranges::any_of(*weeks, [](double w) { return !(w > 0.0) || w > 520.0; }))
        return context.failUsage("--weeks must be above 0 and at most 520", "for example --weeks 4,8,13,26,52");
    const auto book = context.openBook(db::OpenMode::ReadOnly);
    if (!book)
        return context.fail(book.error());
    const auto overview = context.overview(*book, *asOf, false);
    if (!overview)
        return context.fail(overview.error());
    const Plant& plant = *overview->plant;
    if (!options.serial.empty() && plant.sensor(options.serial) == nullptr)
        return context.fail(Error{.code = Errc::BadInput,
                                  .detail = fmt::format("{} is not in this book", options.serial),
                                  .field = "--serial",
                                  .remedy = "check the serial, or the moment of --as-of"});
    outlook::WalkSettings settings;
    settings.learning.threads = std::max(1U, std::thread::hardware_concurrency());
    settings.learning.progress = context.progress(options.score ? "scoring past outlooks" : "learning from the records");
    const auto built = outlook::bookOutlook(plant, overview->figures, overview->rules, settings);
    if (!built)
        return context.fail(built.error());
    if (options.score)
        return showScore(context, *overview, *asOf, *built);

    outlook::OutlookRequest request = outlookRequest(*overview, *asOf, *weeks);
    request.working = context.json;
    bool attention = false;
    Json list = Json::array();
    for (std::size_t i = 0; i < built->shop.series.size(); ++i) {
        const outlook::Series& s = built->shop.series[i];
        if (options.serial.empty() ? (s.scrapped.has_value() || s.visits.empty()) : s.serial != options.serial)
            continue;
        const outlook::SensorOutlook o = outlookOf(*built, i, request);
        // Worth a look: more likely than not below the maintenance limit within the first horizon.
        if (o.crossing && !o.crossing->probabilityBy.empty() && o.crossing->probabilityBy.front().probability > 0.5)
            attention = true;
        if (context.json)
            list.push_back(outlookJson(o));
        else
            writeOutlook(context.out(), o);
    }
    if (context.json) {
        Json answer = context.envelope(overview->rules.id(), *asOf);
        answer["sensors"] = std::move(list);
        context.print(answer);
    }
    return attention ? kAttention : kDone;
}

}  // namespace

std::vector<Verb> outlookVerbs()
{
    return {
        {"outlook", "what will happen: forecasts with their bands, limit dates, and how past ones came true", false, [](CLI::App& command) {
             auto o = std::make_shared<OutlookOptions>();
             command.add_option("--serial", o->serial, "one sensor")->type_name("S");
             command.add_option("--weeks", o->weeks, "horizons, weeks (4,8,13,26,52)")->type_name("W,...");
             command.add_flag("--score", o->score, "how past outlooks came true");
             command.add_option("--table", o->table, "any degradation data: unit, time, value")->type_name("FILE.csv");
             command.add_option("--limit", o->limit, "limit of the table's value")->type_name("L");
             command.add_flag("--falling", o->falling, "the value falls towards the limit");
             command.add_flag("--rising", o->rising, "the value rises towards the limit");
             command.add_option("--at", o->at, "times to forecast, in the table's own time")->type_name("T,...");
             return [o](Context& context) { return runOutlook(context, *o); };
         }}};
}

}  // namespace halfcell::app
