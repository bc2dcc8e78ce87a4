#include "core/outlook/replay.h"

#include "core/outlook/fixed_exp.h"
#include "core/outlook/normal_law.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace halfcell::core::outlook {
namespace {

constexpr double kLn2 = 0.693147180559945309417, kLn10 = 2.302585092994045684;
constexpr double kReadSd = 0.1, kWaitReadSd = 0.05;  // of ln t90 and ln wait as written down
constexpr double kUsualTemp = 20.0, kUnknownTempSd = 0.2;
constexpr double kTwiceFactor = 0.7;  // two readings of one state with the same bottles (our choice)
constexpr double kKnownU2 = 0.36;     // u of a fit under ordinary conditions, squared: already in R

TooSoon momentsOf(double mean, double var)
{
    TooSoon t;
    t.lnRatio = mean;
    t.lnRatioVar = var;
    const double sd = std::sqrt(var);
    double first = 0.0, second = 0.0;
    for (const NormalNode& node : kNormalNodes) {
        const double beta = fixedExp(-kLn10 * fixedExp(mean + sd * node.z));
        first += node.weight * beta;
        second += node.weight * beta * beta;
    }
    t.mean = std::min(first, 0.5);
    t.var = std::max(0.0, second - first * first);
    return t;
}

TooSoon momentsOf(const std::array<RatioNode, 15>& nodes)
{
    TooSoon t;
    double second = 0.0, squares = 0.0;
    for (const RatioNode& node : nodes) {
        const double beta = missedShare(node.lnRatio);
        t.mean += node.weight * beta;
        second += node.weight * beta * beta;
        t.lnRatio += node.weight * node.lnRatio;
        squares += node.weight * node.lnRatio * node.lnRatio;
    }
    t.var = std::max(0.0, second - t.mean * t.mean);
    t.mean = std::min(t.mean, 0.5);
    t.lnRatioVar = std::max(0.0, squares - t.lnRatio * t.lnRatio);
    return t;
}

}  // namespace

double lnColdResponse(double temp_c)
{
    return kLn2 * (25.0 - temp_c) / 15.0;
}

TooSoon tooSoonOf(const FleetNumbers& fleet, const std::optional<double>& wait_s, const std::optional<double>& t90_s,
                  const std::optional<double>& temp_c, const MeanVar& lnResponse25)
{
    if (!fleet.readTooSoon)
        return {};
    const double cold = lnColdResponse(temp_c.value_or(kUsualTemp));
    const double unknown = temp_c ? 0.0 : kUnknownTempSd * kUnknownTempSd;
    if (wait_s && t90_s)
        return momentsOf(fixedLog(*wait_s) - fixedLog(*t90_s), kReadSd * kReadSd + kWaitReadSd * kWaitReadSd);
    if (wait_s)
        return momentsOf(fixedLog(*wait_s) - (lnResponse25.mean + cold),
                         lnResponse25.var + unknown + kReadSd * kReadSd + kWaitReadSd * kWaitReadSd);
    if (t90_s)
        return momentsOf(usualRatios(fleet, {fixedLog(*t90_s), kReadSd * kReadSd}));
    return momentsOf(usualRatios(fleet, {lnResponse25.mean + cold, lnResponse25.var + unknown + kReadSd * kReadSd}));
}

double missedShare(double lnRatio)
{
    return std::min(0.9, fixedExp(-kLn10 * fixedExp(lnRatio)));
}

std::array<RatioNode, 15> usualRatios(const FleetNumbers& fleet, const MeanVar& lnResponse)
{
    const double b1 = fleet.waitB - 1.0, mean = fleet.waitA + b1 * lnResponse.mean;
    const double sd = std::sqrt(fleet.waitSd * fleet.waitSd + b1 * b1 * lnResponse.var);
    std::array<RatioNode, 15> nodes;
    for (std::size_t i = 0; i < 5; ++i) {
        const double clock = mean + sd * kNormalNodes[i].z, w = kNormalNodes[i].weight;
        nodes[3 * i] = {clock, w * (1.0 - fleet.settleShare)};
        nodes[3 * i + 1] = {std::max(clock, fleet.settleLn - fleet.settleSd), 0.5 * w * fleet.settleShare};
        nodes[3 * i + 2] = {std::max(clock, fleet.settleLn + fleet.settleSd), 0.5 * w * fleet.settleShare};
    }
    return nodes;
}

std::array<RatioNode, 15> ratiosAhead(const FleetNumbers& fleet, const MeanVar& lnResponse25)
{
    return usualRatios(fleet, {lnResponse25.mean + lnColdResponse(kUsualTemp), lnResponse25.var});
}

Replay startOf(const Series& series, const Model& model)
{
    const std::size_t first = series.visits.empty() ? series.groupNow : series.visits.front().group;
    const GroupModel& group = model.of(first);
    const double start = series.clock.front().weeks;
    Replay state{.level = AgeingFilter(model.fleet, group.level, series.knownStart),
                 .offset = OffsetFilter(group.offset, series.knownStart, series.knownStart ? 0.0 : start),
                 .taken = {},
                 .lastClean = {},
                 .lastOffset = {},
                 .dead = {}};
    return state;
}

void replayOn(Replay& state, const Series& series, const Model& model, std::size_t& next, const Instant& until)
{
    for (; next < series.visits.size() && series.visits[next].when <= until; ++next) {
        const SeriesVisit& v = series.visits[next];
        if (next > 0 && model.groupOf[v.group] != model.groupOf[series.visits[next - 1].group]) {
            state.level.moveToGroup(model.of(v.group).level);
            state.offset.moveToGroup(model.of(v.group).offset);
        }
        // Only what changes the filters costs a step of time.
        if (v.efficiency_pct || v.t90_s || !v.events.empty())
            state.level.moveTo(v.weeks);
        for (const LevelEvent e : v.events)
            state.level.event(e);
        if (v.offset_mv || v.offsetEventVar > 0.0)
            state.offset.moveTo(v.weeks);
        if (v.offsetEventVar > 0.0)
            state.offset.event(v.offsetEventVar);
        if (v.referenceChanged)
            state.referenceChangedSince = true;
        if (v.offset_mv) {
            state.offset.takeReading(*v.offset_mv, 0.0);
            state.lastOffset = next;
            state.referenceChangedSince = false;
        }
        if (v.withoutTemperature)
            ++state.withoutTemperature;
        if (v.state_pct)
            state.dead = *v.state_pct < kLeastEfficiency ? std::optional(next) : std::nullopt;
        if (series.kind != SensorKind::Ph)
            continue;
        if (v.t90_s)
            state.level.takeResponse(fixedLog(*v.t90_s) - lnColdResponse(v.temp_c.value_or(kUsualTemp)),
                                     v.temp_c ? 0.0 : kUnknownTempSd * kUnknownTempSd);
        if (!v.efficiency_pct)
            continue;
        ReplayedVisit r;
        r.visit = next;
        r.tooSoon = tooSoonOf(model.fleet, v.wait_s, v.t90_s, v.temp_c, v.wait_s && v.t90_s ? MeanVar{} : state.level.lnResponse());
        const RoundShift shared =
            v.round ? model.rounds[*v.round] : RoundShift{.shift = 0.0, .var = model.fleet.sharedSd * model.fleet.sharedSd};
        r.shift = shared.shift;
        r.shiftVar = shared.var;
        LevelReading reading;
        reading.value = *v.efficiency_pct;
        reading.extraVar = std::max(0.0, v.u_efficiency_pct * v.u_efficiency_pct - kKnownU2);
        reading.varFactor = v.varFactor * (v.twice ? kTwiceFactor : 1.0);
        reading.tooSoonMean = r.tooSoon.mean;
        reading.tooSoonVar = r.tooSoon.var;
        reading.shift = shared.shift;
        reading.shiftVar = shared.var;
        const double before = state.level.capability().mean;
        r.taken = state.level.takeReading(reading);
        r.expected = reading.value - r.taken.innovation + shared.shift;
        const MeanVar now = state.level.capability();
        r.capability = now.mean;
        r.capabilitySd = std::sqrt(now.var);
        state.unexplainedRise = state.lastClean && v.events.empty() && !v.referenceChanged && now.mean - before > 3.0;
        state.taken.push_back(r);
        state.lastClean = next;
    }
}

Replay replay(const Series& series, const Model& model, const Instant& until)
{
    Replay state = startOf(series, model);
    std::size_t next = 0;
    replayOn(state, series, model, next, until);
    return state;
}

}  // namespace halfcell::core::outlook
