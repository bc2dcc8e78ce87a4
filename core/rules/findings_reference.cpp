#include "core/quantity/number.h"
#include "core/rules/judging.h"

#include <algorithm>
#include <cmath>

/// The reference half: contaminated, diluted, poisoned, clogged and blocked.
/// Source: common practice; "falling efficiency points first at a contaminated reference solution; a clogged bridge slows the
/// response and seldom lowers efficiency". Direction of the offset's drift: chloride leaching lowers it, sulfide or cyanide at
/// the silver raises it (electrode equation).
namespace halfcell::core::judging {

namespace {

constexpr double kBridgeYearDays = 365.0;

std::string trendWords(double trend)
{
    return fmt::format("offset moves {} mV a month", formatSigned(trend, 1));
}

bool refillAllowed(const Case& c)
{
    return c.allowed(ActionKey::RefillReference);
}

std::optional<double> bridgeDays(const Case& c)
{
    std::optional<Instant> since = c.lastDone(ActionKey::ReplaceBridge);
    if (c.history)
        for (const auto* part : c.history->parts)
            if (part->part == Part::Bridge && part->from <= c.when && (!since || part->from > *since))
                since = part->from;
    return since ? std::optional(daysBetween(*since, c.when)) : std::nullopt;
}

/// Efficiency is low and nothing quicker explains it: the reference solution is the first suspect.
void findContaminated(const Case& c, Findings& f)
{
    const auto eff = c.state->efficiency_pct;
    const bool low = eff && *eff < c.profile->efficiency_maintenance_pct.value;
    const double offset = c.state->offset_mv.value_or(0.0);
    const bool offsetOut = c.state->offset_mv && std::fabs(offset) > c.profile->offset_maintenance_mv.value;
    if (c.response.dead || c.response.reversed || !(low || (c.differential() && (offsetOut || c.dropPct))))
        return;
    const bool refilled = c.done(ActionKey::RefillReference) || c.done(ActionKey::ReplaceBridge);
    if (c.differential()) {
        const auto age = bridgeDays(c);
        const bool bridgeToo = (age && *age >= kBridgeYearDays) || (c.slow && c.cleaned());
        const bool drives = !refilled && (low || offsetOut);
        auto& d =
            f.add(FindingCode::CellContaminated, drives ? 210 : 90, drives, bridgeToo ? Verdict::ReplaceBridge : Verdict::RefillReference,
                  bridgeToo ? std::vector{ActionKey::ReplaceBridge} : std::vector{ActionKey::RefillReference, ActionKey::ReplaceBridge});
        if (low)
            speaksFor(d,
                      fmt::format("efficiency {} %: a falling efficiency points first at the cell solution in this design", fixed(*eff)));
        else if (c.dropPct)
            speaksFor(d, fmt::format("efficiency {} % below its last as left", fixed(*c.dropPct)));
        if (offsetOut)
            speaksFor(d, fmt::format("offset {}", mv(offset)));
        if (age)
            speaksFor(d, fmt::format("bridge and cell solution {} days old", fixed(*age, 0)));
        if (c.state->t90_s && !c.slow)
            speaksAgainst(d, fmt::format("bridge: the response is quick (t90 {} s)", fixed(*c.state->t90_s, 0)));
        if (refilled)
            speaksAgainst(d, "fresh cell solution in this visit did not change it");
        d.cause = "contaminated cell solution";
        d.advice = bridgeToo ? "Replace the bridge with fresh cell solution, let it settle 1 to 4 hours, read again."
                             : "Refill with fresh cell solution, read again, and only then look further.";
        return;
    }
    if (!low)
        return;
    const bool drives = !refilled && refillAllowed(c) && c.model.reference;
    auto& d = f.add(FindingCode::ReferencePoisoned, drives ? 150 : 80, drives, Verdict::RefillReference, {ActionKey::RefillReference});
    speaksFor(d, fmt::format("efficiency {} %: contaminated reference solution is the first suspect (common practice)", fixed(*eff)));
    if (c.state->offset_mv && std::fabs(offset) <= c.number("diagnosis.offset_notable_mv"))
        speaksAgainst(d, fmt::format("offset {} is in order", mv(offset)));
    if (refilled)
        speaksAgainst(d, "refilled in this visit, and it did not change");
    if (!refillAllowed(c))
        notPossible(d, c.rules->allows(c.model, ActionKey::RefillReference).why);
    d.cause = "contaminated reference solution";
    d.advice = refillAllowed(c) ? "Refill the reference and read again." : "Sealed: it cannot be refilled.";
}

void findOffset(const Case& c, Findings& f)
{
    if (!c.state->offset_mv || c.response.dead || c.differential())
        return;
    const double offset = *c.state->offset_mv;
    const double limit = c.kind == SensorKind::Orp ? c.profile->orp_offset_maintenance_mv.value : c.profile->offset_maintenance_mv.value;
    const bool out = std::fabs(offset) > limit;
    const double trend = c.offsetTrend.value_or(0.0);
    const bool falling = c.offsetTrend && trend <= c.number("diagnosis.trend_falling_mv_month");
    const bool rising = c.offsetTrend && trend >= c.number("diagnosis.trend_rising_mv_month");
    const double notable = c.number("diagnosis.offset_notable_mv"), poisoned = c.number("diagnosis.offset_poisoned_mv");
    const auto good = [&](Draft& d) {
        if (c.state->efficiency_pct && *c.state->efficiency_pct >= c.profile->efficiency_maintenance_pct.value)
            speaksFor(
                d, fmt::format(
                       "efficiency {} % is good: a large offset with a good slope points at the reference, and the slope does not save it",
                       fixed(*c.state->efficiency_pct)));
    };
    const bool refilled = c.done(ActionKey::RefillReference);

    if (offset < 0 && (out || (falling && offset < -notable))) {
        const std::size_t row = c.running([&](const PhaseFigures& p) { return p.offset_mv && *p.offset_mv < -limit; });
        const bool terminal = c.history && out && row >= 2 &&
                              (refillAllowed(c) ? c.doneInRow(ActionKey::RefillReference, row) : c.cleanedInRow(row)) &&
                              std::fabs(offset) > poisoned;
        const bool drives = terminal || (refillAllowed(c) ? !refilled : out);
        auto cures = refillAllowed(c) ? std::vector{ActionKey::RefillReference} : std::vector{ActionKey::Condition, ActionKey::Standardise};
        if (terminal)
            cures = {ActionKey::Replace};
        auto& d = f.add(FindingCode::ElectrolyteDiluted, out ? 180 : 95, drives,
                        terminal           ? Verdict::Replace
                        : refillAllowed(c) ? Verdict::RefillReference
                                           : Verdict::Condition,
                        cures);
        speaksFor(d, fmt::format("offset {}", mv(offset)));
        if (falling)
            speaksFor(d, trendWords(trend) + ": chloride is leaching out");
        else if (!c.offsetTrend)
            notMeasured(d, "the offset's trend: too few as-left readings");
        good(d);
        if (refilled)
            speaksAgainst(d, "refilled in this visit; it needs 1 to 24 hours");
        d.cause = "diluted electrolyte";
        d.advice = terminal           ? "It came back after service: replace it."
                   : refillAllowed(c) ? "Refill the reference; it settles in 1 to 24 hours."
                                      : "Sealed: soak it overnight and read again; beyond 60 mV plan its replacement.";
    } else if (falling && offset < -0.5 * notable) {
        auto& d = f.add(FindingCode::ElectrolyteDiluted, 48, false, Verdict::RefillReference, {ActionKey::RefillReference});
        speaksFor(d, trendWords(trend) + ": chloride is leaching out");
        speaksAgainst(d, fmt::format("offset {} is still inside", mv(offset)));
    }
    if (offset > 0 && (out || offset > poisoned || (rising && offset > notable))) {
        const bool consumed = offset > poisoned;
        const std::size_t row = c.running([&](const PhaseFigures& p) { return p.offset_mv && *p.offset_mv > std::min(limit, poisoned); });
        const bool served =
            refillAllowed(c) ? c.doneInRow(ActionKey::RefillReference, row) : c.cleanedInRow(row) || c.doneInRow(ActionKey::Condition, row);
        const bool terminal = c.history && consumed && row >= 2 && served;
        std::vector<ActionKey> cures{ActionKey::CleanThiourea, ActionKey::RefillReference, ActionKey::Condition};
        auto verdict = refillAllowed(c)                      ? Verdict::RefillReference
                       : c.allowed(ActionKey::CleanThiourea) ? Verdict::Clean
                                                             : Verdict::Condition;
        if (terminal) {
            cures = {ActionKey::Replace};
            verdict = Verdict::Replace;
        }
        auto& d = f.add(FindingCode::ReferencePoisoned, out ? 185 : 96, out || (rising && !refilled && refillAllowed(c)), verdict, cures);
        speaksFor(d, fmt::format("offset {}", mv(offset)));
        if (rising)
            speaksFor(d, trendWords(trend) + ": something reaches the silver");
        else if (!c.offsetTrend)
            notMeasured(d, "the offset's trend: too few as-left readings");
        if (c.point)
            for (const auto& h : c.point->hazards)
                if (h == "sulfide" || h == "cyanide")
                    speaksFor(d, fmt::format("{} in the process", h));
        good(d);
        d.cause = "a poisoned reference";
        d.advice = terminal           ? "It came back after service: the silver is used up. Replace it; a good slope does not save it."
                   : refillAllowed(c) ? "Clear the silver sulfide and refill the outer chamber twice; watch the offset."
                                      : "Sealed: one attempt to clear the junction, then plan its replacement.";
    }
    if (c.visit && c.state->phase != Phase::AsFound && (f.has(FindingCode::ReferencePoisoned) || f.has(FindingCode::ElectrolyteDiluted)))
        for (const auto& a : c.visit->actions) {
            const auto holds = c.rules->holds(a.action, a.agent ? *a.agent : std::string());
            if (std::find(holds.begin(), holds.end(), "acid") == holds.end())
                continue;
            for (const auto code : {FindingCode::ReferencePoisoned, FindingCode::ElectrolyteDiluted})
                if (auto* d = f.find(code))
                    speaksAgainst(*d, "acid in this visit: the offset wanders for hours");
            break;
        }
}

void findJunction(const Case& c, Findings& f)
{
    const Check* k = c.check;
    const bool measured = k && k->reference_kohm.has_value() && c.rules->allowsTest(c.model, "reference_resistance");
    const double r = measured ? *k->reference_kohm : 0.0;
    const bool high = measured && r > c.profile->reference_kohm.value;
    const bool blocked = measured && r > c.number("diagnosis.reference_blocked_kohm");
    const bool dilution =
        k && k->dilution_ph.has_value() &&
        std::fabs(*k->dilution_ph - c.number("diagnosis.dilution_ph")) > c.number("diagnosis.dilution_tolerance_ph") + 1e-9;
    const bool stir = k && k->stir_ph.has_value() && std::fabs(*k->stir_ph) >= c.number("diagnosis.stir_ph");
    const bool slowAfterClean = c.slow && c.cleaned();
    const bool tooSlow = slowAfterClean && *c.state->t90_s > c.profile->t90_maintenance_s.value;
    const bool low =
        c.kind == SensorKind::Ph && c.state->efficiency_pct && *c.state->efficiency_pct < c.profile->efficiency_maintenance_pct.value;
    if (!(high || dilution || stir || slowAfterClean))
        return;
    const int signs = (high ? 1 : 0) + (dilution ? 1 : 0) + (stir ? 1 : 0) + (slowAfterClean ? 1 : 0);
    std::vector<ActionKey> cures;
    Verdict verdict = Verdict::Clean;
    FindingCode code = FindingCode::JunctionClogged;
    bool tried = false;
    if (c.differential()) {
        code = FindingCode::BridgeExhausted;
        cures = {ActionKey::ReplaceBridge};
        verdict = Verdict::ReplaceBridge;
        tried = c.done(ActionKey::ReplaceBridge);
    } else {
        if (blocked)
            code = FindingCode::JunctionBlocked;
        using enum ActionKey;
        for (const auto a : {ClearJunction, ScrapeJunction, CleanAcid, RefillReference})
            if (c.allowed(a) && !c.done(a))
                cures.push_back(a);
        if (blocked && c.allowed(RefillReference) && !c.done(RefillReference)) {
            cures.insert(cures.begin(), RefillReference);
            verdict = Verdict::RefillReference;
        } else if (cures.empty()) {
            cures = {Condition};
            verdict = Verdict::Condition;
            tried = c.done(Condition);
        }
    }
    // Terminal: the reference resistance is above its limit on two visits running, the junction having been cleared.
    bool terminal = false;
    if (high && c.history && !c.differential() && !c.past.empty()) {
        const auto* before = c.past.back()->visit;
        const bool twice = before && std::any_of(before->checks.begin(), before->checks.end(), [&](const Check& x) {
                               return x.reference_kohm.has_value() && *x.reference_kohm > c.profile->reference_kohm.value;
                           });
        terminal = twice && blocked && c.doneInRow(ActionKey::ClearJunction, 2) && !c.allowed(ActionKey::RefillReference);
    }
    if (terminal) {
        verdict = Verdict::Replace;
        cures = {ActionKey::Replace};
    }
    const bool drives = !tried && (high || (signs >= 2 && (dilution || stir)) || tooSlow);
    auto& d = f.add(code, terminal ? 310 : high ? 170 : low ? 95 : 105, drives || terminal, verdict, cures);
    if (measured) {
        auto text = fmt::format("reference resistance {} kOhm", fixed(r, 0));
        if (c.firstReference && k && *c.firstReference != r)
            text += fmt::format(", its first was {}", fixed(*c.firstReference));
        high ? speaksFor(d, text + fmt::format(" (limit {})", fixed(c.profile->reference_kohm.value, 0))) : speaksAgainst(d, text);
    }
    if (k && k->dilution_ph.has_value()) {
        const auto text = fmt::format("diluted standard reads pH {}, {} is right", fixed(*k->dilution_ph, 2),
                                      fixed(c.number("diagnosis.dilution_ph"), 2));
        dilution ? speaksFor(d, text) : speaksAgainst(d, text);
    }
    if (k && k->stir_ph.has_value()) {
        const auto text = fmt::format("stirred and still differ by {} pH", fixed(*k->stir_ph, 2));
        stir ? speaksFor(d, text) : speaksAgainst(d, text);
    }
    if (slowAfterClean)
        speaksFor(d, fmt::format("t90 {} s after cleaning: a clogged {} slows the response", fixed(*c.state->t90_s, 0),
                                 c.differential() ? "bridge" : "junction"));
    if (low)
        speaksAgainst(d, "a clogged junction seldom lowers the efficiency");
    d.cause = c.differential() ? "an exhausted bridge" : blocked ? "a blocked or dry junction" : "a clogged junction";
    d.advice = terminal                              ? "Cleared twice and still blocked in a sealed body: replace it."
               : verdict == Verdict::ReplaceBridge   ? "Replace the bridge, always with fresh cell solution."
               : verdict == Verdict::RefillReference ? "Refill, then soak overnight in 3 M KCl."
                                                     : "Clear the junction, condition an hour, read again.";
}

}  // namespace

void findReference(const Case& c, Findings& f)
{
    if (c.kind == SensorKind::Ph)
        findContaminated(c, f);
    if (c.kind == SensorKind::Ph)
        findOffset(c, f);
    findJunction(c, f);
}

}  // namespace halfcell::core::judging
