#include "core/rules/judging.h"

#include <algorithm>
#include <cmath>

/// No response, reversed response, shorted and open leads: dangerous to miss, so they come before anything else.
/// Source: common practice ("same reading in all standards: check the wiring once, then the sensor is finished"); decision
/// rules D1, D2 and D6.
namespace halfcell::core::judging {

namespace {

void wiring(const Case& c, Draft& d)
{
    if (c.wiringChecked)
        speaksFor(d, "wiring checked since it was first seen, and the readings stay as they are");
}

std::vector<ActionKey> curesOfDead(const Case& c)
{
    return c.wiringChecked && c.history ? std::vector{ActionKey::Replace} : std::vector{ActionKey::DryConnector, ActionKey::Rewire};
}

void findDead(const Case& c, Findings& f)
{
    const auto verdict = c.wiringChecked && c.history ? Verdict::Replace : Verdict::CheckWiring;
    auto& none = f.add(FindingCode::NoResponse, 1000, true, verdict, curesOfDead(c));
    speaksFor(none, c.response.text.find("written") != std::string::npos
                        ? c.response.text
                        : fmt::format("{}: {} mV apart, {} % of what the standards differ by", c.response.text,
                                      fixed(c.response.apart_mv, 0), fixed(c.response.pct)));
    if (c.state->offset_mv && std::fabs(*c.state->offset_mv) <= c.profile->offset_maintenance_mv.value)
        speaksFor(none,
                  fmt::format("the offset of {} looks good and means nothing: a sensor that does not respond reads near zero anywhere",
                              mv(*c.state->offset_mv)));
    wiring(c, none);
    none.cause = "cap or film left on, a bubble, not waited, a wiring fault or broken glass";
    none.advice =
        verdict == Verdict::Replace
            ? "The wiring has been checked: it is finished. Replace it."
            : "Look at the cap and the bulb, read again after 3 minutes, then check the wiring once; only then is the sensor finished.";

    double least = HUGE_VAL, most = -HUGE_VAL;
    for (const auto& d : c.dips) {
        least = std::min(least, d.mv);
        most = std::max(most, d.mv);
    }
    const bool nearZero = !c.dips.empty() && std::max(std::fabs(least), std::fabs(most)) <= c.number("diagnosis.short_mv");
    const bool shortSeen = (c.check && c.check->short_open == Comparison::Changes) || nearZero;
    const bool cableChanges = c.check && c.check->cable == Comparison::Changes;
    // D1: with nothing seen that tells them apart, a short, an open lead and a shunt stand beside broken glass as possible.
    {
        auto& d = f.add(FindingCode::ShortCircuit, shortSeen || cableChanges ? 940 : 880, shortSeen || cableChanges, Verdict::CheckWiring,
                        {ActionKey::DryConnector, ActionKey::Rewire});
        if (nearZero)
            speaksFor(
                d, fmt::format("zero within {} mV in every standard, as a shorted input reads", fixed(c.number("diagnosis.short_mv"), 0)));
        if (cableChanges)
            speaksFor(d, "another or a dried cable changes the reading");
        if (c.check && c.check->short_open == Comparison::Changes)
            speaksFor(d, "a shorting plug at the input does not read steady zero");
    }
    const std::string alike = "hardly moves between standards, which this gives as well";
    if (auto* d = f.find(FindingCode::ShortCircuit); !shortSeen && !cableChanges)
        speaksFor(*d, alike);
    auto& open = f.add(FindingCode::OpenCircuit, 875, false, Verdict::CheckWiring, {ActionKey::DryConnector, ActionKey::Rewire});
    speaksFor(open, alike);
    if (c.glass())
        speaksFor(f.add(FindingCode::GlassShunted, 870, false, Verdict::CheckWiring, {ActionKey::DryConnector}), alike);
    if (c.response.pct < c.number("diagnosis.backwards_pct")) {
        auto& turned = f.add(FindingCode::LeadsReversed, 885, false, Verdict::CheckWiring, {ActionKey::Rewire});
        speaksFor(turned, fmt::format("millivolts rise with pH, they should fall ({} %)", fixed(c.response.pct)));
    }
    const bool glassLow =
        c.glass25 && (c.glassRatio ? *c.glassRatio < c.number("diagnosis.glass_low_ratio") : *c.glass25 < c.profile->glass_low_mohm.value);
    if (c.glass() && !nearZero) {
        auto& d = f.add(FindingCode::GlassBroken, glassLow ? 980 : 930, true, verdict, curesOfDead(c));
        if (c.glass25) {
            const auto text = fmt::format("glass resistance {} MOhm at 25 degC", fixed(*c.glass25));
            glassLow ? speaksFor(d, text + ": too low for whole glass") : speaksAgainst(d, text);
        }
        if (!c.dips.empty())
            speaksFor(d, "much the same millivolts in every standard");
        wiring(c, d);
        d.cause = "broken glass";
    }
    if (c.state->least_wait_ratio && *c.state->least_wait_ratio < 1.0) {
        auto& d = f.add(FindingCode::ReadTooSoon, 900, false, Verdict::Recheck, {});
        speaksFor(d, fmt::format("read after {} of the response time", fixed(*c.state->least_wait_ratio, 2)));
    }
    if (c.slow || (c.check && c.check->coating.has_value() && *c.check->coating >= 2)) {
        auto& d = f.add(FindingCode::FilmScale, 890, false, Verdict::Clean, {ActionKey::CleanDetergent});
        speaksFor(d, "a thick film can hide the whole response: look at the glass");
    }
}

void findReversed(const Case& c, Findings& f)
{
    const bool replace = c.wiringChecked && c.history;
    auto& d = f.add(FindingCode::LeadsReversed, 1000, true, replace ? Verdict::Replace : Verdict::CheckWiring,
                    replace ? std::vector{ActionKey::Replace} : std::vector{ActionKey::Rewire});
    speaksFor(d, c.response.text.find("written") != std::string::npos
                     ? c.response.text
                     : fmt::format("{}: millivolts rise with pH, they should fall ({} %)", c.response.text, fixed(c.response.pct)));
    wiring(c, d);
    d.cause = "leads or sign reversed";
    d.advice = replace ? "The wiring has been checked and it still reads the wrong way round: replace it."
                       : "Check the leads and the sign setting once; a sensor is replaced only after that.";
}

}  // namespace

void findResponse(const Case& c, Findings& f)
{
    if (c.kind != SensorKind::Ph)
        return;
    if (c.response.dead)
        findDead(c, f);
    else if (c.response.reversed)
        findReversed(c, f);

    // D6: off scale, never settled, or hand-sensitive together with readings that cannot be.
    bool offScale = false;
    std::size_t unsettled = 0, told = 0;
    for (const auto& d : c.dips) {
        offScale = offScale || std::fabs(d.mv) > c.number("diagnosis.open_mv");
        if (const auto* r = readingAt(c.visit, d.index); r && r->settled) {
            ++told;
            unsettled += *r->settled ? 0 : 1;
        }
    }
    const bool never = told > 0 && unsettled == told && told == c.dips.size();
    const bool noisy = c.check && c.check->noise_mv.has_value() && *c.check->noise_mv >= c.number("diagnosis.noise_open_mv");
    const bool odd = c.response.dead ||
                     (c.state->efficiency_pct && (*c.state->efficiency_pct < c.profile->efficiency_maintenance_pct.value ||
                                                  *c.state->efficiency_pct > c.profile->efficiency_high_warn_pct.value)) ||
                     (c.state->offset_mv && std::fabs(*c.state->offset_mv) > c.number("diagnosis.offset_poisoned_mv"));
    if (offScale || never || (noisy && odd)) {
        auto& d =
            f.add(FindingCode::OpenCircuit, offScale ? 960 : 700, true, Verdict::CheckWiring, {ActionKey::DryConnector, ActionKey::Rewire});
        if (offScale)
            speaksFor(d, fmt::format("a reading beyond {} mV: no standard gives that", fixed(c.number("diagnosis.open_mv"), 0)));
        if (never)
            speaksFor(d, "no reading settled");
        if (noisy)
            speaksFor(d, fmt::format("moves by {} mV with the hand or the cable", fixed(*c.check->noise_mv, 0)));
        d.cause = "an open lead or a dry reference";
        d.advice = "Check leads, connector and electrolyte.";
    }

    // As found it did not respond, as left it does: say what changed.
    if (c.asFound && c.asFound != c.state && c.visit && !c.response.dead && !c.response.reversed) {
        const auto found = responseOf(dipsOf(*c.visit, c.asFound->phase, *c.standards), c.asFound->efficiency_pct, *c.rules, *c.standards);
        if (found.dead || found.reversed) {
            const bool dried = c.done(ActionKey::DryConnector) || c.done(ActionKey::Rewire);
            const auto code = found.reversed ? FindingCode::LeadsReversed : dried ? FindingCode::GlassShunted : FindingCode::NoResponse;
            auto& d = f.add(code, 60, false, Verdict::Leave, {});
            speaksFor(d, fmt::format("as found {}: {} %", found.text, fixed(found.pct)));
            if (c.state->efficiency_pct)
                speaksAgainst(d, fmt::format("as {} it responds: {} %", c.state->phase == Phase::AsLeft ? "left" : "cleaned",
                                             fixed(*c.state->efficiency_pct)));
            d.cause = dried ? "a wet connector or a bad lead, cured" : "as found it did not respond";
        }
    }
}

}  // namespace halfcell::core::judging
