#include "core/quantity/number.h"
#include "core/simulator/calendar.h"
#include "core/simulator/visit_draft.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

/// Errors people make between the beaker and the book. Rates (assumed, after trade experience), per numeric field unless
/// said otherwise: digit slip 0.7 %, lost minus sign 0.4 % of negative readings, pH 4 and pH 10 exchanged in 0.2 % of
/// calibrations, wrong serial in 1 % of visits, dated a day late in 3 %, entered twice in 0.5 %.
namespace halfcell::core::simulation {
namespace {

constexpr double kDigitSlip = 0.007;
constexpr double kLostSign = 0.004;
constexpr double kStandardsExchanged = 0.002;
constexpr double kWrongSerial = 0.01;
constexpr double kDayLate = 0.03;
constexpr double kEnteredTwice = 0.005;
constexpr double kNoticed = 0.10;      // of these slips somebody notices later and corrects

/// A slip of the pencil in a number as written: two digits exchanged, one lost or one wrong. The same text comes back if
/// there is nothing to slip on.
std::string slipped(const std::string& text, Generator& random)
{
    std::vector<std::size_t> digits;
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] >= '0' && text[i] <= '9')
            digits.push_back(i);
    if (digits.empty())
        return text;
    std::string changed = text;
    const int kind = random.below(10);
    const std::size_t at = digits[static_cast<std::size_t>(random.below(static_cast<int>(digits.size())))];
    if (kind < 4 && at + 1 < text.size() && text[at + 1] >= '0' && text[at + 1] <= '9')
        std::swap(changed[at], changed[at + 1]);
    else if (kind < 6 && digits.size() >= 2)
        changed.erase(at, 1);
    else
        changed[at] = static_cast<char>('0' + (changed[at] - '0' + 1 + random.below(9)) % 10);
    return changed;
}

struct Slip {
    std::string old_value, new_value;   ///< as written, as it was
};

/// Slips a number; nullopt when it came out unchanged or unreadable.
std::optional<Slip> slip(double& value, Generator& random)
{
    const std::string right = formatNumber(value);
    const std::string wrong = slipped(right, random);
    const auto number = parseNumber(wrong);
    if (!number || *number == value)
        return std::nullopt;
    value = *number + 0.0;
    return Slip{formatNumber(value), right};
}

void correctLater(Workshop& shop, const Round& round, const Visit& visit, std::string_view table, std::size_t row, std::string_view field,
                  std::string oldValue, std::string newValue, std::string_view why)
{
    const std::int64_t day = round.day + 2 + shop.clerical.below(9);
    if (day >= shop.untilDay)
        return;
    Correction correction;
    correction.visit = visit.visit;
    correction.table = std::string(table);
    correction.row = static_cast<int>(row) + 1;
    correction.field = std::string(field);
    correction.old_value = std::move(oldValue);
    correction.new_value = std::move(newValue);
    correction.recorded = localTime(day, 15, 20 + shop.clerical.below(39));
    correction.person = visit.person.value_or("T1");
    correction.why = std::string(why);
    shop.out.records.corrections.push_back(std::move(correction));
}

/// Another serial of the same kind from the same area.
std::optional<std::string> otherSerial(Workshop& shop, const Visit& visit)
{
    std::vector<std::size_t> choices;
    const auto self = std::ranges::find(shop.probes, visit.serial, &Probe::serial);
    if (self == shop.probes.end())
        return std::nullopt;
    const auto here = std::ranges::find_if(shop.layout.points, [&](const PointPlan& p) { return p.record.tag == visit.tag.value_or(""); });
    if (here == shop.layout.points.end())
        return std::nullopt;
    for (const std::size_t point : shop.layout.areas[static_cast<std::size_t>(here->area)].points) {
        const int there = shop.recordedAt[point];
        if (there < 0)
            continue;
        const Probe& probe = shop.probes[static_cast<std::size_t>(there)];
        if (probe.serial == visit.serial || probe.kept || shop.isOrp(probe) != shop.isOrp(*self))
            continue;
        choices.push_back(static_cast<std::size_t>(there));
    }
    if (choices.empty())
        return std::nullopt;
    return shop.probes[choices[static_cast<std::size_t>(shop.clerical.below(static_cast<int>(choices.size())))]].serial;
}

}  // namespace

void makeClericalErrors(Workshop& shop, Round& round, Visit& visit)
{
    Generator& random = shop.clerical;
    const auto note = [&](std::string_view code) {
        shop.noteFault(visit.visit, visit.serial, code);
        shop.noteFault(visit.visit, visit.serial, "entry_error");
    };
    for (std::size_t i = 0; i < visit.readings.size(); ++i) {
        Reading& reading = visit.readings[i];
        bool slippedMv = false;
        if (reading.mv && random.chance(kDigitSlip))
            if (const auto s = slip(*reading.mv, random)) {
                slippedMv = true;
                note("digit_slip");
                if (random.chance(kNoticed))
                    correctLater(shop, round, visit, "readings", i, "mv", s->old_value, s->new_value, "typed wrong, sheet says otherwise");
            }
        if (reading.mv && *reading.mv < 0.0 && !slippedMv && random.chance(kLostSign)) {
            const std::string right = formatNumber(*reading.mv);
            *reading.mv = -*reading.mv;
            note("lost_sign");
            if (random.chance(kNoticed))
                correctLater(shop, round, visit, "readings", i, "mv", formatNumber(*reading.mv), right, "minus sign lost");
        }
        if (reading.temp_degc.value && random.chance(kDigitSlip))
            if (slip(*reading.temp_degc.value, random))
                note("digit_slip");
        if (reading.wait_s.value && random.chance(kDigitSlip))
            if (slip(*reading.wait_s.value, random))
                note("digit_slip");
        if (reading.t90_s.value && random.chance(kDigitSlip))
            if (const auto s = slip(*reading.t90_s.value, random)) {
                note("digit_slip");
                if (random.chance(kNoticed))
                    correctLater(shop, round, visit, "readings", i, "t90_s", s->old_value, s->new_value, "digit lost");
            }
    }
    // A temperature left out is now and then filled in from the sheet.
    if (!visit.readings.empty() && visit.readings.front().mv && visit.readings.front().temp_degc.blank() && !visit.readings.front().temp_source &&
        random.chance(0.03))
        correctLater(shop, round, visit, "readings", 0, "temp_degc", "", formatNumber(roundTo(round.bufferTemp, 1.0)), "left out, on the sheet");
    if (random.chance(kStandardsExchanged)) {
        bool done = false;
        for (Reading& reading : visit.readings)
            if (reading.standard == "ph4.01" || reading.standard == "ph10.01") {
                reading.standard = reading.standard == "ph4.01" ? "ph10.01" : "ph4.01";
                reading.lot.reset();
                done = true;
            }
        if (done) {
            note("standards_exchanged");
            shop.noteFault(visit.visit, visit.serial, "wrong_standard");
        }
    }
    if (visit.tag && random.chance(kWrongSerial))
        if (const auto other = otherSerial(shop, visit)) {
            note("wrong_serial");
            shop.noteFault(visit.visit, *other, "wrong_sensor");
            visit.serial = *other;
        }
    const bool moved = std::ranges::any_of(visit.actions, [](const Action& a) { return a.action == ActionKey::Replace || a.action == ActionKey::Scrap; });
    if (!moved && visit.reason != VisitReason::New && round.day + 2 < shop.untilDay && random.chance(kDayLate)) {
        const auto late = [](Instant& when) { when = addDays(when, 1.0); };
        late(visit.when);
        for (Reading& row : visit.readings)
            late(row.when);
        for (Grab& row : visit.grabs)
            late(row.when);
        for (Check& row : visit.checks)
            late(row.when);
        for (Action& row : visit.actions)
            late(row.when);
        note("date_next_day");
    }
}

std::optional<Visit> doubleEntry(Workshop& shop, const Visit& visit)
{
    if (!visit.tag || !shop.clerical.chance(kEnteredTwice))
        return std::nullopt;
    Visit copy = visit;
    copy.visit += "-again";
    copy.recorded = addDays(visit.recorded, 0.02);
    if (dayNumber(copy.recorded) != dayNumber(visit.recorded))
        copy.recorded = visit.recorded;
    for (Reading& row : copy.readings)
        row.recorded = copy.recorded;
    for (Grab& row : copy.grabs)
        row.recorded = copy.recorded;
    for (Check& row : copy.checks)
        row.recorded = copy.recorded;
    for (Action& row : copy.actions)
        row.recorded = copy.recorded;
    shop.noteFault(copy.visit, copy.serial, "duplicate_entry");
    shop.noteFault(copy.visit, copy.serial, "entry_error");
    return copy;
}

std::string jotting(const Probe& probe, const Visit& visit, FindingCode film, Generator& random)
{
    using Lines = std::span<const std::string_view>;
    const auto choose = [&](Lines lines) { return std::string(random.pick(lines)); };
    static constexpr std::array<std::string_view, 4> kScale{"white crust, fizzed in acid", "scale again", "hard white tip", "lime on the guard"};
    static constexpr std::array<std::string_view, 3> kGrease{"greasy, beads of water", "oily film", "smeared with grease"};
    static constexpr std::array<std::string_view, 3> kSlime{"slime on the bulb", "slippery, smells", "brown slime, brushed off"};
    static constexpr std::array<std::string_view, 4> kSlow{"slow in 10", "creeps for minutes", "slow, gave it time", "sluggish after the clean too"};
    static constexpr std::array<std::string_view, 3> kPoison{"black tip", "junction black", "zero jumped since last time"};
    static constexpr std::array<std::string_view, 10> kPlain{"left in man 20 min", "ok", "valve sticks, two turns", "cable tie missing", "sun on the buffers",
                                                             "flow was off when I came", "sample line rinsed", "pump started while reading", "label unreadable",
                                                             "next time bring the long spanner"};
    const State& s = probe.state;
    const bool slowNoted = std::ranges::any_of(visit.readings, [](const Reading& r) { return r.t90_s.has_value() && *r.t90_s >= 60.0; });
    if (s.poison > 0.9)
        return choose(kPoison);
    if (slowNoted && random.chance(0.6))
        return choose(kSlow);
    const bool cleaned = std::ranges::any_of(visit.actions, [](const Action& a) { return cleansOrRenews(a.action); });
    if (cleaned && random.chance(0.55)) {
        if (film == FindingCode::FilmScale)
            return choose(kScale);
        if (film == FindingCode::FilmGrease)
            return choose(kGrease);
        return choose(kSlime);
    }
    return random.chance(0.5) ? choose(kPlain) : std::string();
}

}  // namespace halfcell::core::simulation
