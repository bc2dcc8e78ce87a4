#pragma once

#include "core/outlook/forecast.h"
#include "core/quantity/result.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace halfcell::core::outlook {

/// One line of any degradation data: a unit, a time, a value that falls or rises towards a limit.
struct TableRow {
    std::string unit;
    double time = 0.0;
    double value = 0.0;
    std::size_t line = 0;  ///< in its file, for messages
};

struct TableSettings {
    double limit = 0.0;
    bool rising = false;
    std::vector<double> at = {};  ///< in the table's own time; empty: three times beyond the last, within what is forecast
    unsigned threads = 1;
};

struct TableForecast {
    double at = 0.0;
    std::array<double, kLevels.size()> q{};  ///< of the value
    double crossed = 0.0;                    ///< P(the limit is passed by then)
    std::string abstained;
};

struct TableUnit {
    std::string unit;
    std::size_t readings = 0;
    double lastTime = 0.0, lastValue = 0.0;
    std::vector<TableForecast> forecasts;
    std::optional<double> p10, p50, p90;  ///< of the time of crossing; absent: not within the horizon
    double notBefore = 0.0;               ///< where they are absent: the end of the horizon
    std::optional<double> observed;       ///< the readings already passed the limit here (straight between them)
    std::string abstained;
};

/// What was learnt, and the outlook of each unit in the order of their first line.
struct TableOutlook {
    std::vector<TableUnit> units;
    FleetNumbers fleet;
    GroupNumbers group;
    bool knownStart = false;  ///< all units start at one value
    std::size_t taught = 0;   ///< units that have taught it
};

/// The same engine as for sensors, with their readings, rounds and response left out: time counts from each unit's first line,
/// the loss is that from the start to the limit. Numbers of the group learnt from all units.
/// Errc::BadInput for values that are not finite, a limit on the wrong side of the start, two lines of a unit at one time;
/// Errc::TooFewReadings when no unit has two readings.
/// Checked against: published laser data (tests/data/reference/gaas_laser.csv).
[[nodiscard]] Result<TableOutlook> tableOutlook(std::span<const TableRow> rows, const TableSettings& settings);

/// With given numbers (falling values, time from the start): used by the check without learning.
[[nodiscard]] AgeingFilter tableFilter(std::span<const TableRow> rows, const FleetNumbers& fleet, const GroupNumbers& group, double start,
                                       bool rising);
/// The numbers a table starts from, D the loss between start and limit.
[[nodiscard]] FleetNumbers tableNumbers(double start, double loss);

}  // namespace halfcell::core::outlook
