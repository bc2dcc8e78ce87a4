#include "core/simulator/people_and_lots.h"

#include "core/simulator/calendar.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace halfcell::core::simulation {
namespace {

constexpr std::array<std::string_view, 8> kWeekdayKeys{"", "mon", "tue", "wed", "thu", "fri", "sat", "sun"};

Habit habitOf(std::string_view person, std::string_view meter, std::string_view thermometer)
{
    Habit habit;
    habit.person = person;
    habit.meter = meter;
    habit.thermometer = thermometer;
    return habit;
}

Person personRecord(std::string_view key, std::vector<std::string> skills, const std::vector<int>& days, double minutes, std::int64_t from,
                    const Instant& recorded)
{
    Person p;
    p.person = std::string(key);
    p.skills = std::move(skills);
    for (const int day : days)
        p.days.emplace_back(kWeekdayKeys[static_cast<std::size_t>(day)]);
    if (minutes > 0.0)
        p.minutes_per_day = minutes;  // planner and manager walk no rounds
    p.from = startOfDay(from);
    p.recorded = recorded;
    return p;
}

}  // namespace

const Meter& Staff::meter(std::string_view key) const
{
    const auto it = std::ranges::find(meters, key, &Meter::key);
    return it == meters.end() ? meters.front() : *it;
}

const Thermometer& Staff::thermometer(std::string_view key) const
{
    const auto it = std::ranges::find(thermometers, key, &Thermometer::key);
    return it == thermometers.end() ? thermometers.front() : *it;
}

Staff hireStaff(std::int64_t startDay, std::int64_t untilDay, Generator& random)
{
    Staff staff;
    const Instant atStart = startOfDay(startDay);
    const std::vector<int> week{1, 2, 3, 4, 5};
    const std::int64_t t4From = std::max(startDay, untilDay - 420);

    Habit t1 = habitOf("T1", "H3", "C2");
    t1.foundMissing = 0.22;
    t1.cleansFirst = 0.12;
    t1.temperatureMissing = 0.08;
    t1.temperatureGuessed = 0.06;
    t1.notesResponse = 0.92;
    t1.notesCoating = 0.75;
    Habit t2 = habitOf("T2", "H1", "C1");
    t2.foundMissing = 0.33;
    t2.cleansFirst = 0.28;
    t2.temperatureMissing = 0.20;
    t2.temperatureGuessed = 0.24;
    t2.wholeDegrees = true;
    t2.responseStep = 5;
    t2.notesLot = 0.75;
    t2.paperNextDay = 0.2;
    Habit t3 = habitOf("T3", "H2", "C3");
    t3.foundMissing = 0.30;
    t3.cleansFirst = 0.20;
    t3.temperatureMissing = 0.16;
    t3.temperatureGuessed = 0.15;
    t3.wholeDegrees = true;
    t3.notesWait = 0.8;
    Habit t4 = habitOf("T4", "H4", "C4");
    t4.foundMissing = 0.34;
    t4.cleansFirst = 0.18;
    t4.temperatureMissing = 0.15;
    t4.temperatureGuessed = 0.12;
    t4.notesResponse = 0.7;
    t4.remarks = 0.55;
    t4.from = t4From;
    for (Habit* habit : {&t1, &t2, &t3, &t4}) {
        habit->patience = random.lognormal(0.3);
        habit->offsetMv = random.normal(0.0, 0.7);
        habit->slopePct = random.normal(0.0, 0.4);
        habit->days = week;
        staff.technicians.push_back(*habit);
    }
    staff.technicians[0].patience = std::max(staff.technicians[0].patience, 1.0);
    staff.technicians[3].days = {1, 2, 3, 4};

    staff.people.push_back(personRecord("T1", {"ph", "orp", "acid", "hypochlorite", "caustic", "confined", "hot", "pressure"}, week, 480, startDay, atStart));
    staff.people.push_back(personRecord("T2", {"ph", "orp", "acid", "sulfide", "caustic", "confined", "hypochlorite"}, week, 480, startDay, atStart));
    staff.people.push_back(personRecord("T3", {"ph", "orp", "acid", "caustic", "cyanide", "fluoride", "hypochlorite", "hot"}, week, 480, startDay, atStart));
    staff.people.push_back(personRecord("T4", {"ph", "orp", "acid", "caustic", "hypochlorite", "sulfide", "hot"}, staff.technicians[3].days, 450, t4From,
                                        startOfDay(t4From)));
    staff.people.push_back(personRecord("P1", {"planner"}, {}, 0, startDay, atStart));
    staff.people.push_back(personRecord("M1", {"manager"}, {}, 0, startDay, atStart));

    constexpr std::array<double, 5> kResolution{1, 1, 0.1, 1, 0.1};
    for (int i = 0; i < 5; ++i) {
        const std::string key = fmt::format("H{}", i + 1);
        const double error = roundTo(random.normal(0.0, 0.4), 0.1);
        staff.meters.push_back({key, error + random.normal(0.0, 0.2), kResolution[static_cast<std::size_t>(i)]});
        const std::int64_t checked = untilDay - 20 - 45LL * i;
        Equipment e{.equipment = key, .kind = EquipmentKind::Meter, .checked = startOfDay(checked), .error = error,
                    .due = startOfDay(checked + 182), .note = {}, .recorded = startOfDay(std::max(checked, startDay))};
        if (i == 4)
            e.note = "bench meter";
        staff.equipment.push_back(e);
    }
    for (int i = 0; i < 4; ++i) {
        const std::string key = fmt::format("C{}", i + 1);
        const double error = roundTo(random.normal(0.0, 0.25), 0.1);
        staff.thermometers.push_back({key, error + random.normal(0.0, 0.1)});
        const std::int64_t checked = untilDay - 60 - 80LL * i;
        staff.equipment.push_back({.equipment = key, .kind = EquipmentKind::Thermometer, .checked = startOfDay(checked), .error = error,
                                   .due = startOfDay(checked + 365), .note = {}, .recorded = startOfDay(std::max(checked, startDay))});
    }
    return staff;
}

struct LotShelf::Plan {
    std::string_view standard, prefix;
    int number;                    ///< of the last lot
    std::int64_t lastOpened;       ///< days before the end
    std::int64_t cycle, life;      ///< a bottle every `cycle` days, in use for `life` of them
    double sd, perDay, expiryDays;
};

void LotShelf::fill(const Plan& plan, std::int64_t startDay, std::int64_t untilDay, Generator& random)
{
    std::vector<std::int64_t> opened;
    for (std::int64_t day = untilDay - plan.lastOpened; day > startDay - plan.life / 2; day -= plan.cycle)
        opened.push_back(day);
    std::ranges::reverse(opened);
    int number = plan.number - 13 * static_cast<int>(opened.size());
    for (const std::int64_t open : opened) {
        number += 11 + random.below(5);
        Bottle bottle;
        bottle.lot = fmt::format("{}-{:04}", plan.prefix, number);
        bottle.standard = plan.standard;
        bottle.opened = open;
        bottle.discarded = open + plan.life;
        bottle.error = random.normal(0.0, plan.sd);
        bottle.perDay = plan.perDay;

        Lot lot;
        lot.lot = bottle.lot;
        lot.standard = bottle.standard;
        const std::int64_t received = open - 4 - random.below(50);
        lot.received = startOfDay(received);
        lot.opened = localTime(open, 7, 10 + random.below(30));
        lot.expires = startOfDay(received + static_cast<std::int64_t>(plan.expiryDays));
        if (bottle.discarded <= untilDay && !random.chance(0.2))
            lot.discarded = localTime(bottle.discarded, 15, 30);
        if (!random.chance(0.25))
            lot.u_ph = 0.01;
        lot.recorded = localTime(std::max(received, startDay), 9, 0);
        m_bottles.push_back(bottle);
        m_records.push_back(lot);
    }
}

LotShelf::LotShelf(std::int64_t startDay, std::int64_t untilDay, Generator& random)
{
    // Technical buffers +-0.02 taken as uniform: standard deviation 0.0115 pH.
    fill({"ph7.00", "B7", 2231, 12, 90, 90, 0.0100, 0.0, 730}, startDay, untilDay, random);
    fill({"ph4.01", "B4", 1874, 31, 90, 90, 0.0080, 0.0, 730}, startDay, untilDay, random);
    fill({"ph10.01", "B10", 874, 9, 55, 30, 0.0115, -0.001, 365}, startDay, untilDay, random);
    fill({"ph6.86", "B6", 412, 260, 1200, 90, 0.0080, 0.0, 730}, startDay, untilDay, random);

    // One bottle of pH 10 in the middle of the history stays in use for two months.
    const std::int64_t middle = startDay + (untilDay - startDay) * 55 / 100;
    Bottle* dead = nullptr;
    for (Bottle& bottle : m_bottles)
        if (bottle.standard == "ph10.01" && bottle.opened <= middle && (!dead || dead->opened < bottle.opened))
            dead = &bottle;
    if (dead) {
        dead->discarded = dead->opened + 56;
        m_deadDay = dead->opened + 52;
        for (Lot& lot : m_records)
            if (lot.lot == dead->lot && lot.discarded)
                lot.discarded = localTime(dead->discarded, 15, 30);
    }

    // Redox standards are made up from salts on the day of use: a lot, but no opened bottle.
    const std::int64_t quarter = std::max<std::int64_t>((untilDay - startDay) / 4, 30);
    int number = 58;
    for (std::int64_t from = startDay - 20; from < untilDay - 10; from += quarter) {
        number += 9 + random.below(8);
        Bottle bottle;
        bottle.lot = fmt::format("Z-{:04}", number);
        bottle.standard = "zobell";
        bottle.opened = from;
        bottle.discarded = from + quarter;
        bottle.error = random.normal(0.0, 1.5);
        Lot lot;
        lot.lot = bottle.lot;
        lot.standard = bottle.standard;
        lot.received = startOfDay(from);
        lot.expires = startOfDay(from + 730);
        lot.u_mv = 2.5;
        lot.note = "salts, made up on the day of use";
        lot.recorded = localTime(std::max(from, startDay), 9, 0);
        m_bottles.push_back(bottle);
        m_records.push_back(lot);
    }
}

const Bottle* LotShelf::inUse(std::string_view standard, std::int64_t day) const
{
    const Bottle* found = nullptr;
    for (const Bottle& bottle : m_bottles)
        if (bottle.standard == standard && bottle.opened <= day && day < bottle.discarded && (!found || found->opened < bottle.opened))
            found = &bottle;
    return found;
}

}  // namespace halfcell::core::simulation
