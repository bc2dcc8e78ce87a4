#include "core/simulator/calendar.h"
#include "core/simulator/treatment.h"
#include "core/simulator/visit_draft.h"

#include <algorithm>
#include <array>
#include <cmath>

/// The steps of a visit other than readings in standards: grab sample, tests, cleaning.
namespace halfcell::core::simulation {
namespace {

/// Two significant digits, as read off a resistance tester.
double twoDigits(double x)
{
    double step = 1.0;
    while (x / step >= 100.0)
        step *= 10.0;
    if (x < 10.0)
        step = 0.1;
    return roundTo(x, step);
}

bool allows(const ModelSpec& model, ActionKey action)
{
    using enum ReferenceDesign;
    switch (action) {
    case ActionKey::CleanAlcohol: return model.reference != PolymerOpen;
    case ActionKey::CleanThiourea: return model.reference != PolymerOpen && model.reference != DifferentialBridge && model.reference != LargeJunction;
    case ActionKey::CleanHypochlorite: return model.sensing != Sensing::Gold && model.sensing != Sensing::Antimony;
    case ActionKey::CleanEnzyme: return model.sensing != Sensing::Antimony && model.sensing != Sensing::Isfet;
    case ActionKey::ClearJunction: return model.reference == DoubleRefillable || model.reference == LiquidRefillable;
    case ActionKey::ScrapeJunction: return model.reference == LargeJunction;
    default: return true;
    }
}

}  // namespace

void VisitDraft::takeGrab()
{
    if (!point())
        return;
    Generator& people = m_shop.people;
    const Probe& p = probe();
    const PointPlan& at = *point();
    Grab grab;
    grab.when = now();
    if (orp()) {
        const double hydrogen = at.orp_mv + people.normal(0.0, 12.0);
        const double mv = orpPotential(p, model(), hydrogen, clamp(at.temp, 10.0, 29.0), true, m_shop.technical);
        grab.loop_mv = roundTo(mv + people.normal(0.0, 1.0), 1.0);
        if (people.chance(0.6))
            grab.grab_mv = roundTo(hydrogen - referenceMv("3M KCl", clamp(at.temp, 10.0, 29.0)) + people.normal(0.0, 9.0), 1.0);
        else
            grab.grab_mv = NoAnswer::NotDone;
    } else {
        const double half = 0.35 * (*at.record.ph_high - *at.record.ph_low);
        const double ph = at.ph + half * (2.0 * people.uniform() - 1.0);
        const double mv = phPotential(p, model(), ph, at.temp, true, m_shop.technical);
        const double stored = recorded().storedOffset.value_or(0.0);
        const double slope = recorded().storedEfficiency.value_or(100.0) / 100.0 * idealSlope(at.temp);
        grab.loop_ph = roundTo(clamp(7.0 - (mv - stored) / slope, 0.0, 14.0), 0.01);
        const double sd = at.record.grab_quality == GrabQuality::Pure ? 0.2 : at.record.grab_quality == GrabQuality::Dirty ? 0.12 : 0.05;
        double sampled = ph + m_round.portableBias + people.normal(0.0, 0.6 * sd);
        if (people.chance(0.04))
            sampled += (people.chance(0.5) ? 1.0 : -1.0) * people.uniform(0.3, 1.0);
        grab.grab_ph = roundTo(clamp(sampled, 0.0, 14.0), 0.01);
    }
    if (!people.chance(0.25))
        grab.temp_degc = roundTo(at.temp + people.normal(0.0, 1.0), habit().wholeDegrees ? 1.0 : 0.1);
    if (people.chance(0.7))
        grab.grab_when = localTime(m_round.day, m_seconds + 60 + people.below(200));
    m_seconds += 240;
    visit.grabs.push_back(grab);
}

Check& VisitDraft::check()
{
    if (visit.checks.empty()) {
        Check row;
        row.when = now();
        visit.checks.push_back(row);
    }
    return visit.checks.front();
}

void VisitDraft::measureResistances()
{
    Generator& random = m_shop.technical;
    Check& row = check();
    const double temp = roundTo(m_round.bufferTemp, 1.0);
    if (isGlass(model().sensing)) {
        row.glass_mohm = twoDigits(glassResistance(probe().state, probe().traits, model(), m_round.bufferTemp) * random.lognormal(0.05));
        if (!m_shop.people.chance(0.15))
            row.glass_temp_degc = temp;
    } else {
        row.glass_mohm = NoAnswer::NotApplicable;
    }
    row.reference_kohm = twoDigits(referenceResistance(probe().state, probe().traits) * random.lognormal(0.06));
    if (m_shop.people.chance(0.4))
        row.noise_mv = roundTo(probe().state.fault == Fault::Open ? random.uniform(20.0, 90.0) : 0.2 + 0.3 * probe().state.clog + random.uniform(0.0, 0.6), 0.1);
    m_seconds += 240;
}

void VisitDraft::noteCoating()
{
    const double film = orp() ? std::max(probe().state.metal, 0.6 * probe().state.film) : probe().state.film;
    const double rating = clamp(roundTo(film * 2.6 + m_shop.people.normal(0.0, 0.4), 1.0), 0.0, 4.0);
    Check& row = check();
    row.coating = rating;
    if (rating >= 1.0 && !m_shop.people.chance(0.25)) {
        switch (m_film) {
        case FindingCode::FilmGrease: row.coating_kind = CoatingKind::Smear; break;
        case FindingCode::FilmProtein: row.coating_kind = CoatingKind::Slippery; break;
        case FindingCode::Biofilm: row.coating_kind = CoatingKind::Slime; break;
        default: row.coating_kind = CoatingKind::Hard; break;
        }
        // Looks deceive now and then.
        if (m_shop.people.chance(0.12))
            row.coating_kind = CoatingKind::Smear;
    }
}

Action& VisitDraft::act(ActionKey action, double minutes, std::string_view agent, std::string_view strength)
{
    Action row;
    row.when = now();
    row.step = static_cast<int>(visit.actions.size()) + 1;
    row.action = action;
    if (!agent.empty() && m_shop.people.chance(0.75))
        row.agent = std::string(agent);
    if (!strength.empty() && m_shop.people.chance(0.7))
        row.strength = std::string(strength);
    if (m_shop.people.chance(0.78))
        row.minutes = roundTo(std::max(1.0, minutes * m_shop.people.uniform(0.8, 1.3)), 1.0);
    passMinutes(minutes);
    visit.actions.push_back(std::move(row));
    return visit.actions.back();
}

void VisitDraft::clean(bool second)
{
    Generator& random = m_shop.technical;
    State& state = probe().state;
    const bool cyanide = point() && point()->cyanide;
    const auto doIt = [&](ActionKey action, double minutes, std::string_view agent, std::string_view strength, bool right) {
        if (!allows(model(), action))
            return;
        act(action, minutes, agent, strength);
        cleanWith(state, model(), action, right, random);
    };
    if (isMetal(model().sensing) && (second || state.metal > 0.2)) {
        doIt(ActionKey::CleanDetergent, 5, "detergent", "", true);
        doIt(ActionKey::PolishMetal, 5, "alumina, wet", "", true);
        return;
    }
    const bool onlyDetergent = !second && (state.film < 0.25 || random.chance(0.2));
    switch (m_film) {
    case FindingCode::FilmScale:
        // No acid on anything from a cyanide line: detergent and a soft brush instead.
        if (cyanide) {
            doIt(ActionKey::CleanDetergent, 8, "warm detergent", "", true);
            break;
        }
        doIt(ActionKey::CleanDetergent, 5, "detergent", "", false);
        if (!onlyDetergent)
            doIt(ActionKey::CleanAcid, 5, "HCl", random.chance(0.5) ? "5 %" : "3 %", true);
        break;
    case FindingCode::FilmGrease:
        doIt(ActionKey::CleanDetergent, 8, "warm detergent", "", true);
        if (!onlyDetergent && random.chance(0.6))
            doIt(ActionKey::CleanAlcohol, 2, "isopropyl alcohol", "", true);
        break;
    case FindingCode::FilmProtein:
        doIt(ActionKey::CleanDetergent, 5, "detergent", "", onlyDetergent);
        if (!onlyDetergent && random.chance(0.5))
            doIt(ActionKey::CleanEnzyme, 8, "pepsin in HCl", "1 %", true);
        break;
    default:
        doIt(ActionKey::CleanDetergent, 6, "detergent", "", true);
        if (!onlyDetergent && !cyanide && random.chance(0.4))
            doIt(ActionKey::CleanHypochlorite, 5, "hypochlorite", "0.1 %", true);
        break;
    }
    if (second && model().reference == ReferenceDesign::LargeJunction && state.clog > 1.0)
        doIt(ActionKey::ScrapeJunction, 10, "", "", true);
    if (second && state.clog > 1.5)
        doIt(ActionKey::ClearJunction, 15, "warm 3 M KCl", "", true);
    if (random.chance(0.15))
        act(ActionKey::Condition, 10, "pH 4 and 3 M KCl", "").elapsed_minutes = 60.0;
}

}  // namespace halfcell::core::simulation
