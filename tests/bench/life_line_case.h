#pragma once

#include "app/plots/life_line_series.h"

#include <cmath>

namespace halfcell::bench {

/// A life line of three panels with `points` as-left points each, a day apart; the values are made up.
inline app::LifeLineSeries lifeLine(int points)
{
    app::LifeLineSeries series;
    series.sensor = QStringLiteral("K7-0001");
    constexpr std::int64_t kDay = 86'400, kStart = 1'700'000'000;
    const auto panel = [&](const char* key, const char* title, const char* unit, app::PanelScale scale, double centre, double swing) {
        app::LifeLinePanel made;
        made.key = QLatin1String(key);
        made.title = QLatin1String(title);
        made.unit = QLatin1String(unit);
        made.scale = scale;
        for (int i = 0; i < points; ++i)
            made.points.push_back(
                {.utc = kStart + i * kDay, .value = centre + swing * std::sin(i / 9.0) + 0.3 * swing * ((i * 37) % 11 - 5) / 5.0});
        return made;
    };
    series.panels = {panel("efficiency_pct", "Efficiency", "%", app::PanelScale::Efficiency, 92.0, 4.0),
                     panel("offset_mv", "Offset", "mV", app::PanelScale::Symmetric, -5.0, 8.0),
                     panel("t90_s", "Response t90", "s", app::PanelScale::LogAbove100, 30.0, 12.0)};
    series.now = kStart + points * kDay;
    return series;
}

}  // namespace halfcell::bench
