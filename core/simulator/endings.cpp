#include "core/simulator/calendar.h"
#include "core/simulator/events.h"

#include <algorithm>
#include <array>

/// The last weeks: faults that stand open when the history ends.
namespace halfcell::core::simulation {
namespace {

using Kind = Ending::Kind;

struct Course {
    Drift::What what;
    double target;
    std::int64_t days;             ///< how long it builds up
};

std::optional<Course> courseOf(Kind kind)
{
    switch (kind) {
    case Kind::WornLow: return Course{Drift::What::Age, 1.39, 110};
    case Kind::WornOut: return Course{Drift::What::Age, 1.19, 110};
    case Kind::Depleted: return Course{Drift::What::Chloride, 0.895, 150};
    case Kind::Cell: return Course{Drift::What::Chloride, 0.82, 130};
    case Kind::Clogged: return Course{Drift::What::Clog, 3.3, 100};
    case Kind::RedoxFar: return Course{Drift::What::Poison, 1.01, 30};
    case Kind::RedoxFilmed: return Course{Drift::What::Metal, 0.47, 40};
    default: return std::nullopt;
    }
}

}  // namespace

void prepareEndings(Workshop& shop, Events& events, std::int64_t day)
{
    for (Ending& ending : events.endings) {
        const auto course = courseOf(ending.kind);
        const std::int64_t days = course ? std::min(course->days, (shop.untilDay - shop.startDay) / 3) : 14;
        const int index = shop.physicallyAt[ending.point];
        if (ending.done || index < 0 || day < ending.visitDay - days || day > ending.visitDay)
            continue;
        Probe& probe = shop.probes[static_cast<std::size_t>(index)];
        if (probe.kept)
            continue;
        shop.evolveTo(static_cast<std::size_t>(index), day);
        // From here on this sensor is left alone: what is wrong with it is to be found.
        probe.kept = true;
        probe.state.fault = Fault::None;
        probe.state.leakMohm = 0.0;
        probe.state.poison = std::min(probe.state.poison, 0.8);
        if (ending.kind == Kind::Depleted) {
            probe.traits.offset0 = clamp(probe.traits.offset0, -6.0, 0.0);
            probe.state.wander = clamp(probe.state.wander, -3.0, 2.0);
            probe.traits.asymmetry = clamp(probe.traits.asymmetry, -8.0, 0.0);
        }
        if (course)
            probe.drifts.push_back({course->what, day, ending.visitDay, 0.0, course->target, false});
    }
    const std::size_t area = static_cast<std::size_t>(shop.layout.points[events.emptyPoint].area);
    const int last = shop.physicallyAt[events.emptyPoint];
    if (day == lastRoundDay(shop, area) && last >= 0 && last == shop.recordedAt[events.emptyPoint]) {
        shop.evolveTo(static_cast<std::size_t>(last), day);
        shop.probes[static_cast<std::size_t>(last)].state.fault = Fault::Broken;
        shop.leaveEmpty = events.emptyPoint;
    }
}

Task endingTask(Workshop& shop, Ending& ending)
{
    ending.done = true;
    Task task;
    task.job = Task::Job::Calibrate;
    task.grab = true;
    task.restraint = Task::Restraint::CleanOnly;
    const int index = shop.physicallyAt[ending.point];
    if (index < 0)
        return task;
    Probe& probe = shop.probes[static_cast<std::size_t>(index)];
    shop.evolveTo(static_cast<std::size_t>(index), ending.visitDay);
    State& s = probe.state;
    switch (ending.kind) {
    case Kind::ReversedLeads:
        s.fault = Fault::Reversed;
        s.film = 0.1;
        task.reason = VisitReason::Alarm;
        task.restraint = Task::Restraint::FoundOnly;
        break;
    case Kind::Broken:
        s.fault = Fault::Broken;
        task.reason = VisitReason::Alarm;
        task.restraint = Task::Restraint::FoundOnly;
        break;
    case Kind::WetConnector:
        s.leakMohm = 1.3 * glassResistance(s, probe.traits, shop.modelOf(probe), 20.0);
        s.film = std::min(s.film, 0.2);
        task.reason = VisitReason::Complaint;
        task.restraint = Task::Restraint::FoundOnly;
        break;
    case Kind::Filmed:
        s.film = 0.74;
        task.restraint = Task::Restraint::FoundOnly;
        break;
    case Kind::RedoxFilmed: task.restraint = Task::Restraint::FoundOnly; break;
    case Kind::RedoxFar: task.reason = VisitReason::FailedCheck; break;
    case Kind::Ground:
        s.groundMv = 34.0;
        task.reason = VisitReason::Complaint;
        break;
    default: break;
    }
    return task;
}

void lastDay(Workshop& shop, Events& events)
{
    // The loop still in manual: since this morning, or since the last working day's afternoon.
    std::int64_t day = shop.untilDay;
    bool today = true;
    while (isoWeekday(day) > 5 || holidays(day)) {
        --day;
        today = false;
    }
    const Habit& who = shop.staff.technicians[static_cast<std::size_t>(
        shop.layout.areas[static_cast<std::size_t>(shop.layout.points[events.heldPoint].area)].person)];
    Hold hold;
    hold.point = shop.layout.points[events.heldPoint].record.tag;
    hold.from = today ? localTime(day, 8, 12) : localTime(day, 15, 5);
    hold.person = who.person;
    hold.recorded = hold.from;
    shop.out.records.holds.push_back(hold);

    // A spare written down at a point where another one hangs already.
    const Instant doubled = localTime(shop.untilDay - std::min<std::int64_t>(16, (shop.untilDay - shop.startDay) / 2), 10, 40);
    for (std::size_t i = 0; i < shop.probes.size(); ++i) {
        Probe& probe = shop.probes[i];
        if (probe.place != kShelf || probe.model != shop.layout.points[events.doublePoint].model || probe.bought >= dayNumber(doubled) - 10)
            continue;
        const bool later = std::ranges::any_of(shop.out.records.visits, [&](const Visit& v) { return v.serial == probe.serial && doubled < v.when; });
        if (later || !probe.placement || doubled < shop.out.records.placements[*probe.placement].from)
            continue;
        shop.place(i, shop.layout.points[events.doublePoint].record.tag, doubled);
        break;
    }
    // Two spares in soak for next week, one on the bench.
    const std::array<std::string_view, 3> places{kSoak, kSoak, kBench};
    std::size_t moved = 0;
    const Instant soaked = localTime(shop.untilDay - 1, 14, 10);
    for (std::size_t i = shop.probes.size(); i-- > 0 && moved < places.size();) {
        Probe& probe = shop.probes[i];
        if (probe.place == kShelf && probe.bought < shop.untilDay - 20 && probe.placement && shop.out.records.placements[*probe.placement].from < soaked)
            shop.place(i, places[moved++], soaked);
    }
}

}  // namespace halfcell::core::simulation
