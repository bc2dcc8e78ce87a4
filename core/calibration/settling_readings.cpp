#include "core/calibration/phase_readings.h"
#include "core/calibration/working_steps.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

/// How the readings of a phase settled, by their series or by wait and response; and its working.
namespace halfcell::core::calibration {
namespace {

/// What is still to come counts as too soon from here on, mV (as for the remark of a reading taken too soon).
constexpr double kWorthPredicting_mv = 1.0;
/// A response timed by stop-watch: the end is judged by eye (our choice, common practice says 10 to 20 %).
constexpr double kStopwatchShare = 0.15;

Settling bySeries(const TakenReading& t)
{
    Settling s;
    s.fromSeries = true;
    s.points = t.reading->settle.size();
    if (!*t.series) {
        s.whyNot = t.series->error().detail;
        s.t90_s = t.reading->t90_s.value;
        return s;
    }
    const SettleFit& fit = **t.series;
    s.t90_s = fit.t90_s;
    s.u_t90_s = fit.u_t90_s;
    s.settled_mv = fit.settled_mv;
    s.u_settled_mv = fit.u_settled_mv;
    s.scatter_mv = fit.scatter_mv;
    s.toCome_mv = fit.settled_mv - t.e_mv;
    if (const double step = fit.settled_mv - t.reading->settle.front().mv; step != 0.0)
        s.missing_pct = std::max(0.0, 100.0 * *s.toCome_mv / step);
    // Twice the uncertainty of the curve's end as well: less is no prediction.
    s.tooSoon = std::fabs(*s.toCome_mv) > std::max(kWorthPredicting_mv, 2.0 * fit.u_settled_mv);
    return s;
}

Settling byWait(const TakenReading& before, const TakenReading& t)
{
    Settling s;
    s.t90_s = t.t90_s;
    s.u_t90_s = kStopwatchShare * *t.t90_s;
    s.tooSoon = true;
    const auto predicted = predictSettled(before.e_mv, t.e_mv, *t.wait_s, *t.t90_s, *s.u_t90_s, t.u_meter_mv);
    if (!predicted) {
        s.whyNot = predicted.error().detail;
        return s;
    }
    s.settled_mv = predicted->settled_mv;
    s.u_settled_mv = predicted->u_settled_mv;
    s.toCome_mv = predicted->short_mv;
    s.missing_pct = predicted->missing_pct;
    return s;
}

}  // namespace

void noteSettling(const std::vector<TakenReading>& taken, const StandardsBook& standards, PhaseFigures& figures)
{
    for (std::size_t i = 0; i < taken.size(); ++i) {
        const TakenReading& t = taken[i];
        const bool late = t.remainder_mv > kWorthPredicting_mv;
        if (!t.series && !late)
            continue;
        // A series that says nothing leaves the wait to go by.
        Settling s = t.series && (*t.series || !late) ? bySeries(t) : byWait(taken[i - 1], t);
        s.index = t.index;
        s.standard = t.reading->standard;
        s.read_mv = t.e_mv;
        s.wait_s = t.wait_s;
        const auto issue = std::ranges::find_if(
            figures.issues, [&](const FigureIssue& known) { return known.code == FindingCode::ReadTooSoon && known.reading == t.index; });
        if (s.settled_mv && s.tooSoon) {
            const auto text = fmt::format("settled it would read {} ± {} mV (a prediction, no record)", formatSigned(*s.settled_mv, 1),
                                          formatFixed(2.0 * *s.u_settled_mv, 1));
            if (issue != figures.issues.end())
                issue->because += "; " + text;
            else
                figures.issues.push_back({FindingCode::ReadTooSoon,
                                          fmt::format("{}: its settle series had {} mV to go; {}", standards.words(s.standard),
                                                      formatFixed(std::fabs(*s.toCome_mv), 1), text),
                                          t.index});
        }
        figures.settling.push_back(std::move(s));
    }
}

void workSettling(const StandardsBook& standards, PhaseFigures& figures)
{
    if (figures.settling.empty())
        return;
    Working w{"settling", {}};
    for (const Settling& s : figures.settling) {
        WorkingStep step{.step = fmt::format("{}: where the reading would have gone", standards.words(s.standard)),
                         .formula = {},
                         .inputs = {},
                         .result = s.settled_mv,
                         .unit = "mV",
                         .text = {},
                         .source = "raw readings",
                         .sourceClass = SourceClass::Computed};
        step.inputs.push_back(input("read", s.read_mv, "mV"));
        if (s.fromSeries) {
            step.formula = "E(t) = settled − rest · 10^(−t/t90), least squares";
            step.inputs.push_back(input("readings of the series", static_cast<double>(s.points)));
        } else {
            step.formula = "settled = before + (read − before) / (1 − 10^(−wait/t90))";
            if (s.wait_s)
                step.inputs.push_back(input("wait", *s.wait_s, "s"));
        }
        if (s.t90_s)
            step.inputs.push_back(input("t90", *s.t90_s, "s", s.fromSeries ? "of the series" : "as typed, or the slowest of the phase"));
        if (s.u_t90_s)
            step.inputs.push_back(input("u(t90)", *s.u_t90_s, "s", s.fromSeries ? "of the fit" : "stop-watch, 15 %"));
        if (s.scatter_mv)
            step.inputs.push_back(input("scatter", *s.scatter_mv, "mV", "of one reading about the curve"));
        if (s.settled_mv)
            step.text = fmt::format("u {} mV; {} mV still to come{}. A prediction: no figure is made of it",
                                    formatFixed(*s.u_settled_mv, 2), formatSigned(*s.toCome_mv, 1),
                                    s.missing_pct ? fmt::format(", {} % of the step", formatFixed(*s.missing_pct, 1)) : std::string());
        else
            step.text = s.whyNot;
        w.steps.push_back(std::move(step));
    }
    figures.working.push_back(std::move(w));
}

}  // namespace halfcell::core::calibration
