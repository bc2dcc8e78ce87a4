#pragma once

#include "core/fleet/keys.h"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// Which cause explains what was seen. One hidden cause, many readings, each a little evidence: Bayes' rule over the causes
/// with the readings independent given the cause, those that say partly the same thing sharing their weight. Every number is
/// rule data; nothing here knows a sensor. Values in, values out; any thread.
namespace halfcell::core::diagnosis {

/// Something that can be seen or measured, cut into bands.
struct Observable {
    /// How it is got where it is missing.
    struct Test {
        std::string key;  ///< of the test: stir, dilution, second_bottle, ...
        double minutes = 0.0;
        std::string splits;  ///< what it tells apart
        bool operator==(const Test&) const = default;
    };
    std::string key, words, unit;
    std::string group;               ///< readings of one group share their weight; empty: alone
    std::vector<std::string> bands;  ///< in words
    std::vector<double> edges;       ///< ascending, one fewer than bands; empty where the bands are no ranges of a number
    bool edgeBelow = false;          ///< a value on an edge lies in the band below it
    std::optional<Test> test;
    std::vector<std::vector<double>> likelihood;  ///< [cause][band], each line adds up to 1

    /// The band of a number; nullopt if the observable has no edges.
    [[nodiscard]] std::optional<std::size_t> bandOf(double value) const;
};

/// A possible cause.
struct Cause {
    std::string key, words;
    std::optional<FindingCode> code;  ///< absent where the code depends on more (film, the reference of an ORP sensor)
    double weight = 0.0;              ///< of the prior, before the sensor's own circumstances
    double severity = 0.0;            ///< 0 to 1: how much of the loop's loss it causes while it stays
    bool shared = false;              ///< of the whole round: bottle or thermometer
};

struct Network {
    std::vector<Cause> causes;
    std::vector<Observable> observables;
    double sharing = 0.3;   ///< weight 1/(1 + sharing (n - 1)) for each of n readings of a group
    double exponent = 1.0;  ///< on every likelihood; fitted from confirmed causes, 1 as shipped

    [[nodiscard]] std::optional<std::size_t> cause(std::string_view key) const;
    [[nodiscard]] std::optional<std::size_t> observable(std::string_view key) const;
};

/// What was seen: a band per observable of the network, absent where nothing was.
using Bands = std::vector<std::optional<std::size_t>>;

/// The result of weighing.
struct Weighing {
    std::vector<double> prior;        ///< per cause, adds up to 1
    std::vector<double> score;        ///< ln prior + sum of w ln likelihood; -infinity where the prior is 0
    std::vector<double> probability;  ///< per cause, adds up to 1
    std::vector<double> weight;       ///< per observable; 0 where nothing was seen
    double entropyBits = 0.0;

    /// Causes by falling probability; those of probability 0 are left out. Equal ones keep the order of the network.
    [[nodiscard]] std::vector<std::size_t> ranked() const;
};

/// Weighs the causes. `prior` has one weight per cause, none negative, not all zero; it need not add up to 1. A band beyond
/// its observable's bands counts as not seen.
/// Source: Bayes' rule; sharing of weight within a group is our choice (tuned on simulated cases).
[[nodiscard]] Weighing weigh(const Network& network, std::span<const double> prior, const Bands& seen);

/// The weight an observable would have if it were seen besides what is.
[[nodiscard]] double weightIfSeen(const Network& network, const Bands& seen, std::size_t observable);

/// How much an observable that was seen speaks for cause `a` against cause `b`: w ln(P(band|a)/P(band|b)).
[[nodiscard]] double speaksFor(const Network& network, const Weighing& weighing, const Bands& seen, std::size_t observable, std::size_t a,
                               std::size_t b);

}  // namespace halfcell::core::diagnosis
