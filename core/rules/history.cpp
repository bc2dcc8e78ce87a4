#include "core/rules/judging.h"
#include "core/rules/orp_baseline.h"

#include <algorithm>
#include <cmath>

/// The figures of a sensor's whole life, and whether its loop still waits in manual.
namespace halfcell::core {

namespace {

constexpr Phase kPhases[] = {Phase::AsFound, Phase::AfterClean, Phase::AsLeft};
constexpr double kAcidLingersHours = 6.0;  ///< the zero wanders for hours after acid (common practice)

const Point* pointOfVisit(const Plant& plant, const SensorHistory& history, const Visit& visit)
{
    if (visit.tag)
        if (const auto* point = plant.point(*visit.tag))
            return point;
    const auto* placement = history.placementAt(visit.when);
    return placement ? plant.point(placement->place) : nullptr;
}

bool acidBefore(const SensorHistory& history, const Visit& visit, Phase phase, const RuleSet& rules)
{
    const auto isAcid = [&](const Action& a) {
        const auto holds = rules.holds(a.action, a.agent ? *a.agent : std::string());
        return std::find(holds.begin(), holds.end(), "acid") != holds.end();
    };
    // Steps of a visit lie between as found and what follows.
    if (phase != Phase::AsFound && std::any_of(visit.actions.begin(), visit.actions.end(), isAcid))
        return true;
    for (const auto* other : history.visits) {
        const double hours = 24.0 * daysBetween(other->when, visit.when);
        if (other != &visit && hours >= 0.0 && hours <= kAcidLingersHours &&
            std::any_of(other->actions.begin(), other->actions.end(), isAcid))
            return true;
    }
    return false;
}

}  // namespace

const Reading* orpBaseline(const Visit& visit, const StandardsBook& standards)
{
    for (auto phase = std::rbegin(kPhases); phase != std::rend(kPhases); ++phase)
        for (const auto& r : visit.readings)
            if (r.phase == *phase && r.mv && r.temp_degc.has_value() &&
                standards.redox(r.standard, r.lot ? *r.lot : std::string(), Celsius(*r.temp_degc)))
                return &r;
    return nullptr;
}

const PhaseFigures* VisitFigures::phase(Phase p) const
{
    for (const auto& figures : phases)
        if (figures.phase == p)
            return &figures;
    return nullptr;
}

const PhaseFigures* VisitFigures::lastState() const
{
    for (auto p = std::rbegin(kPhases); p != std::rend(kPhases); ++p)
        if (const auto* found = phase(*p))
            return found;
    return nullptr;
}

std::vector<VisitFigures> figuresOfHistory(const Plant& plant, const SensorHistory& history, const StandardsBook& standards,
                                           const RuleSet& rules, bool withWorking)
{
    FigureContext context;
    context.standards = &standards;
    context.kind = history.model ? history.model->kind : SensorKind::Ph;
    context.reference_fill = history.model && history.model->reference_fill ? *history.model->reference_fill : std::string();
    context.budget = rules.budget();
    const bool ownBaseline = context.kind == SensorKind::Orp && context.reference_fill == kDifferentialFill;

    std::vector<VisitFigures> all;
    auto legacy = history.legacy.begin();
    const auto takeLegacy = [&](const Instant* before) {
        for (; legacy != history.legacy.end() && (!before || (*legacy)->when < *before); ++legacy) {
            VisitFigures v;
            v.legacy = *legacy;
            v.when = (*legacy)->when;
            v.phases.push_back(figuresOf(**legacy, context.kind));
            if (v.phases.front().efficiency_pct)
                context.lastSlopeFraction = *v.phases.front().efficiency_pct / 100.0;
            all.push_back(std::move(v));
        }
    };
    for (const auto* visit : history.visits) {
        takeLegacy(&visit->when);
        VisitFigures v;
        v.visit = visit;
        v.when = visit->when;
        const auto* point = pointOfVisit(plant, history, *visit);
        context.process_ph.reset();
        context.process_temp_c.reset();
        context.grab_quality.reset();
        if (point) {
            if (point->ph_low && point->ph_high)
                context.process_ph = 0.5 * (*point->ph_low + *point->ph_high);
            else
                context.process_ph = point->ph_low ? point->ph_low : point->ph_high;
            context.process_temp_c = point->temp_degc;
            context.grab_quality = point->grab_quality;
        }
        if (ownBaseline && !context.orp_baseline_mv)
            if (const auto* first = orpBaseline(*visit, standards)) {
                context.orp_baseline_mv = first->mv;
                context.orp_baseline_standard = first->standard;
                context.orp_baseline_temp_c = *first->temp_degc;
            }
        for (const auto phase : kPhases) {
            if (std::none_of(visit->readings.begin(), visit->readings.end(), [&](const Reading& r) { return r.phase == phase && r.mv; }))
                continue;
            context.acidBefore = acidBefore(history, *visit, phase, rules);
            v.phases.push_back(figuresOf(*visit, phase, context, withWorking));
            if (const auto& fit = v.phases.back().fit)
                context.lastSlopeFraction = fit->s;
        }
        all.push_back(std::move(v));
    }
    takeLegacy(nullptr);
    return all;
}

namespace judging {

namespace {

/// "2026-03-02 08:47", by the clock of the place.
std::string minuteOf(const Instant& instant)
{
    return formatDate(instant) + " " + formatInstant(instant).substr(11, 5);
}

}  // namespace

std::optional<std::string> openHold(const Plant& plant, const SensorHistory& history, const Point* point)
{
    if (!point)
        return std::nullopt;
    const auto& asOf = plant.asOf();
    const Hold* open = nullptr;
    std::optional<Instant> lastClosed;
    for (const auto& hold : plant.records().holds) {
        if (hold.point != point->tag || hold.from > asOf)
            continue;
        if (!hold.to || *hold.to > asOf)
            open = &hold;
        else if (!lastClosed || *hold.to > *lastClosed)
            lastClosed = hold.to;
    }
    if (open)
        return fmt::format("{} is in manual or hold since {}", point->tag, minuteOf(open->from));
    const Visit* waiting = nullptr;
    for (const auto* visit : history.visits) {
        if (!visit->tag || *visit->tag != point->tag)
            continue;
        if (visit->auto_at && *visit->auto_at <= asOf)
            waiting = nullptr;
        else if (visit->manual_from)
            waiting = visit;
    }
    if (waiting && !(lastClosed && *lastClosed >= *waiting->manual_from))
        return fmt::format("{} went into manual at {} and was not written back to auto", point->tag, minuteOf(*waiting->manual_from));
    return std::nullopt;
}

}  // namespace judging

}  // namespace halfcell::core
