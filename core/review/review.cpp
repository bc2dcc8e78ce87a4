#include "core/review/review.h"

#include "core/review/review_parts.h"
#include "core/upkeep/risk.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace halfcell::core {
namespace {

using namespace review;

/// Reference design and application of a sensor that was in service at a point.
std::pair<int, std::string> groupOf(const Plant& plant, const SensorHistory& history, std::string_view tag)
{
    const Point* point = plant.point(tag);
    const int design = history.model && history.model->reference ? static_cast<int>(*history.model->reference) : -1;
    return {design, point && point->application ? *point->application : std::string("*")};
}

/// Ended lives by group: sensors taken out of a point for a reason other than rotation.
std::map<std::pair<int, std::string>, std::size_t> endedLives(const Plant& plant)
{
    std::map<std::pair<int, std::string>, std::size_t> lives;
    for (const SensorHistory& history : plant.histories()) {
        std::set<std::pair<int, std::string>> mine;
        for (const Placement* p : history.placements)
            if (p->to && p->reason_removed && *p->reason_removed != RemovalReason::Rotation && plant.point(p->place))
                mine.insert(groupOf(plant, history, p->place));
        for (const auto& group : mine)
            ++lives[group];
    }
    return lives;
}

}  // namespace

Review reviewFleet(const Plant& plant, std::span<const Assessment> assessments, std::span<const std::vector<VisitFigures>> figures,
                   const RuleSet& rules, std::optional<double> budget)
{
    Review result;
    result.budget = budget;
    const auto lives = endedLives(plant);
    const auto histories = plant.histories();
    std::vector<Judged> judged;
    for (std::size_t i = 0; i < histories.size() && i < assessments.size() && i < figures.size(); ++i) {
        CaseInput in{.plant = plant, .history = histories[i], .assessment = assessments[i], .figures = figures[i], .rules = rules};
        in.standing = standingOf(plant, histories[i]);
        if (in.standing.kind != Standing::Kind::AtPoint)
            continue;
        in.kind = histories[i].model ? histories[i].model->kind : assessments[i].kind;
        const Point* point = in.standing.point;
        in.application = point && point->application ? *point->application : std::string("*");
        in.loopClass = point && point->loop_class ? std::string(keyOf(*point->loop_class)) : std::string("unknown");
        in.ageMonths = serviceAgeDays(plant, histories[i]) / kDaysPerMonth;
        in.cleanFits = cleanFits(figures[i], in.kind);
        in.services = servicesDone(histories[i], figures[i],
                                   0.5 * rules.profileFor(histories[i].model, in.standing.point).orp_offset_maintenance_mv.value);
        if (const auto it = lives.find(groupOf(plant, histories[i], in.standing.tag)); it != lives.end())
            in.groupLives = it->second;
        if (in.kind == SensorKind::Ph)
            if (const auto trend = robustTrend(cleanEfficiencies(figures[i])))
                in.trend = *trend;
        judged.push_back(judge(in));
    }
    std::ranges::stable_sort(judged, [](const Judged& a, const Judged& b) {
        return std::tuple(!a.shown.terminal, -a.saving, std::string_view(a.shown.serial)) <
               std::tuple(!b.shown.terminal, -b.saving, std::string_view(b.shown.serial));
    });

    if (budget) {
        std::vector<SpendingItem> items;
        for (const Judged& j : judged)
            items.insert(items.end(), j.spending.begin(), j.spending.end());
        if (const auto plan = chooseSpending(items, *budget)) {
            for (const std::size_t i : plan->chosen)
                result.withinBudget.push_back(items[i].group);
            result.asked = plan->cost;
            result.saving = plan->saving;
            result.savingBound = plan->bound;
        }
    } else {
        // Everything that is advised.
        for (const Judged& j : judged)
            if (j.shown.recommended && *j.shown.recommended != OptionKind::Run) {
                const auto option = std::ranges::find(j.shown.options, *j.shown.recommended, &ReviewOption::option);
                if (option == j.shown.options.end())
                    continue;
                result.asked += option->price;
                result.saving += j.saving;
            }
        result.savingBound = result.saving;
    }
    std::vector<std::string> replacedNow;
    for (Judged& j : judged) {
        if (j.replaceNow)
            replacedNow.push_back(j.shown.serial);
        result.cases.push_back(std::move(j.shown));
    }
    result.spares = spareTypes(plant, assessments, rules, replacedNow);
    result.fleet = fleetFigures(plant, figures);
    return result;
}

}  // namespace halfcell::core
