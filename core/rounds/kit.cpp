#include "core/rounds/plan.h"

#include "core/upkeep/last_done.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <tuple>

namespace halfcell::core {
namespace {

bool isRedox(std::string_view standard)
{
    return standard == "zobell" || standard == "light" || standard.starts_with("quinhydrone");
}

/// The last day a bottle may be used on.
std::optional<std::int64_t> lastDay(const Lot& lot, const RuleSet& rules)
{
    std::optional<std::int64_t> last;
    if (lot.expires)
        last = dayNumber(*lot.expires);
    if (lot.opened) {
        const std::int64_t open = dayNumber(addDays(*lot.opened, rules.openLifeDays(lot.standard)));
        last = std::min(last.value_or(open), open);
    }
    return last;
}

/// A lot that may be used on the day: opened ones first, of those the one that must be used up first; none that ends before
/// the day, none that had not arrived.
const Lot* usableLot(const Plant& plant, const RuleSet& rules, std::string_view standard, std::int64_t day)
{
    const Lot* best = nullptr;
    const auto rank = [&](const Lot& lot) {
        return std::tuple(!lot.opened.has_value(), lastDay(lot, rules).value_or(std::numeric_limits<std::int64_t>::max()), std::string_view(lot.lot));
    };
    for (const Lot& lot : plant.records().lots) {
        if (lot.standard != standard || lot.discarded || (lot.received && dayNumber(*lot.received) > day))
            continue;
        if (const auto last = lastDay(lot, rules); last && *last < day)
            continue;
        if (!best || rank(lot) < rank(*best))
            best = &lot;
    }
    return best;
}

struct Load {
    std::map<std::string, int> dips;                        ///< by standard
    std::map<std::string, std::set<std::string>> areas;     ///< by standard: areas in which it is poured
    std::map<std::string, double> volumes;                  ///< mL by item
    std::map<std::string, double> spares;                   ///< expected swaps by interchange type
    std::map<std::string, int> pieces;
    int sensors = 0;
};

/// Chance that a job ends in a swap (our choice; a verdict to replace is one for sure, fault finding as often as not).
double swapChance(const Job& job)
{
    double chance = 0.02;
    for (const TaskKind task : job.tasks) {
        if (task == TaskKind::Replace)
            chance = 1.0;
        else if (task == TaskKind::Fault)
            chance = std::max(chance, 0.5);
        else if (task == TaskKind::Service || task == TaskKind::ReplaceBridge)
            chance = std::max(chance, 0.1);
    }
    return chance;
}

void addJob(Load& load, const Job& job, const Plant& plant, const RuleSet& rules)
{
    ++load.sensors;
    for (const std::string& standard : job.standards) {
        ++load.dips[standard];
        load.areas[standard].insert(job.area);
    }
    const SensorHistory* history = plant.history(job.serial);
    const Model* model = history ? history->model : nullptr;
    const auto allows = [&](ActionKey action) { return model && rules.allows(*model, action).offer != DesignAllows::Offer::No; };
    const bool differential = model && model->reference && isDifferential(*model->reference);
    const std::string fill = model && model->reference_fill && !differential ? " " + *model->reference_fill : std::string();
    const auto refill = [&] {
        if (differential)
            load.volumes["cell solution"] += rules.numberOr("kit.cell_solution_ml", 30.0);
        else
            load.volumes["electrolyte" + fill] += rules.numberOr("kit.electrolyte_ml", 10.0);
    };
    for (const TaskKind task : job.tasks) {
        if (task == TaskKind::Clean || task == TaskKind::Service)
            load.volumes["cleaner"] += rules.numberOr("kit.cleaner_ml", 50.0);
        if (task == TaskKind::RefillReference || (task == TaskKind::Service && allows(ActionKey::RefillReference)))
            refill();
        if (task == TaskKind::ReplaceBridge) {
            ++load.pieces["salt bridge"];
            ++load.pieces["O-ring"];
            load.volumes["cell solution"] += rules.numberOr("kit.cell_solution_ml", 30.0);
        }
        if (task == TaskKind::Replace)
            ++load.pieces["O-ring"];
        if (task == TaskKind::StorageSolution)
            load.volumes["storage solution"] += 10.0;
    }
    if (model && !job.tag.empty())
        load.spares[model->interchange.value_or(model->model)] += swapChance(job);
}

}  // namespace

std::vector<KitLine> kitFor(const WeekPlan& plan, const Plant& plant, const RuleSet& rules)
{
    std::map<std::string_view, const Job*> jobs;
    for (const Job& job : plan.jobs)
        jobs.emplace(job.key, &job);
    std::map<std::pair<std::int64_t, std::string>, Load> loads;
    for (const PlannedJob& planned : plan.planned)
        if (const auto it = jobs.find(planned.key); it != jobs.end() && !planned.people.empty())
            addJob(loads[{planned.day, planned.people.front()}], *it->second, plant, rules);

    const double dip = rules.numberOr("kit.buffer_ml", 60.0), factor = rules.numberOr("kit.buffer_factor", 1.25);
    const double redoxDip = rules.numberOr("kit.orp_standard_ml", 50.0), rinse = rules.numberOr("kit.rinse_ml", 250.0);
    std::vector<KitLine> kit;
    for (const auto& [key, load] : loads) {
        const auto& [day, person] = key;
        const auto add = [&, d = day, p = std::string_view(person)](std::string item, double amount, const char* unit, std::string lot = {}) {
            kit.push_back({std::string(p), d, std::move(item), amount, unit, std::move(lot)});
        };
        for (const auto& [standard, dips] : load.dips) {
            const double pours = static_cast<double>(dips) + static_cast<double>(load.areas.at(standard).size());
            const Lot* lot = usableLot(plant, rules, standard, day);
            add(standard, (isRedox(standard) ? redoxDip : dip) * pours * factor, "mL", lot ? lot->lot : std::string());
        }
        for (const auto& [item, amount] : load.volumes)
            add(item, amount, "mL");
        add("rinse water", rinse * load.sensors, "mL");
        for (const auto& [item, count] : load.pieces)
            add(item, count, "pieces");
        for (const auto& [type, expected] : load.spares)
            if (expected >= 0.1)  // less than one swap in ten such days is left to the shelf (our choice)
                add("spare " + type, std::ceil(expected), "pieces");
    }
    return kit;
}

}  // namespace halfcell::core
