#pragma once

#include "core/calibration/fit_shares.h"
#include "core/calibration/phase_readings.h"

#include <array>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

/// The pH readings of one phase with everything worked out from them, as the figures and their working share it.
/// Internal to core/calibration.
namespace halfcell::core::calibration {

/// A reading whose standard has a value at its temperature.
struct PhDip {
    TakenReading taken;
    StandardValue value;
    double k = 0.0;  ///< slope of an ideal sensor at the reading's temperature, mV/pH
    double x = 0.0;  ///< k (pH - 7), mV
};

/// Readings in one standard, or in standards worth nearly the same.
struct PhLevel {
    std::vector<std::size_t> dips;         ///< into PhSet::dips
    double ph = 0.0, e_mv = 0.0, x = 0.0;  ///< plain means
    std::string words;
};

/// An offset without a fit.
struct OffsetAlone {
    std::vector<std::size_t> dips;  ///< into PhSet::dips, readings near pH 7 with a temperature
    double s = 1.0, u_s = 0.0;
    std::string slopeSource;
    SourceClass slopeClass = SourceClass::Assumed;
    /// Parts of the offset's uncertainty, mV.
    double u_reading_mv = 0.0, u_standard_mv = 0.0, u_slope_mv = 0.0, u_thermometer_mv = 0.0, u_zero_mv = 0.0;
    [[nodiscard]] double u_mv() const;
    /// A reading without temperature: its nominal pH and how far its table strays (half width).
    std::optional<TakenReading> cold;
    double nominal = 7.0, u_nominal = 0.0;
};

struct ProcessPoint {
    double ph = 7.0, temp_c = 25.0;
    bool tempKnown = false;
    double u_e_mv = 0.0, u_t_k = 0.0;
    ProcessReading at;
    double factor = 1.0;  ///< 2 when far beyond the standards
};

struct PhSet {
    std::vector<PhDip> dips;
    std::vector<FitPoint> points;  ///< one per dip
    FitBudget budget;
    std::vector<PhLevel> levels;       ///< by pH
    std::optional<std::size_t> pivot;  ///< the inner level nearest to pH 7
    std::optional<OffsetAlone> alone;
    std::optional<ProcessPoint> process;
};

/// Beyond this distance outside the standards, in pH, the uncertainty counts double (decision method 2; assumed, after the
/// published growth of the uncertainty of a two-point calibration towards pH 2 and 11).
inline constexpr double kFarOutside = 2.0;
inline constexpr double kFarFactor = 2.0;

/// Workings of all pH figures present.
void workPh(const PhSet& set, const FigureContext& context, const StandardsBook& standards, PhaseFigures& figures);

/// Workings of an offset without a fit.
void workAlone(const PhSet& set, const StandardsBook& standards, PhaseFigures& figures);
/// Slope of an ideal sensor, standards and distances from pH 7, for the dips given.
[[nodiscard]] std::vector<WorkingStep> distanceSteps(const PhSet& set, std::span<const std::size_t> dips, const StandardsBook& standards);
/// "E2" with its millivolts, pointing at the raw reading.
[[nodiscard]] WorkingInput readingInput(const PhSet& set, std::size_t dip, const StandardsBook& standards);
/// Workings of the figures at the process pH.
void workProcess(const PhSet& set, PhaseFigures& figures);

/// "E1" for a set of one-digit size.
[[nodiscard]] std::string numbered(const char* letter, std::size_t index);

}  // namespace halfcell::core::calibration
