#pragma once

#include "core/outlook/ageing_filter.h"
#include "core/rules/assess.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The history of a shop as the outlook reads it: per sensor its clean readings on a clock of service weeks, with what
/// happened in between, which round and bottle each shared, and which group of model, application and site it belonged to.

namespace halfcell::core::outlook {

/// How the readings of a phase were taken: wait before the last standard was accepted, slowest response, temperature.
struct ReadHow {
    std::optional<double> wait_s, t90_s, temp_c;
};
[[nodiscard]] ReadHow readHow(const Visit& visit, Phase phase);

/// One visit with something to learn from.
struct SeriesVisit {
    Instant when;
    double weeks = 0.0;                    ///< on the sensor's own clock
    std::string visit;                     ///< key; empty for a legacy record
    std::size_t group = 0;                 ///< index into Shop::groups
    std::optional<double> efficiency_pct;  ///< clean: as left, else after cleaning
    double u_efficiency_pct = 0.0;
    double varFactor = 1.0;
    bool twice = false;  ///< after cleaning and as left are two readings of one state
    std::optional<double> wait_s, t90_s, temp_c;
    std::optional<double> offset_mv;   ///< as left, else after cleaning, else as found
    std::optional<double> state_pct;   ///< pH: efficiency as left, else after cleaning, else as found; not clipped
    std::optional<std::size_t> round;  ///< index into Shop::rounds
    std::vector<LevelEvent> events;    ///< since the visit before, this visit's own included
    double offsetEventVar = 0.0;       ///< what they may have moved the offset, mV^2
    bool referenceChanged = false;     ///< refill or bridge
    bool withoutTemperature = false;
    std::string leftOut;  ///< why a visit with readings has no usable efficiency
};

/// Shared by sensors read on one round with the same bottles.
struct RoundKey {
    std::string site;
    std::int64_t day = 0;
    std::string bottles;                ///< lots in order, or the standards where no lot is written
    std::optional<std::size_t> before;  ///< the last round of the same bottles
};

/// Sensors expected to age alike.
struct GroupKey {
    std::string model, application, site;
    double usualLifeMonths = 18.0;  ///< of the rule set
    auto operator<=>(const GroupKey&) const = default;
};

struct Series {
    std::string serial, site, tag, application, model;
    SensorKind kind = SensorKind::Ph;
    bool knownStart = true;
    bool inService = false;  ///< at a measuring point now
    std::size_t groupNow = 0;
    std::vector<SeriesVisit> visits;  ///< by time, then key
    /// Clock: service weeks at moments, linear in between and beyond by `rate`.
    struct Mark {
        std::int64_t utcSeconds = 0;
        double weeks = 0.0, rate = 1.0;  ///< rate holds from here on
    };
    std::vector<Mark> clock;
    std::optional<Instant> scrapped;

    [[nodiscard]] double weeksAt(const Instant& t) const;
    /// Usable clean readings up to a moment.
    [[nodiscard]] std::size_t cleanReadings(const Instant& until) const;
};

struct Shop {
    std::vector<Series> series;    ///< by serial
    std::vector<RoundKey> rounds;  ///< by day, site, bottles
    std::vector<GroupKey> groups;
    Instant first, last;  ///< of the visits
};

/// A sensor on the shelf ages at this share of the rate in service: two years there cost about a tenth of the glass (makers
/// give 12 to 24 months without loss; our choice).
inline constexpr double kShelfRate = 0.15;
/// Readings are clipped here: below it a sensor is dead, and how dead says nothing about ageing.
inline constexpr double kLeastEfficiency = 50.0, kMostEfficiency = 106.0;

/// Reads the shop out of its records. `figures` is parallel to plant.histories().
[[nodiscard]] Shop shopOf(const Plant& plant, std::span<const std::vector<VisitFigures>> figures, const RuleSet& rules);

}  // namespace halfcell::core::outlook
