#include "core/simulator/calendar.h"
#include "core/simulator/treatment.h"
#include "core/simulator/workshop.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

/// What was before the book began: sensors already in service with an age, spares on the shelf, figures from an old
/// workbook; and how time passes for a sensor.
namespace halfcell::core::simulation {
namespace {

/// Usual life of a sealed double-junction gel sensor, months: medians of the model run to retirement at lenient limits.
double usualLifeMonths(std::string_view application)
{
    if (application == "drinking_water")
        return 31;
    if (application == "wastewater")
        return 25;
    if (application == "caustic")
        return 7.4;
    if (application == "cooling")
        return 21;
    if (application == "pure_water")
        return 22;
    if (application == "pool")
        return 24;
    if (application == "plating")
        return 8.7;
    return 5;
}

struct PastFigure {
    std::int64_t day;
    double efficiency, offset, response;
};

/// Lives a sensor's past in service, week by week, with the usual cleaning; returns quarterly figures.
std::vector<PastFigure> livePast(Probe& probe, const ModelSpec& model, const Application& application, std::int64_t from, std::int64_t to,
                                 Generator& random)
{
    std::vector<PastFigure> figures;
    double sinceClean = 0, sinceRefill = 0;
    int week = 0;
    for (std::int64_t day = from; day + 7 <= to; day += 7, ++week) {
        evolve(probe.state, probe.traits, model, probe.surroundings, 1.0, random);
        sinceClean += 1.0;
        sinceRefill += 1.0;
        if (sinceClean >= application.clean_weeks) {
            cleanWith(probe.state, model, ActionKey::CleanDetergent, true, random);
            sinceClean = 0.0;
        }
        const bool differential = isDifferential(model.reference);
        if (isRefillable(model.reference) && !differential && sinceRefill >= 12.0) {
            refill(probe.state, model);
            probe.lastRefill = day;
            sinceRefill = 0.0;
        }
        if (differential && day - probe.lastBridge >= 365) {
            renewBridge(probe.state, random);
            probe.lastBridge = day;
        }
        if (week % 13 == 12 && model.kind == SensorKind::Ph)
            figures.push_back({day, trueEfficiency(probe.state, probe.traits, model),
                               trueOffset(probe.state, probe.traits, model, probe.surroundings),
                               trueResponse(probe.state, probe.traits, model, 20.0)});
    }
    return figures;
}

}  // namespace

void Workshop::fillWithHistory()
{
    const Instant opening = localTime(startDay, 7, 0);
    for (std::size_t point = 0; point < layout.points.size(); ++point) {
        const PointPlan& p = layout.points[point];
        const Application& application = applicationOf(p.record.application.value_or(""));
        const ModelSpec& model = modelSpecs()[p.model];
        double life = usualLifeMonths(application.key);
        if (isDifferential(model.reference) || model.kind == SensorKind::Orp)
            life *= 1.4;
        const auto days = static_cast<std::int64_t>(plan.uniform(0.0, 0.75) * life * 30.4);
        const std::size_t index = buy(p.model, startDay - days - 20 - stock.below(60));
        Probe& probe = probes[index];
        surround(probe, point);
        const std::int64_t from = startDay - days;
        probe.lastBridge = probe.lastRefill = from;
        const auto figures = livePast(probe, model, application, from, startDay, technical);
        // Whoever keeps a shop has replaced the worst before opening a book.
        if (model.kind == SensorKind::Ph && trueEfficiency(probe.state, probe.traits, model) < 88.0)
            probe.state.age = 0.7 * probe.state.age;
        probe.state.poison = std::min(probe.state.poison, 0.75);
        probe.evolvedTo = startDay;
        fit(index, point, opening);
        Placement& row = out.records.placements[*probe.placement];
        if (days > 0 && !stock.chance(0.15))
            row.entry_age_days = static_cast<double>(days);
        if (!stock.chance(0.3)) {
            Sensor& sensor = out.records.sensors[index];
            sensor.opened = startOfDay(from);
            sensor.first_wet = startOfDay(from);
        }
        probe.lastClean = startDay - plan.below(1 + static_cast<int>(application.clean_weeks * 7.0));
        probe.lastCalibration = startDay - plan.below(1 + static_cast<int>(application.calibrate_weeks * 7.0));
        if (isDifferential(model.reference)) {
            probe.lastBridge = std::max(from, startDay - 20 - plan.below(330));
            newPart(probe, Part::Bridge, startOfDay(probe.lastBridge), fmt::format("BR-{:03}", 100 + plan.below(60)));
            newPart(probe, Part::CellSolution, startOfDay(probe.lastBridge), Text{});
        } else if (isRefillable(model.reference)) {
            newPart(probe, Part::Electrolyte, startOfDay(std::max(from, startDay - 10 - plan.below(70))), Text{});
        }
        for (const PastFigure& figure : figures) {
            if (figure.day < startDay - 500 || plan.chance(0.45))
                continue;
            Legacy legacy;
            legacy.serial = probe.serial;
            legacy.when = startOfDay(figure.day);
            legacy.phase = Phase::AsLeft;
            legacy.efficiency_pct = roundTo(figure.efficiency + plan.normal(0.0, 0.9), 0.1);
            legacy.offset_mv = roundTo(figure.offset + plan.normal(0.0, 2.5), 1.0);
            if (plan.chance(0.4))
                legacy.t90_s = roundTo(std::min(figure.response * plan.lognormal(0.2), 400.0), 5.0);
            if (plan.chance(0.6))
                legacy.person = plan.chance(0.5) ? "T1" : "T2";
            if (plan.chance(0.3))
                legacy.note = "from the old workbook";
            legacy.recorded = opening;
            out.records.legacy.push_back(std::move(legacy));
        }
    }
}

void Workshop::stockShelf()
{
    // Spares: a share for each model in use, one at least where there is room.
    std::array<int, 17> used{};
    for (const PointPlan& p : layout.points)
        ++used[p.model];
    const int spares = std::max(0, settings.sensors - static_cast<int>(layout.points.size()));
    const Instant opening = localTime(startDay, 7, 0);
    double owed = 0.0;
    std::array<int, 17> bought{};
    int left = spares;
    for (std::size_t m = 0; m < used.size() && left > 0; ++m)
        if (used[m] > 0) {
            ++bought[m];
            --left;
        }
    const int proportional = left;
    for (std::size_t m = 0; m < used.size() && left > 0; ++m) {
        owed += static_cast<double>(used[m]) * static_cast<double>(proportional) / static_cast<double>(layout.points.size());
        while (owed >= 0.5 && left > 0) {
            ++bought[m];
            --left;
            owed -= 1.0;
        }
    }
    bought[0] += left;
    for (std::size_t m = 0; m < bought.size(); ++m)
        for (int i = 0; i < bought[m]; ++i) {
            const std::size_t index = buy(m, startDay - 10 - stock.below(200));
            place(index, kShelf, opening);
            probes[index].evolvedTo = startDay;
            probes[index].benchDay = 0;
        }
}

void Workshop::evolveTo(std::size_t index, std::int64_t day)
{
    Probe& probe = probes[index];
    const double weeks = static_cast<double>(day - probe.evolvedTo) / 7.0;
    if (weeks <= 0.0)
        return;
    probe.evolvedTo = day;
    State& s = probe.state;
    const ModelSpec& model = modelOf(probe);
    const bool working = probe.physicalPoint >= 0 && inSeason(layout.points[static_cast<std::size_t>(probe.physicalPoint)], day);
    if (!working) {
        evolveOnShelf(s, probe.traits, weeks, technical);
        return;
    }
    const bool infant = s.weeksWet < 4.3;
    evolve(s, probe.traits, model, probe.surroundings, weeks, technical);
    const Rates& r = probe.surroundings.rates;
    const double years = weeks / 52.18 * (infant ? 3.0 : 1.0);
    const double worn = 0.7 + 0.6 * std::min(1.0, s.weeksWet / 52.0);  // moisture rises mildly with time in service
    const double breaks = r.breakagePerYear * years, wet = r.moisturePerYear * years * worn;
    const double element = r.temperatureElementPerYear * years, input = r.inputPerYear * years, seal = r.sealPerYear * years * worn;
    const double u = technical.uniform();
    const double leak = 150.0 * technical.lognormal(0.7);
    const double side = technical.uniform();
    if (s.fault == Fault::None && !probe.kept) {
        if (u < breaks)
            s.fault = isGlass(model.sensing) ? Fault::Broken : Fault::Open;
        else if (u < breaks + wet) {
            if (isGlass(model.sensing))
                s.leakMohm = leak;
        }
        else if (u < breaks + wet + element) {
            s.fault = Fault::TemperatureElement;
            s.thermometerOff = side < 0.5 ? -6.0 - 10.0 * side : 5.0 + 10.0 * side;
        } else if (u < breaks + wet + element + input)
            s.fault = side < 0.5 ? Fault::Short : Fault::Open;
        else if (u < breaks + wet + element + input + seal)
            s.chloride = std::min(0.9, s.chloride + 0.35);
    }
    for (Drift& drift : probe.drifts) {
        if (day < drift.from)
            continue;
        double* value = drift.what == Drift::What::Age        ? &s.age
                        : drift.what == Drift::What::Chloride ? &s.chloride
                        : drift.what == Drift::What::Clog     ? &s.clog
                        : drift.what == Drift::What::Poison   ? &s.poison
                                                              : &s.metal;
        if (!drift.begun) {
            drift.begun = true;
            drift.start = std::min(*value, drift.target);
        }
        const double share = clamp(static_cast<double>(day - drift.from) / static_cast<double>(std::max<std::int64_t>(drift.to - drift.from, 1)), 0.0, 1.0);
        *value = drift.start + (drift.target - drift.start) * share;
    }
}

}  // namespace halfcell::core::simulation
