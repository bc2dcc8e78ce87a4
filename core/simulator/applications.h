#pragma once

#include "core/fleet/records.h"

#include <span>
#include <string_view>

/// What the process does to a sensor, per application, and what its design makes of it. The numbers are trade experience
/// and assumption (common practice; plausible, not fitted to field data): the simulated plant shows how the trade reasons,
/// it is no evidence about real sensors.
namespace halfcell::core::simulation {

/// Weeks in a month, as the rates below are used.
inline constexpr double kWeeksPerMonth = 4.345;

enum class Harshness { Clean, Waste, Harsh };

/// Rates of a sealed double-junction gel sensor with a bulb.
struct Application {
    std::string_view key;
    double temp_degc;          ///< process temperature
    double glass;              ///< multiplier on glass ageing; 1 = neutral clean water
    double film;               ///< film per week; 1 = needs cleaning now
    double clog;               ///< junction clogging per week, ln-units of the reference resistance
    double chloride;           ///< share of the chloride lost per month
    double poison_months;      ///< median months until the reference element is exhausted; 999 = none
    double breakage;           ///< per year in service
    double clean_weeks, calibrate_weeks;
    double cip_per_week;       ///< hot caustic cycles
    Harshness harshness;
    int scale, grease, protein, biofilm;  ///< what the film is, per cent
};

[[nodiscard]] std::span<const Application> applications();
/// Municipal wastewater where the key is unknown.
[[nodiscard]] const Application& applicationOf(std::string_view key);

/// How a design changes the rates.
struct DesignFactors {
    double glass = 1, film = 1, clog = 1, chloride = 1, poison = 1, breakage = 1, response = 1, resistance = 1;
};
[[nodiscard]] DesignFactors designFactors(ReferenceDesign reference, Sensing sensing, double processTemp);

/// Rates per week of one sensor at one point.
struct Rates {
    double age = 0, film = 0, clog = 0, chloride = 0;
    double poison = 0;         ///< of the dose that exhausts a median element
    double breakagePerYear = 0, moisturePerYear = 0, temperatureElementPerYear = 0, inputPerYear = 0, sealPerYear = 0;
};

/// L25 = 36 months, theta = 22 K; fluoride multiplies glass ageing by 50 (HF-resistant glass: a tenth of that).
[[nodiscard]] Rates ratesFor(const Application& application, ReferenceDesign reference, Sensing sensing, double processTemp, bool fluoride,
                             bool outdoors);

}  // namespace halfcell::core::simulation
