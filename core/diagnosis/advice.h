#pragma once

#include "core/diagnosis/network.h"

/// What to do, by expected cost: minutes, parts, and the loss that stays where the cure was the wrong one; and whether a test
/// is worth its minutes before that. Values in, values out; any thread.
namespace halfcell::core::diagnosis {

/// A cure of the catalogue, possibly several actions that do the same work.
struct Cure {
    std::string key, words;
    std::vector<ActionKey> actions;  ///< cheapest first; none: nothing is done to the sensor
    Verdict verdict = Verdict::Recheck;
    double minutes = 0.0, parts = 0.0;
    bool atSensorPrice = false;  ///< the parts are a new sensor
    std::vector<double> cures;   ///< chance that it cures, per cause of the network
};

struct AdviceTables {
    std::vector<Cure> cures;
    double foldBelow = 0.05;     ///< probabilities below are folded into "other"
    double abstainBelow = 0.30;  ///< no cure is offered when no cause is likelier
};

/// The money of the case.
struct Stakes {
    double labourPerMinute = 1.0;
    double repeatVisit = 60.0;
    double loss = 200.0;  ///< until the next chance, if nothing works
    double sensorPrice = 250.0;
};

struct CureCost {
    std::size_t cure = 0;
    double cost = 0.0;    ///< expected, all told
    double outlay = 0.0;  ///< minutes and parts alone
    double minutes = 0.0;
    double solves = 0.0;  ///< chance that it cures what is wrong, given that something is
    double gain = 0.0;    ///< expected cost of leaving it, minus this one's
};

/// Expected costs of the cures allowed, cheapest first; `allowed` per cure. The probabilities are those of the network's causes.
[[nodiscard]] std::vector<CureCost> costsOf(const Network& network, const AdviceTables& tables, std::span<const double> probability,
                                            const Stakes& stakes, const std::vector<bool>& allowed);

/// What one outcome of a test would mean.
struct TestOutcome {
    std::size_t band = 0;
    double probability = 0.0;
    std::size_t leading = 0;  ///< cause then likeliest
    double leadingProbability = 0.0;
    std::size_t cure = 0;  ///< then cheapest
};

struct TestWorth {
    std::size_t observable = 0;
    double bits = 0.0;   ///< expected fall of the entropy
    double worth = 0.0;  ///< expected saving, before its minutes
    double net = 0.0;    ///< minus its minutes
    std::vector<TestOutcome> outcomes;
};

/// Every test that is allowed (per observable) and not done yet, the best first: largest net worth; where none is positive,
/// most bits a minute.
[[nodiscard]] std::vector<TestWorth> testsOf(const Network& network, const AdviceTables& tables, const Weighing& weighing,
                                             const Bands& seen, const Stakes& stakes, const std::vector<bool>& cureAllowed,
                                             const std::vector<bool>& testAllowed);

}  // namespace halfcell::core::diagnosis
