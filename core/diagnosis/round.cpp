#include "core/diagnosis/round.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core::diagnosis {

namespace {

double bell(double x, double y, double sdX, double sdY)
{
    return std::exp(-0.5 * (x * x / (sdX * sdX) + y * y / (sdY * sdY))) / (sdX * sdY);
}

/// The legs' part; in units of a sensor's spread in order, so that it only ever compares.
double legsBell(const RoundMember& m, double shift, double sd, double unit)
{
    if (!m.legs_pct)
        return 1.0;
    const double z = (*m.legs_pct - shift) / sd;
    return std::exp(-0.5 * z * z) * unit / sd;
}

std::size_t indexOf(SharedCause c)
{
    return static_cast<std::size_t>(c);
}

double priorOfCause(const RoundMessage& prior, SharedCause c)
{
    switch (c) {
    case SharedCause::WrongStandard: return prior.wrongStandard;
    case SharedCause::StaleStandard: return prior.staleStandard;
    case SharedCause::TemperatureIgnored: return prior.temperatureIgnored;
    }
    return 0.0;
}

/// One shift of one cause with ln likelihoods per sensor.
struct Hypothesis {
    std::optional<SharedCause> cause;  ///< absent: none
    std::size_t shift = 0;
    double logPrior = 0.0;
    std::optional<double> carryPct = {};  ///< the shift grows by this from sensor to sensor
    std::vector<double> perSensor;
    std::vector<bool> touches;  ///< the shift could have reached this sensor at all
    double total = 0.0;
};

RoundMessage messageOf(std::span<const Hypothesis> all, std::optional<std::size_t> without)
{
    double most = -HUGE_VAL;
    const auto logOf = [&](const Hypothesis& h) { return h.logPrior + h.total - (without ? h.perSensor[*without] : 0.0); };
    for (const auto& h : all)
        most = std::max(most, logOf(h));
    RoundMessage m{0.0, 0.0, 0.0, 0.0};
    double sum = 0.0;
    for (const auto& h : all) {
        const double w = std::exp(logOf(h) - most);
        sum += w;
        // What cannot have reached this sensor leaves it untouched.
        if (!h.cause || (without && !h.touches[*without]))
            m.none += w;
        else if (*h.cause == SharedCause::WrongStandard)
            m.wrongStandard += w;
        else if (*h.cause == SharedCause::StaleStandard)
            m.staleStandard += w;
        else
            m.temperatureIgnored += w;
    }
    m.none /= sum;
    m.wrongStandard /= sum;
    m.staleStandard /= sum;
    m.temperatureIgnored /= sum;
    return m;
}

/// Three sensors or 60 % of the round shifted the same way, and their mean stands out of its standard error.
bool shiftedAlike(const RoundTables& t, std::span<const RoundMember> members)
{
    if (members.size() < 2)
        return false;
    const auto alike = [&](double RoundMember::*value, double sd) {
        for (const double sign : {-1.0, 1.0}) {
            std::size_t n = 0;
            for (const auto& m : members)
                if (sign * (m.*value) > t.alikeSe * sd)
                    ++n;
            if (n >= t.alikeLeast && static_cast<double>(n) >= t.alikeShare * static_cast<double>(members.size()))
                return true;
        }
        return false;
    };
    return alike(&RoundMember::efficiency_pct, t.sd_pct) || alike(&RoundMember::offset_mv, t.sd_mv);
}

}  // namespace

double logLikelihood(const RoundTables& t, const RoundMember& m, const Shift& shift)
{
    const double own = t.share * bell(m.efficiency_pct - shift.efficiency_pct, m.offset_mv - shift.offset_mv, t.sd_pct, t.sd_mv) *
                       legsBell(m, shift.legs_pct, t.sdLegs_pct, t.sdLegs_pct);
    const double fault = t.ownShare * bell(m.efficiency_pct - t.own_pct, m.offset_mv, t.ownSd_pct, t.ownSd_mv) *
                         legsBell(m, 0.0, t.ownSdLegs_pct, t.sdLegs_pct);
    const double gross = t.grossShare * bell(m.efficiency_pct - t.gross_pct, m.offset_mv, t.grossSd_pct, t.grossSd_mv) *
                         legsBell(m, 0.0, t.grossSdLegs_pct, t.sdLegs_pct);
    return t.temper * std::log(own + fault + gross + 1e-12);
}

RoundFinding weighRound(const RoundTables& tables, std::span<const RoundMember> members)
{
    RoundFinding found;
    std::vector<Hypothesis> all;
    const auto add = [&](std::optional<SharedCause> cause, std::size_t which, double prior, std::optional<double> carry = {}) {
        Hypothesis h{
            .cause = cause, .shift = which, .logPrior = std::log(prior), .carryPct = carry, .perSensor = {}, .touches = {}, .total = 0.0};
        for (const auto& m : members) {
            Shift shift;
            if (carry) {
                shift.efficiency_pct = -*carry * m.order.value_or(0.0);
            } else if (cause && m.reached[indexOf(*cause)]) {
                const auto& exact = m.exact[indexOf(*cause)];
                shift = which < exact.size() ? exact[which] : tables.shifts[indexOf(*cause)][which];
            }
            h.touches.push_back(shift.efficiency_pct != 0.0 || shift.offset_mv != 0.0 || shift.legs_pct != 0.0);
            h.perSensor.push_back(logLikelihood(tables, m, shift));
            h.total += h.perSensor.back();
        }
        all.push_back(std::move(h));
    };
    add(std::nullopt, 0, tables.prior.none);
    for (const auto cause : kSharedCauses) {
        const auto n = tables.shifts[indexOf(cause)].size();
        for (std::size_t i = 0; i < n; ++i)
            add(cause, i, priorOfCause(tables.prior, cause) / static_cast<double>(n));
    }
    const auto inOrder = std::count_if(members.begin(), members.end(), [](const RoundMember& m) { return m.order.has_value(); });
    if (tables.carryPrior > 0.0 && static_cast<std::size_t>(inOrder) >= tables.carryLeast)
        for (const double carry : tables.carryPct)
            add(SharedCause::StaleStandard, 0, tables.carryPrior / static_cast<double>(tables.carryPct.size()), carry);
    found.logNone = all.front().logPrior + all.front().total;
    if (members.empty()) {
        found.all = tables.prior;
        return found;
    }
    found.all = messageOf(all, std::nullopt);
    for (std::size_t i = 0; i < members.size(); ++i)
        found.leaveOut.push_back(messageOf(all, i));
    const double highest = std::max({found.all.wrongStandard, found.all.staleStandard, found.all.temperatureIgnored});
    for (const auto cause : kSharedCauses)
        if (priorOfCause(found.all, cause) == highest)
            found.likeliest = cause;
    double best = -HUGE_VAL;
    for (const auto& h : all)
        if (h.cause == found.likeliest && h.logPrior + h.total > best) {
            best = h.logPrior + h.total;
            found.carryPct = h.carryPct;
            found.shift = h.carryPct ? Shift{-*h.carryPct, 0.0, tables.carryWords} : tables.shifts[indexOf(*h.cause)][h.shift];
        }
    found.alike = shiftedAlike(tables, members);
    found.prompt = members.size() >= 2 && (1.0 - found.all.none >= tables.promptAbove || found.alike);
    return found;
}

}  // namespace halfcell::core::diagnosis
