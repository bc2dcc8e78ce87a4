#include "core/simulator/applications.h"

#include "core/simulator/fixed_math.h"

#include <array>

namespace halfcell::core::simulation {
namespace {

constexpr double kLifeAt25Months = 36.0;    // glass alone, neutral clean water; plausible 24 to 60
constexpr double kHalvingKelvin = 22.0;     // life halves per 22 K; published rules spread from 9 to 41
constexpr double kAgePerCausticCycle = 0.006;
constexpr double kFluorideGlass = 50.0;     // ordinary glass lasts 0.02 of its life

constexpr std::array<Application, 11> kApplications{{
    // key               T   glass  film  clog  KCl   P50  brk  clean cal cip  harshness          scale grease protein biofilm
    {"drinking_water", 15, 1.0, .030, .010, .055, 999, .03, 8, 8, 0, Harshness::Clean, 50, 5, 5, 40},
    {"wastewater", 18, 1.0, .150, .050, .060, 40, .08, 2, 4, 0, Harshness::Waste, 15, 35, 20, 30},
    {"caustic", 35, 3.0, .120, .080, .080, 24, .10, 1, 2, 0, Harshness::Harsh, 80, 10, 0, 10},
    {"cooling", 32, 1.1, .060, .030, .055, 60, .04, 4, 4, 0, Harshness::Clean, 50, 5, 0, 45},
    {"pure_water", 25, 1.0, .020, .020, .090, 999, .02, 4, 4, 0, Harshness::Clean, 80, 10, 0, 10},
    {"bleach", 65, 1.5, .200, .100, .130, 12, .15, 1, 2, 0, Harshness::Harsh, 60, 35, 0, 5},
    {"food", 40, 1.0, .100, .060, .090, 24, .10, 1, 1, 5, Harshness::Waste, 15, 20, 60, 5},
    {"pool", 28, 1.0, .080, .030, .055, 999, .03, 4, 4, 0, Harshness::Clean, 40, 45, 0, 15},
    {"plating", 25, 1.5, .120, .060, .080, 9, .08, 1, 1, 0, Harshness::Waste, 75, 20, 0, 5},
    {"flotation", 25, 4.5, .500, .250, .090, 14, .25, 0.5, 1, 0, Harshness::Harsh, 85, 14, 0, 1},
    {"scrubber", 52, 3.0, .400, .200, .110, 12, .25, 1, 1, 0, Harshness::Harsh, 95, 3, 0, 2},
}};

}  // namespace

std::span<const Application> applications()
{
    return kApplications;
}

const Application& applicationOf(std::string_view key)
{
    for (const Application& application : kApplications)
        if (application.key == key)
            return application;
    return kApplications[1];
}

DesignFactors designFactors(ReferenceDesign reference, Sensing sensing, double processTemp)
{
    DesignFactors f;
    switch (reference) {
    case ReferenceDesign::SingleGel: f.poison = 0.35; break;
    case ReferenceDesign::DoubleGel: break;
    case ReferenceDesign::DoubleRefillable: f.poison = 2.0; break;
    case ReferenceDesign::LiquidRefillable: f.chloride = 0.0; f.poison = 4.0; break;
    case ReferenceDesign::PolymerOpen: f.clog = 0.3; f.chloride = 1.5; break;
    case ReferenceDesign::LargeJunction: f.clog = 0.6; break;
    case ReferenceDesign::DifferentialBridge: f.chloride = 0.5; f.poison = 4.0; break;
    }
    switch (sensing) {
    case Sensing::Bulb: break;
    case Sensing::Flat:
        f.film = 0.7;
        f.breakage = 1.0;
        f.response = 1.5;
        f.resistance = 2.0;
        break;
    case Sensing::Hardened:
        f.glass = processTemp > 40.0 ? 0.6 : 1.0;
        f.response = 1.7;
        f.resistance = 2.5;
        break;
    case Sensing::HfResistant: f.resistance = 0.3; break;
    case Sensing::Isfet:
        f.response = 0.4;
        f.breakage = 0.2;
        break;
    case Sensing::Antimony:
        f.glass = 0.8;
        f.breakage = 0.1;
        f.response = 1.5;
        break;
    case Sensing::Platinum:
    case Sensing::Gold:
        f.glass = 0.3;
        f.breakage = 0.3;
        break;
    }
    return f;
}

Rates ratesFor(const Application& application, ReferenceDesign reference, Sensing sensing, double processTemp, bool fluoride, bool outdoors)
{
    const DesignFactors f = designFactors(reference, sensing, processTemp);
    double glass = application.glass * f.glass;
    if (fluoride && sensing == Sensing::HfResistant)
        glass *= kFluorideGlass * 0.1;
    else if (fluoride && isGlass(sensing))
        glass *= kFluorideGlass;
    Rates r;
    r.age = glass / (kWeeksPerMonth * kLifeAt25Months) * fixedPow2((processTemp - 25.0) / kHalvingKelvin) +
            kAgePerCausticCycle * application.cip_per_week;
    r.film = application.film * f.film;
    r.clog = application.clog * f.clog;
    r.chloride = application.chloride * f.chloride / kWeeksPerMonth;
    r.poison = 1.0 / (application.poison_months * f.poison * kWeeksPerMonth);
    r.breakagePerYear = application.breakage * f.breakage;
    switch (application.harshness) {
    case Harshness::Clean:
        r.moisturePerYear = 0.02;
        r.temperatureElementPerYear = 0.015;
        r.inputPerYear = 0.01;
        r.sealPerYear = 0.005;
        break;
    case Harshness::Waste:
        r.moisturePerYear = 0.03;
        r.temperatureElementPerYear = 0.015;
        r.inputPerYear = 0.01;
        r.sealPerYear = 0.01;
        break;
    case Harshness::Harsh:
        r.moisturePerYear = 0.06;
        r.temperatureElementPerYear = 0.02;
        r.inputPerYear = 0.02;
        r.sealPerYear = 0.03;
        break;
    }
    if (outdoors)
        r.moisturePerYear *= 2.0;
    return r;
}

}  // namespace halfcell::core::simulation
