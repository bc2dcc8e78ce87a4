#include "app/bench/readings_panel.h"

#include "app/bench/live_readings.h"
#include "app/bench/say.h"
#include "app/style/figures.h"
#include "app/style/marks.h"
#include "core/electrochemistry/nernst.h"

#include <algorithm>

/// From figures to what the plots draw.
namespace halfcell::app::bench {

using namespace core;

namespace {

constexpr double kNeutral = 7.0;

QString detailOf(const Reading& reading)
{
    QStringList parts;
    if (reading.temp_degc.has_value())
        parts << figureText(*reading.temp_degc, 1, Sign::WhenNegative) + QStringLiteral(" °C");
    if (reading.wait_s.has_value())
        parts << figureText(*reading.wait_s, 0, Sign::WhenNegative) + QStringLiteral(" s");
    if (reading.lot)
        parts << Say::tr("lot %1").arg(QString::fromStdString(*reading.lot));
    return parts.join(QStringLiteral(", "));
}

}  // namespace

SlopeSeries slopeSeriesOf(const LiveReadings& live, const SensorInHand& hand)
{
    SlopeSeries series;
    series.processPh = hand.processPh();
    std::optional<double> firstTemp;
    for (const Phase phase : {Phase::AsFound, Phase::AfterClean, Phase::AsLeft}) {
        const PhaseFigures& f = live.phase(phase).figures;
        for (const UsedReading& used : f.used) {
            const auto slope = nernstSlope(Celsius(used.temp_c));
            if (!slope)
                continue;
            if (!firstTemp)
                firstTemp = used.temp_c;
            SlopePoint point;
            point.ph = used.standardValue;
            point.mv = used.e_mv;
            point.idealMv = -slope->value() * (used.standardValue - kNeutral);
            point.phase = phase;
            point.standard = QString::fromStdString(hand.standards->words(used.standard));
            if (used.index < live.visit.readings.size())
                point.detail = detailOf(live.visit.readings[used.index]);
            series.points.push_back(std::move(point));
        }
        if (!f.fit || f.used.empty())
            continue;
        const auto slope = nernstSlope(Celsius(f.used.front().temp_c));
        if (!slope)
            continue;
        SlopeLine line;
        line.phase = phase;
        line.offsetMv = f.fit->e0_mv;
        line.slopeMvPerPh = f.fit->s * slope->value();
        line.name = Say::tr("%1 %2 mV/pH").arg(phaseWord(phase), figureText(line.slopeMvPerPh, 2, Sign::WhenNegative));
        series.lines.push_back(std::move(line));
    }
    if (const PhaseFigures* last = hand.lastState(); last && last->fit && !last->used.empty()) {
        const auto slope = nernstSlope(Celsius(firstTemp.value_or(last->used.front().temp_c)));
        if (slope)
            series.lines.push_back({.phase = Phase::AsLeft, .offsetMv = last->fit->e0_mv, .slopeMvPerPh = last->fit->s * slope->value(), .name = Say::tr("last left"), .earlier = true});
    }
    series.idealTemperature = firstTemp.value_or(kStandardTemperature.value());
    if (const auto slope = nernstSlope(Celsius(series.idealTemperature)))
        series.idealSlopeMvPerPh = slope->value();
    return series;
}

GaugeSeries gaugeSeriesOf(const LiveReadings& live, const SensorInHand& hand)
{
    GaugeSeries series;
    for (const Phase phase : {Phase::AsFound, Phase::AfterClean, Phase::AsLeft})
        for (const UsedReading& used : live.phase(phase).figures.used) {
            const QString words = QString::fromStdString(hand.standards->words(used.standard));
            auto rung = std::find_if(series.rungs.begin(), series.rungs.end(), [&](const Rung& r) { return r.standard == words; });
            if (rung == series.rungs.end()) {
                series.rungs.push_back({.standard = words, .expectedMv = used.standardValue});
                rung = std::prev(series.rungs.end());
            }
            RungReading reading;
            reading.phase = phase;
            reading.mv = used.e_mv;
            if (used.index < live.visit.readings.size())
                reading.detail = detailOf(live.visit.readings[used.index]);
            rung->readings.push_back(std::move(reading));
        }
    return series;
}

}  // namespace halfcell::app::bench
