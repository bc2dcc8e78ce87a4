#include "core/simulator/simulate.h"

#include "core/simulator/calendar.h"
#include "core/simulator/events.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace halfcell::core {
namespace simulation {
namespace {

constexpr std::int64_t kMorning = 7 * 3600 + 45 * 60;
constexpr std::int64_t kPaperTime = 15 * 3600 + 40 * 60;

/// Who walks the area's round on a day: its usual technician, else the next who is hired and works that weekday.
std::size_t walker(Workshop& shop, const AreaPlan& area, std::int64_t day)
{
    const std::size_t n = shop.staff.technicians.size();
    auto who = static_cast<std::size_t>(area.person);
    if (shop.people.chance(0.09))
        ++who;  // on leave
    for (std::size_t i = 0; i < n; ++i, ++who) {
        const Habit& habit = shop.staff.technicians[who % n];
        if (habit.from <= day && std::ranges::find(habit.days, isoWeekday(day)) != habit.days.end())
            return who % n;
    }
    return 0;
}

/// Whether the control room would have noticed that something is wrong with the sensor hanging there.
bool complains(Workshop& shop, const Probe& probe)
{
    const State& s = probe.state;
    if (probe.kept)
        return false;
    if (s.fault == Fault::TemperatureElement)
        return shop.technical.chance(0.2);
    if (s.fault != Fault::None)
        return true;
    if (s.leakMohm > 0.0)
        return shop.technical.chance(0.8);
    const double offset = trueOffset(s, probe.traits, shop.modelOf(probe), probe.surroundings) + processExtra(s, probe.traits);
    return probe.storedOffset && std::abs(offset - *probe.storedOffset) > 30.0 && shop.technical.chance(0.5);
}

std::optional<Task> taskFor(Workshop& shop, std::size_t point, const Probe& recorded, const Probe& physical, std::int64_t day)
{
    const PointPlan& p = shop.layout.points[point];
    const Application& application = applicationOf(p.record.application.value_or(""));
    const auto due = [&](std::int64_t last, double weeks) { return static_cast<double>(day - last) >= 7.0 * weeks - 2.0; };
    Task task;
    const bool permit = p.record.loop_class == LoopClass::Permit || p.record.loop_class == LoopClass::Quality;
    task.grab = due(recorded.lastGrab, permit ? 2.0 : 4.0);
    if (complains(shop, physical)) {
        task.job = Task::Job::Calibrate;
        task.reason = physical.state.fault == Fault::Broken || shop.people.chance(0.3) ? VisitReason::Alarm : VisitReason::Complaint;
        return task;
    }
    if (recorded.badCalibrations > 0 && due(recorded.lastCalibration, 1.0)) {
        task.job = Task::Job::Calibrate;
        task.reason = VisitReason::FailedCheck;
        return task;
    }
    // One in twelve slips to the next week.
    if (due(recorded.lastCalibration, application.calibrate_weeks) && !shop.people.chance(0.08)) {
        task.job = Task::Job::Calibrate;
        return task;
    }
    if (due(recorded.lastClean, application.clean_weeks) && !shop.people.chance(0.08)) {
        task.job = Task::Job::Clean;
        return task;
    }
    const std::int64_t touched = std::max(recorded.lastClean, recorded.lastCalibration);
    if (task.grab && due(touched, permit ? 2.0 : 4.0)) {
        task.job = Task::Job::Verify;
        return task;
    }
    return std::nullopt;
}

void walkRound(Workshop& shop, Events& events, std::size_t areaIndex, std::int64_t day)
{
    AreaPlan& area = shop.layout.areas[areaIndex];
    double dry = 0.0;
    for (const Shutdown& shutdown : events.shutdowns)
        if (shutdown.area == areaIndex) {
            if (day >= shutdown.from && day < shutdown.to)
                return;
            if (day >= shutdown.to && day < shutdown.to + 7)
                dry = static_cast<double>(shutdown.to - shutdown.from) * 0.5;
        }
    const std::size_t who = walker(shop, area, day);
    Round round = openRound(shop, day, who, !area.points.empty() && shop.layout.points[area.points.front()].outdoors);
    round.key = fmt::format("{}/{:02}", formatIsoWeek(isoWeekOf(day)), areaIndex + 1);
    const std::pair<std::int64_t, std::size_t> here{day, areaIndex};
    round.mixedUp = events.mixUps.contains(here) || shop.clerical.chance(0.003);
    round.deadBottle = events.deadBottle.contains(here);
    if (events.noTemperature.contains(here)) {
        round.temperatureIgnored = true;
        round.bufferTemp = 33.0;
    }
    const bool wrong = round.mixedUp || round.deadBottle || round.temperatureIgnored;
    std::int64_t seconds = kMorning + shop.people.below(1500);
    for (const std::size_t point : area.points) {
        seconds += static_cast<std::int64_t>(shop.layout.points[point].record.walk_minutes.value_or(3.0) * 60.0);
        if (!shop.inSeason(shop.layout.points[point], day))
            continue;
        const auto ending = std::ranges::find_if(events.endings, [&](const Ending& e) { return e.point == point && e.visitDay == day && !e.done; });
        if (ending != events.endings.end()) {
            const Task task = endingTask(shop, *ending);
            attendPoint(shop, round, point, task, seconds);
            continue;
        }
        if (shop.recordedAt[point] < 0) {
            fillPoint(shop, round, point, seconds);
            continue;
        }
        const auto physical = static_cast<std::size_t>(shop.physicallyAt[point]);
        shop.evolveTo(physical, day);
        auto task = taskFor(shop, point, shop.probes[static_cast<std::size_t>(shop.recordedAt[point])], shop.probes[physical], day);
        if (dry > 0.0 && shop.people.chance(0.9)) {
            task = Task{};
            task->job = Task::Job::Calibrate;
            task->reason = VisitReason::AfterShutdown;
            // Three in ten were capped wet in time.
            task->dryDays = shop.technical.chance(0.7) ? dry : 0.0;
        } else if (wrong && !task) {
            task = Task{};
            task->job = Task::Job::Verify;
        }
        if (!task || (seconds > kPaperTime && task->reason == VisitReason::Routine))
            continue;
        if (task->reason == VisitReason::Alarm && shop.people.chance(0.25)) {
            // Called out at night; the visit may run past midnight.
            Round night = round;
            night.key.clear();
            std::int64_t late = 21 * 3600 + shop.people.below(9000);
            attendPoint(shop, night, point, *task, late);
            continue;
        }
        attendPoint(shop, round, point, *task, seconds);
    }
}

void benchDay(Workshop& shop, std::int64_t day)
{
    std::vector<std::size_t> waiting;
    for (std::size_t i = 0; i < shop.probes.size(); ++i) {
        Probe& probe = shop.probes[i];
        if (probe.scrapped || probe.physicalPoint >= 0)
            continue;
        // Spares are looked at twice a year.
        if (probe.place == kShelf && probe.benchDay == 0 && day - probe.lastCalibration >= 182)
            probe.benchDay = day;
        if (probe.benchDay > 0 && probe.benchDay <= day)
            waiting.push_back(i);
    }
    if (waiting.empty())
        return;
    AreaPlan shopFloor;
    shopFloor.person = static_cast<int>(day % 2);
    Round round = openRound(shop, day, walker(shop, shopFloor, day), false);
    round.meter = "H5";
    std::int64_t seconds = 13 * 3600 + 600;
    for (const std::size_t index : waiting) {
        if (seconds > kPaperTime)
            break;
        shop.probes[index].lastCalibration = day;
        workOnBench(shop, round, index, seconds);
    }
}

void receiveOrders(Workshop& shop, std::int64_t day)
{
    std::vector<Order> later;
    for (const Order& order : shop.orders) {
        if (order.day > day) {
            later.push_back(order);
            continue;
        }
        const std::size_t index = shop.buy(order.model, day);
        shop.place(index, kShelf, localTime(day, 8, 30));
        Probe& probe = shop.probes[index];
        if (shop.stock.chance(0.015))
            probe.state.age = 1.1 + shop.stock.uniform(0.0, 0.4);  // dead or out of specification when it came
        if (shop.stock.chance(0.95))
            probe.benchDay = day + 1 + shop.stock.below(4);
    }
    shop.orders = std::move(later);
}

void putInOrder(Records& r, SimulatedPlant& out)
{
    const auto sort = [](auto& rows, auto key) { std::ranges::stable_sort(rows, {}, key); };
    sort(r.sites, [](const Site& x) { return x.site; });
    sort(r.points, [](const Point& x) { return x.tag; });
    sort(r.models, [](const Model& x) { return x.model; });
    sort(r.sensors, [](const Sensor& x) { return x.serial; });
    sort(r.placements, [](const Placement& x) { return std::tuple(x.serial, x.from.utcSeconds, x.place); });
    sort(r.parts, [](const PartRecord& x) { return std::tuple(x.serial, x.part, x.from.utcSeconds); });
    sort(r.lots, [](const Lot& x) { return x.lot; });
    sort(r.equipment, [](const Equipment& x) { return x.equipment; });
    sort(r.people, [](const Person& x) { return x.person; });
    sort(r.visits, [](const Visit& x) { return std::tuple(x.when.utcSeconds, x.visit); });
    sort(r.legacy, [](const Legacy& x) { return std::tuple(x.serial, x.when.utcSeconds, x.phase); });
    sort(r.holds, [](const Hold& x) { return std::tuple(x.point, x.from.utcSeconds); });
    sort(r.corrections, [](const Correction& x) { return std::tuple(x.recorded.utcSeconds, x.visit, x.table, x.row, x.field); });
    sort(out.states, [](const TruthState& x) { return x.visit; });
    sort(out.faults, [](const TruthFault& x) { return std::tuple(x.visit, x.serial, x.code); });
}

}  // namespace
}  // namespace simulation

SimulatedPlant simulatePlant(const SimulationSettings& settings)
{
    using namespace simulation;
    Workshop shop(settings);
    Events events = planEvents(shop);
    for (Probe& probe : shop.probes)
        if (probe.place == kShelf)
            probe.benchDay = shop.startDay + 3 + shop.plan.below(60);
    for (std::int64_t day = shop.startDay; day <= shop.untilDay; ++day) {
        receiveOrders(shop, day);
        prepareEndings(shop, events, day);
        if (day == shop.startDay || day == shop.untilDay || isoWeekday(day) > 5 || holidays(day))
            continue;
        applyEvents(shop, events, day);
        for (std::size_t area = 0; area < shop.layout.areas.size(); ++area)
            if (shop.layout.areas[area].weekday == isoWeekday(day))
                walkRound(shop, events, area, day);
        benchDay(shop, day);
    }
    lastDay(shop, events);
    putInOrder(shop.out.records, shop.out);
    return std::move(shop.out);
}

}  // namespace halfcell::core
