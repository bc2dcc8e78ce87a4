#pragma once

#include "core/calibration/phase_readings.h"
#include "core/electrochemistry/standards.h"
#include "core/working/working.h"

#include <span>
#include <string>
#include <vector>

/// Steps that the workings of pH and ORP figures have in common. Internal to core/calibration.
namespace halfcell::core::calibration {

[[nodiscard]] WorkingInput input(std::string name, double value, std::string unit = {}, std::string text = {}, std::string readingRef = {});

/// k = ln 10 R T / F at a temperature, result in mV/pH.
[[nodiscard]] WorkingStep idealSlopeStep(double temp_c);

/// A standard at a temperature, with the rows of its table between which it was taken; `result` named `name`.
[[nodiscard]] WorkingStep standardStep(const std::string& name, const std::string& words, const StandardValue& value, double temp_c,
                                       const std::string& lot, const char* unit);

/// Own uncertainty of a reading: meter, settling and what was still to come.
[[nodiscard]] WorkingStep ownUncertaintyStep(const std::string& name, const std::string& words, const TakenReading& taken);

/// One independent input of an uncertainty: its part is |sensitivity| * u in the unit of the result.
struct UncertaintyPart {
    std::string name;          ///< "reading in pH 7.00"
    std::string family;        ///< "readings and settling", "standards", "thermometer", "zero"
    double sensitivity = 0.0;  ///< result per unit of the input
    double u = 0.0;
    std::string unit;  ///< of the input
    std::string source;
    SourceClass sourceClass = SourceClass::Assumed;
    [[nodiscard]] double part() const { return sensitivity * u; }
};

/// The steps of u = sqrt(sum (sensitivity u)^2): one per input, largest first with its share of u^2, the sum, and what
/// would halve it. `factor` is written as a last step when it is not 1.
[[nodiscard]] std::vector<WorkingStep> uncertaintySteps(std::vector<UncertaintyPart> parts, const std::string& of, const char* unit,
                                                        double result);

/// "readings and settling 72 %, standards 27 %".
[[nodiscard]] std::string sharesText(std::span<const UncertaintyPart> parts);
/// "u halves when readings and settling and standards have 0.31 of their present uncertainty".
[[nodiscard]] std::string halvingText(std::span<const UncertaintyPart> parts);

/// Workings of the response figures, alike for both kinds.
void workResponse(const PhaseFigures& figures, std::span<const TakenReading* const> taken, const StandardsBook& standards,
                  std::vector<Working>& out);

}  // namespace halfcell::core::calibration
