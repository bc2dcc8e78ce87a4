#include "core/calibration/working_steps.h"

#include "core/electrochemistry/nernst.h"
#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace halfcell::core::calibration {
namespace {

/// Families of inputs with their share of u^2, largest first.
std::vector<std::pair<std::string, double>> familyShares(std::span<const UncertaintyPart> parts)
{
    double total = 0.0;
    std::map<std::string, double> byFamily;
    for (const UncertaintyPart& p : parts) {
        byFamily[p.family] += p.part() * p.part();
        total += p.part() * p.part();
    }
    std::vector<std::pair<std::string, double>> shares(byFamily.begin(), byFamily.end());
    for (auto& [family, share] : shares)
        share = total > 0.0 ? share / total : 0.0;
    std::ranges::stable_sort(shares, [](const auto& a, const auto& b) { return a.second > b.second; });
    return shares;
}

}  // namespace

WorkingInput input(std::string name, double value, std::string unit, std::string text, std::string readingRef)
{
    return {.name = std::move(name), .value = value, .unit = std::move(unit), .text = std::move(text), .readingRef = std::move(readingRef)};
}

WorkingStep idealSlopeStep(double temp_c)
{
    const double kelvin = Celsius(temp_c).kelvin();
    return {.step = fmt::format("slope of an ideal sensor at {} °C", formatNumber(temp_c)),
            .formula = "k = 1000 · ln 10 · R · T / F",
            .inputs = {input("R", kGasConstant, "J/(mol K)"), input("T", kelvin, "K", fmt::format("{} °C + 273.15", formatNumber(temp_c))),
                       input("F", kFaraday, "C/mol")},
            .result = nernstSlopeUnchecked(kelvin),
            .unit = "mV/pH",
            .text = {},
            .source = "Nernst; R and F of the SI (CODATA 2018)",
            .sourceClass = SourceClass::Law};
}

WorkingStep standardStep(const std::string& name, const std::string& words, const StandardValue& value, double temp_c,
                         const std::string& lot, const char* unit)
{
    WorkingStep step{.step = fmt::format("{} at {} °C", words, formatNumber(temp_c)),
                     .formula = {},
                     .inputs = {},
                     .result = value.value,
                     .unit = unit,
                     .text = name,
                     .source = value.source,
                     .sourceClass = value.sourceClass};
    if (value.lowTemp != value.highTemp) {
        step.formula = fmt::format("{} = a + (b − a) · (t − ta) / (tb − ta)", name);
        step.inputs = {input("a", value.lowValue, unit), input("ta", value.lowTemp, "°C"), input("b", value.highValue, unit),
                       input("tb", value.highTemp, "°C"), input("t", temp_c, "°C")};
    } else {
        step.formula = value.formula.empty() ? fmt::format("{} at t, as it stands in the table", name) : value.formula;
        step.inputs = {input("t", temp_c, "°C")};
    }
    if (!lot.empty())
        step.inputs.push_back({.name = "lot", .value = {}, .unit = {}, .text = lot, .readingRef = {}});
    return step;
}

WorkingStep ownUncertaintyStep(const std::string& name, const std::string& words, const TakenReading& taken)
{
    WorkingStep step{.step = fmt::format("own uncertainty of the reading in {}", words),
                     .formula = {},
                     .inputs = {},
                     .result = taken.u_own_mv,
                     .unit = "mV",
                     .text = {},
                     .source = taken.stated ? "stated with the reading" : "uncertainty budget of the rule set",
                     .sourceClass = taken.stated ? SourceClass::Record : SourceClass::Memory};
    if (taken.stated) {
        step.formula = fmt::format("u({})² = u(stated)²", name);
        step.inputs = {input("u(stated)", taken.u_meter_mv, "mV", {}, taken.reference)};
    } else {
        step.formula = fmt::format("u({})² = u(meter)² + u(settling)²", name);
        step.inputs = {input("u(meter)", taken.u_meter_mv, "mV"), input("u(settling)", taken.u_settling_mv, "mV")};
    }
    if (taken.remainder_mv > 0.0) {
        step.formula += " + (r/√3)², r = |ΔE| · 10^(−wait/t90)";
        step.inputs.push_back(input("|ΔE|", taken.step_mv, "mV", "from the reading before"));
        step.inputs.push_back(input("wait", *taken.wait_s, "s", {}, taken.reference));
        step.inputs.push_back(input("t90", *taken.t90_s, "s"));
        step.inputs.push_back(input("r", taken.remainder_mv, "mV", "still to come when it was read"));
        // From |dE| 10^(-w/t90) = 0.3 mV, the settling part of a first standard.
        constexpr double kLittle_mv = 0.3;
        if (taken.remainder_mv > kLittle_mv)
            step.text =
                fmt::format("{} s at t90 {} s leaves {} mV in {}; after {} s it would be {} mV", formatNumber(*taken.wait_s),
                            formatNumber(*taken.t90_s), formatFixed(taken.remainder_mv, 1), words,
                            formatFixed(std::ceil(*taken.t90_s * std::log10(taken.step_mv / kLittle_mv)), 0), formatFixed(kLittle_mv, 1));
    }
    return step;
}

std::string sharesText(std::span<const UncertaintyPart> parts)
{
    std::string text;
    for (const auto& [family, share] : familyShares(parts)) {
        if (!text.empty())
            text += " · ";
        text += fmt::format("{} {} %", family, formatFixed(100.0 * share, 0));
    }
    return text;
}

std::string halvingText(std::span<const UncertaintyPart> parts)
{
    // Half of u is a quarter of u^2: the families that must shrink, largest first, until they hold three quarters of it.
    std::string names;
    double sum = 0.0;
    for (const auto& [family, share] : familyShares(parts)) {
        if (!names.empty())
            names += " and ";
        names += family;
        sum += share;
        if (sum >= 0.75)
            break;
    }
    if (names.empty() || sum < 0.75)
        return {};
    const double factor = std::sqrt((sum - 0.75) / sum);
    return fmt::format("u halves when the part of {} falls to {} of what it is", names, formatFixed(factor, 2));
}

std::vector<WorkingStep> uncertaintySteps(std::vector<UncertaintyPart> parts, const std::string& of, const char* unit, double result)
{
    std::ranges::stable_sort(parts,
                             [](const UncertaintyPart& a, const UncertaintyPart& b) { return std::fabs(a.part()) > std::fabs(b.part()); });
    double total = 0.0;
    for (const UncertaintyPart& p : parts)
        total += p.part() * p.part();
    std::vector<WorkingStep> steps;
    WorkingStep sum{.step = fmt::format("uncertainty of the {}", of),
                    .formula = "u² = sum of (part)²",
                    .inputs = {},
                    .result = result,
                    .unit = unit,
                    .text = sharesText(parts),
                    .source = "law of propagation of uncertainty (JCGM 100)",
                    .sourceClass = SourceClass::Standard};
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const UncertaintyPart& p = parts[i];
        const std::string share = fmt::format("{} % of u²", formatFixed(total > 0.0 ? 100.0 * p.part() * p.part() / total : 0.0, 1));
        steps.push_back(
            {.step = p.name,
             .formula = "part = |c| · u",
             .inputs = {input("c", p.sensitivity, fmt::format("{} per {}", unit, p.unit), "sensitivity"), input("u", p.u, p.unit)},
             .result = std::fabs(p.part()),
             .unit = unit,
             .text = share,
             .source = p.source,
             .sourceClass = p.sourceClass});
        sum.inputs.push_back(input(fmt::format("part {}", i + 1), std::fabs(p.part()), unit, fmt::format("{}, {}", p.name, share)));
    }
    steps.push_back(std::move(sum));
    if (std::string halving = halvingText(parts); !halving.empty())
        steps.push_back({.step = "what would halve it",
                         .formula = "(u/2)² = u²/4",
                         .inputs = {},
                         .result = std::nullopt,
                         .unit = {},
                         .text = std::move(halving),
                         .source = {},
                         .sourceClass = SourceClass::Computed});
    return steps;
}

void workResponse(const PhaseFigures& figures, std::span<const TakenReading* const> taken, const StandardsBook& standards,
                  std::vector<Working>& out)
{
    if (figures.t90_s) {
        const bool fitted = figures.u_t90_s.has_value();
        out.push_back({"t90_s",
                       {{.step = fitted ? "slowest response of this phase, of a settle series" : "slowest response recorded in this phase",
                         .formula = fitted ? "E(t) = settled − rest · 10^(−t/t90), least squares"
                                           : "t90 = greatest of the recorded times to 90 % of the step",
                         .inputs = {input("t90", *figures.t90_s, "s")},
                         .result = figures.t90_s,
                         .unit = "s",
                         .text = fitted ? fmt::format("u {} s", formatFixed(*figures.u_t90_s, 1)) : std::string(),
                         .source = "raw readings",
                         .sourceClass = fitted ? SourceClass::Computed : SourceClass::Record}}});
    }
    if (!figures.least_wait_ratio)
        return;
    for (const TakenReading* t : taken)
        if (t->wait_s && t->t90_s && *t->t90_s > 0.0 && *t->wait_s / *t->t90_s == *figures.least_wait_ratio) {
            out.push_back({"least_wait_ratio",
                           {{.step = fmt::format("shortest wait against the response, in {}", standards.words(t->reading->standard)),
                             .formula = "ratio = wait / t90",
                             .inputs = {input("wait", *t->wait_s, "s", {}, t->reference), input("t90", *t->t90_s, "s")},
                             .result = figures.least_wait_ratio,
                             .unit = {},
                             .text = {},
                             .source = "raw readings",
                             .sourceClass = SourceClass::Record}}});
            return;
        }
}

}  // namespace halfcell::core::calibration
