#pragma once

#include "core/fleet/keys.h"

#include <QString>

#include <optional>
#include <vector>

/// What the slope line and the magnifier draw: the readings of one visit and the lines through them. Prepared outside.
namespace halfcell::app {

/// One dip.
struct SlopePoint {
    double ph = 7.0;                      ///< of the standard at the reading's own temperature
    double mv = 0.0;                      ///< as read
    double idealMv = 0.0;                 ///< of an ideal sensor at the same pH and temperature: −k(T) (pH − 7)
    std::optional<double> expanded = {};  ///< 95 % uncertainty of the reading, mV
    core::Phase phase = core::Phase::AsFound;
    QString standard = {};                ///< in words: "pH 7.00"
    QString detail = {};                  ///< "19.0 °C, 120 s, lot B7-2231"
    bool superseded = false;
    bool leftOut = false;
    QString reason = {};
    QString figure = {};                  ///< key for Ctrl+E
    bool operator==(const SlopePoint&) const = default;
};

/// A line E = offset − slope (pH − 7).
struct SlopeLine {
    core::Phase phase = core::Phase::AsFound;
    double offsetMv = 0.0;
    double slopeMvPerPh = 59.159;  ///< positive for a working sensor
    QString name = {};             ///< at the line's end: "after cleaning 56.01 mV/pH"
    bool earlier = false;          ///< of the last visit, or superseded: dotted
    bool operator==(const SlopeLine&) const = default;
};

struct SlopeSeries {
    std::vector<SlopePoint> points = {};
    std::vector<SlopeLine> lines = {};
    double idealSlopeMvPerPh = 59.159;    ///< at `idealTemperature`
    double idealTemperature = 25.0;       ///< degC, of the first reading
    std::optional<double> processPh = {}; ///< where the sensor works: a short tick in the magnifier
    QString summary = {};                 ///< the sentence for readers; composed from the points if empty
    bool operator==(const SlopeSeries&) const = default;
};

}  // namespace halfcell::app
