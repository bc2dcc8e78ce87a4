#pragma once

#include "core/outlook/rolling.h"

#include <optional>
#include <string>
#include <vector>

namespace halfcell::core::outlook {

/// How past forecasts of one horizon came true. Coverages in shares, skills as 1 - CRPS / CRPS of the simple forecast (CRPS =
/// twice the mean pinball loss over 5 ... 95 %).
struct HorizonScore {
    double weeks = 0.0;
    std::size_t n = 0;  ///< forecasts with an outcome
    std::size_t sensors = 0;
    double coverage50 = 0.0, coverage80 = 0.0, coverage90 = 0.0;
    double coverage80Lower = 0.0, coverage80Upper = 1.0;  ///< exact limits (repeated sensors count as if independent)
    std::optional<double> skillLastValue;                 ///< against the last value with its learnt error spread
    std::optional<double> skillStraightLine;              ///< against a line through the last six with its own band
    double medianAbsError = 0.0, medianAbsErrorLastValue = 0.0;
    double crps = 0.0;
    double abstainedShare = 0.0;
    std::string verdict;  ///< honest, too narrow, too wide, not enough yet
};

/// One bin of the reliability diagram: forecasts by where their outcome fell.
struct PitBin {
    double from = 0.0, to = 0.0;
    std::size_t n = 0;
};

/// A forecast that missed by most, for looking up.
struct Miss {
    std::string serial;
    Instant origin, at;
    double weeks = 0.0, said10 = 0.0, said50 = 0.0, said90 = 0.0, came = 0.0;
};

struct Score {
    std::vector<HorizonScore> horizons;  ///< those with forecasts
    HorizonScore all;                    ///< weeks 0: every horizon together
    std::vector<PitBin> pit;             ///< of the recalibrated law, tenths
    std::vector<Miss> worst;             ///< by how far outside the 80 % band, in its widths
    std::size_t origins = 0;
    std::string abstained;  ///< fewer than ten outcomes: no score
};

[[nodiscard]] Score scoreOf(const Shop& shop, const Walk& walk, std::size_t worst = 20);

/// Twice the mean pinball loss of quantiles at 5 ... 95 %.
[[nodiscard]] double crpsOfQuantiles(const std::array<double, kScoreLevels>& q, double outcome);
/// CRPS of a normal forecast: s [z (2 Phi(z) - 1) + 2 phi(z) - 1 / sqrt(pi)] (Gneiting and Raftery 2007).
[[nodiscard]] double crpsOfNormal(double mean, double sd, double outcome);
/// CRPS of an ensemble: mean |x - y| - sum |x_i - x_j| / (2 n^2).
[[nodiscard]] double crpsOfEnsemble(std::span<const double> members, double outcome);

/// Quantiles 5 ... 95 % of "the value stays as it was": the past errors (not empty) laid about a centre, linear between order
/// statistics, nothing below kLeastEfficiency.
[[nodiscard]] std::array<double, kScoreLevels> quantilesOf(std::vector<double> errors, double centre);

/// Brier score of said probabilities, with Murphy's parts over given bins.
struct BrierParts {
    double score = 0.0, reliability = 0.0, resolution = 0.0, uncertainty = 0.0, skill = 0.0;
};
/// `bins[i]`: which bin the i-th belongs to. Lengths equal, not empty.
[[nodiscard]] BrierParts brierOf(std::span<const double> said, std::span<const bool> came, std::span<const std::size_t> bins);

}  // namespace halfcell::core::outlook
