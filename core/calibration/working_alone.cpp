#include "core/calibration/ph_set.h"
#include "core/calibration/working_steps.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfcell::core::calibration {

std::vector<WorkingStep> distanceSteps(const PhSet& set, std::span<const std::size_t> dips, const StandardsBook& standards)
{
    std::vector<WorkingStep> steps;
    std::vector<double> temps;
    for (const std::size_t i : dips) {
        const double temp = *set.dips[i].taken.temp_c;
        if (std::ranges::find(temps, temp) != temps.end())
            continue;
        temps.push_back(temp);
        steps.push_back(idealSlopeStep(temp));
    }
    for (const std::size_t i : dips) {
        const PhDip& d = set.dips[i];
        steps.push_back(
            standardStep(numbered("pH", i), standards.words(d.taken.reading->standard), d.value, *d.taken.temp_c, d.taken.lot, "pH"));
    }
    for (const std::size_t i : dips) {
        const PhDip& d = set.dips[i];
        steps.push_back(
            {.step = fmt::format("distance of {} from pH 7, in mV of an ideal sensor", standards.words(d.taken.reading->standard)),
             .formula = fmt::format("{} = k · ({} − 7)", numbered("x", i), numbered("pH", i)),
             .inputs = {input("k", d.k, "mV/pH", fmt::format("at {} °C", formatNumber(*d.taken.temp_c))),
                        input(numbered("pH", i), d.value.value, "pH")},
             .result = d.x,
             .unit = "mV",
             .text = {},
             .source = "Nernst",
             .sourceClass = SourceClass::Law});
    }
    return steps;
}

WorkingInput readingInput(const PhSet& set, std::size_t i, const StandardsBook& standards)
{
    const TakenReading& t = set.dips[i].taken;
    return input(numbered("E", i), t.e_mv, "mV", standards.words(t.reading->standard), t.reference);
}

void workAlone(const PhSet& set, const StandardsBook& standards, PhaseFigures& figures)
{
    const OffsetAlone& alone = *set.alone;
    Working w{"offset_mv", {}};
    WorkingStep slope{.step = "slope from elsewhere: one standard gives none",
                      .formula = {},
                      .inputs = {},
                      .result = alone.s,
                      .unit = {},
                      .text = fmt::format("u = {} %", formatFixed(100.0 * alone.u_s, 1)),
                      .source = alone.slopeSource,
                      .sourceClass = alone.slopeClass};
    WorkingStep result{.step = "offset: mV at pH 7",
                       .formula = "E0 = E + s · x",
                       .inputs = {},
                       .result = figures.offset_mv,
                       .unit = "mV",
                       .text = {},
                       .source = "raw readings",
                       .sourceClass = SourceClass::Record};
    if (alone.cold) {
        const double k = nernstSlopeUnchecked(kStandardTemperature.kelvin());
        w.steps.push_back(
            {.step = "the temperature was not recorded: the nominal pH is taken",
             .formula = "x = k25 · (pH − 7)",
             .inputs = {input("pH", alone.nominal, "pH", standards.words(alone.cold->reading->standard)), input("k25", k, "mV/pH")},
             .result = k * (alone.nominal - 7.0),
             .unit = "mV",
             .text = fmt::format("u of its pH {}: anything in its table", formatFixed(alone.u_nominal, 3)),
             .source = "name of the standard",
             .sourceClass = SourceClass::Assumed});
        result.inputs = {input("E", alone.cold->e_mv, "mV", standards.words(alone.cold->reading->standard), alone.cold->reference),
                         input("s", alone.s), input("x", k * (alone.nominal - 7.0), "mV")};
    } else {
        w.steps = distanceSteps(set, alone.dips, standards);
        if (alone.dips.size() > 1)
            result.formula = "E0 = mean of (E + s · x)";
        for (const std::size_t i : alone.dips) {
            result.inputs.push_back(readingInput(set, i, standards));
            result.inputs.push_back(input(numbered("x", i), set.dips[i].x, "mV"));
        }
        result.inputs.push_back(input("s", alone.s));
    }
    w.steps.push_back(std::move(slope));
    w.steps.push_back(std::move(result));
    figures.working.push_back(std::move(w));
    const auto part = [](const char* name, const char* family, double u, const std::string& source, SourceClass sourceClass) {
        return UncertaintyPart{name, family, 1.0, u, "mV", source, sourceClass};
    };
    const std::string budget = "uncertainty budget of the rule set";
    figures.working.push_back(
        {"u_offset_mv",
         uncertaintySteps(
             {part("reading", "readings and settling", alone.u_reading_mv, budget, SourceClass::Memory),
              part("standard", "standards", alone.u_standard_mv, "table of the standard or its lot", SourceClass::Standard),
              part("slope from elsewhere", "slope", alone.u_slope_mv, alone.slopeSource, alone.slopeClass),
              part("thermometer, acting on k and on the standard", "thermometer", alone.u_thermometer_mv, budget, SourceClass::Memory),
              part("wander of the zero", "zero", alone.u_zero_mv, budget, SourceClass::Assumed)},
             "offset", "mV", *figures.u_offset_mv)});
}

}  // namespace halfcell::core::calibration
