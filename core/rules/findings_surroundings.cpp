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

void findProcess(const Case& c, Findings& f)
{
    if (c.kind != SensorKind::Ph || !c.grab || !c.grab->loop_ph.has_value() || !c.grab->grab_ph.has_value() || !buffersFine(c))
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
    const auto text = fmt::format("loop {} against grab sample {}: {} pH, {} is agreed", fixed(*c.grab->loop_ph, 2),
                                  fixed(*c.grab->grab_ph, 2), formatSigned(difference, 2), fixed(limit, 2));
    if (difference < 0 && *c.grab->grab_ph > c.number("diagnosis.alkali_ph") && c.glass()) {
        auto& d = f.add(FindingCode::AlkaliError, 62, false, Verdict::Leave, {});
        speaksFor(d, text + fmt::format(": it reads low above pH {}", fixed(c.number("diagnosis.alkali_ph"), 0)));
        d.cause = "alkali error of the glass, not a fault";
        d.advice = "Calibrate near the range; order glass with low sodium error next time.";
    }
    auto& d = f.add(FindingCode::ProcessDisagrees, 64, false, Verdict::Recheck, {});
    speaksFor(d, text);
    speaksFor(d, "efficiency and offset are in order in standards");
    speaksAgainst(d, "one grab sample is no fault: it takes two, or one with a failed check");
    d.cause = "the process and the grab sample disagree";
    d.advice = "Take another grab sample at line temperature before anything is changed.";
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
