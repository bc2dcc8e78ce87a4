#include "core/rules/good_enough.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core {

namespace {

constexpr double kLeastFraction = 0.05;  // below, no pH is worked out from the slope

std::string classOf(const GoodEnoughInputs& inputs)
{
    return inputs.loop_class ? std::string(keyOf(*inputs.loop_class)) : std::string("unknown");
}

double acceptedOf(const GoodEnoughInputs& inputs, const RuleSet& rules)
{
    // A set stored before the question was asked has no such numbers; the shipped ones hold.
    const auto key = "accepted." + classOf(inputs);
    return rules.numberOr(key, RuleSet::shipped().numberOr(key, 0.5));
}

std::string whyNone(const PhaseFigures& f, const GoodEnoughInputs& inputs)
{
    if (!inputs.tolerance || !(*inputs.tolerance > 0.0))
        return "no tolerance is agreed for this point";
    if (f.kind == SensorKind::Orp)
        return f.offset_mv && f.u_offset_mv ? std::string() : "there is no offset to judge by";
    if (!inputs.process_ph)
        return "the pH of the process is not known";
    if (!f.fit || !(f.fit->s > kLeastFraction) || !f.u_at_process_ph)
        return "there is no calibration to read a pH with";
    return {};
}

double meanTemp(const PhaseFigures& f)
{
    double sum = 0.0;
    for (const auto& u : f.used)
        sum += u.temp_c;
    return f.used.empty() ? 25.0 : sum / static_cast<double>(f.used.size());
}

WorkingStep stepOf(std::string what, std::string formula, std::vector<WorkingInput> inputs, double result, const std::string& unit,
                   std::string text, std::string source, SourceClass sourceClass)
{
    WorkingStep s;
    s.step = std::move(what);
    s.formula = std::move(formula);
    s.inputs = std::move(inputs);
    s.result = result;
    s.unit = unit;
    s.text = std::move(text);
    s.source = std::move(source);
    s.sourceClass = sourceClass;
    return s;
}

void addDecision(GoodEnough& g, const Conformity& c, double error, double u, const std::string& when, const GoodEnoughInputs& inputs,
                 const RuleSet& rules)
{
    g.working.push_back(stepOf(fmt::format("chance of being inside, {}", when), "p = Φ((tol − e)/u) − Φ((−tol − e)/u)",
                               {{"e", error, g.unit, {}, {}}, {"u", u, g.unit, {}, {}}, {"tol", g.tolerance, g.unit, "of the point", {}}},
                               c.probability, {}, {}, "JCGM 106", SourceClass::Standard));
    const char* words = c.decision == Conformity::Decision::Inside      ? "inside"
                        : c.decision == Conformity::Decision::Outside   ? "outside"
                        : c.decision == Conformity::Decision::Undecided ? "undecided: read again with a fresh standard"
                                                                        : "2 u exceeds the tolerance: this check cannot decide";
    g.working.push_back(stepOf(fmt::format("decision, {}", when), "inside if p ≥ p_a, outside if p ≤ 1 − p_a",
                               {{"p_a", g.accepted, {}, "loop class " + classOf(inputs), {}},
                                {"accept up to", c.accept, g.unit, "guarded limit", {}},
                                {"reject from", c.reject, g.unit, "guarded limit", {}}},
                               c.probability, {}, words, rules.id(), SourceClass::Assumed));
}

std::string percentOf(double p)
{
    return p > 0.995 ? "over 99 %" : p < 0.005 ? "under 1 %" : formatFixed(100.0 * p, 0) + " %";
}

std::string sentenceOf(const GoodEnough& g)
{
    if (!g.now)
        return fmt::format("Good enough here? Not to be said: {}.", g.whyNot);
    const auto& c = *g.now;
    const int decimals = g.unit == "pH" ? 2 : 0;
    const auto where = g.at_ph ? fmt::format("at pH {}", formatNumber(*g.at_ph)) : std::string("here");
    const char* answer = c.decision == Conformity::Decision::Inside      ? "Good enough"
                         : c.decision == Conformity::Decision::Outside   ? "Not good enough"
                         : c.decision == Conformity::Decision::Undecided ? "Undecided whether good enough"
                                                                         : "This check cannot decide";
    auto text =
        fmt::format("{} {}: off by {} ± {} {} (95 %) where {} is allowed, inside with {}", answer, where, formatSigned(g.error, decimals),
                    formatFixed(2.0 * g.u, decimals), g.unit, formatFixed(g.tolerance, decimals), percentOf(c.probability));
    if (c.decision == Conformity::Decision::Undecided)
        text += fmt::format(" where {} is asked: read again with a fresh standard", percentOf(g.accepted));
    if (g.next)
        text += fmt::format("; at the next visit ({}) with {}", formatDate(*g.nextAt), percentOf(g.next->probability));
    return text + ".";
}

}  // namespace

GoodEnough goodEnough(const PhaseFigures& f, const GoodEnoughInputs& inputs, const RuleSet& rules)
{
    GoodEnough g;
    g.unit = f.kind == SensorKind::Orp ? "mV" : "pH";
    g.tolerance = inputs.tolerance.value_or(0.0);
    g.accepted = acceptedOf(inputs, rules);
    g.whyNot = whyNone(f, inputs);
    if (!g.whyNot.empty()) {
        g.whyNotNext = g.whyNot;
        g.sentence = sentenceOf(g);
        return g;
    }
    double perOffset = 1.0, perEfficiency = 0.0;  // of the error, per mV and per cent of drift
    if (f.kind == SensorKind::Orp) {
        g.error = *f.offset_mv;
        g.u = *f.u_offset_mv;
        g.working.push_back(stepOf("what the loop is off by", "e = offset", {{"offset", g.error, "mV", {}, {}}}, g.error, "mV",
                                   fmt::format("u {} mV", formatFixed(g.u, 1)), "the figures of this visit", SourceClass::Computed));
    } else {
        const double temp = inputs.process_temp_c.value_or(meanTemp(f));
        const double k = nernstSlopeUnchecked(Celsius(temp).kelvin());
        const LineFit& now = *f.fit;
        const bool earlier = inputs.setBy && inputs.setBy->fit && inputs.setBy->fit->s > kLeastFraction;
        const LineFit& set = earlier ? *inputs.setBy->fit : now;
        g.setByEarlier = earlier;
        g.at_ph = inputs.process_ph;
        const double away = *inputs.process_ph - 7.0;
        g.error = (set.e0_mv - now.e0_mv) / (set.s * k) + (now.s / set.s - 1.0) * away;
        g.u = *f.u_at_process_ph;
        perOffset = -1.0 / (set.s * k);
        perEfficiency = away / (100.0 * set.s);
        g.working.push_back(
            stepOf(earlier ? "what the loop shows by its earlier setting, less what is true"
                           : "the analyser is set by these figures: no error is known, only the uncertainty",
                   "e = (E0 set − E0)/(s set · k) + (s/s set − 1)·(pH − 7)",
                   {{"E0 set", set.e0_mv, "mV", {}, {}},
                    {"E0", now.e0_mv, "mV", {}, {}},
                    {"s set", set.s, {}, {}, {}},
                    {"s", now.s, {}, {}, {}},
                    {"k", k, "mV/pH", {}, {}},
                    {"pH", *inputs.process_ph, "pH", "of the process", {}}},
                   g.error, "pH",
                   fmt::format("u {} pH, as figure u_at_process_ph; the junction in the process is not counted", formatFixed(g.u, 3)),
                   "electrode equation", SourceClass::Law));
    }
    g.now = conformityOf(g.error, g.u, g.tolerance, g.accepted, g.unit);
    addDecision(g, *g.now, g.error, g.u, "now", inputs, rules);
    if (inputs.drift) {
        const auto& d = *inputs.drift;
        g.nextAt = d.at;
        g.errorNext = g.error + perOffset * d.offset_mv + perEfficiency * d.efficiency_pct;
        g.uNext = std::hypot(g.u, perOffset * d.u_offset_mv, perEfficiency * d.u_efficiency_pct);
        g.next = conformityOf(g.errorNext, g.uNext, g.tolerance, g.accepted, g.unit);
        g.working.push_back(stepOf("what the loop will be off by at the next visit", "e = e now + c0 · ΔE0 + cs · Δs",
                                   {{"ΔE0", d.offset_mv, "mV", fmt::format("u {} mV", formatFixed(d.u_offset_mv, 1)), {}},
                                    {"Δs", d.efficiency_pct, "%", fmt::format("u {} %", formatFixed(d.u_efficiency_pct, 1)), {}},
                                    {"c0", perOffset, g.unit + "/mV", {}, {}},
                                    {"cs", perEfficiency, g.unit + "/%", {}, {}}},
                                   g.errorNext, g.unit, fmt::format("u {} {}", formatFixed(g.uNext, 3), g.unit), d.source,
                                   SourceClass::Computed));
        addDecision(g, *g.next, g.errorNext, g.uNext, "at the next visit", inputs, rules);
    } else {
        g.whyNotNext = "no outlook was asked or there is none";
    }
    g.sentence = sentenceOf(g);
    return g;
}

namespace {

/// Whether the analyser works with this visit's last state from then on.
bool setsTheAnalyser(const VisitFigures& v)
{
    if (!v.visit)
        return false;
    return v.phase(Phase::AsLeft) ||
           std::any_of(v.visit->actions.begin(), v.visit->actions.end(), [](const Action& a) { return a.action == ActionKey::Adjust; }) ||
           std::any_of(v.visit->readings.begin(), v.visit->readings.end(), [](const Reading& r) { return r.keyed.value_or(false); });
}

const VisitFigures* visitJudged(std::span<const VisitFigures> figures, std::size_t visitIndex)
{
    for (std::size_t i = std::min(visitIndex + 1, figures.size()); i-- > 0;)
        if (!figures[i].phases.empty())
            return &figures[i];
    return nullptr;
}

}  // namespace

GoodEnoughInputs goodEnoughInputs(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures,
                                  std::size_t visitIndex)
{
    GoodEnoughInputs in;
    const auto* now = visitJudged(figures, visitIndex);
    if (!now)
        return in;
    const auto* placement = history.placementAt(now->when);
    const Point* point = now->visit && now->visit->tag ? plant.point(*now->visit->tag) : nullptr;
    if (!point && placement)
        point = plant.point(placement->place);
    if (point) {
        in.tolerance = history.model && history.model->kind == SensorKind::Orp ? point->tolerance_mv : point->tolerance_ph;
        in.loop_class = point->loop_class;
        if (point->ph_low && point->ph_high)
            in.process_ph = 0.5 * (*point->ph_low + *point->ph_high);
        else
            in.process_ph = point->ph_low ? point->ph_low : point->ph_high;
        in.process_temp_c = point->temp_degc;
    }
    for (const auto* v = now; !setsTheAnalyser(*v) && v != figures.data();) {
        --v;
        if (setsTheAnalyser(*v) && v->lastState() && v->lastState()->fit)
            in.setBy = v->lastState();
    }
    return in;
}

GoodEnough goodEnoughAt(const Plant& plant, const SensorHistory& history, std::span<const VisitFigures> figures, std::size_t visitIndex,
                        const RuleSet& rules, const std::optional<ExpectedDrift>& drift)
{
    auto in = goodEnoughInputs(plant, history, figures, visitIndex);
    in.drift = drift;
    const auto* now = visitJudged(figures, visitIndex);
    return goodEnough(now && now->lastState() ? *now->lastState() : PhaseFigures{}, in, rules);
}

}  // namespace halfcell::core
