#include "core/rules/diagnosing.h"

#include "core/quantity/number.h"

#include <algorithm>
#include <cmath>

/// From a visit's records to the bands of the diagnosis. Bands are diagnostic, no limits of a verdict.
namespace halfcell::core::judging {

namespace {

constexpr double kMonthDays = 365.25 / 12.0;
constexpr double kStepMv = 15.0;           ///< more than the offset moves by itself between visits (assumed)
constexpr double kNewResponseS = 15.0;     ///< of a new bulb at 25 degC (common practice: under 10 to 15 s)
constexpr double kColdPerDoubling = 15.0;  ///< response doubles per 15 K colder (assumed)

class Seeing {
public:
    Seeing(const Case& c, const diagnosis::Network& n) : m_case(c), m_network(n)
    {
        m_seen.bands.resize(n.observables.size());
        m_seen.words.resize(n.observables.size());
    }

    void value(std::string_view key, std::optional<double> v, std::string words)
    {
        if (!v || !std::isfinite(*v))
            return;
        if (const auto o = m_network.observable(key))
            if (const auto band = m_network.observables[*o].bandOf(*v))
                put(*o, *band, std::move(words));
    }
    void band(std::string_view key, std::size_t band, std::string words)
    {
        if (const auto o = m_network.observable(key); o && band < m_network.observables[*o].bands.size())
            put(*o, band, std::move(words));
    }
    void compared(std::string_view key, const std::optional<Comparison>& c, const char* same, const char* changes)
    {
        if (c == Comparison::Same)
            band(key, 0, same);
        else if (c == Comparison::Changes)
            band(key, 1, changes);
    }
    Symptoms take() { return std::move(m_seen); }

private:
    void put(std::size_t o, std::size_t band, std::string words)
    {
        m_seen.bands[o] = band;
        m_seen.words[o] = std::move(words);
    }
    const Case& m_case;
    const diagnosis::Network& m_network;
    Symptoms m_seen;
};

/// Differential and antimony sensors are judged against their own first offset.
double baselineOf(const Case& c)
{
    if (!(c.differential() || c.model.sensing == Sensing::Antimony) || c.kind != SensorKind::Ph)
        return 0.0;
    for (const auto* v : c.past)
        if (const auto* s = v->lastState(); s && s->offset_mv)
            return *s->offset_mv;
    return 0.0;
}

double cold(const PhaseFigures& p)
{
    double t = 25.0;
    if (!p.used.empty())
        t = p.used.back().temp_c;
    return std::exp2((t - 25.0) / kColdPerDoubling);
}

std::optional<double> responseRatio(const Case& c)
{
    if (!c.state->t90_s)
        return std::nullopt;
    const double now = *c.state->t90_s * cold(*c.state);
    for (const auto* v : c.past)
        if (const auto* s = v->lastState(); s && s->t90_s && *s->t90_s > 0.0)
            return now / (*s->t90_s * cold(*s));
    double fresh = kNewResponseS;
    if (c.model.sensing == Sensing::Flat)
        fresh *= 1.5;
    else if (c.model.sensing == Sensing::Hardened)
        fresh *= 1.7;
    return now / fresh;
}

struct OffsetPast {
    double perMonth = 0.0;
    std::size_t points = 0;
    double last = 0.0;  ///< offset as last left
    double sinceMonths = 0.0;
};

/// Straight line through the offsets as left since the reference was last renewed, the visit judged not among them.
std::optional<OffsetPast> offsetBefore(const Case& c)
{
    std::optional<Instant> renewed;
    for (const auto a : {ActionKey::RefillReference, ActionKey::ReplaceBridge})
        if (const auto when = c.lastDone(a); when && *when < c.when && (!renewed || *when > *renewed))
            renewed = when;
    std::vector<std::pair<double, double>> points;
    constexpr std::size_t kMost = 8;
    for (std::size_t i = c.past.size(); i-- > 0 && points.size() < kMost;) {
        if (renewed && c.past[i]->when < *renewed)
            break;
        if (const auto* s = c.past[i]->lastState(); s && s->offset_mv)
            points.emplace_back(daysBetween(c.when, c.past[i]->when) / kMonthDays, *s->offset_mv);
    }
    if (points.empty())
        return std::nullopt;
    OffsetPast t{.perMonth = 0.0, .points = points.size(), .last = points.front().second, .sinceMonths = -points.front().first};
    const auto n = static_cast<double>(points.size());
    double mt = 0.0, mo = 0.0;
    for (const auto& [x, y] : points) {
        mt += x / n;
        mo += y / n;
    }
    double stt = 0.0, sto = 0.0;
    for (const auto& [x, y] : points) {
        stt += (x - mt) * (x - mt);
        sto += (x - mt) * (y - mo);
    }
    const double span = (points.front().first - points.back().first) * kMonthDays;
    if (n < c.number("diagnosis.trend_least_readings") || span < c.number("diagnosis.trend_least_days") || stt <= 0.0)
        t.points = 0;
    else
        t.perMonth = sto / stt;
    return t;
}

void seeReadings(const Case& c, Seeing& see)
{
    const auto& s = *c.state;
    const double base = baselineOf(c);
    if (s.efficiency_pct)
        see.value("eff", s.efficiency_pct, fmt::format("efficiency {} %", fixed(*s.efficiency_pct)));
    else if (c.response.dead || c.response.reversed)
        see.value("eff", c.response.pct, fmt::format("efficiency {} %", fixed(c.response.pct)));
    if (s.offset_mv) {
        see.value("off", *s.offset_mv - base,
                  base == 0.0 ? fmt::format("offset {}", mv(*s.offset_mv))
                              : fmt::format("offset {}, its own first was {}", mv(*s.offset_mv), mv(base)));
        if (const auto t = offsetBefore(c)) {
            // The forecast goes no further than the drift seen.
            const double forecast = t->last + std::clamp(t->perMonth * t->sinceMonths, -kStepMv, kStepMv);
            const double step = *s.offset_mv - forecast;
            if (std::fabs(step) > kStepMv)
                see.band("trd", step < 0 ? 0 : 4,
                         fmt::format("offset {}, {} was to be expected", mv(*s.offset_mv), mv(std::round(forecast))));
            else if (t->points > 0)
                see.band("trd",
                         t->perMonth < c.number("diagnosis.trend_falling_mv_month")  ? 1
                         : t->perMonth > c.number("diagnosis.trend_rising_mv_month") ? 3
                                                                                     : 2,
                         fmt::format("offset moves {} mV a month", formatSigned(t->perMonth, 1)));
        }
    }
    if (const auto ratio = responseRatio(c))
        see.value("t90", ratio, fmt::format("t90 {} s, {} times its first", fixed(*s.t90_s, 0), fixed(*ratio, 1)));
    if (s.least_wait_ratio)
        see.band("wait",
                 *s.least_wait_ratio >= 2.0   ? 0
                 : *s.least_wait_ratio >= 1.0 ? 1
                                              : 2,
                 fmt::format("read after {} of the response time", fixed(*s.least_wait_ratio, 1)));
    if (s.acid_leg_pct && s.alkaline_leg_pct) {
        const double d = *s.acid_leg_pct - *s.alkaline_leg_pct;
        see.band("legs",
                 d > c.profile->legs_differ_pct.value    ? 1
                 : d < -c.profile->legs_differ_pct.value ? 2
                                                         : 0,
                 fmt::format("legs {} and {} %", fixed(*s.acid_leg_pct), fixed(*s.alkaline_leg_pct)));
    }
}

/// What would explain that the sensor reads otherwise than it used to: a mistaken bottle, an old one, the temperature, the wait.
void seeDeparture(const Case& c, const diagnosis::RoundMember& own, Seeing& see)
{
    enum Band : std::size_t { AsExpected, Bottle, OldBottle, Temperature, Wait, Lower, Otherwise };
    constexpr double kSamePlace = 4.0, kFits = 6.0, kBetter = 2.0;  // squares of standard deviations (our choice)
    const auto& t = c.rules->diagnosisTables().round;
    const auto distance = [&](double pct, double mV) {
        return std::pow((own.efficiency_pct - pct) / t.sd_pct, 2) + std::pow((own.offset_mv - mV) / t.sd_mv, 2);
    };
    const double none = distance(0.0, 0.0);
    // Chloride leaches steadily: a fall that stands out of its scatter goes on, and what it explains is told by the trend, no departure.
    if (const auto past = offsetBefore(c);
        past && past->points > 0 && none >= kSamePlace && c.offsetTrend.value_or(0.0) < 0.0 && past->perMonth < 0.0 && c.state->offset_mv) {
        const double step = *c.state->offset_mv - past->last - std::max(past->perMonth * past->sinceMonths, -kStepMv);
        if (std::pow(own.efficiency_pct / t.sd_pct, 2) + std::pow(step / t.sd_mv, 2) < kSamePlace)
            return;
    }
    double least = none - kBetter;
    std::size_t band = none < kSamePlace ? AsExpected : own.efficiency_pct < 0.0 ? Lower : Otherwise;
    const auto offer = [&](std::size_t which, double pct, double mV) {
        if (const double d = distance(pct, mV); band != AsExpected && d < kFits && d < least) {
            least = d;
            band = which;
        }
    };
    for (std::size_t cause = 0; cause < own.exact.size(); ++cause)
        for (const auto& shift : own.exact[cause])
            if (shift.efficiency_pct != 0.0 || shift.offset_mv != 0.0)
                offer(Bottle + cause, shift.efficiency_pct, shift.offset_mv);
    if (c.state->least_wait_ratio)
        offer(Wait, -100.0 * std::pow(10.0, -*c.state->least_wait_ratio), 0.0);
    see.band("departure", band,
             fmt::format("efficiency {} % and offset {} mV from what was expected", formatSigned(own.efficiency_pct, 1),
                         formatSigned(own.offset_mv, 0)));
}

void seeGlass(const Case& c, const Check& k, Seeing& see)
{
    if (!k.glass_mohm.has_value() || !c.glass25 || !c.glass() || !c.rules->allowsTest(c.model, "glass_resistance"))
        return;
    const auto words = fmt::format("glass resistance {} MOhm at 25 degC", fixed(*c.glass25));
    if (c.glassRatio) {
        see.value("rg", *c.glassRatio, words + fmt::format(", {} times its first", fixed(*c.glassRatio, 2)));
        return;
    }
    double low = c.profile->glass_low_mohm.value, high = c.profile->glass_high_mohm.value;
    if (c.model.sensing == Sensing::Flat || c.model.sensing == Sensing::Hardened) {
        low = std::max(low, c.number("diagnosis.glass_low_flat_mohm"));
        high = std::max(high, c.number("diagnosis.glass_high_flat_mohm"));
    } else if (c.model.sensing == Sensing::HfResistant) {
        low = std::min(low, c.number("diagnosis.glass_low_hf_mohm"));
        high = std::min(high, c.number("diagnosis.glass_high_hf_mohm"));
    }
    see.band("rg", *c.glass25 < low ? 0 : *c.glass25 > high ? 2 : 1, words);
}

/// Tests of the sensor itself, which hold only until something is done to it.
void seeTests(const Case& c, const Check& k, Seeing& see)
{
    if (k.coating.has_value())
        see.value("coat", *k.coating, fmt::format("coating {} of 4", fixed(*k.coating, 0)));
    if (k.noise_mv.has_value())
        see.value("noise", *k.noise_mv, fmt::format("noise {} mV", fixed(*k.noise_mv)));
    if (k.hysteresis_mv.has_value())
        see.value("hyst", *k.hysteresis_mv, fmt::format("hysteresis {} mV", fixed(*k.hysteresis_mv)));
    if (k.reference_kohm.has_value() && c.rules->allowsTest(c.model, "reference_resistance"))
        see.value("rref", *k.reference_kohm, fmt::format("reference resistance {} kOhm", fixed(*k.reference_kohm, 0)));
    if (k.dilution_ph.has_value())
        see.value("dil", std::fabs(*k.dilution_ph - c.number("diagnosis.dilution_ph")) - 1e-9,
                  fmt::format("diluted standard reads pH {}", fixed(*k.dilution_ph, 2)));
    if (k.stir_ph.has_value())
        see.value("stir", std::fabs(*k.stir_ph) + 1e-9, fmt::format("stirred and still differ by {} pH", fixed(std::fabs(*k.stir_ph), 2)));
    if (k.reread_pct.has_value())
        see.value("reread", *k.reread_pct, fmt::format("read again, {} % better", fixed(*k.reread_pct)));
    see.compared("cable", k.cable, "a spare cable changes nothing", "a dried or spare cable cures it");
    see.compared("shortin", k.short_open, "the input passes the shorting plug", "the input fails the shorting plug");
}

void seeGrab(const Case& c, Seeing& see)
{
    if (!c.grab || !c.grab->loop_ph.has_value() || !c.grab->grab_ph.has_value())
        return;
    const double d = *c.grab->loop_ph - *c.grab->grab_ph;
    double scale = 1.0;
    if (c.point && c.point->grab_quality == GrabQuality::Dirty)
        scale = c.number("diagnosis.grab_dirty_factor");
    else if (c.point && c.point->grab_quality == GrabQuality::Pure)
        scale = c.number("diagnosis.grab_pure_factor");
    see.value("grab", std::fabs(d) / scale - 1e-9, fmt::format("loop {} pH off the grab sample", formatSigned(d, 2)));
}

void seeOrp(const Case& c, const Check* k, bool asItCame, Seeing& see)
{
    const auto& s = *c.state;
    if (!s.used.empty())
        see.value("dev", std::fabs(s.used.front().residual_mv),
                  fmt::format("{} off the expected in {}", mv(s.used.front().residual_mv), c.standards->words(s.used.front().standard)));
    if (s.span_pct && s.used.size() >= 2) {
        double least = HUGE_VAL, most = -HUGE_VAL;
        for (const auto& u : s.used) {
            least = std::min(least, u.residual_mv);
            most = std::max(most, u.residual_mv);
        }
        const bool shortSpan = *s.span_pct < c.profile->orp_span_maintenance_pct.value;
        const bool alike = most - least <= 2.0 * c.number("diagnosis.orp_alike_mv") &&
                           std::fabs(0.5 * (most + least)) > c.number("diagnosis.orp_alike_mv");
        see.band("pair",
                 shortSpan ? 2
                 : alike   ? 1
                           : 0,
                 fmt::format("off by {} and {}, span {} %", mv(least), mv(most), fixed(*s.span_pct, 0)));
    }
    if (s.t90_s)
        see.value("settle", *s.t90_s, fmt::format("settles in {} s", fixed(*s.t90_s, 0)));
    if (asItCame && c.grab && c.grab->loop_mv.has_value() && c.grab->grab_mv.has_value()) {
        const double d = *c.grab->loop_mv - *c.grab->grab_mv;
        see.value("grab", std::fabs(d), fmt::format("loop {} off the grab sample", mv(d)));
    }
    if (k)
        see.compared("earth", k->earth_wire, "an earthed wire changes nothing", "an earthed wire shifts the reading");
    if (!k || !asItCame)
        return;
    if (k->noise_mv.has_value())
        see.value("noise", *k->noise_mv, fmt::format("noise {} mV", fixed(*k->noise_mv)));
    if (k->coating.has_value())
        see.band("look", *k->coating >= 2.0 ? 1 : 0, fmt::format("coating {} of 4", fixed(*k->coating, 0)));
    if (k->hysteresis_mv.has_value())
        see.band("repeat", *k->hysteresis_mv > c.number("diagnosis.orp_alike_mv") ? 1 : 0,
                 fmt::format("{} mV apart after another solution", fixed(*k->hysteresis_mv)));
}

}  // namespace

Symptoms symptomsOf(const Case& c, const diagnosis::Network& network, const diagnosis::RoundMember* own)
{
    Seeing see(c, network);
    const bool acted = c.visit && std::any_of(c.visit->actions.begin(), c.visit->actions.end(), [](const Action& a) {
                           return a.action != ActionKey::Standardise && a.action != ActionKey::Adjust;
                       });
    const bool asItCame = c.state->phase == Phase::AsFound || !acted;
    if (c.kind == SensorKind::Orp) {
        seeOrp(c, c.check, asItCame, see);
        return see.take();
    }
    seeReadings(c, see);
    if (own)
        seeDeparture(c, *own, see);
    if (const auto* k = c.check) {
        seeGlass(c, *k, see);
        if (asItCame)
            seeTests(c, *k, see);
        if (k->dry_hours.has_value() && (asItCame || !(c.done(ActionKey::Rehydrate) || c.done(ActionKey::Condition))))
            see.value("dry", *k->dry_hours, *k->dry_hours < 1.0 ? "not dried out" : fmt::format("dry for {} h", fixed(*k->dry_hours, 0)));
        if (k->thermometer_off_k.has_value())
            see.value("thermo", std::fabs(*k->thermometer_off_k),
                      fmt::format("the sensor's thermometer is off by {} K", formatSigned(*k->thermometer_off_k, 1)));
        see.compared("bottle2", k->second_bottle, "a fresh bottle reads the same", "a fresh bottle reads otherwise");
        see.compared("earth", k->earth_wire, "an earthed wire changes nothing", "an earthed wire shifts the reading");
    }
    if (asItCame)
        seeGrab(c, see);
    return see.take();
}

diagnosis::Setting settingOf(const Case& c)
{
    diagnosis::Setting s;
    s.kind = c.kind;
    s.application = c.application();
    s.reference = c.model.reference;
    s.sensing = c.model.sensing;
    if (c.visit && c.visit->reason)
        s.complaint = *c.visit->reason == VisitReason::Complaint || *c.visit->reason == VisitReason::Alarm ||
                      *c.visit->reason == VisitReason::FailedCheck;
    s.cleaned = c.cleaned() || c.done(ActionKey::PolishMetal);
    s.soaked = c.done(ActionKey::Rehydrate);
    s.wrongMetal = wrongMetal(c);
    std::optional<Instant> since;
    if (c.history && c.history->sensor) {
        since = c.history->sensor->first_wet ? c.history->sensor->first_wet : c.history->sensor->opened;
        for (const auto* p : c.history->placements)
            if (!since && c.plant && c.plant->point(p->place) && p->from <= c.when)
                since = p->from;
        if (!since)
            since = c.history->sensor->bought;
    }
    if (since)
        s.ageMonths = std::max(0.0, daysBetween(*since, c.when) / kMonthDays);
    return s;
}

}  // namespace halfcell::core::judging
