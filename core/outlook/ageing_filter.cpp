#include "core/outlook/ageing_filter.h"

#include "core/outlook/fixed_exp.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace halfcell::core::outlook {
namespace {

constexpr double kTwoPi = 6.283185307179586;
constexpr double kAxisReach = 3.6;    // sd of ln life covered by the lattice
constexpr double kPriorFloor = 14.0;  // nodes whose prior weight lies e^-14 under the best are left out
constexpr double kKeptShare = 0.001;  // of a forecast: nodes below this share of the heaviest are dropped
constexpr double kLeast = 1e-290;     // floor of a likelihood
constexpr std::array<double, 5> kUnknownAges{0.10, 0.35, 0.60, 0.85, 1.10};

}  // namespace

double GroupNumbers::life() const
{
    return fixedExp(lnLifeMean);
}

AgeingFilter::AgeingFilter(const FleetNumbers& fleet, const GroupNumbers& group, bool knownStart) : m_fleet(fleet), m_group(group)
{
    m_knownStart = knownStart;
    layOut(knownStart);
    const std::size_t n = m_position.size();
    const double sd = knownStart ? fleet.levelSd : fleet.levelSdUnknown;
    m_s.assign(n, fleet.levelMean);
    m_v.assign(n, sd * sd);
    m_z.assign(n, fleet.lnResponseMean);
    m_vz.assign(n, fleet.lnResponseSd * fleet.lnResponseSd);
    m_bads.assign(n, 0.0);
    m_fresh.assign(n, 0.0);
    m_c.assign(n, 0.0);
    curvesAt(0.0, m_u, m_lnU, m_c);
    m_lnW = m_lnPrior;
    normalise();
}

void AgeingFilter::layOut(bool knownStart)
{
    m_lifeOfGroup = m_group.life();
    const double step = m_fleet.latticeStep, mu = m_group.lnLifeMean, sigma = m_group.lnLifeSd;
    const auto first = static_cast<std::int64_t>(std::ceil((mu - kAxisReach * sigma) / step - 1e-9));
    const auto last = static_cast<std::int64_t>(std::floor((mu + kAxisReach * sigma) / step + 1e-9));
    std::vector<double> axis, axisWeight;
    for (std::int64_t k = first; k <= last; ++k) {
        axis.push_back(static_cast<double>(k) * step);
        const double d = (axis.back() - mu) / sigma;
        axisWeight.push_back(-0.5 * d * d);
    }
    double best = -1e300;
    for (const double share : m_group.curveShare)
        if (share > 0.0)
            best = std::max(best, fixedLog(share) + *std::ranges::max_element(axisWeight));
    const std::size_t ages = knownStart ? 1 : kUnknownAges.size();
    m_invLife.clear();
    m_startAge.clear();
    m_lnLifeAxis.clear();
    m_blocks.clear();
    m_position.clear();
    m_lnPrior.clear();
    for (std::size_t a = 0; a < ages; ++a)
        for (const double lnLife : axis) {
            m_lnLifeAxis.push_back(lnLife);
            m_invLife.push_back(fixedExp(-lnLife));
            m_startAge.push_back(knownStart ? 0.0 : kUnknownAges[a]);
        }
    for (std::size_t h = 0; h < kCurves; ++h) {
        if (!(m_group.curveShare[h] > 0.0))
            continue;
        const double share = fixedLog(m_group.curveShare[h]);
        std::size_t from = 0, to = axis.size();
        while (from < to && share + axisWeight[from] < best - kPriorFloor)
            ++from;
        while (to > from && share + axisWeight[to - 1] < best - kPriorFloor)
            --to;
        if (from == to)
            continue;
        for (std::size_t a = 0; a < ages; ++a) {
            Block block{.curve = h, .first = m_position.size(), .count = to - from, .start = a * axis.size() + from};
            for (std::size_t i = from; i < to; ++i) {
                m_position.push_back(a * axis.size() + i);
                m_lnPrior.push_back(share + axisWeight[i]);
            }
            m_blocks.push_back(block);
        }
    }
    m_u.assign(m_invLife.size(), 0.0);
    m_lnU.assign(m_invLife.size(), 0.0);
}

void AgeingFilter::agesAt(double t, std::vector<double>& u, std::vector<double>& lnU) const
{
    for (std::size_t i = 0; i < m_invLife.size(); ++i) {
        u[i] = m_startAge[i] + t * m_invLife[i];
        lnU[i] = fixedLog(u[i]);
    }
}

void AgeingFilter::curvesAt(double t, std::vector<double>& u, std::vector<double>& lnU, std::vector<double>& c) const
{
    agesAt(t, u, lnU);
    for (const Block& b : m_blocks)
        curveOver(kAgeingCurves[b.curve], m_fleet.loss, &u[b.start], &lnU[b.start], &c[b.first], b.count);
}

void AgeingFilter::normalise()
{
    const double largest = *std::ranges::max_element(m_lnW);
    const std::size_t n = m_lnW.size();
    m_w.resize(n);
    for (std::size_t i = 0; i < n; ++i) {
        m_lnW[i] -= largest;
        m_w[i] = fixedExp(m_lnW[i]);
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < n; ++i)
        sum += m_w[i];
    const double inverse = 1.0 / sum, lnSum = fixedLog(sum);
    for (std::size_t i = 0; i < n; ++i) {
        m_w[i] *= inverse;
        m_lnW[i] -= lnSum;
    }
}

void AgeingFilter::temperHalf()
{
    for (std::size_t i = 0; i < m_lnW.size(); ++i)
        m_lnW[i] = 0.5 * m_lnW[i] + 0.5 * m_lnPrior[i];
    normalise();
}

void AgeingFilter::moveTo(double t)
{
    const double dt = t - m_t;
    if (!(dt > 0.0))
        return;
    m_t = t;
    m_lastStep += dt;
    curvesAt(t, m_u, m_lnU, m_fresh);
    const double q = m_group.wanderPerLife * dt / m_lifeOfGroup, phi = m_group.wander, qz = m_fleet.responseDrift * dt;
    const double lambda = fixedExp(-0.693147180559945309417 * dt / (m_group.memory * m_lifeOfGroup));
    const std::size_t n = m_s.size();
    double* const v = m_v.data();
    double* const vz = m_vz.data();
    double* const lnW = m_lnW.data();
    double* const c = m_c.data();
    const double* const fresh = m_fresh.data();
    const double* const prior = m_lnPrior.data();
    for (std::size_t i = 0; i < n; ++i) {
        v[i] += phi * (fresh[i] - c[i]) + q;
        c[i] = fresh[i];
        vz[i] += qz;
        lnW[i] = lambda * lnW[i] + (1.0 - lambda) * prior[i];
    }
    normalise();
}

void AgeingFilter::event(LevelEvent e)
{
    double sd = 0.0;
    switch (e) {
    case LevelEvent::Rehydrated: sd = 0.7; break;
    case LevelEvent::Regenerated: sd = 4.0; break;
    case LevelEvent::Rewired: sd = 2.0; break;
    }
    for (double& v : m_v)
        v += sd * sd;
    if (e == LevelEvent::Regenerated)
        temperHalf();
}

void AgeingFilter::takeResponse(double lnResponse25, double extraVar)
{
    const double noise = m_fleet.responseVar + m_fleet.responseRead + extraVar;
    const double kappa = m_group.responseAge;
    const std::size_t n = m_s.size();
    for (std::size_t i = 0; i < n; ++i)
        m_fresh[i] = m_u[m_position[i]];
    double* const z = m_z.data();
    double* const vz = m_vz.data();
    double* const like = m_fresh.data();  // the ages go in, the likelihoods come out
    double* const lnW = m_lnW.data();
    for (std::size_t i = 0; i < n; ++i) {
        const double e = lnResponse25 - z[i] - kappa * like[i];
        const double s1 = vz[i] + noise, s2 = vz[i] + 25.0 * noise;
        const double l1 = 0.95 * fixedExp(-0.5 * e * e / s1) / std::sqrt(kTwoPi * s1);
        const double l2 = 0.05 * fixedExp(-0.5 * e * e / s2) / std::sqrt(kTwoPi * s2) + kLeast;
        const double l = l1 + l2;
        const double r1 = l1 / l, r2 = 1.0 - r1;
        const double g1 = vz[i] / s1, g2 = vz[i] / s2;
        const double d1 = g1 * e, d2 = g2 * e, d = r1 * d1 + r2 * d2;
        z[i] += d;
        vz[i] = r1 * (vz[i] * (1.0 - g1) + (d1 - d) * (d1 - d)) + r2 * (vz[i] * (1.0 - g2) + (d2 - d) * (d2 - d));
        like[i] = l;
        lnW[i] += fixedLog(l);
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < n; ++i)
        sum += m_w[i] * like[i];
    m_logLikelihood += fixedLog(std::max(sum, kLeast));
    normalise();
}

LevelTaken AgeingFilter::takeReading(const LevelReading& reading)
{
    const MeanVar before = capability();
    const double f = 1.0 - reading.tooSoonMean, f2 = f * f;
    const double own = m_fleet.readingVar * reading.varFactor + reading.extraVar + 95.0 * 95.0 * reading.tooSoonVar;
    const double r = own + reading.shiftVar;
    const double pJump = 1.0 - fixedExp(-m_group.suddenPerLife * m_lastStep / m_lifeOfGroup);
    const double pReset = std::min(0.9, m_fleet.resetShare + m_fleet.resetMemory * m_bad);
    const double pBad = m_fleet.badShare;
    const double p1 = (1.0 - pBad) * (1.0 - pJump) * (1.0 - pReset), p2 = pBad;
    const double p3 = (1.0 - pBad) * pJump * (1.0 - pReset), p4 = (1.0 - pBad) * pReset;
    const double j2 = m_fleet.jumpSd * m_fleet.jumpSd, reset2 = m_fleet.resetSd * m_fleet.resetSd, mJump = m_fleet.jumpMean;
    const double seen = reading.value - reading.shift;
    const std::size_t n = m_s.size();
    double* const s = m_s.data();
    double* const v = m_v.data();
    const double* const c = m_c.data();
    double* const like = m_fresh.data();
    double* const bads = m_bads.data();
    double* const lnW = m_lnW.data();
    const double badR = m_fleet.badFactor * r;
    for (std::size_t i = 0; i < n; ++i) {
        const double e = seen - f * (s[i] - c[i]), e3 = e - f * mJump;
        const double v3 = v[i] + j2, v4 = v[i] + reset2;
        const double s1 = f2 * v[i] + r, s2 = f2 * v[i] + badR, s3 = f2 * v3 + r, s4 = f2 * v4 + r;
        const double e2 = -0.5 * e * e;
        const double l1 = p1 * fixedExp(e2 / s1) / std::sqrt(kTwoPi * s1);
        const double l2 = p2 * fixedExp(e2 / s2) / std::sqrt(kTwoPi * s2);
        const double l3 = p3 * fixedExp(-0.5 * e3 * e3 / s3) / std::sqrt(kTwoPi * s3);
        const double l4 = p4 * fixedExp(e2 / s4) / std::sqrt(kTwoPi * s4);
        const double sum = l1 + l2 + l3 + l4;
        const double l = sum > kLeast ? sum : kLeast;
        const double inverse = 1.0 / l;
        const double g1 = f * v[i] / s1, g2 = f * v[i] / s2, g3 = f * v3 / s3, g4 = f * v4 / s4;
        const double d1 = g1 * e, d2 = g2 * e, d3 = mJump + g3 * e3, d4 = g4 * e;
        const double q1 = l1 * inverse, q2 = l2 * inverse, q3 = l3 * inverse, q4 = l4 * inverse;
        const double d = q1 * d1 + q2 * d2 + q3 * d3 + q4 * d4;
        const double u1 = v[i] * (1.0 - f * g1) + (d1 - d) * (d1 - d), u2 = v[i] * (1.0 - f * g2) + (d2 - d) * (d2 - d);
        const double u3 = v3 * (1.0 - f * g3) + (d3 - d) * (d3 - d), u4 = v4 * (1.0 - f * g4) + (d4 - d) * (d4 - d);
        // Where all four densities underflowed nothing is learnt from this reading (as arithmetic, so that the loop stays whole).
        const double keep = sum > kLeast ? 1.0 : 0.0;
        s[i] += keep * d;
        v[i] = keep * (q1 * u1 + q2 * u2 + q3 * u3 + q4 * u4) + (1.0 - keep) * v[i];
        like[i] = l;
        bads[i] = keep * q2 + (1.0 - keep);
        lnW[i] += fixedLog(l);
    }
    double sum = 0.0;
    for (std::size_t i = 0; i < n; ++i)
        sum += m_w[i] * like[i];
    normalise();
    m_bad = 0.0;
    for (std::size_t i = 0; i < n; ++i)
        m_bad += m_w[i] * bads[i];
    LevelTaken taken;
    taken.innovation = reading.value - f * before.mean;
    taken.innovationVar = f2 * before.var + own;
    taken.badProbability = m_bad;
    taken.logLikelihood = fixedLog(std::max(sum, kLeast));
    m_logLikelihood += taken.logLikelihood;
    m_lastStep = 0.0;
    ++m_readings;
    return taken;
}

void AgeingFilter::moveToGroup(const GroupNumbers& group)
{
    const MeanVar now = capability();
    const auto oldBlocks = m_blocks;
    const auto oldPosition = m_position;
    const auto oldAxis = m_lnLifeAxis;
    const auto oldStart = m_startAge;
    const auto lnW = m_lnW, s = m_s, v = m_v, z = m_z, vz = m_vz;
    m_group = group;
    layOut(m_knownStart);
    const std::size_t n = m_position.size();
    m_fresh.assign(n, 0.0);
    m_c.assign(n, 0.0);
    m_bads.assign(n, 0.0);
    curvesAt(m_t, m_u, m_lnU, m_c);
    m_s.assign(n, 0.0);
    m_v.assign(n, 0.0);
    m_z.assign(n, 0.0);
    m_vz.assign(n, 0.0);
    m_lnW.assign(n, 0.0);
    const MeanVar response = [&] {
        MeanVar r;
        for (std::size_t i = 0; i < z.size(); ++i) {
            r.mean += m_w[i] * z[i];
            r.var += m_w[i] * vz[i];
        }
        return r;
    }();
    // A node both groups have keeps what it knows; a new one starts where the sensor stands, with little weight.
    constexpr double kNewNode = -12.0;
    for (const Block& b : m_blocks)
        for (std::size_t k = 0; k < b.count; ++k) {
            const std::size_t i = b.first + k, position = b.start + k;
            m_s[i] = now.mean + m_c[i];
            m_v[i] = now.var;
            m_z[i] = response.mean;
            m_vz[i] = response.var;
            m_lnW[i] = kNewNode;
            for (const Block& o : oldBlocks) {
                if (o.curve != b.curve || o.count == 0 || std::abs(oldStart[o.start] - m_startAge[position]) > 1e-9)
                    continue;
                const double at = (m_lnLifeAxis[position] - oldAxis[o.start]) / m_fleet.latticeStep;
                const auto j = static_cast<std::int64_t>(std::floor(at + 0.5));
                if (j < 0 || j >= static_cast<std::int64_t>(o.count))
                    continue;
                const std::size_t old = o.first + static_cast<std::size_t>(j);
                m_s[i] = s[old];
                m_v[i] = v[old];
                m_z[i] = z[old];
                m_vz[i] = vz[old];
                m_lnW[i] = std::max(lnW[old], kNewNode);
            }
        }
    normalise();
    temperHalf();
    // Other weights would also say another level; the sensor has not changed by being moved.
    const double moved = now.mean - capability().mean;
    for (double& level : m_s)
        level += moved;
}

MeanVar AgeingFilter::capability() const
{
    MeanVar r;
    const std::size_t n = m_s.size();
    for (std::size_t i = 0; i < n; ++i)
        r.mean += m_w[i] * (m_s[i] - m_c[i]);
    for (std::size_t i = 0; i < n; ++i) {
        const double d = m_s[i] - m_c[i] - r.mean;
        r.var += m_w[i] * (m_v[i] + d * d);
    }
    return r;
}

MeanVar AgeingFilter::lnLife() const
{
    MeanVar r;
    for (std::size_t i = 0; i < m_s.size(); ++i)
        r.mean += m_w[i] * m_lnLifeAxis[m_position[i]];
    for (std::size_t i = 0; i < m_s.size(); ++i) {
        const double d = m_lnLifeAxis[m_position[i]] - r.mean;
        r.var += m_w[i] * d * d;
    }
    return r;
}

MeanVar AgeingFilter::lnResponse() const
{
    MeanVar r;
    const double kappa = m_group.responseAge;
    for (std::size_t i = 0; i < m_s.size(); ++i)
        r.mean += m_w[i] * (m_z[i] + kappa * m_u[m_position[i]]);
    for (std::size_t i = 0; i < m_s.size(); ++i) {
        const double d = m_z[i] + kappa * m_u[m_position[i]] - r.mean;
        r.var += m_w[i] * (m_vz[i] + d * d);
    }
    return r;
}

std::array<double, kCurves> AgeingFilter::curveWeights() const
{
    std::array<double, kCurves> weights{};
    for (const Block& b : m_blocks)
        for (std::size_t k = 0; k < b.count; ++k)
            weights[b.curve] += m_w[b.first + k];
    return weights;
}

double AgeingFilter::lnLifeQuantile(double p) const
{
    std::vector<std::pair<double, double>> byLife;
    for (std::size_t i = 0; i < m_s.size(); ++i)
        byLife.emplace_back(m_lnLifeAxis[m_position[i]], m_w[i]);
    std::ranges::stable_sort(byLife, {}, &std::pair<double, double>::first);
    double sum = 0.0;
    for (const auto& [lnLife, w] : byLife) {
        sum += w;
        if (sum >= p)
            return lnLife;
    }
    return byLife.back().first;
}

double AgeingFilter::horizonLimit() const
{
    return std::min(m_lifeOfGroup, m_fleet.horizonMost);
}

std::vector<ForecastPart> AgeingFilter::ahead(double weeks) const
{
    const double dt = std::max(weeks, 0.0);
    const std::size_t axis = m_invLife.size(), n = m_s.size();
    std::vector<double> u(axis), lnU(axis), c(n);
    curvesAt(m_t + dt, u, lnU, c);
    const double largest = *std::ranges::max_element(m_lnW);
    const double floor = largest + fixedLog(kKeptShare);
    const double lambda = fixedExp(-0.693147180559945309417 * dt / (m_group.memory * m_lifeOfGroup));
    const double q = m_group.wanderPerLife * dt / m_lifeOfGroup;
    const double pJump = 1.0 - fixedExp(-m_group.suddenPerLife * dt / m_lifeOfGroup);
    std::vector<ForecastPart> parts;
    double sum = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        if (!(m_lnW[i] > floor))
            continue;
        ForecastPart part;
        part.weight = fixedExp(lambda * (m_lnW[i] - largest) + (1.0 - lambda) * m_lnPrior[i]);
        part.mean = m_s[i] - c[i];
        part.var = m_v[i] + m_group.wander * std::max(c[i] - m_c[i], 0.0) + q;
        part.lnResponse = m_z[i] + m_group.responseAge * u[m_position[i]];
        part.lnResponseVar = m_vz[i] + m_fleet.responseDrift * dt;
        sum += part.weight;
        parts.push_back(part);
    }
    const std::size_t kept = parts.size();
    for (std::size_t i = 0; i < kept; ++i)
        parts[i].weight /= sum;
    if (pJump > 0.0)
        for (std::size_t i = 0; i < kept; ++i) {
            ForecastPart jumped = parts[i];
            parts[i].weight *= 1.0 - pJump;
            jumped.weight *= pJump;
            jumped.mean += m_fleet.jumpMean;
            jumped.var += m_fleet.jumpSd * m_fleet.jumpSd;
            parts.push_back(jumped);
        }
    return parts;
}

}  // namespace halfcell::core::outlook
