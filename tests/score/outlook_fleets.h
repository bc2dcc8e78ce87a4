#pragma once

#include "core/outlook/series.h"

#include <cstdint>
#include <vector>

/// Fleets with hidden truth for scoring the outlook: 204 measuring points in eight groups at four sites, read every one to ten
/// weeks for five years, sensors replaced as they fail. What is written down has gaps, shared errors of bottles, rounds and
/// people, readings taken too soon, and clerical errors. Rates are assumptions about plants, not field data.
namespace halfcell::score {

enum class FleetKind {
    Ageing,       ///< A: loss 3 a + 9 a^3 in the glass age a; response grows with it
    OtherShapes,  ///< B: straight, exponential approach, steps, late break, wandering rate, S-shaped; response almost blind to age
    Still         ///< no ageing at all: pure noise
};

struct FleetSettings {
    FleetKind kind = FleetKind::Ageing;
    std::uint64_t seed = 1;
    double movedShare = 0.0;     ///< of the points: at some moment they go to another group, sensor and all
    double shutdownWeek = -1.0;  ///< in it every sensor of site 0 falls dry for days
};

struct Fleet {
    core::outlook::Shop shop;
    std::vector<std::vector<double>> capability;  ///< per series: true clean efficiency, %, a week apart, running on past removal
    std::vector<double> bornWeek;                 ///< of the book, of capability's first entry
    std::vector<bool> teaches;                    ///< per series: its point is of the half that may be learnt from
    core::Instant begin;
    double weeks = 260.0;

    [[nodiscard]] core::Instant at(double week) const { return core::addDays(begin, 7.0 * week); }
    [[nodiscard]] double weekOf(const core::Instant& t) const { return core::daysBetween(begin, t) / 7.0; }
    /// True capability of a series at a week of the book; clipped below 70 %.
    [[nodiscard]] double truth(std::size_t series, double week) const;
};

[[nodiscard]] Fleet makeFleet(const FleetSettings& settings);

}  // namespace halfcell::score
