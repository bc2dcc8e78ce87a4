#include "core/calibration/orp_set.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace halfcell::core::calibration {
namespace {

/// Two standards nearer than this give no span; our choice: a little under the swing of one pH unit of quinhydrone.
constexpr double kLeastSpan_mv = 50.0;
constexpr double kTemperatureStep = 0.5;

/// Change of a reference per kelvin, from its table on both sides of the temperature where it reaches that far.
double referencePerKelvin(std::string_view fill, double temp_c)
{
    double low = temp_c, high = temp_c;
    auto below = referencePotential(fill, Celsius(temp_c));
    auto above = below;
    if (const auto v = referencePotential(fill, Celsius(temp_c - kTemperatureStep))) {
        below = v;
        low = temp_c - kTemperatureStep;
    }
    if (const auto v = referencePotential(fill, Celsius(temp_c + kTemperatureStep))) {
        above = v;
        high = temp_c + kTemperatureStep;
    }
    if (!below || !above || low == high)
        return 0.0;
    return (above->e.value() - below->e.value()) / (high - low);
}

std::optional<std::string> collect(std::vector<TakenReading> taken, const FigureContext& context, const StandardsBook& standards,
                                   OrpSet& set, PhaseFigures& figures)
{
    std::optional<std::string> reason;
    std::vector<std::pair<std::string, std::string>> lots;
    for (TakenReading& t : taken) {
        const std::string words = standards.words(t.reading->standard);
        if (!t.temp_c) {
            reason = fmt::format("the temperature in {} was not recorded", words);
            continue;
        }
        auto value = standards.redox(t.reading->standard, t.lot, Celsius(*t.temp_c));
        if (!value) {
            noteRefusal(figures, t, value.error(), standards);
            reason = value.error().detail;
            continue;
        }
        OrpDip dip;
        dip.expected_mv = value->value;
        dip.perKelvin = value->perKelvin;
        if (!set.differential) {
            auto reference = referencePotential(context.reference_fill, Celsius(*t.temp_c));
            if (!reference) {
                noteRefusal(figures, t, reference.error(), standards);
                reason = reference.error().detail;
                continue;
            }
            dip.expected_mv -= reference->e.value();
            dip.perKelvin -= referencePerKelvin(context.reference_fill, *t.temp_c);
            dip.reference = std::move(*reference);
        }
        dip.lotGroup = groupOf(lots, t);
        dip.taken = std::move(t);
        dip.standard = std::move(*value);
        set.dips.push_back(std::move(dip));
    }
    return reason;
}

/// A differential sensor is compared with its own first reading; another standard or temperature moves what is expected by
/// what it moves on the hydrogen scale.
void expectFromBaseline(OrpSet& set, const FigureContext& context, const StandardsBook& standards)
{
    if (set.dips.empty())
        return;
    double atBaseline = set.dips.front().standard.value;
    if (!context.orp_baseline_standard.empty()) {
        const double temp = context.orp_baseline_temp_c.value_or(*set.dips.front().taken.temp_c);
        if (const auto value = standards.redox(context.orp_baseline_standard, {}, Celsius(temp)))
            atBaseline = value->value;
    }
    const double baseline = context.orp_baseline_mv.value_or(set.dips.front().taken.e_mv);
    set.baseline_mv = context.orp_baseline_mv;
    for (OrpDip& d : set.dips)
        d.expected_mv = baseline + (d.standard.value - atBaseline);
}

void sortIntoLevels(OrpSet& set, const StandardsBook& standards)
{
    std::map<std::string, std::size_t> known;
    for (std::size_t i = 0; i < set.dips.size(); ++i) {
        const std::string& key = set.dips[i].taken.reading->standard;
        const auto [it, isNew] = known.emplace(key, set.levels.size());
        if (isNew)
            set.levels.push_back({.dips = {}, .words = standards.words(key)});
        set.levels[it->second].dips.push_back(i);
    }
    for (OrpLevel& level : set.levels) {
        const double n = static_cast<double>(level.dips.size());
        double own = 0.0;
        for (const std::size_t i : level.dips) {
            const OrpDip& d = set.dips[i];
            level.e_mv += d.taken.e_mv / n;
            level.expected_mv += d.expected_mv / n;
            own += d.taken.u_own_mv * d.taken.u_own_mv / (n * n);
            level.u_standard_mv = std::max(level.u_standard_mv, d.standard.u);
        }
        level.u_own_mv = std::sqrt(own);
    }
    std::ranges::stable_sort(set.levels, {}, &OrpLevel::expected_mv);
}

void offsetFigures(OrpSet& set, PhaseFigures& figures)
{
    const double n = static_cast<double>(set.dips.size());
    double sum = 0.0, own = 0.0, temperature = 0.0, uTemperature = 0.0;
    std::map<int, std::pair<double, double>> lots;  // share of the mean, largest u
    for (const OrpDip& d : set.dips) {
        sum += d.taken.e_mv - d.expected_mv;
        own += d.taken.u_own_mv * d.taken.u_own_mv;
        temperature += d.perKelvin / n;
        uTemperature = std::max(uTemperature, d.taken.u_t_k);
        auto& [share, u] = lots[d.lotGroup];
        share += 1.0 / n;
        u = std::max(u, d.standard.u);
        if (d.reference)
            set.u_reference_mv = std::max(set.u_reference_mv, d.reference->u_mv);
    }
    double standard = 0.0;
    for (const auto& [group, lot] : lots)
        standard += lot.first * lot.first * lot.second * lot.second;
    set.u_own_mv = std::sqrt(own) / n;
    set.u_standard_mv = std::sqrt(standard);
    set.u_temperature_mv = std::fabs(temperature) * uTemperature;
    if (set.differential && !set.baseline_mv)
        return;
    figures.offset_mv = sum / n;
    figures.u_offset_mv = std::sqrt(set.u_own_mv * set.u_own_mv + standard + set.u_reference_mv * set.u_reference_mv +
                                    set.u_temperature_mv * set.u_temperature_mv);
}

void spanFigures(const OrpSet& set, PhaseFigures& figures)
{
    if (set.levels.size() < 2) {
        noteMissing(figures, {"span_pct", "u_span_pct"}, "one standard alone: offset only; a filmed metal would not show");
        return;
    }
    const OrpLevel& low = set.levels.front();
    const OrpLevel& high = set.levels.back();
    const double expected = high.expected_mv - low.expected_mv;
    if (expected < kLeastSpan_mv) {
        const std::string reason =
            fmt::format("the standards are only {} mV apart: a span needs {} mV", formatFixed(expected, 0), formatFixed(kLeastSpan_mv, 0));
        figures.issues.push_back({FindingCode::StandardsTooClose, reason, std::nullopt});
        noteMissing(figures, {"span_pct", "u_span_pct"}, reason);
        return;
    }
    const double read = high.e_mv - low.e_mv;
    figures.span_pct = 100.0 * read / expected;
    figures.span_between_standards_mv = std::fabs(read);
    const double standards =
        (low.u_standard_mv * low.u_standard_mv + high.u_standard_mv * high.u_standard_mv) * (read / expected) * (read / expected);
    figures.u_span_pct = 100.0 / expected * std::sqrt(low.u_own_mv * low.u_own_mv + high.u_own_mv * high.u_own_mv + standards);
}

}  // namespace

void figuresOfOrp(std::vector<TakenReading> taken, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures,
                  bool withWorking)
{
    OrpSet set;
    set.differential = context.reference_fill == kDifferentialFill;
    const bool none = taken.empty();
    const auto reason = collect(std::move(taken), context, standards, set, figures);
    if (set.dips.empty()) {
        const std::string why = none ? "no millivolts were recorded" : reason.value_or("no reading can be used");
        if (none)
            figures.issues.push_back({FindingCode::TooFewReadings, why, std::nullopt});
        noteMissing(figures, {"offset_mv", "u_offset_mv", "span_pct", "u_span_pct"}, why);
        return;
    }
    if (set.differential)
        expectFromBaseline(set, context, standards);
    sortIntoLevels(set, standards);
    offsetFigures(set, figures);
    if (!figures.offset_mv)
        noteMissing(figures, {"offset_mv", "u_offset_mv"},
                    "a differential reference is judged against its own first reading, and none is known before this one");
    spanFigures(set, figures);
    for (const OrpDip& d : set.dips)
        figures.used.push_back({.index = d.taken.index,
                                .standard = d.taken.reading->standard,
                                .e_mv = d.taken.e_mv,
                                .temp_c = *d.taken.temp_c,
                                .standardValue = d.expected_mv,
                                .remainder_mv = d.taken.remainder_mv,
                                .residual_mv = d.taken.e_mv - d.expected_mv,
                                .source = d.reference ? d.standard.source + "; " + d.reference->source : d.standard.source,
                                .hydrogen_mv = d.reference ? std::optional(d.taken.e_mv + d.reference->e.value()) : std::nullopt});
    if (withWorking)
        workOrp(set, context, standards, figures);
}

}  // namespace halfcell::core::calibration
