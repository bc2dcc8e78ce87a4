#include "core/quantity/number.h"
#include "core/rules/judging.h"
#include "core/rules/test_words.h"

#include <algorithm>
#include <cmath>

/// What is not the sensor: ground loop, temperature element, the process, another sensor on the cable; and the tests that would
/// tell the leading findings apart.
namespace halfcell::core::judging {

namespace {

bool buffersFine(const Case& c)
{
    return c.state->efficiency_pct && *c.state->efficiency_pct >= c.profile->efficiency_maintenance_pct.value &&
           *c.state->efficiency_pct <= c.profile->efficiency_high_warn_pct.value && c.state->offset_mv &&
           std::fabs(*c.state->offset_mv) <= c.profile->offset_maintenance_mv.value;
}

void findGroundAndTemperature(const Case& c, Findings& f)
{
    const Check* k = c.check;
    if (!k)
        return;
    if (k->earth_wire == Comparison::Changes) {
        auto& d = f.add(FindingCode::GroundLoop, 165, true, Verdict::CheckWiring, {ActionKey::Rewire});
        speaksFor(d, "an earthed wire in the beaker shifts the reading");
        if (buffersFine(c))
            speaksFor(d, "the sensor itself is in order in standards");
        d.cause = "a ground loop";
        d.advice = "Isolate the output or fit a solution ground.";
    }
    if (k->thermometer_off_k.has_value() && std::fabs(*k->thermometer_off_k) > c.number("diagnosis.thermometer_k")) {
        auto& d = f.add(FindingCode::TemperatureElement, 155, true, Verdict::CheckWiring, {ActionKey::Rewire});
        speaksFor(d, fmt::format("the sensor's thermometer is off by {} K", formatSigned(*k->thermometer_off_k, 1)));
        d.cause = "a temperature element that reads wrong";
        d.advice = "Compare with a thermometer, check its leads, or enter the temperature by hand.";
    }
    const bool noisy = k->noise_mv.has_value() && *k->noise_mv >= c.number("diagnosis.noise_mv");
    if (noisy && !f.has(FindingCode::OpenCircuit)) {
        auto& d =
            f.add(c.differential() ? FindingCode::BridgeExhausted : FindingCode::JunctionBlocked, 58, false,
                  c.differential() ? Verdict::ReplaceBridge : Verdict::Clean,
                  c.differential() ? std::vector{ActionKey::ReplaceBridge} : std::vector{ActionKey::ClearJunction, ActionKey::Condition});
        speaksFor(d, fmt::format("noise {} mV; {} mV is quiet", fixed(*k->noise_mv), fixed(c.number("diagnosis.noise_mv"), 0)));
    }
    if (k->hysteresis_mv.has_value() && *k->hysteresis_mv > c.number("diagnosis.hysteresis_mv"))
        for (auto& d : f.drafts())
            if (d.finding.code == FindingCode::GlassAged || d.finding.code == FindingCode::GlassDry ||
                d.finding.code == FindingCode::JunctionClogged)
                speaksFor(d, fmt::format("hysteresis {} mV", fixed(*k->hysteresis_mv)));
}

/// Another sensor in the same medium that was compared with a grab sample within a day.
struct Twin {
    const Visit* visit = nullptr;
    const Grab* grab = nullptr;
    std::string name;
};

/// One that reads the same as this one in the process, and is off its own grab sample the same way.
std::optional<Twin> twinOf(const Case& c, double difference, double limit)
{
    if (!c.plant || !c.point)
        return std::nullopt;
    constexpr double kSameDay = 1.0;
    for (const auto& history : c.plant->histories()) {
        if (&history == c.history || !history.model || history.model->kind != SensorKind::Ph)
            continue;
        for (const auto* v : history.visits) {
            if (std::fabs(daysBetween(c.when, v->when)) > kSameDay || v->when > c.until || v->grabs.empty() || !v->tag)
                continue;
            const auto* point = c.plant->point(*v->tag);
            const bool sameMedium = point && point->site == c.point->site &&
                                    (point->tag == c.point->tag || (point->area && point->area == c.point->area) ||
                                     (point->application && point->application == c.point->application));
            const auto& g = v->grabs.front();
            if (!sameMedium || !g.loop_ph.has_value() || !g.grab_ph.has_value())
                continue;
            const double off = *g.loop_ph - *g.grab_ph;
            if (std::fabs(*g.loop_ph - *c.grab->loop_ph) <= c.number("diagnosis.twin_ph") + 1e-9 && std::fabs(off) > limit &&
                std::signbit(off) == std::signbit(difference))
                return Twin{v, &g, history.sensor ? history.sensor->serial : std::string(*v->tag)};
        }
    }
    return std::nullopt;
}

void findProcess(const Case& c, Findings& f)
{
    if (c.kind != SensorKind::Ph || !c.grab || !c.grab->loop_ph.has_value() || !c.grab->grab_ph.has_value())
        return;
    double limit = c.number("diagnosis.grab_ph");
    if (c.point && c.point->tolerance_ph) {
        limit = *c.point->tolerance_ph;
    } else if (c.point && c.point->grab_quality) {
        if (*c.point->grab_quality == GrabQuality::Dirty)
            limit *= c.number("diagnosis.grab_dirty_factor");
        else if (*c.point->grab_quality == GrabQuality::Pure)
            limit *= c.number("diagnosis.grab_pure_factor");
    }
    const double difference = *c.grab->loop_ph - *c.grab->grab_ph;
    if (std::fabs(difference) <= limit + 1e-9)
        return;
    const auto twin = twinOf(c, difference, limit);
    const bool fine = buffersFine(c);
    if (!fine && !twin)
        return;
    const auto text = fmt::format("loop {} against grab sample {}: {} pH, {} is agreed", fixed(*c.grab->loop_ph, 2),
                                  fixed(*c.grab->grab_ph, 2), formatSigned(difference, 2), fixed(limit, 2));
    if (fine && difference < 0 && *c.grab->grab_ph > c.number("diagnosis.alkali_ph") && c.glass()) {
        auto& d = f.add(FindingCode::AlkaliError, 62, false, Verdict::Leave, {});
        speaksFor(d, text + fmt::format(": it reads low above pH {}", fixed(c.number("diagnosis.alkali_ph"), 0)));
        d.cause = "alkali error of the glass, not a fault";
        d.advice = "Calibrate near the range; order glass with low sodium error next time.";
    }
    auto& d = f.add(FindingCode::ProcessDisagrees, 64, false, Verdict::Recheck, {});
    speaksFor(d, text);
    if (twin)
        speaksFor(d, fmt::format("{} in the same medium reads {} there, too, against a sample of {}: two sensors that age alike agree and "
                                 "are both wrong; only standards tell",
                                 twin->name, fixed(*twin->grab->loop_ph, 2), fixed(*twin->grab->grab_ph, 2)));
    if (fine)
        speaksFor(d, "efficiency and offset are in order in standards");
    if (!twin)
        speaksAgainst(d, "one grab sample is no fault: it takes two, or one with a failed check");
    d.cause = twin ? "two sensors that agree with each other and not with the sample" : "the process and the grab sample disagree";
    d.advice = twin ? "Check both in fresh standards; do not set one by the other."
                    : "Take another grab sample at line temperature before anything is changed.";
}

/// Millivolts of the sensor in the process where it was compared: of the loop, else of the sample.
std::optional<double> processMv(const Grab& g)
{
    return g.loop_mv.has_value() ? g.loop_mv.value : g.grab_mv.value;
}

std::optional<double> processPh(const Grab& g)
{
    return g.grab_ph.has_value() ? g.grab_ph.value : g.loop_ph.value;
}

/// Chlorine sets the potential, and pH sets how much of it is hypochlorous acid.
bool chlorinated(const Case& c)
{
    const auto application = c.application();
    return application == "pool" || application == "bleach" ||
           (c.point && std::find(c.point->hazards.begin(), c.point->hazards.end(), "hypochlorite") != c.point->hazards.end());
}

/// The potential in chlorine falls as the pH rises: the pH moved, not the sensor.
void findPhMoved(const Case& c, Findings& f)
{
    if (!chlorinated(c) || !processMv(*c.grab))
        return;
    const Grab* before = nullptr;
    for (const auto* v : c.past)
        if (v->visit)
            for (const auto& g : v->visit->grabs)
                if (processMv(g) && processPh(g))
                    before = &g;
    const auto ph = processPh(*c.grab);
    if (!before || !ph)
        return;
    const double moved = *processMv(*c.grab) - *processMv(*before), by = *ph - *processPh(*before);
    if (std::fabs(by) < c.number("diagnosis.orp_ph_least_ph"))
        return;
    const double perPh = -moved / by;
    if (perPh < c.number("diagnosis.orp_ph_low_mv") || perPh > c.number("diagnosis.orp_ph_high_mv"))
        return;
    auto& d = f.add(FindingCode::ProcessDisagrees, 65, false, Verdict::Leave, {});
    speaksFor(d, fmt::format("the potential moved by {} while the pH moved by {} since the last comparison: {} mV a pH, as chlorine gives",
                             mv(std::round(moved)), formatSigned(by, 1), formatSigned(-perPh, 0)));
    speaksFor(d, "offset and span are in order in standards");
    d.cause = "the pH of the process moved, not the sensor";
    d.advice = "Write the pH down with every ORP check in chlorine; look at the dosing of acid or alkali.";
}

/// ORP in order in standards and off in the tank.
void findOrpProcess(const Case& c, Findings& f)
{
    const auto& s = *c.state;
    const bool fine = s.offset_mv && std::fabs(*s.offset_mv) <= c.profile->orp_offset_maintenance_mv.value &&
                      (!s.span_pct || *s.span_pct >= c.profile->orp_span_maintenance_pct.value);
    if (c.kind != SensorKind::Orp || !c.grab || !fine)
        return;
    findPhMoved(c, f);
    if (!c.grab->loop_mv.has_value() || !c.grab->grab_mv.has_value())
        return;
    const double limit = c.point && c.point->tolerance_mv ? *c.point->tolerance_mv : c.profile->orp_offset_maintenance_mv.value;
    const double difference = *c.grab->loop_mv - *c.grab->grab_mv;
    if (std::fabs(difference) <= limit + 1e-9)
        return;
    const auto text = fmt::format("loop {} against grab sample {}: {}, {} mV is agreed", mv(*c.grab->loop_mv), mv(*c.grab->grab_mv),
                                  mv(difference), fixed(limit, 0));
    if (!(c.check && c.check->earth_wire == Comparison::Same)) {
        auto& loop = f.add(FindingCode::GroundLoop, 63, false, Verdict::CheckWiring, {ActionKey::Rewire});
        speaksFor(loop, text + ": in order in standards, off in the process alone");
        if (loop.cause.empty()) {
            loop.cause = "a stray current or ground loop in the process";
            loop.advice = "Look whether it moves with a rectifier or pump; fit a solution earth and isolate the output.";
        }
    }
    auto& d = f.add(FindingCode::ProcessDisagrees, 64, false, Verdict::Recheck, {});
    speaksFor(d, text);
    speaksFor(d, "offset and span are in order in standards");
    if (d.cause.empty()) {
        d.cause = "the process and the grab sample disagree";
        d.advice = "Read a sample of the process in a plastic beaker beside it before anything is changed.";
    }
}

void findWrongSensor(const Case& c, Findings& f)
{
    if (!c.history || !c.visit || c.past.empty() || !c.state->efficiency_pct || !c.state->offset_mv || !c.lastLeftEfficiency ||
        !c.lastLeftOffset)
        return;
    const auto* here = c.history->placementAt(c.visit->when);
    const auto* before = c.history->placementAt(c.past.back()->when);
    const bool elsewhere = c.visit->tag && here && c.plant && c.plant->point(here->place) && here->place != *c.visit->tag;
    if (!(elsewhere || (here && before && here != before)))
        return;
    const double jump = *c.state->offset_mv - *c.lastLeftOffset, change = *c.state->efficiency_pct - *c.lastLeftEfficiency;
    if (std::fabs(jump) <= 15.0 || std::fabs(change) <= 5.0)  // decision rule D9
        return;
    auto& d = f.add(FindingCode::WrongSensor, 140, false, Verdict::Recheck, {});
    speaksFor(d, fmt::format("since it moved, offset {} and efficiency {} % from its last as left", formatSigned(jump, 1) + " mV",
                             formatSigned(change, 1)));
    if (elsewhere)
        speaksFor(d, fmt::format("the visit says {}, the book has it at {}", *c.visit->tag, here->place));
    d.cause = "another sensor than the one recorded";
    d.advice = "Read the serial on the sensor.";
}

struct TestOffer {
    const char* test;
    double minutes;
    const char* splits;
    bool (*done)(const Check&);
};

const TestOffer kCoating{"coating", 1, "a film from everything else", [](const Check& k) { return k.coating.has_value(); }};
const TestOffer kNoise{"noise", 1, "an open lead or dry junction from the rest", [](const Check& k) { return k.noise_mv.has_value(); }};
const TestOffer kThermometer{"thermometer", 2, "a wrong temperature from the sensor",
                             [](const Check& k) { return k.thermometer_off_k.has_value(); }};
const TestOffer kReread{"reread", 3, "not waited or a slip from a fault", [](const Check& k) { return k.reread_pct.has_value(); }};
const TestOffer kShortOpen{"short_open", 3, "cable and input from the sensor", [](const Check& k) { return k.short_open.has_value(); }};
const TestOffer kStir{"stir", 3, "a film from a clogged junction", [](const Check& k) { return k.stir_ph.has_value(); }};
const TestOffer kGlass{"glass_resistance", 4, "broken, thinned or shunted glass from aged or coated glass",
                       [](const Check& k) { return k.glass_mohm.has_value(); }};
const TestOffer kReference{"reference_resistance", 4, "the junction from the glass",
                           [](const Check& k) { return k.reference_kohm.has_value(); }};
const TestOffer kBottle{"second_bottle", 5, "the bottle from the sensor", [](const Check& k) { return k.second_bottle.has_value(); }};
const TestOffer kEarth{"earth_wire", 5, "a ground loop from the process", [](const Check& k) { return k.earth_wire.has_value(); }};
const TestOffer kDilution{"dilution", 8, "a clogged junction from the glass", [](const Check& k) { return k.dilution_ph.has_value(); }};
const TestOffer kCable{"cable", 10, "the cable from the sensor", [](const Check& k) { return k.cable.has_value(); }};
const TestOffer kGrab{"grab", 12, "the sample from the sensor", [](const Check&) { return false; }};

std::vector<const TestOffer*> testsFor(FindingCode code)
{
    using enum FindingCode;
    switch (code) {
    case NoResponse: return {&kReread, &kShortOpen, &kGlass, &kCable};
    case GlassBroken: return {&kShortOpen, &kGlass, &kCable};
    case ShortCircuit:
    case OpenCircuit:
    case LeadsReversed: return {&kShortOpen, &kCable, &kNoise};
    case GlassShunted: return {&kGlass, &kCable};
    case FilmScale:
    case FilmGrease:
    case FilmProtein:
    case Biofilm: return {&kCoating, &kStir, &kReread};
    case GlassAged:
    case GlassEtched: return {&kGlass};
    case GlassDry: return {&kReread, &kGlass};
    case JunctionClogged:
    case JunctionBlocked:
    case BridgeExhausted: return {&kStir, &kReference, &kDilution};
    case CellContaminated:
    case ElectrolyteDiluted:
    case ReferencePoisoned: return {&kReference, &kStir};
    case TemperatureElement:
    case TemperatureIgnored: return {&kThermometer};
    case WrongStandard:
    case StaleStandard:
    case StandardExpired: return {&kBottle};
    case EntryError:
    case ReadTooSoon: return {&kReread};
    case GroundLoop: return {&kEarth};
    case ProcessDisagrees: return {&kEarth, &kGrab};
    case AlkaliError: return {&kGrab};
    case MetalFilmed:
    case MetalPoisoned: return {&kCoating, &kReread};
    default: return {};
    }
}

}  // namespace

void findSurroundings(const Case& c, Findings& f)
{
    findGroundAndTemperature(c, f);
    findProcess(c, f);
    findOrpProcess(c, f);
    findWrongSensor(c, f);
}

void addTests(const Case& c, Findings& f)
{
    for (auto& d : f.drafts()) {
        const TestOffer* next = nullptr;
        for (const auto* test : testsFor(d.finding.code)) {
            const std::string_view key = test->test;
            if (!c.rules->allowsTest(c.model, key)) {
                notPossible(d, fmt::format("{} cannot be measured on this design", testWords(key)));
                continue;
            }
            if ((key == "dilution" || key == "stir") && c.kind == SensorKind::Orp)
                continue;
            if (c.check && test->done(*c.check))
                continue;
            if (c.visit)
                notMeasured(d, testWords(key));
            if (!next || test->minutes < next->minutes)
                next = test;
        }
        if (next)
            d.finding.next_test = NextTest{next->test, next->minutes, next->splits};
    }
}

}  // namespace halfcell::core::judging
