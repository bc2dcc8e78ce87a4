#include "core/diagnosis/network.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace halfcell::core::diagnosis {

namespace {

bool counts(const Network& network, const Bands& seen, std::size_t o)
{
    return o < seen.size() && seen[o] && *seen[o] < network.observables[o].bands.size();
}

std::size_t seenInGroup(const Network& network, const Bands& seen, const std::string& group)
{
    std::size_t n = 0;
    for (std::size_t o = 0; o < network.observables.size(); ++o)
        if (counts(network, seen, o) && network.observables[o].group == group)
            ++n;
    return n;
}

double shareOf(const Network& network, std::size_t inGroup)
{
    return 1.0 / (1.0 + network.sharing * (static_cast<double>(inGroup) - 1.0));
}

}  // namespace

std::optional<std::size_t> Observable::bandOf(double value) const
{
    if (edges.empty())
        return std::nullopt;
    const auto at = edgeBelow ? std::lower_bound(edges.begin(), edges.end(), value) : std::upper_bound(edges.begin(), edges.end(), value);
    return static_cast<std::size_t>(at - edges.begin());
}

std::optional<std::size_t> Network::cause(std::string_view key) const
{
    const auto at = std::find_if(causes.begin(), causes.end(), [&](const Cause& c) { return c.key == key; });
    return at == causes.end() ? std::nullopt : std::optional(static_cast<std::size_t>(at - causes.begin()));
}

std::optional<std::size_t> Network::observable(std::string_view key) const
{
    const auto at = std::find_if(observables.begin(), observables.end(), [&](const Observable& o) { return o.key == key; });
    return at == observables.end() ? std::nullopt : std::optional(static_cast<std::size_t>(at - observables.begin()));
}

std::vector<std::size_t> Weighing::ranked() const
{
    std::vector<std::size_t> order;
    for (std::size_t m = 0; m < probability.size(); ++m)
        if (probability[m] > 0.0)
            order.push_back(m);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return probability[a] > probability[b]; });
    return order;
}

Weighing weigh(const Network& network, std::span<const double> prior, const Bands& seen)
{
    Weighing w;
    const double all = std::accumulate(prior.begin(), prior.end(), 0.0);
    w.prior.assign(prior.begin(), prior.end());
    for (double& p : w.prior)
        p = all > 0.0 ? p / all : 0.0;
    w.weight.assign(network.observables.size(), 0.0);
    for (std::size_t o = 0; o < network.observables.size(); ++o)
        if (counts(network, seen, o)) {
            const auto& group = network.observables[o].group;
            w.weight[o] = network.exponent * (group.empty() ? 1.0 : shareOf(network, seenInGroup(network, seen, group)));
        }
    double best = -std::numeric_limits<double>::infinity();
    for (std::size_t m = 0; m < network.causes.size(); ++m) {
        double score = w.prior[m] > 0.0 ? std::log(w.prior[m]) : -std::numeric_limits<double>::infinity();
        for (std::size_t o = 0; o < network.observables.size(); ++o)
            if (w.weight[o] > 0.0)
                score += w.weight[o] * std::log(network.observables[o].likelihood[m][*seen[o]]);
        w.score.push_back(score);
        best = std::max(best, score);
    }
    double sum = 0.0;
    for (const double score : w.score) {
        w.probability.push_back(std::isinf(score) ? 0.0 : std::exp(score - best));
        sum += w.probability.back();
    }
    for (double& p : w.probability) {
        p = sum > 0.0 ? p / sum : 0.0;
        if (p > 0.0)
            w.entropyBits -= p * std::log2(p);
    }
    return w;
}

double weightIfSeen(const Network& network, const Bands& seen, std::size_t observable)
{
    const auto& group = network.observables[observable].group;
    return network.exponent *
           (group.empty() ? 1.0 : shareOf(network, seenInGroup(network, seen, group) + (counts(network, seen, observable) ? 0 : 1)));
}

double speaksFor(const Network& network, const Weighing& weighing, const Bands& seen, std::size_t observable, std::size_t a, std::size_t b)
{
    if (!(weighing.weight[observable] > 0.0))
        return 0.0;
    const auto& p = network.observables[observable].likelihood;
    return weighing.weight[observable] * std::log(p[a][*seen[observable]] / p[b][*seen[observable]]);
}

}  // namespace halfcell::core::diagnosis
