#include "core/suspects/suspects.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace halfcell::core {
namespace {

constexpr double kMostOwn = 4.0;  // sds of an innovation beyond which a sensor has its own fault: left out
constexpr std::size_t kLeastBefore = 2;

const PhaseFigures* cleanPhase(const VisitFigures& visit)
{
    if (const PhaseFigures* left = visit.phase(Phase::AsLeft))
        return left;
    return visit.phase(Phase::AfterClean);
}

/// The reading whose bottle weighs on the quantity: for the offset the one nearest to pH 7, for the efficiency the one farthest.
const Reading* bottleOf(const Visit& visit, const PhaseFigures& figures, ShiftOf quantity)
{
    const UsedReading* chosen = nullptr;
    for (const UsedReading& u : figures.used) {
        const double off = std::abs(u.standardValue - 7.0);
        if (figures.kind == SensorKind::Orp) {
            if (!chosen)
                chosen = &u;
            continue;
        }
        if (!chosen ||
            (quantity == ShiftOf::OffsetMv ? off < std::abs(chosen->standardValue - 7.0) : off > std::abs(chosen->standardValue - 7.0)))
            chosen = &u;
    }
    return chosen && chosen->index < visit.readings.size() ? &visit.readings[chosen->index] : nullptr;
}

}  // namespace

std::string_view shiftOfKey(ShiftOf s)
{
    return s == ShiftOf::OffsetMv ? "offset_mv" : "efficiency_pct";
}

std::vector<SharedReading> sharedReadings(const Plant& plant, std::span<const std::vector<VisitFigures>> figures,
                                          const outlook::BookOutlook& book, ShiftOf quantity, double weeks, bool people)
{
    std::vector<SharedReading> out;
    const auto histories = plant.histories();
    const Instant from = weeks > 0.0 ? addDays(book.now, -7.0 * weeks) : Instant{};
    outlook::Model model = book.walk.model;
    // The shared errors are what is looked for: they are not taken off here.
    model.rounds = outlook::freshRounds(book.shop, model.fleet);
    for (std::size_t i = 0; i < histories.size() && i < figures.size(); ++i) {
        const outlook::Series& series = book.shop.series[i];
        outlook::Replay state = outlook::startOf(series, model);
        std::size_t next = 0;
        for (std::size_t v = 0; v < figures[i].size(); ++v) {
            const outlook::SeriesVisit& visit = series.visits[v];
            const bool enough =
                quantity == ShiftOf::OffsetMv ? state.offset.readings() >= kLeastBefore : state.taken.size() >= kLeastBefore;
            const VisitFigures& record = figures[i][v];
            const PhaseFigures* clean = record.visit ? cleanPhase(record) : nullptr;
            if (enough && clean && (weeks <= 0.0 || visit.when > from)) {
                double value = 0.0, expected = 0.0, var = 0.0;
                bool any = false;
                if (quantity == ShiftOf::OffsetMv && clean->offset_mv && visit.offset_mv) {
                    outlook::OffsetFilter ahead = state.offset;
                    ahead.moveTo(visit.weeks);
                    value = *clean->offset_mv;
                    expected = ahead.level();
                    var = ahead.levelVar() + ahead.numbers().readingVar + visit.offsetEventVar;
                    any = visit.offsetEventVar <= 0.0;  // a refill moves the offset by itself
                } else if (quantity == ShiftOf::EfficiencyPct && series.kind == SensorKind::Ph && visit.efficiency_pct &&
                           visit.events.empty()) {
                    outlook::Replay after = state;
                    std::size_t step = next;
                    outlook::replayOn(after, series, model, step, visit.when);
                    if (after.taken.size() > state.taken.size()) {
                        const outlook::ReplayedVisit& r = after.taken.back();
                        value = *visit.efficiency_pct;
                        expected = value - r.taken.innovation;
                        var = r.taken.innovationVar;
                        any = true;
                    }
                }
                if (any && std::abs(value - expected) < kMostOwn * std::sqrt(var)) {
                    const Reading* bottle = bottleOf(*record.visit, *clean, quantity);
                    SharedReading r;
                    if (bottle) {
                        r.level[0] = bottle->lot.value_or("");
                        r.level[1] = bottle->meter.value_or("");
                    }
                    if (people)
                        r.level[2] = record.visit->person.value_or("");
                    r.date = dayNumber(record.when);
                    r.level[3] = formatDate(startOfDay(r.date));
                    r.sensor = series.serial;
                    r.innovation = value - expected;
                    out.push_back(std::move(r));
                }
            }
            while (next <= v)
                outlook::replayOn(state, series, model, next, series.visits[next].when);
        }
    }
    return out;
}

Suspects suspectsOf(const Plant& plant, std::span<const std::vector<VisitFigures>> figures, const outlook::BookOutlook& book, double weeks,
                    bool people)
{
    Suspects result;
    for (const ShiftOf quantity : {ShiftOf::OffsetMv, ShiftOf::EfficiencyPct}) {
        const auto readings = sharedReadings(plant, figures, book, quantity, weeks, people);
        SharedSettings settings;
        if (quantity == ShiftOf::EfficiencyPct)
            settings = {.sd = {0.8, 0.3, 0.4, 0.5}, .noise = 1.3, .learnSds = true, .q = 0.10};
        else
            settings.noise = 4.0;
        const SharedResult shared = sharedShifts(readings, settings);
        const std::size_t k = quantity == ShiftOf::OffsetMv ? 0 : 1;
        result.readings[k] = readings.size();
        result.tests[k] = shared.levels;
        result.abstained[k] = shared.abstained;
        for (const SharedShift& s : shared.accepted)
            result.found.push_back({quantity, s});
    }
    std::ranges::stable_sort(result.found, [](const Suspects::Found& a, const Suspects::Found& b) { return a.shift.q < b.shift.q; });
    return result;
}

}  // namespace halfcell::core
