#pragma once

#include "app/plots/gauge_series.h"
#include "app/plots/life_line_series.h"
#include "app/plots/slope_series.h"

/// Series as drawn in the trade's own example: sensor K7-0412, fortnightly visits from 28 Sep 2025 to 2 Mar 2026.
namespace halfcell::test {

using namespace halfcell::app;
using namespace Qt::Literals::StringLiterals;

inline constexpr std::int64_t kDay = 86400;
inline constexpr std::int64_t kNow = 1772441220;  // 2026-03-02T08:47:00Z

/// `visits` fortnightly visits up to now; efficiencies as left from 98.9 down to 97.2, as found a few per cent lower.
inline LifeLineSeries lifeLine(int visits = 12)
{
    LifeLineSeries series;
    series.sensor = u"K7-0412"_s;
    series.now = kNow;
    LifeLinePanel efficiency{.key = u"efficiency_pct"_s, .title = u"Efficiency"_s, .unit = u"%"_s, .scale = PanelScale::Efficiency};
    LifeLinePanel offset{.key = u"offset_mv"_s, .title = u"Offset"_s, .unit = u"mV"_s, .scale = PanelScale::Symmetric, .sign = true};
    LifeLinePanel response{.key = u"t90_s"_s, .title = u"Response t90"_s, .unit = u"s"_s, .scale = PanelScale::LogAbove100, .decimals = 0};
    efficiency.limits = {{70, BadSide::Below, LimitKind::Use, u"use"_s}, {80, BadSide::Below, LimitKind::Maintenance, u"maintenance"_s, false}};
    offset.limits = {{50, BadSide::Above}, {-50, BadSide::Below}};
    response.limits = {{120, BadSide::Above}};
    for (int i = 0; i < visits; ++i) {
        const double part = visits > 1 ? double(i) / (visits - 1) : 1.0;
        const std::int64_t utc = kNow - (visits - 1 - i) * 14 * kDay - 240;
        const QString visit = u"V%1"_s.arg(i + 1);
        const auto add = [&](LifeLinePanel& panel, core::Phase phase, double value, double expanded, std::int64_t after) {
            PhasePoint p{.utc = utc + after, .phase = phase, .value = value, .expanded = expanded, .visit = visit};
            p.figure = visit + u'.' + panel.key;
            p.joined = i != 5;
            panel.points.push_back(p);
        };
        const double found = 96.0 - 5.0 * (i % 3) / 2.0 - 2.0 * part;
        add(efficiency, core::Phase::AsFound, found, 2.0, -1800);
        add(offset, core::Phase::AsFound, -4.0 - 8.0 * part, 3.4, -1800);
        add(response, core::Phase::AsFound, 40.0 + 55.0 * part, 8.0, -1800);
        add(efficiency, core::Phase::AsLeft, 98.9 - 1.7 * part, 1.5, 0);
        add(offset, core::Phase::AsLeft, -2.0 - 6.9 * part, 3.5, 0);
        add(response, core::Phase::AsLeft, 20.0 + 4.0 * part, 3.0, 0);
        DidMark did{.utc = utc, .steps = {{u"D"_s, u"detergent"_s}}};
        if (i % 3 == 2)
            did.steps.push_back({u"A"_s, u"acid"_s});
        if (i == 5)
            did.steps = {{u"F"_s, u"refill reference"_s, true}};
        series.did.push_back(did);
        series.visits.push_back({visit, utc, u"T1"_s, u"B7-2231, B10-0874"_s, i + 1 == visits ? u"detergent, acid: gained 4.5 %"_s : QString()});
    }
    if (visits >= 4) {
        const std::int64_t start = kNow;
        for (int week = 0; week <= 22; week += 2) {
            const double w = week;
            efficiency.fan.push_back({start + week * 7 * kDay, 97.2 - 0.75 * w - 1.2, 97.2 - 0.6 * w - 0.6, 97.2 - 0.45 * w, 97.2 - 0.35 * w + 0.5,
                                      97.2 - 0.25 * w + 1.0});
            offset.fan.push_back({start + week * 7 * kDay, -8.9 - 0.8 * w - 2, -8.9 - 0.5 * w - 1, -8.9 - 0.3 * w, -8.9 - 0.1 * w + 1, -8.9 + 0.2 * w + 2});
            response.fan.push_back({start + week * 7 * kDay, 22, 23, 24 + 0.3 * w, 26 + 0.6 * w, 29 + 1.2 * w});
        }
    }
    series.panels = {efficiency, offset, response};
    series.where = {{kNow - (visits * 14 + 10) * kDay, kNow - (visits - 1) * 14 * kDay - 3 * kDay, u"shelf"_s, true},
                    {kNow - (visits - 1) * 14 * kDay - 3 * kDay, std::nullopt, u"AE-3107 Neutralisation tank 2"_s, false}};
    LifeLinePanel raw{.key = u"ph10.01_mv"_s, .title = u"pH 10.01"_s, .unit = u"mV"_s, .scale = PanelScale::Free, .decimals = 0, .sign = true};
    for (const PhasePoint& p : efficiency.points) {
        PhasePoint q = p;
        q.value = -1.78 * p.value;
        q.expanded = std::nullopt;
        raw.points.push_back(q);
    }
    series.rawPanels = {raw};
    return series;
}

/// The visit of the trade's example: pH 7.00 and pH 10.01 at 19.0 °C, as found −13 and −176, after cleaning −10 and
/// −181 mV. Figures of the standards at 19.0 °C: pH 7.020 and 10.073, slope 57.969 mV/pH.
inline SlopeSeries slope()
{
    SlopeSeries series;
    series.idealSlopeMvPerPh = 57.969;
    series.idealTemperature = 19.0;
    series.processPh = 9.4;
    const auto add = [&](double ph, double mv, core::Phase phase, const QString& standard) {
        series.points.push_back({.ph = ph, .mv = mv, .idealMv = -57.969 * (ph - 7.0), .expanded = 3.0, .phase = phase, .standard = standard,
                                 .detail = u"19.0 °C, 120 s"_s, .figure = u"mv"_s});
    };
    add(7.020, -13, core::Phase::AsFound, u"pH 7.00"_s);
    add(10.073, -176, core::Phase::AsFound, u"pH 10.01"_s);
    add(7.020, -10, core::Phase::AfterClean, u"pH 7.00"_s);
    add(10.073, -181, core::Phase::AfterClean, u"pH 10.01"_s);
    series.lines = {{core::Phase::AsFound, -11.93, 53.39, u"as found 53.39 mV/pH"_s}, {core::Phase::AfterClean, -8.88, 56.01, u"after cleaning 56.01 mV/pH"_s}};
    return series;
}

/// ORP: quinhydrone in pH 7 and pH 4 at 21.0 °C, both read low by about the same.
inline GaugeSeries gauge()
{
    GaugeSeries series;
    series.rungs = {{u"quinhydrone in pH 7"_s, 81.0, {{.phase = core::Phase::AsFound, .mv = 55, .expanded = 8.0, .detail = u"21.0 °C, 40 s"_s, .figure = u"q7"_s}}},
                    {u"quinhydrone in pH 4"_s, 257.0, {{.phase = core::Phase::AsFound, .mv = 228, .expanded = 8.0, .detail = u"21.0 °C, 55 s"_s, .figure = u"q4"_s}}}};
    return series;
}

}  // namespace halfcell::test
