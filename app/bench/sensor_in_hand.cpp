#include "app/bench/sensor_in_hand.h"

#include "app/bench/settle_clock.h"
#include "app/presenters/shop.h"
#include "core/electrochemistry/nernst.h"
#include "core/electrochemistry/reference_electrode.h"
#include "core/rules/orp_baseline.h"

#include <algorithm>
#include <utility>

namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr double kNeutral = 7.0;
constexpr double kAcidHours = 6.0;  ///< the zero wanders more for so long after acid (decision method 2)

/// Figures without their working, so that copying them costs little.
std::vector<VisitFigures> withoutWorking(std::vector<VisitFigures> figures)
{
    for (VisitFigures& v : figures)
        for (PhaseFigures& p : v.phases)
            p.working.clear();
    return figures;
}

/// The reading that a differential ORP sensor is judged by, as the history's figures take it; nullptr while it has none.
const Reading* baselineOf(const SensorHistory& history, const StandardsBook& standards)
{
    if (!history.model || history.model->kind != SensorKind::Orp || history.model->reference_fill != core::kDifferentialFill)
        return nullptr;
    for (const Visit* visit : history.visits)
        if (const Reading* first = orpBaseline(*visit, standards))
            return first;
    return nullptr;
}

/// As the last of the others that were read in the week before sees it.
std::optional<CommonCause> roundBefore(const Plant& plant, std::string_view serial, const StandardsBook& standards, const RuleSet& rules)
{
    constexpr double kRoundDays = 7.0;
    const SensorHistory* last = nullptr;
    for (const SensorHistory& history : plant.histories()) {
        if (history.sensor->serial == serial || history.visits.empty() || (history.model && history.model->kind != SensorKind::Ph))
            continue;
        const double ago = daysBetween(history.visits.back()->when, plant.asOf());
        if (ago >= 0.0 && ago <= kRoundDays && (!last || last->visits.back()->when < history.visits.back()->when))
            last = &history;
    }
    if (!last)
        return std::nullopt;
    return commonCauseOf(assess(plant, *last, figuresOfHistory(plant, *last, standards, rules, false), standards, rules));
}

std::shared_ptr<SensorInHand> make(const Plant& plant, const SensorHistory& history, const Point* point, const StandardsBook& standards,
                                   const RuleSet& rules)
{
    auto hand = std::make_shared<SensorInHand>();
    hand->plant = &plant;
    hand->history = &history;
    hand->point = point;
    hand->standards = &standards;
    hand->rules = &rules;
    hand->limits = rules.profileFor(history.model, point);
    hand->baseline = baselineOf(history, standards);
    hand->roundSoFar = roundBefore(plant, history.sensor->serial, standards, rules);
    return hand;
}

}  // namespace

std::optional<CommonCause> commonCauseOf(const Assessment& assessment)
{
    if (!assessment.diagnosis || assessment.diagnosis->round.empty())
        return std::nullopt;
    const DiagnosisReport& d = *assessment.diagnosis;
    return CommonCause{
        .text = d.round, .probability = d.roundShared, .members = d.members, .holdsBack = assessment.verdict == Verdict::CheckStandards};
}

SensorKind SensorInHand::kind() const
{
    return model() ? model()->kind : SensorKind::Ph;
}

std::string SensorInHand::fill() const
{
    return model() && model()->reference_fill ? *model()->reference_fill : std::string();
}

std::string SensorInHand::designWords() const
{
    std::string words;
    if (model() && model()->reference)
        words += wordsOf(*model()->reference);
    if (model() && model()->sensing)
        words += (words.empty() ? "" : ", ") + std::string(wordsOf(*model()->sensing));
    if (kind() == SensorKind::Orp && !fill().empty())
        words += (words.empty() ? "" : ", ") + fill();
    return words.empty() ? "design not recorded" : words;
}

DesignAllows SensorInHand::allows(ActionKey action) const
{
    return model() ? rules->allowsAt(*model(), action, point)
                   : DesignAllows{DesignAllows::Offer::Limited, "the model of this sensor is not recorded"};
}

const VisitFigures* SensorInHand::lastVisit() const
{
    for (auto it = past.rbegin(); it != past.rend(); ++it)
        if (it->lastState())
            return &*it;
    return nullptr;
}

const PhaseFigures* SensorInHand::lastState() const
{
    const VisitFigures* visit = lastVisit();
    return visit ? visit->lastState() : nullptr;
}

std::optional<double> SensorInHand::lastMv(std::string_view standard) const
{
    if (const PhaseFigures* state = lastState())
        for (const UsedReading& used : state->used)
            if (used.standard == standard)
                return used.e_mv;
    return std::nullopt;
}

std::optional<double> SensorInHand::lastT90() const
{
    const PhaseFigures* state = lastState();
    return state ? state->t90_s : std::nullopt;
}

double SensorInHand::leastWaitSeconds() const
{
    return leastWait(limits.least_wait_s.value, limits.wait_per_t90.value, lastT90());
}

std::optional<double> SensorInHand::processPh() const
{
    if (!point)
        return std::nullopt;
    if (point->ph_low && point->ph_high)
        return (*point->ph_low + *point->ph_high) / 2.0;
    return point->ph_low ? point->ph_low : point->ph_high;
}

std::vector<std::string> SensorInHand::usualStandards() const
{
    std::vector<std::string> last;
    if (const VisitFigures* visit = lastVisit(); visit && visit->visit)
        if (const PhaseFigures* state = visit->lastState())
            for (const UsedReading& used : state->used)
                if (standards->kindOf(used.standard) != StandardKind::KnownPh &&
                    std::find(last.begin(), last.end(), used.standard) == last.end())
                    last.push_back(used.standard);
    if (!last.empty() && (last.size() > 1 || kind() == SensorKind::Orp))
        return last;
    if (kind() == SensorKind::Orp) {
        if (point && point->application && *point->application == "food")
            return {"light"};
        return {"quinhydrone_ph7", "quinhydrone_ph4"};
    }
    return {"ph7.00", processPh().value_or(0.0) > kNeutral ? "ph10.01" : "ph4.01"};
}

Result<double> SensorInHand::idealMv(std::string_view standard, std::string_view lot, double tempC) const
{
    if (kind() == SensorKind::Orp && baseline) {
        const auto value = standards->redox(standard, lot, Celsius(tempC));
        if (!value)
            return std::unexpected(value.error());
        const auto then = standards->redox(baseline->standard, {}, Celsius(*baseline->temp_degc));
        return *baseline->mv + (then ? value->value - then->value : 0.0);
    }
    if (kind() == SensorKind::Orp) {
        const auto expected = expectedPotential(*standards, standard, lot, fill(), Celsius(tempC));
        if (!expected)
            return std::unexpected(expected.error());
        return expected->e.value();
    }
    const auto value = standards->ph(standard, lot, Celsius(tempC));
    if (!value)
        return std::unexpected(value.error());
    const auto slope = nernstSlope(Celsius(tempC));
    if (!slope)
        return std::unexpected(slope.error());
    return -slope->value() * (value->value - kNeutral);
}

FigureContext SensorInHand::contextFor(const Visit& visit, Phase phase) const
{
    FigureContext context;
    context.standards = standards;
    context.kind = kind();
    context.reference_fill = fill();
    context.budget = rules->budget();
    // The grab sample says best what is in the pipe now; then the loop; then the range of the point.
    if (!visit.grabs.empty() && visit.grabs.front().grab_ph.has_value())
        context.process_ph = *visit.grabs.front().grab_ph;
    else if (!visit.grabs.empty() && visit.grabs.front().loop_ph.has_value())
        context.process_ph = *visit.grabs.front().loop_ph;
    else
        context.process_ph = processPh();
    if (!visit.grabs.empty() && visit.grabs.front().temp_degc.has_value())
        context.process_temp_c = *visit.grabs.front().temp_degc;
    else if (point)
        context.process_temp_c = point->temp_degc;
    if (point)
        context.grab_quality = point->grab_quality;
    if (const PhaseFigures* last = lastState(); last && last->fit)
        context.lastSlopeFraction = last->fit->s;
    if (baseline) {
        context.orp_baseline_mv = baseline->mv;
        context.orp_baseline_standard = baseline->standard;
        context.orp_baseline_temp_c = *baseline->temp_degc;
    }
    if (phase != Phase::AsFound)
        for (const Action& step : visit.actions) {
            const auto holds = rules->holds(step.action, step.agent ? *step.agent : std::string_view{});
            context.acidBefore = context.acidBefore || std::find(holds.begin(), holds.end(), "acid") != holds.end();
        }
    if (!context.acidBefore)
        for (const Visit* earlier : history->visits)
            for (const Action& step : earlier->actions)
                if (earlier->visit != visit.visit && daysBetween(step.when, visit.when) >= 0 &&
                    daysBetween(step.when, visit.when) * 24.0 < kAcidHours) {
                    const auto holds = rules->holds(step.action, step.agent ? *step.agent : std::string_view{});
                    context.acidBefore = context.acidBefore || std::find(holds.begin(), holds.end(), "acid") != holds.end();
                }
    return context;
}

std::shared_ptr<const SensorInHand> sensorInHand(std::shared_ptr<const Dossier> dossier)
{
    auto hand = make(*dossier->plant, *dossier->history, dossier->point, dossier->standards, dossier->rules);
    hand->past = withoutWorking(dossier->figures);
    hand->keep = std::move(dossier);
    return hand;
}

std::shared_ptr<const SensorInHand> sensorInHand(const Plant& plant, std::string_view serial, const StandardsBook& standards,
                                                 const RuleSet& rules, std::shared_ptr<const void> keep)
{
    const SensorHistory* history = plant.history(serial);
    if (!history)
        return nullptr;
    const Placement* placement = history->placementAt(plant.asOf());
    auto hand = make(plant, *history, placement ? plant.point(placement->place) : nullptr, standards, rules);
    hand->past = figuresOfHistory(plant, *history, standards, rules, false);
    hand->keep = std::move(keep);
    return hand;
}

}  // namespace halfcell::app::bench
