#include "core/calibration/figures.h"

#include "core/calibration/phase_readings.h"
#include "core/electrochemistry/nernst.h"

namespace halfcell::core {

PhaseFigures figuresOf(const Visit& visit, Phase phase, const FigureContext& context, bool withWorking)
{
    const StandardsBook& standards = context.standards ? *context.standards : StandardsBook::shipped();
    PhaseFigures figures;
    figures.phase = phase;
    figures.kind = context.kind;
    figures.when = visit.when;
    auto taken = calibration::takeReadings(visit, phase, context, standards, figures);
    if (context.kind == SensorKind::Orp)
        calibration::figuresOfOrp(std::move(taken), context, standards, figures, withWorking);
    else
        calibration::figuresOfPh(std::move(taken), context, standards, figures, withWorking);
    if (withWorking)
        calibration::workSettling(standards, figures);
    return figures;
}

PhaseFigures figuresOf(const Legacy& legacy, SensorKind kind)
{
    constexpr const char* kReason = "no millivolts were recorded";
    PhaseFigures figures;
    figures.phase = legacy.phase;
    figures.kind = kind;
    figures.when = legacy.when;
    figures.legacy = true;
    figures.offset_mv = legacy.offset_mv;
    figures.t90_s = legacy.t90_s;
    if (kind == SensorKind::Ph)
        figures.efficiency_pct = legacy.efficiency_pct;
    else
        calibration::noteMissing(figures, {"span_pct", "u_span_pct"}, kReason);
    if (kind == SensorKind::Ph) {
        if (!figures.efficiency_pct)
            calibration::noteMissing(figures, {"efficiency_pct"}, kReason);
        calibration::noteMissing(
            figures,
            {"u_efficiency_pct", "slope_mv_per_ph", "zero_point_ph", "residual_mv", "acid_leg_pct", "alkaline_leg_pct", "u_at_process_ph"},
            kReason);
    }
    if (!figures.offset_mv)
        calibration::noteMissing(figures, {"offset_mv"}, kReason);
    calibration::noteMissing(figures, {"u_offset_mv"}, kReason);
    const auto work = [&](const char* key, const std::optional<double>& value, const char* unit) {
        if (!value)
            return;
        figures.working.push_back({key,
                                   {{.step = "taken from a record that holds figures only",
                                     .formula = {},
                                     .inputs = {{.name = key, .value = value, .unit = unit, .text = "as typed", .readingRef = {}}},
                                     .result = value,
                                     .unit = unit,
                                     .text = kReason,
                                     .source = "the record",
                                     .sourceClass = SourceClass::Record}}});
    };
    work("efficiency_pct", figures.efficiency_pct, "%");
    work("offset_mv", figures.offset_mv, "mV");
    work("t90_s", figures.t90_s, "s");
    return figures;
}

std::optional<KeyIn> keyInFigures(const PhaseFigures& figures)
{
    constexpr double kLeastSlope = 0.05;
    if (figures.kind != SensorKind::Ph || !figures.efficiency_pct || !figures.offset_mv)
        return std::nullopt;
    const double s = *figures.efficiency_pct / 100.0;
    if (!(s > kLeastSlope))
        return std::nullopt;
    KeyIn key;
    key.efficiency_pct = *figures.efficiency_pct;
    key.slope_mv_per_ph_25c = s * nernstSlopeUnchecked(kStandardTemperature.kelvin());
    key.offset_mv = *figures.offset_mv;
    key.zero_point_ph = 7.0 + key.offset_mv / key.slope_mv_per_ph_25c;
    key.offset_ph = key.zero_point_ph - 7.0;
    return key;
}

}  // namespace halfcell::core
