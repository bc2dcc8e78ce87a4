#include "core/simulator/plant_layout.h"

#include "core/simulator/applications.h"
#include "core/simulator/catalogue.h"
#include "core/simulator/plant_rows.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::core::simulation {
namespace {

constexpr int kTagStep = 20;  // a repeated train numbers its tags 20 higher

double consequenceOf(LoopClass loopClass)
{
    // Money per week out of tolerance: the shipped defaults by loop class.
    switch (loopClass) {
    case LoopClass::Indication: return 10.0;
    case LoopClass::Control: return 50.0;
    case LoopClass::Quality:
    case LoopClass::Alarm: return 150.0;
    case LoopClass::Permit: return 500.0;
    case LoopClass::Interlock: return 1000.0;
    }
    return 10.0;
}

bool has(std::string_view list, std::string_view word)
{
    return list.find(word) != std::string_view::npos;
}

std::vector<std::string> splitList(std::string_view list)
{
    std::vector<std::string> words;
    while (!list.empty()) {
        const std::size_t end = std::min(list.find(';'), list.size());
        if (end > 0)
            words.emplace_back(list.substr(0, end));
        list.remove_prefix(std::min(end + 1, list.size()));
    }
    return words;
}

PointPlan planOf(const PointRow& row, int train, int order, const Instant& recorded)
{
    const AreaRow& area = areaRows()[static_cast<std::size_t>(row.area)];
    const ModelSpec& model = modelSpecs()[modelIndex(row.model)];
    const bool orp = model.kind == SensorKind::Orp;
    PointPlan plan;
    plan.model = modelIndex(row.model);
    plan.site = area.site;
    plan.area = row.area;
    plan.temp = row.temp;
    plan.ph = orp ? 7.0 : 0.5 * (row.low + row.high);
    plan.orp_mv = orp ? 0.5 * (row.low + row.high) : 300.0;
    plan.fluoride = has(row.hazards, "fluoride");
    plan.cyanide = has(row.hazards, "cyanide");
    plan.sulfide = has(row.hazards, "sulfide");
    plan.outdoors = area.outdoors;
    plan.hold = row.loopClass != LoopClass::Indication;

    Point& p = plan.record;
    p.tag = fmt::format("AE-{}{}{:02}", area.site + 1, area.digit, row.number + train * kTagStep);
    p.site = std::string(siteRows()[static_cast<std::size_t>(area.site)].name);
    p.area = std::string(area.name);
    p.description = train == 0 ? std::string(row.description) : fmt::format("{}, train {}", row.description, train + 1);
    p.application = std::string(row.application);
    p.loop_class = row.loopClass;
    if (!orp) {
        p.ph_low = row.low;
        p.ph_high = row.high;
        p.tolerance_ph = row.tolerance;
    } else {
        p.tolerance_mv = row.tolerance;
    }
    p.temp_degc = row.temp;
    p.hazards = splitList(row.hazards);
    // Every fifth point has no description of the way, every seventh no telephone: nobody wrote it down.
    if (order % 5 != 4)
        p.location = std::string(row.location);
    if (order % 7 != 6)
        p.phone = fmt::format("ext. {}", area.phone);
    if (order % 4 != 3)
        p.consequence_per_week = consequenceOf(row.loopClass);
    if (!area.permitArea.empty())
        p.permit_area = std::string(area.permitArea);
    p.walk_order = static_cast<double>(order + 1);
    p.walk_minutes = 2.0 + static_cast<double>((row.number * 7) % 4);
    if (row.floorDays > 0) {
        p.legal_floor_days = static_cast<double>(row.floorDays);
        p.legal_clause = fmt::format("permit condition {}", row.condition);
    }
    const std::string_view application = row.application;
    p.grab_quality = application == "pure_water"       ? GrabQuality::Pure
                     : applicationOf(application).harshness == Harshness::Clean ? GrabQuality::Clean
                                                                                : GrabQuality::Dirty;
    if (!area.seasonFrom.empty()) {
        p.season_from = std::string(area.seasonFrom);
        p.season_to = std::string(area.seasonTo);
    }
    p.recorded = recorded;
    return plan;
}

}  // namespace

Layout layOut(int points, const Instant& recorded)
{
    Layout layout;
    for (const SiteRow& row : siteRows())
        layout.sites.push_back({.site = std::string(row.name), .note = std::string(row.note), .recorded = recorded});
    for (const AreaRow& row : areaRows())
        layout.areas.push_back(
            {.name = std::string(row.name), .site = row.site, .weekday = row.weekday, .person = row.person, .points = {}});
    const auto rows = pointRows();
    const int drawn = static_cast<int>(rows.size());
    std::vector<int> order(layout.areas.size(), 0);
    int wanted = std::max(points, 1);
    for (int train = 0; wanted > 0; ++train) {
        const int share = std::min(wanted, drawn);
        for (int i = 0; i < drawn; ++i) {
            // An even share: row i is taken when the running total crosses a whole number.
            if ((i + 1) * share / drawn == i * share / drawn)
                continue;
            const PointRow& row = rows[static_cast<std::size_t>(i)];
            layout.points.push_back(planOf(row, train, order[static_cast<std::size_t>(row.area)]++, recorded));
        }
        wanted -= share;
    }
    std::ranges::sort(layout.points, {}, [](const PointPlan& p) { return p.record.tag; });
    for (std::size_t i = 0; i < layout.points.size(); ++i)
        layout.areas[static_cast<std::size_t>(layout.points[i].area)].points.push_back(i);
    for (AreaPlan& area : layout.areas)
        std::ranges::sort(area.points, {}, [&](std::size_t i) { return *layout.points[i].record.walk_order; });
    return layout;
}

}  // namespace halfcell::core::simulation
