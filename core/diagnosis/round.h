#pragma once

#include "core/diagnosis/prior.h"

#include <array>

/// Causes that a whole round shares: the bottle, its age, the temperature that nobody measured. Every sensor of the round is
/// compared with what was expected of it; one that many shifted alike speaks for is judged before any sensor is blamed. One
/// hidden cause, a star of sensors, exact. Values in, values out; any thread.
namespace halfcell::core::diagnosis {

enum class SharedCause { WrongStandard, StaleStandard, TemperatureIgnored };
inline constexpr std::array kSharedCauses{SharedCause::WrongStandard, SharedCause::StaleStandard, SharedCause::TemperatureIgnored};

/// A shift of efficiency (per cent), offset (mV) and, with three standards, of the alkaline less the acid leg (per cent) that a
/// cause would bring, and its name.
struct Shift {
    double efficiency_pct = 0.0, offset_mv = 0.0;
    std::string words = {};
    double legs_pct = 0.0;
};

/// One sensor of the round: read minus expected, what it shares with the others, and the shifts each cause would bring to
/// just these standards at these temperatures (empty: the shipped ones).
struct RoundMember {
    std::string name;
    double efficiency_pct = 0.0, offset_mv = 0.0;
    /// Alkaline less acid leg, read minus expected: a mistaken middle standard hardly moves the line, but bends it.
    std::optional<double> legs_pct = {};
    std::optional<double> temp_c = {};  ///< of its standards, as written; mean
    /// Place among the sensors that stood in the same beakers on one day, by time, from 0; absent: stood in others.
    std::optional<double> order = {};
    /// Whether the cause could have reached it: the bottle or thermometer in question was used.
    std::array<bool, 3> reached{true, true, true};
    std::array<std::vector<Shift>, 3> exact;
};

struct RoundTables {
    RoundMessage prior;
    std::array<std::vector<Shift>, 3> shifts;  ///< by SharedCause
    /// The parts of the residual's distribution: none of its own, a fault of its own, a gross fault.
    double share = 0.65, sd_pct = 2.2, sd_mv = 5.0, sdLegs_pct = 2.0;
    double ownShare = 0.22, own_pct = -7.0, ownSd_pct = 6.0, ownSd_mv = 12.0, ownSdLegs_pct = 4.0;
    double grossShare = 0.13, gross_pct = -30.0, grossSd_pct = 25.0, grossSd_mv = 40.0, grossSdLegs_pct = 12.0;
    double temper = 0.7;         ///< for errors shared in ways not modelled
    double promptAbove = 0.3;    ///< question bottle, thermometer and meter from this probability on
    double alikeSe = 4.0;        ///< or from so many standard errors of the mean shift
    std::size_t alikeLeast = 3;  ///< over so many sensors
    double alikeShare = 0.6;     ///< or this share of the round
    /// Standards contaminated by what each sensor carries over: efficiency lost from sensor to sensor, per cent, with the chance of
    /// it in a round of `carryLeast` sensors or more (0: not looked for).
    std::vector<double> carryPct;
    double carryPrior = 0.0;
    std::size_t carryLeast = 4;
    std::string carryWords;
};

struct RoundFinding {
    RoundMessage all;                    ///< over all sensors
    std::vector<RoundMessage> leaveOut;  ///< per sensor, from the others
    bool prompt = false;                 ///< question the common causes first
    bool alike = false;                  ///< by the plain count of sensors shifted alike
    std::optional<SharedCause> likeliest;
    Shift shift;           ///< the likeliest one of it
    double logNone = 0.0;  ///< ln weight of "none", prior included
    /// Where the likeliest cause is carry-over: efficiency lost from sensor to sensor, per cent.
    std::optional<double> carryPct = {};
};

/// Weighs the common causes of a round. A round of one sensor gives the prior as its message. Errors: none.
[[nodiscard]] RoundFinding weighRound(const RoundTables& tables, std::span<const RoundMember> members);

/// ln of one sensor's likelihood under a shift (0.7 ln of the mixture), for the working.
[[nodiscard]] double logLikelihood(const RoundTables& tables, const RoundMember& member, const Shift& shift);

}  // namespace halfcell::core::diagnosis
