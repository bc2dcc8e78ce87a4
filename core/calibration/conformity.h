#pragma once

#include <optional>
#include <string>

/// Is it good enough here? Decision with a stated chance of being right.
/// Source: JCGM 106 (probability of conformity, guarded acceptance), known from memory; checked against worked figures.
namespace halfcell::core {

/// Probability that the true value lies in [low, high] for a reading y with standard uncertainty u > 0. Either limit may be
/// infinite.
[[nodiscard]] double probabilityInside(double y, double u, double low, double high);

/// A reading and a forecast made before it, together: weights 1/u^2. For diagnosis and planning; a calibration record uses the
/// reading alone.
struct Estimate {
    double value = 0.0, u = 0.0;
};
[[nodiscard]] Estimate combined(const Estimate& reading, const Estimate& forecast);

struct Conformity {
    enum class Decision { Inside, Outside, Undecided, CannotDecide };
    Decision decision = Decision::Undecided;
    double probability = 0.0;  ///< of lying inside
    double accept = 0.0;       ///< inside for sure enough up to this error
    double reject = 0.0;       ///< outside for sure enough from this error
    std::string sentence;      ///< "good enough here?" answered
};

/// An error (read minus true) with standard uncertainty u > 0 against +-tolerance > 0. `accepted` is the chance of being right
/// that the loop asks for, 0.5 to below 1. CannotDecide where 2 u exceeds the tolerance, whatever was read.
[[nodiscard]] Conformity conformityOf(double error, double u, double tolerance, double accepted, const std::string& unit = "pH");

}  // namespace halfcell::core
