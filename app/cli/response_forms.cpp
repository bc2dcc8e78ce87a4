#include "app/cli/response_forms.h"

#include "app/cli/json_forms.h"
#include "app/cli/text_forms.h"
#include "core/outlook/outlook.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <thread>

namespace halfcell::app {

using namespace core;

namespace {

std::string_view decisionWord(Conformity::Decision decision)
{
    switch (decision) {
    case Conformity::Decision::Inside: return "inside";
    case Conformity::Decision::Outside: return "outside";
    case Conformity::Decision::Undecided: return "undecided";
    case Conformity::Decision::CannotDecide: return "cannot_decide";
    }
    return "";
}

Json conformityJson(const std::optional<Conformity>& c, double error, double u)
{
    if (!c)
        return nullptr;
    return {{"error", error + 0.0},
            {"u", u},
            {"probability_inside", c->probability},
            {"decision", decisionWord(c->decision)},
            {"accept_up_to", c->accept},
            {"reject_from", c->reject}};
}

std::optional<double> standardDeviation(const outlook::SensorForecast& f)
{
    constexpr double kBetween = 2.5631031310892;  // standard deviations between the 10 and the 90 % points of a normal law
    return f.abstained.empty() ? std::optional((f.q[5] - f.q[1]) / kBetween) : std::nullopt;
}

}  // namespace

Json settlingJson(const PhaseFigures& figures)
{
    Json list = Json::array();
    for (const Settling& s : figures.settling) {
        Json j;
        j["reading"] = s.index + 1;
        j["standard"] = s.standard;
        j["from"] = s.fromSeries ? "series" : "wait";
        j["read_mv"] = s.read_mv;
        j["wait_s"] = jsonOf(s.wait_s);
        j["t90_s"] = jsonOf(s.t90_s);
        j["u_t90_s"] = jsonOf(s.u_t90_s);
        j["too_soon"] = s.tooSoon;
        j["settled_mv"] = jsonOf(s.settled_mv);
        j["u_settled_mv"] = jsonOf(s.u_settled_mv);
        j["to_come_mv"] = jsonOf(s.toCome_mv);
        j["missing_pct"] = jsonOf(s.missing_pct);
        if (!s.whyNot.empty())
            j["missing"] = Json::array({{{"figure", "settled_mv"}, {"reason", s.whyNot}}});
        list.push_back(std::move(j));
    }
    return list;
}

Json goodEnoughJson(const GoodEnough& g)
{
    Json j;
    j["unit"] = g.unit;
    j["at_ph"] = jsonOf(g.at_ph);
    j["tolerance"] = g.tolerance > 0.0 ? Json(g.tolerance) : Json();
    j["accepted_probability"] = g.accepted;
    j["set_by_earlier_calibration"] = g.setByEarlier;
    j["now"] = conformityJson(g.now, g.error, g.u);
    j["next_visit"] = conformityJson(g.next, g.errorNext, g.uNext);
    if (g.nextAt)
        j["next_visit"]["at"] = formatInstant(*g.nextAt);
    j["sentence"] = g.sentence;
    Json missing = Json::array();
    if (!g.whyNot.empty())
        missing.push_back({{"figure", "now"}, {"reason", g.whyNot}});
    if (!g.whyNotNext.empty())
        missing.push_back({{"figure", "next_visit"}, {"reason", g.whyNotNext}});
    if (!missing.empty())
        j["missing"] = std::move(missing);
    return j;
}

void writeSettling(std::ostream& out, const PhaseFigures& figures, std::size_t indent)
{
    for (const Settling& s : figures.settling) {
        std::string line = StandardsBook::shipped().words(s.standard);
        if (s.fromSeries && s.t90_s && s.u_t90_s)
            line += fmt::format(": t90 {} ±{} s by its series", formatFixed(*s.t90_s, 0), formatFixed(2.0 * *s.u_t90_s, 0));
        if (s.settled_mv)
            line +=
                fmt::format("{} settled it would read {} ±{} mV, {} mV from the reading{}", line.find(':') == std::string::npos ? ":" : ";",
                            formatSigned(*s.settled_mv, 1), formatFixed(2.0 * *s.u_settled_mv, 1), formatSigned(*s.toCome_mv, 1),
                            s.tooSoon ? " (read too soon; a prediction, no record)" : " (a prediction, no record)");
        else
            line += ": " + s.whyNot;
        writeWrapped(out, line, indent, indent + 2);
    }
}

std::optional<ExpectedDrift> driftUntil(const Overview& overview, std::string_view serial, std::int64_t day)
{
    const auto index = overview.indexOf(serial);
    const Plant& plant = *overview.plant;
    const std::int64_t today = dayNumber(plant.asOf());
    if (!index || !overview.assessments[*index].figures)
        return std::nullopt;
    const PhaseFigures& now = *overview.assessments[*index].figures;
    outlook::WalkSettings settings;
    settings.forecasts = false;  // learnt from all that is known; the walk through past forecasts takes far longer
    settings.learning.threads = std::max(1U, std::thread::hardware_concurrency());
    const auto book = outlook::bookOutlook(plant, overview.figures, overview.rules, settings);
    if (!book)
        return std::nullopt;
    outlook::OutlookRequest request;
    const std::int64_t until = std::max(day, today + 1);  // overdue: the next visit is tomorrow at the earliest
    request.weeks = {static_cast<double>(until - today) / 7.0};
    request.working = false;
    request.limit = [](const outlook::Series&) { return 0.0; };
    request.offsetLimit = [](const outlook::Series&) { return 0.0; };
    for (std::size_t i = 0; i < book->shop.series.size(); ++i) {
        if (book->shop.series[i].serial != serial)
            continue;
        const auto o = outlookOf(*book, i, request);
        ExpectedDrift drift;
        drift.at = startOfDay(until);
        bool any = false;
        for (const auto& f : o.forecasts) {
            const auto sd = standardDeviation(f);
            if (!sd)
                continue;
            if (f.quantity == outlook::Quantity::Offset && now.offset_mv) {
                drift.offset_mv = f.q[3] - *now.offset_mv;
                drift.u_offset_mv = *sd;
                any = true;
            }
            if (f.quantity == outlook::Quantity::Efficiency && now.efficiency_pct) {
                drift.efficiency_pct = f.q[3] - *now.efficiency_pct;
                drift.u_efficiency_pct = *sd;
                any = true;
            }
        }
        drift.source = fmt::format("outlook of the next reading, {} readings{}", o.readings, o.groupOnly ? ", by its group" : "");
        return any ? std::optional(drift) : std::nullopt;
    }
    return std::nullopt;
}

}  // namespace halfcell::app
