#pragma once

#include "core/lifetimes/life_record.h"
#include "core/quantity/result.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace halfcell::core {

/// One age at which lives ended.
struct SurvivalStep {
    double time = 0.0;
    double atRisk = 0.0;          ///< in view just before (entry < time <= exit)
    double ended = 0.0;
    double survival = 1.0;        ///< just after
    double standardError = 0.0;   ///< Greenwood: S * sqrt(sum d / (n (n - d))); 0 once S is 0
    double lower = 0.0, upper = 1.0;  ///< band on the scale log(-log S)
};

/// Product-limit estimate of the share still in service (Kaplan and Meier 1958) with late entry.
struct SurvivalCurve {
    double lives = 0.0;           ///< sum of weights
    double ended = 0.0;
    std::vector<SurvivalStep> steps;   ///< ascending; ages without an end have none
    double lastTime = 0.0;        ///< oldest age seen
    double confidence = 0.95;
    std::optional<double> median, medianLower, medianUpper;   ///< absent: not reached
    std::string note;             ///< "nobody was in view at ..." where late entry leaves a gap

    [[nodiscard]] double survivalAt(double time) const;
    /// Age from which n at risk stays under `least` (a drawn curve stops there); lastTime if it never does.
    [[nodiscard]] double drawnUntil(double least = 3.0) const;
};

/// Numbers below which a curve and its median are not shown (our choice).
inline constexpr double kCurveLeastLives = 5.0, kMedianLeastEnds = 5.0;

/// Errc::TooFewReadings without records, Errc::BadInput for bad ages, counts or confidence (see riskTable). All censored is
/// fine: no steps, S = 1. The median is the first age with S <= 0.5 (the middle of the flat piece where S is exactly 0.5);
/// its limits are where the band crosses 0.5.
/// Checked against: ball_bearing_life.csv, bearing_cage_life.csv (Meeker and Escobar 1998), golden.csv GC47, GC51.
[[nodiscard]] Result<SurvivalCurve> kaplanMeier(std::span<const LifeRecord> lives, double confidence = 0.95);

/// How many are in view at given ages (printed under a curve): entry < age <= exit; at age 0 those in view from new.
[[nodiscard]] std::vector<double> atRisk(std::span<const LifeRecord> lives, std::span<const double> ages);

/// Observed and expected ends by group, and the test that all groups have one curve.
struct LogRank {
    std::vector<int> groups;                 ///< ascending labels
    std::vector<double> observed, expected;
    std::vector<std::vector<double>> covariance;
    double chiSquare = 0.0;
    int degrees = 0;
    double p = 1.0;
};
/// Log-rank test with late entry; `group` has a label for each record. Errc::TooFewReadings with fewer than two groups,
/// Errc::BadInput if the lengths differ, Errc::NoConvergence if the groups never are in view together.
[[nodiscard]] Result<LogRank> logRank(std::span<const LifeRecord> lives, std::span<const int> group);

/// Cumulative incidence of each cause (Aalen and Johansen 1978): chance that a life has ended for this reason by an age.
struct IncidenceStep {
    double time = 0.0;
    double inService = 1.0;                  ///< S just after
    std::vector<double> byCause;             ///< same order as `causes`
};
struct Incidence {
    std::vector<int> causes;                 ///< ascending labels of failed records
    std::vector<IncidenceStep> steps;
    [[nodiscard]] IncidenceStep at(double time) const;   ///< before the first step: all in service
};
/// The causes and the share in service add up to 1 at every age.
[[nodiscard]] Result<Incidence> cumulativeIncidence(std::span<const LifeRecord> lives);

}  // namespace halfcell::core
