#include "app/bench/settle_clock.h"

#include <algorithm>
#include <cmath>

namespace halfcell::app::bench {

void SettleClock::startAt(double t)
{
    m_start = t;
    m_notes.clear();
}

void SettleClock::stop()
{
    m_start.reset();
    m_notes.clear();
}

std::optional<double> SettleClock::elapsed(double now) const
{
    if (!running(now))
        return std::nullopt;
    return now - *m_start;
}

std::optional<double> SettleClock::startsIn(double now) const
{
    if (!m_start || now >= *m_start)
        return std::nullopt;
    return *m_start - now;
}

void SettleClock::note(double now, double mv)
{
    if (!running(now))
        startAt(now);
    m_notes.emplace_back(now - *m_start, mv);
}

std::vector<core::SettlePoint> SettleClock::series(std::optional<std::pair<double, double>> taken) const
{
    std::vector<core::SettlePoint> points;
    if (m_notes.empty())
        return points;
    auto values = m_notes;
    if (taken)
        values.push_back(*taken);
    for (const auto& [seconds, mv] : values) {
        const core::SettlePoint point{std::round(seconds * 10.0) / 10.0, mv};
        if (!points.empty() && point.seconds <= points.back().seconds)
            points.back().mv = mv;
        else
            points.push_back(point);
    }
    return points;
}

std::optional<double> SettleClock::changeIn30s(std::optional<std::pair<double, double>> last) const
{
    auto values = m_notes;
    if (last)
        values.push_back(*last);
    if (values.size() < 2)
        return std::nullopt;
    const auto [endTime, endMv] = values.back();
    const double wanted = endTime - kSettledSeconds;
    // The value 30 s ago, between the two notes around that moment; else the first one, scaled.
    const auto after = std::find_if(values.begin(), values.end(), [&](const auto& v) { return v.first >= wanted; });
    double time = after->first;
    double mv = after->second;
    if (after != values.begin() && after->first > wanted) {
        const auto before = std::prev(after);
        const double share = (wanted - before->first) / (after->first - before->first);
        mv = before->second + share * (after->second - before->second);
        time = wanted;
    }
    if (endTime - time <= 0.0)
        return std::nullopt;
    return std::abs(endMv - mv) * kSettledSeconds / (endTime - time);
}

std::optional<double> SettleClock::t90(double seconds, double mv) const
{
    constexpr double kLeastMv = 0.5;   // nearer to the end than this, a note says nothing about the way there
    constexpr double kLongest = 3600.0;
    if (m_notes.size() < 2 || m_notes.back().first >= seconds)
        return std::nullopt;
    double end = mv;
    std::optional<double> found;
    for (int round = 0; round < 30; ++round) {
        // log10 |v - end| falls on a line whose slope is -1/t90.
        double n = 0, sumT = 0, sumY = 0, sumTT = 0, sumTY = 0;
        for (const auto& [t, v] : m_notes) {
            const double left = std::abs(v - end);
            if (left < kLeastMv)
                continue;
            const double y = std::log10(left);
            n += 1;
            sumT += t;
            sumY += y;
            sumTT += t * t;
            sumTY += t * y;
        }
        const double spread = n * sumTT - sumT * sumT;
        if (n < 2 || spread <= 0.0)
            return found;
        const double slope = (n * sumTY - sumT * sumY) / spread;
        if (slope >= -1.0 / kLongest)
            return std::nullopt;
        found = -1.0 / slope;
        const auto& [firstTime, firstMv] = m_notes.front();
        // firstMv - end = D; mv - end = D * f; so end = (mv - f * firstMv) / (1 - f).
        const double f = std::pow(10.0, -(seconds - firstTime) / *found);
        const double next = (mv - f * firstMv) / (1.0 - f);
        if (std::abs(next - end) < 0.005)
            break;
        end = next;
    }
    return found;
}

double leastWait(double leastSeconds, double timesT90, std::optional<double> lastT90)
{
    return lastT90 ? std::max(leastSeconds, timesT90 * *lastT90) : leastSeconds;
}

}  // namespace halfcell::app::bench
