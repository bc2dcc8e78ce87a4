#include "core/simulator/workshop.h"

#include "core/simulator/calendar.h"
#include "core/simulator/treatment.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::simulation {
namespace {

constexpr int kPointsOf120 = 90;   // of 120 sensors in service and spare

std::int64_t firstDay(const SimulationSettings& settings)
{
    const double days = clamp(settings.years, 0.1, 50.0) * 365.25;
    return dayNumber(settings.until) - static_cast<std::int64_t>(std::floor(days + 0.5));
}

int pointCount(const SimulationSettings& settings)
{
    return std::max(1, settings.sensors * kPointsOf120 / 120);
}

}  // namespace

Workshop::Workshop(const SimulationSettings& s)
    : settings(s), startDay(firstDay(s)), untilDay(dayNumber(s.until)), plan(s.seed, 11), technical(s.seed, 12), people(s.seed, 13),
      clerical(s.seed, 14), stock(s.seed, 15), staff(hireStaff(startDay, untilDay, people)), lots(startDay, untilDay, stock),
      layout(layOut(pointCount(s), startOfDay(startDay)))
{
    Records& r = out.records;
    r.sites = layout.sites;
    for (const PointPlan& point : layout.points)
        r.points.push_back(point.record);
    for (const ModelSpec& model : modelSpecs())
        r.models.push_back(modelRecord(model, startOfDay(startDay)));
    r.lots = lots.records();
    r.people = staff.people;
    r.equipment = staff.equipment;
    for (std::size_t i = 0; i < layout.sites.size(); ++i) {
        siteAge.push_back(plan.lognormal(0.20));
        siteFilm.push_back(plan.lognormal(0.25));
    }
    recordedAt.assign(layout.points.size(), -1);
    physicallyAt.assign(layout.points.size(), -1);
    fillWithHistory();
    stockShelf();
}

std::size_t Workshop::buy(std::size_t model, std::int64_t day)
{
    const ModelSpec& spec = modelSpecs()[model];
    Probe probe;
    int& number = m_serials[std::string(spec.family)];
    if (number == 0)
        number = 100 + 17 * static_cast<int>(m_serials.size());
    number += 1 + stock.below(3);
    probe.serial = fmt::format("{}-{:04}", spec.family, number);
    probe.model = model;
    probe.bought = day;
    probe.evolvedTo = day;
    probe.lastClean = probe.lastCalibration = probe.lastGrab = probe.lastRefill = probe.lastBridge = day;
    // One production lot per model and quarter.
    const int quarter = static_cast<int>((day + 100000) / 91);
    Generator lot(settings.seed + static_cast<std::uint64_t>(quarter) * 64U + model, 21);
    const double lotAge = lot.lognormal(0.10);
    const double lotOffset = lot.normal(0.0, 3.0);
    probe.traits = newTraits(spec, lotAge, lotOffset, technical);

    Sensor record;
    record.serial = probe.serial;
    record.model = spec.model;
    record.bought = startOfDay(day);
    if (!stock.chance(0.2))
        record.shelf_expires = startOfDay(day + 730);
    if (!stock.chance(0.25))
        record.production_lot = fmt::format("{}{:03}", spec.family, quarter % 1000);
    if (!stock.chance(0.15))
        record.price = spec.price;
    record.recorded = day < startDay ? localTime(startDay, 6, 30) : localTime(day, 8, 0);
    out.records.sensors.push_back(record);
    probes.push_back(std::move(probe));
    return probes.size() - 1;
}

void Workshop::place(std::size_t index, std::string_view where, const Instant& when, std::optional<RemovalReason> reason)
{
    Probe& probe = probes[index];
    if (probe.placement) {
        Placement& row = out.records.placements[*probe.placement];
        row.to = when;
        if (row.place.starts_with("AE-") && reason) {
            row.reason_removed = *reason;
            if (*reason == RemovalReason::PreEmptive)
                row.pre_emptive = true;
        }
    }
    Placement row;
    row.serial = probe.serial;
    row.place = std::string(where);
    row.from = when;
    row.recorded = when;
    probe.placement = out.records.placements.size();
    probe.place = row.place;
    out.records.placements.push_back(std::move(row));
}

void Workshop::surround(Probe& probe, std::size_t point) const
{
    const PointPlan& p = layout.points[point];
    const ModelSpec& model = modelOf(probe);
    const Application& application = applicationOf(p.record.application.value_or(""));
    // The application's own temperature rules the ageing unless the point is drawn clearly hotter.
    const double temp = std::max(application.temp_degc, p.temp);
    probe.surroundings.rates = ratesFor(application, model.reference, model.sensing, temp, p.fluoride, p.outdoors);
    probe.surroundings.processPh = p.ph;
    probe.surroundings.processTemp = p.temp;
    probe.surroundings.siteAge = siteAge[static_cast<std::size_t>(p.site)];
    probe.surroundings.siteFilm = siteFilm[static_cast<std::size_t>(p.site)];
}

void Workshop::fit(std::size_t index, std::size_t point, const Instant& when)
{
    place(index, layout.points[point].record.tag, when);
    Probe& probe = probes[index];
    surround(probe, point);
    recordedAt[point] = static_cast<int>(index);
    physicallyAt[point] = static_cast<int>(index);
    probe.physicalPoint = static_cast<int>(point);
    const std::int64_t day = dayNumber(when);
    probe.evolvedTo = std::max(probe.evolvedTo, day);
    probe.lastClean = probe.lastCalibration = probe.lastGrab = day;
    probe.badCalibrations = 0;
    for (Sensor& sensor : out.records.sensors)
        if (sensor.serial == probe.serial && !sensor.first_wet && day >= startDay && !stock.chance(0.2)) {
            sensor.first_wet = when;
            sensor.opened = startOfDay(day);
        }
}

void Workshop::take(std::size_t point, std::string_view where, const Instant& when, RemovalReason reason)
{
    const int index = recordedAt[point];
    if (index < 0)
        return;
    Probe& probe = probes[static_cast<std::size_t>(index)];
    probe.removedFor = reason;
    probe.physicalPoint = -1;
    recordedAt[point] = -1;
    physicallyAt[point] = -1;
    if (where == kScrap)
        scrap(static_cast<std::size_t>(index), when, reason);
    else
        place(static_cast<std::size_t>(index), where, when, reason);
}

void Workshop::scrap(std::size_t index, const Instant& when, std::optional<RemovalReason> reason)
{
    place(index, kScrap, when, reason);
    Probe& probe = probes[index];
    probe.scrapped = true;
    probe.physicalPoint = -1;
    const std::int64_t day = dayNumber(when);
    // Called off from a standing order: most of the lead time is already behind it.
    const double lead = modelOf(probe).lead_time_days * stock.uniform(0.15, 0.6);
    orders.push_back({std::min(day + 3 + static_cast<std::int64_t>(lead), std::max(untilDay - 1, day)), probe.model});
}

int Workshop::readySpare(std::size_t point) const
{
    if (leaveEmpty == point)
        return -1;
    const ModelSpec& wanted = modelSpecs()[layout.points[point].model];
    int fitting = -1;
    for (std::size_t i = 0; i < probes.size(); ++i) {
        const Probe& probe = probes[i];
        if (probe.scrapped || probe.place != kShelf || probe.state.fault != Fault::None || probe.benchDay != 0)
            continue;
        const ModelSpec& model = modelOf(probe);
        if (probe.model == layout.points[point].model)
            return static_cast<int>(i);
        const bool special = wanted.sensing == Sensing::HfResistant || wanted.sensing == Sensing::Antimony || model.sensing == Sensing::Antimony ||
                             model.sensing == Sensing::HfResistant || wanted.sensing == Sensing::Gold || model.sensing == Sensing::Isfet ||
                             wanted.sensing == Sensing::Isfet;
        if (fitting < 0 && !special && model.kind == wanted.kind && model.interchange == wanted.interchange)
            fitting = static_cast<int>(i);
    }
    return fitting;
}

std::string Workshop::visitKey(std::int64_t day, std::string_view where)
{
    const std::string base = fmt::format("{}-{}", formatDate(startOfDay(day)), where);
    return fmt::format("{}-{}", base, ++m_keys[base]);
}

void Workshop::noteFault(std::string_view visit, std::string_view serial, std::string_view code)
{
    out.faults.push_back({std::string(visit), std::string(serial), std::string(code)});
}

void Workshop::newPart(const Probe& probe, Part part, const Instant& when, Text lot)
{
    for (PartRecord& row : out.records.parts)
        if (row.serial == probe.serial && row.part == part && !row.to)
            row.to = when;
    PartRecord row;
    row.serial = probe.serial;
    row.part = part;
    row.from = when;
    row.lot = std::move(lot);
    row.recorded = when < startOfDay(startDay) ? startOfDay(startDay) : when;
    out.records.parts.push_back(std::move(row));
}

bool Workshop::inSeason(const PointPlan& point, std::int64_t day) const
{
    if (!point.record.season_from || !point.record.season_to)
        return true;
    const MonthDay d = monthDayOf(day);
    const std::string today = fmt::format("{:02}-{:02}", d.month, d.day);
    return *point.record.season_from <= today && today <= *point.record.season_to;
}

}  // namespace halfcell::core::simulation
