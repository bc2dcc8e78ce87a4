#pragma once

#include "core/outlook/model.h"

#include <array>
#include <optional>
#include <vector>

namespace halfcell::core::outlook {

/// Share of the step between two standards that is missed by accepting too soon: exp(-2.303 wait / t90), as mean and variance
/// over what is not known of wait and response.
struct TooSoon {
    double mean = 0.0, var = 0.0;
    double lnRatio = 0.0, lnRatioVar = 0.0;  ///< of wait / t90
};
/// Of a recorded reading; what is missing is filled in from the filter's response and from how long people wait here.
[[nodiscard]] TooSoon tooSoonOf(const FleetNumbers& fleet, const std::optional<double>& wait_s, const std::optional<double>& t90_s,
                                const std::optional<double>& temp_c, const MeanVar& lnResponse25);
/// How long people wait for a sensor of that ln t90 (at the temperature of the reading), as points of ln(wait / t90): by the clock,
/// or at least until the display stands.
struct RatioNode {
    double lnRatio = 0.0, weight = 0.0;
};
[[nodiscard]] std::array<RatioNode, 15> usualRatios(const FleetNumbers& fleet, const MeanVar& lnResponse);
/// The same for a reading to come, at 20 degC.
[[nodiscard]] std::array<RatioNode, 15> ratiosAhead(const FleetNumbers& fleet, const MeanVar& lnResponse25);
/// Share missed at a ln(wait / t90); at most 0.9.
[[nodiscard]] double missedShare(double lnRatio);
/// ln t90 at a temperature less ln t90 at 25 degC (halves per 15 K: published response curves of glass, common practice).
[[nodiscard]] double lnColdResponse(double temp_c);

/// What the filter made of one visit.
struct ReplayedVisit {
    std::size_t visit = 0;  ///< index into Series::visits
    LevelTaken taken;
    TooSoon tooSoon;
    double shift = 0.0, shiftVar = 0.0;
    double expected = 0.0;                        ///< reading expected before it
    double capability = 0.0, capabilitySd = 0.0;  ///< after it
};

/// A sensor's filters after all visits up to a moment.
struct Replay {
    AgeingFilter level;
    OffsetFilter offset;
    std::vector<ReplayedVisit> taken;
    std::optional<std::size_t> lastClean;  ///< index into Series::visits
    std::optional<std::size_t> lastOffset;
    std::size_t withoutTemperature = 0;
    bool referenceChangedSince = false;  ///< refill or bridge after the last offset
    bool unexplainedRise = false;        ///< last reading rose by more than 3 % with nothing done
    /// Index of the last visit whose efficiency was below kLeastEfficiency, if none since was above it: a fault, not ageing.
    std::optional<std::size_t> dead;
};

/// Replays a series with the model's numbers and round shifts. Visits after `until` are not looked at.
[[nodiscard]] Replay replay(const Series& series, const Model& model, const Instant& until);

/// Lets filters built by `replay` take the next visits, up to a moment; the same as replaying all.
void replayOn(Replay& state, const Series& series, const Model& model, std::size_t& nextVisit, const Instant& until);
[[nodiscard]] Replay startOf(const Series& series, const Model& model);

/// Shared errors of rounds from the innovations of their members (up to `until`), bottle by bottle in time.
struct Innovation {
    std::size_t round = 0;
    double value = 0.0, var = 0.0;
};
[[nodiscard]] std::vector<RoundShift> roundShifts(const Shop& shop, const FleetNumbers& fleet, std::vector<Innovation> innovations);
[[nodiscard]] std::vector<RoundShift> freshRounds(const Shop& shop, const FleetNumbers& fleet);

}  // namespace halfcell::core::outlook
