#pragma once

#include "app/style/palette.h"

#include <QRectF>
#include <QString>

#include <cstdint>
#include <vector>

class QPainter;

namespace halfcell::app {

/// The line in a row: as-left values of the last twelve months as a thin line, the last one a dot. No axis; the range is
/// fixed, so that rows compare.
struct Sparkline {
    struct Point {
        std::int64_t utc = 0;
        double value = 0.0;
        bool joined = true;  ///< false: the line is broken before it (move or renewal)
        bool operator==(const Point&) const = default;
    };
    std::vector<Point> points = {};  ///< ascending in time
    std::int64_t from = 0;           ///< left end of the box
    std::int64_t to = 0;             ///< right end of the box
    double low = 60.0;               ///< value at the bottom
    double high = 103.0;             ///< value at the top
    bool operator==(const Sparkline&) const = default;
};

void paintSparkline(QPainter& painter, const QRectF& box, const Sparkline& line, const Palette& palette, bool quiet);

/// "9 as-left values, 98.9 to 97.2" for readers; "no as-left values" when there is none.
[[nodiscard]] QString sparklineWords(const Sparkline& line, int decimals = 1);

}  // namespace halfcell::app
