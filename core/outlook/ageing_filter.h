#pragma once

#include "core/outlook/parameters.h"

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

/// The ageing filter of one sensor. Its curve and its life L are unknown: they lie on a fixed grid of nodes with weights. On
/// each node a one-number Kalman filter follows the level s; capability there is s - D g(age / L). Readings pass a four-way
/// robust update (normal, bad reading, sudden loss, level reset), so that one bad calibration moves little and a real change
/// is believed once it is confirmed. Response time is a second witness of age. No random numbers; plain loops over the nodes
/// in a fixed order, so the same readings give the same bytes.
/// Source: our own design, worked examples in tests/core/outlook. Thread rule: one sensor, one thread; copies are independent.
namespace halfcell::core::outlook {

/// What happened to the sensor between two readings, as far as the ageing level minds.
enum class LevelEvent { Rehydrated, Regenerated, Rewired };

/// A reading of the clean state, ready for the filter.
struct LevelReading {
    double value = 0.0;
    double extraVar = 0.0;                       ///< above the shop's usual scatter
    double varFactor = 1.0;                      ///< 4 where the state is clean only by an automatic cleaner
    double tooSoonMean = 0.0, tooSoonVar = 0.0;  ///< beta: share of the step missed by reading too soon
    double shift = 0.0, shiftVar = 0.0;          ///< of the round and bottle
};

/// What the filter thought of a reading before and after it.
struct LevelTaken {
    double innovation = 0.0;     ///< value less what was expected, the shift of the round not taken off
    double innovationVar = 0.0;  ///< of a normal reading
    double badProbability = 0.0;
    double logLikelihood = 0.0;
};

struct MeanVar {
    double mean = 0.0, var = 0.0;
};

/// One part of a forecast: weight, capability, and ln t90 (25 degC) at the time asked.
struct ForecastPart {
    double weight = 0.0;
    double mean = 0.0, var = 0.0;
    double lnResponse = 0.0, lnResponseVar = 0.0;
};

class AgeingFilter {
public:
    /// `knownStart`: age counts from installation; else from the first record, the age then being unknown.
    AgeingFilter(const FleetNumbers& fleet, const GroupNumbers& group, bool knownStart);

    /// Lets time pass to `t` (weeks of service, not before the last).
    void moveTo(double t);
    void event(LevelEvent e);
    /// ln t90 referred to 25 degC; `extraVar` where the temperature was not known.
    void takeResponse(double lnResponse25, double extraVar = 0.0);
    LevelTaken takeReading(const LevelReading& reading);
    /// From now on this group's lives and rates hold (moved to another application or site).
    void moveToGroup(const GroupNumbers& group);

    [[nodiscard]] double time() const { return m_t; }
    [[nodiscard]] std::size_t nodes() const { return m_s.size(); }
    [[nodiscard]] double logLikelihood() const { return m_logLikelihood; }
    [[nodiscard]] std::size_t readings() const { return m_readings; }
    [[nodiscard]] double badProbability() const { return m_bad; }  ///< o: of the last reading
    [[nodiscard]] MeanVar capability() const;
    [[nodiscard]] MeanVar lnLife() const;
    [[nodiscard]] MeanVar lnResponse() const;  ///< expected ln t90 at 25 degC
    [[nodiscard]] std::array<double, kCurves> curveWeights() const;
    [[nodiscard]] double lnLifeQuantile(double p) const;
    [[nodiscard]] const GroupNumbers& group() const { return m_group; }
    [[nodiscard]] const FleetNumbers& fleet() const { return m_fleet; }

    /// The capability some weeks ahead as a mixture of normals, sudden loss included. Nodes the data excluded stay out.
    [[nodiscard]] std::vector<ForecastPart> ahead(double weeks) const;
    /// The longest horizon that is still answered: a life of the group, 52 weeks at most.
    [[nodiscard]] double horizonLimit() const;

private:
    struct Block {
        std::size_t curve = 0, first = 0, count = 0, start = 0;  ///< nodes first..; positions start.. on the axes
    };
    void layOut(bool knownStart);
    void agesAt(double t, std::vector<double>& u, std::vector<double>& lnU) const;
    void curvesAt(double t, std::vector<double>& u, std::vector<double>& lnU, std::vector<double>& c) const;
    void normalise();
    void temperHalf();

    FleetNumbers m_fleet;
    GroupNumbers m_group;
    std::vector<Block> m_blocks;
    std::vector<double> m_invLife, m_startAge, m_lnLifeAxis;  // per position
    std::vector<std::size_t> m_position;                      // per node
    std::vector<double> m_s, m_v, m_z, m_vz, m_c, m_lnW, m_w, m_lnPrior, m_bads;
    std::vector<double> m_u, m_lnU, m_fresh;
    double m_t = 0.0, m_bad = 0.0, m_logLikelihood = 0.0, m_lifeOfGroup = 1.0, m_lastStep = 0.0;
    std::size_t m_readings = 0;
    bool m_knownStart = true;
};

}  // namespace halfcell::core::outlook
