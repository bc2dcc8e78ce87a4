#pragma once

#include <cstddef>

/// The offset of one sensor: a level in mV and a drift in mV a week, an ordinary two-number Kalman filter with the same care
/// against bad readings and jumps as the ageing filter.
namespace halfcell::core::outlook {

struct OffsetNumbers {
    double levelMean = 0.0, levelVar = 36.0;   ///< new sensor, mV
    double unknownVar = 144.0;                 ///< on top where the day of installation is not known
    double driftMean = -0.3, driftVar = 0.09;  ///< mV a week, of the group
    double readingVar = 9.0;                   ///< mV^2
    double wander = 0.36;                      ///< mV^2 a week
    double driftWander = 0.0;                  ///< (mV/week)^2 a week
};

/// A drift of today ends at the next refill: it is carried on with this time constant, weeks.
inline constexpr double kDriftWeeks = 20.0;

class OffsetFilter {
public:
    OffsetFilter(const OffsetNumbers& numbers, bool knownStart, double atWeeks);
    void moveTo(double weeks);
    /// A refill, a new bridge, ... may have moved the level.
    void event(double var) { m_p00 += var; }
    void moveToGroup(const OffsetNumbers& numbers);
    void takeReading(double offset_mv, double extraVar);

    [[nodiscard]] double time() const { return m_t; }
    [[nodiscard]] double level() const { return m_level; }
    [[nodiscard]] double levelVar() const { return m_p00; }
    [[nodiscard]] double drift() const { return m_drift; }
    [[nodiscard]] double driftVar() const { return m_p11; }
    [[nodiscard]] double badProbability() const { return m_bad; }
    [[nodiscard]] double logLikelihood() const { return m_logLikelihood; }
    [[nodiscard]] std::size_t readings() const { return m_readings; }
    /// Centre of the forecast some weeks ahead.
    [[nodiscard]] double centre(double weeks) const;
    /// Variance of the true level then, by the filter alone.
    [[nodiscard]] double variance(double weeks) const;
    [[nodiscard]] const OffsetNumbers& numbers() const { return m_numbers; }

private:
    OffsetNumbers m_numbers;
    double m_t = 0.0, m_level = 0.0, m_drift = 0.0, m_p00 = 0.0, m_p01 = 0.0, m_p11 = 0.0, m_bad = 0.0, m_logLikelihood = 0.0;
    std::size_t m_readings = 0;
};

}  // namespace halfcell::core::outlook
