#include "core/electrochemistry/nernst.h"
#include "core/rules/judging.h"

#include <algorithm>
#include <cmath>

/// Temperature, tables, bottles and typing: what imitates a bad sensor comes before the sensor is blamed.
/// Source: common practice; decision rules D3 to D5 and D8.
namespace halfcell::core::judging {

namespace {

std::string wordsOfStandard(const Case& c, const std::string& key)
{
    const auto words = c.standards->words(key);
    return words.empty() ? key : words;
}

/// Why a bottle may not be used on that day, or nothing.
std::string bottleFault(const Case& c, const Lot& lot, const Instant& when)
{
    const auto day = dayNumber(when);
    if (lot.received && day < dayNumber(*lot.received))
        return fmt::format("received only on {}", formatDate(*lot.received));
    if (lot.opened && when < *lot.opened && day < dayNumber(*lot.opened))
        return fmt::format("not yet open on that day (opened {})", formatDate(*lot.opened));
    if (lot.discarded && when > *lot.discarded && day > dayNumber(*lot.discarded))
        return fmt::format("discarded on {}", formatDate(*lot.discarded));
    if (lot.expires && day > dayNumber(*lot.expires))
        return fmt::format("past its date ({})", formatDate(*lot.expires));
    if (lot.opened) {
        const double life = c.rules->openLifeDays(lot.standard);
        const double open = life < 1.0 ? daysBetween(*lot.opened, when) : static_cast<double>(day - dayNumber(*lot.opened));
        if (open > life)
            return life < 1.0 ? fmt::format("made {} h before; {} h is its life", fixed(24.0 * open, 0), fixed(24.0 * life, 0))
                              : fmt::format("opened {} days before; {} is its life", fixed(open, 0), fixed(life, 0));
    }
    return {};
}

void findBottles(const Case& c, Findings& f)
{
    if (!c.visit || !c.plant)
        return;
    for (const auto& r : c.visit->readings) {
        if (!r.mv || !r.lot)
            continue;
        const auto* lot = c.plant->lot(*r.lot);
        if (!lot)
            continue;
        const auto fault = bottleFault(c, *lot, r.when);
        if (fault.empty())
            continue;
        const bool judged = r.phase == c.state->phase;
        auto& d = f.add(FindingCode::StandardExpired, judged ? 300 : 50, judged, Verdict::CheckStandards, {});
        speaksFor(d, fmt::format("{}, lot {}: {}", wordsOfStandard(c, r.standard), *r.lot, fault));
        d.cause = "a standard that may not be used";
        d.advice = "Read again in a fresh bottle; these figures are not for a calibration record.";
    }
}

void findHigh(const Case& c, Findings& f)
{
    const auto eff = c.state->efficiency_pct;
    if (c.kind != SensorKind::Ph || !eff || *eff <= c.profile->efficiency_high_warn_pct.value)
        return;
    const auto text = fmt::format("{} % is more than any sensor gives (warning from {} %)", fixed(*eff),
                                  fixed(c.profile->efficiency_high_warn_pct.value, 0));
    auto& bottle = f.add(FindingCode::WrongStandard, 420, true, Verdict::CheckStandards, {});
    speaksFor(bottle, text);
    bottle.cause = "bottle, thermometer or typing, no very good sensor";
    bottle.advice = "Read again in a fresh bottle, with the thermometer in it.";
    speaksFor(f.add(FindingCode::EntryError, 410, true, Verdict::CheckStandards, {}), text);
    auto& thermometer = f.add(FindingCode::TemperatureElement, 400, false, Verdict::CheckStandards, {});
    speaksFor(thermometer, text);
    if (c.check && c.check->thermometer_off_k.has_value() && std::fabs(*c.check->thermometer_off_k) <= c.number("diagnosis.thermometer_k"))
        speaksAgainst(thermometer, fmt::format("the thermometer agrees within {} K", fixed(std::fabs(*c.check->thermometer_off_k))));
}

/// One phase of the visit: what explains it better than what was written down. In the phase judged it leads to another reading;
/// elsewhere it is noted.
void findTypingIn(const Case& c, Findings& f, const std::vector<Dip>& dips, const PhaseFigures& figures, bool judged)
{
    const auto weight = [&](int w) { return judged ? w : 57; };
    const auto response = responseOf(dips, figures.efficiency_pct, *c.rules, *c.standards);
    const auto where = judged ? std::string() : fmt::format("{}: ", wordsOf(figures.phase));
    if (const auto swap = exchangeThatFits(dips, *c.rules)) {
        auto& d = f.add(FindingCode::EntryError, weight(460), judged, Verdict::Recheck, {});
        auto changed = dips;
        std::swap(changed[swap->first].mv, changed[swap->second].mv);
        const auto legs = legsOf(changed, c.number("diagnosis.alike_apart_ph"));
        speaksFor(d, fmt::format("{}{} and {} fit if the beakers changed places: {} %, not {} %", where,
                                 wordsOfStandard(c, dips[swap->first].standard), wordsOfStandard(c, dips[swap->second].standard),
                                 legs ? fixed(legs->overall_pct) : std::string("-"), fixed(response.pct)));
        d.cause = "two standards exchanged";
        d.advice = "Read both again.";
    } else if (const auto sign = signThatFits(dips, *c.rules)) {
        auto& d = f.add(FindingCode::EntryError, weight(450), judged, Verdict::Recheck, {});
        const auto& dip = dips[*sign];
        speaksFor(d, fmt::format("{}{} in {} fits with the other sign", where, mv(dip.mv), wordsOfStandard(c, dip.standard)));
        d.cause = "a lost sign";
        d.advice = "Read it again.";
    } else if (const auto other = otherStandardThatFits(dips, *c.visit, *c.standards, *c.rules)) {
        const auto& dip = dips[other->dip];
        const double eff = figures.efficiency_pct.value_or(response.pct);
        // Near 95 % an honest sensor looks the same; then it takes a jump from the last time to ask.
        constexpr double kGrossPct = 85.0;
        const bool gross = eff > c.profile->efficiency_high_warn_pct.value || eff < kGrossPct ||
                           (figures.acid_leg_pct && figures.alkaline_leg_pct &&
                            std::fabs(*figures.acid_leg_pct - *figures.alkaline_leg_pct) > 2.0 * c.profile->legs_differ_pct.value);
        const bool jumped = c.lastLeftEfficiency && c.lastLeftOffset &&
                            std::fabs(*c.lastLeftEfficiency - eff) >= c.number("diagnosis.efficiency_drop_pct") &&
                            std::fabs(other->legs.overall_pct - *c.lastLeftEfficiency) <= c.number("diagnosis.reread_pct") &&
                            std::fabs(other->legs.offset_mv - *c.lastLeftOffset) <= c.number("diagnosis.swap_near_mv");
        if (gross || jumped) {
            auto& d = f.add(FindingCode::WrongStandard, weight(440), judged, Verdict::CheckStandards, {});
            speaksFor(d, fmt::format("{}{} in {} would fit {}: {} %, not {} %", where, mv(dip.mv), wordsOfStandard(c, dip.standard),
                                     wordsOfStandard(c, other->standard), fixed(other->legs.overall_pct), fixed(eff)));
            d.cause = fmt::format("{} taken for {}", wordsOfStandard(c, other->standard), wordsOfStandard(c, dip.standard));
            d.advice = "Read the label, then read again in a fresh bottle.";
        }
    }
}

void findTyping(const Case& c, Findings& f)
{
    if (c.kind != SensorKind::Ph || !c.visit)
        return;
    for (const auto* figures : c.phases)
        findTypingIn(c, f, figures == c.state ? c.dips : dipsOf(*c.visit, figures->phase, *c.standards), *figures, figures == c.state);
    // D8: the same numbers on three records running.
    if (c.past.size() < 2 || c.dips.size() < 2)
        return;
    const auto same = [&](const VisitFigures& v) {
        if (!v.visit)
            return false;
        const auto dips = dipsOf(*v.visit, c.state->phase, *c.standards);
        return dips.size() == c.dips.size() && std::equal(dips.begin(), dips.end(), c.dips.begin(), [](const Dip& a, const Dip& b) {
                   return a.standard == b.standard && a.mv == b.mv && a.tempKnown && b.tempKnown && a.temp_c == b.temp_c;
               });
    };
    if (same(*c.past[c.past.size() - 1]) && same(*c.past[c.past.size() - 2])) {
        auto& d = f.add(FindingCode::EntryError, 430, true, Verdict::Recheck, {});
        speaksFor(d, "the same millivolts and temperatures on three visits running");
        d.cause = "figures copied from the visit before";
        d.advice = "Read it in the standards.";
    }
}

/// A meter that knows the temperature for the slope but not for the standards: their values at 25 degC, typed for a cold or a hot
/// beaker.
void findLabelValues(const Case& c, Findings& f)
{
    const auto label = labelValues(c.dips, *c.standards);
    if (!label || c.response.dead || c.response.reversed)
        return;
    auto mended = c.dips;
    for (std::size_t i = 0; i < mended.size(); ++i) {
        mended[i].ph = label->ph[i];
        mended[i].x = nernstSlopeUnchecked(mended[i].temp_c + 273.15) * (mended[i].ph - 7.0);
    }
    const auto legs = legsOf(mended, c.number("diagnosis.alike_apart_ph"));
    const auto eff = c.state->efficiency_pct;
    const bool high = eff && *eff > c.profile->efficiency_high_warn_pct.value;
    const bool low = eff && *eff < c.profile->efficiency_maintenance_pct.value;
    const bool mends = legs && legs->within(c.profile->efficiency_maintenance_pct.value, c.profile->efficiency_high_warn_pct.value);
    auto& d =
        f.add(FindingCode::TemperatureIgnored, (high || low) && mends ? 425 : 130, (high || low) && mends, Verdict::CheckStandards, {});
    speaksFor(d, label->text);
    if (legs && eff)
        speaksFor(d, fmt::format("with those the efficiency is {} %, not {} %", fixed(legs->overall_pct), fixed(*eff)));
    d.cause = "the values of the standards taken for 25 degC";
    d.advice = "Type what the label gives for the temperature in the beaker, or name the standard and let its table do it.";
}

void findStale(const Case& c, Findings& f)
{
    const auto *acid = &c.state->acid_leg_pct, *alkaline = &c.state->alkaline_leg_pct;
    if (c.check && c.check->second_bottle == Comparison::Changes) {
        auto& d = f.add(FindingCode::StaleStandard, 350, true, Verdict::CheckStandards, {});
        speaksFor(d, "a fresh bottle reads otherwise");
        d.cause = "a bottle that has gone off";
        d.advice = "Discard it and read again.";
    }
    if (!acid->has_value() || !alkaline->has_value() || **acid - **alkaline <= c.profile->legs_differ_pct.value || c.response.dead ||
        c.response.reversed)
        return;
    // Legs scatter by one to two per cent; the bottle is questioned at once only well beyond that.
    constexpr double kWellBeyond = 1.5;
    const bool clear = **acid - **alkaline > kWellBeyond * c.profile->legs_differ_pct.value;
    auto& d = f.add(FindingCode::StaleStandard, clear ? 160 : 59, clear, Verdict::CheckStandards, {});
    speaksFor(d, fmt::format("alkaline leg {} %, acid leg {} %: more than {} % apart", fixed(**alkaline), fixed(**acid),
                             fixed(c.profile->legs_differ_pct.value, 0)));
    if (c.check && c.check->second_bottle == Comparison::Same) {
        speaksAgainst(d, "a fresh bottle reads the same");
        d.drives = false;
        d.weight = 40;
    }
    d.cause = "an alkaline standard that has taken up carbon dioxide";
    d.advice = "Read the alkaline standard again in a fresh bottle.";
}

}  // namespace

void findEntries(const Case& c, Findings& f)
{
    for (const auto& issue : c.state->issues) {
        switch (issue.code) {
        case FindingCode::TemperatureMissing:
        case FindingCode::OutsideTable:
        case FindingCode::StandardsTooClose:
        case FindingCode::TooFewReadings: {
            auto& d = f.add(issue.code, 250, true, Verdict::NotEnoughData, {});
            speaksFor(d, issue.because);
            d.cause = issue.code == FindingCode::TemperatureMissing  ? "no temperature"
                      : issue.code == FindingCode::OutsideTable      ? "a temperature outside the standard's table"
                      : issue.code == FindingCode::StandardsTooClose ? "standards too close together"
                                                                     : "one standard alone";
            d.advice = issue.code == FindingCode::TemperatureMissing ? "Read again with a thermometer in the standard."
                                                                     : "Read two standards 2 pH or more apart.";
            break;
        }
        case FindingCode::ReadTooSoon: speaksFor(f.add(issue.code, 120, false, Verdict::Recheck, {}), issue.because); break;
        case FindingCode::WrongStandard:
        case FindingCode::EntryError: speaksFor(f.add(issue.code, 300, true, Verdict::CheckStandards, {}), issue.because); break;
        default: speaksFor(f.add(issue.code, 30, false, Verdict::Recheck, {}), issue.because);
        }
    }

    // A phase that is not judged may lack its temperature, too: its figures are missing from the record.
    for (const auto* figures : c.phases)
        if (figures != c.state)
            for (const auto& issue : figures->issues)
                if (issue.code == FindingCode::TemperatureMissing || issue.code == FindingCode::OutsideTable) {
                    const bool known = f.has(issue.code);
                    auto& d = f.add(issue.code, 53, false, Verdict::Leave, {});
                    speaksFor(d, fmt::format("{}, {}", wordsOf(figures->phase), issue.because));
                    if (!known)
                        d.cause = fmt::format("{} without a usable temperature", wordsOf(figures->phase));
                }

    // Too soon by the rule: the larger of the least wait and twice the response.
    if (c.visit)
        for (const auto& r : c.visit->readings) {
            if (r.phase != c.state->phase || !r.mv || !r.wait_s.has_value())
                continue;
            const auto t90 = r.t90_s.has_value() ? r.t90_s.value : c.state->t90_s;
            const double least = std::max(c.profile->least_wait_s.value, t90 ? c.profile->wait_per_t90.value * *t90 : 0.0);
            if (*r.wait_s >= least)
                continue;
            auto& d = f.add(FindingCode::ReadTooSoon, 120, false, Verdict::Recheck, {});
            speaksFor(d, fmt::format("{} read after {} s; {} s is the least", wordsOfStandard(c, r.standard), fixed(*r.wait_s, 0),
                                     fixed(least, 0)));
            d.cause = "readings taken too soon";
            d.advice = "Read again and wait: one t90 costs 10 % of slope, two cost 1 %.";
        }
    if (auto* d = f.find(FindingCode::ReadTooSoon)) {
        const auto eff = c.state->efficiency_pct;
        d->drives = !c.response.dead && eff && *eff < c.profile->efficiency_maintenance_pct.value;
        if (d->drives)
            d->weight = 212;  // after a slow film, which makes a wait too short
        if (d->cause.empty()) {
            d->cause = "readings taken too soon";
            d->advice = "Read again and wait: one t90 costs 10 % of slope, two cost 1 %.";
        }
        if (c.check && c.check->reread_pct.has_value() && *c.check->reread_pct >= c.number("diagnosis.reread_pct"))
            speaksFor(*d, fmt::format("read again three minutes later it was {} % better", fixed(*c.check->reread_pct)));
    }
    findBottles(c, f);
    findHigh(c, f);
    findTyping(c, f);
    findLabelValues(c, f);
    findStale(c, f);

    // A temperature that was guessed can move the efficiency by several per cent in a cold shop.
    if (c.visit && c.kind == SensorKind::Ph) {
        const bool guessed = std::any_of(c.visit->readings.begin(), c.visit->readings.end(), [&](const Reading& r) {
            return r.phase == c.state->phase && r.temp_source == TemperatureSource::Guessed;
        });
        const auto eff = c.state->efficiency_pct;
        if (guessed && eff && (*eff < c.number("diagnosis.efficiency_low_pct") || *eff > c.profile->efficiency_high_warn_pct.value)) {
            auto& d = f.add(FindingCode::TemperatureIgnored, 130, false, Verdict::Recheck, {});
            speaksFor(d, "the temperature of the standards was guessed");
        }
    }
}

}  // namespace halfcell::core::judging
