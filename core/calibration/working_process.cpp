#include "core/calibration/ph_set.h"
#include "core/calibration/working_steps.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::calibration {

void workProcess(const PhSet& set, PhaseFigures& figures)
{
    const ProcessPoint& p = *set.process;
    const LineFit& fit = *figures.fit;
    const double kelvin = Celsius(p.temp_c).kelvin();
    const double k = nernstSlopeUnchecked(kelvin);
    const double c0 = 1.0 / (fit.s * k);
    const double cs = -(p.ph - 7.0) / fit.s;
    Working w{"u_at_process_ph", {idealSlopeStep(p.temp_c)}};
    if (!p.tempKnown)
        w.steps.push_back({.step = "the temperature of the process is not known: the mean of the standards is taken",
                           .formula = {},
                           .inputs = {},
                           .result = p.temp_c,
                           .unit = "°C",
                           .text = {},
                           .source = "the readings",
                           .sourceClass = SourceClass::Assumed});
    w.steps.push_back({.step = "part of the calibration",
                       .formula = "u² = c0² · V00 + cs² · V11 + 2 · c0 · cs · V01; c0 = 1/(s · k), cs = −(pH − 7)/s",
                       .inputs = {input("pH", p.ph, "pH"), input("s", fit.s), input("k", k, "mV/pH"), input("c0", c0, "pH/mV"),
                                  input("cs", cs, "pH"), input("V00", fit.v00, "mV²"), input("V11", fit.v11), input("V01", fit.v01, "mV")},
                       .result = p.at.u_calibration,
                       .unit = "pH",
                       .text = {},
                       .source = "covariance of offset and efficiency (JCGM 100)",
                       .sourceClass = SourceClass::Standard});
    std::vector<UncertaintyPart> parts{
        {"calibration", "calibration", 1.0, p.at.u_calibration, "pH", "the step before", SourceClass::Computed},
        {"reading in the process", "reading", c0, p.u_e_mv, "mV", "uncertainty budget of the rule set", SourceClass::Memory},
        {"temperature of the process", "temperature", -(p.ph - 7.0) / kelvin, p.u_t_k, "K", "uncertainty budget of the rule set",
         SourceClass::Memory}};
    for (WorkingStep& step : uncertaintySteps(std::move(parts), "reading at the process pH", "pH", p.at.uWithoutJunction()))
        w.steps.push_back(std::move(step));
    if (p.factor != 1.0)
        w.steps.push_back({.step = fmt::format("{} pH beyond the standards: counted double", formatFixed(*figures.extrapolated_ph, 2)),
                           .formula = "u = 2 · u",
                           .inputs = {input("u", p.at.uWithoutJunction(), "pH"), input("beyond", *figures.extrapolated_ph, "pH")},
                           .result = figures.u_at_process_ph,
                           .unit = "pH",
                           .text = {},
                           .source = "more than 2 pH outside the standards",
                           .sourceClass = SourceClass::Assumed});
    w.steps.push_back({.step = "the junction in the process is a line of its own",
                       .formula = {},
                       .inputs = {},
                       .result = p.at.u_junction,
                       .unit = "pH",
                       .text = "not part of a calibration record",
                       .source = "uncertainty budget of the rule set",
                       .sourceClass = SourceClass::Assumed});
    figures.working.push_back(std::move(w));
    figures.working.push_back({"u_junction_ph",
                               {{.step = "junction potential in the process",
                                 .formula = {},
                                 .inputs = {},
                                 .result = figures.u_junction_ph,
                                 .unit = "pH",
                                 .text = "by the kind of sample: clean, dirty or pure water",
                                 .source = "uncertainty budget of the rule set",
                                 .sourceClass = SourceClass::Assumed}}});
    if (figures.extrapolated_ph)
        figures.working.push_back({"extrapolated_ph",
                                   {{.step = "how far the process lies outside the standards",
                                     .formula = "beyond = max(lowest − pH, pH − highest)",
                                     .inputs = {input("pH", p.ph, "pH"), input("lowest", set.levels.front().ph, "pH"),
                                                input("highest", set.levels.back().ph, "pH")},
                                     .result = figures.extrapolated_ph,
                                     .unit = "pH",
                                     .text = {},
                                     .source = "the standards read",
                                     .sourceClass = SourceClass::Record}}});
}

}  // namespace halfcell::core::calibration
