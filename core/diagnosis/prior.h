#pragma once

#include "core/diagnosis/network.h"

#include <map>

/// How common each cause is before anything was read: by application, design, age, reason for the visit, what the round says
/// and what a shop has confirmed. Values in, values out; any thread.
namespace halfcell::core::diagnosis {

/// What an application does to a sealed double-junction gel sensor with a glass bulb.
struct Duty {
    double film = 0.0;                   ///< per week; 1 = needs cleaning now
    double clog = 0.0;                   ///< ln-units of the reference resistance per week
    double chloride = 0.0;               ///< share of the electrolyte's chloride lost per month
    std::optional<double> poisonMonths;  ///< median until the reference element is used up; absent: no poison
    double breakage = 0.0;               ///< per year
    double glass = 1.0;                  ///< multiplier on glass wear
    double cleanWeeks = 1.0;
    double lifeMonths = 12.0;  ///< median technical life
    bool etches = false;       ///< hot caustic or abrasion
};

/// Factors of a design on the rates of its duty.
struct DutyFactors {
    double film = 1.0, clog = 1.0, chloride = 1.0, poison = 1.0, breakage = 1.0, glass = 1.0;
};

/// What the round says about causes that many sensors would share; adds up to 1.
struct RoundMessage {
    double none = 0.93, wrongStandard = 0.01, staleStandard = 0.02, temperatureIgnored = 0.04;
};

/// Causes confirmed in an application: closed visits whose cure worked.
struct Confirmed {
    std::map<std::string, double, std::less<>> byCause;
};

struct PriorTables {
    std::map<std::string, Duty, std::less<>> duties;          ///< "*": where the application is not known
    std::map<std::string, DutyFactors, std::less<>> designs;  ///< by key of reference or sensing
    double complaintFactor = 0.3;                             ///< on healthy: somebody complained
    double refillableFactor = 0.3;                            ///< on diluted electrolyte
    double etchingFactor = 4.0, mildGlassFactor = 0.3, mildGlass = 1.1;
    double confirmedWeight = 100.0;  ///< cases the shipped prior counts for
    double unknownAgeShare = 0.4;    ///< of the life, where the age is not known
    double cleanedFactor = 0.15;     ///< on film once cleaned in the same visit
    double soakedFactor = 0.3;       ///< on dry glass once soaked in the same visit
    double wrongMetalFactor = 4.0;   ///< on poisoned metal where the process asks for another one
};

/// The circumstances of one sensor at one visit.
struct Setting {
    SensorKind kind = SensorKind::Ph;
    std::string application = "*";
    std::optional<ReferenceDesign> reference;
    std::optional<Sensing> sensing;
    std::optional<double> ageMonths;
    bool complaint = false;                ///< complaint, alarm or failed check
    bool cleaned = false, soaked = false;  ///< in this visit before the readings
    bool wrongMetal = false;               ///< platinum in cyanide, gold in strong chlorine
    RoundMessage round;
    const Confirmed* confirmed = nullptr;
};

/// One factor that made a weight what it is, for the working.
struct PriorFactor {
    std::size_t cause = 0;
    std::string why;
    double factor = 1.0;
};

/// A weight per cause of the network, adding up to 1; 0 where the design rules the cause out.
[[nodiscard]] std::vector<double> priorOf(const Network& network, const PriorTables& tables, const Setting& setting,
                                          std::vector<PriorFactor>* factors = nullptr);

/// True if this design cannot have the cause at all.
[[nodiscard]] bool ruledOut(std::string_view cause, const Setting& setting);

}  // namespace halfcell::core::diagnosis
