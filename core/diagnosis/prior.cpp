#include "core/diagnosis/prior.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace halfcell::core::diagnosis {

namespace {

/// Circumstances move a weight four-fold at most.
double bounded(double x)
{
    return std::clamp(x, 0.25, 4.0);
}

bool differential(const Setting& s)
{
    return s.reference && isDifferential(*s.reference);
}

const Duty& dutyOf(const PriorTables& tables, const Setting& s)
{
    auto found = tables.duties.find(s.application);
    if (found == tables.duties.end())
        found = tables.duties.find("*");
    return found->second;
}

DutyFactors factorsOf(const PriorTables& tables, const Setting& s)
{
    DutyFactors all;
    const auto take = [&](std::string_view key) {
        const auto found = tables.designs.find(key);
        if (found == tables.designs.end())
            return;
        all.film *= found->second.film;
        all.clog *= found->second.clog;
        all.chloride *= found->second.chloride;
        all.poison *= found->second.poison;
        all.breakage *= found->second.breakage;
        all.glass *= found->second.glass;
    };
    if (s.reference)
        take(keyOf(*s.reference));
    if (s.sensing)
        take(keyOf(*s.sensing));
    return all;
}

/// What the sensor's duty, design and age make of a cause's weight.
double dutyFactor(std::string_view cause, const PriorTables& tables, const Duty& d, const DutyFactors& f, const Setting& s)
{
    const double age = s.ageMonths.value_or(tables.unknownAgeShare * d.lifeMonths);
    if (cause == "film")
        return bounded(std::sqrt(d.film * f.film * std::max(d.cleanWeeks, 1.0) / 0.3));
    if (cause == "glass_aged")
        return std::clamp(std::pow(age / d.lifeMonths / 0.6, 2), 0.1, 4.0);
    if (cause == "glass_etched")
        return (d.etches ? tables.etchingFactor : 1.0) * (d.glass * f.glass <= tables.mildGlass ? tables.mildGlassFactor : 1.0);
    if (cause == "junction_clogged")
        return bounded(d.clog * f.clog / 0.05);
    if (cause == "junction_blocked")
        return bounded(d.clog * f.clog / 0.05) * (differential(s) ? 0.5 : 1.0);
    if (cause == "electrolyte_diluted")
        return bounded(d.chloride * f.chloride * age / 0.6) * (s.reference && isRefillable(*s.reference) ? tables.refillableFactor : 1.0);
    if (cause == "reference_poisoned") {
        const double design = differential(s) ? 0.1 : 1.0;
        if (!d.poisonMonths)
            return 0.05 * design;
        return std::clamp(std::pow(age / (*d.poisonMonths * f.poison), 2), 0.1, 6.0) * design;
    }
    if (cause == "glass_broken")
        return bounded(d.breakage * f.breakage / 0.08);
    return 1.0;
}

}  // namespace

bool ruledOut(std::string_view cause, const Setting& s)
{
    if (s.kind == SensorKind::Orp)
        return false;
    if (differential(s) ? cause == "electrolyte_diluted" || cause == "junction_clogged"
                        : cause == "cell_contaminated" || cause == "bridge_exhausted")
        return true;
    const bool noGlass = s.sensing && !isGlass(*s.sensing);
    return noGlass && cause.starts_with("glass_");
}

std::vector<double> priorOf(const Network& network, const PriorTables& tables, const Setting& setting, std::vector<PriorFactor>* factors)
{
    const auto& duty = dutyOf(tables, setting);
    const auto design = factorsOf(tables, setting);
    std::vector<double> weights;
    for (std::size_t m = 0; m < network.causes.size(); ++m) {
        const auto& cause = network.causes[m];
        double w = cause.weight;
        const auto apply = [&](const char* why, double factor) {
            if (factor == 1.0)
                return;
            w *= factor;
            if (factors)
                factors->push_back({m, why, factor});
        };
        if (ruledOut(cause.key, setting)) {
            apply("not possible for this design", 0.0);
        } else {
            if (setting.kind == SensorKind::Ph)
                apply("application, design and age", dutyFactor(cause.key, tables, duty, design, setting));
            if (cause.key == "healthy" && setting.complaint)
                apply("somebody complained", tables.complaintFactor);
            if (setting.cleaned && (cause.key == "film" || cause.key == "metal_filmed"))
                apply("cleaned in this visit", tables.cleanedFactor);
            if (setting.wrongMetal && cause.key == "metal_poisoned")
                apply("the process asks for another metal", tables.wrongMetalFactor);
            if (setting.soaked && cause.key == "glass_dry")
                apply("soaked in this visit", tables.soakedFactor);
        }
        weights.push_back(w);
    }
    if (setting.confirmed) {
        double n = 0.0;
        for (const auto& [key, count] : setting.confirmed->byCause)
            n += count;
        const double sum = std::accumulate(weights.begin(), weights.end(), 0.0);
        for (std::size_t m = 0; m < weights.size() && n > 0.0; ++m) {
            if (!(weights[m] > 0.0))
                continue;
            const auto found = setting.confirmed->byCause.find(network.causes[m].key);
            const double seen = found == setting.confirmed->byCause.end() ? 0.0 : found->second;
            const double share = weights[m] / sum;
            const double factor = (seen + tables.confirmedWeight * share) / (n + tables.confirmedWeight) / share;
            weights[m] *= factor;
            if (factors)
                factors->push_back({m, "causes confirmed in this application", factor});
        }
    }
    // What a round would share has the round's own weight, everything else the rest of it.
    double own = 0.0;
    bool anyShared = false;
    for (std::size_t m = 0; m < weights.size(); ++m)
        network.causes[m].shared ? void(anyShared = true) : void(own += weights[m]);
    for (std::size_t m = 0; m < weights.size(); ++m) {
        const auto& cause = network.causes[m];
        if (!cause.shared)
            weights[m] *= (anyShared ? setting.round.none : 1.0) / own;
        else if (cause.key == "wrong_standard")
            weights[m] = setting.round.wrongStandard;
        else if (cause.key == "stale_standard")
            weights[m] = setting.round.staleStandard;
        else
            weights[m] = setting.round.temperatureIgnored;
    }
    return weights;
}

}  // namespace halfcell::core::diagnosis
