#include "core/outlook/offset_filter.h"

#include "core/outlook/fixed_exp.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core::outlook {
namespace {

constexpr double kBadShare = 0.03, kBadFactor = 36.0;
constexpr double kJumpBase = 0.003, kJumpMemory = 0.3, kJumpVar = 1600.0;

double density(double e, double var)
{
    return fixedExp(-0.5 * e * e / var) / std::sqrt(6.283185307179586 * var);
}

}  // namespace

OffsetFilter::OffsetFilter(const OffsetNumbers& numbers, bool knownStart, double atWeeks) : m_numbers(numbers), m_t(atWeeks)
{
    m_level = numbers.levelMean;
    m_drift = numbers.driftMean;
    m_p00 = numbers.levelVar + (knownStart ? 0.0 : numbers.unknownVar);
    m_p11 = numbers.driftVar;
}

void OffsetFilter::moveTo(double weeks)
{
    const double dt = weeks - m_t;
    if (!(dt > 0.0))
        return;
    m_t = weeks;
    m_level += m_drift * dt;
    const double qd = m_numbers.driftWander;
    m_p00 += 2.0 * dt * m_p01 + dt * dt * m_p11 + m_numbers.wander * dt + qd * dt * dt * dt / 3.0;
    m_p01 += dt * m_p11 + qd * dt * dt / 2.0;
    m_p11 += qd * dt;
}

void OffsetFilter::moveToGroup(const OffsetNumbers& numbers)
{
    m_numbers = numbers;
    m_p11 += numbers.driftVar;
}

void OffsetFilter::takeReading(double offset_mv, double extraVar)
{
    const double r = m_numbers.readingVar + extraVar;
    const double jump = kJumpBase + kJumpMemory * m_bad;
    const double e = offset_mv - m_level;
    struct Way {
        double prior, addVar, r;
    };
    const Way ways[3] = {
        {(1.0 - kBadShare) * (1.0 - jump), 0.0, r}, {kBadShare, 0.0, kBadFactor * r}, {(1.0 - kBadShare) * jump, kJumpVar, r}};
    double like[3], sum = 0.0;
    for (int i = 0; i < 3; ++i) {
        like[i] = ways[i].prior * density(e, m_p00 + ways[i].addVar + ways[i].r);
        sum += like[i];
    }
    ++m_readings;
    if (!(sum > 1e-290)) {
        m_logLikelihood += fixedLog(1e-290);
        m_bad = 1.0;
        return;
    }
    double level[3], drift[3], p00[3], p01[3], p11[3], meanLevel = 0.0, meanDrift = 0.0;
    for (int i = 0; i < 3; ++i) {
        const double prior = m_p00 + ways[i].addVar, s = prior + ways[i].r;
        const double g0 = prior / s, g1 = m_p01 / s, w = like[i] / sum;
        level[i] = m_level + g0 * e;
        drift[i] = m_drift + g1 * e;
        p00[i] = prior * (1.0 - g0);
        p01[i] = m_p01 * (1.0 - g0);
        p11[i] = m_p11 - g1 * m_p01;
        meanLevel += w * level[i];
        meanDrift += w * drift[i];
    }
    double a = 0.0, b = 0.0, c = 0.0;
    for (int i = 0; i < 3; ++i) {
        const double w = like[i] / sum, dl = level[i] - meanLevel, dd = drift[i] - meanDrift;
        a += w * (p00[i] + dl * dl);
        b += w * (p01[i] + dl * dd);
        c += w * (p11[i] + dd * dd);
    }
    m_level = meanLevel;
    m_drift = meanDrift;
    m_p00 = a;
    m_p01 = b;
    m_p11 = c;
    m_bad = like[1] / sum;
    m_logLikelihood += fixedLog(sum);
}

double OffsetFilter::centre(double weeks) const
{
    return m_level + m_drift * kDriftWeeks * (1.0 - fixedExp(-std::max(weeks, 0.0) / kDriftWeeks));
}

double OffsetFilter::variance(double weeks) const
{
    const double dt = std::max(weeks, 0.0), damped = kDriftWeeks * (1.0 - fixedExp(-dt / kDriftWeeks));
    return m_p00 + 2.0 * damped * m_p01 + damped * damped * m_p11 + m_numbers.wander * dt +
           m_numbers.driftWander * damped * damped * dt / 3.0;
}

}  // namespace halfcell::core::outlook
