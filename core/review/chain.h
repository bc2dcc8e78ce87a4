#pragma once

#include "core/quantity/result.h"

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

/// Replace or restore as a monthly chain of states (decision method 4 of the trade notes; a finite Markov decision process
/// after Puterman, solved exactly by policy iteration).
///
/// States A (95 % and above), B (90 to 95), C (85 to 90), D (below 85 or out of limits), X (dead), each with the number of
/// services done (0, 1, 2 and more). At the start of a month one action is taken: run on, service (better at once, by
/// chance), or put in a new sensor; then the month's loss falls due and the sensor wears: to X with the hazard h, else one
/// class down with 1 - exp(-m * rate). The next month is worth delta of this one.
namespace halfcell::core {

enum class WearClass : std::size_t { A = 0, B = 1, C = 2, D = 3, X = 4 };
inline constexpr std::size_t kWearClasses = 5;
inline constexpr std::size_t kServiceCounts = 3;

struct ChainSettings {
    std::array<double, 3> rate{0.15, 0.20, 0.30};      ///< per month, leaving A, B, C
    double hazard = 0.01;                              ///< sudden failure, chance a month
    std::array<double, kWearClasses> loss{0.0, 5.0, 30.0, 150.0, 400.0};  ///< cost of a month in a class
    double service = 60.0, fitting = 30.0, callOut = 150.0;
    double bToA = 0.5, cToA = 0.1, cToB = 0.6, dToB = 0.1, dToC = 0.55;   ///< of the first service
    double again = 0.6;                                ///< each further service does this share of the one before
    double discount = 0.995;                           ///< delta, a month
    int horizonMonths = 12;                            ///< a difference is spread over this
};

/// What a new sensor costs and how fast it wears.
struct ChainDesign {
    double price = 250.0;
    double wear = 1.0;                                 ///< multiplier m of the rates
    double changeCost = 0.0;                           ///< once, when another design than now is put in
};

enum class ChainAction { Run, Service, Replace };

/// Values of a solved chain, [class][services done].
template <class T>
using ChainTable = std::array<std::array<T, kServiceCounts>, kWearClasses>;

struct ChainSolution {
    ChainTable<double> value{};         ///< expected discounted cost from here on, acting best
    ChainTable<double> run{}, service{};///< the same if this month's action is given; not for X
    ChainTable<ChainAction> best{};
    double renewal = 0.0;               ///< W: cost of putting in a new sensor and going on with the best acts
};

/// A chain whose replacements are of its own design: W = price + fitting + loss(A) + delta E[V].
/// Errc::BadInput for a rate, a cost or a discount that makes no sense.
[[nodiscard]] Result<ChainSolution> freshChain(const ChainSettings& settings, const ChainDesign& design);
/// Buying this design now and choosing freely afterwards, later renewals costing `renewal`: price + change cost + fitting + a
/// new sensor's first month and what follows. A change to a better design is its fresh chain's W + change cost instead: the
/// change is paid once, later renewals are of its own kind.
[[nodiscard]] Result<double> purchaseValue(const ChainSettings& settings, const ChainDesign& design, double renewal);
/// This sensor with wear multiplier m, replacements costing `renewal`.
[[nodiscard]] Result<ChainSolution> ownChain(const ChainSettings& settings, double wear, double renewal);

/// Chance of each class after a service in a class with n services done before.
[[nodiscard]] std::array<double, kWearClasses> afterService(const ChainSettings& settings, WearClass from, std::size_t servicesDone);
/// Chance of each class after a month.
[[nodiscard]] std::array<double, kWearClasses> afterMonth(const ChainSettings& settings, WearClass from, double wear);

/// One draw of the wear multiplier with its weight.
struct WearDraw {
    double wear = 1.0, weight = 1.0;
};

/// What each option costs in a state, over the draws.
struct OptionValues {
    std::array<double, 4> mean{};               ///< run, service, same, change: mean Q
    std::array<double, 4> low{}, high{};        ///< weighted 5 and 95 % points of Q
    std::array<double, 4> probabilityBest{};    ///< ties shared equally
    std::array<bool, 4> allowed{true, true, true, true};
    std::vector<std::array<double, 4>> perDraw;
};

/// Mean Q of the four options. `same` and `change` are what buying costs from now on (purchaseValue); the cheaper of the two
/// that are allowed is the cost of a renewal later on. `serviced` gives the classes after a service now where more is known
/// than the chain's own chances (a diagnosis with its cure). `state` gives the chance of each class now (sums to 1).
[[nodiscard]] Result<OptionValues> optionValues(const ChainSettings& settings, std::span<const WearDraw> draws,
                                                const std::array<double, kWearClasses>& state, std::size_t servicesDone, double same,
                                                double change, std::array<bool, 4> allowed = {true, true, true, true},
                                                const std::optional<std::array<double, kWearClasses>>& serviced = {});

/// (Q - W) / annuity + (1 - delta) W: money a month, the difference spread over the next months of the horizon.
[[nodiscard]] double costPerMonth(const ChainSettings& settings, double q, double renewal);

/// Renewal-reward: months in A, B, C of a sensor replaced at D or X (or at an age, 0 = never), the chance that it ends in X, cost of
/// a cycle without discount, and cost a month.
struct RenewalCycle {
    std::array<double, 3> months{};
    double endsDead = 0.0;
    double cost = 0.0, costPerMonth = 0.0;
};
[[nodiscard]] Result<RenewalCycle> renewalCycle(const ChainSettings& settings, const ChainDesign& design, int ageLimitMonths = 0);

}  // namespace halfcell::core
