#pragma once

#include "core/calibration/figures.h"

#include <algorithm>
#include <initializer_list>
#include <string>

/// Short ways to write a visit in tests of the figures.
namespace halfcell::test {

struct Read {
    const char* standard;
    double mv;
    std::optional<double> temp = {};
    std::optional<double> wait = {}, t90 = {};
    const char* lot = "";
    core::Phase phase = core::Phase::AsFound;
};

inline core::Visit visitOf(std::initializer_list<Read> reads)
{
    core::Visit visit;
    visit.visit = "test";
    visit.when = {.utcSeconds = 1'772'000'000};
    std::int64_t at = visit.when.utcSeconds;
    for (const Read& r : reads) {
        core::Reading reading;
        reading.when = {.utcSeconds = at};
        at += 120;
        reading.phase = r.phase;
        reading.standard = r.standard;
        if (*r.lot != '\0')
            reading.lot = r.lot;
        reading.mv = r.mv;
        if (r.temp) {
            reading.temp_degc = *r.temp;
            reading.temp_source = core::TemperatureSource::Measured;
        }
        if (r.wait)
            reading.wait_s = *r.wait;
        if (r.t90)
            reading.t90_s = *r.t90;
        for (const core::Reading& earlier : visit.readings)
            if (earlier.standard == reading.standard && earlier.phase == reading.phase)
                ++reading.dip;
        visit.readings.push_back(std::move(reading));
    }
    return visit;
}

inline core::PhaseFigures phFigures(std::initializer_list<Read> reads, core::FigureContext context = {})
{
    context.kind = core::SensorKind::Ph;
    return core::figuresOf(visitOf(reads), core::Phase::AsFound, context);
}

inline core::PhaseFigures orpFigures(const char* fill, std::initializer_list<Read> reads, core::FigureContext context = {})
{
    context.kind = core::SensorKind::Orp;
    context.reference_fill = fill;
    return core::figuresOf(visitOf(reads), core::Phase::AsFound, context);
}

inline bool hasIssue(const core::PhaseFigures& figures, core::FindingCode code)
{
    return std::ranges::any_of(figures.issues, [code](const core::FigureIssue& issue) { return issue.code == code; });
}

inline bool isMissing(const core::PhaseFigures& figures, const std::string& key)
{
    return std::ranges::any_of(figures.missing, [&](const auto& entry) { return entry.first == key && !entry.second.empty(); });
}

inline const core::Working* workingOf(const core::PhaseFigures& figures, const std::string& key)
{
    const auto it = std::ranges::find(figures.working, key, &core::Working::figure);
    return it == figures.working.end() ? nullptr : &*it;
}

}  // namespace halfcell::test
