#include "core/review/review_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::review {
namespace {

constexpr std::array kOptions{OptionKind::Run, OptionKind::Service, OptionKind::Same, OptionKind::Change};

struct Design {
    const Model* model = nullptr;
    double price = 0.0;
    bool priceKnown = false;
    double wear = 1.0;
    double renewal = 0.0;  ///< W with the change cost
    double now = 0.0;      ///< cost of buying it now, with free choice later
};

Design designOf(const CaseInput& in, const ChainSettings& settings, const Model* model, double applicationFactor, bool change,
                std::vector<Assumption>* list)
{
    Design d;
    d.model = model;
    d.wear = applicationFactor * designWear(model, in.standing.point, in.rules);
    if (model && model->price) {
        d.price = *model->price;
        d.priceKnown = true;
        if (list)
            list->push_back({"price of " + model->model, d.price, "", "model record", false, SourceClass::Record});
    } else if (!change && in.history.sensor->price) {
        d.price = *in.history.sensor->price;
        d.priceKnown = true;
        if (list)
            list->push_back({"price paid for " + in.history.sensor->serial, d.price, "", "sensor record", false, SourceClass::Record});
    } else {
        const std::string key = change ? "price.change" : in.kind == SensorKind::Ph ? "price.ph" : "price.orp";
        const Limit number = in.rules.number(key);
        d.price = number.value;
        if (list)
            list->push_back(
                {"price of " + (model ? model->model : std::string("a new sensor")), d.price, "", number.source, true, number.sourceClass});
    }
    const auto chain = freshChain(settings, {d.price, d.wear, 0.0});
    d.renewal = chain ? chain->renewal : 0.0;
    return d;
}

/// The other model of the book that fits in its place and costs least in the long run.
std::optional<Design> bestChange(const CaseInput& in, const ChainSettings& settings, double applicationFactor, double changeCost,
                                 std::vector<Assumption>& list)
{
    const Model* own = in.history.model;
    if (!own || !own->interchange)
        return std::nullopt;
    std::optional<Design> best;
    for (const Model& model : in.plant.records().models) {
        if (model.model == own->model || model.interchange != own->interchange || !suits(model, *own, in.standing.point))
            continue;
        Design d = designOf(in, settings, &model, applicationFactor, true, nullptr);
        d.renewal += changeCost;
        // A known price goes before an assumed one, then the smaller cost, then the name.
        if (!best || std::pair(!d.priceKnown, d.renewal) < std::pair(!best->priceKnown, best->renewal))
            best = d;
    }
    if (best)
        best = [&] {
            Design d = designOf(in, settings, best->model, applicationFactor, true, &list);
            d.renewal += changeCost;
            return d;
        }();
    return best;
}

std::string money(double amount)
{
    return fmt::format("{:.0f}", amount);
}

std::string stateWords(const CaseInput& in)
{
    const Assessment& a = in.assessment;
    if (!a.figures)
        return "never measured";
    std::string text;
    if (a.signal == Signal::Failure)
        text = std::string(wordsOf(a.verdict));
    else if (in.kind == SensorKind::Ph && a.figures->efficiency_pct)
        text = fmt::format("{:.1f} %", *a.figures->efficiency_pct);
    else if (a.figures->offset_mv)
        text = fmt::format("offset {:+.1f} mV", *a.figures->offset_mv);
    if (a.phase == Phase::AfterClean)
        text += " after cleaning";
    else if (a.phase == Phase::AsFound)
        text += " as found";
    if (in.services > 0)
        text += in.services == 1 ? ", serviced once" : fmt::format(", serviced {} times", in.services);
    if (in.trend && in.kind == SensorKind::Ph) {
        const double perMonth = in.trend->slopePerDay * 30.436875;
        text += std::abs(perMonth) < 2.0 * in.trend->u_slopePerDay * 30.436875 ? std::string(", steady")
                                                                               : fmt::format(", {:+.1f} % a month", perMonth);
    }
    return text;
}

const char* doing(OptionKind option)
{
    switch (option) {
    case OptionKind::Run: return "Run on";
    case OptionKind::Service: return "Service it now";
    case OptionKind::Same: return "Replace it by a new one of the same model";
    case OptionKind::Change: return "Change the design";
    }
    return "";
}

void addSentence(Judged& judged, const OptionValues& values, OptionKind best, double monthsAnnuity)
{
    ReviewCase& c = judged.shown;
    const auto index = static_cast<std::size_t>(*c.recommended);
    if (c.closeCall) {
        const double difference = std::abs(values.mean[index] - values.mean[static_cast<std::size_t>(best)]) / monthsAnnuity;
        c.sentence = *c.recommended == best ? fmt::format("{}, but look again: the best option is sure by {:.0f} % only.",
                                                          doing(*c.recommended), 100.0 * values.probabilityBest[index])
                                            : fmt::format("{}; close call: it differs by {:.1f} a month from \"{}\", and it can be undone.",
                                                          doing(*c.recommended), difference, wordsOf(best));
    } else {
        const double sure = 100.0 * values.probabilityBest[index];
        // Nobody is wholly sure: the draws know only what was assumed.
        c.sentence = fmt::format("{}. {} % sure", doing(*c.recommended), sure > 99.0 ? "Over 99" : fmt::format("{:.0f}", sure));
        std::size_t second = index == 0 ? 1 : 0;
        for (std::size_t o = 0; o < kOptions.size(); ++o)
            if (o != index && values.probabilityBest[o] > values.probabilityBest[second])
                second = o;
        if (second != index && values.probabilityBest[second] >= 0.05)
            c.sentence += fmt::format("; {:.0f} % says \"{}\"", 100.0 * values.probabilityBest[second], wordsOf(kOptions[second]));
        c.sentence += ".";
    }
    if (c.break_even_price)
        c.sentence += *c.break_even_price > 0.0 ? fmt::format(" A new one pays below {}.", money(*c.break_even_price))
                                                : " A new one pays at no price yet.";
}

}  // namespace

Judged judge(const CaseInput& in)
{
    Judged judged;
    ReviewCase& c = judged.shown;
    c.serial = in.history.sensor->serial;
    c.tag = in.standing.tag;
    c.site = in.standing.point ? in.standing.point->site : std::string();
    c.loop_class = in.loopClass;
    c.why = stateWords(in);

    const ChainSettings settings = chainSettings(in, c.assumptions);
    const StateNow state = stateNow(in);
    const LifeMonths life = in.rules.lifeMonths(in.application);
    c.assumptions.push_back(
        {"usual life in this application", life.usual, "months", life.source, life.sourceClass == SourceClass::Assumed, life.sourceClass});
    const double applicationFactor = applicationWear(settings, life);
    const double ownFactor = designWear(in.history.model, in.standing.point, in.rules);
    c.assumptions.push_back(
        {"wear of this design against the life table", ownFactor, "", "our choice by design", true, SourceClass::Assumed});

    Design same = designOf(in, settings, in.history.model, applicationFactor, false, &c.assumptions);
    const double changeCost = in.rules.number("review.change").value;
    auto change = bestChange(in, settings, applicationFactor, changeCost, c.assumptions);
    const bool dead = state.likeliest() == WearClass::X && state.unknown.empty();
    const bool out = state.likeliest() == WearClass::D && state.unknown.empty();
    const bool guarded = in.loopClass == "permit" || in.loopClass == "interlock";
    c.terminal = in.assessment.verdict == Verdict::Replace;

    std::array<bool, 4> allowed{true, true, true, change.has_value()};
    if (guarded && (out || dead))
        allowed[0] = false;  // a permit or interlock sensor that is out may not run on
    if (c.terminal)
        allowed[0] = allowed[1] = false;

    std::array<double, kWearClasses> chance = state.chance;
    if (!state.unknown.empty())
        chance = {1.0, 0.0, 0.0, 0.0, 0.0};
    const auto draws = wearDraws(in, settings, state, applicationFactor * ownFactor);
    const double renewal = change ? std::min(same.renewal, change->renewal) : same.renewal;
    same.now = purchaseValue(settings, {same.price, same.wear, 0.0}, renewal).value_or(same.renewal);
    if (change)
        change->now = change->renewal;  // the change is paid once: its later renewals are of its own kind
    const auto cure = cureNow(in, state);
    if (cure)
        c.assumptions.push_back({"chance that service cures it (" + cure->words + ")", cure->chance, "", "our choice by cure and finding",
                                 true, SourceClass::Assumed});
    const auto values = optionValues(settings, draws, chance, in.services, same.now, change ? change->now : same.now, allowed,
                                     cure ? std::optional(cure->serviced) : std::nullopt);
    if (!values) {
        c.abstained = values.error().detail;
        return judged;
    }

    const bool costAsked = !c.terminal;
    for (std::size_t o = 0; o < kOptions.size(); ++o) {
        if (!allowed[o])
            continue;
        ReviewOption option;
        option.option = kOptions[o];
        option.probability_best = costAsked ? values->probabilityBest[o] : 0.0;
        const Design* bought = kOptions[o] == OptionKind::Same ? &same : kOptions[o] == OptionKind::Change ? &*change : nullptr;
        option.price = bought ? bought->price : kOptions[o] == OptionKind::Service ? settings.service : 0.0;
        if (bought && bought->model)
            option.design = bought->model->model;
        if (costAsked && (!bought || bought->priceKnown)) {
            option.cost_per_month = costPerMonth(settings, values->mean[o], renewal);
            option.ci_low = costPerMonth(settings, values->low[o], renewal);
            option.ci_high = costPerMonth(settings, values->high[o], renewal);
        }
        c.options.push_back(std::move(option));
    }

    // The cheapest, and the purchase that comes nearest to paying.
    std::optional<std::size_t> best, purchase, withoutBuying;
    for (std::size_t o = 0; o < kOptions.size(); ++o) {
        if (!allowed[o])
            continue;
        const auto less = [&](std::optional<std::size_t>& than) {
            if (!than || values->mean[o] < values->mean[*than])
                than = o;
        };
        less(best);
        less(o >= 2 ? purchase : withoutBuying);
    }
    const Design& bestPurchase = *purchase == 3 ? *change : same;
    if (withoutBuying && costAsked)
        c.break_even_price = bestPurchase.price + values->mean[*withoutBuying] - values->mean[*purchase];

    WorkingStep step;
    step.step = "mean cost of each option over the draws of the wear multiplier";
    step.formula = "V(x) = min over a of cost(a) + E[loss + delta V(x')]";
    for (std::size_t o = 0; o < kOptions.size(); ++o)
        if (allowed[o])
            step.inputs.push_back({"Q(" + std::string(keyOf(kOptions[o])) + ")", values->mean[o], "", {}, {}});
    step.result = values->mean[*best];
    step.text = std::string(wordsOf(kOptions[*best]));
    step.source = "monthly chain of states, rules " + in.rules.id();
    c.working.push_back(step);
    for (std::size_t d = 0; d < draws.size(); ++d) {
        WorkingStep draw;
        draw.step = fmt::format("draw {}: wear {:.3f}, weight {:.3f}", d + 1, draws[d].wear, draws[d].weight);
        for (std::size_t o = 0; o < kOptions.size(); ++o)
            if (allowed[o])
                draw.inputs.push_back({"Q(" + std::string(keyOf(kOptions[o])) + ")", values->perDraw[d][o], "", {}, {}});
        draw.source = in.trend ? "weight by the trend of the clean efficiency" : "weight by the class reached at this age";
        c.working.push_back(std::move(draw));
    }
    {
        WorkingStep monthly;
        monthly.step = "cost a month";
        monthly.formula = "(Q - W) / annuity + (1 - delta) W";
        monthly.inputs = {{"W", renewal, "", "cost of a new sensor for ever", {}},
                          {"delta", settings.discount, "", {}, {}},
                          {"months", static_cast<double>(settings.horizonMonths), "", {}, {}}};
        monthly.result = costPerMonth(settings, values->mean[*best], renewal);
        monthly.source = "rules " + in.rules.id();
        monthly.sourceClass = SourceClass::Assumed;
        c.working.push_back(std::move(monthly));
    }

    // What keeps the tool from advising.
    if (!state.unknown.empty())
        c.abstained = state.unknown;
    else if (in.assessment.verdict == Verdict::CheckWiring)
        c.abstained = "the wiring has not been checked: check it first, then decide";
    else if ((in.assessment.verdict == Verdict::CheckStandards || in.assessment.verdict == Verdict::Recheck) &&
             in.assessment.signal != Signal::Normal)
        c.abstained = "the reading is in doubt: read again with fresh standards first, then decide";
    else if (!c.terminal && in.cleanFits < 3 && in.groupLives < 5)
        c.abstained = fmt::format(
            "not enough yet: {} clean {} as left (3 needed) and {} ended {} of this design and application (5 needed)", in.cleanFits,
            in.kind == SensorKind::Ph ? "efficiencies" : "offsets", in.groupLives, in.groupLives == 1 ? "life" : "lives");
    if (!c.abstained.empty()) {
        c.sentence = "No advice: " + c.abstained + ".";
        return judged;
    }

    if (c.terminal) {
        c.recommended = *best == 3 ? OptionKind::Change : OptionKind::Same;
        const std::string finding =
            in.assessment.findings.empty() ? std::string("the verdict of the last visit") : in.assessment.findings.front().title;
        c.sentence = fmt::format("{}: replace it; cost is not asked.", finding);
        judged.replaceNow = true;
    } else if (!bestPurchase.priceKnown && *best >= 2) {
        c.sentence = fmt::format("Break-even only: a new one pays below {}.", money(c.break_even_price.value_or(0.0)));
        return judged;
    } else {
        c.recommended = kOptions[*best];
        const double sure = values->probabilityBest[*best];
        const double closeBelow = in.rules.number("review.close_call").value > 0.0 ? in.rules.number("review.close_call").value : 0.60;
        if (sure < closeBelow) {
            c.closeCall = true;
            // The runner-up, if it can be undone more easily.
            std::optional<std::size_t> second;
            for (std::size_t o = 0; o < kOptions.size(); ++o)
                if (allowed[o] && o != *best && (!second || values->mean[o] < values->mean[*second]))
                    second = o;
            if (second && *second < *best)
                c.recommended = kOptions[*second];
        }
        const double delta = settings.discount;
        addSentence(judged, *values, kOptions[*best], (1.0 - std::pow(delta, settings.horizonMonths)) / (1.0 - delta));
        judged.replaceNow = c.recommended == OptionKind::Same || c.recommended == OptionKind::Change;
    }

    // Ways to spend money on it, against doing nothing.
    const double nothing = allowed[0] || c.terminal ? values->mean[0] : withoutBuying ? values->mean[*withoutBuying] : values->mean[0];
    for (std::size_t o = 1; o < kOptions.size(); ++o) {
        if (!allowed[o] || (o == 2 && !same.priceKnown) || (o == 3 && !change->priceKnown))
            continue;
        const bool must = c.terminal && kOptions[o] == *c.recommended;
        if (c.terminal && !must)
            continue;
        const double cost = o == 1 ? settings.service : o == 2 ? same.price : change->price;
        judged.spending.push_back({c.serial + "/" + std::string(keyOf(kOptions[o])), c.serial, cost, nothing - values->mean[o], must});
        judged.spendingOption.push_back(kOptions[o]);
    }
    judged.saving = std::max(0.0, nothing - values->mean[static_cast<std::size_t>(*c.recommended)]);
    return judged;
}

}  // namespace halfcell::core::review
