#include "core/fleet/plant.h"

#include "core/fleet/columns.h"

#include <algorithm>
#include <tuple>

namespace halfcell::core {
namespace {

template <class Map>
const std::size_t* findIndex(const Map& map, std::string_view key)
{
    const auto it = map.find(key);
    return it == map.end() ? nullptr : &it->second;
}

/// The moment from which a row counts: the later of its own time and the time it was recorded.
const Instant& later(const Instant& a, const Instant& b)
{
    return a < b ? b : a;
}

template <class Row, class Known>
void keepKnown(std::vector<Row>& rows, const Instant& asOf, Known from)
{
    std::erase_if(rows, [&](const Row& row) { return asOf < from(row); });
}

/// A time that lies after the moment looked at was not known then.
bool forgetLater(std::optional<Instant>& time, const Instant& asOf)
{
    if (!time || *time <= asOf)
        return false;
    time.reset();
    return true;
}

void leaveOutLater(Records& r, const Instant& asOf)
{
    const auto byRecorded = [](const auto& row) { return row.recorded; };
    keepKnown(r.sites, asOf, byRecorded);
    keepKnown(r.points, asOf, byRecorded);
    keepKnown(r.models, asOf, byRecorded);
    keepKnown(r.sensors, asOf, byRecorded);
    keepKnown(r.standards, asOf, byRecorded);
    keepKnown(r.equipment, asOf, byRecorded);
    keepKnown(r.people, asOf, byRecorded);
    keepKnown(r.corrections, asOf, byRecorded);
    keepKnown(r.lots, asOf, byRecorded);
    for (Lot& lot : r.lots) {
        forgetLater(lot.opened, asOf);
        forgetLater(lot.discarded, asOf);
    }
    const auto byFrom = [](const auto& row) { return later(row.from, row.recorded); };
    keepKnown(r.placements, asOf, byFrom);
    for (Placement& placement : r.placements)
        if (forgetLater(placement.to, asOf)) {
            placement.reason_removed.reset();
            placement.pre_emptive.reset();
        }
    keepKnown(r.parts, asOf, byFrom);
    for (PartRecord& part : r.parts)
        forgetLater(part.to, asOf);
    keepKnown(r.holds, asOf, byFrom);
    for (Hold& hold : r.holds)
        if (forgetLater(hold.to, asOf)) {
            hold.closed_by.reset();
            hold.closed_how.reset();
        }
    const auto byWhen = [](const auto& row) { return later(row.when, row.recorded); };
    keepKnown(r.legacy, asOf, byWhen);
}

void leaveOutLater(Visit& visit, const Instant& asOf)
{
    const auto byWhen = [](const auto& row) { return later(row.when, row.recorded); };
    keepKnown(visit.readings, asOf, byWhen);
    keepKnown(visit.grabs, asOf, byWhen);
    keepKnown(visit.checks, asOf, byWhen);
    keepKnown(visit.actions, asOf, byWhen);
    forgetLater(visit.auto_at, asOf);
}

}  // namespace

const Placement* SensorHistory::placementAt(const Instant& t) const
{
    const Placement* found = nullptr;
    for (const Placement* placement : placements)
        if (placement->from <= t && (!placement->to || t < *placement->to))
            found = placement;
    return found;
}

Plant Plant::asKnown(Records records, const Instant& asOf)
{
    Plant plant;
    plant.m_asOf = asOf;
    plant.m_records = std::move(records);
    Records& r = plant.m_records;
    leaveOutLater(r, asOf);

    std::ranges::stable_sort(r.visits, {}, [](const Visit& v) { return std::tie(v.visit); });
    std::ranges::stable_sort(r.corrections, {}, &Correction::recorded);
    for (const Correction& correction : r.corrections) {
        const auto it = std::ranges::lower_bound(r.visits, correction.visit, {}, &Visit::visit);
        if (it == r.visits.end() || it->visit != correction.visit || !applyCorrection(*it, correction)) {
            plant.m_unfitting.push_back(correction);
            continue;
        }
        plant.m_applied.push_back({.visit = correction.visit,
                                   .table = correction.table,
                                   .field = correction.field,
                                   .old_value = correction.old_value,
                                   .new_value = correction.new_value,
                                   .person = correction.person,
                                   .why = correction.why,
                                   .row = correction.row,
                                   .recorded = correction.recorded});
    }
    keepKnown(r.visits, asOf, [](const Visit& v) { return later(v.when, v.recorded); });
    for (Visit& visit : r.visits)
        leaveOutLater(visit, asOf);
    std::ranges::stable_sort(r.visits, {}, [](const Visit& v) { return std::tie(v.when, v.visit); });
    std::ranges::stable_sort(r.placements, {}, [](const Placement& p) { return std::tie(p.serial, p.from); });
    std::ranges::stable_sort(r.parts, {}, [](const PartRecord& p) { return std::tie(p.serial, p.from); });
    std::ranges::stable_sort(r.legacy, {}, [](const Legacy& l) { return std::tie(l.serial, l.when); });
    plant.index();
    return plant;
}

void Plant::index()
{
    const auto indexBy = [](auto& map, const auto& rows, auto key) {
        for (std::size_t i = 0; i < rows.size(); ++i)
            map.insert_or_assign(rows[i].*key, i);
    };
    indexBy(m_sites, m_records.sites, &Site::site);
    indexBy(m_points, m_records.points, &Point::tag);
    indexBy(m_models, m_records.models, &Model::model);
    indexBy(m_sensors, m_records.sensors, &Sensor::serial);
    indexBy(m_lots, m_records.lots, &Lot::lot);

    m_histories.reserve(m_sensors.size());
    for (const auto& [serial, i] : m_sensors) {
        m_historyOf.emplace(serial, m_histories.size());
        SensorHistory history;
        history.sensor = &m_records.sensors[i];
        history.model = model(history.sensor->model);
        m_histories.push_back(std::move(history));
    }
    const auto historyOf = [this](const std::string& serial) -> SensorHistory* {
        const std::size_t* i = findIndex(m_historyOf, serial);
        return i == nullptr ? nullptr : &m_histories[*i];
    };
    for (const Placement& placement : m_records.placements)
        if (SensorHistory* h = historyOf(placement.serial))
            h->placements.push_back(&placement);
    for (const PartRecord& part : m_records.parts)
        if (SensorHistory* h = historyOf(part.serial))
            h->parts.push_back(&part);
    for (const Visit& visit : m_records.visits)
        if (SensorHistory* h = historyOf(visit.serial))
            h->visits.push_back(&visit);
    for (const Legacy& legacy : m_records.legacy)
        if (SensorHistory* h = historyOf(legacy.serial))
            h->legacy.push_back(&legacy);
}

const Site* Plant::site(std::string_view key) const
{
    const std::size_t* i = findIndex(m_sites, key);
    return i == nullptr ? nullptr : &m_records.sites[*i];
}
const Point* Plant::point(std::string_view tag) const
{
    const std::size_t* i = findIndex(m_points, tag);
    return i == nullptr ? nullptr : &m_records.points[*i];
}
const Model* Plant::model(std::string_view key) const
{
    const std::size_t* i = findIndex(m_models, key);
    return i == nullptr ? nullptr : &m_records.models[*i];
}
const Sensor* Plant::sensor(std::string_view serial) const
{
    const std::size_t* i = findIndex(m_sensors, serial);
    return i == nullptr ? nullptr : &m_records.sensors[*i];
}
const Lot* Plant::lot(std::string_view key) const
{
    const std::size_t* i = findIndex(m_lots, key);
    return i == nullptr ? nullptr : &m_records.lots[*i];
}
const SensorHistory* Plant::history(std::string_view serial) const
{
    const std::size_t* i = findIndex(m_historyOf, serial);
    return i == nullptr ? nullptr : &m_histories[*i];
}

const SensorHistory* Plant::sensorAt(std::string_view tag) const
{
    const SensorHistory* found = nullptr;
    const Placement* since = nullptr;
    for (const SensorHistory& history : m_histories) {
        const Placement* placement = history.placementAt(m_asOf);
        if (placement != nullptr && placement->place == tag && (since == nullptr || since->from < placement->from)) {
            found = &history;
            since = placement;
        }
    }
    return found;
}

}  // namespace halfcell::core
