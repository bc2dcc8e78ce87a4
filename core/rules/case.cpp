#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"
#include "core/rules/judging.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace halfcell::core::judging {

namespace {

constexpr double kDaysPerMonth = 365.25 / 12.0;

/// Straight line through as-left offsets, and whether it stands out of their scatter.
std::optional<double> trendOf(const Case& c)
{
    std::vector<std::pair<double, double>> points;  // months before the state, mV
    const auto take = [&](const PhaseFigures& p, const Instant& when) {
        if (p.offset_mv && p.kind == c.kind)
            points.emplace_back(daysBetween(c.when, when) / kDaysPerMonth, *p.offset_mv);
    };
    std::optional<Instant> renewed;
    for (const auto a : {ActionKey::RefillReference, ActionKey::ReplaceBridge})
        if (const auto when = c.lastDone(a); when && (!renewed || *when > *renewed))
            renewed = when;
    constexpr std::size_t kMost = 8;  // older ones belong to another season
    for (std::size_t i = c.past.size(); i-- > 0 && points.size() + 1 < kMost;) {
        if (renewed && c.past[i]->when < *renewed)
            break;
        if (const auto* state = c.past[i]->lastState())
            take(*state, c.past[i]->when);
    }
    if (c.state && c.state->offset_mv)
        take(*c.state, c.when);
    const auto n = static_cast<double>(points.size());
    if (n < c.number("diagnosis.trend_least_readings"))
        return std::nullopt;
    double mt = 0, mo = 0, oldest = 0;
    for (const auto& [t, o] : points) {
        mt += t / n;
        mo += o / n;
        oldest = std::min(oldest, t);
    }
    if (-oldest * kDaysPerMonth < c.number("diagnosis.trend_least_days"))
        return std::nullopt;
    double stt = 0, sto = 0;
    for (const auto& [t, o] : points) {
        stt += (t - mt) * (t - mt);
        sto += (t - mt) * (o - mo);
    }
    if (stt <= 0)
        return std::nullopt;
    const double slope = sto / stt;
    double rest = 0;
    for (const auto& [t, o] : points)
        rest += std::pow(o - mo - slope * (t - mt), 2);
    // Scatter of offsets between days is 2 to 3 mV at best (common practice), however well few points happen to fit.
    const double scatter = std::max(2.0, n > 2 ? std::sqrt(rest / (n - 2)) : 2.0);
    return std::fabs(slope) >= c.number("diagnosis.u_margin") * scatter / std::sqrt(stt) ? std::optional(slope) : std::nullopt;
}

bool responseFailed(const Case& c, const VisitFigures& v)
{
    for (const auto& phase : v.phases) {
        if (c.kind == SensorKind::Orp) {
            if (phase.span_pct && *phase.span_pct < c.profile->orp_span_failure_pct.value)
                return true;
            continue;
        }
        if (!v.visit)
            continue;
        const auto r = responseOf(dipsOf(*v.visit, phase.phase, *c.standards), phase.efficiency_pct, *c.rules, *c.standards);
        if (r.dead || r.reversed)
            return true;
    }
    return false;
}

/// CONTRACT: a checks row of this visit or since the fault was first seen with cable or short_open the same, or rewire or
/// dry_connector done and read again.
bool wiringCheckedSince(const Case& c)
{
    std::vector<const Visit*> visits;
    if (c.history) {
        Instant first = c.when;
        for (std::size_t i = c.past.size(); i-- > 0 && responseFailed(c, *c.past[i]);)
            first = c.past[i]->when;
        for (const auto* v : c.history->visits)
            if (v->when >= first && v->when <= c.until)
                visits.push_back(v);
    }
    if (c.visit && std::find(visits.begin(), visits.end(), c.visit) == visits.end())
        visits.push_back(c.visit);
    for (std::size_t i = 0; i < visits.size(); ++i) {
        for (const auto& check : visits[i]->checks)
            if (check.cable == Comparison::Same || check.short_open == Comparison::Same)
                return true;
        for (const auto& a : visits[i]->actions) {
            if (a.action != ActionKey::Rewire && a.action != ActionKey::DryConnector)
                continue;
            if (i + 1 < visits.size() && std::any_of(visits.begin() + static_cast<std::ptrdiff_t>(i) + 1, visits.end(),
                                                     [](const Visit* v) { return !v->readings.empty(); }))
                return true;
            for (const auto& r : visits[i]->readings)
                if (r.phase != Phase::AsFound || r.when > a.when)
                    return true;
        }
    }
    return false;
}

}  // namespace

std::optional<double> glassAt25(const Check& check)
{
    if (!check.glass_mohm.has_value() || !check.glass_temp_degc.has_value())
        return std::nullopt;
    const auto r = glassResistanceAt25(Megaohm(*check.glass_mohm), Celsius(*check.glass_temp_degc));
    return r ? std::optional(r->value()) : std::nullopt;
}

std::string fixed(double v, int decimals)
{
    return formatFixed(v, decimals);
}

std::string mv(double v)
{
    return formatSigned(v, std::fabs(v - std::round(v)) < 0.05 ? 0 : 1) + " mV";
}

bool isCleaning(ActionKey a)
{
    switch (a) {
    case ActionKey::CleanDetergent:
    case ActionKey::CleanAlcohol:
    case ActionKey::CleanAcid:
    case ActionKey::CleanEnzyme:
    case ActionKey::CleanThiourea:
    case ActionKey::CleanHypochlorite: return true;
    default: return false;
    }
}

const Reading* readingAt(const Visit* v, std::size_t index)
{
    return v && index < v->readings.size() ? &v->readings[index] : nullptr;
}

std::vector<Dip> dipsOf(const Visit& visit, Phase phase, const StandardsBook& standards)
{
    std::vector<Dip> dips;
    for (std::size_t i = 0; i < visit.readings.size(); ++i) {
        const auto& r = visit.readings[i];
        if (r.phase != phase || !r.mv)
            continue;
        Dip d{.index = i, .standard = r.standard, .mv = *r.mv};
        const auto kind = standards.kindOf(r.standard);
        if (kind != StandardKind::PhBuffer && kind != StandardKind::KnownPh)
            continue;
        if (r.temp_degc.has_value()) {
            const auto value = standards.ph(r.standard, r.lot ? *r.lot : std::string(), Celsius(*r.temp_degc));
            if (value) {
                d.ph = value->value;
                d.temp_c = *r.temp_degc;
                d.tempKnown = true;
            }
        }
        if (!d.tempKnown) {
            const auto nominal = standards.nominalPh(r.standard);
            if (!nominal)
                continue;
            d.ph = *nominal;
        }
        d.x = nernstSlopeUnchecked(d.temp_c + 273.15) * (d.ph - 7.0);
        dips.push_back(std::move(d));
    }
    std::stable_sort(dips.begin(), dips.end(), [](const Dip& a, const Dip& b) { return a.ph < b.ph; });
    return dips;
}

std::optional<LabelValues> labelValues(const std::vector<Dip>& dips, const StandardsBook& standards)
{
    constexpr std::array kLabels{"ph4.00", "ph4.01", "ph6.86", "ph7.00", "ph9.18", "ph10.01"};
    constexpr double kPrinted = 0.005;  // labels print two decimals
    constexpr double kAway = 4.0;       // nearer to 25 degC the values move less than a bottle is sure of
    LabelValues found;
    std::string printed, there;
    double most = 0.0, temp = 25.0;
    for (const auto& d : dips) {
        found.ph.push_back(d.ph);
        if (standards.kindOf(d.standard) != StandardKind::KnownPh)
            continue;
        if (!d.tempKnown || std::fabs(d.temp_c - 25.0) < kAway)
            return std::nullopt;
        const auto label = std::find_if(kLabels.begin(), kLabels.end(), [&](const char* key) {
            const auto nominal = standards.nominalPh(key);
            return nominal && std::fabs(*nominal - d.ph) < kPrinted;
        });
        if (label == kLabels.end())
            return std::nullopt;
        const auto value = standards.ph(*label, {}, Celsius(d.temp_c));
        if (!value)
            return std::nullopt;
        found.ph.back() = value->value;
        most = std::max(most, std::fabs(value->value - d.ph));
        temp = d.temp_c;
        printed += (printed.empty() ? "" : " and ") + fixed(d.ph, 2);
        there += (there.empty() ? "" : " and ") + fixed(value->value, 2);
    }
    if (most < kProcessBottleU)
        return std::nullopt;
    found.text = fmt::format("{} are the values at 25 degC; at {} degC they are {}", printed, fixed(temp, 0), there);
    return found;
}

bool Legs::within(double low, double high) const
{
    return !pct.empty() && std::all_of(pct.begin(), pct.end(), [&](double p) { return p >= low && p <= high; });
}

std::optional<Legs> legsOf(std::vector<Dip> dips, double apart)
{
    std::stable_sort(dips.begin(), dips.end(), [](const Dip& a, const Dip& b) { return a.ph < b.ph; });
    // Dips of one standard count as their mean.
    std::vector<Dip> merged;
    std::vector<int> counts;
    for (const auto& d : dips) {
        if (!merged.empty() && d.standard == merged.back().standard) {
            const double n = ++counts.back();
            merged.back().mv += (d.mv - merged.back().mv) / n;
            merged.back().x += (d.x - merged.back().x) / n;
            continue;
        }
        merged.push_back(d);
        counts.push_back(1);
    }
    Legs legs;
    for (std::size_t i = 1; i < merged.size(); ++i)
        if (merged[i].ph - merged[i - 1].ph >= apart)
            legs.pct.push_back(100.0 * (merged[i - 1].mv - merged[i].mv) / (merged[i].x - merged[i - 1].x));
    if (legs.pct.empty() || merged.back().ph - merged.front().ph < apart)
        return std::nullopt;
    const auto &a = merged.front(), &b = merged.back();
    const double s = (a.mv - b.mv) / (b.x - a.x);
    legs.overall_pct = 100.0 * s;
    const auto nearest =
        std::min_element(merged.begin(), merged.end(), [](const Dip& p, const Dip& q) { return std::fabs(p.x) < std::fabs(q.x); });
    legs.offset_mv = nearest->mv + s * nearest->x;
    return legs;
}

Response responseOf(const std::vector<Dip>& dips, const std::optional<double>& efficiency, const RuleSet& rules,
                    const StandardsBook& standards)
{
    Response r;
    if (dips.size() < 2)
        return r;
    const auto &a = dips.front(), &b = dips.back();
    r.apart_ph = b.ph - a.ph;
    if (r.apart_ph < rules.number("diagnosis.alike_apart_ph").value)
        return r;
    r.apart_mv = std::fabs(a.mv - b.mv);
    r.pct = efficiency ? *efficiency : 100.0 * (a.mv - b.mv) / (b.x - a.x);
    const double low = rules.number("diagnosis.dead_low_pct").value, high = rules.number("diagnosis.dead_high_pct").value;
    r.reversed = r.pct < low;
    r.dead = !r.reversed && (r.apart_mv < rules.number("diagnosis.alike_mv").value || r.pct < high);
    r.text = fmt::format("{} in {} and {} in {}", mv(a.mv), standards.words(a.standard), mv(b.mv), standards.words(b.standard));
    return r;
}

double Case::number(std::string_view key) const
{
    const auto own = rules->number(key);
    return own.source == "not set" ? RuleSet::shipped().number(key).value : own.value;
}

std::string Case::application() const
{
    return point && point->application ? *point->application : std::string("*");
}

bool Case::done(ActionKey a) const
{
    return visit && state && state->phase != Phase::AsFound &&
           std::any_of(visit->actions.begin(), visit->actions.end(), [&](const Action& x) { return x.action == a; });
}

bool Case::cleaned() const
{
    return visit && state && state->phase != Phase::AsFound &&
           std::any_of(visit->actions.begin(), visit->actions.end(), [](const Action& x) { return isCleaning(x.action); });
}

std::size_t Case::timesDone(ActionKey a) const
{
    std::size_t n = 0;
    const auto count = [&](const Visit& v) {
        n += static_cast<std::size_t>(std::count_if(v.actions.begin(), v.actions.end(), [&](const Action& x) { return x.action == a; }));
    };
    if (history) {
        for (const auto* v : history->visits)
            if (v->when <= when)
                count(*v);
    } else if (visit) {
        count(*visit);
    }
    return n;
}

std::optional<Instant> Case::lastDone(ActionKey a) const
{
    std::optional<Instant> last;
    if (!history)
        return last;
    for (const auto* v : history->visits)
        if (v->when <= when && std::any_of(v->actions.begin(), v->actions.end(), [&](const Action& x) { return x.action == a; }))
            last = v->when;
    return last;
}

std::size_t Case::running(const std::function<bool(const PhaseFigures&)>& bad) const
{
    if (!state || !bad(*state))
        return 0;
    std::size_t n = 1;
    for (std::size_t i = past.size(); i-- > 0;) {
        const auto* s = past[i]->lastState();
        if (!s || !bad(*s))
            break;
        ++n;
    }
    return n;
}

bool Case::doneInRow(ActionKey a, std::size_t rows) const
{
    if (rows > 0 && done(a))
        return true;
    for (std::size_t i = 1; i < rows && i <= past.size(); ++i) {
        const auto* v = past[past.size() - i]->visit;
        if (v && std::any_of(v->actions.begin(), v->actions.end(), [&](const Action& x) { return x.action == a; }))
            return true;
    }
    return false;
}

bool Case::cleanedInRow(std::size_t rows) const
{
    for (const auto& entry : keyEntries<ActionKey>())
        if (isCleaning(entry.value) && doneInRow(entry.value, rows))
            return true;
    return false;
}

void prepare(Case& c)
{
    if (c.visit) {
        c.check = c.visit->checks.empty() ? nullptr : &c.visit->checks.front();
        c.grab = c.visit->grabs.empty() ? nullptr : &c.visit->grabs.front();
    }
    for (const auto* v : c.past) {
        const auto* s = v->lastState();
        if (s && s->efficiency_pct) {
            c.lastLeftEfficiency = s->efficiency_pct;
            c.uLastLeftEfficiency = s->u_efficiency_pct;
            if (!c.firstEfficiency)
                c.firstEfficiency = s->efficiency_pct;
        }
        if (s && s->offset_mv)
            c.lastLeftOffset = s->offset_mv;
        if (s && s->t90_s && !c.firstT90)
            c.firstT90 = s->t90_s;
        if (!v->visit)
            continue;
        for (const auto& check : v->visit->checks) {
            if (!c.firstGlass25)
                c.firstGlass25 = glassAt25(check);
            if (!c.firstReference && check.reference_kohm.has_value())
                c.firstReference = *check.reference_kohm;
        }
    }
    if (c.check)
        c.glass25 = glassAt25(*c.check);
    if (c.glass25 && c.firstGlass25 && *c.firstGlass25 > 0)
        c.glassRatio = *c.glass25 / *c.firstGlass25;
    if (!c.state)
        return;
    if (c.visit && c.kind == SensorKind::Ph) {
        c.dips = dipsOf(*c.visit, c.state->phase, *c.standards);
        c.response = responseOf(c.dips, c.state->efficiency_pct, *c.rules, *c.standards);
    } else if (c.kind == SensorKind::Ph && c.state->efficiency_pct) {
        const double pct = *c.state->efficiency_pct;
        c.response.pct = pct;
        c.response.reversed = pct < c.number("diagnosis.dead_low_pct");
        c.response.dead = !c.response.reversed && pct < c.number("diagnosis.dead_high_pct");
        c.response.text = fmt::format("an efficiency of {} % was written down", fixed(pct));
    }
    if (c.state->t90_s && c.firstT90 && *c.firstT90 > 0)
        c.t90Ratio = *c.state->t90_s / *c.firstT90;
    c.slow = c.state->t90_s &&
             (*c.state->t90_s > c.profile->t90_maintenance_s.value ||
              (*c.state->t90_s > c.number("diagnosis.slow_s") && (!c.t90Ratio || *c.t90Ratio >= c.number("diagnosis.slow_ratio"))));
    c.offsetTrend = trendOf(c);
    if (c.state->efficiency_pct && c.lastLeftEfficiency) {
        const double u = std::hypot(c.state->u_efficiency_pct.value_or(1.0), c.uLastLeftEfficiency.value_or(1.0));
        const double drop = *c.lastLeftEfficiency - *c.state->efficiency_pct;
        if (drop > std::max(c.number("diagnosis.efficiency_drop_pct"), c.number("diagnosis.u_margin") * u))
            c.dropPct = drop;
    }
    c.deadBefore = !c.past.empty() && responseFailed(c, *c.past.back());
    c.wiringChecked = wiringCheckedSince(c);
}

}  // namespace halfcell::core::judging
