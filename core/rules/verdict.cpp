#include "core/quantity/number.h"
#include "core/rules/diagnosing.h"

#include <algorithm>
#include <cmath>

/// From findings and limits to signal, verdict and the words for them.
namespace halfcell::core::judging {

namespace {

constexpr double kRounding = 1e-9;  ///< a figure that equals its limit is not beyond it, whatever the last bit says

bool dead(const Case& c)
{
    if (c.kind == SensorKind::Orp)
        return c.state->span_pct && *c.state->span_pct < c.profile->orp_span_failure_pct.value;
    return c.response.dead || c.response.reversed;
}

void compare(std::vector<LimitCheck>& all, GuiltyFigure figure, const char* name, const char* unit, const std::optional<double>& value,
             const Limit& limit, bool upper, bool absolute, Signal signal)
{
    if (!value || std::isinf(limit.value))
        return;
    const double v = absolute ? std::fabs(*value) : *value;
    const bool broken = upper ? v > limit.value + kRounding : v < limit.value - kRounding;
    all.push_back({figure, name, unit, *value, &limit, upper, absolute, broken, broken ? signal : Signal::Normal});
}

std::size_t rank(const RuleSet& rules, Signal s)
{
    const auto order = rules.signalOrder();
    return static_cast<std::size_t>(std::find(order.begin(), order.end(), s) - order.begin());
}

/// Terminal rules: out of limits on visits running although everything the design allows was done (common practice; service
/// tried twice). A dead or reversed sensor has its own rule.
std::string terminalRule(const Case& c)
{
    if (!c.history || dead(c) || c.kind != SensorKind::Ph)
        return {};
    const double use = c.profile->efficiency_use_pct.value, slow = c.profile->t90_maintenance_s.value;
    const auto refilled = [&](std::size_t row) {
        const bool can = c.allowed(ActionKey::RefillReference) || c.allowed(ActionKey::ReplaceBridge);
        return !can || c.doneInRow(ActionKey::RefillReference, row) || c.doneInRow(ActionKey::ReplaceBridge, row);
    };
    const auto low = c.running([&](const PhaseFigures& p) { return p.efficiency_pct && *p.efficiency_pct < use; });
    if (low >= 2 && c.cleanedInRow(low) && refilled(low))
        return fmt::format("below {} % on {} visits running, after cleaning{}", formatNumber(use), low,
                           c.allowed(ActionKey::RefillReference) ? " and a refill" : "");
    const auto late = c.running([&](const PhaseFigures& p) { return p.t90_s && *p.t90_s > slow; });
    if (late >= 2 && c.cleaned()) {
        const auto* before = c.past.back()->visit;
        const bool cleanedBefore =
            before && std::any_of(before->actions.begin(), before->actions.end(), [](const Action& a) { return isCleaning(a.action); });
        const bool junction = c.differential() ? c.doneInRow(ActionKey::ReplaceBridge, late)
                                               : !c.allowed(ActionKey::ClearJunction) || c.doneInRow(ActionKey::ClearJunction, late) ||
                                                     c.doneInRow(ActionKey::RegenerateGlass, late);
        if (cleanedBefore && junction)
            return fmt::format("slower than {} s after two cleanings and clearing the {}", formatNumber(slow),
                               c.differential() ? "bridge" : "junction");
    }
    return {};
}

std::string offWords(const Case& c, const std::vector<LimitCheck>& all)
{
    std::string text;
    const auto add = [&](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
    const auto broken = [&](GuiltyFigure figure) -> const LimitCheck* {
        const LimitCheck* worst = nullptr;
        for (const auto& x : all)
            if (x.broken && x.figure == figure && (!worst || rank(*c.rules, x.signal) < rank(*c.rules, worst->signal)))
                worst = &x;
        return worst;
    };
    if (c.kind == SensorKind::Ph && c.response.dead)
        return fmt::format("No response: both standards read alike ({} mV apart)", fixed(c.response.apart_mv, 0));
    if (c.kind == SensorKind::Ph && c.response.reversed)
        return "Millivolts rise with pH, they should fall";
    if (dead(c))
        return fmt::format("No response: span {} %", fixed(*c.state->span_pct, 0));
    if (const auto* x = broken(GuiltyFigure::Efficiency))
        add(fmt::format("efficiency {} %, {} {}", fixed(x->value), x->upper ? "above" : "below", formatNumber(x->limit->value)));
    if (const auto* x = broken(GuiltyFigure::Span))
        add(fmt::format("span {} %, below {}", fixed(x->value), formatNumber(x->limit->value)));
    if (const auto* x = broken(GuiltyFigure::Offset))
        add(fmt::format("offset {}, beyond {}", mv(x->value), formatNumber(x->limit->value)));
    if (broken(GuiltyFigure::Response) || c.slow)
        add(c.slow && c.state->t90_s ? fmt::format("slow (t90 {} s)", fixed(*c.state->t90_s, 0)) : std::string("slow"));
    if (c.dropPct && !broken(GuiltyFigure::Efficiency))
        add(fmt::format("{}{} % below its last as-left", text.starts_with("slow") ? "" : "efficiency ", fixed(*c.dropPct, 0)));
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    if (const auto second = text.rfind(", "); text.starts_with("Slow") && second != std::string::npos)
        text.replace(second, 2, ", and ");
    return text;
}

std::string figuresInWords(const Case& c)
{
    std::string text;
    const auto add = [&](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
    if (c.state->efficiency_pct)
        add(fixed(*c.state->efficiency_pct) + " %");
    if (c.state->span_pct)
        add("span " + fixed(*c.state->span_pct, 0) + " %");
    if (c.state->offset_mv)
        add(formatSigned(*c.state->offset_mv, 1) + " mV");
    if (c.state->t90_s)
        add("t90 " + fixed(*c.state->t90_s, 0) + " s");
    return text;
}

std::string capital(std::string text)
{
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    return text;
}

std::string sentenceOf(const Case& c, const Assessment& a, const std::vector<LimitCheck>& all, const Draft* lead,
                       const std::string& terminal, const std::optional<std::string>& hold, bool unread)
{
    std::string text;
    if (a.verdict == Verdict::NotEnoughData) {
        text = lead && !lead->cause.empty() ? capital(lead->cause) + ": efficiency is not worked out."
                                            : std::string("Not enough to judge it by.");
        if (lead && !lead->advice.empty())
            text += ' ' + lead->advice;
    } else {
        const auto off = offWords(c, all);
        if (unread) {
            text = (off.empty() ? std::string("Serviced") : off + "; serviced") + " in this visit and not read since. Read it again.";
        } else if (!terminal.empty()) {
            text = (off.empty() ? std::string() : off + ": ") + terminal + ". Replace it.";
            text = capital(text);
        } else if (lead && lead->drives) {
            text = off.empty() ? capital(lead->cause) + "." : fmt::format("{}: {}.", off, lead->cause);
            if (!lead->advice.empty())
                text += ' ' + lead->advice;
        } else if (a.signal == Signal::Normal || (a.signal == Signal::FunctionCheck && off.empty())) {
            text = fmt::format("In order: {}, inside the limits.", figuresInWords(c));
            if (lead && !lead->cause.empty() && lead->weight >= 53)
                text += fmt::format(" Noted: {}.", lead->cause);
        } else {
            text = off.empty() ? figuresInWords(c) + "." : off + ".";
            if (lead && !lead->cause.empty())
                text += fmt::format(" Perhaps {}.", lead->cause);
            text += " Read it again in fresh standards.";
        }
    }
    if (hold)
        text += fmt::format(" {}.", capital(*hold));
    return text;
}

/// What drives goes first. Among those what overrides, by weight; then a cause likelier than not, by probability; then by
/// weight, the order of common practice. What does not drive: facts that have no probability, then the likelier cause.
bool goesBefore(const Draft& x, const Draft& y)
{
    if (x.drives != y.drives)
        return x.drives;
    const auto rank = [](const Draft& d) {
        if (!d.drives)
            return d.finding.probability ? 1 : 0;
        return d.weight >= kOverrideWeight ? 0 : d.finding.probability.value_or(0.0) >= kLeadsFrom ? 1 : 2;
    };
    if (rank(x) != rank(y))
        return rank(x) < rank(y);
    if (rank(x) == 1 && *x.finding.probability != *y.finding.probability)
        return *x.finding.probability > *y.finding.probability;
    return x.weight > y.weight;
}

std::vector<ActionKey> orderOf(const Case& c, const std::vector<Draft>& drafts)
{
    std::vector<ActionKey> order;
    const auto late = [](ActionKey a) { return a == ActionKey::Replace || a == ActionKey::Scrap; };
    for (const bool driving : {true, false}) {
        if (!driving && !order.empty())
            break;
        for (const auto& d : drafts) {
            if (d.drives != driving)
                continue;
            auto cures = d.cures;
            std::stable_sort(cures.begin(), cures.end(),
                             [&](ActionKey x, ActionKey y) { return c.rules->action(x).minutes < c.rules->action(y).minutes; });
            for (const auto a : cures)
                if (std::find(order.begin(), order.end(), a) == order.end() && c.allowed(a) && !(c.done(a) && a != ActionKey::Replace))
                    order.push_back(a);
        }
    }
    std::stable_partition(order.begin(), order.end(), [&](ActionKey a) { return !late(a); });
    return order;
}

}  // namespace

std::vector<LimitCheck> compareWithLimits(const Case& c)
{
    std::vector<LimitCheck> all;
    const auto& p = *c.profile;
    const auto& s = *c.state;
    using enum Signal;
    if (c.kind == SensorKind::Ph) {
        // Antimony has a slope of its own: it is judged against its own first value, not against theory.
        if (c.model.sensing != Sensing::Antimony) {
            compare(all, GuiltyFigure::Efficiency, "efficiency", "%", s.efficiency_pct, p.efficiency_use_pct, false, false,
                    OutOfSpecification);
            compare(all, GuiltyFigure::Efficiency, "efficiency", "%", s.efficiency_pct, p.efficiency_maintenance_pct, false, false,
                    MaintenanceRequired);
            compare(all, GuiltyFigure::Efficiency, "efficiency", "%", s.efficiency_pct, p.efficiency_high_warn_pct, true, false,
                    MaintenanceRequired);
            compare(all, GuiltyFigure::Efficiency, "efficiency", "%", s.efficiency_pct, p.efficiency_high_refuse_pct, true, false,
                    OutOfSpecification);
        }
        compare(all, GuiltyFigure::Offset, "offset", "mV", s.offset_mv, p.offset_maintenance_mv, true, true, MaintenanceRequired);
        compare(all, GuiltyFigure::Offset, "offset", "mV", s.offset_mv, p.offset_use_mv, true, true, OutOfSpecification);
        compare(all, GuiltyFigure::Response, "t90", "s", s.t90_s, p.t90_maintenance_s, true, false, MaintenanceRequired);
    } else {
        compare(all, GuiltyFigure::Offset, "offset", "mV", s.offset_mv, p.orp_offset_maintenance_mv, true, true, MaintenanceRequired);
        compare(all, GuiltyFigure::Offset, "offset", "mV", s.offset_mv, p.orp_offset_use_mv, true, true, OutOfSpecification);
        compare(all, GuiltyFigure::Span, "span", "%", s.span_pct, p.orp_span_maintenance_pct, false, false, MaintenanceRequired);
        compare(all, GuiltyFigure::Span, "span", "%", s.span_pct, p.orp_span_use_pct, false, false, OutOfSpecification);
        compare(all, GuiltyFigure::Span, "span", "%", s.span_pct, p.orp_span_failure_pct, false, false, Failure);
        compare(all, GuiltyFigure::Response, "t90", "s", s.t90_s, p.t90_maintenance_s, true, false, MaintenanceRequired);
    }
    return all;
}

Assessment conclude(const Case& c, Findings& f, const std::optional<std::string>& hold, const Diagnosed* diagnosed)
{
    Assessment a;
    a.kind = c.kind;
    a.measured = c.state->when;
    a.phase = c.state->phase;
    a.figures = *c.state;
    a.profile = c.profile->name;
    a.wiringChecked = c.wiringChecked;

    auto& drafts = f.drafts();
    const auto comparisons = compareWithLimits(c);

    // The signal: the most urgent of all that apply.
    std::vector<std::pair<Signal, std::string>> signals;
    if (dead(c))
        signals.emplace_back(Signal::Failure, c.response.reversed ? "reversed response" : "no response");
    for (const auto& d : drafts) {
        using enum FindingCode;
        const auto code = d.finding.code;
        if (d.drives && (code == OpenCircuit || code == ShortCircuit || code == GlassBroken))
            signals.emplace_back(Signal::Failure, d.cause.empty() ? std::string(wordsOf(code)) : d.cause);
        if (d.drives && code == StandardExpired)
            signals.emplace_back(Signal::MaintenanceRequired, "a standard that may not be used");
        if (d.drives && (code == MetalFilmed || code == MetalPoisoned) && c.model.sensing == Sensing::Antimony)
            signals.emplace_back(Signal::MaintenanceRequired, "below the sensor's own first value");
    }
    for (const auto& x : comparisons)
        if (x.broken)
            signals.emplace_back(x.signal, fmt::format("{} {} {}", x.name, x.upper ? "above" : "below", formatNumber(x.limit->value)));
    const bool health =
        c.kind == SensorKind::Ph ? c.state->efficiency_pct.has_value() : c.state->offset_mv.has_value() || c.state->span_pct.has_value();
    const bool enough = health || dead(c) || std::any_of(comparisons.begin(), comparisons.end(), [](const auto& x) { return x.broken; });
    if (enough && hold)
        signals.emplace_back(Signal::FunctionCheck, *hold);
    if (enough)
        a.signal = Signal::Normal;
    std::string signalWhy;
    for (const auto& [signal, why] : signals)
        if (enough && rank(*c.rules, signal) < rank(*c.rules, *a.signal)) {
            a.signal = signal;
            signalWhy = why;
        }

    // Guilty: the figure behind the most urgent broken limit.
    std::size_t worst = c.rules->signalOrder().size();
    if (dead(c)) {
        a.guilty = c.kind == SensorKind::Ph ? GuiltyFigure::Efficiency : GuiltyFigure::Span;
    } else {
        for (const auto& x : comparisons)
            if (x.broken && rank(*c.rules, x.signal) < worst) {
                worst = rank(*c.rules, x.signal);
                a.guilty = x.figure;
            }
        if (a.guilty == GuiltyFigure::None && a.signal && *a.signal != Signal::Normal && *a.signal != Signal::FunctionCheck)
            a.guilty = GuiltyFigure::Other;
    }

    const auto terminal = enough ? terminalRule(c) : std::string();
    if (!terminal.empty()) {
        auto& d = f.add(FindingCode::GlassAged, 330, true, Verdict::Replace, {ActionKey::Replace});
        speaksFor(d, terminal);
    }
    std::stable_sort(drafts.begin(), drafts.end(), goesBefore);

    // The verdict: what leads, unless it was done and only needs another reading.
    const Draft* lead = nullptr;
    for (const auto& d : drafts)
        if (d.drives && (!enough || d.verdict != Verdict::NotEnoughData)) {
            lead = &d;
            break;
        }
    bool unread = false;
    if (!enough) {
        a.verdict = Verdict::NotEnoughData;
        for (const auto& d : drafts)
            if (d.verdict == Verdict::NotEnoughData) {
                lead = &d;
                break;
            }
    } else if (lead) {
        a.verdict = lead->verdict;
        unread = c.visit && c.state->phase == Phase::AsFound && !lead->cures.empty() &&
                 std::any_of(c.visit->actions.begin(), c.visit->actions.end(), [&](const Action& x) {
                     return std::find(lead->cures.begin(), lead->cures.end(), x.action) != lead->cures.end();
                 });
        if (unread)
            a.verdict = Verdict::Recheck;
    } else {
        a.verdict = *a.signal == Signal::Normal || *a.signal == Signal::FunctionCheck ? Verdict::Leave : Verdict::Recheck;
        if (*a.signal == Signal::FunctionCheck &&
            std::any_of(comparisons.begin(), comparisons.end(), [](const auto& x) { return x.broken; }))
            a.verdict = Verdict::Recheck;
        if (!drafts.empty())
            lead = &drafts.front();
    }
    addTests(c, f);
    if (diagnosed && !drafts.empty() && !(drafts.front().drives && drafts.front().weight >= kOverrideWeight))
        if (const auto test = bestTest(*diagnosed))
            drafts.front().finding.next_test = test;
    a.sentence = sentenceOf(c, a, comparisons, lead, terminal, hold, unread);
    a.actionOrder = orderOf(c, drafts);

    static const Visit kNoVisit;
    for (auto& d : drafts) {
        if (!d.cures.empty()) {
            d.finding.action = d.cures.front();
            for (const auto& caution : c.rules->cautionsFor(*d.finding.action, {}, c.point, c.visit ? *c.visit : kNoVisit))
                d.finding.cautions.push_back(caution.text);
        }
        for (const auto& caution : c.rules->cautionsForFinding(d.finding.code))
            d.finding.cautions.push_back(caution.text);
        a.findings.push_back(d.finding);
    }
    if (a.findings.empty()) {
        Finding healthy;
        healthy.title = wordsOf(FindingCode::Healthy);
        if (diagnosed && c.plant)
            healthy.probability = diagnosed->probability("healthy");
        healthy.because.push_back({Because::Side::For, figuresInWords(c) + ": inside the limits"});
        a.findings.push_back(std::move(healthy));
    }

    for (const auto& x : comparisons) {
        WorkingStep step;
        step.step = fmt::format("{} against {}", x.name, formatNumber(x.limit->value));
        step.formula = fmt::format("{}{}{} {} {} {}", x.absolute ? "|" : "", x.name, x.absolute ? "|" : "",
                                   x.upper ? "<=" : ">=", formatNumber(x.limit->value), x.unit);
        step.inputs = {{x.name, x.value, x.unit, std::string(wordsOf(c.state->phase)), {}},
                       {"limit", x.limit->value, x.unit, "profile " + c.profile->name, {}}};
        step.text = x.broken ? "beyond: " + std::string(wordsOf(x.signal)) : "inside";
        step.source = fmt::format("{}; {}", x.limit->source, c.rules->id());
        step.sourceClass = x.limit->sourceClass;
        a.verdictWorking.push_back(std::move(step));
    }
    WorkingStep signal;
    signal.step = "condition signal: the most urgent that applies";
    signal.text = a.signal ? std::string(wordsOf(*a.signal)) + (signalWhy.empty() ? "" : ": " + signalWhy) : "none: not enough data";
    signal.source = "words of NAMUR NE 107; order of " + c.rules->id();
    signal.sourceClass = SourceClass::Standard;
    a.verdictWorking.push_back(std::move(signal));
    WorkingStep verdict;
    verdict.step = "verdict: what leads among the findings";
    verdict.text = std::string(wordsOf(a.verdict));
    if (!terminal.empty())
        verdict.text += ": " + terminal;
    else if (lead && lead->drives && !lead->finding.because.empty())
        verdict.text += fmt::format(": {}, {}", wordsOf(lead->finding.code), lead->finding.because.front().text);
    verdict.source = c.rules->id();
    verdict.sourceClass = SourceClass::CommonPractice;
    a.verdictWorking.push_back(std::move(verdict));
    return a;
}

}  // namespace halfcell::core::judging
