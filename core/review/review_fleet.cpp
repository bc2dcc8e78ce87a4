#include "core/review/review_parts.h"

#include "core/review/spares.h"
#include "core/upkeep/drift.h"
#include "core/upkeep/intervals.h"
#include "core/upkeep/risk.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace halfcell::core::review {
namespace {

std::string typeOf(const Model& model)
{
    return model.interchange.value_or(model.model);
}

std::string classKey(const Point* point)
{
    return point && point->loop_class ? std::string(keyOf(*point->loop_class)) : std::string("unknown");
}

struct TypeCount {
    std::vector<const SensorHistory*> inUse;
    std::vector<double> shelf;          ///< chance of being dead, oldest first
    std::vector<std::pair<double, double>> onShelf;  ///< age in months, chance
    int ready = 0, soaking = 0;
    std::optional<double> lead;
    double level = 0.0;
};

/// Share of conformity from which a reading counts as in tolerance, by loop class (our choice, after JCGM 106).
double acceptance(std::optional<LoopClass> loopClass)
{
    if (!loopClass)
        return 0.50;
    switch (*loopClass) {
    case LoopClass::Indication: return 0.50;
    case LoopClass::Control: return 0.80;
    case LoopClass::Alarm:
    case LoopClass::Quality: return 0.90;
    case LoopClass::Interlock:
    case LoopClass::Permit: return 0.95;
    }
    return 0.50;
}

bool isPoint(std::string_view place)
{
    return place != kShelf && place != kSoak && place != kBench && place != kQuarantine && place != kScrap;
}

}  // namespace

std::vector<SpareType> spareTypes(const Plant& plant, std::span<const Assessment> assessments, const RuleSet& rules,
                                  std::span<const std::string> replacedNow)
{
    std::map<std::string, TypeCount> types;
    const auto histories = plant.histories();
    const double oldMonths = rules.numberOr("spare.shelf_months", 24.0);
    const double deadNew = rules.numberOr("spare.dead_on_arrival", 0.015), deadOld = rules.numberOr("spare.dead_on_arrival_old", 0.05);
    for (std::size_t i = 0; i < histories.size(); ++i) {
        const SensorHistory& h = histories[i];
        if (!h.model)
            continue;
        const Standing standing = standingOf(plant, h);
        TypeCount& type = types[typeOf(*h.model)];
        if (standing.kind == Standing::Kind::AtPoint) {
            type.inUse.push_back(&h);
            type.level = std::max(type.level, rules.numberOr("spare_level." + classKey(standing.point), 0.90));
        } else if (standing.kind == Standing::Kind::Shelf) {
            const bool sound = i >= assessments.size() || !assessments[i].signal ||
                               (*assessments[i].signal != Signal::Failure && *assessments[i].signal != Signal::OutOfSpecification);
            if (!sound)
                continue;
            ++type.ready;
            const double months = h.sensor->bought ? daysBetween(*h.sensor->bought, plant.asOf()) / kDaysPerMonth : 0.0;
            type.onShelf.emplace_back(-months, months > oldMonths ? deadOld : deadNew);
        } else if (standing.kind == Standing::Kind::OutOfService && standing.placement && standing.placement->place == kSoak) {
            ++type.soaking;
        }
        if (h.model->lead_time_days)
            type.lead = std::max(type.lead.value_or(0.0), *h.model->lead_time_days);
    }
    std::vector<SpareType> spares;
    for (auto& [name, type] : types) {
        if (type.inUse.empty())
            continue;
        std::ranges::sort(type.onShelf);
        for (const auto& [age, dead] : type.onShelf)
            type.shelf.push_back(dead);
        SpareType spare;
        spare.interchange = name;
        spare.inUse = static_cast<int>(type.inUse.size());
        spare.ready = type.ready;
        spare.lead_time_days = type.lead.value_or(rules.numberOr("spare.lead_time_days", 42.0));
        const double span = spare.lead_time_days + rules.numberOr("spare.review_days", 28.0);
        const double hazard = rules.numberOr("review.hazard", 0.01) / kDaysPerMonth;
        std::vector<double> p;
        for (const SensorHistory* h : type.inUse) {
            const Standing standing = standingOf(plant, *h);
            const std::string application = standing.point && standing.point->application ? *standing.point->application : std::string("*");
            const bool sure = std::ranges::find(replacedNow, h->sensor->serial) != replacedNow.end();
            p.push_back(sure ? 1.0
                             : OutRisk::ofLife(LogNormalLife::of(rules.lifeMonths(application)), serviceAgeDays(plant, *h), hazard).at(span));
        }
        for (const double x : p)
            spare.expectedDemand += x;
        if (!type.lead) {
            spare.note = fmt::format("no lead time on record: demand over {:.0f} days shown only", span);
            spares.push_back(std::move(spare));
            continue;
        }
        const auto demand = poissonBinomial(p);
        if (!demand)
            continue;
        const auto hold = sparesToHold(*demand, type.level, type.shelf, deadNew);
        spare.hold = hold.value_or(spare.inUse);
        spare.order = std::max(0, spare.hold - spare.ready - type.soaking);
        if (type.soaking > 0)
            spare.note = fmt::format("{} soaking", type.soaking);
        // Days until a full shelf is used up: longer than a year and they age on it.
        if (const double days = spare.expectedDemand > 0.0 ? spare.hold * span / spare.expectedDemand : 1e9; days > 365.0)
            spare.note += (spare.note.empty() ? "" : "; ") + std::string("lasts over a year on the shelf: test again every 12 months or shorten the lead time");
        spares.push_back(std::move(spare));
    }
    return spares;
}

FleetFigures fleetFigures(const Plant& plant, std::span<const std::vector<VisitFigures>> figures)
{
    constexpr double kYear = 365.0;
    // Where a point has no tolerance (common practice: 0.1 to 0.2 pH; realistic accuracy of process ORP).
    constexpr double kDefaultPh = 0.2, kDefaultMv = 25.0;
    FleetFigures fleet;
    std::map<std::string, long> reasons;
    const auto histories = plant.histories();
    const auto recent = [&](const Instant& when) { return daysBetween(when, plant.asOf()) <= kYear; };
    for (std::size_t i = 0; i < histories.size() && i < figures.size(); ++i) {
        std::set<std::string> tags;
        for (const VisitFigures& visit : figures[i]) {
            if (!visit.visit || !visit.visit->tag || !recent(visit.when))
                continue;
            tags.insert(*visit.visit->tag);
            const auto& readings = visit.visit->readings;
            const bool read = std::ranges::any_of(readings, [](const Reading& r) { return r.mv.has_value(); });
            const bool found = std::ranges::any_of(readings, [](const Reading& r) { return r.mv && r.phase == Phase::AsFound; });
            if (read && !found)
                ++fleet.visitsWithoutAsFound;
        }
        for (const std::string& tag : tags) {
            const Point* point = plant.point(tag);
            if (!point)
                continue;
            const bool orp = histories[i].model && histories[i].model->kind == SensorKind::Orp;
            const double ph = !orp && point->ph_low && point->ph_high ? 0.5 * (*point->ph_low + *point->ph_high) : 7.0;
            const double tolerance = orp ? point->tolerance_mv.value_or(kDefaultMv) : point->tolerance_ph.value_or(kDefaultPh);
            const double accept = acceptance(point->loop_class);
            for (const Shift& shift : asFoundShifts(figures[i], ph)) {
                const VisitFigures& visit = figures[i][shift.visit];
                if (!visit.visit || visit.visit->tag != tag || !recent(visit.when))
                    continue;
                const double inside = shift.u > 0.0 ? normalCdf((tolerance - shift.size) / shift.u) - normalCdf((-tolerance - shift.size) / shift.u)
                                                    : (std::abs(shift.size) <= tolerance ? 1.0 : 0.0);
                if (inside >= accept) {
                    ++fleet.asFoundInTolerance;
                    ++fleet.asFoundJudged;
                } else if (inside <= 1.0 - accept) {
                    ++fleet.asFoundJudged;
                } else {
                    ++fleet.asFoundUndecided;
                }
            }
        }
        for (const Placement* placement : histories[i].placements) {
            // A rotation or a move is no replacement: the sensor goes on elsewhere.
            if (!isPoint(placement->place) || !placement->to || !recent(*placement->to) || placement->reason_removed == RemovalReason::Rotation)
                continue;
            const Placement* next = nullptr;
            for (const Placement* other : histories[i].placements)
                if (other->from >= *placement->to && (!next || other->from < next->from))
                    next = other;
            const bool gone = placement->reason_removed || (next && next->place == kScrap);
            if (!gone || (next && isPoint(next->place)))
                continue;
            ++fleet.replacements;
            ++reasons[placement->reason_removed ? std::string(keyOf(*placement->reason_removed)) : std::string("unknown")];
        }
    }
    if (fleet.asFoundJudged > 0) {
        fleet.share = static_cast<double>(fleet.asFoundInTolerance) / static_cast<double>(fleet.asFoundJudged);
        if (const auto limits = clopperPearson(fleet.asFoundInTolerance, fleet.asFoundJudged)) {
            fleet.shareLower = limits->lower;
            fleet.shareUpper = limits->upper;
        }
    }
    fleet.replacementsByReason.assign(reasons.begin(), reasons.end());
    std::ranges::stable_sort(fleet.replacementsByReason, [](const auto& a, const auto& b) { return a.second > b.second; });
    return fleet;
}

}  // namespace halfcell::core::review
