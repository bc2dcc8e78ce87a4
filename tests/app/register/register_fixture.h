#pragma once

#include "app/register/register_row.h"

#include <memory>
#include <string>
#include <vector>

/// A handful of sensors as the book's latest states, for the Register's tests: the plating shop on 2 March 2026.
namespace halfcell::test {

inline core::Instant registerNow()
{
    return *core::parseInstant("2026-03-02T12:00:00Z");
}

inline std::int64_t registerToday()
{
    return core::dayNumber(registerNow());
}

inline db::LatestState stateOf(const std::string& serial, const std::string& tag, std::optional<core::Signal> signal)
{
    db::LatestState state;
    state.serial = serial;
    state.tag = tag;
    state.place = tag.empty() ? "shelf" : tag;
    state.site = tag.empty() ? "" : "Cinder Lane Plating Shop";
    state.area = tag.empty() ? "" : "Neutralisation";
    state.kind = "ph";
    state.model = "general";
    state.placedSince = *core::parseInstant("2025-09-28T10:00:00Z");
    state.measured = *core::parseInstant("2026-03-02T08:44:00Z");
    state.phase = core::Phase::AsLeft;
    state.signal = signal;
    state.verdict = signal ? core::Verdict::Leave : core::Verdict::NotEnoughData;
    state.nextDue = registerToday() + 8;
    return state;
}

inline db::LatestState withFigures(db::LatestState state, std::optional<double> efficiency, std::optional<double> offset,
                                   std::optional<double> t90)
{
    state.efficiency_pct = efficiency;
    if (efficiency)
        state.u_efficiency_pct = 0.8;
    state.offset_mv = offset;
    if (offset)
        state.u_offset_mv = 1.7;
    state.t90_s = t90;
    return state;
}

/// States, small tables and drafts, and the rows made of them.
struct RegisterFixture {
    std::vector<db::LatestState> latest;
    core::Records reference;
    std::vector<db::Draft> drafts;
    app::UpkeepOutline outline;

    RegisterFixture()
    {
        using core::Signal;
        const core::Instant recorded = *core::parseInstant("2024-01-01");
        {
            auto& row = reference.models.emplace_back();
            row.model = "general";
            row.kind = core::SensorKind::Ph;
            row.interchange = "A";
            row.recorded = recorded;
        }
        {
            auto& row = reference.models.emplace_back();
            row.model = "redox";
            row.kind = core::SensorKind::Orp;
            row.sensing = core::Sensing::Platinum;
            row.recorded = recorded;
        }
        for (const auto* tag : {"AE-3101", "AE-3102", "AE-3104", "AE-3106", "AE-3107", "AE-3109", "AE-3111", "AE-3203"}) {
            auto& row = reference.points.emplace_back();
            row.tag = tag;
            row.site = "Cinder Lane Plating Shop";
            row.area = "Neutralisation";
            row.recorded = recorded;
        }

        auto orp = withFigures(stateOf("K7-0388", "AE-3203", Signal::Failure), std::nullopt, -212.0, std::nullopt);
        orp.kind = "orp";
        orp.model = "redox";
        orp.area = "Cyanide destruction";
        orp.span_pct = 31.0;
        orp.guilty = "offset";
        orp.verdict = core::Verdict::CheckWiring;
        latest.push_back(orp);
        auto worn = withFigures(stateOf("K7-0297", "AE-3109", Signal::OutOfSpecification), 68.9, 24.1, 142.0);
        worn.guilty = "efficiency";
        worn.verdict = core::Verdict::Replace;
        worn.nextDue = registerToday() + 1;
        latest.push_back(worn);
        auto dirty = withFigures(stateOf("K7-0431", "AE-3111", Signal::MaintenanceRequired), 78.2, -18.0, 58.0);
        dirty.guilty = "efficiency";
        dirty.verdict = core::Verdict::Clean;
        dirty.nextDue = registerToday() - 4;
        latest.push_back(dirty);
        auto shifted = withFigures(stateOf("M2-0118", "AE-3104", Signal::MaintenanceRequired), 94.8, -53.5, 31.0);
        shifted.guilty = "offset";
        shifted.verdict = core::Verdict::RefillReference;
        latest.push_back(shifted);
        latest.push_back(withFigures(stateOf("K7-0420", "AE-3101", Signal::Normal), 97.4, -4.2, 22.0));
        latest.push_back(withFigures(stateOf("K7-0421", "AE-3102", Signal::Normal), 96.8, 3.1, 24.0));
        latest.push_back(withFigures(stateOf("K7-0412", "AE-3107", Signal::Normal), 92.1, -11.9, 95.0));
        auto cold = withFigures(stateOf("K7-0466", "AE-3106", std::nullopt), std::nullopt, 1.0, 14.0);
        cold.missing = "efficiency_pct=the temperature in pH 7.00 was not recorded;span_pct=one standard alone: offset only; no more";
        latest.push_back(cold);
        latest.push_back(stateOf("K7-0470", "", std::nullopt));
        auto scrapped = stateOf("K7-0100", "", std::nullopt);
        scrapped.place = "scrap";
        latest.push_back(scrapped);
        for (const auto& state : latest) {
            auto& row = reference.sensors.emplace_back();
            row.serial = state.serial;
            row.model = state.model;
            row.recorded = recorded;
        }
    }

    [[nodiscard]] std::shared_ptr<const std::vector<app::RegisterRow>> rows() const
    {
        return std::make_shared<const std::vector<app::RegisterRow>>(app::registerRows({.latest = &latest,
                                                                                        .reference = &reference,
                                                                                        .rules = &core::RuleSet::shipped(),
                                                                                        .drafts = &drafts,
                                                                                        .outline = &outline,
                                                                                        .now = registerNow()}));
    }
    db::LatestState& state(const std::string& serial)
    {
        for (auto& s : latest)
            if (s.serial == serial)
                return s;
        throw std::out_of_range(serial);
    }
};

inline const app::RegisterRow& rowOf(const std::vector<app::RegisterRow>& rows, const QString& key)
{
    for (const auto& row : rows)
        if (row.key == key)
            return row;
    throw std::out_of_range(key.toStdString());
}

}  // namespace halfcell::test
