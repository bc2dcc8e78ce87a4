#include "core/calibration/ph_set.h"
#include "core/calibration/working_steps.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::calibration {

std::string numbered(const char* letter, std::size_t index)
{
    return fmt::format("{}{}", letter, index + 1);
}

namespace {

std::vector<std::size_t> allDips(const PhSet& set)
{
    std::vector<std::size_t> all(set.dips.size());
    for (std::size_t i = 0; i < all.size(); ++i)
        all[i] = i;
    return all;
}

/// s and E0 from two readings: the line through both.
void twoPointSteps(const PhSet& set, const LineFit& fit, const StandardsBook& standards, std::vector<WorkingStep>& slope,
                   std::vector<WorkingStep>& offset)
{
    slope.push_back({.step = "efficiency as a fraction",
                     .formula = "s = (E1 − E2) / (x2 − x1)",
                     .inputs = {readingInput(set, 0, standards), readingInput(set, 1, standards), input("x1", set.dips[0].x, "mV"),
                                input("x2", set.dips[1].x, "mV")},
                     .result = fit.s,
                     .unit = {},
                     .text = {},
                     .source = "raw readings",
                     .sourceClass = SourceClass::Record});
    offset.push_back({.step = "offset: mV at pH 7",
                      .formula = "E0 = E1 + s · x1",
                      .inputs = {readingInput(set, 0, standards), input("s", fit.s), input("x1", set.dips[0].x, "mV")},
                      .result = fit.e0_mv,
                      .unit = "mV",
                      .text = {},
                      .source = "raw readings",
                      .sourceClass = SourceClass::Record});
}

/// s and E0 from three readings and more: weighted least squares, with its sums.
void weightedSteps(const PhSet& set, const LineFit& fit, const StandardsBook& standards, std::vector<WorkingStep>& slope,
                   std::vector<WorkingStep>& offset)
{
    double sw = 0.0, swx = 0.0, swe = 0.0;
    WorkingStep weights{.step = "sums with the weights w = 1/u(E)²",
                        .formula = "x̄ = Σwx / Σw, Ē = ΣwE / Σw",
                        .inputs = {},
                        .result = std::nullopt,
                        .unit = {},
                        .text = {},
                        .source = "weighted least squares; errors that readings share do not enter the weights",
                        .sourceClass = SourceClass::Computed};
    for (std::size_t i = 0; i < set.dips.size(); ++i) {
        const double w = 1.0 / (set.points[i].u_e_mv * set.points[i].u_e_mv);
        sw += w;
        swx += w * set.dips[i].x;
        swe += w * set.points[i].e_mv;
        slope.push_back(ownUncertaintyStep(numbered("E", i), standards.words(set.dips[i].taken.reading->standard), set.dips[i].taken));
    }
    const double meanX = swx / sw, meanE = swe / sw;
    double sxx = 0.0, sxe = 0.0;
    for (std::size_t i = 0; i < set.dips.size(); ++i) {
        const double w = 1.0 / (set.points[i].u_e_mv * set.points[i].u_e_mv);
        sxx += w * (set.dips[i].x - meanX) * (set.dips[i].x - meanX);
        sxe += w * (set.dips[i].x - meanX) * (set.points[i].e_mv - meanE);
        weights.inputs.push_back(input(numbered("w", i), w, "1/mV²"));
        weights.inputs.push_back(input(numbered("x", i), set.dips[i].x, "mV"));
        weights.inputs.push_back(readingInput(set, i, standards));
    }
    weights.inputs.push_back(input("Σw", sw, "1/mV²"));
    weights.inputs.push_back(input("Σwx", swx, "1/mV"));
    weights.inputs.push_back(input("ΣwE", swe, "1/mV"));
    weights.inputs.push_back(input("x̄", meanX, "mV"));
    weights.inputs.push_back(input("Ē", meanE, "mV"));
    slope.push_back(weights);
    slope.push_back({.step = "efficiency as a fraction",
                     .formula = "s = −Sxe / Sxx; Sxx = Σw(x − x̄)², Sxe = Σw(x − x̄)(E − Ē)",
                     .inputs = {input("Sxx", sxx), input("Sxe", sxe)},
                     .result = fit.s,
                     .unit = {},
                     .text = {},
                     .source = "weighted least squares",
                     .sourceClass = SourceClass::Computed});
    offset.push_back({.step = "offset: mV at pH 7",
                      .formula = "E0 = Ē + s · x̄",
                      .inputs = {input("Ē", meanE, "mV"), input("s", fit.s), input("x̄", meanX, "mV")},
                      .result = fit.e0_mv,
                      .unit = "mV",
                      .text = {},
                      .source = "weighted least squares",
                      .sourceClass = SourceClass::Computed});
}

std::string namesOf(const PhSet& set, std::span<const std::size_t> points, const StandardsBook& standards)
{
    std::string names;
    for (const std::size_t i : points) {
        const std::string words = standards.words(set.dips[i].taken.reading->standard);
        if (names.find(words) == std::string::npos)
            names += (names.empty() ? "" : ", ") + words;
    }
    return names;
}

/// The fit's budget input by input; `scale` turns the sensitivity into the unit of the figure.
std::vector<UncertaintyPart> partsOf(const PhSet& set, const LineFit& fit, const FigureContext& context, const StandardsBook& standards,
                                     double scale, double FitShare::*sensitivity)
{
    std::vector<UncertaintyPart> parts;
    for (const FitShare& share : fitShares(set.points, set.budget, fit)) {
        UncertaintyPart part;
        part.sensitivity = scale * share.*sensitivity;
        part.u = share.u;
        const std::string names = namesOf(set, share.points, standards);
        switch (share.of) {
        case FitShare::Of::Reading:
            part.name = "reading in " + names;
            part.family = "readings and settling";
            part.unit = "mV";
            part.source = set.dips[share.points.front()].taken.stated ? "stated with the reading" : "uncertainty budget of the rule set";
            part.sourceClass = set.dips[share.points.front()].taken.stated ? SourceClass::Record : SourceClass::Memory;
            break;
        case FitShare::Of::Standard:
            part.name = "standard " + names;
            part.family = "standards";
            part.unit = "pH";
            part.source = set.dips[share.points.front()].value.source;
            part.sourceClass = set.dips[share.points.front()].value.sourceClass;
            break;
        case FitShare::Of::Thermometer:
            part.name = "thermometer, acting on k and on the standards";
            part.family = "thermometer";
            part.unit = "K";
            part.source = "uncertainty budget of the rule set";
            part.sourceClass = SourceClass::Memory;
            break;
        case FitShare::Of::Zero:
            if (part.sensitivity == 0.0)
                continue;
            part.name = context.acidBefore ? "wander of the zero within 6 h of acid" : "wander of the zero";
            part.family = "zero";
            part.unit = "mV";
            part.source = "uncertainty budget of the rule set";
            part.sourceClass = SourceClass::Assumed;
            break;
        }
        parts.push_back(std::move(part));
    }
    return parts;
}

std::vector<WorkingStep> ownSteps(const PhSet& set, const StandardsBook& standards)
{
    std::vector<WorkingStep> steps;
    for (std::size_t i = 0; i < set.dips.size(); ++i)
        steps.push_back(ownUncertaintyStep(numbered("E", i), standards.words(set.dips[i].taken.reading->standard), set.dips[i].taken));
    return steps;
}

void workUncertainty(const PhSet& set, const LineFit& fit, const FigureContext& context, const StandardsBook& standards,
                     PhaseFigures& figures)
{
    const auto work = [&](const char* key, const char* of, const char* unit, double scale, double FitShare::*sensitivity, double result) {
        Working w{key, ownSteps(set, standards)};
        for (WorkingStep& step : uncertaintySteps(partsOf(set, fit, context, standards, scale, sensitivity), of, unit, result))
            w.steps.push_back(std::move(step));
        figures.working.push_back(std::move(w));
    };
    work("u_efficiency_pct", "efficiency", "%", 100.0, &FitShare::dS, *figures.u_efficiency_pct);
    work("u_offset_mv", "offset", "mV", 1.0, &FitShare::dE0, *figures.u_offset_mv);
}

/// One line on the uncertainty at the end of the figure itself.
WorkingStep uncertaintySummary(std::span<const UncertaintyPart> parts, double u, const char* unit)
{
    std::string text = sharesText(parts);
    if (const std::string halving = halvingText(parts); !halving.empty())
        text += "; " + halving;
    return {.step = "uncertainty (shown as ±2u)",
            .formula = "u² = sum of (sensitivity · u of the input)²",
            .inputs = {},
            .result = u,
            .unit = unit,
            .text = std::move(text),
            .source = "law of propagation of uncertainty (JCGM 100)",
            .sourceClass = SourceClass::Standard};
}

WorkingStep levelStep(const char* what, const char* formula, std::vector<WorkingInput> inputs, double result, const char* unit)
{
    return {.step = what,
            .formula = formula,
            .inputs = std::move(inputs),
            .result = result,
            .unit = unit,
            .text = {},
            .source = "raw readings",
            .sourceClass = SourceClass::Record};
}

/// Input of a level's mean millivolts, pointing at the reading when there is only one.
WorkingInput levelInput(const PhSet& set, const PhLevel& level, const char* name)
{
    const bool single = level.dips.size() == 1;
    return input(name, level.e_mv, "mV", single ? level.words : level.words + ", mean",
                 single ? set.dips[level.dips.front()].taken.reference : std::string());
}

void workLegs(const PhSet& set, const LineFit& fit, const std::vector<WorkingStep>& common, PhaseFigures& figures)
{
    const auto leg = [&](const char* key, const char* what, const PhLevel& a, const PhLevel& b, double result) {
        Working w{key, common};
        w.steps.push_back(levelStep(what, "leg = 100 · (Ea − Eb) / (xb − xa)",
                                    {levelInput(set, a, "Ea"), levelInput(set, b, "Eb"), input("xa", a.x, "mV"), input("xb", b.x, "mV")},
                                    result, "%"));
        figures.working.push_back(std::move(w));
    };
    if (figures.residual_mv) {
        const PhLevel& middle = set.levels[*set.pivot];
        Working w{"residual_mv", common};
        w.steps.push_back(
            levelStep("middle reading minus the line", "r = Em − (E0 − s · xm)",
                      {levelInput(set, middle, "Em"), input("E0", fit.e0_mv, "mV"), input("s", fit.s), input("xm", middle.x, "mV")},
                      *figures.residual_mv, "mV"));
        figures.working.push_back(std::move(w));
        if (figures.acid_leg_pct)
            leg("acid_leg_pct", "efficiency of the acid leg", set.levels.front(), middle, *figures.acid_leg_pct);
        if (figures.alkaline_leg_pct)
            leg("alkaline_leg_pct", "efficiency of the alkaline leg", middle, set.levels.back(), *figures.alkaline_leg_pct);
    }
    Working w{"span_between_standards_mv", {}};
    w.steps.push_back(levelStep("millivolts between the outermost standards", "|Ea − Eb|",
                                {levelInput(set, set.levels.front(), "Ea"), levelInput(set, set.levels.back(), "Eb")},
                                *figures.span_between_standards_mv, "mV"));
    figures.working.push_back(std::move(w));
}

void workFit(const PhSet& set, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures)
{
    const LineFit& fit = *figures.fit;
    std::vector<WorkingStep> slope = distanceSteps(set, allDips(set), standards);
    std::vector<WorkingStep> offset;
    const std::vector<WorkingStep> common = slope;
    if (set.dips.size() == 2)
        twoPointSteps(set, fit, standards, slope, offset);
    else
        weightedSteps(set, fit, standards, slope, offset);

    Working efficiency{"efficiency_pct", slope};
    efficiency.steps.push_back({.step = "efficiency",
                                .formula = "efficiency = 100 · s",
                                .inputs = {input("s", fit.s)},
                                .result = figures.efficiency_pct,
                                .unit = "%",
                                .text = {},
                                .source = "share of the slope of an ideal sensor",
                                .sourceClass = SourceClass::Computed});
    const std::vector<WorkingStep> toSlope = slope;
    efficiency.steps.push_back(
        uncertaintySummary(partsOf(set, fit, context, standards, 100.0, &FitShare::dS), *figures.u_efficiency_pct, "%"));
    figures.working.push_back(std::move(efficiency));
    workUncertainty(set, fit, context, standards, figures);

    const double k25 = nernstSlopeUnchecked(kStandardTemperature.kelvin());
    Working perPh{"slope_mv_per_ph", toSlope};
    perPh.steps.push_back(idealSlopeStep(kStandardTemperature.value()));
    perPh.steps.push_back({.step = "slope at 25 °C",
                           .formula = "slope = s · k25",
                           .inputs = {input("s", fit.s), input("k25", k25, "mV/pH")},
                           .result = figures.slope_mv_per_ph,
                           .unit = "mV/pH",
                           .text = {},
                           .source = "share of the slope of an ideal sensor",
                           .sourceClass = SourceClass::Computed});
    figures.working.push_back(std::move(perPh));

    Working zero{"offset_mv", toSlope};
    zero.steps.insert(zero.steps.end(), offset.begin(), offset.end());
    zero.steps.push_back(uncertaintySummary(partsOf(set, fit, context, standards, 1.0, &FitShare::dE0), *figures.u_offset_mv, "mV"));
    figures.working.push_back(std::move(zero));

    if (figures.zero_point_ph) {
        Working point{"zero_point_ph", toSlope};
        point.steps.insert(point.steps.end(), offset.begin(), offset.end());
        point.steps.push_back(idealSlopeStep(kStandardTemperature.value()));
        point.steps.push_back({.step = "pH at which the sensor gives 0 mV at 25 °C",
                               .formula = "pH0 = 7 + E0 / (s · k25)",
                               .inputs = {input("E0", fit.e0_mv, "mV"), input("s", fit.s), input("k25", k25, "mV/pH")},
                               .result = figures.zero_point_ph,
                               .unit = "pH",
                               .text = {},
                               .source = "line of the sensor",
                               .sourceClass = SourceClass::Computed});
        figures.working.push_back(std::move(point));
    }
    workLegs(set, fit, common, figures);
}

}  // namespace

void workPh(const PhSet& set, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures)
{
    if (figures.fit)
        workFit(set, context, standards, figures);
    else if (set.alone)
        workAlone(set, standards, figures);
    if (set.process)
        workProcess(set, figures);
    std::vector<const TakenReading*> taken;
    for (const PhDip& d : set.dips)
        taken.push_back(&d.taken);
    workResponse(figures, taken, standards, figures.working);
}

}  // namespace halfcell::core::calibration
