#include "core/calibration/phase_readings.h"

#include "core/quantity/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfcell::core::calibration {
namespace {

/// A remainder worth a remark, mV (decision method 2).
constexpr double kRemainderWorthSaying_mv = 1.0;

double uOfTemperature(const Reading& reading, const BudgetDefaults& budget)
{
    if (!reading.temp_source)
        return budget.u_thermometer_carried_k;
    switch (*reading.temp_source) {
    case TemperatureSource::Measured: return budget.u_thermometer_k;
    case TemperatureSource::Guessed: return budget.u_thermometer_guessed_k;
    case TemperatureSource::Carried:
    case TemperatureSource::Sensor:
    case TemperatureSource::Absent: break;
    }
    return budget.u_thermometer_carried_k;
}

std::optional<double> temperatureOf(const Reading& reading)
{
    if (reading.temp_source == TemperatureSource::Absent)
        return std::nullopt;
    return reading.temp_degc.value;
}

}  // namespace

std::vector<TakenReading> takeReadings(const Visit& visit, Phase phase, const FigureContext& context, const StandardsBook& standards,
                                       PhaseFigures& figures)
{
    std::vector<TakenReading> taken;
    bool first = true;
    for (std::size_t i = 0; i < visit.readings.size(); ++i) {
        const Reading& r = visit.readings[i];
        if (r.phase != phase)
            continue;
        if (first || r.when < figures.when)
            figures.when = r.when;
        first = false;
        const auto series = r.settle.empty() ? std::nullopt : std::optional(fitSettling(r.settle));
        // A stop-watch's time goes before the series': somebody watched the end of it.
        const auto t90 = r.t90_s.has_value() ? r.t90_s.value : series && *series ? std::optional((*series)->t90_s) : std::nullopt;
        if (t90 && *t90 > figures.t90_s.value_or(0.0)) {
            figures.t90_s = t90;
            figures.u_t90_s = r.t90_s.has_value() ? std::nullopt : std::optional((*series)->u_t90_s);
        }
        if (!r.mv)
            continue;
        TakenReading t;
        t.series = series;
        t.index = i;
        t.reading = &r;
        t.lot = r.lot.value_or(std::string());
        t.reference = fmt::format("{}/{}/{}", keyOf(phase), r.standard, r.dip);
        t.e_mv = *r.mv;
        t.temp_c = temperatureOf(r);
        t.u_t_k = uOfTemperature(r, context.budget);
        t.wait_s = r.wait_s.value;
        t.t90_s = t90;
        taken.push_back(std::move(t));
    }
    std::ranges::stable_sort(taken, [](const TakenReading& a, const TakenReading& b) { return a.reading->when < b.reading->when; });

    // Settling counts little while the sensor still stands in the phase's first standard, more once it was changed.
    bool changed = false;
    for (std::size_t i = 0; i < taken.size(); ++i) {
        TakenReading& t = taken[i];
        changed = changed || (i > 0 && t.reading->standard != taken[i - 1].reading->standard);
        if (t.index < context.u_reading_mv.size() && context.u_reading_mv[t.index].value_or(0.0) > 0.0) {
            t.u_meter_mv = *context.u_reading_mv[t.index];
            t.stated = true;
        } else {
            t.u_meter_mv = context.budget.u_reading_mv;
            t.u_settling_mv = changed ? context.budget.u_settling_later_mv : context.budget.u_settling_first_mv;
        }
        if (!t.t90_s)
            t.t90_s = figures.t90_s;
        if (t.wait_s && t.t90_s && *t.t90_s > 0.0 && *t.wait_s >= 0.0) {
            const double ratio = *t.wait_s / *t.t90_s;
            figures.least_wait_ratio = std::min(figures.least_wait_ratio.value_or(ratio), ratio);
            if (i > 0) {
                t.step_mv = std::fabs(t.e_mv - taken[i - 1].e_mv);
                t.remainder_mv = t.step_mv * std::pow(10.0, -ratio);
            }
        }
        const double remainderU = t.remainder_mv / std::sqrt(3.0);
        t.u_own_mv = std::sqrt(t.u_meter_mv * t.u_meter_mv + t.u_settling_mv * t.u_settling_mv + remainderU * remainderU);
        if (t.remainder_mv > kRemainderWorthSaying_mv)
            figures.issues.push_back(
                {FindingCode::ReadTooSoon,
                 fmt::format("{}: after {} s at a response of {} s about {} mV were still to come", standards.words(t.reading->standard),
                             formatNumber(*t.wait_s), formatNumber(*t.t90_s), formatFixed(t.remainder_mv, 1)),
                 t.index});
        if (!t.temp_c)
            figures.issues.push_back({FindingCode::TemperatureMissing,
                                      fmt::format("{} mV in {}: the temperature was not recorded", formatSigned(t.e_mv, 1),
                                                  standards.words(t.reading->standard)),
                                      t.index});
    }
    noteSettling(taken, standards, figures);
    return taken;
}

int groupOf(std::vector<std::pair<std::string, std::string>>& groups, const TakenReading& taken)
{
    const std::pair<std::string, std::string> key{taken.reading->standard, taken.lot};
    const auto known = std::ranges::find(groups, key);
    if (known != groups.end())
        return static_cast<int>(known - groups.begin());
    groups.push_back(key);
    return static_cast<int>(groups.size()) - 1;
}

void noteRefusal(PhaseFigures& figures, const TakenReading& taken, const Error& error, const StandardsBook& standards)
{
    FindingCode code = FindingCode::EntryError;
    if (error.code == Errc::OutsideTable)
        code = FindingCode::OutsideTable;
    else if (error.code == Errc::BadInput)
        code = FindingCode::WrongStandard;
    figures.issues.push_back(
        {code, fmt::format("{} mV in {}: {}", formatSigned(taken.e_mv, 1), standards.words(taken.reading->standard), error.detail),
         taken.index});
}

void noteMissing(PhaseFigures& figures, std::initializer_list<const char*> keys, const std::string& reason)
{
    for (const char* key : keys)
        if (std::ranges::none_of(figures.missing, [&](const auto& entry) { return entry.first == key; }))
            figures.missing.emplace_back(key, reason);
}

}  // namespace halfcell::core::calibration
