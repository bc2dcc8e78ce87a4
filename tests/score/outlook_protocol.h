#pragma once

#include "core/outlook/rolling.h"
#include "tests/score/outlook_fleets.h"

#include <array>
#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

/// Rolling-origin scoring of the outlook on fleets with hidden truth: everything is learnt on half of the points up to week 156,
/// the forecasts of the other half after it are scored; the bands are widened only by forecasts whose outcome was known by then.
namespace halfcell::score {

using core::outlook::kBands;
using core::outlook::kScoreLevels;

/// One forecast of a reading, with what came.
struct Scored {
    std::size_t series = 0, band = 0;
    double origin = 0.0, weeks = 0.0, outcome = 0.0, truth = 0.0;
    bool known = true;      ///< the day of installation
    bool sameGroup = true;  ///< still in the group it was forecast for
    std::array<double, kScoreLevels> q{}, qTrue{};
    double pit = 0.5;  ///< before recalibration
    double last = 0.0, lastCrps = 0.0, crps = 0.0;
    std::optional<double> lineCrps;
};

/// One chance to warn: P(capability < 85 % within 13 weeks), at an origin.
struct Warning {
    std::size_t series = 0;
    double origin = 0.0, said = 0.0;
    bool came = false, stays = false;  ///< within 13 weeks; stays above for 26
};

struct Scoring {
    std::vector<Scored> forecasts;
    std::vector<Warning> warnings;
    std::size_t abstained = 0, chances = 0;
};

struct ProtocolSettings {
    double learnUntil = 156.0, originEvery = 4.0;
    std::optional<std::size_t> leftOutSite;  ///< nothing is learnt from it, and only its sensors are scored
};

[[nodiscard]] Scoring runProtocol(const Fleet& fleet, const ProtocolSettings& settings = {});
/// The model learnt from the teaching half up to a week, its rounds settled over the whole book.
[[nodiscard]] core::outlook::Model learntModel(const Fleet& fleet, double week, const ProtocolSettings& settings = {},
                                               const core::outlook::Model* start = nullptr);

/// Sums over forecasts that a filter lets through.
struct Figures {
    std::size_t n = 0;
    double covers50 = 0.0, covers80 = 0.0, covers90 = 0.0, raw80 = 0.0;
    double true50 = 0.0, true80 = 0.0, true90 = 0.0;
    double skillLast = 0.0, skillLine = 0.0, error = 0.0, lastError = 0.0;
};
[[nodiscard]] Figures figuresOf(const std::vector<Scored>& all, const std::function<bool(const Scored&)>& which);

/// Brier skill of the warnings against their base rate.
[[nodiscard]] double brierSkill(const std::vector<Warning>& warnings);
/// Alarm level at which a share of the chances that stay above the limit for 26 weeks raises one.
[[nodiscard]] double alarmLevel(const std::vector<Warning>& warnings, double falseShare);
/// Weeks from the first warning at a level to the true crossing, one a sensor; 0 where it was not warned.
[[nodiscard]] std::vector<double> leadsOf(const Fleet& fleet, const std::vector<Warning>& warnings, double level);

}  // namespace halfcell::score
