#pragma once

#include "core/fleet/keys.h"

#include <QString>

#include <optional>
#include <vector>

/// What the two-rung gauge draws: expected and read potential of each redox standard. Prepared outside.
namespace halfcell::app {

struct RungReading {
    core::Phase phase = core::Phase::AsFound;
    double mv = 0.0;
    std::optional<double> expanded = {};  ///< 95 % uncertainty, mV
    bool superseded = false;
    QString detail = {};                  ///< "21.0 °C, 40 s"
    QString figure = {};                  ///< key for Ctrl+E
    bool operator==(const RungReading&) const = default;
};

struct Rung {
    QString standard = {};    ///< in words: "quinhydrone in pH 7"
    double expectedMv = 0.0;  ///< against the sensor's own reference, at the temperature of the reading
    std::vector<RungReading> readings = {};
    bool operator==(const Rung&) const = default;
};

struct GaugeSeries {
    std::vector<Rung> rungs = {};  ///< 1 to 4
    QString summary = {};          ///< "strokes parallel: reference"; composed from the readings if empty
    bool operator==(const GaugeSeries&) const = default;
};

}  // namespace halfcell::app
