#include "core/quantity/number.h"
#include "core/rules/diagnosing.h"

#include <algorithm>
#include <cmath>

/// Probabilities for the findings, and the causes that no rule raised.
/// Source: Bayes' rule over the tables of the rule set; which cause leads when is our choice: what is dangerous to miss stays
/// first whatever its probability, then what the round shares, then the likelier cause.
namespace halfcell::core::judging {

namespace {

/// A shared cause of the round goes before every sensor's own, behind what is dangerous to miss.
constexpr int kRoundWeight = 455;
/// A cure counts as one for a cause from this chance on.
constexpr double kCures = 0.5;

std::vector<bool> curesAllowed(const Case& c, const diagnosis::AdviceTables& advice)
{
    std::vector<bool> allowed;
    for (const auto& cure : advice.cures)
        allowed.push_back(cure.actions.empty() || std::any_of(cure.actions.begin(), cure.actions.end(), [&](ActionKey a) {
                              return c.allowed(a) && !(c.done(a) && a != ActionKey::Replace);
                          }));
    return allowed;
}

std::vector<bool> testsAllowed(const Case& c, const diagnosis::Network& network)
{
    std::vector<bool> allowed;
    for (const auto& o : network.observables) {
        bool may = c.visit != nullptr && o.test.has_value();
        if (may)
            may = c.rules->allowsTest(c.model, o.test->key);
        if (o.key == "rg")
            may = may && c.glass();
        if (o.key == "grab")
            may = may && c.plant != nullptr;
        allowed.push_back(may);
    }
    return allowed;
}

diagnosis::Stakes stakesOf(const Case& c)
{
    diagnosis::Stakes s;
    s.labourPerMinute = c.number("labour_rate");
    s.repeatVisit = c.number("repeat_visit");
    const auto loop = c.point && c.point->loop_class ? std::string(keyOf(*c.point->loop_class)) : std::string("unknown");
    const double week = c.point && c.point->consequence_per_week ? *c.point->consequence_per_week : c.number("consequence." + loop);
    s.loss = week * c.number("weeks_to_next_round");
    s.sensorPrice = c.model.price ? *c.model.price : c.number(c.kind == SensorKind::Orp ? "price.orp" : "price.ph");
    return s;
}

/// One code a cause stands for, with its part of the probability.
struct CodePart {
    FindingCode code;
    double probability = 0.0;
    std::string words;
};

std::vector<CodePart> partsOf(const Case& c, const Diagnosed& d, std::size_t m)
{
    const auto& cause = d.tables->network.causes[m];
    const double p = d.weighing.probability[m];
    if (cause.code)
        return {{*cause.code, p, cause.words}};
    if (cause.key == "film") {
        std::vector<CodePart> parts;
        for (const auto& film : filmShares(c))
            parts.push_back({film.code, p * film.share, film.name});
        return parts;
    }
    if (cause.key == "reference") {
        const bool rising = c.offsetTrend ? *c.offsetTrend > 0 : c.state->offset_mv.value_or(0.0) > 0;
        return {{c.differential() ? FindingCode::CellContaminated
                 : rising         ? FindingCode::ReferencePoisoned
                                  : FindingCode::ElectrolyteDiluted,
                 p, cause.words}};
    }
    const bool zero = !c.state->used.empty() && std::all_of(c.state->used.begin(), c.state->used.end(), [&](const UsedReading& u) {
        return std::fabs(u.e_mv) <= c.number("diagnosis.short_mv");
    });
    return {{zero ? FindingCode::ShortCircuit : FindingCode::OpenCircuit, p, cause.words}};
}

/// The cures of a cause, the likeliest to work first, cheapest action first within each.
std::vector<ActionKey> curesOfCause(const Case& c, const Diagnosed& d, std::size_t m, FindingCode code, Verdict& verdict)
{
    const auto& cause = d.tables->network.causes[m];
    if (cause.key == "film") {
        verdict = Verdict::Clean;
        return cleansFor(code);
    }
    std::vector<const diagnosis::Cure*> cures;
    for (const auto& cost : d.costs)
        if (d.tables->advice.cures[cost.cure].cures[m] >= kCures && d.tables->advice.cures[cost.cure].key != "replace")
            cures.push_back(&d.tables->advice.cures[cost.cure]);
    std::stable_sort(cures.begin(), cures.end(),
                     [&](const diagnosis::Cure* a, const diagnosis::Cure* b) { return a->minutes + a->parts < b->minutes + b->parts; });
    std::vector<ActionKey> actions;
    bool first = true;
    for (const auto* cure : cures) {
        if (first)
            verdict = cure->verdict;
        first = false;
        for (const auto a : cure->actions)
            if (c.allowed(a))
                actions.push_back(a);
    }
    if (cause.shared)
        verdict = Verdict::CheckStandards;
    return actions;
}

/// The readings that speak for or against a cause, by weight, against the likeliest other one.
void giveReasons(const Diagnosed& d, std::size_t m, Draft& draft, std::size_t most)
{
    const auto& network = d.tables->network;
    const auto ranked = d.weighing.ranked();
    std::size_t rival = m;
    for (const auto other : ranked)
        if (other != m) {
            rival = other;
            break;
        }
    struct Reason {
        double nats;
        std::size_t observable;
    };
    std::vector<Reason> reasons;
    for (std::size_t o = 0; o < network.observables.size(); ++o)
        if (d.symptoms.bands[o] && d.weighing.weight[o] > 0.0)
            reasons.push_back({diagnosis::speaksFor(network, d.weighing, d.symptoms.bands, o, m, rival), o});
    std::stable_sort(reasons.begin(), reasons.end(),
                     [](const Reason& a, const Reason& b) { return std::fabs(a.nats) > std::fabs(b.nats); });
    constexpr double kWorthSaying = 0.2;
    std::size_t said = 0;
    for (const auto& r : reasons) {
        if (said >= most || std::fabs(r.nats) < kWorthSaying)
            break;
        r.nats > 0 ? speaksFor(draft, d.symptoms.words[r.observable]) : speaksAgainst(draft, d.symptoms.words[r.observable]);
        ++said;
    }
    if (draft.finding.because.empty())
        for (std::size_t o = 0; o < network.observables.size(); ++o)
            if (d.symptoms.bands[o]) {
                speaksFor(draft, d.symptoms.words[o]);
                break;
            }
}

}  // namespace

double Diagnosed::probability(std::string_view cause) const
{
    const auto m = tables->network.cause(cause);
    return m ? weighing.probability[*m] : 0.0;
}

std::optional<Diagnosed> diagnose(const Case& c)
{
    // Antimony is judged by its own first value alone; of a design that nobody recorded a book can say nothing.
    if (c.model.sensing == Sensing::Antimony || (c.plant && !c.model.reference && !c.model.sensing))
        return std::nullopt;
    Diagnosed d;
    d.tables = &c.rules->diagnosisTables().of(c.kind);
    const auto& network = d.tables->network;
    const auto own = ownMember(c);
    d.symptoms = symptomsOf(c, network, own ? &*own : nullptr);
    // Without a figure of its health there is nothing to weigh.
    const auto has = [&](std::string_view key) {
        const auto o = network.observable(key);
        return o && d.symptoms.bands[*o].has_value();
    };
    if (!(c.kind == SensorKind::Orp ? has("dev") : has("eff")))
        return std::nullopt;
    auto setting = settingOf(c);
    if (own)
        d.round = roundOf(c, *own);
    // Standards of one round are about as warm as each other; a thermometer that says otherwise stands alone.
    if (const auto o = network.observable("thermo"); d.round && d.round->warmer_k && o && !d.symptoms.bands[*o])
        if (const double k = *d.round->warmer_k; std::fabs(k) > c.number("diagnosis.round_temperature_k")) {
            d.symptoms.bands[*o] = network.observables[*o].bandOf(std::fabs(k));
            d.symptoms.words[*o] = fmt::format("its standards read {} K against those of the round's other sensors", formatSigned(k, 0));
        }
    setting.round = d.round ? d.round->found.leaveOut.front() : c.rules->diagnosisTables().round.prior;
    const auto prior = diagnosis::priorOf(network, c.rules->diagnosisTables().prior, setting, &d.factors);
    d.weighing = diagnosis::weigh(network, prior, d.symptoms.bands);
    const auto cures = curesAllowed(c, d.tables->advice);
    const auto stakes = stakesOf(c);
    d.costs = diagnosis::costsOf(network, d.tables->advice, d.weighing.probability, stakes, cures);
    d.tests = diagnosis::testsOf(network, d.tables->advice, d.weighing, d.symptoms.bands, stakes, cures, testsAllowed(c, network));
    if (own) {
        const auto& t = c.rules->diagnosisTables().round;
        const auto distance = [&](const diagnosis::Shift& s) {
            return std::pow((own->efficiency_pct - s.efficiency_pct) / t.sd_pct, 2) + std::pow((own->offset_mv - s.offset_mv) / t.sd_mv, 2);
        };
        constexpr double kNearer = 1.0, kFits = 9.0;  // squares of standard deviations (our choice)
        double least = distance({}) - kNearer;
        for (std::size_t i = 0; i < own->exact[0].size(); ++i)
            if (const double x = distance(own->exact[0][i]); x < least && x < kFits) {
                least = x;
                d.nearerBottle = t.shifts[0][i].words;
            }
    }
    for (std::size_t o = 0; o < network.observables.size(); ++o)
        if (!d.symptoms.bands[o])
            d.missing.push_back(network.observables[o].words);
    return d;
}

void applyDiagnosis(const Case& c, const Diagnosed& d, Findings& f)
{
    const auto& network = d.tables->network;
    const double fold = d.tables->advice.foldBelow;
    const auto limits = compareWithLimits(c);
    const bool broken = std::any_of(limits.begin(), limits.end(), [](const LimitCheck& x) { return x.broken; });
    // A set without a book, in order by its limits, has nothing to weigh a cause by but one number.
    const bool listsCauses =
        c.plant || broken || std::any_of(f.drafts().begin(), f.drafts().end(), [](const Draft& x) { return x.drives; });
    for (const auto m : d.weighing.ranked()) {
        if (network.causes[m].key == "healthy")
            continue;
        for (const auto& part : partsOf(c, d, m)) {
            if (auto* there = f.find(part.code)) {
                there->finding.probability = part.probability;
                if (there->finding.because.empty())
                    giveReasons(d, m, *there, 3);
                continue;
            }
            const bool worn = part.code == FindingCode::GlassAged || part.code == FindingCode::GlassEtched;
            if (part.probability < fold || !listsCauses || (worn && (c.response.dead || c.response.reversed)))
                continue;
            auto verdict = Verdict::Recheck;
            auto cures = curesOfCause(c, d, m, part.code, verdict);
            auto& draft = f.add(part.code, 20, false, verdict, std::move(cures));
            draft.finding.probability = part.probability;
            draft.cause = part.words;
            giveReasons(d, m, draft, 4);
        }
    }
    // Codes of the table that a rule raised although the design rules them out, or that weigh nothing, have the rest: none.
    for (auto& draft : f.drafts())
        for (const auto& cause : network.causes)
            if (cause.code == draft.finding.code && !draft.finding.probability)
                draft.finding.probability = 0.0;

    const auto anyDrives = [&] { return std::any_of(f.drafts().begin(), f.drafts().end(), [](const Draft& x) { return x.drives; }); };

    // A wrong bottle is dangerous to miss: it is noted whenever it explains the departure better than nothing does.
    if (!d.nearerBottle.empty() && !f.has(FindingCode::WrongStandard) && c.kind == SensorKind::Ph) {
        auto& draft = f.add(FindingCode::WrongStandard, 15, false, Verdict::CheckStandards, {});
        draft.finding.probability = d.probability("wrong_standard");
        draft.cause = "perhaps a mistaken bottle";
        speaksFor(draft, fmt::format("{} would explain its departure from its own past", d.nearerBottle));
    }

    // A shared cause of the round comes before any sensor is blamed.
    if (d.round && d.round->found.prompt && d.round->touched && d.round->found.likeliest) {
        using enum diagnosis::SharedCause;
        const auto code = *d.round->found.likeliest == WrongStandard   ? FindingCode::WrongStandard
                          : *d.round->found.likeliest == StaleStandard ? FindingCode::StaleStandard
                                                                       : FindingCode::TemperatureIgnored;
        const bool matters = d.round->fits && (broken || anyDrives() || d.round->found.all.none < 0.5);
        auto& draft = f.add(code, kRoundWeight, matters, Verdict::CheckStandards, {});
        if (!draft.finding.probability)
            draft.finding.probability = d.probability(keyOf(code));
        draft.finding.because.insert(draft.finding.because.begin(), {Because::Side::For, d.round->text});
        draft.cause = code == FindingCode::TemperatureIgnored ? "the temperature of the standards, shared by the round"
                                                              : "a bottle that the whole round shares";
        draft.advice = "Question bottle, thermometer and meter first: read again from a fresh bottle with a thermometer in it.";
        if (matters)
            for (auto& other : f.drafts())
                if (&other != &draft && other.weight < kRoundWeight)
                    other.drives = false;
    }

    // Something is out and no rule has anything leading: the likeliest cause leads, if it is likely enough.
    if (broken && !anyDrives()) {
        const auto ranked = d.weighing.ranked();
        for (const auto m : ranked) {
            const auto& cause = network.causes[m];
            if (cause.key == "healthy")
                break;
            const auto parts = partsOf(c, d, m);
            auto* draft = f.find(parts.front().code);
            if (!draft || draft->drives || d.weighing.probability[m] < d.tables->advice.abstainBelow)
                break;
            draft->drives = true;
            draft->weight = std::max(draft->weight, 65);
            auto verdict = draft->verdict;
            auto cures = curesOfCause(c, d, m, parts.front().code, verdict);
            std::erase_if(cures, [&](ActionKey a) { return !c.allowed(a); });
            if (draft->cures.empty())
                draft->cures = std::move(cures);
            draft->verdict = verdict == Verdict::Leave ? Verdict::Recheck : verdict;
            break;
        }
    }
    if (const double p = d.probability("healthy"); p >= fold && listsCauses && !anyDrives() && !broken) {
        auto& draft = f.add(FindingCode::Healthy, 10, false, Verdict::Leave, {});
        draft.finding.probability = p;
        draft.cause.clear();
        giveReasons(d, network.cause("healthy").value(), draft, 4);
    }
}

std::optional<NextTest> bestTest(const Diagnosed& d)
{
    if (d.tests.empty())
        return std::nullopt;
    const auto& t = d.tests.front();
    const auto& o = d.tables->network.observables[t.observable];
    NextTest next{o.test->key, o.test->minutes, o.test->splits};
    for (const auto& outcome : t.outcomes)
        next.splits += fmt::format("; {}: {} {} %, {}", o.bands[outcome.band], d.tables->network.causes[outcome.leading].words,
                                   fixed(100.0 * outcome.leadingProbability, 0), d.tables->advice.cures[outcome.cure].words);
    return next;
}

}  // namespace halfcell::core::judging
