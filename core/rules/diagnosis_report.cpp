#include "core/quantity/number.h"
#include "core/rules/diagnosing.h"

#include <algorithm>
#include <cmath>

/// The report of a diagnosis: causes, cures in their order, when to stop, what to order next time, and its working.
namespace halfcell::core::judging {

namespace {

constexpr std::size_t kShown = 5;
constexpr double kOftenCleanedDays = 28.0;  ///< cleaned four times within so long: the design may not suit (our choice)
constexpr std::size_t kOften = 4;

std::string percent(double p)
{
    return fixed(100.0 * p, p < 0.1 ? 1 : 0) + " %";
}

std::size_t cleanedLately(const Case& c)
{
    std::size_t n = 0;
    if (c.history)
        for (const auto* v : c.history->visits)
            if (const double days = daysBetween(v->when, c.when); days >= 0.0 && days <= 2.0 * kOftenCleanedDays)
                n += std::any_of(v->actions.begin(), v->actions.end(), [](const Action& a) { return isCleaning(a.action); }) ? 1 : 0;
    return n;
}

std::string nextTimeOf(const Case& c, const Diagnosed& d)
{
    using enum Sensing;
    const bool bulb = c.model.sensing == Bulb;
    const double junction = d.probability("junction_clogged") + d.probability("junction_blocked");
    const double poisoned = d.probability("reference_poisoned") + d.probability("electrolyte_diluted");
    constexpr double kWorth = 0.3;
    if (wrongMetal(c))
        return c.model.sensing == Platinum ? "gold: platinum catalyses in cyanide" : "platinum: strong chlorine eats gold";
    if (d.probability("glass_etched") >= kWorth)
        return "glass that suits the process: hardened for hot caustic, fluoride-resistant for fluoride";
    if (bulb && cleanedLately(c) >= kOften)
        return fmt::format("cleaned {} times in eight weeks: hardened or flat glass stands it better", cleanedLately(c));
    if (junction >= kWorth && !c.differential())
        return "a renewable bridge or a large open junction: this reference fouls";
    if (poisoned >= kWorth && c.model.reference == ReferenceDesign::SingleGel)
        return "a double junction, or a buffered cell behind a renewable bridge: the process reaches this reference";
    if (poisoned >= kWorth && c.model.reference && !isRefillable(*c.model.reference))
        return "a reference that can be refilled";
    if (d.probability("glass_broken") >= kWorth && bulb)
        return "flat glass or a guard: a bulb breaks there";
    return {};
}

std::vector<CureAdvice> adviceOf(const Case& c, const Diagnosed& d)
{
    std::vector<CureAdvice> list;
    double replace = HUGE_VAL;
    for (const auto& cost : d.costs)
        if (d.tables->advice.cures[cost.cure].key == "replace")
            replace = cost.cost;
    // A new sensor waits until what may still cure this one was tried, unless that is dearer by more than a repeat visit.
    const double visit = c.number("repeat_visit");
    const bool untried = std::any_of(d.costs.begin(), d.costs.end(), [&](const diagnosis::CureCost& x) {
        const auto& cure = d.tables->advice.cures[x.cure];
        return cure.key != "replace" && !cure.actions.empty() && x.cost - replace <= visit;
    });
    for (const auto& cost : d.costs) {
        const auto& cure = d.tables->advice.cures[cost.cure];
        if (cure.key == "replace" && untried)
            continue;
        CureAdvice a{cure.key, cure.words, std::nullopt, cost.minutes, cost.cost, cost.gain, cost.solves};
        for (const auto action : cure.actions)
            if (!a.action && c.allowed(action) && !(c.done(action) && action != ActionKey::Replace))
                a.action = action;
        if (cure.key == "clean" && c.kind == SensorKind::Ph && c.glass())
            for (const auto action : cleansFor(filmShares(c).front().code))
                if (c.allowed(action) && !c.done(action)) {
                    a.action = action;
                    break;
                }
        list.push_back(std::move(a));
    }
    return list;
}

std::string orderInWords(const std::vector<CureAdvice>& cures)
{
    std::string text;
    std::size_t n = 0;
    for (const auto& cure : cures) {
        if (!(cure.gain > 0.0) || n >= 3)
            break;
        text += (n ? ", then " : "") + fmt::format("{} ({} min)", cure.words, fixed(cure.minutes, 0));
        ++n;
    }
    if (n == 0)
        return "Nothing that can be done now is worth its cost: leave it.";
    text += ". Read before and after each step; take the next one only if the last did not do enough. Still out after that: stop, "
            "and plan its replacement.";
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    return text;
}

std::vector<WorkingStep> workingOf(const Case& c, const Diagnosed& d)
{
    const auto& network = d.tables->network;
    const auto ranked = d.weighing.ranked();
    std::vector<WorkingStep> steps;
    const auto step = [&](std::string what) -> WorkingStep& {
        WorkingStep s;
        s.step = std::move(what);
        s.source = c.rules->id();
        s.sourceClass = SourceClass::Assumed;
        steps.push_back(std::move(s));
        return steps.back();
    };
    auto& prior = step("how common each cause is before anything was read");
    prior.formula = "P0 = weight * factors / sum";
    for (std::size_t i = 0; i < std::min(kShown, ranked.size()); ++i)
        prior.inputs.push_back({network.causes[ranked[i]].words, d.weighing.prior[ranked[i]], {}, {}, {}});
    for (const auto& factor : d.factors)
        if (std::find(ranked.begin(), ranked.begin() + static_cast<std::ptrdiff_t>(std::min(kShown, ranked.size())), factor.cause) !=
            ranked.begin() + static_cast<std::ptrdiff_t>(std::min(kShown, ranked.size())))
            prior.text += fmt::format("{}{} * {} ({})", prior.text.empty() ? "" : "; ", network.causes[factor.cause].words,
                                      fixed(factor.factor, 2), factor.why);
    if (d.round) {
        auto& round = step("what the other sensors of the round say");
        round.formula = "message = P0(cause) * exp(sum over the others of ln likelihood)";
        for (const auto& m : d.round->members)
            round.inputs.push_back({m.name, m.efficiency_pct, "%", fmt::format("{} mV", formatSigned(m.offset_mv, 1)), {}});
        const auto& all = d.round->found.all;
        round.result = all.none;
        round.text = fmt::format("nothing shared {}, wrong standard {}, stale standard {}, temperature ignored {}", percent(all.none),
                                 percent(all.wrongStandard), percent(all.staleStandard), percent(all.temperatureIgnored));
    }
    if (ranked.size() >= 2) {
        struct Line {
            double nats;
            std::size_t o;
        };
        std::vector<Line> lines;
        for (std::size_t o = 0; o < network.observables.size(); ++o)
            if (d.symptoms.bands[o])
                lines.push_back({diagnosis::speaksFor(network, d.weighing, d.symptoms.bands, o, ranked[0], ranked[1]), o});
        std::stable_sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) { return std::fabs(a.nats) > std::fabs(b.nats); });
        for (const auto& line : lines) {
            const auto& o = network.observables[line.o];
            auto& s = step(fmt::format("{}: {}", o.words, o.bands[*d.symptoms.bands[line.o]]));
            s.formula = "w ln(P(reading | first) / P(reading | second))";
            s.inputs = {{network.causes[ranked[0]].words, o.likelihood[ranked[0]][*d.symptoms.bands[line.o]], {}, {}, {}},
                        {network.causes[ranked[1]].words, o.likelihood[ranked[1]][*d.symptoms.bands[line.o]], {}, {}, {}},
                        {"w", d.weighing.weight[line.o], {}, {}, {}}};
            s.result = line.nats;
            s.text = d.symptoms.words[line.o];
        }
    }
    auto& posterior = step("probability of each cause");
    posterior.formula = "P = exp(ln P0 + sum of w ln likelihood) / sum";
    for (std::size_t i = 0; i < std::min(kShown, ranked.size()); ++i)
        posterior.inputs.push_back({network.causes[ranked[i]].words, d.weighing.probability[ranked[i]], {}, {}, {}});
    posterior.result = d.weighing.entropyBits;
    posterior.unit = "bits";
    for (const auto& cost : d.costs) {
        const auto& cure = d.tables->advice.cures[cost.cure];
        auto& s = step("expected cost: " + cure.words);
        s.formula = "minutes * rate + parts + sum of P * (1 - cure) * (repeat visit + severity * loss)";
        s.inputs = {{"minutes and parts", cost.outlay, {}, {}, {}}, {"cures", cost.solves, {}, {}, {}}};
        s.result = cost.cost;
    }
    for (const auto& t : d.tests) {
        const auto& o = network.observables[t.observable];
        auto& s = step("worth of a test: " + o.words);
        s.formula = "least cost now - expected least cost after it - minutes * rate";
        s.inputs = {{"bits", t.bits, {}, {}, {}}, {"saves", t.worth, {}, {}, {}}, {"minutes", o.test->minutes, "min", {}, {}}};
        s.result = t.net;
    }
    return steps;
}

}  // namespace

DiagnosisReport reportOf(const Case& c, const Diagnosed& d)
{
    DiagnosisReport r;
    const auto& network = d.tables->network;
    const auto ranked = d.weighing.ranked();
    r.other = 1.0;
    for (const auto m : ranked) {
        if (r.causes.size() >= kShown || (d.weighing.probability[m] < d.tables->advice.foldBelow && r.causes.size() >= 2))
            break;
        r.causes.push_back({network.causes[m].key, network.causes[m].words, d.weighing.probability[m]});
        r.other -= d.weighing.probability[m];
    }
    r.other = std::max(0.0, r.other);
    r.cures = adviceOf(c, d);
    r.test = bestTest(d);
    r.testPays = !d.tests.empty() && d.tests.front().net > 0.0;
    if (d.round) {
        r.round = d.round->text;
        r.roundShared = 1.0 - d.round->found.all.none;
        for (const auto& m : d.round->members)
            r.members.push_back({m.name, m.efficiency_pct, m.offset_mv});
    }
    if (!ranked.empty() && d.weighing.probability[ranked.front()] < d.tables->advice.abstainBelow)
        r.abstained =
            fmt::format("no cause is likelier than {}: read again or test before anything is done", percent(d.tables->advice.abstainBelow));
    r.order = r.abstained.empty() ? orderInWords(r.cures) : std::string();
    r.nextTime = nextTimeOf(c, d);
    for (std::size_t o = 0; o < network.observables.size(); ++o)
        if (d.symptoms.bands[o])
            r.seen.push_back({network.observables[o].key, *d.symptoms.bands[o], d.symptoms.words[o]});
    r.missing = d.missing;
    r.working = workingOf(c, d);
    return r;
}

}  // namespace halfcell::core::judging
