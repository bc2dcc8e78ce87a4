#pragma once

#include "core/effects/pooling.h"
#include "core/outlook/outlook.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

/// What each action bought: the gain of the efficiency from as found to after it, freed of regression to the mean, pooled over
/// action, design and application, and how long it lasted.
namespace halfcell::core {

/// The gain of one visit. Service is called when a reading is low, so the low reading is partly luck: the state before is taken
/// between what was forecast and what was read, b = m + w (found - m), w = u_m^2 / (u_m^2 + u_y^2).
struct ServiceGain {
    double before = 0.0;         ///< b
    double gain = 0.0, u = 0.0;  ///< after - b, u^2 = u_after^2 + u_m^2 u_y^2 / (u_m^2 + u_y^2)
    double plain = 0.0;          ///< after - found
};
[[nodiscard]] ServiceGain serviceGain(double forecast, double u_forecast, double found, double u_found, double after, double u_after);

/// One service in the book.
struct Service {
    std::string serial, visit, actions;  ///< actions joined by +, in order of their names
    std::string design, application;
    Instant when;
    ServiceGain gain;
    double lasted_days = 0.0;  ///< until a later as-found kept less than half of it, or until it was last known to hold
    bool lostSeen = false;     ///< the first of the two
};
/// Services with readings as found and after, and a forecast made before; those without a forecast are left out and counted.
struct ServiceList {
    std::vector<Service> services;
    std::size_t withoutForecast = 0;
};
[[nodiscard]] ServiceList servicesOf(const Plant& plant, std::span<const std::vector<VisitFigures>> figures,
                                     const outlook::BookOutlook& book);

/// An action's effect in one group.
struct Effect {
    std::string action, design, application;  ///< empty where pooled over
    std::size_t n = 0, sensors = 0;
    std::optional<double> gain_pct, lower, upper;                 ///< 90 % interval
    double chancePositive = 0.5, chanceWorthwhile = 0.5;          ///< P(gain > 0), P(gain > 1 %)
    bool borrowed = false;                                        ///< fewer than three visits on two sensors: the pooled value
    std::optional<double> lasted_days, lastedLower, lastedUpper;  ///< median; absent: not reached
    double heldAtLeast_days = 0.0;                                ///< longest it was seen to hold
    double plain_pct = 0.0;                                       ///< mean of the plain differences, for comparison
};

enum class EffectBy { ActionDesignApplication, ActionDesign, ActionApplication, Action };
/// By action in that grouping, sorted by action, design, application.
[[nodiscard]] std::vector<Effect> effectsOf(std::span<const Service> services, EffectBy by);

/// Smallest gain worth an hour (our choice).
inline constexpr double kWorthwhileGain_pct = 1.0;
inline constexpr std::size_t kEffectLeastVisits = 3, kEffectLeastSensors = 2;

}  // namespace halfcell::core
