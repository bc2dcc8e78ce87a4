#pragma once

#include "db/stores/row_slots.h"

#include <memory>

namespace halfcell::db {

/// The stored figures of one phase of a visit: derived, with the engine and the rules that made them.
struct StoredFigures {
    std::string visit;
    core::Phase phase = core::Phase::AsFound;
    core::SensorKind kind = core::SensorKind::Ph;
    std::optional<double> efficiency_pct, u_efficiency_pct, slope_mv_per_ph, offset_mv, u_offset_mv, zero_point_ph, residual_mv, acid_leg_pct,
        alkaline_leg_pct, span_pct, u_span_pct, t90_s, u_at_process_ph, covariance_00, covariance_01, covariance_11;
    std::string missing;    ///< `figure=reason;...`
    std::string engine, rules;
    bool operator==(const StoredFigures&) const = default;
};

/// Derived figures by visit and phase. One thread with its connection.
class FigureStore {
public:
    explicit FigureStore(Connection& connection);
    ~FigureStore();

    void put(const StoredFigures& figures);
    [[nodiscard]] std::vector<StoredFigures> ofVisit(std::string_view visit);
    /// By visit and phase.
    [[nodiscard]] std::vector<StoredFigures> ofSensor(std::string_view serial);
    /// Takes out a phase that no longer has figures (a correction may do that).
    void drop(std::string_view visit, core::Phase phase);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

}  // namespace halfcell::db
