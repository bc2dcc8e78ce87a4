#include "core/simulator/attend.h"

#include "core/simulator/calendar.h"
#include "core/simulator/repair.h"
#include "core/simulator/treatment.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core::simulation {
namespace {

/// What the last readings of a calibration say about keeping it; nullopt: keep.
std::optional<RemovalReason> worn(const Observed& seen, const VisitDraft& draft, const Visit& visit, double baseline)
{
    const bool orp = draft.orp();
    // The shop's own limits, inside those of the trade: out before it is out of specification.
    if (orp) {
        if (seen.span && *seen.span < 84.0)
            return RemovalReason::Slow;
        if (seen.offset && std::abs(*seen.offset - baseline) > 20.0)
            return *seen.offset > 0.0 ? RemovalReason::Poisoned : RemovalReason::Offset;
        return std::nullopt;
    }
    if (seen.offset && std::abs(*seen.offset) > 46.0)
        return *seen.offset > 0.0 ? RemovalReason::Poisoned : RemovalReason::Offset;
    if (seen.efficiency && *seen.efficiency < 84.0)
        return RemovalReason::Slope;
    if (seen.response && *seen.response > 150.0)
        return RemovalReason::Slow;
    if (!visit.checks.empty() && visit.checks.front().reference_kohm.has_value() && *visit.checks.front().reference_kohm > 100.0)
        return RemovalReason::Junction;
    return std::nullopt;
}

void storeInAnalyser(Probe& probe, const Observed& seen)
{
    if (seen.efficiency && *seen.efficiency > 60.0 && *seen.efficiency < 106.0)
        probe.storedEfficiency = *seen.efficiency;
    if (seen.offset && std::abs(*seen.offset) < 120.0)
        probe.storedOffset = *seen.offset;
}

void replaceSensor(Workshop& shop, Round& round, VisitDraft& draft, std::size_t point, RemovalReason reason, std::string_view where)
{
    draft.act(ActionKey::Replace, 15);
    shop.take(point, where, draft.now(), reason);
    if (where == kBench)
        shop.probes[static_cast<std::size_t>(std::ranges::find(shop.probes, draft.visit.serial, &Probe::serial) - shop.probes.begin())].benchDay =
            round.day + 1 + shop.plan.below(3);
}

/// Reads as left, adjusting first when the figures moved more than the noise.
Observed leave(VisitDraft& draft, const Observed& before, bool third, Generator& people)
{
    Probe& p = draft.recorded();
    const bool moved = !p.storedOffset || !before.offset || std::abs(*before.offset - *p.storedOffset) > 3.0 ||
                       (before.efficiency && p.storedEfficiency && std::abs(*before.efficiency - *p.storedEfficiency) > 1.5);
    const bool adjusts = !draft.orp() && moved;
    if (adjusts)
        draft.act(ActionKey::Adjust, 3);
    const Observed seen = draft.read(Phase::AsLeft, draft.standards(third), 0.25);
    if (adjusts) {
        storeInAnalyser(p, seen);
        if (people.chance(0.5))
            for (Reading& reading : draft.visit.readings)
                if (reading.phase == Phase::AsLeft)
                    reading.keyed = true;
    }
    if (!draft.orp() && people.chance(0.3))
        for (Reading& reading : draft.visit.readings)
            if (reading.phase == Phase::AsLeft && reading.mv && p.storedOffset && p.storedEfficiency)
                reading.shown_ph = roundTo(7.0 - (*reading.mv - *p.storedOffset) / (*p.storedEfficiency / 100.0 * idealSlope(20.0)), 0.01);
    if (!p.baselineResponse && seen.response)
        p.baselineResponse = *seen.response;
    if (!p.baselineOffset && seen.offset && draft.orp() && isDifferential(draft.model().reference))
        p.baselineOffset = *seen.offset;
    return seen;
}

}  // namespace

void attendPoint(Workshop& shop, Round& round, std::size_t point, const Task& task, std::int64_t& seconds)
{
    const int recordedIndex = shop.recordedAt[point], physicalIndex = shop.physicallyAt[point];
    if (recordedIndex < 0 || physicalIndex < 0)
        return;
    shop.evolveTo(static_cast<std::size_t>(physicalIndex), round.day);
    if (recordedIndex != physicalIndex)
        shop.evolveTo(static_cast<std::size_t>(recordedIndex), round.day);
    if (task.dryDays > 0.0)
        dryOut(shop.probes[static_cast<std::size_t>(physicalIndex)].state, task.dryDays, shop.technical);
    VisitDraft draft(shop, round, point, static_cast<std::size_t>(recordedIndex), static_cast<std::size_t>(physicalIndex), task.reason, seconds);
    Generator& people = shop.people;
    const bool routine = task.reason == VisitReason::Routine;
    const bool restrained = task.restraint != Task::Restraint::None;
    // Nothing is cured where parts or approval are awaited, or where somebody else's sensor hangs unnoticed.
    const bool keeps = restrained || draft.probe().kept || recordedIndex != physicalIndex;
    draft.quiet = restrained;
    // Where a replacement is in question people take their time.
    if (keeps || draft.recorded().badCalibrations > 0)
        draft.stays = 1.0;
    draft.holdStays = task.holdStays;
    draft.startHold();
    if (task.grab)
        draft.takeGrab();
    if (task.dryDays > 0.0 && people.chance(0.8))
        draft.check().dry_hours = roundTo(task.dryDays * 24.0, 1.0);

    // As found, dirty as it came, unless habit or haste has it otherwise.
    const bool more = task.job != Task::Job::Verify;
    const double coated = draft.orp() ? draft.probe().state.metal : draft.probe().state.film;
    if (more && people.chance(draft.habit().notesCoating))
        draft.noteCoating();
    Observed found;
    const bool wipes = more && routine && !restrained && people.chance(draft.habit().cleansFirst);
    const bool skips = more && routine && !restrained && people.chance(draft.habit().foundMissing);
    if (skips) {
        draft.fault("as_found_missing");
        if (people.chance(0.25))
            draft.skip(Phase::AsFound, people.chance(0.5) ? "wiped before anyone read it" : "no time");
    } else {
        if (wipes) {
            draft.probe().state.film *= people.uniform(0.3, 0.7);
            draft.fault("cleaned_before_found");
            if (people.chance(0.6))
                draft.visit.cleaned_before = true;
        } else if (more && people.chance(0.5)) {
            draft.visit.cleaned_before = false;
        }
        found = draft.read(Phase::AsFound, draft.standards(false), restrained ? 0.0 : (more ? 2.1 : 0.8));
    }
    const bool odd = found.dead() || found.reversed() || (found.efficiency && *found.efficiency < 82.0) || (found.efficiency && *found.efficiency > 106.0) ||
                     (found.span && (*found.span < 82.0 || *found.span > 115.0)) ||
                     (found.offset && draft.recorded().storedOffset && std::abs(*found.offset - *draft.recorded().storedOffset) > 30.0);
    if (odd || people.chance(task.job == Task::Job::Calibrate ? 0.22 : 0.03))
        draft.measureResistances();

    Observed last = found;
    bool gone = false;
    if (task.restraint == Task::Restraint::FoundOnly) {
        remarkAwaiting(draft, people);
    } else {
        const bool warm = draft.probe().state.fault == Fault::TemperatureElement && task.job == Task::Job::Calibrate && people.chance(0.35);
        if ((odd || warm) && !keeps)
            gone = mendFault(shop, round, draft, point, found, last);
        const bool slow = found.response && *found.response > 60.0;
        if (!gone && (more || slow)) {
            draft.clean(false);
            draft.recorded().lastClean = round.day;
            const bool reads = task.job == Task::Job::Calibrate || slow || restrained ? people.chance(0.85) : people.chance(0.6);
            if (reads) {
                last = draft.read(Phase::AfterClean, draft.standards(false), restrained ? 0.0 : 0.4);
                if (last.response && *last.response > 90.0 && !restrained && people.chance(0.7)) {
                    draft.clean(true);
                    last = draft.read(Phase::AfterClean, draft.standards(false), 0.4);
                }
            }
        }
        if (!gone && !restrained) {
            const bool renewed = !keeps && renewParts(shop, round, draft, found, last, task.dryDays > 0.0);
            if (task.job == Task::Job::Calibrate || renewed) {
                const bool third = draft.point()->record.loop_class == LoopClass::Permit || draft.point()->record.loop_class == LoopClass::Interlock ||
                                   people.chance(0.12);
                if (renewed || people.chance(0.88))
                    last = leave(draft, last, third, people);
                draft.recorded().lastCalibration = round.day;
                const auto reason = worn(last, draft, draft.visit, draft.recorded().baselineOffset.value_or(0.0));
                int& bad = draft.recorded().badCalibrations;
                bad = reason ? bad + 1 : 0;
                const bool hopeless = last.efficiency && *last.efficiency < 76.0 && !draft.orp();
                if (reason && !keeps && (bad >= 2 || hopeless) && shop.readySpare(point) >= 0) {
                    confirmWear(draft, *reason, people);
                    const bool worthTrying = *reason == RemovalReason::Slow && people.chance(0.3);
                    replaceSensor(shop, round, draft, point, *reason, worthTrying ? kBench : kScrap);
                    gone = true;
                }
            }
        }
    }
    if (task.grab)
        draft.recorded().lastGrab = round.day;
    if (!gone && more && coated > 0.9 && people.chance(0.1))
        draft.remark("clean sooner next time");
    // Every withdrawal carries a small risk of breaking the glass on the way back.
    if (!gone && more && !restrained && shop.technical.chance(0.001))
        draft.probe().state.fault = Fault::Broken;
    const bool empty = shop.recordedAt[point] < 0;
    draft.finish();
    seconds = draft.seconds();
    if (empty)
        fillPoint(shop, round, point, seconds);
}

bool fillPoint(Workshop& shop, Round& round, std::size_t point, std::int64_t& seconds)
{
    const int spare = shop.readySpare(point);
    if (spare < 0)
        return false;
    const auto index = static_cast<std::size_t>(spare);
    shop.evolveTo(index, round.day);
    seconds += 300;
    shop.fit(index, point, localTime(round.day, seconds));
    Probe& probe = shop.probes[index];
    probe.storedOffset.reset();
    probe.storedEfficiency.reset();
    if (shop.modelOf(probe).reference == ReferenceDesign::DifferentialBridge && probe.lastBridge <= probe.bought) {
        probe.lastBridge = round.day;
        shop.newPart(probe, Part::Bridge, localTime(round.day, seconds), Text{});
        shop.newPart(probe, Part::CellSolution, localTime(round.day, seconds), Text{});
    }
    VisitDraft draft(shop, round, point, index, index, VisitReason::New, seconds + 60);
    draft.startHold();
    if (shop.people.chance(0.5))
        draft.measureResistances();
    const bool third = shop.people.chance(0.3);
    leave(draft, Observed{}, third, shop.people);
    if (shop.people.chance(0.4))
        draft.takeGrab();
    draft.finish();
    seconds = draft.seconds();
    return true;
}

}  // namespace halfcell::core::simulation
