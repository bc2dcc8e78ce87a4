#pragma once

#include "app/style/palette.h"

#include <QRectF>

#include <optional>

class QPainter;

namespace halfcell::app {

/// The small rule in a row of the Register: 72 px wide, 60 to 103 %, hatched from the bad side up to the use limit, a
/// tick at the maintenance limit, a dot with its 95 % whisker. Limits are those of the sensor's own profile.
struct EfficiencyRule {
    std::optional<double> value = {};     ///< %; absent: the empty rule
    std::optional<double> expanded = {};  ///< 95 % uncertainty, %
    double use = 70.0;               ///< use limit, %
    double maintenance = 80.0;       ///< maintenance limit, %
    bool operator==(const EfficiencyRule&) const = default;
};

inline constexpr double kEfficiencyRuleWidth = 72.0;  ///< logical px at scale 1
inline constexpr double kEfficiencyRuleLow = 60.0;    ///< %
inline constexpr double kEfficiencyRuleHigh = 103.0;  ///< %

/// Draws the rule, centred in height, as wide as `box`. A value beyond an end stands at that end as an arrow head.
void paintEfficiencyRule(QPainter& painter, const QRectF& box, const EfficiencyRule& rule, const Palette& palette);

/// Hatching of an area (limits, shelf, site set-up): thin strokes rising to the right, `spacing` px apart, clipped to
/// `area`. Drawn as lines, so that it stays crisp at every scale and on paper.
void paintHatching(QPainter& painter, const QRectF& area, const QColor& ink, double spacing = 6.0, double width = 1.0);

}  // namespace halfcell::app
