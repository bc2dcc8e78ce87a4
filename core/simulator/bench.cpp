#include "core/simulator/attend.h"
#include "core/simulator/calendar.h"
#include "core/simulator/treatment.h"

#include <fmt/format.h>

#include <cmath>

namespace halfcell::core::simulation {

Round openRound(Workshop& shop, std::int64_t day, std::size_t person, bool outdoors)
{
    Round round;
    round.day = day;
    round.person = person;
    const Habit& habit = shop.staff.technicians[person];
    round.meter = habit.meter;
    round.thermometer = habit.thermometer;
    // Now and then the usual meter is away and the bench meter goes along.
    if (shop.people.chance(0.06))
        round.meter = "H5";
    const double season = seasonOf(day);
    const double indoor = 18.5 + 3.5 * season;
    const double outside = 11.0 + 8.0 * season;
    round.bufferTemp = clamp((outdoors ? 0.5 * (indoor + outside) : indoor) + shop.technical.normal(0.0, 1.5), 5.0, 34.0);
    round.portableBias = shop.technical.normal(0.0, 0.03);
    round.redoxError = shop.technical.normal(0.0, 1.5);
    return round;
}

void workOnBench(Workshop& shop, Round& round, std::size_t index, std::int64_t& seconds)
{
    shop.evolveTo(index, round.day);
    Probe& probe = shop.probes[index];
    const ModelSpec& model = shop.modelOf(probe);
    const bool service = probe.place == kBench;
    const bool incoming = !service && probe.state.weeksWet == 0.0 && !probe.baselineResponse;
    probe.benchDay = 0;
    VisitDraft draft(shop, round, index, incoming ? VisitReason::New : VisitReason::Routine, seconds);
    Observed seen = draft.read(Phase::AsFound, draft.standards(false), 0.12);
    if (incoming || shop.people.chance(0.4))
        draft.measureResistances();
    if (incoming) {
        probe.baselineResponse = seen.response;
        if (shop.isOrp(probe) && isDifferential(model.reference) && seen.offset)
            probe.baselineOffset = *seen.offset;
    }
    const bool slow = seen.response && *seen.response > 75.0;
    if (service || slow) {
        draft.clean(false);
        if (isDifferential(model.reference)) {
            draft.act(ActionKey::ReplaceBridge, 25).part_lot = fmt::format("BR-{:03}", 160 + (round.day - shop.startDay) / 9);
            renewBridge(probe.state, shop.technical);
            shop.newPart(probe, Part::Bridge, draft.now(), draft.visit.actions.back().part_lot);
            shop.newPart(probe, Part::CellSolution, draft.now(), Text{});
            probe.lastBridge = round.day;
        } else if (isRefillable(model.reference)) {
            draft.act(ActionKey::RefillReference, 15, model.fill);
            refill(probe.state, model);
            shop.newPart(probe, Part::Electrolyte, draft.now(), Text{});
            probe.lastRefill = round.day;
        }
        if (slow && isGlass(model.sensing) && probe.state.regenerations < 2 && model.sensing != Sensing::HfResistant) {
            draft.act(ActionKey::RegenerateGlass, 30, "HCl and NaOH in turn", "0.1 M");
            regenerate(probe.state, shop.technical);
        }
        draft.act(ActionKey::Condition, 5, "pH 4 and 3 M KCl").elapsed_minutes = 60.0;
        seen = draft.read(Phase::AfterClean, draft.standards(false), 0.12);
    }
    const bool orp = shop.isOrp(probe);
    const double baseline = probe.baselineOffset.value_or(0.0);
    const bool good = orp ? seen.offset && std::abs(*seen.offset - baseline) < 25.0 && (!seen.span || *seen.span > 85.0)
                          : seen.efficiency && *seen.efficiency > 90.0 && *seen.efficiency < 104.0 && seen.offset && std::abs(*seen.offset) < 35.0 &&
                                (!seen.response || *seen.response < 100.0);
    const Instant then = localTime(round.day, draft.seconds() + 120);
    draft.finish();
    seconds = draft.seconds() + 300;
    if (good) {
        if (probe.place != kShelf)
            shop.place(index, kShelf, then);
        return;
    }
    if (service) {
        shop.scrap(index, then, std::nullopt);
        return;
    }
    if (probe.place == kShelf) {
        // Out of specification when new, or gone bad on the shelf: set aside, looked at once more, sent away.
        shop.place(index, kQuarantine, then);
        probe.benchDay = round.day + 9 + shop.plan.below(12);
        return;
    }
    shop.scrap(index, then, std::nullopt);
}

}  // namespace halfcell::core::simulation
