#pragma once

#include "core/outlook/ageing_curve.h"

#include <array>

/// The numbers of the ageing model: what all sensors of a shop share (FleetNumbers) and what a group of one model,
/// application and site shares (GroupNumbers). Defaults are our choice, tried on simulated plants and on published laser
/// data, not fitted to field records; the learnt ones replace them from the shop's own readings.
/// Levels in % of the ideal slope (or the table's own unit), times in weeks (or the table's own).
namespace halfcell::core::outlook {

struct FleetNumbers {
    double loss = 10.0;  ///< D: the loss that defines a life
    double levelMean = 98.5, levelSd = 0.9;
    double levelSdUnknown = 3.0;  ///< where the day of installation is not known
    double readingVar = 0.64;     ///< R: scatter of one clean reading
    double badShare = 0.03, badFactor = 36.0;
    double resetShare = 0.003, resetMemory = 0.3, resetSd = 5.0;    ///< level reset: unexplained changes either way
    double jumpMean = -5.0, jumpSd = 5.0;                           ///< sudden loss
    double lnResponseMean = 2.995732273553991, lnResponseSd = 0.3;  ///< ln 20 s at 25 degC when new
    double responseVar = 0.01, responseDrift = 0.002;               ///< R_z and its growth per week
    double responseRead = 0.01;                                     ///< rounding and reading of one recorded t90, squared
    double sharedSd = 0.35;                                         ///< tau: error shared by a round and its bottle
    double standingSd = 0.4;                                      ///< a standing error of all the shop's readings, which no reading reveals
    double roundSd = 0.25;                                        ///< of one round on top of its bottle
    double waitA = 4.499809670330265, waitB = 0.0, waitSd = 0.5;  ///< ln wait = A + B ln t90 +- sd (default ln 90 s)
    /// Of the readings, the share waited for until the display stood: at least exp(settleLn +- settleSd) times t90.
    double settleShare = 0.0, settleLn = 0.8, settleSd = 0.25;
    bool readTooSoon = true;     ///< false where no wait and no t90 is ever recorded
    double latticeStep = 0.125;  ///< of ln life
    double horizonMost = 52.0;   ///< no forecast beyond, weeks
};

struct GroupNumbers {
    double lnLifeMean = 4.605170185988092, lnLifeSd = 0.5;  ///< ln weeks to lose D
    std::array<double, kCurves> curveShare{};               ///< adds up to 1
    double suddenPerLife = 0.05;                            ///< lambda_J
    double wander = 0.03;                                   ///< phi: level noise per % of expected loss
    double wanderPerLife = 0.5;                             ///< q0, %^2
    double memory = 1.0;                                    ///< H, lives; evidence about the rate fades with this half-life
    double responseAge = 1.2;                               ///< kappa_z: ln t90 per life

    GroupNumbers() { curveShare.fill(1.0 / static_cast<double>(kCurves)); }
    [[nodiscard]] double life() const;  ///< exp(lnLifeMean)
};

}  // namespace halfcell::core::outlook
