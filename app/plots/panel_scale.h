#pragma once

#include "app/plots/life_line_series.h"

#include <QString>

#include <vector>

/// Ranges and ticks of a life line's panel. The response axis is linear to 100 s and logarithmic above, in one piece
/// without a kink: a value v above 100 lies at 100 (1 + ln(v / 100)).
namespace halfcell::app {

/// Where a value lies on the panel's axis.
[[nodiscard]] double toAxis(PanelScale scale, double value);

struct PanelRange {
    double low = 0, high = 1;  ///< axis coordinates
    bool grown = false;        ///< an efficiency axis reaching beyond 60 to 103
    double lowValue = 0, highValue = 1;
};
/// The range of a panel from its points, fan and limits; `fixed`: the resting range whatever the data. Points that are
/// not drawn (`left out`) do not count.
[[nodiscard]] PanelRange rangeOf(const LifeLinePanel& panel, bool fixed);

struct PanelTick {
    double at = 0;  ///< axis coordinate
    QString label;
};
/// Ticks of a plain linear axis at round values, labels with a true minus.
[[nodiscard]] std::vector<PanelTick> plainTicks(double low, double high, int most, bool sign);
/// Ticks of a panel.
[[nodiscard]] std::vector<PanelTick> ticksOf(const LifeLinePanel& panel, const PanelRange& range, int most);
/// Ticks whose labels stand apart where the panel is `room` px high and a label `label` px: at least two of them wherever
/// two fit, so that an axis can be read.
[[nodiscard]] std::vector<PanelTick> ticksThatFit(const LifeLinePanel& panel, const PanelRange& range, double room, double label);

}  // namespace halfcell::app
