#include "core/calibration/orp_set.h"
#include "core/calibration/ph_set.h"
#include "core/calibration/working_steps.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <cmath>

namespace halfcell::core::calibration {
namespace {

std::vector<WorkingStep> expectedSteps(const OrpSet& set, const FigureContext& context, const StandardsBook& standards)
{
    std::vector<WorkingStep> steps;
    for (std::size_t i = 0; i < set.dips.size(); ++i) {
        const OrpDip& d = set.dips[i];
        const std::string words = standards.words(d.taken.reading->standard);
        const double temp = *d.taken.temp_c;
        steps.push_back(standardStep(numbered("S", i), words, d.standard, temp, d.taken.lot, "mV"));
        steps.back().text = numbered("S", i) + " against hydrogen";
        if (d.reference) {
            steps.push_back({.step = fmt::format("reference {} at {} °C", context.reference_fill, formatNumber(temp)),
                             .formula = numbered("R", i) + " at t, linear between the rows of its table",
                             .inputs = {input("t", temp, "°C")},
                             .result = d.reference->e.value(),
                             .unit = "mV",
                             .text = numbered("R", i) + " against hydrogen",
                             .source = d.reference->source,
                             .sourceClass = d.reference->sourceClass});
            steps.push_back(
                {.step = fmt::format("expected in {}", words),
                 .formula = fmt::format("{} = {} − {}", numbered("X", i), numbered("S", i), numbered("R", i)),
                 .inputs = {input(numbered("S", i), d.standard.value, "mV"), input(numbered("R", i), d.reference->e.value(), "mV")},
                 .result = d.expected_mv,
                 .unit = "mV",
                 .text = {},
                 .source = "difference of two potentials on the hydrogen scale",
                 .sourceClass = SourceClass::Law});
        } else {
            const double baseline = set.baseline_mv.value_or(set.dips.front().taken.e_mv);
            steps.push_back(
                {.step = fmt::format("expected in {}", words),
                 .formula = fmt::format("{} = B + ({} − S at B)", numbered("X", i), numbered("S", i)),
                 .inputs = {input("B", baseline, "mV", set.baseline_mv ? "this sensor's own first reading" : "the first reading here"),
                            input(numbered("S", i), d.standard.value, "mV"),
                            input("S at B", baseline + d.standard.value - d.expected_mv, "mV",
                                  context.orp_baseline_standard.empty() ? "taken as the same standard"
                                                                        : standards.words(context.orp_baseline_standard))},
                 .result = d.expected_mv,
                 .unit = "mV",
                 .text = {},
                 .source = "a differential reference is judged against its own first reading",
                 .sourceClass = SourceClass::CommonPractice});
        }
    }
    return steps;
}

std::vector<UncertaintyPart> offsetParts(const OrpSet& set)
{
    return {{"readings: meter, settling and what was still to come", "readings and settling", 1.0, set.u_own_mv, "mV",
             "uncertainty budget of the rule set", SourceClass::Memory},
            {"standards as made or bought", "standards", 1.0, set.u_standard_mv, "mV", "table of the standard or its lot",
             SourceClass::Assumed},
            {"potential of the reference", "reference", 1.0, set.u_reference_mv, "mV", "table of the reference", SourceClass::Standard},
            {"temperature of the standards", "thermometer", 1.0, set.u_temperature_mv, "mV", "uncertainty budget of the rule set",
             SourceClass::Memory}};
}

}  // namespace

void workOrp(const OrpSet& set, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures)
{
    const std::vector<WorkingStep> expected = expectedSteps(set, context, standards);
    if (figures.offset_mv) {
        Working offset{"offset_mv", expected};
        WorkingStep mean{.step = "offset: mean of read minus expected",
                         .formula = "offset = sum of (E − X) / n",
                         .inputs = {},
                         .result = figures.offset_mv,
                         .unit = "mV",
                         .text = {},
                         .source = "raw readings",
                         .sourceClass = SourceClass::Record};
        for (std::size_t i = 0; i < set.dips.size(); ++i) {
            mean.inputs.push_back(input(numbered("E", i), set.dips[i].taken.e_mv, "mV",
                                        standards.words(set.dips[i].taken.reading->standard), set.dips[i].taken.reference));
            mean.inputs.push_back(input(numbered("X", i), set.dips[i].expected_mv, "mV"));
        }
        mean.inputs.push_back(input("n", static_cast<double>(set.dips.size())));
        offset.steps.push_back(std::move(mean));
        figures.working.push_back(std::move(offset));
        figures.working.push_back({"u_offset_mv", uncertaintySteps(offsetParts(set), "offset", "mV", *figures.u_offset_mv)});
    }
    if (figures.span_pct) {
        const OrpLevel& low = set.levels.front();
        const OrpLevel& high = set.levels.back();
        Working span{"span_pct", expected};
        const auto referenceOf = [&](const OrpLevel& level) {
            return level.dips.size() == 1 ? set.dips[level.dips.front()].taken.reference : std::string();
        };
        span.steps.push_back({.step = fmt::format("span between {} and {}", low.words, high.words),
                              .formula = "span = 100 · (E high − E low) / (X high − X low)",
                              .inputs = {input("E high", high.e_mv, "mV", high.words, referenceOf(high)),
                                         input("E low", low.e_mv, "mV", low.words, referenceOf(low)),
                                         input("X high", high.expected_mv, "mV"), input("X low", low.expected_mv, "mV")},
                              .result = figures.span_pct,
                              .unit = "%",
                              .text = {},
                              .source = "raw readings",
                              .sourceClass = SourceClass::Record});
        figures.working.push_back(std::move(span));
        const double expectedSpan = high.expected_mv - low.expected_mv;
        const double ratio = *figures.span_pct / 100.0;
        const auto part = [&](const OrpLevel& level, const char* family, double sensitivity, double u, const char* source) {
            return UncertaintyPart{fmt::format("{}: {}", level.words, family), family, sensitivity, u, "mV", source, SourceClass::Assumed};
        };
        figures.working.push_back(
            {"u_span_pct",
             uncertaintySteps(
                 {part(low, "readings and settling", 100.0 / expectedSpan, low.u_own_mv, "uncertainty budget of the rule set"),
                  part(high, "readings and settling", 100.0 / expectedSpan, high.u_own_mv, "uncertainty budget of the rule set"),
                  part(low, "standards", 100.0 * ratio / expectedSpan, low.u_standard_mv, "table of the standard or its lot"),
                  part(high, "standards", 100.0 * ratio / expectedSpan, high.u_standard_mv, "table of the standard or its lot")},
                 "span", "%", *figures.u_span_pct)});
        figures.working.push_back({"span_between_standards_mv",
                                   {{.step = fmt::format("millivolts between {} and {}", low.words, high.words),
                                     .formula = "|E high − E low|",
                                     .inputs = {input("E high", high.e_mv, "mV", high.words, referenceOf(high)),
                                                input("E low", low.e_mv, "mV", low.words, referenceOf(low))},
                                     .result = figures.span_between_standards_mv,
                                     .unit = "mV",
                                     .text = {},
                                     .source = "raw readings",
                                     .sourceClass = SourceClass::Record}}});
    }
    std::vector<const TakenReading*> taken;
    for (const OrpDip& d : set.dips)
        taken.push_back(&d.taken);
    workResponse(figures, taken, standards, figures.working);
}

}  // namespace halfcell::core::calibration
