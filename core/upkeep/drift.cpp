#include "core/upkeep/drift.h"

#include "core/quantity/units.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core {
namespace {

constexpr std::size_t kLeastShifts = 4;
/// The ideal slope at 25 degC: ln 10 R T / F (CODATA 2018).
constexpr double kSlope25 = 59.159349685;

bool usable(const PhaseFigures& f)
{
    if (!f.offset_mv)
        return false;
    return f.kind == SensorKind::Orp || (f.efficiency_pct && *f.efficiency_pct > 25.0);
}

Shift shiftBetween(const PhaseFigures& left, const PhaseFigures& found, double ph)
{
    Shift shift;
    const double uOffset = std::hypot(left.u_offset_mv.value_or(0.0), found.u_offset_mv.value_or(0.0));
    if (found.kind == SensorKind::Orp) {
        shift.size = *found.offset_mv - *left.offset_mv;
        shift.u = uOffset;
        return shift;
    }
    const double sLeft = *left.efficiency_pct / 100.0, sFound = *found.efficiency_pct / 100.0;
    const double away = ph - 7.0;
    shift.size = ((*left.offset_mv - *found.offset_mv) + sFound * kSlope25 * away) / (sLeft * kSlope25) - away;
    const double uEfficiency = std::hypot(left.u_efficiency_pct.value_or(0.0), found.u_efficiency_pct.value_or(0.0)) / 100.0;
    shift.u = std::hypot(uOffset / (sLeft * kSlope25), away * uEfficiency / sLeft);
    return shift;
}

std::vector<double> rates(std::span<const Shift> shifts)
{
    std::vector<double> perDay;
    for (const Shift& s : shifts)
        if (s.days >= 1.0)
            perDay.push_back(s.beyondNoise() / s.days);
    std::ranges::sort(perDay);
    return perDay;
}

}  // namespace

double Shift::beyondNoise() const
{
    return std::max(0.0, std::abs(size) - 2.0 * u);
}

std::vector<Shift> asFoundShifts(std::span<const VisitFigures> figures, double process_ph)
{
    std::vector<Shift> shifts;
    const PhaseFigures* left = nullptr;
    Instant leftWhen;
    for (const VisitFigures& visit : figures) {
        const PhaseFigures* found = visit.phase(Phase::AsFound);
        if (left && found && usable(*found) && found->kind == left->kind) {
            Shift shift = shiftBetween(*left, *found, process_ph);
            shift.visit = static_cast<std::size_t>(&visit - figures.data());
            shift.day = dayNumber(visit.when);
            shift.days = daysBetween(leftWhen, visit.when);
            shifts.push_back(shift);
        }
        if (const PhaseFigures* last = visit.lastState(); last && usable(*last)) {
            left = last;
            leftWhen = visit.when;
        }
    }
    return shifts;
}

std::optional<double> daysUntilShift(std::span<const Shift> shifts, double allowed, double p)
{
    const auto perDay = rates(shifts);
    if (perDay.size() < kLeastShifts || !(allowed > 0.0))
        return std::nullopt;
    // The smallest rate with at most a share p of the rates above it.
    const double n = static_cast<double>(perDay.size());
    const auto above = static_cast<std::size_t>(std::floor(p * n + 1e-9));
    const double rate = perDay[perDay.size() - 1 - std::min(above, perDay.size() - 1)];
    if (rate <= 0.0)
        return std::nullopt;
    return allowed / rate;
}

double chanceOfShift(std::span<const Shift> shifts, double allowed, double days)
{
    const auto perDay = rates(shifts);
    if (perDay.size() < kLeastShifts || !(allowed > 0.0) || days <= 0.0)
        return 0.0;
    const auto over = std::ranges::count_if(perDay, [&](double r) { return r * days > allowed; });
    return static_cast<double>(over) / static_cast<double>(perDay.size());
}

}  // namespace halfcell::core
