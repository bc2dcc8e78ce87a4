#include "core/diagnosis/advice.h"

#include <algorithm>
#include <cmath>

namespace halfcell::core::diagnosis {

namespace {

double outlayOf(const Cure& cure, const Stakes& stakes)
{
    return cure.minutes * stakes.labourPerMinute + (cure.atSensorPrice ? stakes.sensorPrice : cure.parts);
}

double costOf(const Network& network, const Cure& cure, std::span<const double> probability, const Stakes& stakes)
{
    double cost = outlayOf(cure, stakes);
    for (std::size_t m = 0; m < network.causes.size(); ++m)
        if (network.causes[m].key != "healthy")
            cost += probability[m] * (1.0 - cure.cures[m]) * (stakes.repeatVisit + network.causes[m].severity * stakes.loss);
    return cost;
}

double entropy(std::span<const double> probability)
{
    double bits = 0.0;
    for (const double p : probability)
        if (p > 0.0)
            bits -= p * std::log2(p);
    return bits;
}

struct Cheapest {
    std::size_t cure = 0;
    double cost = HUGE_VAL;
};

Cheapest cheapestOf(const Network& network, const AdviceTables& tables, std::span<const double> probability, const Stakes& stakes,
                    const std::vector<bool>& allowed)
{
    Cheapest best;
    for (std::size_t a = 0; a < tables.cures.size(); ++a) {
        if (!allowed[a])
            continue;
        if (const double cost = costOf(network, tables.cures[a], probability, stakes); cost < best.cost)
            best = {a, cost};
    }
    return best;
}

}  // namespace

std::vector<CureCost> costsOf(const Network& network, const AdviceTables& tables, std::span<const double> probability, const Stakes& stakes,
                              const std::vector<bool>& allowed)
{
    std::vector<CureCost> costs;
    double leave = 0.0, wrong = 0.0;
    for (std::size_t m = 0; m < network.causes.size(); ++m)
        if (network.causes[m].key != "healthy") {
            leave += probability[m] * (stakes.repeatVisit + network.causes[m].severity * stakes.loss);
            wrong += probability[m];
        }
    for (std::size_t a = 0; a < tables.cures.size(); ++a) {
        if (!allowed[a])
            continue;
        const auto& cure = tables.cures[a];
        CureCost c{.cure = a, .cost = costOf(network, cure, probability, stakes)};
        c.outlay = outlayOf(cure, stakes);
        c.minutes = cure.minutes;
        c.gain = leave - c.cost;
        for (std::size_t m = 0; m < network.causes.size() && wrong > 0.0; ++m)
            if (network.causes[m].key != "healthy")
                c.solves += probability[m] * cure.cures[m] / wrong;
        costs.push_back(c);
    }
    std::stable_sort(costs.begin(), costs.end(), [](const CureCost& a, const CureCost& b) { return a.cost < b.cost; });
    return costs;
}

std::vector<TestWorth> testsOf(const Network& network, const AdviceTables& tables, const Weighing& weighing, const Bands& seen,
                               const Stakes& stakes, const std::vector<bool>& cureAllowed, const std::vector<bool>& testAllowed)
{
    std::vector<TestWorth> tests;
    const auto& p = weighing.probability;
    const double now = cheapestOf(network, tables, p, stakes, cureAllowed).cost;
    for (std::size_t o = 0; o < network.observables.size(); ++o) {
        const auto& observable = network.observables[o];
        if (!observable.test || !testAllowed[o] || (o < seen.size() && seen[o]))
            continue;
        const double weight = weightIfSeen(network, seen, o);
        // B(band | cause) = likelihood^weight, made to add up to 1 over the bands.
        std::vector<std::vector<double>> b(network.causes.size());
        for (std::size_t m = 0; m < network.causes.size(); ++m) {
            double sum = 0.0;
            for (const double l : observable.likelihood[m]) {
                b[m].push_back(std::pow(l, weight));
                sum += b[m].back();
            }
            for (double& x : b[m])
                x /= sum;
        }
        TestWorth t{.observable = o, .outcomes = {}};
        double after = 0.0, bitsAfter = 0.0;
        for (std::size_t band = 0; band < observable.bands.size(); ++band) {
            std::vector<double> q(network.causes.size());
            double chance = 0.0;
            for (std::size_t m = 0; m < q.size(); ++m) {
                q[m] = p[m] * b[m][band];
                chance += q[m];
            }
            if (!(chance > 0.0))
                continue;
            for (double& x : q)
                x /= chance;
            const auto best = cheapestOf(network, tables, q, stakes, cureAllowed);
            after += chance * best.cost;
            bitsAfter += chance * entropy(q);
            const auto leading = static_cast<std::size_t>(std::max_element(q.begin(), q.end()) - q.begin());
            t.outcomes.push_back({band, chance, leading, q[leading], best.cure});
        }
        t.bits = weighing.entropyBits - bitsAfter;
        t.worth = now - after;
        t.net = t.worth - observable.test->minutes * stakes.labourPerMinute;
        tests.push_back(std::move(t));
    }
    const bool paying = std::any_of(tests.begin(), tests.end(), [](const TestWorth& t) { return t.net > 0.0; });
    std::stable_sort(tests.begin(), tests.end(), [&](const TestWorth& x, const TestWorth& y) {
        if (paying)
            return x.net > y.net;
        return x.bits / network.observables[x.observable].test->minutes > y.bits / network.observables[y.observable].test->minutes;
    });
    return tests;
}

}  // namespace halfcell::core::diagnosis
