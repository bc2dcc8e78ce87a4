#include "db/condition/condition.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::db {

using core::Assessment;
using core::GuiltyFigure;
using core::Overview;
using core::PhaseFigures;
using core::SensorHistory;

namespace {

/// How far ahead the fleet list looks for a sensor's next task: beyond the longest interval in use, two years.
constexpr std::int64_t kDueHorizonDays = 800;
/// The fleet list's small rule shows one year.
constexpr double kSmallRuleDays = 365.0;

const char* guiltyWord(GuiltyFigure guilty)
{
    switch (guilty) {
    case GuiltyFigure::None: return "";
    case GuiltyFigure::Efficiency: return "efficiency";
    case GuiltyFigure::Offset: return "offset";
    case GuiltyFigure::Response: return "response";
    case GuiltyFigure::Span: return "span";
    case GuiltyFigure::Other: return "other";
    }
    return "";
}

std::string missingText(const PhaseFigures& figures)
{
    std::string text;
    for (const auto& [figure, reason] : figures.missing)
        text += fmt::format("{}{}={}", text.empty() ? "" : ";", figure, reason);
    return text;
}

LatestState stateOf(const Overview& overview, std::size_t i, std::span<const core::DueTask> tasks)
{
    const core::Plant& plant = *overview.plant;
    const SensorHistory& history = plant.histories()[i];
    const Assessment& a = overview.assessments[i];
    LatestState s;
    s.serial = history.sensor->serial;
    s.model = history.sensor->model;
    s.kind = core::keyOf(a.kind);
    if (const core::Placement* placement = history.placementAt(plant.asOf())) {
        s.place = placement->place;
        s.placedSince = placement->from;
        if (const core::Point* point = plant.point(placement->place)) {
            s.tag = point->tag;
            s.site = point->site;
            s.area = point->area.value_or("");
        }
    }
    if (s.tag.empty() && s.place.empty()) {
        s.tag = a.tag;
        s.site = a.site;
    }
    s.measured = a.measured;
    s.phase = a.phase;
    if (a.figures) {
        const PhaseFigures& f = *a.figures;
        s.efficiency_pct = f.efficiency_pct;
        s.u_efficiency_pct = f.u_efficiency_pct;
        s.offset_mv = f.offset_mv;
        s.u_offset_mv = f.u_offset_mv;
        s.t90_s = f.t90_s;
        s.span_pct = f.span_pct;
        s.missing = missingText(f);
    }
    if (a.neverMeasured)
        s.missing = "all=never measured";
    s.signal = a.signal;
    s.verdict = a.verdict;
    s.guilty = guiltyWord(a.guilty);
    if (!a.findings.empty())
        s.topFinding = core::keyOf(a.findings.front().code);
    s.sentence = a.sentence;
    s.nextDue = core::nextDue(tasks, s.serial);
    for (const core::VisitFigures& visit : overview.figures[i]) {
        const double age = core::daysBetween(visit.when, plant.asOf());
        const PhaseFigures* last = visit.lastState();
        if (last == nullptr || age < 0.0 || age > kSmallRuleDays)
            continue;
        if (const auto& value = a.kind == core::SensorKind::Orp ? last->offset_mv : last->efficiency_pct)
            s.lastAsLeft.emplace_back(visit.when.utcSeconds, *value);
    }
    s.rules = overview.rules.id();
    s.engine = kEngineVersion;
    s.computedAt = plant.asOf().utcSeconds;
    return s;
}

}  // namespace

std::vector<LatestState> latestStatesOf(const Overview& overview)
{
    const auto tasks = overview.due(core::dayNumber(overview.plant->asOf()) + kDueHorizonDays);
    std::vector<LatestState> states;
    for (std::size_t i = 0; i < overview.plant->histories().size(); ++i)
        states.push_back(stateOf(overview, i, tasks));
    return states;
}

std::vector<StoredFigures> storedFiguresOf(const Overview& overview, std::size_t sensor)
{
    std::vector<StoredFigures> rows;
    for (const core::VisitFigures& visit : overview.figures[sensor]) {
        if (visit.visit == nullptr)
            continue;
        for (const PhaseFigures& f : visit.phases) {
            StoredFigures& row = rows.emplace_back();
            row.visit = visit.visit->visit;
            row.phase = f.phase;
            row.kind = f.kind;
            row.efficiency_pct = f.efficiency_pct;
            row.u_efficiency_pct = f.u_efficiency_pct;
            row.slope_mv_per_ph = f.slope_mv_per_ph;
            row.offset_mv = f.offset_mv;
            row.u_offset_mv = f.u_offset_mv;
            row.zero_point_ph = f.zero_point_ph;
            row.residual_mv = f.residual_mv;
            row.acid_leg_pct = f.acid_leg_pct;
            row.alkaline_leg_pct = f.alkaline_leg_pct;
            row.span_pct = f.span_pct;
            row.u_span_pct = f.u_span_pct;
            row.t90_s = f.t90_s;
            row.u_at_process_ph = f.u_at_process_ph;
            if (f.fit) {
                row.covariance_00 = f.fit->v00;
                row.covariance_01 = f.fit->v01;
                row.covariance_11 = f.fit->v11;
            }
            row.missing = missingText(f);
            row.engine = kEngineVersion;
            row.rules = overview.rules.id();
        }
    }
    std::ranges::sort(rows, [](const StoredFigures& a, const StoredFigures& b) {
        return std::pair(std::string_view(a.visit), core::keyOf(a.phase)) < std::pair(std::string_view(b.visit), core::keyOf(b.phase));
    });
    return rows;
}

core::Records aloneWith(const core::Records& all, std::string_view serial)
{
    core::Records r;
    const auto keep = [&](auto& to, const auto& from) {
        std::ranges::copy_if(from, std::back_inserter(to), [&](const auto& row) { return row.serial == serial; });
    };
    r.sites = all.sites;
    r.points = all.points;
    r.models = all.models;
    r.lots = all.lots;
    r.standards = all.standards;
    r.holds = all.holds;
    r.equipment = all.equipment;
    keep(r.sensors, all.sensors);
    keep(r.placements, all.placements);
    keep(r.parts, all.parts);
    return r;
}

}  // namespace halfcell::db
