#pragma once

#include "core/outlook/forecast.h"
#include "core/outlook/learning.h"

#include <array>
#include <vector>

namespace halfcell::core::outlook {

/// Levels at which a forecast is scored: 5, 10 ... 95 %.
inline constexpr std::size_t kScoreLevels = 19;

/// A forecast made in the past whose outcome is in the book.
struct PastForecast {
    std::size_t sensor = 0, group = 0, band = 0;  ///< group: of Shop::groups
    Instant origin, outcomeAt;
    double weeks = 0.0;  ///< from origin to outcome
    double outcome = 0.0;
    double pit = 0.5;                      ///< in the raw law
    std::array<double, kScoreLevels> q{};  ///< recalibrated
    double lastValue = 0.0;
    std::optional<double> line, lineSd;  ///< straight line through the last six, with its own band
    double lineT = 0.0;                  ///< degrees of freedom of it
};

/// A forecast of an offset made in the past.
struct PastOffset {
    std::size_t group = 0, band = 0;
    Instant origin, outcomeAt;
    double centre = 0.0, outcome = 0.0, last = 0.0;
};

struct Origin {
    Instant at;
    std::size_t chances = 0;  ///< sensor and horizon pairs with an outcome
    std::array<std::size_t, kBands> chancesOf{}, abstainedOf{};
};

/// The outlook walked through the history of a book: at each origin it learns from what was known then, forecasts, and later
/// sees what came. The last state is that of today.
struct Walk {
    Model model;                  ///< learnt up to the end
    Recalibration recalibration;  ///< from all outcomes
    std::vector<PastForecast> past;
    std::vector<PastOffset> pastOffsets;
    std::vector<Origin> origins;
};

struct WalkSettings {
    LearnSettings learning;
    double everyWeeks = 13.0;      ///< between origins
    double firstShare = 0.3;       ///< of the history before the first origin, 26 weeks at least
    std::size_t mostOrigins = 12;  ///< the last ones
    bool forecasts = true;         ///< false: only learn up to the end
};

/// Walks the shop up to `now`. Errc::Cancelled when the progress call says stop.
[[nodiscard]] Result<Walk> walk(const Shop& shop, const Instant& now, const WalkSettings& settings = {});

/// Quantiles of (outcome - centre) of past offset forecasts for a group of the model and a band, as 1 ... 99 %; empty with fewer than forty
/// in the group and in the fleet.
[[nodiscard]] std::vector<double> offsetErrors(const Walk& walk, std::size_t group, std::size_t band);

}  // namespace halfcell::core::outlook
