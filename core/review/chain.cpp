#include "core/review/chain.h"

#include <Eigen/Dense>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace halfcell::core {
namespace {

constexpr std::size_t kStates = kWearClasses * kServiceCounts;

std::size_t indexOf(std::size_t wearClass, std::size_t services)
{
    return wearClass * kServiceCounts + services;
}

WearClass classAt(std::size_t i)
{
    return static_cast<WearClass>(i);
}

Result<void> checkSettings(const ChainSettings& s, double wear)
{
    const auto bad = [](const char* what) {
        return failure(Errc::BadInput, fmt::format("{} of the review is out of its range", what), "correct it in the rule set");
    };
    for (const double r : s.rate)
        if (!(r >= 0.0) || !std::isfinite(r))
            return bad("a wear rate");
    for (const double l : s.loss)
        if (!(l >= 0.0) || !std::isfinite(l))
            return bad("a month's loss");
    for (const double p : {s.hazard, s.bToA, s.cToA + s.cToB, s.dToB + s.dToC, s.cToA, s.cToB, s.dToB, s.dToC, s.again})
        if (!(p >= 0.0 && p <= 1.0))
            return bad("a chance");
    for (const double c : {s.service, s.fitting, s.callOut})
        if (!(c >= 0.0) || !std::isfinite(c))
            return bad("a cost");
    if (!(s.discount > 0.0 && s.discount < 1.0))
        return bad("the discount");
    if (!(wear > 0.0) || !std::isfinite(wear))
        return bad("the wear multiplier");
    return {};
}

/// Policy iteration. `renewal` absent: the price of a renewal is itself part of the solution, with `fixed` = price + fitting.
ChainSolution solve(const ChainSettings& s, double wear, std::optional<double> renewal, double fixed)
{
    std::array<std::array<double, kWearClasses>, kWearClasses> month{};
    for (std::size_t c = 0; c < kWearClasses - 1; ++c)
        month[c] = afterMonth(s, classAt(c), wear);
    const std::size_t dead = static_cast<std::size_t>(WearClass::X);

    // Unknowns: the values of the states, and last the renewal cost W.
    using Matrix = Eigen::Matrix<double, kStates + 1, kStates + 1>;
    using Vector = Eigen::Matrix<double, kStates + 1, 1>;
    const auto w = static_cast<Eigen::Index>(kStates);
    const auto at = [](std::size_t c, std::size_t n) { return static_cast<Eigen::Index>(indexOf(c, n)); };

    ChainTable<ChainAction> policy{};
    for (auto& row : policy)
        row.fill(ChainAction::Replace);
    Vector value = Vector::Zero();
    ChainSolution solution;
    for (int round = 0; round < 100; ++round) {
        // V = cost of the policy + delta P V
        Matrix a = Matrix::Identity();
        Vector b = Vector::Zero();
        const auto addRun = [&](Eigen::Index row, std::size_t c, std::size_t n, double weight) {
            b(row) += weight * s.loss[c];
            for (std::size_t to = 0; to < kWearClasses; ++to)
                a(row, at(to, n)) -= weight * s.discount * month[c][to];
        };
        for (std::size_t c = 0; c < kWearClasses; ++c)
            for (std::size_t n = 0; n < kServiceCounts; ++n) {
                const Eigen::Index row = at(c, n);
                if (c == dead) {
                    b(row) += s.callOut + s.loss[dead];
                    a(row, w) -= 1.0;
                } else if (policy[c][n] == ChainAction::Replace) {
                    a(row, w) -= 1.0;
                } else if (policy[c][n] == ChainAction::Run) {
                    addRun(row, c, n, 1.0);
                } else {
                    b(row) += s.service;
                    const auto better = afterService(s, classAt(c), n);
                    for (std::size_t to = 0; to < dead; ++to)
                        if (better[to] > 0.0)
                            addRun(row, to, std::min(n + 1, kServiceCounts - 1), better[to]);
                }
            }
        if (renewal) {
            b(w) = *renewal;
        } else {
            b(w) += fixed;
            addRun(w, 0, 0, 1.0);
        }
        value = a.partialPivLu().solve(b);
        // One-step improvement.
        const auto runValue = [&](std::size_t c, std::size_t n) {
            double q = s.loss[c];
            for (std::size_t to = 0; to < kWearClasses; ++to)
                q += s.discount * month[c][to] * value(at(to, n));
            return q;
        };
        bool changed = false;
        for (std::size_t c = 0; c < dead; ++c)
            for (std::size_t n = 0; n < kServiceCounts; ++n) {
                const double run = runValue(c, n);
                double service = s.service;
                const auto better = afterService(s, classAt(c), n);
                for (std::size_t to = 0; to < dead; ++to)
                    if (better[to] > 0.0)
                        service += better[to] * runValue(to, std::min(n + 1, kServiceCounts - 1));
                solution.run[c][n] = run;
                solution.service[c][n] = service;
                // A change of policy needs a gain beyond rounding, or the iteration could go round in ties.
                const double now = policy[c][n] == ChainAction::Run ? run : policy[c][n] == ChainAction::Service ? service : value(w);
                const double least = std::min({run, service, value(w)});
                if (least < now - 1e-11 * std::max(1.0, std::abs(now))) {
                    policy[c][n] = run == least ? ChainAction::Run : service == least ? ChainAction::Service : ChainAction::Replace;
                    changed = true;
                }
            }
        if (!changed)
            break;
    }
    for (std::size_t c = 0; c < kWearClasses; ++c)
        for (std::size_t n = 0; n < kServiceCounts; ++n)
            solution.value[c][n] = value(at(c, n));
    solution.best = policy;
    solution.renewal = value(w);
    return solution;
}

}  // namespace

std::array<double, kWearClasses> afterService(const ChainSettings& s, WearClass from, std::size_t servicesDone)
{
    const double q = std::pow(s.again, static_cast<double>(servicesDone));
    switch (from) {
    case WearClass::A: return {1.0, 0.0, 0.0, 0.0, 0.0};
    case WearClass::B: return {s.bToA * q, 1.0 - s.bToA * q, 0.0, 0.0, 0.0};
    case WearClass::C: return {s.cToA * q, s.cToB * q, 1.0 - (s.cToA + s.cToB) * q, 0.0, 0.0};
    case WearClass::D: return {0.0, s.dToB * q, s.dToC * q, 1.0 - (s.dToB + s.dToC) * q, 0.0};
    case WearClass::X: break;
    }
    return {0.0, 0.0, 0.0, 0.0, 1.0};
}

std::array<double, kWearClasses> afterMonth(const ChainSettings& s, WearClass from, double wear)
{
    std::array<double, kWearClasses> next{};
    const auto c = static_cast<std::size_t>(from);
    if (from == WearClass::X) {
        next[c] = 1.0;
        return next;
    }
    const double down = c < s.rate.size() ? -std::expm1(-wear * s.rate[c]) : 0.0;
    next[static_cast<std::size_t>(WearClass::X)] = s.hazard;
    if (c < s.rate.size())
        next[c + 1] += (1.0 - s.hazard) * down;
    next[c] += (1.0 - s.hazard) * (1.0 - down);
    return next;
}

Result<ChainSolution> freshChain(const ChainSettings& settings, const ChainDesign& design)
{
    if (const auto ok = checkSettings(settings, design.wear); !ok)
        return std::unexpected(ok.error());
    if (!(design.price >= 0.0) || !std::isfinite(design.price))
        return failure(Errc::BadInput, "a price must not be negative", "correct the price of the model");
    return solve(settings, design.wear, std::nullopt, design.price + settings.fitting);
}

Result<double> purchaseValue(const ChainSettings& settings, const ChainDesign& design, double renewal)
{
    const auto chain = ownChain(settings, design.wear, renewal);
    if (!chain)
        return std::unexpected(chain.error());
    if (!(design.price >= 0.0) || !std::isfinite(design.price))
        return failure(Errc::BadInput, "a price must not be negative", "correct the price of the model");
    return design.price + design.changeCost + settings.fitting + chain->run[0][0];
}

Result<ChainSolution> ownChain(const ChainSettings& settings, double wear, double renewal)
{
    if (const auto ok = checkSettings(settings, wear); !ok)
        return std::unexpected(ok.error());
    if (!(renewal >= 0.0) || !std::isfinite(renewal))
        return failure(Errc::BadInput, "the cost of a renewal must not be negative", "correct the price of the model");
    return solve(settings, wear, renewal, 0.0);
}

namespace {

double weightedPoint(std::vector<std::pair<double, double>> values, double share)
{
    std::ranges::sort(values);
    double sum = 0.0;
    for (const auto& [value, weight] : values) {
        sum += weight;
        if (sum >= share - 1e-12)
            return value;
    }
    return values.back().first;
}

}  // namespace

Result<OptionValues> optionValues(const ChainSettings& settings, std::span<const WearDraw> draws, const std::array<double, kWearClasses>& state,
                                  std::size_t servicesDone, double same, double change, std::array<bool, 4> allowed,
                                  const std::optional<std::array<double, kWearClasses>>& serviced)
{
    if (draws.empty())
        return failure(Errc::TooFewReadings, "no draws of the wear multiplier", "give at least one");
    if (std::ranges::none_of(allowed, [](bool a) { return a; }))
        return failure(Errc::BadInput, "no option is allowed", "allow at least one");
    const std::size_t n = std::min(servicesDone, kServiceCounts - 1);
    const double renewal = std::min(allowed[2] ? same : change, allowed[3] ? change : same);
    double total = 0.0;
    for (const WearDraw& d : draws)
        total += d.weight;
    OptionValues values;
    values.allowed = allowed;
    std::array<std::vector<std::pair<double, double>>, 4> spread;
    for (const WearDraw& draw : draws) {
        const auto chain = ownChain(settings, draw.wear, renewal);
        if (!chain)
            return std::unexpected(chain.error());
        const double weight = draw.weight / total;
        std::array<double, 4> q{0.0, 0.0, same, change};
        for (std::size_t c = 0; c < kWearClasses; ++c) {
            // A dead sensor can be neither run on nor serviced: both end in its forced replacement.
            const bool dead = classAt(c) == WearClass::X;
            q[0] += state[c] * (dead ? chain->value[c][n] : chain->run[c][n]);
            if (!serviced)
                q[1] += state[c] * (dead ? chain->value[c][n] + settings.service : chain->service[c][n]);
            else
                q[1] += (*serviced)[c] * (settings.service + (dead ? chain->value[c][n] : chain->run[c][std::min(n + 1, kServiceCounts - 1)]));
        }
        double least = 0.0;
        bool first = true;
        for (std::size_t o = 0; o < 4; ++o)
            if (allowed[o] && (first || q[o] < least)) {
                least = q[o];
                first = false;
            }
        const double tie = 1e-9 * std::max(1.0, std::abs(least));
        int ties = 0;
        for (std::size_t o = 0; o < 4; ++o)
            ties += allowed[o] && q[o] <= least + tie ? 1 : 0;
        for (std::size_t o = 0; o < 4; ++o) {
            values.mean[o] += weight * q[o];
            spread[o].emplace_back(q[o], weight);
            if (allowed[o] && q[o] <= least + tie)
                values.probabilityBest[o] += weight / ties;
        }
        values.perDraw.push_back(q);
    }
    for (std::size_t o = 0; o < 4; ++o) {
        values.low[o] = weightedPoint(spread[o], 0.05);
        values.high[o] = weightedPoint(spread[o], 0.95);
    }
    return values;
}

double costPerMonth(const ChainSettings& settings, double q, double renewal)
{
    const double delta = settings.discount;
    const double annuity = (1.0 - std::pow(delta, settings.horizonMonths)) / (1.0 - delta);
    return (q - renewal) / annuity + (1.0 - delta) * renewal;
}

Result<RenewalCycle> renewalCycle(const ChainSettings& settings, const ChainDesign& design, int ageLimitMonths)
{
    if (const auto ok = checkSettings(settings, design.wear); !ok)
        return std::unexpected(ok.error());
    if (settings.hazard <= 0.0 && ageLimitMonths <= 0 && *std::ranges::min_element(settings.rate) <= 0.0)
        return failure(Errc::NoConvergence, "a sensor that neither wears nor fails has no cycle", "give rates or an age limit");
    RenewalCycle cycle;
    std::array<double, kWearClasses> state{1.0, 0.0, 0.0, 0.0, 0.0};
    double out = 0.0;  // ended in D
    for (int month = 0; ageLimitMonths <= 0 || month < ageLimitMonths; ++month) {
        std::array<double, kWearClasses> next{};
        for (std::size_t c = 0; c < 3; ++c) {
            cycle.months[c] += state[c];
            const auto to = afterMonth(settings, classAt(c), design.wear);
            for (std::size_t k = 0; k < kWearClasses; ++k)
                next[k] += state[c] * to[k];
        }
        out += next[3];
        cycle.endsDead += next[4];
        state = {next[0], next[1], next[2], 0.0, 0.0};
        if (state[0] + state[1] + state[2] < 1e-15)
            break;
    }
    const double lived = cycle.months[0] + cycle.months[1] + cycle.months[2];
    cycle.cost = design.price + settings.fitting + cycle.endsDead * (settings.callOut + settings.loss[4]);
    for (std::size_t c = 0; c < 3; ++c)
        cycle.cost += cycle.months[c] * settings.loss[c];
    cycle.costPerMonth = cycle.cost / lived;
    return cycle;
}

}  // namespace halfcell::core
