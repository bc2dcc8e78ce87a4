#include "core/electrochemistry/reference_electrode.h"
#include "core/quantity/number.h"
#include "core/rules/judging.h"

#include <algorithm>
#include <array>
#include <cmath>

/// ORP: no slope. Both standards off alike point at the reference, a compressed span at a filmed metal.
/// Source: common practice; reference potentials USGS A6.5.
namespace halfcell::core::judging {

namespace {

constexpr std::array<const char*, 4> kFills{"1M KCl", "3M KCl", "3.5M KCl", "sat KCl"};
constexpr std::array kMetalCures{ActionKey::CleanDetergent, ActionKey::CleanAlcohol, ActionKey::CleanAcid, ActionKey::PolishMetal};

void findDeadOrp(const Case& c, Findings& f, double span)
{
    const bool replace = c.wiringChecked && c.history;
    const bool reversed = span < c.number("diagnosis.dead_low_pct");
    auto& d = f.add(reversed ? FindingCode::LeadsReversed : FindingCode::NoResponse, 1000, true,
                    replace ? Verdict::Replace : Verdict::CheckWiring,
                    replace ? std::vector{ActionKey::Replace} : std::vector{ActionKey::DryConnector, ActionKey::Rewire});
    speaksFor(d, fmt::format("span {} % of what the two standards differ by", fixed(span)));
    for (const auto& u : c.state->used)
        speaksFor(d, fmt::format("{} in {}, {} expected", mv(u.e_mv), c.standards->words(u.standard), mv(u.standardValue)));
    if (c.wiringChecked)
        speaksFor(d, "wiring checked since it was first seen, and the readings stay as they are");
    d.cause = reversed ? "leads or sign reversed" : "a short, an open lead or a cap left on";
    d.advice =
        replace ? "The wiring has been checked: it is finished. Replace it." : "Check the wiring once; only then is the sensor finished.";
    const bool nearZero = !c.state->used.empty() && std::all_of(c.state->used.begin(), c.state->used.end(), [&](const UsedReading& u) {
        return std::fabs(u.e_mv) <= c.number("diagnosis.short_mv");
    });
    if (nearZero) {
        auto& s = f.add(FindingCode::ShortCircuit, 940, true, Verdict::CheckWiring, {ActionKey::DryConnector, ActionKey::Rewire});
        speaksFor(s, "zero in every standard, as a shorted input reads");
    }
    if (!reversed) {
        auto& m =
            f.add(FindingCode::MetalFilmed, 500, false, Verdict::Clean, std::vector<ActionKey>(kMetalCures.begin(), kMetalCures.end()));
        speaksFor(m, "a thick film can hide the whole response: look at the metal");
    }
}

/// The offset is what another filling of the reference would give: the table, not the sensor.
std::optional<std::string> fillThatFits(const Case& c, double offset)
{
    std::optional<std::string> found;
    double nearest = c.number("diagnosis.orp_table_mv");
    if (c.state->used.empty())
        return found;
    const Celsius t(c.state->used.front().temp_c);
    const auto own = referencePotential(c.referenceFill, t);
    if (!own)
        return found;
    for (const auto* fill : kFills) {
        if (fill == c.referenceFill)
            continue;
        const auto other = referencePotential(fill, t);
        if (!other)
            continue;
        // read = standard - other, expected = standard - own
        const double explained = own->e.value() - other->e.value();
        if (std::fabs(explained) < c.profile->orp_offset_maintenance_mv.value)
            continue;  // too small to be told from scatter
        if (const double rest = std::fabs(offset - explained); rest <= nearest) {
            nearest = rest;
            found = fill;
        }
    }
    return found;
}

void findOrpReference(const Case& c, Findings& f, double offset)
{
    const auto& s = *c.state;
    double least = HUGE_VAL, most = -HUGE_VAL;
    for (const auto& u : s.used) {
        least = std::min(least, u.residual_mv);
        most = std::max(most, u.residual_mv);
    }
    const bool pair = s.span_pct.has_value();
    const bool alike = pair && most - least <= std::max(c.number("diagnosis.orp_alike_mv"), 0.25 * std::fabs(offset));
    const bool compressed = pair && *s.span_pct < c.profile->orp_span_maintenance_pct.value;
    if (std::fabs(offset) <= c.profile->orp_offset_maintenance_mv.value)
        return;
    const bool refilled = c.done(ActionKey::RefillReference) || c.done(ActionKey::ReplaceBridge);
    const bool canRefill = c.allowed(ActionKey::RefillReference);
    const bool far = std::fabs(offset) > c.profile->orp_offset_use_mv.value;
    const std::size_t row =
        c.running([&](const PhaseFigures& p) { return p.offset_mv && std::fabs(*p.offset_mv) > c.profile->orp_offset_use_mv.value; });
    const bool served = canRefill ? c.doneInRow(ActionKey::RefillReference, row) || c.doneInRow(ActionKey::ReplaceBridge, row)
                                  : c.cleanedInRow(row) || c.doneInRow(ActionKey::Condition, row);
    const bool terminal = c.history && far && row >= 2 && served;
    const bool rising = c.offsetTrend ? *c.offsetTrend > 0 : offset > 0;
    const auto code = c.differential() ? FindingCode::CellContaminated
                      : rising         ? FindingCode::ReferencePoisoned
                                       : FindingCode::ElectrolyteDiluted;
    auto cures = canRefill ? std::vector{ActionKey::RefillReference} : std::vector{ActionKey::CleanThiourea, ActionKey::Condition};
    auto verdict = canRefill ? Verdict::RefillReference : Verdict::Condition;
    if (terminal) {
        cures = {ActionKey::Replace};
        verdict = Verdict::Replace;
    }
    auto& d = f.add(code, compressed && !alike ? 170 : 230, !refilled || terminal, verdict, cures);
    speaksFor(d, fmt::format("offset {}", mv(offset)));
    if (alike)
        speaksFor(d, fmt::format("both standards off alike ({} and {}), span {} %: the reference, not the metal", mv(least), mv(most),
                                 fixed(*s.span_pct, 0)));
    else if (pair)
        speaksAgainst(d, fmt::format("the standards are off by {} and {}", mv(least), mv(most)));
    else
        notMeasured(d, "a second standard: a filmed metal would not show");
    if (c.offsetTrend)
        speaksFor(d, fmt::format("offset moves {} mV a month", formatSigned(*c.offsetTrend, 1)));
    if (refilled)
        speaksAgainst(d, "refilled in this visit; it needs 1 to 24 hours");
    d.cause = "the reference, not the metal";
    d.advice = terminal    ? "Out again after service: replace it."
               : canRefill ? "Refill, then 1 to 24 hours, then check again."
                           : "Sealed: soak it overnight and check again.";

    if (const auto fill = fillThatFits(c, offset); fill && !compressed) {
        const bool fromNew = !c.lastLeftOffset || std::fabs(*c.lastLeftOffset - offset) <= c.number("diagnosis.orp_alike_mv");
        auto& w = f.add(FindingCode::WrongStandard, fromNew ? 260 : 60, fromNew, Verdict::CheckStandards, {});
        speaksFor(w, fmt::format("a reference filled with {} instead of {} would read just that", *fill, c.referenceFill));
        fromNew ? speaksFor(w, c.lastLeftOffset ? "it was so the last time, too" : "it is so from the first reading on")
                : speaksAgainst(w, fmt::format("the last time the offset was {}", mv(*c.lastLeftOffset)));
        w.cause = "the wrong table or filling recorded";
        w.advice = "Compare the filling on the sensor with the one recorded for its model.";
    }
}

void findMetal(const Case& c, Findings& f)
{
    const auto& s = *c.state;
    const bool compressed = s.span_pct && *s.span_pct < c.profile->orp_span_maintenance_pct.value;
    const bool slow = s.t90_s && *s.t90_s > c.number("diagnosis.orp_settle_s");
    const bool coated = c.check && c.check->coating.has_value() && *c.check->coating >= 2;
    const bool recovered = c.asFound && c.asFound != c.state && !compressed && !slow &&
                           ((c.asFound->span_pct && *c.asFound->span_pct < c.profile->orp_span_maintenance_pct.value) ||
                            (c.asFound->t90_s && *c.asFound->t90_s > c.number("diagnosis.orp_settle_s")));
    if (!(compressed || slow || coated || recovered))
        return;
    const bool polished = c.done(ActionKey::PolishMetal);
    if (polished && compressed) {
        const std::size_t row =
            c.running([&](const PhaseFigures& p) { return p.span_pct && *p.span_pct < c.profile->orp_span_use_pct.value; });
        const bool terminal = c.history && row >= 2;  // below the use limit after polishing, twice running
        auto& d = f.add(FindingCode::MetalPoisoned, 240, true, terminal ? Verdict::Replace : Verdict::Condition,
                        terminal ? std::vector{ActionKey::Replace} : std::vector{ActionKey::Condition});
        speaksFor(d, fmt::format("span {} % after polishing", fixed(*s.span_pct)));
        d.cause = "a poisoned or worn metal";
        d.advice = terminal ? "Polished twice and still short: replace it."
                            : "Let it settle in the sample or the standard for some hours, then check again.";
        return;
    }
    std::vector<ActionKey> cures;
    for (const auto a : kMetalCures)
        if (!c.done(a))
            cures.push_back(a);
    const bool acts = compressed || slow;
    auto& d = f.add(FindingCode::MetalFilmed, acts ? 225 : 54, acts, Verdict::Clean, cures);
    if (s.span_pct)
        compressed ? speaksFor(d, fmt::format("span {} %: the two standards read too close together", fixed(*s.span_pct)))
                   : speaksAgainst(d, fmt::format("span {} %", fixed(*s.span_pct)));
    if (s.t90_s)
        slow ? speaksFor(d, fmt::format("settles in {} s: a filmed metal is slow", fixed(*s.t90_s, 0)))
             : speaksAgainst(d, fmt::format("settles in {} s", fixed(*s.t90_s, 0)));
    if (coated)
        speaksFor(d, fmt::format("coating {} of 4", fixed(*c.check->coating, 0)));
    if (recovered && c.asFound->span_pct && s.span_pct)
        speaksFor(d, fmt::format("span {} % as found, {} % after", fixed(*c.asFound->span_pct), fixed(*s.span_pct)));
    d.cause = "a filmed metal";
    d.advice = recovered     ? "Cleaning brought it back."
               : c.cleaned() ? "Polish the metal, then check again."
                             : "Clean the metal, then check again.";
    if (compressed && s.used.size() >= 2) {
        const auto oneRight = std::any_of(s.used.begin(), s.used.end(), [&](const UsedReading& u) {
            return std::fabs(u.residual_mv) <= c.number("diagnosis.orp_alike_mv");
        });
        if (oneRight) {
            auto& stale = f.add(FindingCode::StaleStandard, 130, false, Verdict::CheckStandards, {});
            speaksFor(stale, "one standard reads right, the other does not");
        }
    }
}

/// A lead that opens and closes, or a seal behind the band that lets the solution in: noise, and standards that fail now one way
/// and now another.
void findOrpLeads(const Case& c, Findings& f)
{
    if (!c.check || !c.check->noise_mv.has_value() || *c.check->noise_mv < c.number("diagnosis.noise_mv"))
        return;
    const auto& s = *c.state;
    const double alike = c.number("diagnosis.orp_alike_mv");
    double least = HUGE_VAL, most = -HUGE_VAL, again = 0.0;
    for (const auto& u : s.used) {
        least = std::min(least, u.residual_mv);
        most = std::max(most, u.residual_mv);
        for (const auto& other : s.used)
            if (other.standard == u.standard)
                again = std::max(again, std::fabs(other.e_mv - u.e_mv));
    }
    const bool erratic = again > alike || (least < -alike && most > alike);
    const bool out = (s.offset_mv && std::fabs(*s.offset_mv) > c.profile->orp_offset_maintenance_mv.value) ||
                     (s.span_pct && *s.span_pct < c.profile->orp_span_maintenance_pct.value);
    const bool hand = *c.check->noise_mv >= c.number("diagnosis.noise_open_mv");
    if (!(erratic || (hand && out)))
        return;
    const bool replace = c.wiringChecked && c.history;
    auto& d = f.add(FindingCode::OpenCircuit, 700, true, replace ? Verdict::Replace : Verdict::CheckWiring,
                    replace ? std::vector{ActionKey::Replace} : std::vector{ActionKey::DryConnector, ActionKey::Rewire});
    speaksFor(d, fmt::format("moves by {} mV with the hand or the cable", fixed(*c.check->noise_mv, 0)));
    if (again > alike)
        speaksFor(d, fmt::format("the same standard reads {} mV apart", fixed(again, 0)));
    else if (erratic)
        speaksFor(d, fmt::format("one standard reads {} high, the other {} low: no film and no reference does that", mv(most), mv(-least)));
    if (replace)
        speaksFor(d, "wiring checked since it was first seen, and the readings stay as they are");
    d.cause = replace ? "a cracked seal behind the metal" : "an open lead, or a cracked seal behind the metal";
    d.advice = replace ? "The wiring has been checked: the seal behind the metal leaks. Replace it."
                       : "Check the wiring once; if it stays, the seal behind the metal is cracked and the sensor is finished.";
}

/// Platinum catalyses in cyanide and reads high and slow there; gold is eaten by strong chlorine with chloride.
void findWrongMetal(const Case& c, Findings& f)
{
    if (!wrongMetal(c))
        return;
    const auto& s = *c.state;
    const bool platinum = c.model.sensing == Sensing::Platinum;
    const bool slow = s.t90_s && *s.t90_s > c.number("diagnosis.orp_settle_s");
    const bool off = s.offset_mv && std::fabs(*s.offset_mv) > c.profile->orp_offset_maintenance_mv.value;
    const bool compressed = s.span_pct && *s.span_pct < c.profile->orp_span_maintenance_pct.value;
    const bool remembers = c.check && c.check->hysteresis_mv.has_value() && *c.check->hysteresis_mv > c.number("diagnosis.orp_alike_mv");
    if (!(slow || off || compressed || remembers))
        return;
    auto& d = f.add(FindingCode::MetalPoisoned, 66, false, Verdict::Clean, {ActionKey::PolishMetal, ActionKey::Condition});
    speaksFor(d, platinum ? "platinum in cyanide: it catalyses there, reads high and slow"
                          : "gold in strong chlorine with chloride: bright, but it is eaten away");
    if (off)
        speaksFor(d, fmt::format("offset {}", mv(*s.offset_mv)));
    if (slow)
        speaksFor(d, fmt::format("settles in {} s", fixed(*s.t90_s, 0)));
    if (compressed)
        speaksFor(d, fmt::format("span {} %", fixed(*s.span_pct, 0)));
    if (remembers)
        speaksFor(d, fmt::format("{} mV apart after another solution", fixed(*c.check->hysteresis_mv, 0)));
    d.cause = "the wrong metal for this process";
    d.advice = platinum ? "Order gold for the cyanide stage next time." : "Order platinum for this process next time.";
}

}  // namespace

bool wrongMetal(const Case& c)
{
    if (c.kind != SensorKind::Orp || !c.point)
        return false;
    const auto holds = [&](std::string_view hazard) {
        return std::find(c.point->hazards.begin(), c.point->hazards.end(), hazard) != c.point->hazards.end();
    };
    return (c.model.sensing == Sensing::Platinum && holds("cyanide")) ||
           (c.model.sensing == Sensing::Gold && (holds("hypochlorite") || c.application() == "bleach"));
}

void findOrp(const Case& c, Findings& f)
{
    if (c.kind != SensorKind::Orp)
        return;
    if (c.state->span_pct && *c.state->span_pct < c.profile->orp_span_failure_pct.value) {
        findDeadOrp(c, f, *c.state->span_pct);
        return;
    }
    if (c.state->offset_mv)
        findOrpReference(c, f, *c.state->offset_mv);
    findMetal(c, f);
    findOrpLeads(c, f);
    findWrongMetal(c, f);
    if (!c.state->span_pct && c.state->offset_mv && !c.state->legacy) {
        auto& d = f.add(FindingCode::TooFewReadings, 52, false, Verdict::Leave, {});
        d.drives = false;
        speaksFor(d, "one standard alone: offset only; a filmed metal would not show");
        d.cause = "one standard alone";
    }
}

}  // namespace halfcell::core::judging
