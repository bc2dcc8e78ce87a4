#include "core/quantity/number.h"
#include "core/rules/diagnosing.h"

#include <algorithm>
#include <array>
#include <cmath>

/// The measuring half: film, dried, aged, etched and shunted glass; ISFET gate and antimony.
/// Source: common practice of process shops; bands are rule data ([numbers.diagnosis]).
namespace halfcell::core::judging {

namespace {

struct FilmKind {
    FindingCode code;
    const char* key;
    const char* name;
};
constexpr std::array<FilmKind, 4> kFilms{{{FindingCode::FilmScale, "scale", "a scale film"},
                                          {FindingCode::FilmGrease, "grease", "a grease film"},
                                          {FindingCode::FilmProtein, "protein", "a protein film"},
                                          {FindingCode::Biofilm, "biofilm", "a biofilm"}}};

const FilmKind& likeliestFilm(const Case& c, std::string& why)
{
    const auto first = filmShares(c).front();
    const auto& best = *std::find_if(kFilms.begin(), kFilms.end(), [&](const FilmKind& k) { return k.code == first.code; });
    const auto look = c.check ? c.check->coating_kind : std::nullopt;
    const bool known = c.rules->number("film." + c.application() + ".scale").source != "not set" && c.application() != "*";
    const auto place = known ? fmt::format("in {}", c.application()) : std::string("where the application is not known");
    why = look ? fmt::format("it looks {}; {} is common {}", wordsOf(*look), std::string(best.name), place)
               : fmt::format("{} is the commonest {}; its look was not written down", best.name, place);
    std::replace(why.begin(), why.end(), '_', ' ');
    return best;
}

std::string t90Words(const Case& c, double t90)
{
    auto text = fmt::format("t90 {} s", fixed(t90, 0));
    if (c.firstT90)
        text += fmt::format(", its first was {} s", fixed(*c.firstT90, 0));
    return text;
}

bool wasSlow(const Case& c, const PhaseFigures& p)
{
    return p.t90_s &&
           (*p.t90_s > c.profile->t90_maintenance_s.value ||
            (*p.t90_s > c.number("diagnosis.slow_s") && (!c.firstT90 || *p.t90_s >= c.number("diagnosis.slow_ratio") * *c.firstT90)));
}

void findFilm(const Case& c, Findings& f)
{
    const auto coating = c.check && c.check->coating.has_value() ? std::optional(*c.check->coating) : std::nullopt;
    const bool coated = coating && *coating >= 2.0;
    const bool foundSlow = c.asFound && wasSlow(c, *c.asFound);
    // Low and not cleaned yet: cleaning is the cheapest step that can work, whatever else is suspected.
    const bool lowUncleaned =
        c.state->efficiency_pct && *c.state->efficiency_pct < c.profile->efficiency_maintenance_pct.value && !c.cleaned();
    if (!(c.slow || foundSlow || coated || lowUncleaned))
        return;
    std::string why;
    const auto& film = likeliestFilm(c, why);
    const bool cleanedSince = c.cleaned();
    const bool stillSlow = c.slow && cleanedSince;
    const bool tooSlow = c.state->t90_s && *c.state->t90_s > c.profile->t90_maintenance_s.value;
    // As found slow, quick after cleaning: it was a film, and it is gone.
    const bool gone = cleanedSince && !c.slow;
    const bool matters =
        !gone && !stillSlow &&
        (c.slow || (c.state->efficiency_pct && *c.state->efficiency_pct < c.profile->efficiency_maintenance_pct.value) || c.dropPct);
    const bool tried = stillSlow && c.running([&](const PhaseFigures& p) { return wasSlow(c, p); }) >= 2;
    auto& d = f.add(film.code,
                    matters     ? (c.slow   ? 215
                                   : coated ? 200
                                            : 140)
                    : stillSlow ? 110
                                : 55,
                    matters || (stillSlow && tooSlow && !tried), Verdict::Clean, cleansFor(film.code));
    speaksFor(d, why);
    if (lowUncleaned && !c.slow && !coated)
        speaksFor(d, fmt::format("efficiency {} % and not cleaned yet: the cheapest step that can work", fixed(*c.state->efficiency_pct)));
    if (coated)
        speaksFor(d, fmt::format("coating {} of 4", fixed(*coating, 0)));
    else if (coating)
        speaksAgainst(d, fmt::format("coating only {} of 4", fixed(*coating, 0)));
    if (foundSlow && c.asFound != c.state && c.state->t90_s) {
        const auto text = fmt::format("t90 {} s as found, {} s after cleaning", fixed(*c.asFound->t90_s, 0), fixed(*c.state->t90_s, 0));
        gone ? speaksFor(d, text) : speaksAgainst(d, text);
    } else if (c.slow) {
        speaksFor(d, t90Words(c, *c.state->t90_s));
    }
    if (c.asFound && c.asFound != c.state && c.asFound->efficiency_pct && c.state->efficiency_pct) {
        const double gain = *c.state->efficiency_pct - *c.asFound->efficiency_pct;
        if (gain >= c.number("diagnosis.reread_pct"))
            speaksFor(
                d, fmt::format("efficiency {} % as found, {} % after", fixed(*c.asFound->efficiency_pct), fixed(*c.state->efficiency_pct)));
    }
    if (c.check && c.check->stir_ph.has_value()) {
        const auto text = fmt::format("stirred and still differ by {} pH", fixed(*c.check->stir_ph, 2));
        std::fabs(*c.check->stir_ph) < c.number("diagnosis.stir_ph") ? speaksFor(d, text + ": not the junction") : speaksAgainst(d, text);
    }
    d.cause = film.name;
    d.advice = gone        ? "Cleaning brought it back."
               : stillSlow ? "Clean once more with the matching agent."
                           : "Clean before judging the glass.";
}

void findDry(const Case& c, Findings& f)
{
    if (!c.check || !c.check->dry_hours.has_value() || *c.check->dry_hours < c.number("diagnosis.dry_recent_h"))
        return;
    const auto eff = c.state->efficiency_pct;
    const bool affected = c.slow || c.dropPct || (eff && *eff < c.number("diagnosis.efficiency_low_pct")) ||
                          (c.state->offset_mv && std::fabs(*c.state->offset_mv) > c.profile->offset_maintenance_mv.value);
    const bool soaked = c.done(ActionKey::Rehydrate) || c.done(ActionKey::Condition);
    const bool longDry = *c.check->dry_hours >= c.number("diagnosis.dry_hours");
    std::vector<ActionKey> cures{ActionKey::Rehydrate};
    if (!c.glass())
        cures = {ActionKey::Condition};
    auto& d = f.add(c.glass() ? FindingCode::GlassDry : FindingCode::JunctionBlocked, affected && !soaked ? 260 : 56, affected && !soaked,
                    c.glass() ? Verdict::Rehydrate : Verdict::Condition, cures);
    speaksFor(d, fmt::format("dry for {} h", fixed(*c.check->dry_hours, 0)));
    if (c.slow)
        speaksFor(d, t90Words(c, *c.state->t90_s));
    if (c.glassRatio && *c.glassRatio > c.number("diagnosis.glass_high_ratio"))
        speaksFor(d, fmt::format("glass resistance {} times its first value", fixed(*c.glassRatio)));
    if (!affected)
        speaksAgainst(d, "efficiency, offset and response are in order");
    d.cause = c.glass() ? "dried glass" : "a dried junction";
    d.advice = longDry ? "Dry for a day or longer: an hour in weak acid or pH 4 with KCl, then overnight, then read again."
                       : "Dry for less than a day: some hours in pH 7, then read again.";
}

void findAgedAndEtched(const Case& c, Findings& f)
{
    const auto eff = c.state->efficiency_pct;
    const bool low = eff && *eff < c.profile->efficiency_maintenance_pct.value;
    const bool lowish = eff && *eff < c.number("diagnosis.efficiency_low_pct");
    const double lowRatio = c.number("diagnosis.glass_low_ratio"), highRatio = c.number("diagnosis.glass_high_ratio");
    double lowLimit = c.profile->glass_low_mohm.value, highLimit = c.profile->glass_high_mohm.value;
    if (c.model.sensing == Sensing::Flat || c.model.sensing == Sensing::Hardened) {
        lowLimit = std::max(lowLimit, c.number("diagnosis.glass_low_flat_mohm"));
        highLimit = std::max(highLimit, c.number("diagnosis.glass_high_flat_mohm"));
    } else if (c.model.sensing == Sensing::HfResistant) {
        lowLimit = std::min(lowLimit, c.number("diagnosis.glass_low_hf_mohm"));
        highLimit = std::min(highLimit, c.number("diagnosis.glass_high_hf_mohm"));
    }
    const bool allowed = c.rules->allowsTest(c.model, "glass_resistance");
    const bool rgLow = allowed && c.glass25 && (c.glassRatio ? *c.glassRatio < lowRatio : *c.glass25 < lowLimit);
    const bool rgHigh = allowed && c.glass25 && (c.glassRatio ? *c.glassRatio > highRatio : *c.glass25 > highLimit);
    const auto rgWords = [&] {
        return c.glassRatio ? fmt::format("glass resistance {} MOhm at 25 degC, {} times its first value", fixed(*c.glass25),
                                          fixed(*c.glassRatio, 2))
                            : fmt::format("glass resistance {} MOhm at 25 degC", fixed(*c.glass25));
    };
    const bool cableCures = c.check && c.check->cable == Comparison::Changes;

    if (!c.response.dead && ((rgLow && lowish) || cableCures)) {
        auto& d = f.add(FindingCode::GlassShunted, 270, lowish, Verdict::CheckWiring, {ActionKey::DryConnector, ActionKey::Rewire});
        if (rgLow)
            speaksFor(d, rgWords());
        if (lowish)
            speaksFor(d, fmt::format("efficiency {} %", fixed(*eff)));
        if (cableCures)
            speaksFor(d, "a spare or dried cable changes the reading");
        d.cause = "moisture in the connector or cable, or a hair crack";
        d.advice = "Dry the connector and read again on a spare cable.";
    }
    if (rgLow && c.glassRatio && !c.response.dead && !cableCures) {
        const bool wiringDone = c.wiringChecked || c.done(ActionKey::DryConnector);
        const bool terminal = wiringDone && lowish && c.history;
        auto& d = f.add(FindingCode::GlassEtched, terminal ? 320 : 140, terminal, terminal ? Verdict::Replace : Verdict::Recheck,
                        terminal ? std::vector{ActionKey::Replace} : std::vector<ActionKey>{});
        speaksFor(d, rgWords() + ": thinned glass");
        if (lowish)
            speaksFor(d, fmt::format("efficiency {} %", fixed(*eff)));
        const auto application = c.application();
        if (application == "caustic" || application == "flotation" || application == "scrubber")
            speaksFor(d, fmt::format("common in {}", application));
        d.cause = "etched or abraded glass";
        d.advice = terminal ? "Thinned glass does not come back: replace it, with glass that suits the process." : "Look at the glass.";
    }

    // What does not answer, or answers the wrong way round, says nothing of the glass's age.
    if (c.response.dead || c.response.reversed)
        return;
    const bool regenerated = c.done(ActionKey::RegenerateGlass);
    constexpr std::size_t kMostRegenerations = 2;  // once or twice in a life (common practice)
    const bool mayRegenerate = c.timesDone(ActionKey::RegenerateGlass) < kMostRegenerations && !regenerated;
    if (low || rgHigh || (c.slow && c.cleaned()) ||
        (c.firstEfficiency && eff && *c.firstEfficiency - *eff >= c.number("diagnosis.baseline_drop_pct"))) {
        const bool cleanedFirst = c.cleaned();
        const bool tooSlow = c.state->t90_s && *c.state->t90_s > c.profile->t90_maintenance_s.value;
        const bool drives = (low || tooSlow) && cleanedFirst && mayRegenerate;
        auto& d = f.add(FindingCode::GlassAged, drives ? 100 : 45, drives, Verdict::RegenerateGlass,
                        mayRegenerate ? std::vector{ActionKey::RegenerateGlass} : std::vector<ActionKey>{});
        if (eff)
            speaksFor(d, c.firstEfficiency ? fmt::format("efficiency {} %, its first was {} %", fixed(*eff), fixed(*c.firstEfficiency))
                                           : fmt::format("efficiency {} %", fixed(*eff)));
        if (rgHigh)
            speaksFor(d, rgWords());
        else if (c.glass25)
            speaksAgainst(d, rgWords());
        if (c.slow && cleanedFirst)
            speaksFor(d, t90Words(c, *c.state->t90_s) + " after cleaning");
        if (c.state->acid_leg_pct && c.state->alkaline_leg_pct && *c.state->acid_leg_pct - *c.state->alkaline_leg_pct > 1.0)
            speaksFor(d, fmt::format("alkaline leg {} %, acid leg {} %: ageing shows there first", fixed(*c.state->alkaline_leg_pct),
                                     fixed(*c.state->acid_leg_pct)));
        if (!cleanedFirst)
            speaksAgainst(d, "not cleaned yet: a film looks the same");
        d.cause = "the glass has aged";
        d.advice = mayRegenerate ? "Regenerate the glass once; it gains weeks." : "Plan its replacement.";
    }
}

void findGate(const Case& c, Findings& f)
{
    const auto eff = c.state->efficiency_pct;
    const bool low = eff && *eff < c.number("diagnosis.gate_efficiency_pct");
    const bool drifts = c.offsetTrend && std::fabs(*c.offsetTrend) > c.number("diagnosis.gate_drift_mv_month");
    const bool far = c.state->offset_mv && std::fabs(*c.state->offset_mv) >= c.number("diagnosis.gate_offset_mv");
    if (!(low || drifts || far))
        return;
    const bool soaked = c.done(ActionKey::Condition);
    const bool twice = c.running([&](const PhaseFigures& p) {
        return p.efficiency_pct && *p.efficiency_pct < c.number("diagnosis.gate_efficiency_pct");
    }) >= 2;
    const bool terminal = c.history && soaked && twice;
    auto& d = f.add(FindingCode::GateWorn, 190, true, terminal ? Verdict::Replace : Verdict::Condition,
                    terminal ? std::vector{ActionKey::Replace} : std::vector{ActionKey::Condition});
    if (low)
        speaksFor(d, fmt::format("efficiency {} %", fixed(*eff)));
    if (drifts)
        speaksFor(d, fmt::format("offset drifts {} mV a month", formatSigned(*c.offsetTrend, 1)));
    if (far)
        speaksFor(d, fmt::format("offset {}", mv(*c.state->offset_mv)));
    d.cause = "a worn or leaking gate";
    d.advice = terminal ? "A soak did not bring it back: replace it." : "Soak an hour in pH 7, powered, then read again.";
}

/// Antimony follows pH in a straight line between about 3 and 8 only: standards outside disagree with the others, and nothing
/// is wrong with the sensor. True where they alone make the figure.
bool findOutsideAntimony(const Case& c, Findings& f, double limit)
{
    const double low = c.number("diagnosis.antimony_low_ph"), high = c.number("diagnosis.antimony_high_ph");
    std::vector<Dip> inside;
    std::string outside;
    for (const auto& d : c.dips) {
        if (d.ph >= low && d.ph <= high)
            inside.push_back(d);
        else
            outside += (outside.empty() ? "" : " and ") + c.standards->words(d.standard);
    }
    if (outside.empty())
        return false;
    const auto legs = legsOf(inside, c.number("diagnosis.alike_apart_ph"));
    const double eff = *c.state->efficiency_pct;
    const bool makesIt = eff < limit && (!legs || legs->overall_pct >= limit);
    auto& d = f.add(FindingCode::OutsideTable, makesIt ? 200 : 66, makesIt, Verdict::Recheck, {});
    d.finding.title = "Standard outside the sensor's range";
    speaksFor(d, fmt::format("{} lies outside pH {} to {}, where antimony is nearly linear", outside, fixed(low, 0), fixed(high, 0)));
    if (c.state->acid_leg_pct && c.state->alkaline_leg_pct)
        speaksFor(d, fmt::format("acid leg {} %, alkaline leg {} %", fixed(*c.state->acid_leg_pct), fixed(*c.state->alkaline_leg_pct)));
    if (legs)
        speaksFor(d, fmt::format("inside that range its efficiency is {} %", fixed(legs->overall_pct)));
    d.cause = "a standard outside the range of antimony, not a fault";
    d.advice = "Calibrate in two standards inside the range, near the process.";
    return makesIt && legs.has_value();
}

void findAntimony(const Case& c, Findings& f)
{
    const auto eff = c.state->efficiency_pct;
    if (!eff)
        return;
    const double limit =
        c.firstEfficiency ? *c.firstEfficiency - c.number("diagnosis.baseline_drop_pct") : c.profile->efficiency_maintenance_pct.value;
    const bool explained = findOutsideAntimony(c, f, limit);
    if (!((*eff < limit && !explained) || c.slow))
        return;
    const bool polished = c.done(ActionKey::PolishMetal);
    auto& d =
        f.add(polished ? FindingCode::MetalPoisoned : FindingCode::MetalFilmed, 190, true, polished ? Verdict::Recheck : Verdict::Clean,
              polished ? std::vector<ActionKey>{} : std::vector{ActionKey::PolishMetal, ActionKey::CleanDetergent});
    speaksFor(d, c.firstEfficiency ? fmt::format("efficiency {} %, its own first was {} % (antimony is judged by that)", fixed(*eff),
                                                 fixed(*c.firstEfficiency))
                                   : fmt::format("efficiency {} %; no first value to judge by", fixed(*eff)));
    if (c.slow)
        speaksFor(d, t90Words(c, *c.state->t90_s));
    d.cause = polished ? "antimony poisoned by the process" : "an oxide film on the antimony";
    d.advice =
        polished ? "Polishing did not bring it back; keep it out of that stream." : "Polish it wet with fine emery, then read again.";
}

}  // namespace

std::vector<FilmShare> filmShares(const Case& c)
{
    auto application = c.application();
    if (c.rules->number("film." + application + ".scale").source == "not set")
        application = "*";
    const auto look = c.check ? c.check->coating_kind : std::nullopt;
    std::vector<FilmShare> shares;
    double sum = 0.0;
    for (const auto& film : kFilms) {
        double weight = c.number(fmt::format("film.{}.{}", application, film.key));
        if (look)
            weight *= c.number(fmt::format("film_look.{}.{}", film.key, keyOf(*look)));
        sum += weight;
        shares.push_back({film.code, film.name, weight});
    }
    for (auto& s : shares)
        s.share = sum > 0.0 ? s.share / sum : 1.0 / static_cast<double>(shares.size());
    std::stable_sort(shares.begin(), shares.end(), [](const FilmShare& a, const FilmShare& b) { return a.share > b.share; });
    return shares;
}

std::vector<ActionKey> cleansFor(FindingCode film)
{
    using enum ActionKey;
    switch (film) {
    case FindingCode::FilmGrease: return {CleanDetergent, CleanAlcohol};
    case FindingCode::FilmProtein: return {CleanDetergent, CleanEnzyme};
    case FindingCode::Biofilm: return {CleanDetergent, CleanHypochlorite};
    default: return {CleanDetergent, CleanAcid};  // soft wet brush and detergent first, then weak acid
    }
}

void findGlass(const Case& c, Findings& f)
{
    if (c.kind != SensorKind::Ph)
        return;
    if (c.model.sensing == Sensing::Antimony) {
        findAntimony(c, f);
        return;
    }
    if (!c.response.dead && !c.response.reversed)
        findFilm(c, f);
    findDry(c, f);
    if (c.model.sensing == Sensing::Isfet)
        findGate(c, f);
    else if (c.glass())
        findAgedAndEtched(c, f);
}

}  // namespace halfcell::core::judging
