#pragma once

#include "core/rules/assess.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace halfcell::core {

/// How far a sensor had moved at a visit since it was last left.
struct Shift {
    std::size_t visit = 0;     ///< index into the figures
    std::int64_t day = 0;      ///< of the visit
    double days = 0.0;         ///< since it was left
    double size = 0.0;         ///< signed error at the process value: pH, or mV for ORP
    double u = 0.0;            ///< standard uncertainty of the difference
    [[nodiscard]] double beyondNoise() const;  ///< |size| less twice u, at least 0
};

/// As-found error at the process value (default pH 7), for each visit with an as-found state and an earlier as-left (or
/// after-clean) one of the same sensor: what an analyser set at the earlier visit would have shown, less the truth.
/// pH: [(E0' - E0) + s k (pH - 7)] / (s' k) - (pH - 7) at 25 degC; ORP: E0 - E0'.
[[nodiscard]] std::vector<Shift> asFoundShifts(std::span<const VisitFigures> figures, double process_ph);

/// Days until the chance that a shift exceeds `allowed` reaches p, by the rates seen so far: allowed / quantile(1 - p) of the
/// rates beyond noise. Absent with fewer than four shifts (a day or longer) or when none was beyond noise.
[[nodiscard]] std::optional<double> daysUntilShift(std::span<const Shift> shifts, double allowed, double p);
/// Chance that a shift exceeds `allowed` after so many days, by the same rates; 0 with fewer than four.
[[nodiscard]] double chanceOfShift(std::span<const Shift> shifts, double allowed, double days);

}  // namespace halfcell::core
