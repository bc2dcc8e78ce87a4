#include "core/calibration/ph_set.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace halfcell::core::calibration {
namespace {

constexpr double kNeutral = 7.0;
/// Nearer than this in pH no slope is taken (design rule of the program).
constexpr double kLeastApart = 1.0;
/// Standards nearer to each other than this count as one level for legs; our choice: 4.00 and 4.01, 6.86 and 7.00.
constexpr double kSameLevel = 0.5;
/// A reading this near to pH 7 gives an offset by itself; without a temperature it must be nearer.
constexpr double kNearNeutral = 0.2, kNearNeutralCold = 0.05;
/// The middle standard of acid and alkaline legs lies this near to pH 7; our choice.
constexpr double kPivotWithin = 1.0;
/// Below this fraction no pH is worked out from the slope (decision method 2).
constexpr double kLeastSlope = 0.05;
/// Uncertainty of the last fit's slope when it stands in for a missing one; our choice: changes under 2 % mean nothing.
constexpr double kLastSlopeU = 0.02;

void collect(std::vector<TakenReading> taken, const StandardsBook& standards, PhSet& set, std::vector<TakenReading>& cold,
             PhaseFigures& figures)
{
    std::vector<std::pair<std::string, std::string>> lots;
    for (TakenReading& t : taken) {
        if (!t.temp_c) {
            cold.push_back(std::move(t));
            continue;
        }
        auto value = standards.ph(t.reading->standard, t.lot, Celsius(*t.temp_c));
        if (!value) {
            noteRefusal(figures, t, value.error(), standards);
            continue;
        }
        const auto slope = nernstSlope(Celsius(*t.temp_c));
        if (!slope) {
            noteRefusal(figures, t, slope.error(), standards);
            continue;
        }
        PhDip dip;
        dip.k = slope->value();
        dip.x = dip.k * (value->value - kNeutral);
        set.points.push_back({.e_mv = t.e_mv,
                              .temp_c = *t.temp_c,
                              .ph = value->value,
                              .dph_dt = value->perKelvin,
                              .u_e_mv = t.u_own_mv,
                              .u_ph = value->u,
                              .lotGroup = groupOf(lots, t),
                              .u_t_k = t.u_t_k,
                              .thermometerGroup = 0});
        dip.taken = std::move(t);
        dip.value = std::move(*value);
        set.dips.push_back(std::move(dip));
    }
}

void sortIntoLevels(PhSet& set, const StandardsBook& standards)
{
    std::vector<std::size_t> order(set.dips.size());
    for (std::size_t i = 0; i < order.size(); ++i)
        order[i] = i;
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) { return set.dips[a].value.value < set.dips[b].value.value; });
    double start = 0.0;
    for (const std::size_t i : order) {
        if (set.levels.empty() || set.dips[i].value.value - start >= kSameLevel) {
            start = set.dips[i].value.value;
            set.levels.push_back({.dips = {}, .words = standards.words(set.dips[i].taken.reading->standard)});
        }
        set.levels.back().dips.push_back(i);
    }
    for (PhLevel& level : set.levels) {
        std::ranges::sort(level.dips);
        for (const std::size_t i : level.dips) {
            level.ph += set.dips[i].value.value;
            level.e_mv += set.dips[i].taken.e_mv;
            level.x += set.dips[i].x;
        }
        const double n = static_cast<double>(level.dips.size());
        level.ph /= n;
        level.e_mv /= n;
        level.x /= n;
    }
    if (set.levels.size() >= 3) {
        std::size_t pivot = 1;
        for (std::size_t i = 2; i + 1 < set.levels.size(); ++i)
            if (std::fabs(set.levels[i].ph - kNeutral) < std::fabs(set.levels[pivot].ph - kNeutral))
                pivot = i;
        set.pivot = pivot;
    }
}

void chooseSlope(const FigureContext& context, OffsetAlone& alone)
{
    if (context.lastSlopeFraction && *context.lastSlopeFraction > kLeastSlope) {
        alone.s = *context.lastSlopeFraction;
        alone.u_s = kLastSlopeU;
        alone.slopeSource = "the last calibration of this sensor";
        alone.slopeClass = SourceClass::Record;
    } else {
        alone.s = 1.0;
        alone.u_s = context.budget.u_ideal_slope_pct / 100.0;
        alone.slopeSource = "taken as ideal: nothing better is known";
        alone.slopeClass = SourceClass::Assumed;
    }
}

/// An offset from readings near pH 7 alone.
void offsetAlone(PhSet& set, std::span<const TakenReading> cold, const FigureContext& context, const StandardsBook& standards,
                 PhaseFigures& figures)
{
    OffsetAlone alone;
    alone.u_zero_mv = set.budget.u_zero_mv;
    chooseSlope(context, alone);
    for (std::size_t i = 0; i < set.dips.size(); ++i)
        if (std::fabs(set.dips[i].value.value - kNeutral) <= kNearNeutral)
            alone.dips.push_back(i);
    if (!alone.dips.empty()) {
        const double n = static_cast<double>(alone.dips.size());
        double sum = 0.0, own = 0.0, standard = 0.0, slope = 0.0, temperature = 0.0;
        for (const std::size_t i : alone.dips) {
            const PhDip& d = set.dips[i];
            const FitPoint& p = set.points[i];
            sum += d.taken.e_mv + alone.s * d.x;
            own += p.u_e_mv * p.u_e_mv;
            standard += alone.s * d.k * p.u_ph;
            slope += d.x * alone.u_s;
            temperature += alone.s * (d.x / Celsius(p.temp_c).kelvin() + d.k * p.dph_dt) * p.u_t_k;
        }
        figures.offset_mv = sum / n;
        alone.u_reading_mv = std::sqrt(own) / n;
        alone.u_standard_mv = std::fabs(standard) / n;
        alone.u_slope_mv = std::fabs(slope) / n;
        alone.u_thermometer_mv = std::fabs(temperature) / n;
        figures.u_offset_mv = alone.u_mv();
        set.alone = std::move(alone);
        return;
    }
    for (const TakenReading& t : cold) {
        const auto nominal = standards.nominalPh(t.reading->standard);
        if (!nominal || std::fabs(*nominal - kNeutral) > kNearNeutralCold ||
            standards.kindOf(t.reading->standard) == StandardKind::Quinhydrone)
            continue;
        // The temperature is not known: the standard may be worth anything in its table.
        double low = *nominal, high = *nominal;
        for (const auto& [temp, ph] : standards.table(t.reading->standard, t.lot)) {
            low = std::min(low, ph);
            high = std::max(high, ph);
        }
        const double k = nernstSlopeUnchecked(kStandardTemperature.kelvin());
        alone.cold = t;
        alone.nominal = *nominal;
        alone.u_nominal = std::sqrt(kProcessBottleU * kProcessBottleU + (high - low) * (high - low) / 12.0);
        alone.u_reading_mv = t.u_own_mv;
        alone.u_standard_mv = alone.s * k * alone.u_nominal;
        figures.offset_mv = t.e_mv + alone.s * k * (alone.nominal - kNeutral);
        figures.u_offset_mv = alone.u_mv();
        set.alone = std::move(alone);
        return;
    }
}

void fitFigures(PhSet& set, PhaseFigures& figures)
{
    const LineFit& fit = *figures.fit;
    const double k25 = nernstSlopeUnchecked(kStandardTemperature.kelvin());
    figures.efficiency_pct = 100.0 * fit.s;
    figures.u_efficiency_pct = 100.0 * fit.u_s();
    figures.slope_mv_per_ph = fit.s * k25;
    figures.offset_mv = fit.e0_mv;
    figures.u_offset_mv = fit.u_e0();
    if (fit.s > kLeastSlope)
        figures.zero_point_ph = kNeutral + fit.e0_mv / (fit.s * k25);
    else
        noteMissing(figures, {"zero_point_ph"}, "the slope is too small to say at which pH the sensor gives 0 mV");
    figures.span_between_standards_mv = std::fabs(set.levels.front().e_mv - set.levels.back().e_mv);
    if (!set.pivot) {
        noteMissing(figures, {"residual_mv", "acid_leg_pct", "alkaline_leg_pct"}, "needs three standards");
        return;
    }
    const PhLevel& middle = set.levels[*set.pivot];
    figures.residual_mv = middle.e_mv - (fit.e0_mv - fit.s * middle.x);
    if (std::fabs(middle.ph - kNeutral) > kPivotWithin) {
        noteMissing(figures, {"acid_leg_pct", "alkaline_leg_pct"}, "the middle standard is not near pH 7");
        return;
    }
    const auto leg = [](const PhLevel& a, const PhLevel& b) { return 100.0 * (a.e_mv - b.e_mv) / (b.x - a.x); };
    figures.acid_leg_pct = leg(set.levels.front(), middle);
    figures.alkaline_leg_pct = leg(middle, set.levels.back());
}

void processFigures(PhSet& set, const FigureContext& context, PhaseFigures& figures)
{
    if (!context.process_ph) {
        noteMissing(figures, {"u_at_process_ph"}, "the pH of the process is not known");
        return;
    }
    ProcessPoint process;
    process.ph = *context.process_ph;
    process.tempKnown = context.process_temp_c.has_value();
    if (process.tempKnown) {
        process.temp_c = *context.process_temp_c;
    } else {
        double sum = 0.0;
        for (const FitPoint& p : set.points)
            sum += p.temp_c;
        process.temp_c = sum / static_cast<double>(set.points.size());
    }
    process.u_e_mv = std::hypot(context.budget.u_reading_mv, context.budget.u_settling_first_mv);
    process.u_t_k = context.budget.u_thermometer_k;
    const GrabQuality quality = context.grab_quality.value_or(GrabQuality::Clean);
    const double junction = quality == GrabQuality::Pure    ? context.budget.u_junction_pure_ph
                            : quality == GrabQuality::Dirty ? context.budget.u_junction_dirty_ph
                                                            : context.budget.u_junction_clean_ph;
    const auto at = uncertaintyAtPh(
        *figures.fit, process.ph, {.temp_c = process.temp_c, .u_e_mv = process.u_e_mv, .u_t_k = process.u_t_k, .u_junction_ph = junction});
    if (!at) {
        noteMissing(figures, {"u_at_process_ph"}, "the slope is too small to read a pH with it");
        return;
    }
    process.at = *at;
    const double outside = std::max({0.0, set.levels.front().ph - process.ph, process.ph - set.levels.back().ph});
    if (outside > 0.0)
        figures.extrapolated_ph = outside;
    if (outside > kFarOutside)
        process.factor = kFarFactor;
    figures.u_at_process_ph = process.factor * at->uWithoutJunction();
    figures.u_junction_ph = at->u_junction;
    set.process = process;
}

void noteUsed(const PhSet& set, PhaseFigures& figures)
{
    for (const PhDip& d : set.dips) {
        UsedReading used{.index = d.taken.index,
                         .standard = d.taken.reading->standard,
                         .e_mv = d.taken.e_mv,
                         .temp_c = *d.taken.temp_c,
                         .standardValue = d.value.value,
                         .remainder_mv = d.taken.remainder_mv,
                         .source = d.value.source};
        if (figures.fit)
            used.residual_mv = d.taken.e_mv - (figures.fit->e0_mv - figures.fit->s * d.x);
        figures.used.push_back(std::move(used));
    }
}

/// Why there is no slope: too few standards, or standards too near to each other.
std::string noSlope(const PhSet& set, std::size_t recorded, std::span<const TakenReading> cold, const StandardsBook& standards,
                    PhaseFigures& figures)
{
    std::set<std::string, std::less<>> keys;
    for (const PhDip& d : set.dips)
        keys.insert(d.taken.reading->standard);
    if (keys.size() >= 2) {
        const double apart = set.levels.back().ph - set.levels.front().ph;
        std::string reason =
            fmt::format("the standards are only {} pH apart at their temperatures: a slope needs 1 pH", formatFixed(apart, 2));
        figures.issues.push_back({FindingCode::StandardsTooClose, reason, std::nullopt});
        return reason;
    }
    if (recorded == 0) {
        figures.issues.push_back({FindingCode::TooFewReadings, "no millivolts were recorded", std::nullopt});
        return "no millivolts were recorded";
    }
    if (!cold.empty() && set.dips.size() + cold.size() == recorded)
        return fmt::format("the temperature in {} was not recorded", standards.words(cold.front().reading->standard));
    std::string reason = "a slope needs readings in two standards";
    if (keys.size() == 1)
        reason += fmt::format(", only {} can be used", standards.words(*keys.begin()));
    if (set.dips.size() + cold.size() == recorded)
        figures.issues.push_back({FindingCode::TooFewReadings, reason, std::nullopt});
    return reason;
}

}  // namespace

double OffsetAlone::u_mv() const
{
    return std::sqrt(u_reading_mv * u_reading_mv + u_standard_mv * u_standard_mv + u_slope_mv * u_slope_mv +
                     u_thermometer_mv * u_thermometer_mv + u_zero_mv * u_zero_mv);
}

void figuresOfPh(std::vector<TakenReading> taken, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures,
                 bool withWorking)
{
    PhSet set;
    set.budget.u_zero_mv = context.acidBefore ? context.budget.u_zero_after_acid_mv : context.budget.u_zero_mv;
    std::vector<TakenReading> cold;
    const std::size_t recorded = taken.size();
    collect(std::move(taken), standards, set, cold, figures);
    sortIntoLevels(set, standards);

    std::set<std::string, std::less<>> keys;
    double low = 0.0, high = 0.0;
    for (const PhDip& d : set.dips) {
        low = keys.empty() ? d.value.value : std::min(low, d.value.value);
        high = keys.empty() ? d.value.value : std::max(high, d.value.value);
        keys.insert(d.taken.reading->standard);
    }
    std::string reason;
    if (keys.size() >= 2 && high - low >= kLeastApart) {
        auto fit = fitLine(set.points, set.budget);
        if (fit)
            figures.fit = *fit;
        else
            reason = fit.error().detail;
    } else {
        reason = noSlope(set, recorded, cold, standards, figures);
    }

    if (figures.fit) {
        fitFigures(set, figures);
        processFigures(set, context, figures);
    } else {
        offsetAlone(set, cold, context, standards, figures);
        noteMissing(figures,
                    {"efficiency_pct", "u_efficiency_pct", "slope_mv_per_ph", "zero_point_ph", "residual_mv", "acid_leg_pct",
                     "alkaline_leg_pct", "u_at_process_ph"},
                    reason);
        if (!figures.offset_mv)
            noteMissing(figures, {"offset_mv", "u_offset_mv"}, reason + "; no reading near pH 7 gives it alone");
    }
    noteUsed(set, figures);
    if (withWorking)
        workPh(set, context, standards, figures);
}

}  // namespace halfcell::core::calibration
