#include "db/book/admission_checks.h"
#include "db/book/describe.h"

#include <array>

namespace halfcell::db {

using core::Errc;
using core::Result;

namespace {

/// Runs the checks of a row; then it is new, the same as one that stands, or refused.
template <class Row, class Find>
RowVerdict decide(Row& row, const Result<void>& checks, Find find)
{
    tidy(row);
    if (!checks)
        return refused(checks.error());
    const auto stored = find(row);
    if (!stored)
        return {};
    return compareRows<Row>(*stored, row, describe(row).text);
}

Result<void> notEmpty(std::string_view key, const char* field)
{
    if (key.empty())
        return refuse(Errc::BadInput, field, fmt::format("{} is empty", field), "give the row its key");
    return {};
}

Result<void> notBefore(const std::optional<core::Instant>& to, const core::Instant& from, const char* field)
{
    if (to && *to < from)
        return refuse(Errc::BadInput, field, fmt::format("{} ({}) lies before from ({})", field, core::formatDate(*to), core::formatDate(from)),
                      "check both dates");
    return {};
}

constexpr std::array kWordPlaces = {core::kShelf, core::kSoak, core::kBench, core::kQuarantine, core::kScrap};

}  // namespace

Admission::Admission(Connection& connection, PlantStore& plant, VisitStore& visits)
    : m_plant(plant), m_visits(visits), m_sites(connection, "sites", "site"), m_points(connection, "points", "tag"),
      m_models(connection, "models", "model"), m_sensors(connection, "sensors", "serial"), m_standards(connection, "standards", "standard"),
      m_placements(connection)
{
}

void Admission::begin()
{
    for (KnownKeys* keys : {&m_sites, &m_points, &m_models, &m_sensors, &m_standards})
        keys->forget();
    m_placements.forget();
    m_plant.standing.begin();
}

bool Admission::knowsPlace(std::string_view place)
{
    for (const std::string_view word : kWordPlaces)
        if (place == word)
            return true;
    return m_points.has(place);
}

Result<void> Admission::checkSensor(std::string_view serial)
{
    if (m_sensors.has(serial))
        return {};
    return refuse(Errc::NotFound, "serial", fmt::format("the serial \"{}\" is not known", serial), "check it, or add the sensor to sensors.csv");
}

Result<void> Admission::checkStandard(std::string_view standard)
{
    if (core::StandardsBook::shipped().kindOf(standard) != core::StandardKind::Unknown || m_standards.has(standard))
        return {};
    return refuse(Errc::BadInput, "standard", fmt::format("\"{}\" is no standard", standard),
                  "use ph1.68 ph4.00 ph4.01 ph6.86 ph7.00 ph9.18 ph10.01 ph12.45 zobell light quinhydrone_ph4 quinhydrone_ph7, value:PH, or one "
                  "from standards.csv");
}

RowVerdict Admission::admit(core::Site& row)
{
    return decide(row, notEmpty(row.site, "site"), [&](const auto& r) { return m_plant.sites.find(r); });
}

RowVerdict Admission::admit(core::Point& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto key = notEmpty(row.tag, "tag"); !key)
            return key;
        for (const std::string_view word : kWordPlaces)
            if (row.tag == word)
                return refuse(Errc::BadInput, "tag", fmt::format("\"{}\" is the name of a place", row.tag), "give the point another tag");
        if (!m_sites.has(row.site))
            return refuse(Errc::NotFound, "site", fmt::format("the site \"{}\" is not known", row.site), "check it, or add it to sites.csv");
        if (row.ph_low && row.ph_high && *row.ph_high < *row.ph_low)
            return refuse(Errc::BadInput, "ph_high", "ph_high lies below ph_low", "check both");
        return {};
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.points.find(r); });
}

RowVerdict Admission::admit(core::Model& row)
{
    return decide(row, notEmpty(row.model, "model"), [&](const auto& r) { return m_plant.models.find(r); });
}

RowVerdict Admission::admit(core::Sensor& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto key = notEmpty(row.serial, "serial"); !key)
            return key;
        if (!m_models.has(row.model))
            return refuse(Errc::NotFound, "model", fmt::format("the model \"{}\" is not known", row.model), "check it, or add it to models.csv");
        return {};
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.sensors.find(r); });
}

RowVerdict Admission::admit(core::Placement& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto sensor = checkSensor(row.serial); !sensor)
            return sensor;
        if (!knowsPlace(row.place))
            return refuse(Errc::NotFound, "place", fmt::format("the place \"{}\" is not known", row.place),
                          "use a tag of points.csv, or shelf, soak, bench, quarantine, scrap");
        if (auto order = notBefore(row.from_latest, row.from, "from_latest"); !order)
            return order;
        return notBefore(row.to, row.from, "to");
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.placement(r); });
}

RowVerdict Admission::admit(core::PartRecord& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto sensor = checkSensor(row.serial); !sensor)
            return sensor;
        return notBefore(row.to, row.from, "to");
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.part(r); });
}

RowVerdict Admission::admit(core::Lot& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto key = notEmpty(row.lot, "lot"); !key)
            return key;
        if (auto standard = checkStandard(row.standard); !standard)
            return standard;
        if (row.certified_ph && row.certified_mv)
            return refuse(Errc::BadInput, "certified_mv", "a bottle is certified in pH or in mV, not in both", "leave one of the two empty");
        if (row.opened && row.discarded && *row.discarded < *row.opened)
            return refuse(Errc::BadInput, "discarded", "discarded lies before opened", "check both dates");
        return {};
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.lot(r); });
}

RowVerdict Admission::admit(core::StandardRow& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto key = notEmpty(row.standard, "standard"); !key)
            return key;
        if (row.standard.starts_with("value:"))
            return refuse(Errc::BadInput, "standard", "value: is kept for a known pH", "give the standard another name");
        if (row.ph.has_value() == row.mv.has_value())
            return refuse(Errc::BadInput, "ph", row.ph ? "both ph and mv are given" : "neither ph nor mv is given", "give one of the two");
        return {};
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.standards.find(r); });
}

RowVerdict Admission::admit(core::Equipment& row)
{
    return decide(row, notEmpty(row.equipment, "equipment"), [&](const auto& r) { return m_plant.equipment.find(r); });
}

RowVerdict Admission::admit(core::Person& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto key = notEmpty(row.person, "person"); !key)
            return key;
        return row.from ? notBefore(row.to, *row.from, "to") : Result<void>();
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.people.find(r); });
}

RowVerdict Admission::admit(core::Hold& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto key = notEmpty(row.point, "point"); !key)
            return key;
        if (row.closed_how && !row.to)
            return refuse(Errc::BadInput, "to", "closed_how is given, but not when", "give to as well");
        return notBefore(row.to, row.from, "to");
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.hold(r); });
}

RowVerdict Admission::admit(core::Legacy& row)
{
    const auto checks = [&]() -> Result<void> {
        if (auto sensor = checkSensor(row.serial); !sensor)
            return sensor;
        if (!row.efficiency_pct && !row.offset_mv && !row.t90_s)
            return refuse(Errc::BadInput, "efficiency_pct", "the row holds no figure at all", "give efficiency_pct, offset_mv or t90_s");
        return {};
    };
    return decide(row, checks(), [&](const auto& r) { return m_plant.legacy.find(r); });
}

}  // namespace halfcell::db
