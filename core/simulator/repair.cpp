#include "core/simulator/repair.h"

#include "core/simulator/calendar.h"
#include "core/simulator/treatment.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace halfcell::core::simulation {
namespace {

void confirm(VisitDraft& draft, FindingCode code, std::string_view how, Generator& people)
{
    if (!people.chance(0.75))
        return;
    draft.visit.confirmed_cause = std::string(keyOf(code));
    if (people.chance(0.8))
        draft.visit.confirmed_how = std::string(how);
}

/// Rereads after a cure.
Observed reread(VisitDraft& draft)
{
    return draft.read(Phase::AfterClean, draft.standards(false), 0.25);
}

}  // namespace

bool mendFault(Workshop& shop, Round& round, VisitDraft& draft, std::size_t point, const Observed& found, Observed& last)
{
    Generator& people = shop.people;
    Probe& p = draft.probe();
    State& s = p.state;
    const Instant when = draft.now();
    const auto scrapIt = [&](RemovalReason reason) {
        draft.act(ActionKey::Replace, 15);
        shop.take(point, kScrap, draft.now(), reason);
        return true;
    };
    switch (s.fault) {
    case Fault::Broken:
        draft.check().short_open = Comparison::Same;
        if (people.chance(0.6))
            draft.check().cable = Comparison::Same;
        draft.passMinutes(12);
        confirm(draft, FindingCode::GlassBroken, "crack seen in the bulb", people);
        draft.remark(people.chance(0.5) ? "bulb cracked" : "tip gone");
        return scrapIt(RemovalReason::Broken);
    case Fault::Reversed:
        draft.check().cable = Comparison::Changes;
        draft.act(ActionKey::Rewire, 15);
        s.fault = Fault::None;
        last = reread(draft);
        confirm(draft, FindingCode::LeadsReversed, "leads were crossed at the terminal", people);
        return false;
    case Fault::Short:
    case Fault::Open: {
        const bool isShort = s.fault == Fault::Short;
        draft.check().short_open = people.chance(0.8) ? Comparison::Same : Comparison::NotPossible;
        draft.check().cable = Comparison::Changes;
        draft.passMinutes(15);
        confirm(draft, isShort ? FindingCode::ShortCircuit : FindingCode::OpenCircuit, "good on the spare cable", people);
        if (people.chance(0.55) || shop.readySpare(point) < 0) {
            draft.act(ActionKey::Rewire, 25);
            shop.newPart(draft.recorded(), Part::Cable, when, Text{});
            s.fault = Fault::None;
            last = reread(draft);
            return false;
        }
        return scrapIt(RemovalReason::Cable);
    }
    case Fault::TemperatureElement:
        if (!people.chance(0.7))
            return false;
        draft.check().thermometer_off_k = roundTo(s.thermometerOff + people.normal(0.0, 0.4), 0.1);
        confirm(draft, FindingCode::TemperatureElement, "off against the thermometer in the same beaker", people);
        if (shop.readySpare(point) < 0)
            return false;
        return scrapIt(RemovalReason::TemperatureElement);
    case Fault::None: break;
    }
    if (s.leakMohm > 0.0) {
        draft.check().cable = Comparison::Changes;
        draft.act(ActionKey::DryConnector, 25, "isopropyl alcohol, warm air");
        const bool cured = people.chance(0.85);
        if (cured)
            s.leakMohm = 0.0;
        last = reread(draft);
        if (cured) {
            confirm(draft, FindingCode::GlassShunted, "full span after drying the plug", people);
            draft.remark("water in the plug");
        } else if (shop.readySpare(point) >= 0) {
            return scrapIt(RemovalReason::Wet);
        }
        return false;
    }
    if (s.groundMv != 0.0 && people.chance(0.5))
        draft.check().earth_wire = Comparison::Changes;
    if (found.efficiency && people.chance(0.35)) {
        draft.check().second_bottle =
            round.mixedUp || (round.deadBottle && draft.point() && draft.point()->ph > 7.0) ? Comparison::Changes : Comparison::Same;
        draft.passMinutes(5);
    }
    if (found.efficiency && people.chance(0.3)) {
        // What three minutes more bring: what the first reading lacked of its end, and scatter.
        constexpr double kWaited_s = 90.0;
        const double lacked = found.response ? *found.efficiency * std::pow(10.0, -kWaited_s / *found.response) : 0.0;
        draft.check().reread_pct = roundTo(lacked + people.normal(0.0, 0.8), 0.1);
        draft.passMinutes(3);
    }
    return false;
}

bool renewParts(Workshop& shop, Round& round, VisitDraft& draft, const Observed& found, const Observed& last, bool wasDry)
{
    Generator& random = shop.technical;
    Probe& p = draft.probe();
    Probe& r = draft.recorded();
    State& s = p.state;
    const ModelSpec& model = draft.model();
    const double offset = last.offset.value_or(found.offset.value_or(0.0)) - p.baselineOffset.value_or(0.0);
    const bool knowsOffset = last.offset || found.offset;
    bool done = false;

    if (wasDry && isGlass(model.sensing) && (!found.response || *found.response > 40.0 || random.chance(0.5))) {
        draft.act(ActionKey::Rehydrate, 5, "pH 4 and KCl").elapsed_minutes = roundTo(random.uniform(180.0, 300.0), 10.0);
        rehydrate(s, random);
        rehydrate(s, random);
        draft.passMinutes(110);
        done = true;
    }
    if (isDifferential(model.reference)) {
        const std::int64_t age = round.day - r.lastBridge;
        const bool tired = (last.efficiency && *last.efficiency < 88.0 && s.chloride > 0.3) || (knowsOffset && std::abs(offset) > 30.0);
        if ((age >= 350 && random.chance(age > 400 ? 0.6 : 0.25)) || (tired && age > 200)) {
            draft.act(ActionKey::ReplaceBridge, 25).elapsed_minutes = 120.0;
            const std::string lot = fmt::format("BR-{:03}", 160 + (round.day - shop.startDay) / 9);
            draft.visit.actions.back().part_lot = lot;
            renewBridge(s, random);
            draft.passMinutes(10);
            shop.newPart(r, Part::Bridge, draft.now(), lot);
            shop.newPart(r, Part::CellSolution, draft.now(), Text{});
            if (random.chance(0.6))
                shop.newPart(r, Part::ORing, draft.now(), Text{});
            r.lastBridge = round.day;
            return true;
        }
        if (tired && round.day - std::max(r.lastRefill, r.lastBridge) >= 42) {
            draft.act(ActionKey::RefillReference, 12, "cell solution");
            refill(s, model);
            r.lastRefill = round.day;
            shop.newPart(r, Part::CellSolution, draft.now(), Text{});
            return true;
        }
        return done;
    }
    if (isRefillable(model.reference)) {
        const std::int64_t since = round.day - r.lastRefill;
        const std::int64_t usual = model.reference == ReferenceDesign::LiquidRefillable ? 35 : 84;
        if (since >= usual || (knowsOffset && std::abs(offset) > 25.0)) {
            draft.act(ActionKey::RefillReference, 12, model.fill);
            refill(s, model);
            shop.newPart(r, Part::Electrolyte, draft.now(), Text{});
            r.lastRefill = round.day;
            done = true;
        }
    }
    const bool thioureaFits = model.reference == ReferenceDesign::SingleGel || model.reference == ReferenceDesign::DoubleGel ||
                              model.reference == ReferenceDesign::DoubleRefillable || model.reference == ReferenceDesign::LiquidRefillable;
    if (knowsOffset && offset > 35.0 && thioureaFits && draft.point() && !draft.point()->cyanide && random.chance(0.5)) {
        draft.act(ActionKey::CleanThiourea, 30, "thiourea in HCl", "0.1 M");
        cleanWith(s, model, ActionKey::CleanThiourea, true, random);
        done = true;
    }
    const bool tiredGlass = isGlass(model.sensing) && model.sensing != Sensing::HfResistant && last.response && *last.response > 75.0 &&
                            (!last.efficiency || *last.efficiency > 80.0);
    if (tiredGlass && s.regenerations < 2 && !(draft.point() && draft.point()->cyanide) && random.chance(0.25)) {
        draft.act(ActionKey::RegenerateGlass, 30, "HCl and NaOH in turn", "0.1 M");
        regenerate(s, random);
        done = true;
    }
    return done;
}

void confirmWear(VisitDraft& draft, RemovalReason reason, Generator& people)
{
    const State& s = draft.probe().state;
    switch (reason) {
    case RemovalReason::Slope:
    case RemovalReason::Slow:
        if (!draft.orp())
            confirm(draft, s.etch > 0.4 ? FindingCode::GlassEtched : FindingCode::GlassAged, "no better after cleaning, twice", people);
        else
            confirm(draft, FindingCode::MetalPoisoned, "no better after polishing", people);
        break;
    case RemovalReason::Offset: confirm(draft, FindingCode::ElectrolyteDiluted, "offset stayed after service", people); break;
    case RemovalReason::Poisoned: confirm(draft, FindingCode::ReferencePoisoned, "offset came back within days", people); break;
    case RemovalReason::Junction: confirm(draft, FindingCode::JunctionClogged, "reference above 100 kOhm after cleaning", people); break;
    default: break;
    }
}

void remarkAwaiting(VisitDraft& draft, Generator& people)
{
    static constexpr std::array<std::string_view, 5> kLines{"spare asked for", "waiting for the electrician",
                                                            "no time today, back tomorrow", "parts on order", "told the control room"};
    draft.remark(people.pick(std::span<const std::string_view>(kLines)));
}

}  // namespace halfcell::core::simulation
